/* Compiled as src/core/rods.c is, once for each width of vectors, so that the limit is that of the same
 * instructions. */
#include "limit.h"

#include <stdlib.h>

#include "rods_lanes.h"
#include "timing.h"

#ifndef LIMIT_FLOPS
#define LIMIT_FLOPS limit_flops_narrow
#define LIMIT_READ limit_read_narrow
#endif

enum { CHAINS = 16, TIMES = 1 << 22 };

double LIMIT_FLOPS(void) {
    lanes at[CHAINS], by = all(.999), more = all(.001);
    for (int k = 0; k < CHAINS; k++) at[k] = all(k);
    double start = now();
    for (int i = 0; i < TIMES; i++)
#pragma GCC unroll 16
        for (int k = 0; k < CHAINS; k++) at[k] = at[k] * by + more;
    double seconds = now() - start;
    for (int k = 1; k < CHAINS; k++) at[0] += at[k];
    if (!(at[0][0] > 0)) exit(1);
    return 2. * LANES * CHAINS * TIMES / seconds;
}

double LIMIT_READ(size_t bytes) {
    size_t count = bytes / sizeof(lanes) / CHAINS * CHAINS, times = ((size_t)1 << 31) / bytes + 1;
    lanes *from = aligned_alloc(sizeof *from, count * sizeof *from), sum[CHAINS] = {{0}};
    if (!from) exit(1);
    for (size_t i = 0; i < count; i++) from[i] = sum[0];
    double start = now();
    for (size_t t = 0; t < times; t++)
        for (size_t i = 0; i < count; i += CHAINS)
#pragma GCC unroll 16
            for (size_t k = 0; k < CHAINS; k++) sum[k] += from[i + k];
    double seconds = now() - start;
    for (int k = 1; k < CHAINS; k++) sum[0] += sum[k];
    if (sum[0][0] != 0) exit(1);
    free(from);
    return (double)(times * count * sizeof *from) / seconds;
}
