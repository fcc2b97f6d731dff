/* The lengths a cut leaves, as a map on the head.
 *
 * A length is interpolated inside its triangle, and no triangle
 * crosses a parting, so the map is sharp there. The colour is that of the length and is shaded a little by
 * the way the surface lies, so that the head stays a head; the same lengths are on it as contours with
 * their numbers, which is what is left of a map in black and white. */
#include "map.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cividis.h"
#include "fail.h"
#include "head_drawing.h"
#include "label.h"
#include "name.h"
#include "sample.h"
#include "vec.h"

#define INCH .0254
#define SHORT .012     /* metres of contour not worth a line */
#define ABOVE 2e-5     /* metres by which a contour lies above its level: hair all cut to it has none */
#define ONE_VALUE .003 /* metres of difference that are still one length */
#define FINE 2.4       /* pixels per point */
#define PALE .25       /* paper in every colour, so that lines and labels read over it */

enum { GRID = 2 /* samples a pixel, each way */, WANTED = 6 /* contours */ };

/* ---- the scale ---- */

static const double steps_cm[] = {.5, 1, 2, 5, 10, 20}, steps_inch[] = {.125, .25, .5, 1, 2, 4, 8};

static double unit_of(lw_units units) { return units == LW_INCH ? INCH : .01; }

/* Whole steps strictly between low and high. */
static int steps_between(double low, double high, double step) {
    return (int)(ceil(high / step - 1e-6) - floor(low / step + 1e-6)) - 1;
}

/* How far from WANTED the contours would be in number, as a ratio. */
static double wrong_count(const map_scale *scale, double step) {
    int count = steps_between(scale->low, scale->high, step);
    return count > 0 ? fabs(log((double)count / WANTED)) : INFINITY;
}

static void set_levels(map_scale *scale, double low) {
    const double *steps = scale->units == LW_INCH ? steps_inch : steps_cm, unit = unit_of(scale->units);
    int count = scale->units == LW_INCH ? 7 : 6, i = 0;
    for (int k = 1; k < count; k++)
        if (wrong_count(scale, steps[k] * unit) < wrong_count(scale, steps[i] * unit)) i = k;
    scale->step = steps[i] * unit;
    scale->low = floor(scale->low / scale->step + 1e-6) * scale->step;
    scale->high = ceil(scale->high / scale->step - 1e-6) * scale->step;
    for (int k = 0; k < i && scale->low == 0; k++)
        if (steps[k] * unit > low) scale->level[scale->level_count++] = steps[k] * unit;
    int whole = (int)lround((scale->high - scale->low) / scale->step);
    for (int k = 1; k < whole && scale->level_count < MAP_LEVELS_MAX; k++)
        scale->level[scale->level_count++] = scale->low + k * scale->step;
}

map_scale map_scale_of(const study *s) {
    map_scale scale = {.units = s->subject.plan->units, .low = INFINITY, .high = -INFINITY};
    double sum = 0;
    for (int i = 0; i < s->scalp.mesh.vertex_count; i++) {
        scale.low = fmin(scale.low, s->scalp_length[i]);
        scale.high = fmax(scale.high, s->scalp_length[i]);
        sum += s->scalp_length[i];
    }
    if (!(scale.high >= scale.low)) scale.low = scale.high = 0;
    if (scale.high - scale.low < ONE_VALUE)
        scale.low = scale.high = sum / fmax(1, s->scalp.mesh.vertex_count);
    else
        set_levels(&scale, scale.low);
    return scale;
}

void map_colour(double rgb[3], const map_scale *scale, double length) {
    cividis(rgb, scale->high > scale->low ? (length - scale->low) / (scale->high - scale->low) : .5);
    for (int k = 0; k < 3; k++) rgb[k] += PALE * (1 - rgb[k]);
}

void map_number(char out[16], double length, lw_units units) {
    if (units == LW_CM) {
        snprintf(out, 16, "%g", round(length * 1000) / 10);
        return;
    }
    int eighths = (int)lround(fmin(fmax(length / INCH, 0), 9999) * 8), whole = eighths / 8,
        part = eighths % 8;
    int of = part % 4 == 0 ? 2 : part % 2 == 0 ? 4 : 8;
    if (!part)
        snprintf(out, 16, "%d", whole);
    else if (whole)
        snprintf(out, 16, "%d %d/%d", whole, part * of / 8, of);
    else
        snprintf(out, 16, "%d/%d", part * of / 8, of);
}

/* ---- the picture ---- */

typedef struct picture_of {
    const study *s;
    const map_scale *scale;
    const view *view;
    scalp_samples samples;
} picture_of;

/* Colour and cover of one sample. */
static void add_sample(double sum[4], const picture_of *of, int column, int row) {
    int32_t index = of->samples.seen.triangle[(size_t)row * (size_t)of->samples.seen.width + (size_t)column];
    if (index < 0) return;
    const lw_mesh *mesh = &of->s->scalp.mesh;
    const int32_t *t = mesh->triangle[index];
    double w[3], length = 0, rgb[3];
    lw_vec3 n = {0};
    const flat *at = of->samples.at;
    raster_weights(&at[t[0]], &at[t[1]], &at[t[2]], column + .5, row + .5, w);
    for (int k = 0; k < 3; k++) {
        length += w[k] * of->s->scalp_length[t[k]];
        n = v3_along(n, mesh->normal[t[k]], w[k]);
    }
    lw_vec3 lamp =
        v3_add(v3_scale(of->view->right, -.35), v3_add(v3_scale(of->view->up, .5), of->view->toward));
    double light = .80 + .20 * fmax(0, v3_dot(v3_unit(n), v3_unit(lamp)));
    map_colour(rgb, of->scale, length);
    for (int k = 0; k < 3; k++) sum[k] += light * rgb[k];
    sum[3] += 1;
}

static void paint_row(image *out, const picture_of *of, int row) {
    for (int column = 0; column < out->width; column++) {
        double sum[4] = {0};
        for (int k = 0; k < GRID * GRID; k++)
            add_sample(sum, of, column * GRID + k % GRID, row * GRID + k / GRID);
        uint8_t *pixel = out->rgba + 4 * ((size_t)row * (size_t)out->width + (size_t)column);
        if (sum[3] == 0) continue;
        for (int k = 0; k < 3; k++) pixel[k] = (uint8_t)lround(255 * sum[k] / sum[3]);
        pixel[3] = (uint8_t)lround(255 * sum[3] / (GRID * GRID));
    }
}

lw_status draw_map(drawing *d, image *keep, const study *s, view_side side, const stage *on,
                   const map_scale *scale, lw_error *error) {
    frame at = head_frame(s, on);
    int width = (int)ceil(at.width * FINE), height = (int)ceil(at.height * FINE);
    at.width = width / FINE, at.height = height / FINE;
    picture_of of = {.s = s, .scale = scale, .view = &s->views[side].view};
    lw_status status = image_new(keep, width, height, error);
    if (status) return status;
    status = scalp_samples_new(&of.samples, s, on, at, width * GRID, height * GRID, error);
    if (status) {
        image_clear(keep);
        return status;
    }
#pragma omp parallel for schedule(dynamic, 16)
    for (int row = 0; row < height; row++) paint_row(keep, &of, row);
    scalp_samples_clear(&of.samples);
    draw_picture(d, keep, at);
    return LW_OK;
}

/* ---- contours ---- */

/* What labels had better not cover: contours, partings, the edge of the head. */
static void take_lines(drawing *d, label_set *labels, const study *s, view_side side, const stage *on,
                       int first) {
    for (int i = first; i < d->mark_count; i++)
        if (d->marks[i].kind == MARK_LINE)
            d->failed |= !label_take_line(labels, d->points + d->marks[i].first, d->marks[i].count, 1, 1,
                                          d->marks[i].about);
    const curves *lines[] = {&s->views[side].silhouette, &s->hairline, &s->sections};
    static const double weight[] = {INFINITY, 3, 2};
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < lines[k]->point_count; i++)
            if (k == 2 || study_shows(s, side, lines[k]->points[i]))
                d->failed |= !label_take(labels, stage_point(on, lines[k]->points[i]), 1, weight[k]);
}

static bool draw_level(drawing *d, const study *s, view_side side, const stage *on, double level, int about) {
    curves c;
    lw_error ignored;
    level += ABOVE;
    if (curves_level(&c, &s->scalp.mesh, s->scalp_even, s->scalp.section, level, &ignored)) return false;
    for (int i = 0; i < c.curve_count; i++)
        if (curve_length(&c, i) >= SHORT) draw_curve(d, s, side, on, &c, i, LINE_CONTOUR, LINE_ROLES, about);
    curves_clear(&c);
    return true;
}

typedef struct spots {
    const study *s;
    const map_scale *scale;
} spots;

static int by_value(const void *a, const void *b) {
    double p = *(const double *)a, q = *(const double *)b;
    return (p > q) - (p < q);
}

/* Lengths of a section, less the shortest and longest twentieth; false: it has none, or memory ran out. */
static bool spread_of(double *low, double *middle, double *high, const study *s, int section) {
    const patch *p = &s->scalp;
    double *length = malloc(((size_t)p->mesh.vertex_count + 1) * sizeof *length);
    int count = 0;
    for (int i = 0; length && i < p->mesh.vertex_count; i++)
        if (p->section[i] == section) length[count++] = s->scalp_length[i];
    if (count) {
        qsort(length, (size_t)count, sizeof *length, by_value);
        *low = length[count / 20], *middle = length[count / 2], *high = length[count - 1 - count / 20];
    }
    free(length);
    return count > 0;
}

/* Its spaces do not break. */
static void append_number(char out[LW_NAME_MAX], double length, lw_units units) {
    char number[16], *to = out + strlen(out);
    map_number(number, length, units);
    for (const char *c = number; *c; c++) {
        if (*c == ' ') *to++ = '\xc2';
        *to++ = *c == ' ' ? '\xa0' : *c;
    }
    *to = 0;
}

/* The length of a section between two contours: one where it is about one, else from and to. */
static bool spot_text(char out[LW_NAME_MAX], const void *context, int section) {
    const spots *of = context;
    double low, middle, high;
    if (!spread_of(&low, &middle, &high, of->s, section)) return false;
    bool one = high - low <= fmax(ONE_VALUE, of->scale->step / 8);
    for (int k = 0; k < of->scale->level_count && !one; k++)
        if (of->scale->level[k] > low && of->scale->level[k] < high) return false;
    *out = 0;
    append_number(out, one ? middle : low, of->scale->units);
    if (one) return true;
    snprintf(out + strlen(out), LW_NAME_MAX - strlen(out), " to ");
    append_number(out, high, of->scale->units);
    return true;
}

void draw_contours(drawing *d, const study *s, view_side side, const stage *on, const map_scale *scale) {
    int first = d->mark_count;
    label_set labels = {0};
    for (int k = 0; k < scale->level_count; k++) d->failed |= !draw_level(d, s, side, on, scale->level[k], k);
    d->failed |= !label_take_words(&labels, d);
    take_lines(d, &labels, s, side, on, first);
    for (int k = 0; k < scale->level_count; k++) {
        char number[16];
        map_number(number, scale->level[k], scale->units);
        label_along(d, &labels, first, LINE_CONTOUR, k, number);
    }
    draw_in_sections(d, &labels, s, on, spot_text, &(spots){s, scale});
    label_set_clear(&labels);
}

/* ---- the scale drawn ---- */

static lw_status scale_picture(image *keep, const map_scale *scale, bool level, lw_error *error) {
    enum { LONG = 256, THICK = 16 };
    lw_status status = image_new(keep, level ? LONG : THICK, level ? THICK : LONG, error);
    for (int i = 0; !status && i < LONG * THICK; i++) {
        double rgb[3], t = level ? (i % LONG + .5) / LONG : 1 - (i / THICK + .5) / LONG;
        map_colour(rgb, scale, scale->low + t * (scale->high - scale->low));
        for (int k = 0; k < 3; k++) keep->rgba[4 * i + k] = (uint8_t)lround(255 * rgb[k]);
        keep->rgba[4 * i + 3] = 255;
    }
    return status;
}

typedef struct bar {
    const map_scale *scale;
    frame at;
    label_set numbers;
} bar;

/* A tick, and its length where there is room for it; `about` is its level, -1 an end of the scale. */
static void draw_tick(drawing *d, bar *b, double length, int about, bool unit) {
    const map_scale *scale = b->scale;
    frame at = b->at;
    bool level = at.width >= at.height;
    char number[24];
    map_number(number, length, scale->units);
    double half =
        text_size(TEXT_LABEL, 0, number).x / 2; /* the number stands under its tick, its unit beyond */
    if (unit)
        snprintf(number + strlen(number), sizeof number - strlen(number),
                 scale->units == LW_INCH ? " in" : " cm");
    double t = scale->high > scale->low ? (length - scale->low) / (scale->high - scale->low) : .5;
    point from = level ? (point){at.x + t * at.width, at.y + at.height}
                       : (point){at.x + at.width, at.y + (1 - t) * at.height};
    point tick[2] = {from, {from.x + (level ? 0 : 3), from.y + (level ? 3 : 0)}};
    draw_line(d, LINE_CONTOUR, about, tick, 2, false);
    point size = text_size(TEXT_LABEL, 0, number);
    point middle = level ? (point){from.x - half + size.x / 2, from.y + 4 + size.y / 2}
                         : (point){from.x + 5 + size.x / 2, from.y};
    if (label_clash(&b->numbers, middle, (point){size.x + 3, size.y}, 0, -1) == INFINITY) return;
    d->failed |= !label_take_box(&b->numbers, middle, size, 0);
    draw_text(d, TEXT_LABEL, ALIGN_START, (point){middle.x - size.x / 2, middle.y - size.y / 2}, 0, number);
}

lw_status draw_map_scale(drawing *d, image *keep, const map_scale *scale, frame at, lw_error *error) {
    lw_status status = scale_picture(keep, scale, at.width >= at.height, error);
    if (status) return status;
    draw_picture(d, keep, at);
    point box[4] = {
        {at.x, at.y}, {at.x + at.width, at.y}, {at.x + at.width, at.y + at.height}, {at.x, at.y + at.height}};
    draw_line(d, LINE_RULE, -1, box, 4, true);
    bar b = {scale, at, {0}};
    draw_tick(d, &b, scale->high, -1, true);
    if (scale->high > scale->low) draw_tick(d, &b, scale->low, -1, false);
    for (int k = 0; k < scale->level_count; k++)
        if (scale->low > 0 || scale->level[k] >= scale->step - 1e-9) /* fractions would not fit */
            draw_tick(d, &b, scale->level[k], k, false);
    label_set_clear(&b.numbers);
    return LW_OK;
}
