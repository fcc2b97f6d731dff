#define _DEFAULT_SOURCE /* madvise */ // NOLINT(bugprone-reserved-identifier)
#include "heap.h"

#include <stdint.h>
#include <stdlib.h>
#ifdef __GLIBC__
#include <malloc.h>
#include <sys/mman.h>
#endif

#if defined(__GLIBC__) && defined(MADV_HUGEPAGE)

enum {
    AHEAD = 256 << 20,     /* bytes of address space; what is never touched costs nothing */
    BLOCK_MOST = 32 << 20, /* larger ones come from the system and go back to it */
    LARGE_PAGE = 2 << 20,
};

void heap_ready(void) {
    mallopt(M_MMAP_THRESHOLD, BLOCK_MOST);
    mallopt(M_TRIM_THRESHOLD, 2 * AHEAD);
    mallopt(M_TOP_PAD, AHEAD);
    mallopt(M_ARENA_MAX, 1);
    char *first = malloc(BLOCK_MOST / 2); /* its end is the start of what was taken ahead */
    if (!first) return;
    uintptr_t from = ((uintptr_t)first + LARGE_PAGE - 1) / LARGE_PAGE * LARGE_PAGE;
    uintptr_t to = ((uintptr_t)first + BLOCK_MOST / 2 + AHEAD) / LARGE_PAGE * LARGE_PAGE;
    madvise((void *)from, to - from, MADV_HUGEPAGE); // NOLINT(performance-no-int-to-ptr)
    free(first);
}

#else

void heap_ready(void) {}

#endif
