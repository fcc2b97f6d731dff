/* The outlines of hair and bust together, and how wide and deep the hair is.
 *
 * Hair is given its own thickness: a strand lays as much of it into a picture as the fibres that it stands
 * for, side by side. Where they cover half of a pixel, there is something to see; so a stray hair does not
 * decide, and a thinned edge counts for what it lets through. A percentile of how far hairs reach would do
 * the first, but not tell an edge of many short hairs from one of few long ones, and it needs a centre, as
 * seen from which a shape that hangs over the neck is met twice. The outline is the largest line round what
 * hair or bust covers by half.
 *
 * Front and back are one outline, seen from its two sides, and so are left and right. */
#include <math.h>
#include <stdlib.h>

#include "contour.h"
#include "fail.h"
#include "fallen.h"
#include "raster.h"
#include "vec.h"

#define PIXEL 2e-3 /* metres, or more where the picture would have more than MOST of them across */
#define MOST 1200
#define RIM 2   /* pixels round all that there is */
#define PIECE 1 /* places: hair is laid down in pieces of at most this */

enum { PLACES = 2 }; /* in a pixel, each way: hair covers some of them and not others */

typedef struct picture {
    raster hair, bust;
    int wide, high; /* places */
    int64_t *laid;  /* steps of hairs times steps of length, per place */
    int64_t *row;   /* one row or column of it */
    float *line;    /* one row or column of the shares */
    int blur;       /* places that a strand is wide: odd */
    int gap;        /* pixels between strands, about */
} picture;

static const raster_view views[3] = {
    {0, 1, 1, 1, -INFINITY}, {2, 1, -1, 1, -INFINITY}, {0, 2, 1, -1, -INFINITY}};
enum { FRONT, LEFT, ABOVE };

typedef struct bounds {
    double across, low, high; /* the farthest from the middle line; heights */
} bounds;

static void widen(bounds *b, const raster_view *view, lw_vec3 p) {
    double v = raster_v(view, p);
    b->across = fmax(b->across, fabs(raster_u(view, p)));
    b->low = fmin(b->low, v);
    b->high = fmax(b->high, v);
}

static void frame(picture *out, const fallen_hairs *h, const lw_mesh *bust, raster_view view) {
    bounds b = {0, 0, 0};
    size_t points = (size_t)h->strands->count * (size_t)h->strands->nodes;
    for (int i = 0; i < bust->vertex_count; i++) widen(&b, &view, bust->position[i]);
    for (size_t i = 0; i < points; i++) widen(&b, &view, h->strands->at[i]);
    double pixel = fmax(PIXEL, fmax(2 * b.across, b.high - b.low) / MOST);
    double hairs = h->strands->count ? (double)h->total * h->step / h->strands->count : 0;
    double strand = hairs * h->thickness * PLACES / pixel;
    out->blur = 1 + 2 * (int)fmin(fmax(round((strand - 1) / 2), 0), 50);
    double apart = sqrt(lw_head_scalp_area(h->head) / fmax(h->strands->count, 1));
    out->gap = (int)fmin(fmax(round(apart / pixel), 1), 10);
    int rim = RIM + out->blur + 2 * out->gap;
    raster r = {.view = view, .pixel = pixel};
    r.middle = (int)ceil(b.across / pixel) + rim;
    r.low = (int)floor(b.low / pixel) - rim;
    r.wide = 2 * r.middle + 1;
    r.high = (int)ceil(b.high / pixel) + rim + 1 - r.low;
    out->hair = out->bust = r;
    out->wide = r.wide * PLACES;
    out->high = r.high * PLACES;
}

/* In places, whole numbers at their middles; hair is well inside the rim, so above zero. */
static double place_along(const raster *r, double metres, double first) {
    return (metres / r->pixel + first) * PLACES + (PLACES - 1) / 2.0;
}

static void lay_strand(picture *out, const fallen_hairs *h, int i) {
    const lw_vec3 *at = fallen_strand(h, i);
    const raster *r = &out->hair;
    const raster_view *view = &r->view;
    for (int k = 1; k < h->strands->nodes; k++) {
        lw_vec3 way = v3_sub(at[k], at[k - 1]);
        double across = raster_u(view, way), up = raster_v(view, way), seen = sqrt(across * across + up * up);
        int pieces = (int)ceil(seen * PLACES / (PIECE * r->pixel));
        if (pieces == 0) continue; /* it points at the viewer */
        double u = place_along(r, raster_u(view, at[k - 1]), r->middle) + .5;
        double v = place_along(r, raster_v(view, at[k - 1]), -r->low) + .5;
        double per = PLACES / r->pixel / pieces;
        int64_t amount = h->weight[i] * llround(seen / pieces * FALLEN_METRE);
        for (int j = 0; j < pieces; j++) {
            if (at[k - 1].y + way.y * (j + .5) / pieces < view->floor) continue;
            size_t row = (size_t)(v + up * per * (j + .5)), column = (size_t)(u + across * per * (j + .5));
            out->laid[row * (size_t)out->wide + column] += amount;
        }
    }
}

/* Spreads a row or column of n pixels, `stride` apart, evenly over the width of a strand. */
static void spread(picture *p, int64_t *laid, int n, int stride) {
    int half = p->blur / 2;
    int64_t sum = 0;
    for (int i = 0; i < n; i++) p->row[i] = laid[(size_t)i * (size_t)stride];
    for (int i = 0; i < half; i++) sum += p->row[i];
    for (int i = 0; i < n; i++) {
        if (i + half < n) sum += p->row[i + half];
        if (i > half) sum -= p->row[i - half - 1];
        laid[(size_t)i * (size_t)stride] = sum;
    }
}

/* What of a pixel hair covers: fibres that lie side by side in a place cover no more than all of it. */
static void shade(picture *p, double step, double fibre) {
    raster *r = &p->hair;
    for (int y = 0; y < p->high; y++) spread(p, p->laid + (size_t)y * (size_t)p->wide, p->wide, 1);
    for (int x = 0; x < p->wide; x++) spread(p, p->laid + x, p->high, p->wide);
    double place = r->pixel / PLACES * p->blur, each = step / FALLEN_METRE * fibre / (place * place);
    for (int y = 0; y < r->high; y++)
        for (int x = 0; x < r->wide; x++) {
            double sum = 0;
            for (int k = 0; k < PLACES * PLACES; k++)
                sum += fmin(1, each * (double)p->laid[(size_t)(y * PLACES + k / PLACES) * (size_t)p->wide +
                                                      (size_t)(x * PLACES + k % PLACES)]);
            r->share[(size_t)y * (size_t)r->wide + (size_t)x] = (float)(sum / (PLACES * PLACES));
        }
}

/* Gives n pixels, `stride` apart, the largest of those within `gap` of each, or the smallest. */
static void stretch(picture *p, float *share, int n, int stride, bool largest) {
    for (int i = 0; i < n; i++) p->line[i] = share[(size_t)i * (size_t)stride];
    for (int i = 0; i < n; i++) {
        int last = i + p->gap < n ? i + p->gap : n - 1;
        float best = p->line[i];
        for (int k = i > p->gap ? i - p->gap : 0; k <= last; k++)
            best = largest ? fmaxf(best, p->line[k]) : fminf(best, p->line[k]);
        share[(size_t)i * (size_t)stride] = best;
    }
}

/* Closes the gaps between strands, which more of them would fill, and leaves edges where they are: widens
 * what there is and narrows it again. */
static void close_gaps(picture *p) {
    raster *r = &p->hair;
    for (int pass = 0; pass < 2; pass++) {
        for (int y = 0; y < r->high; y++)
            stretch(p, r->share + (size_t)y * (size_t)r->wide, r->wide, 1, !pass);
        for (int x = 0; x < r->wide; x++) stretch(p, r->share + x, r->high, r->wide, !pass);
    }
}

/* Where the hair reaches farthest from side to side, not below `floor`. The lowest of equals. */
static void read_reach(double *reach, double *height, const raster *hair, double floor) {
    double from, to;
    *reach = 0;
    *height = (double)NAN;
    for (int row = 0; row < hair->high; row++) {
        double y = (row + hair->low) * hair->pixel;
        if (y < floor || !raster_reach(&from, &to, hair, row) || !(to - from > *reach)) continue;
        *reach = to - from;
        *height = y;
    }
}

static lw_vec3 in_frame(const raster *r, const double at[2]) {
    double c[3] = {0};
    c[r->view.across] = (at[0] - r->middle) * r->pixel * r->view.sign_across;
    c[r->view.upward] = (at[1] + r->low) * r->pixel * r->view.sign_upward;
    return v3(c[0], c[1], c[2]);
}

/* Seen from this side, or from the other. */
static bool outline(lw_outline *out, const raster *r, const contour *line, bool other) {
    if (!line->count) return true;
    out->at = malloc(sizeof *out->at * (size_t)line->count);
    if (!out->at) return false;
    out->count = line->count;
    for (int i = 0; i < line->count; i++) out->at[i] = in_frame(r, line->at[other ? line->count - 1 - i : i]);
    return true;
}

/* From a side and from behind it; from above there is nothing behind. */
static bool outlines(lw_outline *out, int which, const raster *r) {
    static const lw_view seen[3][2] = {
        {LW_VIEW_FRONT, LW_VIEW_BACK}, {LW_VIEW_LEFT, LW_VIEW_RIGHT}, {LW_VIEW_ABOVE, LW_VIEW_ABOVE}};
    contour line = {0, NULL};
    bool fine = contour_largest(&line, r->share, r->wide, r->high, .5F);
    fine = fine && outline(&out[seen[which][0]], r, &line, false);
    if (which != ABOVE) fine = fine && outline(&out[seen[which][1]], r, &line, true);
    free(line.at);
    return fine;
}

/* What the bust covers by half, and then what hair or bust does. */
static bool trace(lw_fallen *out, int which, picture *p) {
    size_t pixels = (size_t)p->hair.wide * (size_t)p->hair.high;
    if (!outlines(out->bust, which, &p->bust)) return false;
    for (size_t i = 0; i < pixels; i++) p->bust.share[i] = fmaxf(p->bust.share[i], p->hair.share[i]);
    return outlines(out->outline, which, &p->bust);
}

/* done: the share of all readings that is. */
static bool draw(picture *p, const fallen_hairs *h, const lw_mesh *bust, double done) {
    size_t pixels = (size_t)p->hair.wide * (size_t)p->hair.high;
    p->hair.share = malloc(sizeof *p->hair.share * pixels);
    p->bust.share = malloc(sizeof *p->bust.share * pixels);
    p->laid = calloc((size_t)p->wide * (size_t)p->high, sizeof *p->laid);
    size_t longest = (size_t)(p->wide > p->high ? p->wide : p->high);
    p->row = malloc(sizeof *p->row * longest);
    p->line = malloc(sizeof *p->line * longest);
    if (!p->hair.share || !p->bust.share || !p->laid || !p->row || !p->line || !raster_cover(&p->bust, bust))
        return false;
    if (!fallen_goes_on(h, done + 0.05)) return true;
    for (int i = 0; i < h->strands->count; i++) lay_strand(p, h, i);
    if (!fallen_goes_on(h, done + 0.1)) return true;
    shade(p, h->step, h->thickness);
    if (!fallen_goes_on(h, done + 0.15)) return true;
    close_gaps(p);
    return true;
}

static double done_before(int which) { return FALLEN_OUTLINES + (1 - FALLEN_OUTLINES) / 3 * which; }

static bool read_view(lw_fallen *out, int which, const fallen_hairs *h, const lw_mesh *bust) {
    double collar = lw_head_level(h->head, LW_COLLAR), floor = isnan(collar) ? -INFINITY : collar;
    raster_view view = views[which];
    if (which == ABOVE) view.floor = floor;
    picture p = {.laid = NULL};
    frame(&p, h, bust, view);
    bool fine = draw(&p, h, bust, done_before(which));
    bool whole = fine && !*h->stopped;
    if (whole && which == FRONT) read_reach(&out->width, &out->width_height, &p.hair, floor);
    if (whole && which == LEFT) read_reach(&out->depth, &out->depth_height, &p.hair, floor);
    if (whole) fine = trace(out, which, &p);
    free(p.laid);
    free(p.row);
    free(p.line);
    free(p.hair.share);
    free(p.bust.share);
    return fine;
}

lw_status fallen_read_outlines(lw_fallen *out, const fallen_hairs *hairs, lw_error *error) {
    lw_mesh own = {0};
    const lw_mesh *bust = hairs->options->bust ? hairs->options->bust : &own;
    lw_status status = bust == &own ? lw_mesh_new(&own, hairs->head, LW_FALLEN_EDGE, error) : LW_OK;
    if (status) return status;
    bool fine[3]; /* where somebody waits, one view after another */
#pragma omp parallel for schedule(static, 1) if (!hairs->options->progress)
    for (int i = FRONT; i <= ABOVE; i++)
        fine[i] = !fallen_goes_on(hairs, done_before(i)) || read_view(out, i, hairs, bust);
    lw_mesh_clear(&own);
    return fine[FRONT] && fine[LEFT] && fine[ABOVE] ? LW_OK : fail_memory(error, "fallen cut");
}
