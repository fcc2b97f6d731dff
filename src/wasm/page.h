/* What the page calls: core and plan, built for wasm32.
 *
 * A caller in JavaScript has numbers and one block of memory, so this interface is handles, counts and
 * addresses of flat arrays. One `page` holds one plan and its prediction; a second prediction with the same
 * page replaces the first, and every address got before it is then void, as it is after any call that may
 * allocate (memory can grow and move). Units as in lengthwise.h. The order of use:
 *
 *   p = page_new(); write UTF-8 at page_text(p, size); page_predict(p, 0, 0) == 0; read the arrays;
 *   page_fall(p, 16, 6, 0) == 0; read the strands; page_free(p)
 *
 * The module imports page_goes_on and nothing else, so it runs wherever WebAssembly does; call _initialize
 * once first.
 */
#ifndef LW_WASM_PAGE_H
#define LW_WASM_PAGE_H

#include "lengthwise.h"

#ifdef __wasm__
#define PAGE_API(name) __attribute__((export_name(#name)))
#else
#define PAGE_API(name)
#endif

#define PAGE_TEXT_MAX (16u << 20) /* bytes of plan text */

typedef struct page page;

/* One panel as a row of doubles: panels are read as page_panels(p)[i * PAGE_PANEL_COLUMNS + column]. Vectors
 * take three columns. The names are those of lw_panel. */
typedef enum page_panel_column {
    PAGE_PANEL_STEP,
    PAGE_PANEL_PANEL,
    PAGE_PANEL_ANCHOR,
    PAGE_PANEL_NORMAL = PAGE_PANEL_ANCHOR + 3,
    PAGE_PANEL_PLACE = PAGE_PANEL_NORMAL + 3,
    PAGE_PANEL_DIRECTION = PAGE_PANEL_PLACE + 3,
    PAGE_PANEL_PARTING = PAGE_PANEL_DIRECTION + 3,
    PAGE_PANEL_FINGER = PAGE_PANEL_PARTING + 3,
    PAGE_PANEL_FOLLOWS = PAGE_PANEL_FINGER + 3,
    PAGE_PANEL_LINE_FIRST,
    PAGE_PANEL_LINE_COUNT,
    PAGE_PANEL_COLUMNS
} page_panel_column;

/* NULL without memory. */
PAGE_API(page_new) page *page_new(void);
PAGE_API(page_free) void page_free(page *p);

/* Room for `size` bytes of plan text; NULL without memory or beyond PAGE_TEXT_MAX. */
PAGE_API(page_text) char *page_text(page *p, size_t size);

/* Reads the text and carries the plan out, with the plan's own number of hairs and seed where these are 0.
 * Returns an lw_status; when it is not 0 page_error says why and every count is 0. */
PAGE_API(page_predict) int page_predict(page *p, int hairs, double seed);

/* The same without cutting: for whoever knows what is left of each hair, which goes to page_given, metres by
 * root, all 0 so far; hair then falls from these. Nothing else of a prediction is there. */
PAGE_API(page_give) int page_give(page *p, int hairs, double seed);
PAGE_API(page_given) double *page_given(const page *p); /* page_hairs of them; NULL where nothing is given */

/* What went wrong last, zero-terminated, with its place and remedy; "" if nothing did. Line and column count
 * from 1; 0 where the fault has none. */
PAGE_API(page_error) const char *page_error(const page *p);
PAGE_API(page_error_place) const char *page_error_place(const page *p); /* its parts by themselves */
PAGE_API(page_error_message) const char *page_error_message(const page *p);
PAGE_API(page_error_remedy) const char *page_error_remedy(const page *p);
PAGE_API(page_error_line) int page_error_line(const page *p);
PAGE_API(page_error_column) int page_error_column(const page *p);

/* Texts in JSON, each kept until the next one is asked for; NULL without memory. page_fields: the table of
 * fields, plan_table in plan.h. page_sentences: put_words in tell.h of the plan whose text was given last,
 * also where carrying it out was refused; NULL where it could not even be read. */
PAGE_API(page_fields) const char *page_fields(page *p);
PAGE_API(page_sentences) const char *page_sentences(page *p);

/* put_reading in tell_json.h; put_fallen of the hair as it lies, NULL where none has fallen. Each takes a
 * while: when the hand rests. */
PAGE_API(page_reading) const char *page_reading(page *p);
PAGE_API(page_fallen) const char *page_fallen(page *p);

/* Lengths along a line on the scalp, as {"kind", "way", "shape", "profile", "slope", "from", "centre", "to",
 * "gain", "points": [[x, y, z, metres from the beginning, length]]}. kind 0: the shortest way from a to b; 1:
 * all round at the height of a, from its own bearing on; 2: up through a, from the hairline to the top. Only
 * places with hair. */
PAGE_API(page_band)
const char *page_band(page *p, int kind, double ax, double ay, double az, double bx, double by, double bz);

/* What the page gives the module: asked every few milliseconds while hair falls or is read; 0 leaves the rest
 * undone, which is LW_ERROR_STOPPED. Native code, which has no page, goes on. */
#ifdef __wasm__
__attribute__((import_module("page"), import_name("goes_on"))) int page_goes_on(void);
#endif

/* Lets the hair of the last prediction fall, with so many nodes a hair, making room so many times at most, in
 * so many parts at once: lw_fall_options. While parts are left, asking again does those. Hair goes on from
 * where it last lay (lw_fall_again) if that was on the same head and scalp with as many nodes, and otherwise
 * falls from the comb. Head and roots stay the same from prediction to prediction while the plan says the
 * same of them. Returns an lw_status; when it is not 0 page_error says why, and hair lies as it lay. */
PAGE_API(page_fall) int page_fall(page *p, int nodes, int packings, int parts);
PAGE_API(page_fall_lift) void page_fall_lift(page *p); /* forgets it: the next falls from the comb */

/* Hair as it lies, that of root i at row i; no hairs where none has fallen. It may be that of an earlier
 * prediction. */
PAGE_API(page_fall_hairs) int page_fall_hairs(const page *p);
PAGE_API(page_fall_nodes) int page_fall_nodes(const page *p);
PAGE_API(page_fall_at) const double *page_fall_at(const page *p); /* x, y, z by hair and node */
PAGE_API(page_fall_went_on) int page_fall_went_on(const page *p); /* 1: from where it lay before */
PAGE_API(page_fall_not_at_rest) int page_fall_not_at_rest(const page *p);
PAGE_API(page_fall_rounds) double page_fall_rounds(const page *p); /* of all hairs together */
PAGE_API(page_fall_left) int page_fall_left(const page *p);        /* parts that are still to come */

/* The head of the last plan that was taken: its measures in metres, and where the tape lies that takes one.
 * No points where there is no head. */
PAGE_API(page_measure_count) int page_measure_count(void);
PAGE_API(page_measure_name) const char *page_measure_name(int i); /* "" out of range */
PAGE_API(page_measure) double page_measure(const page *p, int i); /* NAN where there is no head */
PAGE_API(page_tape) int page_tape(page *p, int i);                /* how many points */
PAGE_API(page_tape_at) const double *page_tape_at(const page *p); /* x, y, z; of the last page_tape */

/* Arrays by hair. */
PAGE_API(page_hairs) int page_hairs(const page *p);
PAGE_API(page_roots) const double *page_roots(const page *p);        /* x, y, z */
PAGE_API(page_normals) const double *page_normals(const page *p);    /* x, y, z */
PAGE_API(page_lengths) const double *page_lengths(const page *p);    /* after the cut */
PAGE_API(page_before) const double *page_before(const page *p);      /* before it */
PAGE_API(page_sections) const int16_t *page_sections(const page *p); /* see page_section_name */
PAGE_API(page_set_by) const int32_t *page_set_by(const page *p);     /* row of page_panels, -1 none */

PAGE_API(page_section_count) int page_section_count(const page *p);
PAGE_API(page_section_name) const char *page_section_name(const page *p, int i); /* "" out of range */

PAGE_API(page_panel_count) int page_panel_count(const page *p);
PAGE_API(page_panel_columns) int page_panel_columns(void);
PAGE_API(page_panels) const double *page_panels(const page *p);
PAGE_API(page_lines)
const double *page_lines(const page *p); /* s, t; a panel's own from PAGE_PANEL_LINE_FIRST */

/* Rows of four by landmark: x, y, z and the length the cut leaves there. */
PAGE_API(page_landmark_count) int page_landmark_count(void);
PAGE_API(page_landmark_name) const char *page_landmark_name(int i); /* "" out of range */
PAGE_API(page_landmarks) const double *page_landmarks(const page *p);

/* Warnings are looked for when their number is asked for first, after which addresses got before are void:
 * lengths come first, which need half the time. -1 without memory; page_error then says so. */
PAGE_API(page_warning_count) int page_warning_count(page *p);
PAGE_API(page_warning) const char *page_warning(const page *p, int i);               /* "" out of range */
PAGE_API(page_warning_remedy) const char *page_warning_remedy(const page *p, int i); /* "" out of range */
PAGE_API(page_warning_step) int page_warning_step(const page *p, int i);             /* 0 none */
PAGE_API(page_warning_panel) int page_warning_panel(const page *p, int i);           /* 0 none */

/* ---- to draw it: page_view.c ---- */

/* How many heads there have been: what hangs on the head alone is void when it changes. */
PAGE_API(page_head_number) int page_head_number(const page *p);

/* The bust above the height `foot` as triangles (lw_mesh_above; lw_mesh_new for a verification head), made
 * once for a head. Returns an lw_status. */
PAGE_API(page_bust) int page_bust(page *p, double cell, double foot);
PAGE_API(page_bust_vertices) int page_bust_vertices(const page *p);
PAGE_API(page_bust_triangles) int page_bust_triangles(const page *p);
PAGE_API(page_bust_at) const double *page_bust_at(const page *p); /* x, y, z by vertex */
PAGE_API(page_bust_normals) const double *page_bust_normals(const page *p);
PAGE_API(page_bust_corners) const int32_t *page_bust_corners(const page *p);
PAGE_API(page_bust_scalp) const uint8_t *page_bust_scalp(const page *p); /* 1 where hair can grow */

/* How far the bust lies open within 16 mm, by vertex: 0 in a crease to 1 on its own. */
PAGE_API(page_bust_open) const float *page_bust_open(const page *p);

/* lw_head_bust on a grid from x, y, z on, x fastest, then y; up to 256 points each way. NULL without a head
 * or memory. */
PAGE_API(page_bust_field)
const float *page_bust_field(page *p, double x, double y, double z, double cell, int wide, int high,
                             int deep);

/* The colours of a length map, evenly from short to long: red, green and blue, sRGB. */
PAGE_API(page_colour_count) int page_colour_count(void);
PAGE_API(page_colours) const uint8_t *page_colours(void);

/* lw_cut_held_points of every hair that a panel set, or with `panel` from 0 that this one set: x, y, z by
 * hair and node, 2 to 64 nodes; NAN for the others. NULL without a prediction or memory. */
PAGE_API(page_held) const float *page_held(page *p, int nodes, int panel);

/* Curl too tight for the nodes of fallen hair, lw_coil by hair: radius, turn. NULL where there is none. */
PAGE_API(page_fall_coils) const double *page_fall_coils(const page *p);

/* More of a panel, as rows like those of page_panels. NORMAL is the scalp's where it is held, the others are
 * those of lw_panel. */
typedef enum page_hold_column {
    PAGE_HOLD_NORMAL,
    PAGE_HOLD_ELEVATION = PAGE_HOLD_NORMAL + 3,
    PAGE_HOLD_CARRY,
    PAGE_HOLD_FACTOR,
    PAGE_HOLD_SECTION,
    PAGE_HOLD_HAIRS,
    PAGE_HOLD_CUT,
    PAGE_HOLD_LINE_LENGTH,
    PAGE_HOLD_GUIDE,
    PAGE_HOLD_WHOLE,
    PAGE_HOLD_BITE,
    PAGE_HOLD_BITES,
    PAGE_HOLD_COLUMNS
} page_hold_column;
PAGE_API(page_hold_columns) int page_hold_columns(void);
PAGE_API(page_holds) const double *page_holds(page *p); /* NULL without memory */

/* Places that the plan names, where they lie: of the WHICHth parting or step, the NTH of its places, all from
 * 0. */
typedef enum page_place_of {
    PAGE_PLACE_OF_PARTING,
    PAGE_PLACE_OF_HOLD,
    PAGE_PLACE_OF_GUIDE,
    PAGE_PLACE_OF_PIVOT
} page_place_of;
typedef enum page_place_column {
    PAGE_PLACE_OF,
    PAGE_PLACE_WHICH,
    PAGE_PLACE_NTH,
    PAGE_PLACE_AT,
    PAGE_PLACE_COLUMNS = PAGE_PLACE_AT + 3
} page_place_column;
PAGE_API(page_place_columns) int page_place_columns(void);
PAGE_API(page_places) const double *page_places(page *p); /* NULL without a prediction or memory */
PAGE_API(page_place_count) int page_place_count(const page *p);

/* The lines on the scalp between the sections (step 0) or between the panels of a step (from 1), of short
 * straight pieces, and the hairline where it bounds them. Wants the bust. Returns an lw_status. */
PAGE_API(page_outline) int page_outline(page *p, int step);
PAGE_API(page_outline_count) int page_outline_count(const page *p);
PAGE_API(page_outline_at) const double *page_outline_at(const page *p); /* x, y, z of both ends */
PAGE_API(page_outline_beside)
const int32_t *page_outline_beside(const page *p); /* the two labels; -1 beyond the hairline or the step */

#endif
