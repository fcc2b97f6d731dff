/* The bust against the background. */
#ifndef LW_DRAW_OUTLINE_H
#define LW_DRAW_OUTLINE_H

#include "curve.h"
#include "depth.h"

/* Whether a place that is seen, p, belongs to what is outlined. */
typedef bool outline_part(const void *context, lw_vec3 p);

/* Closed loops round all that is seen and belongs, holes too. Points lie on the silhouette where one is
 * within a pixel and a half, otherwise they are as exact as the pixels. */
lw_status outline_new(curves *out, const depth_map *map, const curves *silhouette, outline_part *part,
                      const void *context, lw_error *error);

#endif
