/* Numbers that look random and depend only on their keys: the same for any thread and any order. */
#ifndef LW_CORE_HASH_H
#define LW_CORE_HASH_H

#include <math.h>
#include <stdint.h>

#include "elementary.h"

/* splitmix64 (Steele, Lea, Flood 2014, doi 10.1145/2660193.2660195). */
static inline uint64_t hash_mix(uint64_t x) {
    x += 0x9e3779b97f4a7c15u;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
    return x ^ (x >> 31);
}

/* Evenly spread in (0, 1). */
static inline double hash_uniform(uint64_t seed, uint64_t a, uint64_t b) {
    uint64_t h = hash_mix(hash_mix(hash_mix(seed) ^ a) ^ b);
    return ((double)(h >> 11) + 0.5) * 0x1p-53;
}

/* Normal with mean 0 and deviation 1 (Box and Muller 1958). */
static inline double hash_normal(uint64_t seed, uint64_t a, uint64_t b) {
    double u = hash_uniform(seed, a, 2 * b), v = hash_uniform(seed, a, 2 * b + 1);
    return sqrt(-2 * logarithm(u)) * cosine(6.28318530717958647692 * v);
}

#endif
