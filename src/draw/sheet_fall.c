/* How the cut falls, on the first page and on a key: three views of the fallen hair, and under each of them
 * what it reads as. A worksheet has the bust to draw on and gaps for the words. */
#include <math.h>
#include <stdio.h>

#include "fall_drawing.h"
#include "look.h"
#include "sheet.h"

enum { CAPTION = 14, LABEL = 33, LINE = 12, VALUE_MAX = 96 };

static const struct {
    view_side side;
    lw_side of;
    const char *name;
} falls[SHEET_FALLS] = {{VIEW_FRONT, LW_SIDE_FRONT, "front"},
                        {VIEW_LEFT, LW_SIDE_LEFT, "client's left"},
                        {VIEW_BACK, LW_SIDE_BACK, "back"}};

/* ---- words -------------------------------------------------------------------------------- */

/* "at the chin"; on a head without a face how far above or below the ear holes. */
static void say_height(char out[VALUE_MAX], const draw_subject *of, double height) {
    char length[32];
    if (!isfinite(height)) {
        snprintf(out, VALUE_MAX, "none here");
        return;
    }
    lw_level_words(out, VALUE_MAX, of->head, height);
    if (out[0]) return;
    say_length(length, fabs(height), of->plan->units);
    snprintf(out, VALUE_MAX, "%s %s the middle", length, height < 0 ? "below" : "above");
}

/* How far above the ends: they are named before it. */
static void say_weight(char out[VALUE_MAX], const draw_subject *of, const lw_side_reading *side) {
    char length[32];
    double above = side->weight - side->perimeter;
    if (!isfinite(side->weight)) {
        snprintf(out, VALUE_MAX, "no line");
        return;
    }
    say_length(length, above, of->plan->units);
    snprintf(out, VALUE_MAX, "%s above, %s", length, lw_sharpness_name(side->sharpness));
}

typedef struct value {
    const char *label;
    char text[VALUE_MAX];
} value;

enum { VALUES = 3 };

/* What is said of a view; returns how much. */
static int values_of(value out[VALUES], const draw_subject *of, int i) {
    const lw_fallen *f = of->fallen;
    const lw_side_reading *side = &f->side[falls[i].of];
    int n = 0;
    out[n].label = "ends";
    say_height(out[n++].text, of, side->perimeter);
    out[n].label = "weight";
    say_weight(out[n++].text, of, side);
    double breadth = falls[i].side == VIEW_FRONT ? f->width : falls[i].side == VIEW_LEFT ? f->depth : 0;
    if (!(breadth > 0)) return n;
    out[n].label = falls[i].side == VIEW_FRONT ? "width" : "depth";
    say_length(out[n].text, breadth, of->plan->units);
    return n + 1;
}

static double value_row(sheet *s, drawing *d, point at, double width, const value *v) {
    char text[VALUE_MAX + 16];
    double wide = width - LABEL;
    point to = {at.x + LABEL, at.y};
    if (s->form == SAY_PLAIN)
        snprintf(text, sizeof text, "%s", v->text);
    else if (s->form == SAY_ANSWERS)
        snprintf(text, sizeof text, "(%d) %s", ++s->gap, v->text);
    else
        snprintf(text, sizeof text, "(%d)", ++s->gap);
    draw_open(d, PART_ROW, "");
    draw_open(d, PART_CELL, "");
    draw_text(d, TEXT_SMALL, ALIGN_START, at, LABEL, v->label);
    draw_close(d);
    draw_open(d, PART_CELL, "");
    draw_text(d, TEXT_SMALL, ALIGN_START, to, wide, text);
    if (s->form == SAY_GAPS) sheet_blank(d, to.x + 22, to.y + LINE - 2, wide - 22);
    draw_close(d);
    draw_close(d);
    return fmax(LINE, text_size(TEXT_SMALL, wide, text).y);
}

static double words_of(sheet *s, drawing *d, int i, point at, double width) {
    value said[VALUES];
    int n = values_of(said, &s->study.subject, i);
    double y = at.y;
    draw_open(d, PART_TABLE, "");
    for (int k = 0; k < n; k++) y += value_row(s, d, (point){at.x, y}, width, &said[k]);
    draw_close(d);
    return y - at.y;
}

double sheet_falls_below(sheet *s, double width) {
    drawing scratch;
    int gap = s->gap;
    double most = 0;
    drawing_begin(&scratch, s->body.width, s->body.height);
    for (int i = 0; i < SHEET_FALLS; i++) most = fmax(most, words_of(s, &scratch, i, (point){0, 0}, width));
    drawing_clear(&scratch);
    s->gap = gap;
    return CAPTION + most;
}

/* ---- figures ------------------------------------------------------------------------------ */

static void describe(char *out, size_t size, const sheet *s, int i) {
    value said[VALUES];
    int n = values_of(said, &s->study.subject, i);
    size_t k = (size_t)snprintf(out, size, "The bust seen from the %s", falls[i].name);
    if (s->form == SAY_GAPS) {
        snprintf(out + k, size - k, ", to draw the fallen hair on.");
        return;
    }
    k += (size_t)snprintf(out + k, size - k, " with the outline of the hair as it falls.");
    for (int v = 0; v < n; v++)
        k += (size_t)snprintf(out + k, size - k, "%s %s: %s", v ? ";" : "", said[v].label, said[v].text);
}

static void one_fall(sheet *s, drawing *d, int i, const stage *on, frame at) {
    char alt[400];
    describe(alt, sizeof alt, s, i);
    draw_open(d, PART_FIGURE, alt);
    draw_fall(d, &s->study, falls[i].side, on, s->form != SAY_GAPS);
    draw_close(d);
    double y = at.y + at.height;
    draw_text(d, TEXT_SMALL, ALIGN_CENTRE, (point){at.x + at.width / 2, y + LOOK_GRID / 2.0}, 0,
              falls[i].name);
    words_of(s, d, i, (point){at.x, y + CAPTION}, at.width);
}

void sheet_falls(sheet *s, drawing *d, frame first, double apart) {
    double scale = 0;
    frame at[SHEET_FALLS];
    for (int i = 0; i < SHEET_FALLS; i++) {
        at[i] = (frame){first.x + i * apart, first.y, first.width, first.height};
        double fits = fall_stage(&s->study, falls[i].side, at[i], 0).scale;
        if (scale == 0 || fits < scale) scale = fits;
    }
    for (int i = 0; i < SHEET_FALLS; i++) {
        stage on = fall_stage(&s->study, falls[i].side, at[i], scale);
        one_fall(s, d, i, &on, at[i]);
    }
}
