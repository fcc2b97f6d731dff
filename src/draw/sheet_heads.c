/* The heads of the first page: sections and the map of lengths from five sides, and, where the fall was read,
 * how the cut falls from three of them, each under the map of its side. All maps have one scale, and so have
 * all views of the fall, which is smaller where the hair reaches farther than the head. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "fail.h"
#include "head_drawing.h"
#include "look.h"
#include "sheet.h"

enum { HEADS = 5, ABOVE = 4, CAPTION = 14, BAR = 14, FIGURES = 16, LEGEND = 66 };

/* Round the head as one walks round a chair, so that front, left and back stand over the views of the fall;
 * without these the front comes first. */
static const view_side round_the_chair[HEADS] = {VIEW_RIGHT, VIEW_FRONT, VIEW_LEFT, VIEW_BACK, VIEW_ABOVE};
static const view_side from_front[HEADS] = {VIEW_FRONT, VIEW_LEFT, VIEW_BACK, VIEW_RIGHT, VIEW_ABOVE};
static const char *const captions[VIEW_SIDES] = {[VIEW_FRONT] = "front",
                                                 [VIEW_BACK] = "back",
                                                 [VIEW_LEFT] = "client's left",
                                                 [VIEW_RIGHT] = "client's right",
                                                 [VIEW_ABOVE] = "from above"};

/* Where everything stands. */
typedef struct heads {
    const view_side *side;
    frame at[HEADS];
    stage on[HEADS];
    frame legend;
    bool falls; /* it was read: */
    bool four;  /* in four columns */
    frame fall; /* its first view */
    double maps_heading, fall_heading;
    map_scale map;
    bool mapped;
} heads;

static frame place_in(const sheet *s, int columns, int i, double y, double row, double apart) {
    double column = (s->body.width - (columns - 1) * LOOK_GUTTER) / columns;
    return (frame){s->body.x + (i % columns) * (column + LOOK_GUTTER), y + i / columns * apart, column, row};
}

/* Three columns: the maps, the legend in the sixth place, and under them the fall where it was read. */
static void place_in_three(heads *h, sheet *s, double y, double height) {
    frame one = place_in(s, 3, 0, 0, 0, 0);
    double heading = look_text(TEXT_STRONG)->leading,
           fall = h->falls ? heading + LOOK_GAP + sheet_falls_below(s, one.width) : 0;
    double row = (height - fall - LOOK_GAP - 2 * CAPTION) / (h->falls ? 3 : 2);
    double apart = row + CAPTION + LOOK_GAP;
    h->side = from_front;
    for (int i = 0; i < HEADS; i++) h->at[i] = place_in(s, 3, i, y, row, apart);
    h->legend = place_in(s, 3, HEADS, y, row, apart);
    if (h->mapped) h->legend = (frame){h->legend.x, h->legend.y + row - LEGEND, h->legend.width, LEGEND};
    h->fall_heading = y + 2 * apart;
    h->fall = place_in(s, 3, 0, h->fall_heading + heading, row, 0);
}

/* Of a head as wide as its column; from the side it is widest. */
static double full_height(const sheet *s, double column) {
    stage on = head_stage(&s->study, VIEW_LEFT, (frame){0, 0, column, 10 * column}, 0);
    return head_frame(&s->study, &on).height + 2 * STUDY_MARGIN * on.scale;
}

/* Four columns: from above and the legend stand beside the fall, the rest over it. */
static void place_in_four(heads *h, sheet *s, double y, double height) {
    frame one = place_in(s, 4, 0, 0, 0, 0);
    double heading = look_text(TEXT_STRONG)->leading, below = sheet_falls_below(s, one.width);
    double row = fmin((height - 2 * heading - CAPTION - LOOK_GAP - below) / 2, full_height(s, one.width));
    double second = y + 2 * heading + row + CAPTION + LOOK_GAP;
    h->side = round_the_chair;
    h->maps_heading = y;
    h->fall_heading = second - heading;
    for (int i = 0; i < ABOVE; i++) h->at[i] = place_in(s, 4, i, y + heading, row, 0);
    double legend = h->mapped ? BAR + FIGURES : 0, tall = row + below - legend - CAPTION;
    h->at[ABOVE] = place_in(s, 4, 0, second, fmin(row, tall), 0);
    h->legend = (frame){one.x, second + row + below - legend, one.width, legend};
    h->fall = place_in(s, 4, 1, second, row, 0);
}

/* Three columns need that much for heads as large as four have. */
enum { THREE_LEAST = 500 };

static heads place_heads(sheet *s, double y, double height) {
    double scale = 0;
    heads h = {
        .map = map_scale_of(&s->study), .mapped = s->form == SAY_PLAIN, .falls = s->subject->fallen != NULL};
    h.four = h.falls && height < THREE_LEAST;
    if (h.four)
        place_in_four(&h, s, y, height);
    else
        place_in_three(&h, s, y, height);
    for (int i = 0; i < HEADS; i++) {
        h.on[i] = head_stage(&s->study, h.side[i], h.at[i], 0);
        if (scale == 0 || h.on[i].scale < scale) scale = h.on[i].scale;
    }
    for (int i = 0; i < HEADS; i++) h.on[i] = head_stage(&s->study, h.side[i], h.at[i], scale);
    return h;
}

void sheet_heads_room(double *least, double *most, const sheet *s) {
    *least = s->subject->fallen ? 330 : 260;
    *most = s->subject->fallen ? 460 : 420;
}

static bool overlap(frame a, frame b) {
    return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

/* Whether words stand clear of the other heads, of the legend and of the marks before `own`, this head's
 * first. */
static bool clear(const sheet *s, const drawing *d, int own, const heads *h, int i, frame words) {
    if (words.x < s->body.x - LOOK_GUTTER || words.x + words.width > s->body.x + s->body.width + LOOK_GUTTER)
        return false;
    for (int k = 0; k < HEADS; k++)
        if (k != i && overlap(words, head_frame(&s->study, &h->on[k]))) return false;
    frame falls = {h->fall.x, h->fall_heading, s->body.width, 2 * h->fall.height};
    if (overlap(words, h->legend) || (h->falls && overlap(words, falls))) return false;
    for (int k = 0; k < own; k++)
        if (d->marks[k].kind == MARK_TEXT && overlap(words, d->marks[k].at)) return false;
    return true;
}

/* Leaves out what is about a section, from the mark `first` on. */
static void unname(drawing *d, int first, int section) {
    int kept = first;
    for (int k = first; k < d->mark_count; k++)
        if (d->marks[k].about != section) d->marks[kept++] = d->marks[k];
    d->mark_count = kept;
}

/* Names stand beside the head where they do not fit on it; one that would be in the way there is left out. */
static void draw_named_sections(sheet *s, drawing *d, int i, const heads *h, int own) {
    int first = d->mark_count;
    draw_sections(d, &s->study, h->side[i], &h->on[i], true);
    for (int k = first; k < d->mark_count; k++) {
        if (d->marks[k].kind != MARK_TEXT || clear(s, d, own, h, i, d->marks[k].at)) continue;
        unname(d, first, d->marks[k].about);
        k = first - 1;
    }
}

/* What takes long of a head: its lines and its map, drawn apart from the page. */
typedef struct head_part {
    drawing lines;
    image *map;
    lw_error error;
} head_part;

static void draw_part(head_part *part, const sheet *s, int i, const heads *h) {
    drawing *d = &part->lines;
    const stage *on = &h->on[i];
    if (part->map && draw_map(d, part->map, &s->study, h->side[i], on, &h->map, &part->error)) return;
    draw_head(d, &s->study, h->side[i], on);
    if (h->mapped) draw_contours(d, &s->study, h->side[i], on, &h->map);
}

static void draw_one_head(sheet *s, drawing *d, int i, const heads *h, const head_part *part) {
    frame at = h->at[i];
    char alt[160];
    int own = d->mark_count;
    snprintf(alt, sizeof alt, "The head seen from %s%s, with its sections%s.", i == ABOVE ? "above" : "the ",
             i == ABOVE ? "" : captions[h->side[i]], h->mapped ? " and the lengths that the cut leaves" : "");
    draw_open(d, PART_FIGURE, alt);
    draw_drawing(d, &part->lines);
    draw_named_sections(s, d, i, h, own);
    draw_close(d);
    draw_text(d, TEXT_SMALL, ALIGN_CENTRE, (point){at.x + at.width / 2, at.y + at.height + LOOK_GRID / 2.0},
              0, captions[h->side[i]]);
}

#define SHADE_THEM "shade where you expect the longest hair, and write the lengths you expect below."
#define DRAW_THEM "Draw how you expect the hair to fall, where it ends and where its weight lies."
#define READ_MAP "Thin lines join places of one length; thick lines are partings."
#define READ_FALL "Heavy: outline. Thin: ends. Dashed: where weight lies above the ends."

static void draw_scale(sheet *s, drawing *d, const heads *h, frame bar) {
    image *picture = sheet_picture(s);
    if (!picture) return;
    draw_open(d, PART_FIGURE, "The scale of the map of lengths.");
    s->status = draw_map_scale(d, picture, &h->map, bar, s->error);
    draw_close(d);
}

/* What the colours mean, or what to do. */
static void draw_legend(sheet *s, drawing *d, const heads *h) {
    frame at = h->legend;
    if (!h->mapped) {
        sheet_words(d, PART_PARAGRAPH, TEXT_BODY, (point){at.x, at.y + LOOK_GUTTER}, at.width,
                    "Before you cut: " SHADE_THEM);
        return;
    }
    sheet_words(d, PART_PARAGRAPH, TEXT_SMALL, (point){at.x, at.y}, at.width,
                "Length after the cut. " READ_MAP);
    draw_scale(s, d, h,
               (frame){at.x + LOOK_GAP, at.y + at.height - FIGURES - BAR, at.width - 4 * LOOK_GAP, BAR});
}

/* A heading, and beside it how to read what is below, or what to do with it. */
static void draw_heading(drawing *d, point at, double width, const char *heading, const char *how) {
    double beside = text_size(TEXT_STRONG, 0, heading).x + 2 * LOOK_GAP;
    char fitted[160];
    sheet_words(d, PART_HEADING, TEXT_STRONG, at, 0, heading);
    sheet_fitted(fitted, sizeof fitted, TEXT_SMALL, width - beside, 1, how);
    sheet_words(d, PART_PARAGRAPH, TEXT_SMALL, (point){at.x + beside, at.y + 2}, 0, fitted);
}

static void draw_falls(sheet *s, drawing *d, const heads *h) {
    double right = s->body.x + s->body.width;
    draw_heading(d, (point){h->fall.x, h->fall_heading}, right - h->fall.x, "How it falls",
                 h->mapped ? READ_FALL : DRAW_THEM);
    sheet_falls(s, d, h->fall, h->fall.width + LOOK_GUTTER);
}

/* Where heads stand in four columns, what is read beside them stands over them. */
static void draw_reading(sheet *s, drawing *d, const heads *h) {
    if (!h->four) {
        draw_legend(s, d, h);
        return;
    }
    draw_heading(d, (point){s->body.x, h->maps_heading}, s->body.width, "Length after the cut",
                 h->mapped ? READ_MAP : "Before you cut, " SHADE_THEM);
    frame bar = {h->legend.x + LOOK_GRID, h->legend.y, h->legend.width - 3 * LOOK_GAP, BAR};
    if (h->mapped) draw_scale(s, d, h, bar);
}

void sheet_heads(sheet *s, drawing *d, double y, double height) {
    heads h = place_heads(s, y, height);
    head_part parts[HEADS] = {0};
    for (int i = 0; h.mapped && i < HEADS && !s->status; i++) parts[i].map = sheet_picture(s);
    if (s->status) return;
#pragma omp parallel for schedule(dynamic, 1)
    for (int i = 0; i < HEADS; i++) draw_part(&parts[i], s, i, &h);
    for (int i = 0; i < HEADS; i++) {
        if (!s->status && parts[i].error.status) s->status = fail_as(s->error, &parts[i].error);
        if (!s->status) draw_one_head(s, d, i, &h, &parts[i]);
        drawing_clear(&parts[i].lines);
    }
    if (!s->status) draw_reading(s, d, &h);
    if (!s->status && h.falls) draw_falls(s, d, &h);
}
