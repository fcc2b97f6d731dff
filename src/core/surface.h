/* The head's surface as one formula: radius from a star centre as a function of direction.
 *
 * Everything that touches the head (tapes, roots, taut paths, distance, drawing) evaluates this
 * formula and no other. It is branch-free straight-line arithmetic on + - * / and sqrt, so the same
 * function runs one point at a time and, inlined into a loop over lanes, several at once.
 */
#ifndef LW_CORE_SURFACE_H
#define LW_CORE_SURFACE_H

#include <math.h>

#include "vec.h"

typedef struct surface {
    lw_vec3 centre; /* star centre */
    lw_vec3 axes;   /* semi-axes of the skull, metres */
} surface;

/* Radius along the unit direction u. *g becomes its gradient over the unit sphere: the gradient of the
 * extension that is constant along rays, so g . u = 0. The outward normal at the surface is along u - g / radius. */
static inline double surface_radius(const surface *s, double ux, double uy, double uz, double *gx, double *gy,
                                    double *gz) {
    double px = ux / (s->axes.x * s->axes.x), py = uy / (s->axes.y * s->axes.y), pz = uz / (s->axes.z * s->axes.z);
    double q = ux * px + uy * py + uz * pz; /* 1 / radius^2 */
    double r = 1 / sqrt(q);
    double k = -r / q;
    *gx = k * (px - q * ux);
    *gy = k * (py - q * uy);
    *gz = k * (pz - q * uz);
    return r;
}

#endif
