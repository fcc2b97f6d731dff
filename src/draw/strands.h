/* Hairs as polylines, for pictures and models. */
#ifndef LW_DRAW_STRANDS_H
#define LW_DRAW_STRANDS_H

#include "draw.h"

typedef struct strands {
    int count;
    int *first; /* count + 1: hair i is point[first[i]] to point[first[i + 1] - 1], two or more */
    lw_vec3 *point;
} strands;

enum { STRANDS_NODES_MAX = 64 };

/* Every hair of the cut, from its root: at rest, as a smooth curve through its nodes, or as it was held when
 * it was cut (one that was not cut is at rest), as long as it was in the hand within 5e-4 m. fallen has hair
 * i from root i, 2 to STRANDS_NODES_MAX nodes; not asked for without hair. */
lw_status strands_new(strands *out, const draw_subject *subject, const lw_strands *fallen, draw_hair hair,
                      lw_error *error);
void strands_clear(strands *s);

#endif
