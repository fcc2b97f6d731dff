/* From the bust's field to the coefficients of a ground: what its two files share. */
#ifndef LW_CORE_GROUND_FILL_H
#define LW_CORE_GROUND_FILL_H

#include <stdint.h>

#include "ground.h"

typedef struct level {
    int nx, ny, nz, row;
    double spacing;
    float *f;      /* (k * ny + j) * row + i */
    uint8_t *open; /* the cell from node (i, j, k) on: whether the next level is asked for in it */
} level;

static inline size_t at(const level *l, int i, int j, int k) { return ((size_t)k * l->ny + j) * l->row + i; }

/* Makes g->at for the rest of g, starting from a grid that is 2^levels times as coarse. n - 1 is a multiple
 * of 2^levels, at least three times. False where memory fails; g->at is the caller's to free in any case. */
bool ground_fill(ground *g, const lw_head *head, int levels);

/* ground_snap.c: places on the surface, and how the coefficients come to be zero there. */
typedef struct snaps {
    int count;
    lw_vec3 *at;
} snaps;

/* Finds where the edges of the finest grid pass through the bust, in those open cells of the next level where
 * the field bends sharply. False where memory fails. */
bool snaps_find(snaps *out, const ground *g, const lw_head *head, const level *finest, const level *coarse);
void snaps_apply(ground *g, const snaps *s);

#endif
