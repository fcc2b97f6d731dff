/* Arrays that grow. */
#ifndef LW_DRAW_GROW_H
#define LW_DRAW_GROW_H

#include <limits.h>
#include <stdlib.h>

/* The array with room for at least `count` items of `size` bytes, or NULL, and it stays as it was. */
static inline void *grow(void *items, int *room, int count, size_t size) {
    if (items && count <= *room) return items;
    int wanted = count < INT_MAX / 2 ? count + count / 2 + 16 : INT_MAX;
    void *more = realloc(items, (size_t)wanted * size);
    if (more) *room = wanted;
    return more;
}

#endif
