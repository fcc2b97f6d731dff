/* Path lengths that are known already.
 *
 * A step and its mirror image ask for the same paths, as a mirrored pass works in the mirror; a stationary
 * guide is carried to the same place by every panel; and a plan that is changed in one place asks for most of
 * what it asked for before. A path is a function of its two ends, so a length found before is the one that
 * would be found again, to the bit. Each pair of ends has one slot, and the latest pair keeps it: bounded,
 * never wrong. */
#ifndef LW_CORE_MEMO_H
#define LW_CORE_MEMO_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include "lengthwise.h"

#define MEMO_FEW 256    /* slots, a power of two: for a batch of hairs */
#define MEMO_MANY 32768 /* for the guides of a plan */
#define MEMO_OWN 4      /* for one hair */

typedef struct memo_slot {
    double ends[6]; /* from, to; NAN: free */
    double length;
} memo_slot;

typedef struct memo {
    memo_slot *slot;
    int slots;
} memo;

static inline memo memo_empty(memo_slot *slot, size_t slots) {
    for (size_t i = 0; i < slots; i++) slot[i].ends[0] = NAN;
    return (memo){slot, (int)slots};
}

static inline memo_slot *memo_at(const memo *m, const double *ends) {
    uint64_t word[6], sum = 0;
    memcpy(word, ends, sizeof word);
    for (int i = 0; i < 6; i++) sum = (sum ^ word[i]) * 0x9e3779b97f4a7c15u;
    return &m->slot[(sum >> 40) & (uint64_t)(m->slots - 1)];
}

static inline bool memo_find(const memo *m, const double *ends, double *length) {
    const memo_slot *at = memo_at(m, ends);
    for (int i = 0; i < 6; i++)
        if (at->ends[i] != ends[i]) return false;
    *length = at->length;
    return true;
}

static inline void memo_keep(const memo *m, const double *ends, double length) {
    memo_slot *at = memo_at(m, ends);
    memcpy(at->ends, ends, sizeof at->ends);
    at->length = length;
}

#endif
