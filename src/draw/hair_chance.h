/* Numbers drawn by lot, from hashes: the same state gives the same numbers. */
#ifndef LW_DRAW_HAIR_CHANCE_H
#define LW_DRAW_HAIR_CHANCE_H

#include <stdint.h>

static inline uint64_t
stir(uint64_t x) { /* splitmix64: Steele and others 2014, doi 10.1145/2660193.2660195 */
    x += 0x9E3779B97F4A7C15u;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9u;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBu;
    return x ^ (x >> 31);
}

typedef struct chance {
    uint64_t state;
} chance;

static inline double draw(chance *c) { /* 0 to 1 */
    c->state = stir(c->state);
    return (double)(c->state >> 11) * 0x1p-53;
}

static inline double draw_signed(chance *c) { return 2 * draw(c) - 1; }

#endif
