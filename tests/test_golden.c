/* Pictures as they were when somebody looked at them and found them good: tests/golden/, written by `make
 * renew`.
 *
 * Two pictures are compared as eyes would at a distance: lightness (CIE L*), blurred, so that another way of
 * smoothing edges or of drawing letters is no difference. What is held is the mean difference and the 99th
 * percentile, which sees a small place that differs much. The tolerances lie between what a picture drawn
 * twice as fine and averaged differs by, and the least real change tried: both are tests here, so that a
 * comparison that lets everything pass would fail. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include <cairo.h>

#include "carried_out.h"

#define CELL .003 /* `--detail normal` */

enum { BLUR = 2 /* pixels either way, twice */, HEIGHT = 200, DPI = 40 };

/* Lightness of every pixel. */
typedef struct tones {
    int width, height;
    double *at;
} tones;

/* ---- reading ---- */

static double linear(double c) { return c <= .04045 ? c / 12.92 : pow((c + .055) / 1.055, 2.4); }

/* sRGB to L*: IEC 61966-2-1 and CIE 15. */
static double lightness(const unsigned char *bgr) {
    double y = .2126 * linear(bgr[2] / 255.) + .7152 * linear(bgr[1] / 255.) + .0722 * linear(bgr[0] / 255.);
    return y > .008856 ? 116 * cbrt(y) - 16 : 903.3 * y;
}

static tones tones_new(int width, int height) {
    tones t = {width, height, calloc((size_t)width * (size_t)height, sizeof *t.at)};
    assert_non_null(t.at);
    return t;
}

static tones tones_of(cairo_surface_t *from, const char *name) {
    if (cairo_surface_status(from))
        fail_msg("%s: %s", name, cairo_status_to_string(cairo_surface_status(from)));
    int width = cairo_image_surface_get_width(from), height = cairo_image_surface_get_height(from);
    cairo_surface_t *flat = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
    cairo_t *cr = cairo_create(flat);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_paint(cr);
    cairo_set_source_surface(cr, from, 0, 0);
    cairo_paint(cr);
    cairo_destroy(cr);
    cairo_surface_flush(flat);
    tones t = tones_new(width, height);
    const unsigned char *rows = cairo_image_surface_get_data(flat);
    int stride = cairo_image_surface_get_stride(flat);
    for (int i = 0; i < width * height; i++)
        t.at[i] = lightness(rows + (ptrdiff_t)(i / width) * stride + (ptrdiff_t)4 * (i % width));
    cairo_surface_destroy(flat);
    cairo_surface_destroy(from);
    return t;
}

static tones read_golden(const char *name) {
    char path[4096], file_name[64];
    snprintf(file_name, sizeof file_name, "%s.png", name);
    source_path(path, sizeof path, "tests/golden", file_name);
    return tones_of(cairo_image_surface_create_from_png(path), path);
}

static cairo_status_t take(void *from, unsigned char *to, unsigned size) {
    draw_bytes *left = from;
    if (size > left->size) return CAIRO_STATUS_READ_ERROR;
    memcpy(to, left->data, size);
    left->data += size, left->size -= size;
    return CAIRO_STATUS_SUCCESS;
}

static tones read_drawn(draw_bytes *png) {
    draw_bytes left = *png;
    tones t = tones_of(cairo_image_surface_create_from_png_stream(take, &left), "what was drawn");
    draw_bytes_clear(png);
    return t;
}

/* ---- comparing ---- */

/* Mean over 2 BLUR + 1 pixels along rows; the result is turned over, so that a second time goes along
 * columns. */
static tones blur_turned(const tones *t) {
    tones out = tones_new(t->height, t->width);
    for (int y = 0; y < t->height; y++)
        for (int x = 0; x < t->width; x++) {
            double sum = 0;
            for (int k = -BLUR; k <= BLUR; k++) {
                int at = x + k < 0 ? 0 : x + k >= t->width ? t->width - 1 : x + k;
                sum += t->at[y * t->width + at];
            }
            out.at[x * t->height + y] = sum / (2 * BLUR + 1);
        }
    return out;
}

static tones blurred(const tones *t) {
    tones now = *t;
    for (int i = 0; i < 4; i++) {
        tones next = blur_turned(&now);
        if (i) free(now.at);
        now = next;
    }
    return now;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

typedef struct difference {
    double mean, most;
} difference;

/* The middle of it. */
static tones cropped(const tones *t, int width, int height) {
    tones out = tones_new(width, height);
    int left = (t->width - width) / 2, top = (t->height - height) / 2;
    for (int i = 0; i < width * height; i++)
        out.at[i] = t->at[(top + i / width) * t->width + left + i % width];
    return out;
}

/* Of what both show: a picture is as wide as the bust in it. */
static difference compare(const tones *a, const tones *b) {
    int width = a->width < b->width ? a->width : b->width,
        height = a->height < b->height ? a->height : b->height;
    int count = width * height;
    tones shown[2] = {cropped(a, width, height), cropped(b, width, height)};
    tones p = blurred(&shown[0]), q = blurred(&shown[1]);
    for (int i = 0; i < 2; i++) free(shown[i].at);
    difference d = {0, 0};
    for (int i = 0; i < count; i++) {
        p.at[i] = fabs(p.at[i] - q.at[i]);
        d.mean += p.at[i] / count;
    }
    qsort(p.at, (size_t)count, sizeof *p.at, by_size);
    d.most = p.at[count * 99 / 100];
    free(p.at);
    free(q.at);
    return d;
}

/* Of L*, which runs from 0 to 100. A bust is the program's own rendering; a page's letters are drawn by
 * cairo, pango and freetype of whatever version. */
static const difference BUST = {.3, 3}, PAGE = {.8, 7};

static bool within(difference d, difference most) { return d.mean <= most.mean && d.most <= most.most; }

static void assert_alike(const char *what, difference most, const tones *a, const tones *b) {
    difference d = compare(a, b);
    if (getenv("LW_SHOW")) print_message("%s: mean %.3f, 99th percentile %.2f\n", what, d.mean, d.most);
    if (!within(d, most))
        fail_msg("%s: L* differs by %.2f in the mean and by %.1f at the 99th percentile. If it should, look "
                 "at the "
                 "pictures and run `make renew`.",
                 what, d.mean, d.most);
}

static void assert_told_apart(const char *what, difference most, const tones *a, const tones *b) {
    difference d = compare(a, b);
    if (getenv("LW_SHOW")) print_message("%s: mean %.3f, 99th percentile %.2f\n", what, d.mean, d.most);
    if (within(d, most))
        fail_msg("%s passes: %.2f in the mean, %.1f at the 99th percentile", what, d.mean, d.most);
}

/* ---- drawing ---- */

static tones draw_head_of(const lw_head_options *options, draw_side side) {
    lw_error error = {0};
    lw_head *head;
    draw_bytes png;
    draw_bust_options how = draw_bust_default();
    how.side = side, how.height = HEIGHT, how.cell = CELL;
    if (lw_head_new(&head, options, &error) || draw_bust(&png, head, &how, &error))
        fail_msg("%s: %s", error.place, error.message);
    lw_head_free(head);
    return read_drawn(&png);
}

enum { FALL = 4000 }; /* hairs, as the program lets fall */

static tones draw_page(const carried_out *c, int page, double dpi) {
    lw_error error = {0};
    draw_sheet_options how = draw_sheet_default();
    draw_bytes png = {0};
    how.format = DRAW_PNG, how.page = page, how.dpi = dpi, how.date = "2026-03-01";
    if (draw_sheet(&png, &c->subject, &how, &error)) fail_msg("%s: %s", error.place, error.message);
    return read_drawn(&png);
}

static tones mirrored(const tones *t) {
    tones out = tones_new(t->width, t->height);
    for (int i = 0; i < t->width * t->height; i++)
        out.at[i] = t->at[i - i % t->width + t->width - 1 - i % t->width];
    return out;
}

/* Means of two by two pixels' lightness. */
static tones halved(const tones *t) {
    tones out = tones_new(t->width / 2, t->height / 2);
    for (int i = 0; i < out.width * out.height; i++) {
        const double *at = t->at + (ptrdiff_t)2 * (i / out.width) * t->width + (ptrdiff_t)2 * (i % out.width);
        out.at[i] = (at[0] + at[1] + at[t->width] + at[t->width + 1]) / 4;
    }
    return out;
}

/* ---- the tests ---- */

static void busts(void **state) {
    (void)state;
    lw_plan plan;
    example_read(&plan, "graduated-bob");
    tones front = read_golden("bust-front"), left = read_golden("bust-left");
    tones now_front = draw_head_of(&plan.head, DRAW_FRONT), now_left = draw_head_of(&plan.head, DRAW_LEFT);
    assert_alike("the bust from the front", BUST, &now_front, &front);
    assert_alike("the bust from the left", BUST, &now_left, &left);

    tones other_way = mirrored(&left);
    assert_told_apart("the bust mirrored", BUST, &other_way, &left);
    plan.head.kind = LW_HEAD_MAN;
    memset(plan.head.measure, 0, sizeof plan.head.measure);
    tones man = draw_head_of(&plan.head, DRAW_LEFT);
    assert_told_apart("another head", BUST, &man, &left);
    tones *all[] = {&front, &left, &now_front, &now_left, &other_way, &man};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) free(all[i]->at);
    lw_plan_clear(&plan);
}

static void pages(void **state) {
    (void)state;
    carried_out bob, higher = {0};
    carry_out_example(&bob, "graduated-bob", 0);
    let_it_fall(&bob, FALL, lw_fall_default().packings);
    tones glance = read_golden("page-glance"), steps = read_golden("page-steps");
    tones now_glance = draw_page(&bob, 1, DPI), now_steps = draw_page(&bob, 2, DPI);
    assert_alike("the first page", PAGE, &now_glance, &glance);
    assert_alike("the page of steps", PAGE, &now_steps, &steps);

    tones fine = draw_page(&bob, 2, 2 * DPI), other_rasteriser = halved(&fine);
    assert_alike("the page drawn finer and averaged", PAGE, &other_rasteriser, &steps);
    assert_told_apart("a page for another", PAGE, &glance, &steps);
    example_read(&higher.plan, "graduated-bob");
    higher.plan.steps[0].hold.elevation *= 2; /* from 45 degrees to 90 */
    carry_out(&higher);
    let_it_fall(&higher, FALL, lw_fall_default().packings);
    tones held_higher = draw_page(&higher, 2, DPI), longer = draw_page(&higher, 1, DPI);
    assert_told_apart("a panel held higher", PAGE, &held_higher, &steps);
    assert_told_apart("what that leaves", PAGE, &longer, &glance);
    tones *all[] = {&glance,           &steps,       &now_glance, &now_steps, &fine,
                    &other_rasteriser, &held_higher, &longer};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) free(all[i]->at);
    put_away(&bob);
    put_away(&higher);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(busts), cmocka_unit_test(pages)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
