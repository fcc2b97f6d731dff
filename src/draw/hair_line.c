/* Hairs on a grid of samples.
 *
 * Every sample keeps the hair that is nearest to the eye (Catmull 1974), as a line a sample wide or as many
 * as it takes; a pixel is the mean of its samples, weighed by a tent that reaches a little into its
 * neighbours. So hairs finer than a pixel have soft edges, cover each other in the right order without being
 * sorted, and there is nothing to tune. Only what is seen is lit. The picture is made in tiles, each by
 * itself, by any number of threads; where a line comes does not depend on the tile. */
#include "hair_line.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"

enum {
    TILE = 32 /* pixels */,
    MARGIN = HAIR_GRID / 2 /* samples, for the tent */,
    SIDE = TILE * HAIR_GRID + 2 * MARGIN
};

/* Blocks of samples along a tile's side, and layers of depth in which a tile's stretches are drawn. */
enum { BLOCK = 17, BLOCKS = (SIDE + BLOCK - 1) / BLOCK, LAYERS = 24 };

#define SHORTEST 1.01f  /* samples */
#define OVER_BUST 8e-4f /* metres by which a hair may lie in the bust and be seen */

typedef struct bins {
    int across, down;
    bool *hidden;             /* per point: behind the bust, and all round it */
    int32_t *first, *stretch; /* stretches of tile t are stretch[first[t]] to stretch[first[t + 1]] */
    int most;                 /* in one tile */
} bins;

typedef struct tile {
    int left, top;                /* samples */
    float z[SIDE * SIDE];         /* metres toward the eye */
    int32_t of[SIDE * SIDE];      /* which of the tile's stretches; -1 none */
    float at[SIDE * SIDE];        /* how far along it, 0 to 1 */
    float colour[SIDE * SIDE][4]; /* red, green, blue, cover */
    float row[SIDE][TILE][4];     /* the same for pixels along a row of samples */
    float far[BLOCKS * BLOCKS];   /* of each block of samples, what is farthest from the eye */
    bool *seen;                   /* per stretch of the tile */
    int32_t *order;               /* the tile's stretches, near ones first */
    float (*ends)[2][3];          /* per stretch: its light at both ends */
} tile;

typedef struct spot {
    float x, y, z; /* samples, samples, metres */
} spot;

static spot spot_of(const hair_lines *l, hair_point p) {
    double each = l->samples;
    return (spot){(float)((p.x - l->left) * each), (float)((l->top - p.y) * each), p.z};
}

static int wide_of(const hair_lines *l) { return (int)fmax(1, round(l->hair->width * l->samples)); }

/* ---- which tile ---- */

static void tiles_along(int *from, int *to, float a, float b, float wide, int count) {
    float low = fminf(a, b) - wide - MARGIN, high = fmaxf(a, b) + wide + MARGIN, size = TILE * HAIR_GRID;
    *from = low > 0 ? (int)fminf(low / size, (float)count) : 0;
    *to = high < size * (float)count ? (int)floorf(fmaxf(high, -size) / size) : count - 1;
}

static bool behind_bust(const hair_lines *l, spot p) {
    int x = (int)fmaxf(-1, p.x / (HAIR_GRID / 2)), y = (int)fmaxf(-1, p.y / (HAIR_GRID / 2));
    enum { AROUND = 3 };
    if (!l->bust || x < AROUND || y < AROUND || x >= 2 * l->width - AROUND || y >= 2 * l->height - AROUND)
        return false;
    for (int k = 0; k < 5; k++) {
        static const int aside[5] = {0, -1, 1, -1, 1}, below[5] = {0, -1, -1, 1, 1};
        int u = x + AROUND * aside[k], v = y + AROUND * below[k];
        if (!(l->bust[(size_t)v * 2 * (size_t)l->width + (size_t)u] > p.z + .003f)) return false;
    }
    return true;
}

/* Adds one to at[tile] for every tile that a stretch of the hair meets; stretch, if there, gets its number at
 * stretch[at[tile]]. */
static void file_hair(const bins *b, const hair_lines *l, int hair, int32_t *at, int32_t *stretch) {
    const hair_fine *f = l->hair;
    float wide = (float)wide_of(l);
    spot p = spot_of(l, f->at[f->first[hair]]);
    for (int i = f->first[hair]; i + 1 < f->first[hair + 1]; i++) {
        spot q = spot_of(l, f->at[i + 1]);
        int x0, x1, y0, y1;
        tiles_along(&x0, &x1, p.x, q.x, wide, b->across);
        tiles_along(&y0, &y1, p.y, q.y, wide, b->down);
        p = q;
        if (b->hidden[i] && b->hidden[i + 1]) continue;
        for (int y = y0; y <= y1; y++)
            for (int x = x0; x <= x1; x++) {
                if (stretch) stretch[at[y * b->across + x]] = i;
                at[y * b->across + x]++;
            }
    }
}

static lw_status sort(bins *b, const hair_lines *l, lw_error *error) {
    b->across = (l->width + TILE - 1) / TILE, b->down = (l->height + TILE - 1) / TILE;
    int tiles = b->across * b->down, points = l->hair->first[l->hair->count];
    b->first = calloc((size_t)tiles + 2, sizeof *b->first);
    b->hidden = malloc((size_t)points + 1);
    if (!b->first || !b->hidden) return fail_memory(error, "picture");
#pragma omp parallel for schedule(static)
    for (int i = 0; i < points; i++) b->hidden[i] = behind_bust(l, spot_of(l, l->hair->at[i]));
    for (int i = 0; i < l->hair->count; i++) file_hair(b, l, i, b->first + 2, NULL);
    for (int t = 0; t < tiles; t++) {
        if (b->first[t + 2] > b->most) b->most = b->first[t + 2];
        b->first[t + 2] += b->first[t + 1];
    }
    b->stretch = malloc(((size_t)b->first[tiles + 1] + 1) * sizeof *b->stretch);
    if (!b->stretch) return fail_memory(error, "picture");
    for (int i = 0; i < l->hair->count; i++) file_hair(b, l, i, b->first + 1, b->stretch);
    return LW_OK;
}

/* ---- one tile ---- */

static void wipe(tile *t, const hair_lines *l, int column, int row) {
    t->left = column * TILE * HAIR_GRID - MARGIN, t->top = row * TILE * HAIR_GRID - MARGIN;
    int shift = HAIR_GRID / 2;
    for (int y = 0; y < SIDE; y++)
        for (int x = 0; x < SIDE; x++) {
            int gx = (t->left + x) / shift, gy = (t->top + y) / shift;
            bool in = t->left + x >= 0 && t->top + y >= 0 && gx < 2 * l->width && gy < 2 * l->height;
            float z = in && l->bust ? l->bust[(size_t)gy * 2 * (size_t)l->width + (size_t)gx] : -INFINITY;
            t->z[y * SIDE + x] = z - OVER_BUST;
            t->of[y * SIDE + x] = -1;
        }
}

/* From a to b, one sample in every column, or in every row where it is steep, times how wide it is. */
static void line(tile *t, spot a, spot b, int32_t of, int wide) {
    float ax = a.x - (float)t->left, ay = a.y - (float)t->top, bx = b.x - (float)t->left,
          by = b.y - (float)t->top;
    bool steep = fabsf(by - ay) > fabsf(bx - ax);
    float m0 = steep ? ay : ax, m1 = steep ? by : bx, n0 = steep ? ax : ay, n1 = steep ? bx : by, w0 = 0;
    if (m1 < m0) {
        float m = m0, n = n0;
        m0 = m1, m1 = m, n0 = n1, n1 = n, w0 = 1;
    }
    float span = m1 - m0, short_of = SHORTEST - span;
    if (short_of > 0)
        m0 -= .5f * short_of, m1 += .5f * short_of, span = SHORTEST; /* seen from its end: a dot */
    int from = m0 > .5f ? (int)(m0 + .5f) : 0, to = m1 < SIDE ? (int)(m1 + .5f) : SIDE;
    float slope = (n1 - n0) / span, each = (1 - 2 * w0) / span, rise = b.z - a.z;
    size_t along = steep ? SIDE : 1, across = steep ? 1 : SIDE;
    for (int i = from; i < to; i++) {
        float way = (float)i + .5f - m0, w = w0 + each * way, z = a.z + w * rise;
        int n = (int)(n0 + slope * way - .5f * (float)(wide - 1) + 65536) - 65536; /* floor */
        for (int k = n; k < n + wide; k++) {
            if (k < 0 || k >= SIDE) continue;
            size_t at = (size_t)i * along + (size_t)k * across;
            if (!(z > t->z[at])) continue;
            t->z[at] = z, t->of[at] = of, t->at[at] = w;
        }
    }
}

/* ---- near ones first, so that what lies deep need not be drawn ---- */

static void find_far(tile *t) {
    for (int b = 0; b < BLOCKS * BLOCKS; b++) {
        int x0 = b % BLOCKS * BLOCK, y0 = b / BLOCKS * BLOCK;
        float far = INFINITY;
        for (int y = y0; y < y0 + BLOCK && y < SIDE; y++)
            for (int x = x0; x < x0 + BLOCK && x < SIDE; x++)
                far = t->z[y * SIDE + x] < far ? t->z[y * SIDE + x] : far;
        t->far[b] = far;
    }
}

static int block_of(float at) {
    int b = (int)(at / BLOCK);
    return at < 0 ? 0 : b < BLOCKS ? b : BLOCKS - 1;
}

/* Whether all that the stretch may touch lies before it. */
static bool buried(const tile *t, spot a, spot b, float wide) {
    float left = (a.x < b.x ? a.x : b.x) - wide - (float)t->left,
          right = (a.x > b.x ? a.x : b.x) + wide - (float)t->left;
    float top = (a.y < b.y ? a.y : b.y) - wide - (float)t->top,
          foot = (a.y > b.y ? a.y : b.y) + wide - (float)t->top, z = a.z > b.z ? a.z : b.z;
    for (int y = block_of(top); y <= block_of(foot); y++)
        for (int x = block_of(left); x <= block_of(right); x++)
            if (t->far[y * BLOCKS + x] < z) return false;
    return true;
}

static int layer_of(float z, float near, float thick) {
    float k = (near - z) / thick * LAYERS;
    return k < 0 ? 0 : k < LAYERS - 1 ? (int)k : LAYERS - 1;
}

/* begin[LAYERS + 1]: where each layer begins in the tile's order. */
static void sort_by_depth(tile *t, int begin[LAYERS + 1], const hair_lines *l, const int32_t *stretch,
                          int count) {
    float near = -INFINITY, far = INFINITY;
    for (int k = 0; k < count; k++) {
        float z = l->hair->at[stretch[k]].z;
        near = z > near ? z : near, far = z < far ? z : far;
    }
    int at[LAYERS + 2] = {0};
    float thick = fmaxf(near - far, 1e-6f);
    for (int k = 0; k < count; k++) at[layer_of(l->hair->at[stretch[k]].z, near, thick) + 2]++;
    for (int k = 0; k < LAYERS; k++) at[k + 2] += at[k + 1];
    for (int k = 0; k <= LAYERS; k++) begin[k] = at[k + 1];
    for (int k = 0; k < count; k++) t->order[at[layer_of(l->hair->at[stretch[k]].z, near, thick) + 1]++] = k;
}

static void draw_stretches(tile *t, const hair_lines *l, const int32_t *stretch, int count) {
    int begin[LAYERS + 1], wide = wide_of(l);
    sort_by_depth(t, begin, l, stretch, count);
    for (int layer = 0; layer < LAYERS; layer++) {
        if (begin[layer] == begin[layer + 1]) continue;
        find_far(t);
        for (int i = begin[layer]; i < begin[layer + 1]; i++) {
            int k = t->order[i];
            spot a = spot_of(l, l->hair->at[stretch[k]]), b = spot_of(l, l->hair->at[stretch[k] + 1]);
            if (!buried(t, a, b, (float)wide)) line(t, a, b, k, wide);
        }
    }
}

/* ---- what is seen ---- */

static int hair_of(const hair_fine *f, int at) {
    int low = 0, high = f->count;
    while (high - low > 1) {
        int middle = low + (high - low) / 2;
        if (f->first[middle] <= at)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* What is seen is lit at both ends; a stretch begins with the light that the last one ended with. */
static void light_up(tile *t, const hair_lines *l, const int32_t *stretch, int count) {
    memset(t->seen, 0, (size_t)count * sizeof *t->seen);
    for (int i = 0; i < SIDE * SIDE; i++)
        if (t->of[i] >= 0) t->seen[t->of[i]] = true;
    for (int k = 0; k < count; k++) {
        if (!t->seen[k]) continue;
        int hair = hair_of(l->hair, stretch[k]);
        bool goes_on =
            k > 0 && t->seen[k - 1] && stretch[k - 1] + 1 == stretch[k] && stretch[k] > l->hair->first[hair];
        if (goes_on)
            memcpy(t->ends[k][0], t->ends[k - 1][1], sizeof t->ends[k][0]);
        else
            l->light(t->ends[k][0], l->scene, hair, stretch[k]);
        l->light(t->ends[k][1], l->scene, hair, stretch[k] + 1);
    }
    for (int i = 0; i < SIDE * SIDE; i++) {
        float *colour = t->colour[i];
        colour[0] = colour[1] = colour[2] = colour[3] = 0;
        if (t->of[i] < 0) continue;
        const float *a = t->ends[t->of[i]][0], *b = t->ends[t->of[i]][1];
        for (int c = 0; c < 3; c++) colour[c] = a[c] + t->at[i] * (b[c] - a[c]);
        colour[3] = 1;
    }
}

static void weigh(float out[4], const float *from, size_t apart) {
    static const float tent[2 * HAIR_GRID] = {.125f, .375f, .625f, .875f, .875f, .625f, .375f, .125f};
    float sum[4] = {0};
    for (int i = 0; i < 2 * HAIR_GRID; i++)
        for (int k = 0; k < 4; k++) sum[k] += tent[i] * from[(size_t)i * apart + (size_t)k];
    for (int k = 0; k < 4; k++) out[k] = sum[k] / HAIR_GRID;
}

/* A pixel is its samples and those half a pixel round it, weighed by a tent two pixels wide. */
static void gather(float *out, tile *t, const hair_lines *l, int column, int row) {
    for (int y = 0; y < SIDE; y++)
        for (int x = 0; x < TILE; x++) weigh(t->row[y][x], t->colour[y * SIDE + x * HAIR_GRID], 4);
    for (int y = 0; y < TILE && row * TILE + y < l->height; y++)
        for (int x = 0; x < TILE && column * TILE + x < l->width; x++)
            weigh(out + 4 * ((size_t)(row * TILE + y) * (size_t)l->width + (size_t)(column * TILE + x)),
                  t->row[y * HAIR_GRID][x], (size_t)TILE * 4);
}

static void draw_tile(float *out, tile *t, const hair_lines *l, const bins *b, int index) {
    int column = index % b->across, row = index / b->across;
    const int32_t *stretch = b->stretch + b->first[index];
    int count = b->first[index + 1] - b->first[index];
    if (count == 0) return; /* out is wiped */
    wipe(t, l, column, row);
    draw_stretches(t, l, stretch, count);
    light_up(t, l, stretch, count);
    gather(out, t, l, column, row);
}

static int draw_tiles(float *out, const hair_lines *l, const bins *b) {
    int failed = 0;
#pragma omp parallel reduction(+ : failed)
    {
        tile *t = calloc(1, sizeof *t);
        if (t) t->seen = malloc((size_t)b->most + 1);
        if (t) t->order = malloc(((size_t)b->most + 1) * sizeof *t->order);
        if (t) t->ends = malloc(((size_t)b->most + 1) * sizeof *t->ends);
        bool fine = t && t->seen && t->order && t->ends;
        failed = !fine;
#pragma omp for schedule(dynamic, 1)
        for (int i = 0; i < b->across * b->down; i++)
            if (fine) draw_tile(out, t, l, b, i);
        if (t) free(t->seen);
        if (t) free(t->order);
        if (t) free(t->ends);
        free(t);
    }
    return failed;
}

lw_status hair_lines_draw(float *out, const hair_lines *lines, lw_error *error) {
    bins b = {0};
    memset(out, 0, (size_t)lines->width * (size_t)lines->height * 4 * sizeof *out);
    lw_status status = sort(&b, lines, error);
    if (!status && draw_tiles(out, lines, &b)) status = fail_memory(error, "picture");
    free(b.first);
    free(b.hidden);
    free(b.stretch);
    return status;
}
