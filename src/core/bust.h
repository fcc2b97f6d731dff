/* The parts of the bust, in millimetres of the mean man's head: a point is first divided by how much the
 * head at hand is broader, higher and longer than his, so one sculpture serves every head. All have x >= 0:
 * the bust is its own mirror image. Fields are below zero inside and near their surface about a distance. */
#ifndef LW_CORE_BUST_H
#define LW_CORE_BUST_H

#include "vec.h"

/* 0 a woman's, 1 a man's, between them for an adult at large. */
typedef struct bust_style {
    double man;
} bust_style;

double bust_face(lw_vec3 q, bust_style style);               /* bust_face.c: brow to jaw, without the neck */
double bust_ear(lw_vec3 q);                                  /* bust_ear.c: millimetres from the tragion */
double bust_torso(lw_vec3 q, double neck, bust_style style); /* bust_torso.c: neck, its distance; shoulders */

/* ---- the sculptor's tools ----
 * Distances to simple solids, exact or first order, and unions that leave a fillet. The cubic smooth minimum
 * is the one of surface.h: it differs from the plain one only where both are within k. */
static inline double bust_fillet(double a, double b, double k) {
    double h = k - fabs(a - b);
    if (h <= 0) return 0;
    h /= k;
    return h * h * h * k * (1.0 / 6);
}
static inline double bust_join(double a, double b, double k) { return fmin(a, b) - bust_fillet(a, b, k); }
static inline double bust_meet(double a, double b, double k) { return fmax(a, b) + bust_fillet(a, b, k); }
static inline double bust_carve(double a, double b, double k) { return bust_meet(a, -b, k); }

static inline double bust_ball(lw_vec3 q, lw_vec3 c, double r) { return v3_norm(v3_sub(q, c)) - r; }

/* An ellipsoid along the axes: first order. */
static inline double bust_egg(lw_vec3 q, lw_vec3 c, lw_vec3 a) {
    lw_vec3 d = v3_sub(q, c), s = v3(d.x / a.x, d.y / a.y, d.z / a.z),
            g = v3(s.x / a.x, s.y / a.y, s.z / a.z);
    double k = v3_norm(s), n = v3_norm(g);
    return n > 1e-9 ? k * (k - 1) / n : -fmin(a.x, fmin(a.y, a.z));
}

/* The same turned: right-handed by `turn` about x, then `lift`... see bust_tilt. */
static inline lw_vec3 bust_pitch(lw_vec3 q, lw_vec3 c, double angle) {
    double s = sin(angle), o = cos(angle), y = q.y - c.y, z = q.z - c.z;
    return v3(q.x, c.y + o * y - s * z, c.z + s * y + o * z);
}

/* A rod from a to b whose radius goes from ra to rb. */
static inline double bust_rod(lw_vec3 q, lw_vec3 a, lw_vec3 b, double ra, double rb) {
    lw_vec3 d = v3_sub(b, a), e = v3_sub(q, a);
    double t = v3_dot(e, d) / v3_dot(d, d);
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    return v3_norm(v3_along(e, d, -t)) - (ra + t * (rb - ra));
}

/* 0 below a, 1 above b, once differentiable. */
static inline double bust_step(double a, double b, double x) {
    double t = (x - a) / (b - a);
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    return t * t * (3 - 2 * t);
}

#endif
