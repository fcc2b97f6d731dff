/* Three-vectors by value, for lw_vec3. Nothing here can fail. */
#ifndef LW_CORE_VEC_H
#define LW_CORE_VEC_H

#include <math.h>

#include "elementary.h"
#include "lengthwise.h"

#define LW_PI 3.14159265358979323846

static inline lw_vec3 v3(double x, double y, double z) { return (lw_vec3){x, y, z}; }
static inline lw_vec3 v3_add(lw_vec3 a, lw_vec3 b) { return v3(a.x + b.x, a.y + b.y, a.z + b.z); }
static inline lw_vec3 v3_sub(lw_vec3 a, lw_vec3 b) { return v3(a.x - b.x, a.y - b.y, a.z - b.z); }
static inline lw_vec3 v3_scale(lw_vec3 a, double k) { return v3(a.x * k, a.y * k, a.z * k); }

/* a + k b */
static inline lw_vec3 v3_along(lw_vec3 a, lw_vec3 b, double k) {
    return v3(a.x + k * b.x, a.y + k * b.y, a.z + k * b.z);
}
static inline double v3_dot(lw_vec3 a, lw_vec3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
static inline lw_vec3 v3_cross(lw_vec3 a, lw_vec3 b) {
    return v3(a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x);
}
static inline bool v3_same(lw_vec3 a, lw_vec3 b) { return a.x == b.x && a.y == b.y && a.z == b.z; }
static inline double v3_norm(lw_vec3 a) { return sqrt(v3_dot(a, a)); }

/* a at unit length; a zero vector stays zero. */
static inline lw_vec3 v3_unit(lw_vec3 a) {
    double n = v3_norm(a);
    return n > 0 ? v3_scale(a, 1 / n) : a;
}

/* The part of a at right angles to the unit vector n. */
static inline lw_vec3 v3_tangent(lw_vec3 a, lw_vec3 n) { return v3_along(a, n, -v3_dot(a, n)); }

/* a turned about the unit axis k by `angle`, right-handed (Rodrigues). */
static inline lw_vec3 v3_turn(lw_vec3 a, lw_vec3 k, double angle) {
    double c = cosine(angle), s = sine(angle);
    return v3_along(v3_along(v3_scale(a, c), v3_cross(k, a), s), k, v3_dot(k, a) * (1 - c));
}

/* a as seen in the mirror plane x = 0. */
static inline lw_vec3 v3_mirror(lw_vec3 a) { return v3(-a.x, a.y, a.z); }

#endif
