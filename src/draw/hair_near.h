/* Which strands grow next to a strand. */
#ifndef LW_DRAW_HAIR_NEAR_H
#define LW_DRAW_HAIR_NEAR_H

#include <stdint.h>

#include "lengthwise.h"

enum { NEIGHBOURS = 5 };

typedef struct hair_roots {
    const lw_strands *strands;
    double cell;
    int buckets;
    int32_t *first, *member; /* strands of bucket b are member[first[b]] to member[first[b + 1]] */
} hair_roots;

/* False: no memory. Either way to be cleared. */
bool hair_roots_new(hair_roots *out, const lw_strands *strands);
void hair_roots_clear(hair_roots *roots);

typedef struct hair_near {
    int count;
    int32_t strand[NEIGHBOURS];
    double apart[NEIGHBOURS]; /* metres, rising */
} hair_near;

/* The strands whose roots are nearest to that of strand i. */
hair_near hair_near_of(const hair_roots *roots, int i);

#endif
