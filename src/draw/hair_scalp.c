/* Where hair grows on the bust: roots are counted on a grid of cells, each shared out among the eight cells
 * round it, and looked up between cells, so that the edge of the hair is as soft as cells are wide. */
#include "hair_scalp.h"

#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "vec.h"

#define CELL .004f     /* metres */
#define HALF_BARE 60e4 /* hairs per m^2 at which 1 - 1/e of the skin counts as grown over */
#define HAIR_WIDTH 75e-6

typedef struct grid {
    int size[3];
    float low[3];
    float *count;
} grid;

static void set(float out[3], hair_point p) { out[0] = p.x, out[1] = p.y, out[2] = p.z; }

/* The eight cells round a place and what each has of it; false: not within. */
static bool share(size_t cell[8], float part[8], const grid *g, const float p[3]) {
    float f[3];
    int at[3];
    for (int k = 0; k < 3; k++) {
        float x = (p[k] - g->low[k]) / CELL;
        if (!(x >= 0) || x >= (float)(g->size[k] - 1)) return false;
        at[k] = (int)x;
        f[k] = x - (float)at[k];
    }
    for (int k = 0; k < 8; k++) {
        int b[3] = {k & 1, k >> 1 & 1, k >> 2};
        cell[k] =
            ((size_t)(at[2] + b[2]) * (size_t)g->size[1] + (size_t)(at[1] + b[1])) * (size_t)g->size[0] +
            (size_t)(at[0] + b[0]);
        part[k] = 1;
        for (int i = 0; i < 3; i++) part[k] *= b[i] ? f[i] : 1 - f[i];
    }
    return true;
}

static bool count_roots(grid *g, const hair_fine *hair) {
    float low[3] = {INFINITY, INFINITY, INFINITY}, high[3] = {-INFINITY, -INFINITY, -INFINITY}, p[3];
    for (int i = 0; i < hair->count; i++) {
        set(p, hair->at[hair->first[i]]);
        for (int k = 0; k < 3; k++) low[k] = fminf(low[k], p[k]), high[k] = fmaxf(high[k], p[k]);
    }
    size_t cells = 1;
    for (int k = 0; k < 3; k++) {
        g->low[k] = low[k] - 2 * CELL;
        g->size[k] = hair->count ? (int)((high[k] - low[k]) / CELL) + 5 : 1;
        cells *= (size_t)g->size[k];
    }
    g->count = calloc(cells, sizeof *g->count);
    if (!g->count) return false;
    for (int i = 0; i < hair->count; i++) {
        size_t cell[8];
        float part[8];
        set(p, hair->at[hair->first[i]]);
        if (share(cell, part, g, p))
            for (int k = 0; k < 8; k++) g->count[cell[k]] += part[k];
    }
    return true;
}

lw_status hair_scalp(float *grown, const hair_fine *hair, const view *seen, const lw_mesh *mesh,
                     lw_error *error) {
    grid g;
    if (!count_roots(&g, hair)) return fail_memory(error, "picture");
    double each = hair->width / HAIR_WIDTH / (CELL * CELL); /* hairs per m^2, for one that is drawn */
    for (int i = 0; i < mesh->vertex_count; i++) {
        lw_vec3 q = mesh->position[i];
        float p[3] = {(float)v3_dot(q, seen->right), (float)v3_dot(q, seen->up),
                      (float)v3_dot(q, seen->toward)},
              part[8], sum = 0;
        size_t cell[8];
        if (share(cell, part, &g, p))
            for (int k = 0; k < 8; k++) sum += part[k] * g.count[cell[k]];
        grown[i] = (float)(1 - exp(-sum * each / HALF_BARE));
    }
    free(g.count);
    return LW_OK;
}
