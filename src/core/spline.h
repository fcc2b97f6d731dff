/* Uniform quadratic B-splines along one axis: which three coefficients count at a place, and how much. */
#ifndef LW_CORE_SPLINE_H
#define LW_CORE_SPLINE_H

#include <math.h>

typedef struct along {
    int at;            /* the first of the three */
    double b[3], d[3]; /* weights, which add up to 1, and their slopes */
} along;

/* At u spacings from the low end of n coefficients, brought to 0 .. n - 2. */
static inline along place_along(double u, int n) {
    u = u > 0 ? u : 0;
    u = u < n - 2 ? u : n - 2;
    int at = u < n - 3 ? (int)u : n - 3;
    double t = u - at;
    return (along){at, {.5 * (1 - t) * (1 - t), .5 + t * (1 - t), .5 * t * t}, {t - 1, 1 - 2 * t, t}};
}

#endif
