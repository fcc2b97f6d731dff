/* From the bust's field to the coefficients of a ground. */
#ifndef LW_CORE_GROUND_FILL_H
#define LW_CORE_GROUND_FILL_H

#include "ground.h"

/* Makes g->at for the rest of g, starting from a grid that is 2^levels times as coarse. n - 1 is a multiple
 * of 2^levels, at least three times. False where memory fails; g->at is the caller's to free in any case. */
bool ground_fill(ground *g, const lw_head *head, int levels);

#endif
