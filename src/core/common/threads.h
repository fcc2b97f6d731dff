/* How many threads work. */
#ifndef LW_CORE_THREADS_H
#define LW_CORE_THREADS_H

#ifdef _OPENMP
#include <omp.h>
#endif

/* As many as are wanted; all there are where that is 0. */
static inline int threads_of(int wanted) {
#ifdef _OPENMP
    return wanted > 0 ? wanted : omp_get_max_threads();
#else
    return wanted > 0 ? wanted : 1;
#endif
}

#endif
