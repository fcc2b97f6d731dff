/* A table from places of a lattice to indices: open addressing, doubled when it is half full. */
#ifndef LW_CORE_SLOTS_H
#define LW_CORE_SLOTS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Three whole numbers within a million of 0. */
typedef struct spot {
    int v[3];
} spot;

typedef struct slots {
    uint64_t *key; /* 0: free */
    int32_t *index;
    size_t room, count; /* room is 0 or a power of two */
} slots;

/* Where the index of `at` is kept; it is -1 where `at` is new. NULL where memory fails. Valid until the next
 * call. */
int32_t *slots_at(slots *s, spot at);

void slots_empty(slots *s); /* keeps its room */
void slots_clear(slots *s);

#endif
