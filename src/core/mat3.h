/* Three by three matrices by value, for the rod. Nothing here can fail. */
#ifndef LW_CORE_MAT3_H
#define LW_CORE_MAT3_H

#include "vec.h"

typedef struct mat3 {
    double m[3][3]; /* row, column */
} mat3;

static inline mat3 m3_diagonal(double x, double y, double z) {
    return (mat3){{{x, 0, 0}, {0, y, 0}, {0, 0, z}}};
}

/* a b^T */
static inline mat3 m3_outer(lw_vec3 a, lw_vec3 b) {
    return (mat3){{{a.x * b.x, a.x * b.y, a.x * b.z},
                   {a.y * b.x, a.y * b.y, a.y * b.z},
                   {a.z * b.x, a.z * b.y, a.z * b.z}}};
}

/* The matrix of v -> a x v. */
static inline mat3 m3_cross(lw_vec3 a) { return (mat3){{{0, -a.z, a.y}, {a.z, 0, -a.x}, {-a.y, a.x, 0}}}; }

/* a + k b */
static inline mat3 m3_along(mat3 a, mat3 b, double k) {
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) a.m[i][j] += k * b.m[i][j];
    return a;
}

static inline mat3 m3_transposed(mat3 a) {
    mat3 t;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) t.m[i][j] = a.m[j][i];
    return t;
}

static inline mat3 m3_times(mat3 a, mat3 b) {
    mat3 c;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            c.m[i][j] = a.m[i][0] * b.m[0][j] + a.m[i][1] * b.m[1][j] + a.m[i][2] * b.m[2][j];
    return c;
}

static inline lw_vec3 m3_apply(mat3 a, lw_vec3 v) {
    return v3(a.m[0][0] * v.x + a.m[0][1] * v.y + a.m[0][2] * v.z,
              a.m[1][0] * v.x + a.m[1][1] * v.y + a.m[1][2] * v.z,
              a.m[2][0] * v.x + a.m[2][1] * v.y + a.m[2][2] * v.z);
}

/* a^T v */
static inline lw_vec3 m3_back(mat3 a, lw_vec3 v) { return m3_apply(m3_transposed(a), v); }

/* a x a^T */
static inline mat3 m3_carried(mat3 a, mat3 x) { return m3_times(m3_times(a, x), m3_transposed(a)); }

#endif
