/* Taut paths over the head: how long a hair must be to reach from its root to where it is cut.
 *
 * A taut hair is the shortest path from root to end that does not enter the head: straight where it can be,
 * otherwise along the surface, over any hollow without touching, and then straight.
 *
 * path_length is the plain reference; path_lengths gives the same lengths for many hairs at once.
 */
#ifndef LW_CORE_PATH_H
#define LW_CORE_PATH_H

#include "surface.h"

#define PATH_INSIDE 1e-6 /* metres by which an end may lie inside before it has no path */

/* A path that stays within these is the shortest: it need not be sought another way round. */
#define PATH_BESIDE 0.05  /* metres from the middle, both ends' together, on one side of it */
#define PATH_OPPOSITE 2.6 /* radians between the directions of its ends */
#define PATH_WIDE 1.8     /* radians of direction over which it touches */
#define PATH_LONG 0.16    /* metres along which it touches */
#define PATH_LONG_LOW                                                                                        \
    0.08                /* the same round the neck: where it goes low and its ends' bearings are far apart */
#define PATH_LOW (-0.7) /* vertical part of a direction: lower is low */
#define PATH_ROUND (-0.6) /* cosine between bearings: lower is far apart */

/* Length of the shortest path from `from`, on or outside the surface, to `to`, metres; within 1e-6 m.
 * on_surface (may be NULL) gets the part that touches the surface. NAN where `to` is inside. */
double path_length(const surface *s, lw_vec3 from, lw_vec3 to, double *on_surface);

/* The same path as n points, evenly spaced over its first `length` metres (NAN: over all of it), past its end
 * straight on. None lies inside by more than 1e-5 m. Returns the whole path's length; NAN, and no points,
 * where `to` is inside. */
double path_points(lw_vec3 *out, int n, const surface *s, lw_vec3 from, lw_vec3 to, double length);

/* The same on a coarser chain; within 5e-5 m. */
double path_length_coarse(const surface *s, lw_vec3 from, lw_vec3 to);

/* The same for n hairs from roots f on the surface, with outward unit normals n, to ends t: within 1e-4 m of
 * path_length. A hair's bits do not depend on n, on the other hairs or on how many threads share the work. */
void path_lengths(const surface *s, int threads, int n, const double *fx, const double *fy, const double *fz,
                  const double *nx, const double *ny, const double *nz, const double *tx, const double *ty,
                  const double *tz, double *out);

/* Roots f with normals n, ends t, lengths out, as path_lengths has them. */
typedef void path_kernel(const surface *s, int n, const double *fx, const double *fy, const double *fz,
                         const double *nx, const double *ny, const double *nz, const double *tx,
                         const double *ty, const double *tz, double *out);

/* The same for those whose way is straight, exactly; the length of a path that bends is PATH_UNSURE. */
#define PATH_UNSURE (-1.)
path_kernel path_straight;

#define PATH_LANES 8

typedef struct path_vectors {
    double x[PATH_LANES], y[PATH_LANES], z[PATH_LANES];
} path_vectors;

/* Points over the surface in half-planes of a fan, seen from the star centre: each along (cos, sin, slope) in
 * the fan, a height above the surface. */
typedef struct path_nodes {
    double cos[PATH_LANES], sin[PATH_LANES], slope[PATH_LANES], height[PATH_LANES];
    double radius[PATH_LANES]; /* of the surface in that direction: from here on results */
    path_vectors up, normal;   /* the direction, unit; the surface's outward unit normal */
    path_vectors turn, slide;  /* derivatives by slope of up and of the point */
} path_nodes;

/* Fills the results. e1, e2 and e3 are the fan's, unit: cos and sin turn from e1 to e2 about e3. */
void path_nodes_place(path_nodes *nodes, const surface *s, lw_vec3 e1, lw_vec3 e2, lw_vec3 e3);

/* path_fast.c as compiled for every machine of the kind, and for one with AVX2 (-DPATH_AVX2): the same bits.
 * A length that did not prove right is left as PATH_UNSURE. */
void path_nodes_narrow(path_nodes *nodes, const surface *s, lw_vec3 e1, lw_vec3 e2, lw_vec3 e3);
void path_nodes_wide(path_nodes *nodes, const surface *s, lw_vec3 e1, lw_vec3 e2, lw_vec3 e3);
path_kernel path_straight_narrow, path_straight_wide, path_lengths_narrow, path_lengths_wide;

/* The points at n fractions of the length of the taut path between two surface points, brought down to the
 * surface where the path bridges a hollow. Outside 0..1 they go on along the surface past the end, in the
 * plane through the centre, the end and the path's direction there. */
void path_between(lw_vec3 *out, int n, const double *fraction, const surface *s, lw_vec3 from, lw_vec3 to);

#endif
