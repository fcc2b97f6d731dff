/* Shares hairs among threads and picks the widest vectors that the machine has. */
#include "rods.h"

enum { CHUNK = 256 };

int rods_kernels(rods_kernel *out[3]) {
    int count = 0;
    out[count++] = rods_some_narrow;
#ifdef RODS_WIDE
    bool wide = __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma");
    if (wide) out[count++] = rods_some_wide;
    if (wide && __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") &&
        __builtin_cpu_supports("avx512vl"))
        out[count++] = rods_some_widest;
#endif
    return count;
}

void rods_rest(const rods_job *job, int first, int past) {
    rods_kernel *kernels[3], *some = kernels[rods_kernels(kernels) - 1];
    int threads = job->threads;
    (void)threads;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (int i = first; i < past; i += CHUNK) some(job, i, past - i < CHUNK ? past : i + CHUNK);
}
