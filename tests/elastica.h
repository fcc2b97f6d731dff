/* Exact planar rods that bend under their own weight and a load at the tip, computed apart from the solver:
 * the boundary value problem EI f'' = (q (L - s) + P) sin f, f the angle from straight down, f(0) given at
 * the clamp, f'(L) = 0, solved by shooting from the tip with GSL (Dormand-Prince 8, Brent). In units of L and
 * EI: the rod's own weight is G = q L^3 / EI, the load at its tip P L^2 / EI. Every equilibrium whose tip
 * points between straight down and straight up is found, by a scan over the tip's angle. */
#ifndef LW_TESTS_ELASTICA_H
#define LW_TESTS_ELASTICA_H

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <stdbool.h>

typedef struct elastica {
    double weight, load; /* q L^3 / EI, P L^2 / EI */
    double out, up;      /* tip, in lengths; out is the side the clamp leans to */
    double energy;       /* L / EI times it, measured from the root's height */
    double tip_angle;    /* from straight down */
    double root_angle;   /* reached by shooting; in the end the clamp's, but for whole turns */
    double root_curvature;
    double length;    /* of what hangs free, in lengths; 0 all of it */
    bool angles_only; /* computes nothing but the angles */
} elastica;

enum { ELASTICA_SCAN = 1600 };

static int elastica_slope(double sigma, const double y[], double dy[], void *of) {
    const elastica *e = (const elastica *)of;
    double pull = e->weight * sigma + e->load;
    dy[0] = y[1];
    dy[1] = pull * sin(y[0]);
    if (e->angles_only) return GSL_SUCCESS;
    dy[2] = sin(y[0]);
    dy[3] = -cos(y[0]);
    dy[4] = 0.5 * y[1] * y[1] - pull * cos(y[0]);
    return GSL_SUCCESS;
}

/* From the tip's angle back to the root. */
static inline void elastica_shoot(elastica *e, double tip_angle, double tolerance) {
    gsl_odeiv2_system system = {elastica_slope, NULL, e->angles_only ? 2 : 5, e};
    const double scales[5] = {tip_angle, tip_angle, 1, 1,
                              1 + e->weight + e->load}; /* a tip may point very nearly down */
    gsl_odeiv2_driver *driver = gsl_odeiv2_driver_alloc_scaled_new(&system, gsl_odeiv2_step_rk8pd, 1e-2,
                                                                   tolerance, tolerance, 1, 0, scales);
    double sigma = 0, y[5] = {tip_angle, 0, 0, 0, 0};
    gsl_odeiv2_driver_apply(driver, &sigma, e->length > 0 ? e->length : 1, y);
    gsl_odeiv2_driver_free(driver);
    e->tip_angle = tip_angle;
    e->root_angle = y[0], e->root_curvature = y[1];
    e->out = y[2], e->up = y[3], e->energy = y[4];
}

/* Tip angles crowd at both ends of 0..pi: z is spread evenly. */
static inline double elastica_angle(double z) { return M_PI / (1 + exp(-z)); }
static inline double elastica_z(int i) { return -32 + 64.0 * i / (ELASTICA_SCAN - 1); }

typedef struct elastica_aim {
    elastica *e;
    double root_angle;
} elastica_aim;

static inline double elastica_miss(double z, void *of) {
    const elastica_aim *aim = (const elastica_aim *)of;
    elastica_shoot(aim->e, elastica_angle(z), 1e-12);
    return aim->e->root_angle - aim->root_angle;
}

/* False where what the scan saw was its own rounding. */
static inline bool elastica_refine(elastica *e, double low, double high, double root_angle) {
    elastica_aim aim = {e, root_angle};
    e->angles_only = true;
    if (!(elastica_miss(low, &aim) * elastica_miss(high, &aim) < 0)) return false;
    gsl_function miss = {elastica_miss, &aim};
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    gsl_root_fsolver_set(solver, &miss, low, high);
    for (int k = 0; k < 200; k++) {
        gsl_root_fsolver_iterate(solver);
        if (gsl_root_fsolver_x_upper(solver) - gsl_root_fsolver_x_lower(solver) < 1e-13) break;
    }
    e->angles_only = false;
    elastica_shoot(e, elastica_angle(gsl_root_fsolver_root(solver)), 1e-13);
    gsl_root_fsolver_free(solver);
    return true;
}

/* root_angle by tip angle, for elastica_all: root[ELASTICA_SCAN]. */
static inline void elastica_scan(double *root, double weight, double load) {
    elastica e = {.weight = weight, .load = load, .angles_only = true};
    for (int i = 0; i < ELASTICA_SCAN; i++) {
        elastica_shoot(&e, elastica_angle(elastica_z(i)), 1e-7);
        root[i] = e.root_angle;
    }
}

/* All equilibria for a clamp at `clamp` from straight down, from a scan; those that fall to the other side of
 * the root are mirrored. Returns how many, at most `most`. */
static inline int elastica_all(elastica *out, int most, const double *root, double weight, double load,
                               double clamp) {
    int found = 0;
    double straight = -cos(clamp); /* no scan sees the rod that stands or hangs straight */
    if (sin(clamp) < 1e-15)
        out[found++] = (elastica){.weight = weight,
                                  .load = load,
                                  .up = straight,
                                  .tip_angle = clamp,
                                  .root_angle = clamp,
                                  .energy = (weight / 2 + load) * straight};
    for (int i = 0; i + 1 < ELASTICA_SCAN; i++)
        for (int turns = -6; turns <= 6; turns++)
            for (int side = -1; side <= 1; side += 2) {
                double aim = side * clamp + 2 * M_PI * turns;
                if ((root[i] - aim) * (root[i + 1] - aim) >= 0 || found == most) continue;
                elastica e = {.weight = weight, .load = load};
                if (!elastica_refine(&e, elastica_z(i), elastica_z(i + 1), aim)) continue;
                e.out *= side;
                out[found++] = e;
            }
    return found;
}

/* Of those the one of least energy. */
static inline elastica elastica_least(const double *root, double weight, double load, double clamp,
                                      int *count) {
    elastica all[64];
    *count = elastica_all(all, 64, root, weight, load, clamp);
    elastica best = all[0];
    for (int i = 1; i < *count; i++)
        if (all[i].energy < best.energy) best = all[i];
    return best;
}

#endif
