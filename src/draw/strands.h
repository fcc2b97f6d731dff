/* Hairs as polylines, for pictures and models. */
#ifndef LW_DRAW_STRANDS_H
#define LW_DRAW_STRANDS_H

#include "draw.h"

typedef struct strands {
    int count;
    int *first; /* count + 1: hair i is point[first[i]] to point[first[i + 1] - 1], two or more */
    lw_vec3 *point;
} strands;

/* Every hair of the cut, from its root: as it hangs, or as it was held when it was cut (one that was not cut
 * hangs). Each is as long as the hair is where it lies or in the hand, within 5e-4 m. */
lw_status strands_new(strands *out, const draw_subject *subject, draw_hair hair, lw_error *error);
void strands_clear(strands *s);

#endif
