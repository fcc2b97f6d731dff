/* Curves on the bust: where one thing borders on another, where a value is the same, where the surface turns
 * away.
 *
 * All are found on the mesh, triangle by triangle, and chained; a crossing of a border is found by halving
 * along the edge and brought down to the surface, so it is as exact as the function that tells the sides. */
#ifndef LW_DRAW_CURVE_H
#define LW_DRAW_CURVE_H

#include "depth.h"
#include "lengthwise.h"
#include "view.h"

typedef struct curve {
    int first, count; /* points */
    bool closed;
    int one, other; /* the labels on its two sides; for levels and silhouettes -1 */
    double level;
} curve;

typedef struct curves {
    int curve_count, curve_room;
    curve *curves;
    int point_count, point_room;
    lw_vec3 *points;
} curves;

void curves_clear(curves *c);

/* Metres. */
double curve_length(const curves *c, int which);

/* p brought down to the head where the bust is the head there (within .25 mm), else p. */
lw_vec3 curve_on_head(const lw_head *head, lw_vec3 p);

/* Which of several things the surface point p belongs to. */
typedef int curve_label(const void *context, lw_vec3 p);

/* The last point with `label` on the way from a, which has it, to b, which has not; within 1e-6 m of the
 * border on the surface. beyond (may be NULL) gets the first point on the other side. */
lw_vec3 curve_crossing(const lw_head *head, lw_vec3 a, lw_vec3 b, int label, curve_label *at,
                       const void *context, lw_vec3 *beyond);

/* Each of these makes *out anew.
 *
 * The borders between vertices of different labels. label[vertex_count] holds what `at` says of each vertex;
 * edges of which either end has a label below 0 are left out. Each crossing is within 1e-6 m of the border.
 */
lw_status curves_borders(curves *out, const lw_head *head, const lw_mesh *mesh, const int *label,
                         curve_label *at, const void *context, lw_error *error);

/* Where value[vertex_count] is `level` (nowhere beside a NAN), inside triangles whose vertices have one
 * label, of 0 or more (NULL: all have); straight between the crossings of edges, which are interpolated. */
lw_status curves_level(curves *out, const lw_mesh *mesh, const double *value, const int *label, double level,
                       lw_error *error);

/* The same inside the triangles that are kept[triangle_count]. */
lw_status curves_level_on(curves *out, const lw_mesh *mesh, const double *value, const bool *kept,
                          double level, lw_error *error);

/* Where the surface turns away from the eye (its normal at right angles to the view), less what it hides
 * itself because it is hollow there. */
lw_status curves_silhouette(curves *out, const lw_mesh *mesh, view v, lw_error *error);

#endif
