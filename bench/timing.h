/* What the benchmarks share: the clock, and the order of its readings. */
#ifndef LW_BENCH_TIMING_H
#define LW_BENCH_TIMING_H

#include <time.h>

static inline double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* For qsort. */
static inline int ascending(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

#endif
