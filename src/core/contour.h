/* The largest closed line round what lies above a level on a grid. */
#ifndef LW_CORE_CONTOUR_H
#define LW_CORE_CONTOUR_H

#include <stdbool.h>

typedef struct contour {
    int count;
    double (*at)[2]; /* in units of the grid: whole at its points; counter-clockwise */
} contour;

/* values[row * wide + column], 0 or more and 0 along the rim of the grid. false: out of memory. No line where
 * nothing lies above the level. */
bool contour_largest(contour *out, const float *values, int wide, int high, float level);

#endif
