/* Neighbours on the scalp by hashing space into cells as wide as the search radius.
 *
 * A counting sort puts the roots in order of their cell's bucket; the neighbours of a root lie in the 27
 * cells round it. Two cells may share a bucket, which only costs a distance test.
 */
#include "neighbour.h"

#include <stdlib.h>

#include "fail.h"
#include "hash.h"
#include "vec.h"

static const double REACH = 1.6; /* mean spacings */

typedef struct grid {
    double cell;
    uint32_t mask;
    int *start, *order;
} grid;

static uint32_t bucket(const grid *g, int64_t i, int64_t j, int64_t k) {
    uint64_t key = (uint64_t)i * 73856093u ^ (uint64_t)j * 19349663u ^ (uint64_t)k * 83492791u;
    return (uint32_t)hash_mix(key) & g->mask;
}

static int64_t cell(const grid *g, double x) { return (int64_t)floor(x / g->cell); }

static uint32_t root_bucket(const grid *g, const lw_scalp *s, int i) {
    return bucket(g, cell(g, s->x[i]), cell(g, s->y[i]), cell(g, s->z[i]));
}

static lw_status grid_make(grid *g, const lw_scalp *s, double radius, lw_error *error) {
    uint32_t buckets = 16;
    while (buckets < (uint32_t)s->count) buckets *= 2;
    *g = (grid){.cell = radius, .mask = buckets - 1};
    g->start = calloc((size_t)buckets + 2, sizeof *g->start);
    g->order = malloc(sizeof *g->order * (size_t)s->count);
    if (!g->start || !g->order) return fail_memory(error, "neighbours");
    for (int i = 0; i < s->count; i++) g->start[root_bucket(g, s, i) + 2]++;
    for (uint32_t k = 0; k < buckets; k++) g->start[k + 2] += g->start[k + 1];
    for (int i = 0; i < s->count; i++) g->order[g->start[root_bucket(g, s, i) + 1]++] = i;
    return LW_OK;
}

static void look_round(const grid *g, const lw_scalp *s, int i, const double *length, const int16_t *section,
                       neighbour_step out[2]) {
    int64_t ci = cell(g, s->x[i]), cj = cell(g, s->y[i]), ck = cell(g, s->z[i]);
    for (int n = 0; n < 27; n++) {
        uint32_t b = bucket(g, ci + n % 3 - 1, cj + n / 3 % 3 - 1, ck + n / 9 - 1);
        for (int at = g->start[b]; at < g->start[b + 1]; at++) {
            int j = g->order[at];
            if (j <= i) continue;
            double step = fabs(length[i] - length[j]);
            neighbour_step *o = &out[section[i] != section[j]];
            if (step <= o->step) continue;
            double dx = s->x[i] - s->x[j], dy = s->y[i] - s->y[j], dz = s->z[i] - s->z[j];
            if (dx * dx + dy * dy + dz * dz < g->cell * g->cell) *o = (neighbour_step){step, i};
        }
    }
}

lw_status neighbour_steps(neighbour_step out[2], const lw_scalp *scalp, double area, const double *length,
                          const int16_t *section, lw_error *error) {
    out[0] = out[1] = (neighbour_step){0, -1};
    grid g;
    lw_status status = grid_make(&g, scalp, REACH * sqrt(area / scalp->count), error);
    for (int i = 0; status == LW_OK && i < scalp->count; i++) look_round(&g, scalp, i, length, section, out);
    free(g.start);
    free(g.order);
    return status;
}
