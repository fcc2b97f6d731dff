/* An allocator that fails on demand and counts what is held. The linker sends it the calls of the test and of
 * our own code, which is linked in, and not those of other libraries: `failing` in meson.build. After
 * cmocka.h. */
#ifndef LW_TESTS_FAILING_H
#define LW_TESTS_FAILING_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>

/* Threads may ask at once. */
static struct {
    _Atomic int allocations_left; /* -1: all succeed; at 0 all fail from there on */
    atomic_bool once;             /* only the first of those fails */
    _Atomic int live;             /* held now */
    _Atomic int asked, refused;   /* since one of the functions below was last called */
} memory = {.allocations_left = -1};

static inline void memory_fails_from(int n) {
    memory.once = false;
    memory.asked = memory.refused = 0;
    memory.allocations_left = n;
}

/* The n-th call from now alone, the first being 0: what goes on after it finds memory again. */
static inline void memory_fails_at(int n) {
    memory_fails_from(n);
    memory.once = true;
}

/* All succeed from now on. Whether one was refused. */
static inline bool memory_failed(void) {
    memory.allocations_left = -1;
    return memory.refused > 0;
}

static inline bool memory_refuses(void) {
    memory.asked++;
    int left = memory.allocations_left, next;
    do {
        if (left < 0) return false;
        next = left > 0 ? left - 1 : memory.once ? -1 : 0;
    } while (!atomic_compare_exchange_weak(&memory.allocations_left, &left, next));
    memory.refused += left == 0;
    return left == 0;
}

static inline void *memory_held(void *p) {
    memory.live += p != NULL;
    return p;
}

/* NOLINTBEGIN(bugprone-reserved-identifier): the linker's names */
void *__real_malloc(size_t size);
void *__real_calloc(size_t n, size_t size);
void *__real_realloc(void *old, size_t size);
void *__real_aligned_alloc(size_t alignment, size_t size);
void __real_free(void *old);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t n, size_t size);
void *__wrap_realloc(void *old, size_t size);
void *__wrap_aligned_alloc(size_t alignment, size_t size);
void __wrap_free(void *old);

void *__wrap_malloc(size_t size) { return memory_refuses() ? NULL : memory_held(__real_malloc(size)); }
void *__wrap_calloc(size_t n, size_t size) {
    return memory_refuses() ? NULL : memory_held(__real_calloc(n, size));
}
void *__wrap_realloc(void *old, size_t size) {
    if (memory_refuses()) return NULL;
    return old ? __real_realloc(old, size) : memory_held(__real_malloc(size));
}
void *__wrap_aligned_alloc(size_t alignment, size_t size) {
    return memory_refuses() ? NULL : memory_held(__real_aligned_alloc(alignment, size));
}
void __wrap_free(void *old) {
    memory.live -= old != NULL;
    __real_free(old);
}
/* NOLINTEND(bugprone-reserved-identifier) */

#endif
