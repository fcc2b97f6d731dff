/* What hides what.
 *
 * The mesh is drawn triangle by triangle into a grid that keeps, for every pixel's middle, what lies nearest
 * the eye (Catmull, "A subdivision algorithm for computer display of curved surfaces", University of Utah,
 * 1974). A pixel's depth is exact at its middle. A question about a point between middles takes the farthest
 * of the four round it, so that the surface never hides itself; the price is a rim of one pixel inside an
 * outline where a point behind the bust may pass for visible. */
#include "depth.h"

#include <math.h>
#include <stdlib.h>

#include "fault.h"
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
        return fault(error, LW_ERROR_LIMIT, "depth map", "Use larger pixels.", "more than %d pixels a side",
                     SIDE_MAX);
    map->left = left - margin;
    map->top = top + margin;
    map->width = (int)ceil(wide) + 4;
    map->height = (int)ceil(high) + 4;
    return LW_OK;
}

static double twice_area(corner a, corner b, double x, double y) {
    return (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x);
}

static int first_middle(double a, double b, double c) {
    int i = (int)ceil(fmin(a, fmin(b, c)) - 1e-9);
    return i > 0 ? i : 0;
}

static int last_middle(double a, double b, double c, int count) {
    int i = (int)floor(fmax(a, fmax(b, c)) + 1e-9);
    return i < count - 1 ? i : count - 1;
}

static void draw_triangle(depth_map *map, corner a, corner b, corner c) {
    double all = twice_area(a, b, c.x, c.y);
    if (fabs(all) < 1e-12) return; /* edge on: its neighbours cover it */
    int left = first_middle(a.x, b.x, c.x), right = last_middle(a.x, b.x, c.x, map->width);
    int top = first_middle(a.y, b.y, c.y), bottom = last_middle(a.y, b.y, c.y, map->height);
    for (int y = top; y <= bottom; y++)
        for (int x = left; x <= right; x++) {
            double u = twice_area(b, c, x, y) / all, v = twice_area(c, a, x, y) / all, w = 1 - u - v;
            if (u < -1e-9 || v < -1e-9 || w < -1e-9) continue;
            float depth = (float)(u * a.depth + v * b.depth + w * c.depth),
                  *kept = &map->depth[(size_t)y * (size_t)map->width + (size_t)x];
            if (depth > *kept) *kept = depth;
        }
}

lw_status depth_map_new(depth_map *out, const lw_mesh *mesh, view v, double pixel, lw_error *error) {
    *out = (depth_map){.view = v, .pixel = pixel};
    lw_status status = lay_out(out, mesh, error);
    if (status) return status;
    size_t count = (size_t)out->width * (size_t)out->height;
    out->depth = malloc(count * sizeof *out->depth);
    if (!out->depth) return fault_memory(error, "depth map");
    for (size_t i = 0; i < count; i++) out->depth[i] = -INFINITY;
    for (int i = 0; i < mesh->triangle_count; i++) {
        const int32_t *t = mesh->triangle[i];
        draw_triangle(out, seen(out, mesh->position[t[0]]), seen(out, mesh->position[t[1]]),
                      seen(out, mesh->position[t[2]]));
    }
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
    return fmin(fmin(d[0], d[1]), fmin(d[map->width], d[map->width + 1]));
}

bool depth_map_hides(const depth_map *map, lw_vec3 p, double slack) {
    return v3_dot(p, map->view.toward) < depth_map_at(map, p) - slack;
}
