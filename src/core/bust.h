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

/* Heights above the tragions at which the sculpture has what ends of hair are told by (lw_head_level). */
#define BUST_BROW 38.4
#define BUST_EYE 19
#define BUST_CHEEKBONE                                                                                       \
    0 /* where the hull's cheeks stand out furthest, between straight ahead and the side                     \
       */
#define BUST_UPPER_LIP (-45.6)
#define BUST_LOWER_LIP (-52.4)
#define BUST_CHIN (-97)    /* the plane under the jaw, below the chin */
#define BUST_COLLAR (-133) /* where the neck, seen from the front, slopes at 45 degrees into the shoulder */

double bust_hull(lw_vec3 q, bust_style style); /* bust_hull.c: the face without its features */
double bust_face(lw_vec3 q, bust_style style); /* bust_face.c: brow to jaw, without the neck */
double bust_torso(lw_vec3 q, double neck,
                  bust_style style); /* bust_torso.c: what hangs below, round head and neck */
double bust_ear(lw_vec3 q);          /* bust_ear.c: millimetres from the tragion */

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

/* An ellipsoid along the axes: first order. */
static inline double bust_egg(lw_vec3 q, lw_vec3 c, lw_vec3 a) {
    lw_vec3 d = v3_sub(q, c), s = v3(d.x / a.x, d.y / a.y, d.z / a.z),
            g = v3(s.x / a.x, s.y / a.y, s.z / a.z);
    double k = v3_norm(s), n = v3_norm(g);
    return n > 1e-9 ? k * (k - 1) / n : -fmin(a.x, fmin(a.y, a.z));
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

/* Weights of a uniform cubic B-spline's four knots round a place at t (0 to 1) past the second, and their
 * slopes. */
static inline void bust_knots(double t, double w[4], double d[4]) {
    double u = 1 - t, t2 = t * t, u2 = u * u;
    w[0] = u2 * u / 6;
    w[1] = (4 - 6 * t2 + 3 * t2 * t) / 6;
    w[2] = (4 - 6 * u2 + 3 * u2 * u) / 6;
    w[3] = t2 * t / 6;
    d[0] = -u2 / 2;
    d[1] = (3 * t2 - 4 * t) / 2;
    d[2] = (4 * u - 3 * u2) / 2;
    d[3] = t2 / 2;
}

#endif
