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

enum { PIECES = 64 };

typedef double four __attribute__((vector_size(32)));
typedef double four_stored __attribute__((vector_size(32), aligned(8)));

/* Of pieces' middles along an axis: place in spacings from the low end, then the first sample of three and
 * their weights. */
typedef struct place {
    double u[PIECES], b[3][PIECES];
    int at[PIECES];
} place;

typedef struct pieces {
    int count;
    place x, y, z;
    double volume[PIECES];
    double *half[PIECES];
} pieces;

static inline void weigh(place *p, int count, int n) {
    for (int i = 0; i < count; i++) {
        along a = place_along(p->u[i], n);
        p->at[i] = a.at;
        p->b[0][i] = a.b[0], p->b[1][i] = a.b[1], p->b[2][i] = a.b[2];
    }
}

/* Leaves what there is. */
static inline void leave(pieces *p, const ground *g, double round) {
    weigh(&p->x, p->count, g->nx);
    weigh(&p->y, p->count, g->ny);
    weigh(&p->z, p->count, g->nz);
    for (int i = 0; i < p->count; i++) {
        four run = {p->x.b[0][i], p->x.b[1][i], p->x.b[2][i], 0};
        double *plane = p->half[i] + ((size_t)p->z.at[i] * g->ny + p->y.at[i]) * g->row + p->x.at[i];
        for (int k = 0; k < 3; k++, plane += (size_t)g->ny * g->row)
            for (int j = 0; j < 3; j++) {
                four_stored *to = (four_stored *)(void *)(plane + (size_t)j * g->row);
                four more = run * (p->volume[i] * p->z.b[k][i] * p->y.b[j][i]);
                *to += (more + round) - round;
            }
    }
    p->count = 0;
}

static inline void add(pieces *p, lw_vec3 at, double volume, double *half) {
    int i = p->count++;
    p->x.u[i] = at.x, p->y.u[i] = at.y, p->z.u[i] = at.z, p->volume[i] = volume;
    p->half[i] = half;
}

void ROOM_LEAVE(double *left, double *right, const ground *grid, const room_hair *hair, int first, int past) {
    int nodes = hair->strands->nodes;
    double per = 1 / grid->spacing;
    pieces own;
    own.count = 0;
    for (int i = first; i < past; i++) {
        const lw_vec3 *p = hair->strands->at + (size_t)i * nodes;
        for (int e = 0; e + 1 < nodes; e++) {
            lw_vec3 along_it = v3_sub(p[e + 1], p[e]);
            double length = v3_norm(along_it), volume = hair->section[i] * length;
            int parts = length > grid->spacing ? (int)ceil(length / grid->spacing - 1e-6) : 1;
            for (int m = 0; m < parts; m++) {
                lw_vec3 q = v3_along(p[e], along_it, (m + .5) / parts);
                lw_vec3 u = v3_scale(v3(fabs(q.x), q.y - grid->low.y, q.z - grid->low.z), per);
                if (own.count == PIECES) leave(&own, grid, hair->round);
                add(&own, u, volume / parts, q.x < 0 ? right : left);
            }
        }
    }
    leave(&own, grid, hair->round);
}
