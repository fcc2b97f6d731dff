/* The head's surface as one formula: radius from a star centre as a function of direction.
 *
 * Everything that touches the head (tapes, roots, taut paths, distance, drawing) evaluates this
 * formula and no other. It is branch-free straight-line arithmetic on + - * / sqrt and selects, so
 * the same function runs one point at a time and, inlined into a loop over lanes, several at once.
 *
 * A body that its centre sees whole is {x : w(x) <= 1} for a gauge w of degree one, and radius(u) = 1 / w(u).
 * Working with w instead of the radius makes a union a minimum, a cut by a plane a linear term, and a ray
 * through an ellipsoid one square root. The head is the smooth union of three bodies:
 *
 *   skull  w = |s| (1 - P(s / |s|)),  s = u over the semi-axes; P a low polynomial that squares the
 *          plan, turns the flat sides over into the parietal ridge and swells the occipital bone
 *   face   an ellipsoid, sheared so that the chin comes forward
 *   neck   an ellipsoid, sheared so that it leans, cut off level at its foot
 *
 * The union is the cubic smooth minimum of width `blend`, twice continuously differentiable, so
 * normals and curvature have no seam; it is what hollows the nape. All of P zero and face and neck
 * shrunk to nothing leave the plain ellipsoid, exactly. */
#ifndef LW_CORE_SURFACE_H
#define LW_CORE_SURFACE_H

#include <math.h>

#include "vec.h"

/* The terms of P in q = s / |s|; every one is even in x, so the head is its own mirror image. */
typedef enum shape_term {
    SHAPE_PLAN,        /* 4 x^2 z^2: the plan squarer than an ellipse */
    SHAPE_CORONAL,     /* 4 x^2 y^2: flat sides that turn over at the parietal ridge */
    SHAPE_PLAN_FRONT,  /* 4 x^2 z^3: the same as PLAN, in front more than behind */
    SHAPE_UPPER_FRONT, /* 4 x^2 y z: temples and upper forehead fuller */
    SHAPE_EGG,         /* x^2 z: widest in front of the middle; negative, behind it */
    SHAPE_HIGH,        /* x^2 y: widest above the centre's level */
    SHAPE_SAGITTAL,    /* 4 y^2 z^2: the profile squarer than an ellipse */
    SHAPE_BROW,        /* y z: forehead and lower back of the head fuller */
    SHAPE_OCCIPUT,     /* cubed bump round `occiput` */
    SHAPE_TERMS
} shape_term;

/* An ellipsoid that holds the star centre, sheared along z. */
typedef struct surface_lump {
    double ix, iy, iz; /* 1 / semi-axes */
    double lean;       /* its axis moves back by this much per metre down */
    double dy, dz;     /* star centre less its own, in its own coordinates */
    double c, ic;      /* 1 - dy^2 - dz^2, above 0, and its inverse */
} surface_lump;

typedef struct surface {
    lw_vec3 centre;  /* star centre */
    lw_vec3 axes;    /* semi-axes of the skull, metres */
    lw_vec3 inverse; /* 1 / axes */
    double shape[SHAPE_TERMS];
    double occiput_y, occiput_z;        /* unit, in q: middle of the occipital bump */
    double occiput_edge, occiput_scale; /* cosine where it starts; 1 / (1 - edge) */
    surface_lump face, neck;
    double foot;                 /* 1 / depth of the neck's foot below the centre; 0 none */
    double blend, blend_inverse; /* width of the smooth unions, 1 / metres */
} surface;

typedef struct surface_gauge {
    double w, x, y, z; /* value and gradient */
} surface_gauge;

static inline surface_gauge surface_skull(const surface *s, double ux, double uy, double uz) {
    const double *k = s->shape;
    double sx = ux * s->inverse.x, sy = uy * s->inverse.y, sz = uz * s->inverse.z;
    double n2 = sx * sx + sy * sy + sz * sz, n = sqrt(n2), in = 1 / n;
    double x = sx * in, y = sy * in, z = sz * in;
    double x2 = x * x, y2 = y * y, z2 = z * z;
    double side = (4 * k[SHAPE_PLAN] + 4 * k[SHAPE_PLAN_FRONT] * z) * z2 + 4 * k[SHAPE_CORONAL] * y2 +
                  4 * k[SHAPE_UPPER_FRONT] * y * z + k[SHAPE_EGG] * z + k[SHAPE_HIGH] * y;
    double side_y = 8 * k[SHAPE_CORONAL] * y + 4 * k[SHAPE_UPPER_FRONT] * z + k[SHAPE_HIGH];
    double side_z =
        (8 * k[SHAPE_PLAN] + 12 * k[SHAPE_PLAN_FRONT] * z) * z + 4 * k[SHAPE_UPPER_FRONT] * y + k[SHAPE_EGG];
    double along = y * s->occiput_y + z * s->occiput_z - s->occiput_edge;
    double t = (along > 0 ? along : 0) * s->occiput_scale;
    double bump = k[SHAPE_OCCIPUT] * t * t, bump_d = 3 * s->occiput_scale * bump;
    double p = x2 * side + (4 * k[SHAPE_SAGITTAL] * y * z + k[SHAPE_BROW]) * y * z + bump * t;
    double mid = 8 * k[SHAPE_SAGITTAL] * y * z + k[SHAPE_BROW];
    double px = 2 * x * side;
    double py = x2 * side_y + mid * z + bump_d * s->occiput_y;
    double pz = x2 * side_z + mid * y + bump_d * s->occiput_z;
    double radial = 1 - p + px * x + py * y + pz * z;
    return (surface_gauge){n * (1 - p), (radial * x - px) * s->inverse.x, (radial * y - py) * s->inverse.y,
                           (radial * z - pz) * s->inverse.z};
}

static inline surface_gauge surface_ellipsoid(const surface_lump *e, double ux, double uy, double uz) {
    double x = ux * e->ix, y = uy * e->iy, z = (uz - e->lean * uy) * e->iz;
    double b = y * e->dy + z * e->dz;
    double root = sqrt(b * b + e->c * (x * x + y * y + z * z)), ir = 1 / root;
    double kb = (1 + b * ir) * e->ic;
    double gx = x * ir, gy = kb * e->dy + y * ir, gz = (kb * e->dz + z * ir) * e->iz;
    return (surface_gauge){(b + root) * e->ic, gx * e->ix, gy * e->iy - gz * e->lean, gz};
}

/* The smaller of a and b, smooth where they are within k of each other. */
static inline surface_gauge surface_union(surface_gauge a, surface_gauge b, double k, double ik) {
    double d = a.w - b.w, near = d < 0 ? -d : d;
    double h = (k - near > 0 ? k - near : 0) * ik, half = .5 * h * h;
    double share = d < 0 ? half : 1 - half; /* of b */
    return (surface_gauge){(d < 0 ? a.w : b.w) - half * h * k * (1.0 / 3), a.x + share * (b.x - a.x),
                           a.y + share * (b.y - a.y), a.z + share * (b.z - a.z)};
}

/* a cut off by the plane -u_y foot <= 1: the larger of the two gauges, smooth likewise. */
static inline surface_gauge surface_cut(surface_gauge a, double foot, double uy, double k, double ik) {
    double d = -uy * foot - a.w, near = d < 0 ? -d : d;
    double h = (k - near > 0 ? k - near : 0) * ik, half = .5 * h * h;
    double share = d > 0 ? 1 - half : half, keep = 1 - share; /* share: of the plane */
    return (surface_gauge){a.w + (d > 0 ? d : 0) + half * h * k * (1.0 / 3), keep * a.x,
                           keep * a.y - share * foot, keep * a.z};
}

/* Radius along the unit direction u. *g becomes its gradient over the unit sphere: the gradient of the
 * extension that is constant along rays, so g . u = 0. The outward normal at the surface is along u - g /
 * radius. */
static inline double surface_radius(const surface *s, double ux, double uy, double uz, double *gx, double *gy,
                                    double *gz) {
    surface_gauge neck = surface_ellipsoid(&s->neck, ux, uy, uz);
    neck = surface_cut(neck, s->foot, uy, s->blend, s->blend_inverse);
    surface_gauge face = surface_ellipsoid(&s->face, ux, uy, uz);
    surface_gauge w = surface_skull(s, ux, uy, uz);
    w = surface_union(w, surface_union(face, neck, s->blend, s->blend_inverse), s->blend, s->blend_inverse);
    double r = 1 / w.w, k = -r * r, along = w.x * ux + w.y * uy + w.z * uz;
    *gx = k * (w.x - along * ux);
    *gy = k * (w.y - along * uy);
    *gz = k * (w.z - along * uz);
    return r;
}

#endif
