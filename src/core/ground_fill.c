/* Making a ground: the exact field is asked for only where it says something new.
 *
 * The grid is a pyramid: every other sample of a level is a sample of the next coarser one. The coarsest
 * level is asked for everywhere. Each finer one is predicted from it by cubic interpolation (G. Deslauriers
 * and S. Dubuc, Constructive Approximation 5:49, 1989), and asked for in those cells alone that are near the
 * surface and in which the last prediction was off: scalp, neck and shoulders are predicted to a micrometre
 * from samples 8 mm apart, ears and lips are asked for at every place.
 *
 * The samples near the surface are then divided by the length of the gradient, here and at the foot on the
 * surface, which the grid gives for nothing; those far from it are replaced by a rough distance: the eikonal
 * equation solved on a coarse level by sweeping (H. Zhao, Mathematics of Computation 74:603, 2005), which has
 * no false bottoms inside the bust.
 *
 * The coefficients of the spline come from the samples by the local filter 1 - (second differences) / 8,
 * which like interpolation (M. Unser, IEEE Signal Processing Magazine 16(6):22, 1999) reproduces every
 * quadratic, and reaches no further than a neighbour.
 *
 * Every sample is made from values of the steps before alone, so threads cannot change it. */
#include "ground_fill.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "vec.h"

#define BAND .006   /* metres from the surface within which the field is exact */
#define SLACK 1.2   /* how much faster than a distance the field may change, over half a cell's diagonal */
#define SMOOTH 2e-5 /* metres by which a prediction may be off without the next being asked for */
#define FLAT .4     /* the shortest gradient that is divided by, and */
#define STEEP 2.5   /* the longest */
#define NEAR .008   /* metres outside from which the rough distance comes in, */
#define FAR .016    /* and from which it is alone; inside half of both */
#define EVEN .003F  /* how far from one a gradient may be to pass for one */
#define FOOT 8      /* cells within which a foot is looked for */
#define SLAB 16     /* planes; more than FOOT and what round a foot is looked at */
#define LEVELS_MAX 8

static size_t nodes(const level *l) { return (size_t)l->row * l->ny * l->nz; }

static float *run_of(size_t n) { return aligned_alloc(64, (n * sizeof(float) + 63) / 64 * 64); }

/* All levels have their first node in common: half a spacing of the finest below the box's corner. */
static float ask(const ground *g, const lw_head *head, const level *l, int i, int j, int k) {
    lw_vec3 first = v3_along(g->low, v3(1, 1, 1), -.5 * g->spacing);
    return (float)lw_head_bust(head, v3_along(first, v3(i, j, k), l->spacing), NULL);
}

static void ask_all(const ground *g, const lw_head *head, level *l) {
#pragma omp parallel for schedule(dynamic, 1)
    for (int k = 0; k < l->nz; k++)
        for (int j = 0; j < l->ny; j++)
            for (int i = 0; i < l->nx; i++) l->f[at(l, i, j, k)] = ask(g, head, l, i, j, k);
}

/* ---- prediction ---- */

typedef struct taps {
    int first;
    float w[4];
} taps;

/* Of the middle between nodes i and i + 1 of n. */
static taps middle(int i, int n) {
    if (i == 0) return (taps){0, {.3125F, .9375F, -.3125F, .0625F}};
    if (i == n - 2) return (taps){n - 4, {.0625F, -.3125F, .9375F, .3125F}};
    return (taps){i - 1, {-.0625F, .5625F, .5625F, -.0625F}};
}

/* out[i] from four runs of `count` floats, `apart` from each other. */
static void mix(float *restrict out, const float *from, taps t, size_t apart, size_t count) {
    const float *a = from + t.first * apart, *b = a + apart, *c = b + apart, *d = c + apart;
    float p = t.w[0], q = t.w[1], r = t.w[2], s = t.w[3];
    for (size_t i = 0; i < count; i++) out[i] = (p * a[i] + s * d[i]) + (q * b[i] + r * c[i]);
}

static void predict_row(float *restrict out, const float *restrict in, int n, int row) {
    for (int i = 0; i < n; i++) out[2 * i] = in[i];
    mix(&out[1], in, middle(0, n), 1, 1);
    for (int i = 1; i < n - 2; i++)
        out[2 * i + 1] = .5625F * (in[i] + in[i + 1]) - .0625F * (in[i - 1] + in[i + 2]);
    mix(&out[2 * n - 3], in, middle(n - 2, n), 1, 1);
    for (int i = 2 * n - 1; i < row; i++) out[i] = 0;
}

/* The rows of the fine level that lie in a plane of the coarse one: along x, then between those along y. */
static void predict_plane(level *fine, const level *coarse, int k) {
    float *out = fine->f + at(fine, 0, 0, 2 * k);
    size_t row = fine->row;
    for (int j = 0; j < coarse->ny; j++)
        predict_row(out + 2 * j * row, coarse->f + at(coarse, 0, j, k), coarse->nx, fine->row);
    for (int j = 0; j + 1 < coarse->ny; j++)
        mix(out + (2 * j + 1) * row, out, middle(j, coarse->ny), 2 * row, row);
}

static void predict(level *fine, const level *coarse) {
    size_t plane = (size_t)fine->row * fine->ny;
#pragma omp parallel
    {
#pragma omp for schedule(static)
        for (int k = 0; k < coarse->nz; k++) predict_plane(fine, coarse, k);
#pragma omp for schedule(static)
        for (int k = 0; k < coarse->nz - 1; k++)
            mix(fine->f + (2 * k + 1) * plane, fine->f, middle(k, coarse->nz), 2 * plane, plane);
    }
}

/* ---- asking where it matters ---- */

/* Whether the surface may pass within the band of the cell. */
static bool is_near(const level *l, int i, int j, int k) {
    float least = INFINITY;
    for (int c = 0; c < 8; c++) {
        float f = fabsf(l->f[at(l, i + (c & 1), j + (c >> 1 & 1), k + (c >> 2))]);
        if (f < least) least = f;
    }
    return least < BAND + SLACK * .5 * sqrt(3) * l->spacing;
}

/* Cells that are not near are closed. */
static void close_far(level *l) {
#pragma omp parallel for schedule(static)
    for (int k = 0; k < l->nz - 1; k++)
        for (int j = 0; j < l->ny - 1; j++)
            for (int i = 0; i < l->nx - 1; i++) {
                uint8_t *open = &l->open[at(l, i, j, k)];
                *open = *open && is_near(l, i, j, k);
            }
}

/* Whether one of the cells round a row of fine nodes is open: by cell along x. */
static bool open_beside(uint8_t *beside, const level *coarse, int j, int k) {
    uint8_t any = 0;
    int cells = coarse->nx - 1;
    memset(beside, 0, (size_t)cells);
    for (int kk = k / 2 - (k % 2 == 0); kk <= k / 2; kk++)
        for (int jj = j / 2 - (j % 2 == 0); jj <= j / 2; jj++) {
            if (kk < 0 || jj < 0 || kk >= coarse->nz - 1 || jj >= coarse->ny - 1) continue;
            const uint8_t *open = coarse->open + at(coarse, 0, jj, kk);
            for (int i = 0; i < cells; i++) any |= beside[i] |= open[i];
        }
    return any;
}

/* Asks for the new nodes of a row that touch an open cell; off[i] (may be NULL) is set where the prediction
 * was. */
static void ask_row(const ground *g, const lw_head *head, level *fine, const uint8_t *beside, uint8_t *off,
                    int j, int k) {
    bool old_row = j % 2 == 0 && k % 2 == 0;
    float band = (float)(BAND + (off ? fine->spacing : 0));
    for (int i = old_row; i < fine->nx; i += 1 + old_row) {
        bool touches = (i < fine->nx - 1 && beside[i / 2]) || (i > 0 && beside[(i - 1) / 2]);
        float *f = &fine->f[at(fine, i, j, k)];
        if (!touches || fabsf(*f) > band) continue;
        float exact = ask(g, head, fine, i, j, k);
        if (off) off[i] = fabsf(exact - *f) > SMOOTH;
        *f = exact;
    }
}

static bool ask_open(const ground *g, const lw_head *head, level *fine, const level *coarse, uint8_t *off) {
    bool fine_so_far = true;
#pragma omp parallel reduction(&& : fine_so_far)
    {
        uint8_t *beside = malloc((size_t)coarse->nx);
        fine_so_far = beside != NULL;
#pragma omp for schedule(dynamic, 1)
        for (int k = 0; k < fine->nz; k++)
            for (int j = 0; beside && j < fine->ny; j++)
                if (open_beside(beside, coarse, j, k))
                    ask_row(g, head, fine, beside, off ? off + at(fine, 0, j, k) : NULL, j, k);
        free(beside);
    }
    return fine_so_far;
}

/* A cell's eight parts are open where one of its new nodes was off. */
static void open_rough(level *fine, const level *coarse, const uint8_t *off) {
#pragma omp parallel for schedule(static)
    for (int k = 0; k < coarse->nz - 1; k++)
        for (int j = 0; j < coarse->ny - 1; j++)
            for (int i = 0; i < coarse->nx - 1; i++) {
                uint8_t any = 0;
                if (!coarse->open[at(coarse, i, j, k)]) continue;
                for (int n = 0; n < 27; n++)
                    any |= off[at(fine, 2 * i + n % 3, 2 * j + n / 3 % 3, 2 * k + n / 9)];
                for (int n = 0; n < 8; n++)
                    fine->open[at(fine, 2 * i + (n & 1), 2 * j + (n >> 1 & 1), 2 * k + (n >> 2))] = any;
            }
}

/* The level from the next coarser one, whose cells are still open where they are rough. */
static bool refine(const ground *g, const lw_head *head, level *fine, level *coarse) {
    predict(fine, coarse);
    close_far(coarse);
    if (!fine->open) return ask_open(g, head, fine, coarse, NULL);
    uint8_t *off = calloc(nodes(fine), 1);
    bool done = off && ask_open(g, head, fine, coarse, off);
    if (done) open_rough(fine, coarse, off);
    free(off);
    return done;
}

/* ---- distances ---- */

/* Square of the length of the gradient: along each axis the mean of what either side gives, which a crease
 * does not cancel. */
static float steepness(float here, float xa, float xb, float ya, float yb, float za, float zb, float per) {
    float s = (xb - here) * (xb - here) + (here - xa) * (here - xa) + (yb - here) * (yb - here) +
              (here - ya) * (here - ya) + (zb - here) * (zb - here) + (here - za) * (here - za);
    return .5F * s * per * per;
}

/* A row of f over the length of its gradient. At the ends of the box a side that is missing repeats the
 * other. */
static void over_slope(float *restrict out, const level *l, int j, int k) {
    const float *f = l->f + at(l, 0, j, k);
    const float *ya = l->f + at(l, 0, j > 0 ? j - 1 : j + 1, k),
                *yb = l->f + at(l, 0, j < l->ny - 1 ? j + 1 : j - 1, k);
    const float *za = l->f + at(l, 0, j, k > 0 ? k - 1 : k + 1),
                *zb = l->f + at(l, 0, j, k < l->nz - 1 ? k + 1 : k - 1);
    float per = (float)(1 / l->spacing);
    int n = l->nx;
    for (int i = 1; i < n - 1; i++) {
        float s = sqrtf(steepness(f[i], f[i - 1], f[i + 1], ya[i], yb[i], za[i], zb[i], per));
        s = s < (float)FLAT ? (float)FLAT : s > (float)STEEP ? (float)STEEP : s;
        out[i] = f[i] / s;
    }
    out[0] = out[1];
    out[n - 1] = f[n - 1];
}

static int inner(int i, int n) { return i < 1 ? 1 : i > n - 2 ? n - 2 : i; }

/* The length of the gradient at a node; nodes on the faces of the box have their inner neighbour's. */
static float slope_at(const level *l, int i, int j, int k) {
    size_t row = l->row, plane = row * l->ny;
    const float *f = &l->f[at(l, inner(i, l->nx), inner(j, l->ny), inner(k, l->nz))];
    float s = sqrtf(steepness(f[0], f[-1], f[1], f[-(ptrdiff_t)row], f[row], f[-(ptrdiff_t)plane], f[plane],
                              (float)(1 / l->spacing)));
    return s < (float)FLAT ? (float)FLAT : s > (float)STEEP ? (float)STEEP : s;
}

/* And between them, linearly. */
static float slope_near(const level *l, float x, float y, float z) {
    int i = (int)x, j = (int)y, k = (int)z;
    float s[8], tx = x - (float)i, ty = y - (float)j, tz = z - (float)k;
    for (int n = 0; n < 8; n++) s[n] = slope_at(l, i + (n & 1), j + (n >> 1 & 1), k + (n >> 2));
    for (int n = 0; n < 8; n += 2) s[n / 2] = s[n] + tx * (s[n + 1] - s[n]);
    for (int n = 0; n < 4; n += 2) s[n / 2] = s[n] + ty * (s[n + 1] - s[n]);
    return s[0] + tz * (s[1] - s[0]);
}

/* Where the gradient's length is not one, it changes on the way to the surface: the mean of here and of the
 * foot there makes the distance right to the second order. */
static void mind_the_foot(float *d, const level *l, int j, int k) {
    size_t row = l->row, plane = row * l->ny;
    float most = (float)fmin(NEAR, FOOT * l->spacing);
    for (int i = 1; i < l->nx - 1; i++) {
        const float *f = &l->f[at(l, i, j, k)];
        if (!(fabsf(d[i]) > 0 && fabsf(d[i]) < most)) continue;
        float here = *f / d[i];
        if (fabsf(here - 1) < EVEN) continue;
        float x = f[1] - f[-1], y = f[row] - f[-(ptrdiff_t)row], z = f[plane] - f[-(ptrdiff_t)plane];
        float way = sqrtf(x * x + y * y + z * z);
        if (!(way > .2F * (float)l->spacing)) continue;
        float far = d[i] / (way * (float)l->spacing);
        d[i] = 2 * *f / (here + slope_near(l, (float)i - far * x, (float)j - far * y, (float)k - far * z));
    }
}

/* One step of the solver at a node: its distance from what its nearer neighbours have along the three axes.
 */
static float eikonal(float a, float b, float c, float h) {
    float t;
    if (a > b) t = a, a = b, b = t;
    if (b > c) t = b, b = c, c = t;
    if (a > b) t = a, a = b, b = t;
    float d = a + h;
    if (d <= b) return d;
    d = .5F * (a + b + sqrtf(2 * h * h - (a - b) * (a - b)));
    if (d <= c) return d;
    float s = a + b + c, q = s * s - 3 * (a * a + b * b + c * c - h * h);
    return (s + sqrtf(q > 0 ? q : 0)) / 3;
}

static float nearer(const float *d, int i, int n, size_t apart) {
    float a = i > 0 ? d[-(ptrdiff_t)apart] : INFINITY, b = i < n - 1 ? d[apart] : INFINITY;
    return a < b ? a : b;
}

/* Once through all nodes, along each axis up or down. d is without its sign. */
static void sweep(float *d, const uint8_t *fixed, const level *l, int way) {
    size_t row = l->row, plane = row * l->ny;
    for (int kk = 0; kk < l->nz; kk++)
        for (int jj = 0; jj < l->ny; jj++)
            for (int ii = 0; ii < l->nx; ii++) {
                int i = way & 1 ? l->nx - 1 - ii : ii, j = way & 2 ? l->ny - 1 - jj : jj,
                    k = way & 4 ? l->nz - 1 - kk : kk;
                size_t n = at(l, i, j, k);
                if (fixed[n]) continue;
                float far = eikonal(nearer(&d[n], i, l->nx, 1), nearer(&d[n], j, l->ny, row),
                                    nearer(&d[n], k, l->nz, plane), (float)l->spacing);
                if (far < d[n]) d[n] = far;
            }
}

static bool outside_beside(const float *f, int i, int n, size_t apart) {
    return (i > 0 && f[-(ptrdiff_t)apart] >= 0) || (i < n - 1 && f[apart] >= 0);
}

/* Whether the field at a node can be trusted to be a distance: outside near the surface, inside next to
 * it. Deeper inside, where solids of the sculpture meet, it comes near zero again. */
static bool is_fixed(const level *l, float d, int i, int j, int k) {
    const float *f = &l->f[at(l, i, j, k)];
    if (*f >= 0) return d <= (float)l->spacing && *f <= (float)l->spacing;
    size_t row = l->row;
    return outside_beside(f, i, l->nx, 1) || outside_beside(f, j, l->ny, row) ||
           outside_beside(f, k, l->nz, row * l->ny);
}

/* The level's field becomes a rough distance. */
static bool roughly(float *out, const level *l) {
    uint8_t *fixed = calloc(nodes(l) + 1, 1);
    if (!fixed) return false;
    for (int k = 0; k < l->nz; k++)
        for (int j = 0; j < l->ny; j++) {
            float *d = out + at(l, 0, j, k);
            over_slope(d, l, j, k);
            for (int i = 0; i < l->nx; i++) {
                fixed[at(l, i, j, k)] = is_fixed(l, d[i], i, j, k);
                d[i] = fixed[at(l, i, j, k)] ? fabsf(d[i]) : 1e3F;
            }
        }
    for (int way = 0; way < 8; way++) sweep(out, fixed, l, way);
    for (size_t n = 0; n < nodes(l); n++) out[n] = copysignf(out[n], l->f[n]);
    free(fixed);
    return true;
}

/* A row of the rough distance, between the nodes of its level linearly. `run` has room for a row of it. */
static void rough_row(float *restrict out, float *restrict run, const level *rough, const float *d, int times,
                      int n, int j, int k) {
    int jr = j / times, kr = k / times;
    jr -= jr == rough->ny - 1;
    kr -= kr == rough->nz - 1;
    float y = (float)j / (float)times - (float)jr, z = (float)k / (float)times - (float)kr;
    const float *a = d + at(rough, 0, jr, kr), *b = a + rough->nx;
    const float *c = d + at(rough, 0, jr, kr + 1), *e = c + rough->nx;
    for (int i = 0; i < rough->nx; i++)
        run[i] = (1 - z) * ((1 - y) * a[i] + y * b[i]) + z * ((1 - y) * c[i] + y * e[i]);
    for (int i = 0; i < n - 1; i += times)
        for (int t = 0; t < times; t++)
            out[i + t] = run[i / times] + (float)t / (float)times * (run[i / times + 1] - run[i / times]);
    out[n - 1] = run[rough->nx - 1];
}

/* From the distance by the slope, near the surface, to the rough one. */
static void pass_over(float *restrict d, const float *restrict rough, int n) {
    for (int i = 0; i < n; i++) {
        float a = fabsf(d[i]), b = fabsf(rough[i]);
        float t = (d[i] < 0 ? 2 : 1) * (a > b ? a : b) / (float)(FAR - NEAR) - (float)(NEAR / (FAR - NEAR));
        t = t < 0 ? 0 : t > 1 ? 1 : t;
        d[i] += t * t * (3 - 2 * t) * (rough[i] - d[i]);
    }
}

/* The distances of the planes from k0 on, up to but not k1. */
static bool distances(float *out, const level *l, const level *rough, const float *far, int k0, int k1) {
    bool done = true;
    int times = (l->nx - 1) / (rough->nx - 1);
#pragma omp parallel reduction(&& : done)
    {
        float *run = malloc(((size_t)l->nx + rough->nx) * sizeof *run);
        done = run != NULL;
#pragma omp for schedule(dynamic, 1)
        for (int k = k0; k < k1; k++)
            for (int j = 0; run && j < l->ny; j++) {
                float *row = out + at(l, 0, j, k - k0);
                over_slope(row, l, j, k);
                if (j > 0 && j < l->ny - 1 && k > 0 && k < l->nz - 1) mind_the_foot(row, l, j, k);
                rough_row(run + rough->nx, run, rough, far, times, l->nx, j, k);
                pass_over(row, run + rough->nx, l->nx);
            }
        free(run);
    }
    return done;
}

/* ---- coefficients ---- */

/* A row of a plane of distances, between the planes before and after it. What lies below the box repeats its
 * lowest section: the row below the corner is that of the row above it. */
static void filter_row(float *restrict out, const float *before, const float *plane, const float *after,
                       const level *l, int j) {
    size_t row = l->row, to = (j > 1 ? j : 1) * row;
    const float *here = plane + to, *za = before + to, *zb = after + to;
    const float *ya = j > 1 ? here - row : here, *yb = j < l->ny - 1 ? here + row : here;
    int n = l->nx;
    for (int i = 1; i < n - 1; i++)
        out[i] =
            here[i] * 1.75F - .125F * (here[i > 1 ? i - 1 : 1] + here[i + 1] + ya[i] + yb[i] + za[i] + zb[i]);
    out[0] = out[1];
    for (int i = n - 1; i < l->row; i++) out[i] = here[n - 1];
}

/* The coefficients of the planes from k0 on, up to but not k1, from the distances from plane d0 on. */
static void filter(float *out, const float *d, const level *l, int d0, int k0, int k1) {
    size_t plane = (size_t)l->row * l->ny;
#pragma omp parallel for schedule(static)
    for (int k = k0; k < k1; k++) {
        const float *here = d + (k - d0) * plane;
        const float *before = k > 0 ? here - plane : here, *after = k < l->nz - 1 ? here + plane : here;
        for (int j = 0; j < l->ny; j++)
            filter_row(out + (k - k0) * plane + j * (size_t)l->row, before, here, after, l, j);
    }
}

/* The finest level's field becomes its coefficients, a slab of planes at a time. A slab is put back when the
 * distances of the next one, which look back into it for feet, are known. */
static bool finish(level *l, const level *rough, const float *far) {
    size_t plane = (size_t)l->row * l->ny;
    float *d = run_of((SLAB + 2) * plane), *c = run_of(SLAB * plane);
    bool done = d && c;
    for (int k0 = 0; done && k0 < l->nz; k0 += SLAB) {
        int k1 = k0 + SLAB < l->nz ? k0 + SLAB : l->nz, d0 = k0 > 0 ? k0 - 1 : 0;
        done = distances(d, l, rough, far, d0, k1 < l->nz ? k1 + 1 : k1);
        if (k0 > 0) memcpy(l->f + (k0 - SLAB) * plane, c, SLAB * plane * sizeof *c);
        filter(c, d, l, d0, k0, k1);
        if (k1 == l->nz) memcpy(l->f + k0 * plane, c, (k1 - k0) * plane * sizeof *c);
    }
    free(d);
    free(c);
    return done;
}

/* ---- in all ---- */

static void level_clear(level *l) {
    free(l->f);
    free(l->open);
    *l = (level){0};
}

static bool level_make(level *l, const ground *g, int times, bool opens) {
    *l = (level){.nx = (g->nx - 1) / times + 1, .ny = (g->ny - 1) / times + 1, .nz = (g->nz - 1) / times + 1};
    l->row = times == 1 ? g->row : l->nx;
    l->spacing = g->spacing * times;
    l->f = run_of(nodes(l));
    if (!l->f || !opens) return l->f;
    l->open = calloc(nodes(l), 1);
    return l->open;
}

/* The field on every level: made[0] the finest. */
static bool pyramid(level *made, const ground *g, const lw_head *head, int levels) {
    for (int n = levels; n >= 0; n--) {
        if (!level_make(&made[n], g, 1 << n, n > 0)) return false;
        if (n == levels) {
            ask_all(g, head, &made[n]);
            memset(made[n].open, 1, nodes(&made[n]));
        } else if (!refine(g, head, &made[n], &made[n + 1]))
            return false;
    }
    return true;
}

bool ground_fill(ground *g, const lw_head *head, int levels) {
    level made[LEVELS_MAX] = {0}, *rough = &made[levels - 1];
    bool done = pyramid(made, g, head, levels);
    snaps sharp = {0};
    done = done && snaps_find(&sharp, g, head, &made[0], &made[1]);
    float *far = done ? run_of(nodes(rough)) : NULL;
    done = far && roughly(far, rough) && finish(&made[0], rough, far);
    if (done) {
        g->at = made[0].f;
        made[0].f = NULL;
        snaps_apply(g, &sharp);
    }
    free(sharp.at);
    for (int n = 0; n < LEVELS_MAX; n++) level_clear(&made[n]);
    free(far);
    return done;
}
