/* The largest step in length between neighbouring hairs. */
#ifndef LW_CORE_NEIGHBOUR_H
#define LW_CORE_NEIGHBOUR_H

#include "scalp.h"

typedef struct neighbour_step {
    double step; /* metres; 0 where there is none */
    int hair;    /* one of the two, -1 none */
} neighbour_step;

/* Among hairs of one section (out[0]) and across the border of two (out[1]): pairs closer than 1.6 times the
 * mean spacing. O(count). */
lw_status neighbour_steps(neighbour_step out[2], const lw_scalp *scalp, double area, const double *length,
                          const int16_t *section, lw_error *error);

#endif
