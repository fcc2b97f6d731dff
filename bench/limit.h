/* What one core does at most, with the vectors that the rods' kernels were compiled for. */
#ifndef LW_BENCH_LIMIT_H
#define LW_BENCH_LIMIT_H

#include <stddef.h>

/* A second: floating-point operations of fused multiply-adds that wait for nothing, two each. */
double limit_flops_narrow(void), limit_flops_wide(void), limit_flops_widest(void);

/* Bytes a second, read one after the other from so many, over and over. */
double limit_read_narrow(size_t bytes), limit_read_wide(size_t bytes), limit_read_widest(size_t bytes);

#endif
