/* What hides what: the bust's depth as seen from a side, on a grid of pixels. */
#ifndef LW_DRAW_DEPTH_H
#define LW_DRAW_DEPTH_H

#include "view.h"

typedef struct depth_map {
    view view;
    int width, height;
    double left, top, pixel; /* metres in the view's plane: of the first pixel's corner (x along right, y
                                along up); a pixel's side */
    float *depth;            /* [height][width], metres along `toward`, -INFINITY where there is nothing */
} depth_map;

lw_status depth_map_new(depth_map *out, const lw_mesh *mesh, view v, double pixel, lw_error *error);
void depth_map_clear(depth_map *map);

/* Metres along `toward` of what is seen at p: the farthest of the four pixels round it, -INFINITY where one
 * of them is empty. */
double depth_map_at(const depth_map *map, lw_vec3 p);

/* Whether p lies more than `slack` metres behind what is seen there. */
bool depth_map_hides(const depth_map *map, lw_vec3 p, double slack);

#endif
