/* Shares hairs among threads and picks the widest vectors that the machine has. */
#include "rods.h"

enum { CHUNK = 256 };

static void some(const rods_job *job, int first, int past) {
#ifdef RODS_WIDE
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") &&
        __builtin_cpu_supports("avx512vl")) {
        rods_some_widest(job, first, past);
        return;
    }
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) {
        rods_some_wide(job, first, past);
        return;
    }
#endif
    rods_some_narrow(job, first, past);
}

void rods_rest(const rods_job *job, int first, int past) {
    int threads = job->threads;
    (void)threads;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (int i = first; i < past; i += CHUNK) some(job, i, past - i < CHUNK ? past : i + CHUNK);
}
