/* Rotations as unit quaternions. Nothing here can fail. */
#ifndef LW_CORE_QUAT_H
#define LW_CORE_QUAT_H

#include "mat3.h"

typedef struct quat {
    double w;
    lw_vec3 v;
} quat;

/* First b, then a. */
static inline quat quat_times(quat a, quat b) {
    lw_vec3 v = v3_along(v3_along(v3_cross(a.v, b.v), b.v, a.w), a.v, b.w);
    return (quat){a.w * b.w - v3_dot(a.v, b.v), v};
}

static inline quat quat_back(quat a) { return (quat){a.w, v3_scale(a.v, -1)}; }

static inline quat quat_unit(quat a) {
    double k = 1 / sqrt(a.w * a.w + v3_dot(a.v, a.v));
    return (quat){a.w * k, v3_scale(a.v, k)};
}

/* The turn by |u| about u. */
static inline quat quat_turn(lw_vec3 u) {
    double angle = v3_norm(u);
    return (quat){cosine(angle / 2), v3_scale(u, angle > 0 ? sine(angle / 2) / angle : 0.5)};
}

static inline mat3 quat_matrix(quat q) {
    double w = q.w, x = q.v.x, y = q.v.y, z = q.v.z;
    return (mat3){{{1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)},
                   {2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)},
                   {2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)}}};
}

/* Its matrix's third column; q need not be a unit. */
static inline lw_vec3 quat_axis(quat q) {
    double w = q.w, x = q.v.x, y = q.v.y, z = q.v.z, size = w * w + x * x + y * y + z * z;
    return v3(2 * (x * z + w * y) / size, 2 * (y * z - w * x) / size, 1 - 2 * (x * x + y * y) / size);
}

/* The rotation whose matrix has these orthonormal, right-handed columns (Shepperd 1978: the largest of the
 * four components first). */
static inline quat quat_of_axes(lw_vec3 a, lw_vec3 b, lw_vec3 c) {
    double t[4] = {1 + a.x + b.y + c.z, 1 + a.x - b.y - c.z, 1 - a.x + b.y - c.z, 1 - a.x - b.y + c.z};
    int k = 0;
    for (int i = 1; i < 4; i++)
        if (t[i] > t[k]) k = i;
    double yz = b.z - c.y, zx = c.x - a.z, xy = a.y - b.x;
    quat q = k == 0   ? (quat){t[0], {yz, zx, xy}}
             : k == 1 ? (quat){yz, {t[1], a.y + b.x, c.x + a.z}}
             : k == 2 ? (quat){zx, {a.y + b.x, t[2], b.z + c.y}}
                      : (quat){xy, {c.x + a.z, b.z + c.y, t[3]}};
    return quat_unit(q);
}

/* The shortest turn that takes the unit vector a to the unit vector b; about any axis where they oppose. */
static inline quat quat_between(lw_vec3 a, lw_vec3 b) {
    double c = 1 + v3_dot(a, b);
    if (c < 1e-12) {
        lw_vec3 side = fabs(a.x) < 0.7 ? v3(1, 0, 0) : v3(0, 1, 0);
        return (quat){0, v3_unit(v3_cross(a, side))};
    }
    return quat_unit((quat){c, v3_cross(a, b)});
}

#endif
