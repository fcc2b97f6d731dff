/* What hides what.
 *
 * The mesh is drawn triangle by triangle into a grid that keeps, for every pixel's middle, what lies nearest
 * the eye (raster.h). A pixel's depth is exact at its middle. A question about a point between middles takes
 * the farthest of the four round it, so that the surface never hides itself; the price is a rim of one pixel
 * inside an outline where a point behind the bust may pass for visible. */
#include "depth.h"

#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "raster.h"
#include "vec.h"

enum { SIDE_MAX = 8192 };

typedef struct corner {
    double x, y, depth; /* x and y in pixels, from the middle of the first one, y down */
} corner;

static corner seen(const depth_map *map, lw_vec3 p) {
    return (corner){(v3_dot(p, map->view.right) - map->left) / map->pixel - .5,
                    (map->top - v3_dot(p, map->view.up)) / map->pixel - .5, v3_dot(p, map->view.toward)};
}

static lw_status lay_out(depth_map *map, const lw_mesh *mesh, lw_error *error) {
    double left = INFINITY, right = -INFINITY, bottom = INFINITY, top = -INFINITY;
    for (int i = 0; i < mesh->vertex_count; i++) {
        double x = v3_dot(mesh->position[i], map->view.right), y = v3_dot(mesh->position[i], map->view.up);
        left = fmin(left, x), right = fmax(right, x), bottom = fmin(bottom, y), top = fmax(top, y);
    }
    double margin = 2 * map->pixel, wide = (right - left) / map->pixel, high = (top - bottom) / map->pixel;
    if (!(wide < SIDE_MAX - 5 && high < SIDE_MAX - 5))
        return fail(error, LW_ERROR_LIMIT, "depth map", "Use larger pixels.", "more than %d pixels a side",
                    SIDE_MAX);
    map->left = left - margin;
    map->top = top + margin;
    map->width = (int)ceil(wide) + 4;
    map->height = (int)ceil(high) + 4;
    return LW_OK;
}

lw_status depth_map_new(depth_map *out, const lw_mesh *mesh, view v, double pixel, lw_error *error) {
    *out = (depth_map){.view = v, .pixel = pixel};
    lw_status status = lay_out(out, mesh, error);
    if (status) return status;
    size_t count = (size_t)out->width * (size_t)out->height;
    out->depth = malloc(count * sizeof *out->depth);
    flat *at = malloc((size_t)mesh->vertex_count * sizeof *at);
    if (!out->depth || !at) {
        free(at);
        depth_map_clear(out);
        return fail_memory(error, "depth map");
    }
    raster r = {0, out->width, out->height, out->depth, NULL};
    raster_wipe(&r);
    raster_flatten(at, mesh, v, out->left, out->top, pixel);
    raster_mesh(&r, mesh, at);
    free(at);
    return LW_OK;
}

void depth_map_clear(depth_map *map) {
    free(map->depth);
    *map = (depth_map){0};
}

double depth_map_at(const depth_map *map, lw_vec3 p) {
    corner at = seen(map, p);
    if (!(at.x >= 0 && at.y >= 0 && at.x < map->width - 1 && at.y < map->height - 1)) return -INFINITY;
    const float *d = &map->depth[(size_t)at.y * (size_t)map->width + (size_t)at.x];
    return fminf(fminf(d[0], d[1]), fminf(d[map->width], d[map->width + 1]));
}

bool depth_map_hides(const depth_map *map, lw_vec3 p, double slack) {
    return v3_dot(p, map->view.toward) < depth_map_at(map, p) - slack;
}
