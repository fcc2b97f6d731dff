/* What the drawing room offers: the cut on paper and as pictures, written into memory. Files are the
 * caller's. */
#ifndef LW_DRAW_H
#define LW_DRAW_H

#include "lengthwise.h"
#include "tell.h"

typedef struct draw_bytes {
    unsigned char *data;
    size_t size;
} draw_bytes;

void draw_bytes_clear(draw_bytes *all);

typedef enum draw_format { DRAW_PDF, DRAW_SVG, DRAW_PNG } draw_format;

typedef enum draw_paper { DRAW_A4, DRAW_LETTER } draw_paper;

typedef enum draw_use {
    DRAW_SHEET,     /* to cut by */
    DRAW_WORKSHEET, /* its numbers left blank, to fill in */
    DRAW_KEY        /* the worksheet's answers */
} draw_use;

typedef tell_subject draw_subject;

/* The head made ready for drawing, which takes as long as the rest of a sheet and does not ask how hair
 * falls: so it can be made while hair does. Of a subject whose fallen hair may be told later; the rest of it
 * stays where it is. */
typedef struct draw_ready draw_ready;

lw_status draw_ready_new(draw_ready **out, const draw_subject *subject, lw_error *error);
void draw_ready_free(draw_ready *ready);

/* The same while the subject's hair falls as lw_fall_new lets it and is read as lw_fallen_new reads it:
 * beside one another where there are threads. Same bits as one after the other. subject->fallen is not looked
 * at. Where both fail the fall's error is told; on any error nothing is left. options->progress is asked from
 * another thread; a fall that it stops is LW_ERROR_STOPPED, once the head is ready. */
lw_status draw_ready_beside_fall(draw_ready **ready, lw_fallen *fallen, const draw_subject *subject,
                                 const lw_fall_options *options, lw_error *error);

typedef struct draw_sheet_options {
    draw_format format;
    draw_paper paper;
    draw_use use;
    int page;                /* 0: all; otherwise only this one, counted from 1 */
    double dpi;              /* PNG */
    const char *date;        /* ISO 8601; printed, and the date of the file */
    const draw_ready *ready; /* of the same subject; NULL: is made here */
} draw_sheet_options;

/* A4 PDF sheet, all pages, 150 dots per inch, no date. */
draw_sheet_options draw_sheet_default(void);

/* The date of here and now, for draw_sheet_options; empty where the clock tells none. */
#define DRAW_DATE_MAX 16
const char *draw_today(char out[DRAW_DATE_MAX]);

/* The cutting sheet: page 1 the cut at a glance, then every step. */
lw_status draw_sheet(draw_bytes *out, const draw_subject *subject, const draw_sheet_options *options,
                     lw_error *error);

/* From where the bust is looked at. */
typedef enum draw_side {
    DRAW_FRONT,
    DRAW_BACK,
    DRAW_LEFT, /* the client's left side */
    DRAW_RIGHT,
    DRAW_ABOVE,         /* the face at the top */
    DRAW_THREE_QUARTER, /* from the front and the client's left */
    DRAW_SIDES
} draw_side;

typedef struct draw_bust_options {
    draw_side side;
    int height;       /* pixels, 16 to 8192; the width follows */
    double cell;      /* length of the mesh's edges, metres, .001 to .02 */
    bool transparent; /* no background */
} draw_bust_options;

/* From the front, 1200 pixels high, cells of 1.5 mm, before a pale background. */
draw_bust_options draw_bust_default(void);

/* A picture of the bust as PNG. */
lw_status draw_bust(draw_bytes *out, const lw_head *head, const draw_bust_options *options, lw_error *error);

/* ---- the finished head as a picture ---- */

typedef enum draw_hair_colour {
    DRAW_HAIR_BLACK,
    DRAW_HAIR_DARK_BROWN,
    DRAW_HAIR_MID_BROWN,
    DRAW_HAIR_FAIR,
    DRAW_HAIR_RED,
    DRAW_HAIR_GREY, /* white hairs among brown ones */
    DRAW_HAIR_COLOURS
} draw_hair_colour;

typedef struct draw_hair_picture_options {
    draw_side side;
    int height; /* pixels, 64 to 8192; three quarters as wide */
    draw_hair_colour colour;
    double cell;      /* length of the edges of the bust's mesh, metres, .001 to .02; 0: as fine as is seen */
    bool transparent; /* no background */
} draw_hair_picture_options;

/* From the front, 1200 pixels high, dark brown, before a pale background. */
draw_hair_picture_options draw_hair_picture_default(void);

/* A picture as PNG of the bust and of the strands, each shown as the fine hairs that it stands for. Points of
 * strands lie within 3 m of the head. Same bytes for any number of threads. */
lw_status draw_hair_picture(draw_bytes *out, const lw_strands *hair, const lw_head *head,
                            const draw_hair_picture_options *options, lw_error *error);

/* ---- the bust and its hair as a model ---- */

typedef enum draw_hair {
    DRAW_HAIR_FALLEN, /* at rest after the cut */
    DRAW_HAIR_HELD,   /* where each hair was held when it was cut; what no panel cut is at rest */
    DRAW_HAIR_NONE
} draw_hair;

typedef struct draw_model_options {
    bool binary; /* .glb; otherwise .gltf with its buffer in it */
    draw_hair hair;
    bool map;    /* hairs in the colours of the length map, from the shortest to the longest */
    double cell; /* length of the bust's edges, metres, .001 to .02 */
} draw_model_options;

/* Binary, fallen hair, brown, cells of 3 mm. */
draw_model_options draw_model_default(void);

/* The bust and its hair as glTF 2.0: docs/export.md. Reads the subject's plan, head, scalp and cut. fallen is
 * its hair at rest, hair i from root i; it may be NULL without hair. */
lw_status draw_model(draw_bytes *out, const draw_subject *subject, const lw_strands *fallen,
                     const draw_model_options *options, lw_error *error);

#endif
