/* Every piece of a strand leaves its hair on the 27 samples round it, each with its B-spline.
 *
 * Hair comes in any order, from any thread, and the sums must have the same bits: so every contribution is
 * first rounded to a multiple of a quantum of which all hair together is less than 2^51, and no sum of them
 * is ever rounded. Rounding loses less than 1e-9 of the hair. */
#include "room_leave.h"

#include "spline.h"
#include "vec.h"

#ifndef ROOM_LEAVE /* compiled again under another name for wider vectors */
#define ROOM_LEAVE room_leave_narrow

room_leaver *room_leave_on_this_machine(void) {
#ifdef ROOM_AVX2
    if (__builtin_cpu_supports("avx2")) return room_leave_wide;
#endif
    return room_leave_narrow;
}
#endif

typedef double four __attribute__((vector_size(32)));
typedef double four_stored __attribute__((vector_size(32), aligned(8)));

static inline void leave(double *at, const ground *g, lw_vec3 p, double volume, double round) {
    double per = 1 / g->spacing;
    along x = place_along(fabs(p.x) * per, g->nx), y = place_along((p.y - g->low.y) * per, g->ny),
          z = place_along((p.z - g->low.z) * per, g->nz);
    four run = {x.b[0], x.b[1], x.b[2], 0};
    double *plane = at + ((size_t)z.at * g->ny + y.at) * g->row + x.at;
    for (int k = 0; k < 3; k++, plane += (size_t)g->ny * g->row)
        for (int j = 0; j < 3; j++) {
            four_stored *to = (four_stored *)(void *)(plane + (size_t)j * g->row);
            four more = run * (volume * z.b[k] * y.b[j]);
            *to += (more + round) - round;
        }
}

void ROOM_LEAVE(double *left, double *right, const ground *grid, const room_hair *hair, int first, int past) {
    int nodes = hair->strands->nodes;
    for (int i = first; i < past; i++) {
        const lw_vec3 *p = hair->strands->at + (size_t)i * nodes;
        for (int e = 0; e + 1 < nodes; e++) {
            lw_vec3 along_it = v3_sub(p[e + 1], p[e]);
            double length = v3_norm(along_it), volume = hair->section[i] * length;
            int parts = length > grid->spacing ? (int)ceil(length / grid->spacing - 1e-6) : 1;
            for (int m = 0; m < parts; m++) {
                lw_vec3 q = v3_along(p[e], along_it, (m + .5) / parts);
                leave(q.x < 0 ? right : left, grid, q, volume / parts, hair->round);
            }
        }
    }
}
