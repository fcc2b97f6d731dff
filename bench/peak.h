/* What a piece of work takes of memory. */
#ifndef LW_BENCH_PEAK_H
#define LW_BENCH_PEAK_H

#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

/* The most that work takes, bytes, in a process of its own; count is handed on. Ask for the smallest first:
 * the system tells only the most that any of them took. Nothing may be left to be written that a child could
 * repeat. */
static inline double peak_of(void (*work)(const void *on, int count), const void *on, int count) {
    pid_t child = fork();
    if (child == 0) {
        work(on, count);
        _exit(0);
    }
    struct rusage use;
    int status = 1;
    if (child < 0 || waitpid(child, &status, 0) < 0 || status != 0 || getrusage(RUSAGE_CHILDREN, &use) != 0)
        exit(1);
    return 1024.0 * (double)use.ru_maxrss;
}

#endif
