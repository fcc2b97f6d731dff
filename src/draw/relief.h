/* The bust's relief: what a pencil would add inside the outline. */
#ifndef LW_DRAW_RELIEF_H
#define LW_DRAW_RELIEF_H

#include "curve.h"
#include "image.h"

/* Per vertex: mean curvature, 1/m, above zero where the surface bulges; evened out over a few neighbours. */
lw_status relief_curvature(double *out, const lw_mesh *mesh, lw_error *error);

/* Suggestive contours: where the surface almost turns away from the eye, as at lips, lids and the ear's
 * folds. Only on vertices with wanted[i] set (NULL: all). */
lw_status relief_creases(curves *out, const lw_mesh *mesh, const bool *wanted, view v, lw_error *error);

/* Soft grey in the hollows and on what turns away, as black of varying cover, width x height pixels over the
 * frame `at`, metres in the view's plane from its top left corner; fades out between the heights `fade[1]`
 * and `fade[0]`. */
lw_status relief_shade(image *out, const lw_mesh *mesh, const double *curvature, view v, frame at, int width,
                       int height, const double fade[2], lw_error *error);

#endif
