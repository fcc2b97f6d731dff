/* Path lengths that are known already.
 *
 * A step and its mirror image ask for the same paths, as a mirrored pass works in the mirror; a stationary
 * guide is carried to the same place by every panel. A path is a function of its two ends, so a length found
 * before is the one that would be found again, to the bit. Each pair of ends has one slot, and the latest
 * pair keeps it: bounded, never wrong. */
#ifndef LW_CORE_MEMO_H
#define LW_CORE_MEMO_H

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "vec.h"

#define MEMO_SLOTS 256 /* a power of two */

typedef struct memo {
    struct {
        double ends[6]; /* from, to; NAN: free */
        double length;
    } slot[MEMO_SLOTS];
} memo;

static inline void memo_empty(memo *m) {
    for (int i = 0; i < MEMO_SLOTS; i++) m->slot[i].ends[0] = NAN;
}

static inline unsigned memo_slot(const double *ends) {
    uint64_t word[6], sum = 0;
    memcpy(word, ends, sizeof word);
    for (int i = 0; i < 6; i++) sum = (sum ^ word[i]) * 0x9e3779b97f4a7c15u;
    return (unsigned)(sum >> 40) & (MEMO_SLOTS - 1);
}

static inline bool memo_find(const memo *m, const double *ends, double *length) {
    unsigned k = memo_slot(ends);
    for (int i = 0; i < 6; i++)
        if (m->slot[k].ends[i] != ends[i]) return false;
    *length = m->slot[k].length;
    return true;
}

static inline void memo_keep(memo *m, const double *ends, double length) {
    unsigned k = memo_slot(ends);
    memcpy(m->slot[k].ends, ends, sizeof m->slot[k].ends);
    m->slot[k].length = length;
}

#endif
