/* Hair and bust on a grid of cells.
 *
 * Light is followed through the grid slice by slice: how deep a cell lies is how deep the place one slice
 * nearer to the light lies, on the line between them, and what that line meets on its way. Light spreads a
 * little from slice to slice, as that of a wide lamp does. Cost: a few operations a cell and direction. */
#include "hair_air.h"

#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "vec.h"

enum { MARGIN = 3, CELLS_MAX = 4 << 20 };

size_t hair_air_cells(const hair_air *a) {
    return (size_t)a->size[0] * (size_t)a->size[1] * (size_t)a->size[2];
}

static size_t cell_at(const hair_air *a, int x, int y, int z) {
    return ((size_t)z * (size_t)a->size[1] + (size_t)y) * (size_t)a->size[0] + (size_t)x;
}

static void size_up(hair_air *a, const hair_fine *hair, double cell) {
    const float low[3] = {hair->low.x, hair->low.y, hair->low.z},
                high[3] = {hair->high.x, hair->high.y, hair->high.z};
    a->cell = (float)cell;
    for (;; a->cell *= 1.2f) {
        double cells = 1;
        for (int k = 0; k < 3; k++) {
            a->size[k] = (int)((high[k] - low[k]) / a->cell) + 2 * MARGIN + 1;
            a->low[k] = low[k] - MARGIN * a->cell;
            cells *= a->size[k];
        }
        if (cells <= CELLS_MAX) return;
    }
}

static size_t cell_of(const hair_air *a, float x, float y, float z) {
    return cell_at(a, (int)((x - a->low[0]) / a->cell), (int)((y - a->low[1]) / a->cell),
                   (int)((z - a->low[2]) / a->cell));
}

/* Every stretch goes, in parts shorter than cells, to the cells it is in; then each cell shares with those
 * around it. */
static void fill_hair(hair_air *a, const hair_fine *hair, float *sum) {
    for (int i = 0; i < hair->count; i++)
        for (int k = hair->first[i]; k + 1 < hair->first[i + 1]; k++) {
            hair_point p = hair->at[k], q = hair->at[k + 1];
            float dx = q.x - p.x, dy = q.y - p.y, dz = q.z - p.z, length = sqrtf(dx * dx + dy * dy + dz * dz);
            int parts = (int)(1.5f * length / a->cell) + 1;
            for (int j = 0; j < parts; j++) {
                float t = ((float)j + .5f) / (float)parts;
                sum[cell_of(a, p.x + t * dx, p.y + t * dy, p.z + t * dz)] += length / (float)parts;
            }
        }
    float each = (float)(hair->width / pow(a->cell, 3));
    size_t row = (size_t)a->size[0], slice = row * (size_t)a->size[1];
#pragma omp parallel for schedule(static)
    for (int z = 1; z < a->size[2] - 1; z++)
        for (int y = 1; y < a->size[1] - 1; y++)
            for (int x = 1; x < a->size[0] - 1; x++) {
                size_t i = cell_at(a, x, y, z);
                float all = 6 * sum[i] + sum[i - 1] + sum[i + 1] + sum[i - row] + sum[i + row] +
                            sum[i - slice] + sum[i + slice];
                a->hair[i] = all / 12 * each;
            }
}

/* The bust is looked up on every other cell, and counts from a little within, so that hair on it is free. */
static void fill_solid(hair_air *a, const lw_head *head, const view *v) {
    float cell = a->cell;
#pragma omp parallel for schedule(dynamic, 1)
    for (int z = 0; z < a->size[2]; z += 2)
        for (int y = 0; y < a->size[1]; y += 2)
            for (int x = 0; x < a->size[0]; x += 2) {
                lw_vec3 p = v3_scale(v->right, a->low[0] + ((float)x + 1) * cell);
                p = v3_along(p, v->up, a->low[1] + ((float)y + 1) * cell);
                p = v3_along(p, v->toward, a->low[2] + ((float)z + 1) * cell);
                float f = (float)lw_head_bust(head, p, NULL);
                float in = fminf(1, fmaxf(0, .5f - (f + 1.7f * cell) / (2 * cell)));
                for (int k = 0; k < 8; k++) {
                    int i = x + (k & 1), j = y + (k >> 1 & 1), l = z + (k >> 2);
                    if (i < a->size[0] && j < a->size[1] && l < a->size[2])
                        a->solid[cell_at(a, i, j, l)] = in;
                }
            }
}

lw_status hair_air_new(hair_air *out, const hair_fine *hair, const lw_head *head, const view *seen,
                       double cell, lw_error *error) {
    *out = (hair_air){0};
    size_up(out, hair, cell);
    float *sum = calloc(hair_air_cells(out), sizeof *sum);
    out->hair = calloc(hair_air_cells(out), sizeof *out->hair);
    out->solid = calloc(hair_air_cells(out), sizeof *out->solid);
    bool fine = sum && out->hair && out->solid;
    if (fine) fill_hair(out, hair, sum);
    if (fine) fill_solid(out, head, seen);
    free(sum);
    if (fine) return LW_OK;
    hair_air_clear(out);
    return fail_memory(error, "light");
}

void hair_air_clear(hair_air *air) {
    free(air->hair);
    free(air->solid);
    air->hair = air->solid = NULL;
}

/* ---- a direction ---- */

typedef struct sweep {
    const hair_air *air;
    int along, across, down; /* axes: from slice to slice; within a slice */
    int first, step;         /* slices, away from the light */
    float shift[2], way;     /* cells toward the light within a slice, and metres, from a slice to the last */
    float hair, wall;
    size_t stride[3];
} sweep;

static float meets(const sweep *s, size_t i) {
    return s->hair * s->way * s->air->hair[i] + s->wall * s->air->solid[i];
}

static void sweep_row(float *depth, const sweep *s, int slice, int j) {
    const int *size = s->air->size;
    size_t base = (size_t)slice * s->stride[s->along] + (size_t)j * s->stride[s->down];
    float at = (float)j + s->shift[1];
    int j0 = (int)floorf(at);
    float v = at - (float)j0, inner = floorf(s->shift[0]), u = s->shift[0] - inner;
    for (int i = 0; i < size[s->across]; i++) {
        size_t own = base + (size_t)i * s->stride[s->across];
        int i0 = i + (int)inner;
        float sum = .5f * meets(s, own);
        for (int k = 0; k < 4; k++) {
            int ii = i0 + (k & 1), jj = j0 + (k >> 1);
            if (ii < 0 || jj < 0 || ii >= size[s->across] || jj >= size[s->down]) continue;
            size_t from = (size_t)(slice - s->step) * s->stride[s->along] + (size_t)jj * s->stride[s->down] +
                          (size_t)ii * s->stride[s->across];
            float w = (k & 1 ? u : 1 - u) * (k >> 1 ? v : 1 - v);
            sum += w * (depth[from] + .5f * meets(s, from));
        }
        depth[own] = sum;
    }
}

void hair_air_depth(float *depth, const hair_air *a, lw_vec3 toward, float hair, float wall) {
    lw_vec3 unit = v3_unit(toward);
    double d[3] = {unit.x, unit.y, unit.z};
    int along = fabs(d[0]) > fabs(d[1]) ? 0 : 1;
    if (fabs(d[2]) > fabs(d[along])) along = 2;
    sweep s = {.air = a,
               .along = along,
               .across = along == 0 ? 1 : 0,
               .down = along == 2 ? 1 : 2,
               .hair = hair,
               .wall = wall};
    s.stride[0] = 1, s.stride[1] = (size_t)a->size[0], s.stride[2] = (size_t)a->size[0] * (size_t)a->size[1];
    s.step = d[along] > 0 ? -1 : 1;
    s.first = d[along] > 0 ? a->size[along] - 1 : 0;
    s.shift[0] = (float)(d[s.across] / fabs(d[along]));
    s.shift[1] = (float)(d[s.down] / fabs(d[along]));
    s.way = (float)(a->cell / fabs(d[along]));
    for (int n = 0; n < a->size[along]; n++) {
        int slice = s.first + n * s.step;
#pragma omp parallel for schedule(static) if (a->size[s.down] > 64)
        for (int j = 0; j < a->size[s.down]; j++) {
            if (n > 0) {
                sweep_row(depth, &s, slice, j);
                continue;
            }
            for (int i = 0; i < a->size[s.across]; i++)
                depth[(size_t)slice * s.stride[along] + (size_t)j * s.stride[s.down] +
                      (size_t)i * s.stride[s.across]] = 0;
        }
    }
}

float hair_air_at(const float *value, const hair_air *a, hair_point p, float outside) {
    float f[3] = {(p.x - a->low[0]) / a->cell - .5f, (p.y - a->low[1]) / a->cell - .5f,
                  (p.z - a->low[2]) / a->cell - .5f};
    int at[3];
    for (int k = 0; k < 3; k++) {
        if (!(f[k] > -1) || f[k] > (float)a->size[k]) return outside;
        at[k] = (int)floorf(f[k]);
        f[k] -= (float)at[k];
    }
    float sum = 0;
    for (int k = 0; k < 8; k++) {
        int x = at[0] + (k & 1), y = at[1] + (k >> 1 & 1), z = at[2] + (k >> 2);
        float w = (k & 1 ? f[0] : 1 - f[0]) * (k >> 1 & 1 ? f[1] : 1 - f[1]) * (k >> 2 ? f[2] : 1 - f[2]);
        bool in = x >= 0 && y >= 0 && z >= 0 && x < a->size[0] && y < a->size[1] && z < a->size[2];
        sum += w * (in ? value[cell_at(a, x, y, z)] : outside);
    }
    return sum;
}
