/* LANES numbers side by side, and the small algebra that the rods need of them. Compilers' own vectors, so
 * that what is written once is SSE2, AVX2, AVX-512 or SIMD128; only what C cannot say of them (roots, the
 * larger of two, whether any) is said here for each machine. A vector fills one register, so each build has
 * its own number of lanes; no lane sees another, so results do not depend on it.
 *
 * A register holds LANES doubles or twice as many floats. Steps are found in floats, STEP_LANES at a time
 * (RODS_SHORT), or, where that would not do, in doubles (RODS_EXACT). */
#ifndef LW_CORE_RODS_LANES_H
#define LW_CORE_RODS_LANES_H

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>
#ifdef __AVX__
#include <immintrin.h>
#elif defined __wasm_simd128__
#include <wasm_simd128.h>
#endif

#if defined __AVX512F__ && defined __AVX512DQ__
#define LANES 8
#elif defined __AVX__
#define LANES 4
#else
#define LANES 2
#endif

typedef double doubles __attribute__((vector_size(8 * LANES)));
typedef float floats __attribute__((vector_size(8 * LANES)));
typedef float lanes_short __attribute__((vector_size(4 * LANES))); /* half of floats */

/* Vectors; matrices by columns; symmetric ones. */
#define LANES_OF(number)                                                                                     \
    typedef struct number##3 {                                                                               \
        number x, y, z;                                                                                      \
    }                                                                                                        \
    number##3;                                                                                               \
    typedef struct number##9 {                                                                               \
        number##3 x, y, z;                                                                                   \
    }                                                                                                        \
    number##9;                                                                                               \
    typedef struct number##6 {                                                                               \
        number xx, xy, xz, yy, yz, zz;                                                                       \
    }                                                                                                        \
    number##6;
LANES_OF(doubles)
LANES_OF(floats)

#define LANES_CALLED(name, number)                                                                           \
    typedef number name;                                                                                     \
    typedef number##3 name##3;                                                                               \
    typedef number##9 name##9;                                                                               \
    typedef number##6 name##6;

#ifdef RODS_SHORT
typedef float lane;
typedef int32_t lanes_mask __attribute__((vector_size(8 * LANES))); /* -1 yes, 0 no */
LANES_CALLED(lanes, floats)
#else
typedef double lane;
typedef int64_t lanes_mask __attribute__((vector_size(8 * LANES))); /* -1 yes, 0 no */
LANES_CALLED(lanes, doubles)

/* A quaternion. */
typedef struct lanes4 {
    lanes w;
    lanes3 v;
} lanes4;
#endif

#ifdef RODS_EXACT
#define STEP_LANES LANES
typedef double step_lane;
LANES_CALLED(step_lanes, doubles)
#else
#define STEP_LANES (2 * LANES)
typedef float step_lane;
LANES_CALLED(step_lanes, floats)
#endif

#define INLINE static inline __attribute__((always_inline))

INLINE lanes all(lane a) { return a + (lanes){0}; }

INLINE lanes either(lanes_mask yes, lanes a, lanes b) {
    return (lanes)((yes & (lanes_mask)a) | (~yes & (lanes_mask)b));
}

INLINE lanes where(lanes_mask yes, lanes a) { return (lanes)(yes & (lanes_mask)a); }

#ifdef RODS_SHORT
#if LANES == 8
INLINE lanes root_of(lanes a) { return (lanes)_mm512_sqrt_ps((__m512)a); }
INLINE lanes larger(lanes a, lanes b) { return (lanes)_mm512_max_ps((__m512)a, (__m512)b); }
#elif LANES == 4
INLINE lanes root_of(lanes a) { return (lanes)_mm256_sqrt_ps((__m256)a); }
INLINE lanes larger(lanes a, lanes b) { return (lanes)_mm256_max_ps((__m256)a, (__m256)b); }
#elif defined __wasm_simd128__
INLINE lanes root_of(lanes a) { return (lanes)wasm_f32x4_sqrt((v128_t)a); }
INLINE lanes larger(lanes a, lanes b) { return (lanes)wasm_f32x4_pmax((v128_t)b, (v128_t)a); }
#else
INLINE lanes root_of(lanes a) { return (lanes){sqrtf(a[0]), sqrtf(a[1]), sqrtf(a[2]), sqrtf(a[3])}; }
INLINE lanes larger(lanes a, lanes b) { return either(a > b, a, b); }
#endif
#else
#if LANES == 8
INLINE lanes root_of(lanes a) { return (lanes)_mm512_sqrt_pd((__m512d)a); }
INLINE lanes larger(lanes a, lanes b) { return (lanes)_mm512_max_pd((__m512d)a, (__m512d)b); }
INLINE bool any(lanes_mask a) { return _mm512_movepi64_mask((__m512i)a) != 0; }
#elif LANES == 4
INLINE lanes root_of(lanes a) { return (lanes)_mm256_sqrt_pd((__m256d)a); }
INLINE lanes larger(lanes a, lanes b) { return (lanes)_mm256_max_pd((__m256d)a, (__m256d)b); }
INLINE bool any(lanes_mask a) { return _mm256_movemask_pd((__m256d)a) != 0; }
#elif defined __wasm_simd128__
INLINE lanes root_of(lanes a) { return (lanes)wasm_f64x2_sqrt((v128_t)a); }
INLINE lanes larger(lanes a, lanes b) { return (lanes)wasm_f64x2_pmax((v128_t)b, (v128_t)a); }
INLINE bool any(lanes_mask a) { return wasm_v128_any_true((v128_t)a); }
#else
INLINE lanes root_of(lanes a) { return (lanes){sqrt(a[0]), sqrt(a[1])}; }
INLINE lanes larger(lanes a, lanes b) { return either(a > b, a, b); }
INLINE bool any(lanes_mask a) { return (a[0] | a[1]) != 0; }
#endif

/* The first three of the four numbers that begin at each lane's place. */
typedef float four_floats __attribute__((vector_size(16), aligned(4)));

INLINE void three_of(lanes *out, const float *const *from) {
#if defined __wasm_simd128__
    for (int i = 0; i < 3; i++)
        out[i] = (lanes)wasm_f64x2_promote_low_f32x4(
            wasm_v128_load32_lane(from[1] + i, wasm_v128_load32_zero(from[0] + i), 1));
#elif LANES == 2
    for (int i = 0; i < 3; i++) out[i] = (lanes){from[0][i], from[1][i]};
#else
    lanes_short three[3];
    four_floats row[LANES];
    for (int l = 0; l < LANES; l++) row[l] = *(const four_floats *)(const void *)from[l];
#if LANES == 4
    lanes_short a = __builtin_shufflevector(row[0], row[1], 0, 4, 1, 5),
                b = __builtin_shufflevector(row[2], row[3], 0, 4, 1, 5),
                c = __builtin_shufflevector(row[0], row[1], 2, 6, 3, 7),
                d = __builtin_shufflevector(row[2], row[3], 2, 6, 3, 7);
    three[0] = __builtin_shufflevector(a, b, 0, 1, 4, 5);
    three[1] = __builtin_shufflevector(a, b, 2, 3, 6, 7);
    three[2] = __builtin_shufflevector(c, d, 0, 1, 4, 5);
#else
    lanes_short two[4];
    for (int l = 0; l < 4; l++) two[l] = __builtin_shufflevector(row[l], row[l + 4], 0, 1, 2, 3, 4, 5, 6, 7);
    lanes_short a = __builtin_shufflevector(two[0], two[1], 0, 8, 1, 9, 4, 12, 5, 13),
                b = __builtin_shufflevector(two[2], two[3], 0, 8, 1, 9, 4, 12, 5, 13),
                c = __builtin_shufflevector(two[0], two[1], 2, 10, 3, 11, 6, 14, 7, 15),
                d = __builtin_shufflevector(two[2], two[3], 2, 10, 3, 11, 6, 14, 7, 15);
    three[0] = __builtin_shufflevector(a, b, 0, 1, 8, 9, 4, 5, 12, 13);
    three[1] = __builtin_shufflevector(a, b, 2, 3, 10, 11, 6, 7, 14, 15);
    three[2] = __builtin_shufflevector(c, d, 0, 1, 8, 9, 4, 5, 12, 13);
#endif
    for (int i = 0; i < 3; i++) out[i] = __builtin_convertvector(three[i], lanes);
#endif
}

/* ---- halves of what a step takes, or all of it where that is in doubles ---- */

INLINE void put_half(step_lanes *to, int half, lanes from) {
#if defined RODS_EXACT
    to[half] = from;
#elif defined __wasm_simd128__
    v128_t s = wasm_f32x4_demote_f64x2_zero((v128_t)from);
    __asm__("" : "+r"(s)); /* clang 14 takes it apart where it sees that the zeros are not needed */
    wasm_v128_store64_lane((float *)to + half * LANES, s, 0);
#else
    lanes_short s = __builtin_convertvector(from, lanes_short);
    memcpy((float *)to + (ptrdiff_t)half * LANES, &s, sizeof s);
#endif
}

INLINE void put_half3(step_lanes3 *to, int half, lanes3 from) {
    put_half(&to->x, half, from.x);
    put_half(&to->y, half, from.y);
    put_half(&to->z, half, from.z);
}

INLINE void put_half6(step_lanes6 *to, int half, lanes6 from) {
    put_half(&to->xx, half, from.xx);
    put_half(&to->xy, half, from.xy);
    put_half(&to->xz, half, from.xz);
    put_half(&to->yy, half, from.yy);
    put_half(&to->yz, half, from.yz);
    put_half(&to->zz, half, from.zz);
}

INLINE lanes half_at(const step_lanes *from, int half) {
#if defined RODS_EXACT
    return from[half];
#elif defined __wasm_simd128__
    return (lanes)wasm_f64x2_promote_low_f32x4(wasm_v128_load64_zero((const float *)from + half * LANES));
#else
    lanes_short s;
    memcpy(&s, (const float *)from + (ptrdiff_t)half * LANES, sizeof s);
    return __builtin_convertvector(s, lanes);
#endif
}

INLINE lanes3 half_at3(const step_lanes3 *from, int half) {
    return (lanes3){half_at(&from->x, half), half_at(&from->y, half), half_at(&from->z, half)};
}
#endif

INLINE lanes above0(lanes a) { return larger(a, (lanes){0}); }

INLINE lanes size_of(lanes a) { return larger(a, -a); }

/* ---- vectors ---- */

INLINE lanes3 add(lanes3 a, lanes3 b) { return (lanes3){a.x + b.x, a.y + b.y, a.z + b.z}; }
INLINE lanes3 less(lanes3 a, lanes3 b) { return (lanes3){a.x - b.x, a.y - b.y, a.z - b.z}; }
INLINE lanes3 times(lanes3 a, lanes k) { return (lanes3){a.x * k, a.y * k, a.z * k}; }
INLINE lanes dot(lanes3 a, lanes3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }

/* a + k b */
INLINE lanes3 along(lanes3 a, lanes3 b, lanes k) {
    return (lanes3){a.x + k * b.x, a.y + k * b.y, a.z + k * b.z};
}

INLINE lanes3 cross(lanes3 a, lanes3 b) {
    return (lanes3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

INLINE lanes3 either3(lanes_mask yes, lanes3 a, lanes3 b) {
    return (lanes3){either(yes, a.x, b.x), either(yes, a.y, b.y), either(yes, a.z, b.z)};
}

/* ---- matrices ---- */

INLINE lanes3 apply(lanes9 m, lanes3 v) { return along(along(times(m.x, v.x), m.y, v.y), m.z, v.z); }

/* m' v */
INLINE lanes3 apply_back(lanes9 m, lanes3 v) { return (lanes3){dot(m.x, v), dot(m.y, v), dot(m.z, v)}; }

INLINE lanes9 add9(lanes9 a, lanes9 b) { return (lanes9){add(a.x, b.x), add(a.y, b.y), add(a.z, b.z)}; }

INLINE lanes9 less9(lanes9 a, lanes9 b) { return (lanes9){less(a.x, b.x), less(a.y, b.y), less(a.z, b.z)}; }

INLINE lanes9 times9(lanes9 a, lanes9 b) { return (lanes9){apply(a, b.x), apply(a, b.y), apply(a, b.z)}; }

INLINE lanes9 transposed(lanes9 m) {
    return (lanes9){{m.x.x, m.y.x, m.z.x}, {m.x.y, m.y.y, m.z.y}, {m.x.z, m.y.z, m.z.z}};
}

/* a' b */
INLINE lanes9 back_times(lanes9 a, lanes9 b) {
    return (lanes9){apply_back(a, b.x), apply_back(a, b.y), apply_back(a, b.z)};
}

INLINE lanes6 add6(lanes6 a, lanes6 b) {
    return (lanes6){a.xx + b.xx, a.xy + b.xy, a.xz + b.xz, a.yy + b.yy, a.yz + b.yz, a.zz + b.zz};
}

INLINE lanes6 less6(lanes6 a, lanes6 b) {
    return (lanes6){a.xx - b.xx, a.xy - b.xy, a.xz - b.xz, a.yy - b.yy, a.yz - b.yz, a.zz - b.zz};
}

/* a + k v v' */
INLINE lanes6 along_square(lanes6 a, lanes3 v, lanes k) {
    lanes3 w = times(v, k);
    return (lanes6){a.xx + w.x * v.x, a.xy + w.x * v.y, a.xz + w.x * v.z,
                    a.yy + w.y * v.y, a.yz + w.y * v.z, a.zz + w.z * v.z};
}

/* m + a b' + b a' */
INLINE lanes6 add_both(lanes6 m, lanes3 a, lanes3 b) {
    return (lanes6){m.xx + 2 * a.x * b.x, m.xy + a.x * b.y + a.y * b.x, m.xz + a.x * b.z + a.z * b.x,
                    m.yy + 2 * a.y * b.y, m.yz + a.y * b.z + a.z * b.y, m.zz + 2 * a.z * b.z};
}

INLINE lanes6 along6(lanes6 a, lanes6 b, lanes k) {
    return (lanes6){a.xx + k * b.xx, a.xy + k * b.xy, a.xz + k * b.xz,
                    a.yy + k * b.yy, a.yz + k * b.yz, a.zz + k * b.zz};
}

INLINE lanes6 times6(lanes6 a, lanes k) {
    return (lanes6){a.xx * k, a.xy * k, a.xz * k, a.yy * k, a.yz * k, a.zz * k};
}

INLINE lanes6 either6(lanes_mask yes, lanes6 a, lanes6 b) {
    return (lanes6){either(yes, a.xx, b.xx), either(yes, a.xy, b.xy), either(yes, a.xz, b.xz),
                    either(yes, a.yy, b.yy), either(yes, a.yz, b.yz), either(yes, a.zz, b.zz)};
}

INLINE lanes9 whole_of(lanes6 a) {
    return (lanes9){{a.xx, a.xy, a.xz}, {a.xy, a.yy, a.yz}, {a.xz, a.yz, a.zz}};
}

INLINE lanes3 apply6(lanes6 m, lanes3 v) {
    return (lanes3){m.xx * v.x + m.xy * v.y + m.xz * v.z, m.xy * v.x + m.yy * v.y + m.yz * v.z,
                    m.xz * v.x + m.yz * v.y + m.zz * v.z};
}

/* The upper half of a matrix known to be symmetric. */
INLINE lanes6 half_of(lanes9 m) { return (lanes6){m.x.x, m.y.x, m.z.x, m.y.y, m.z.y, m.z.z}; }

/* m + m' */
INLINE lanes6 with_transposed(lanes9 m) {
    return (lanes6){m.x.x + m.x.x, m.y.x + m.x.y, m.z.x + m.x.z, m.y.y + m.y.y, m.z.y + m.y.z, m.z.z + m.z.z};
}

/* m with the cross product v x added. */
INLINE lanes9 with_cross(lanes9 m, lanes3 v) {
    m.x.y += v.z, m.x.z -= v.y, m.y.x -= v.z, m.y.z += v.x, m.z.x += v.y, m.z.y -= v.x;
    return m;
}

#endif
