/* Triangles on a grid: what is nearest to the eye is kept, sample by sample (Catmull, "A subdivision
 * algorithm for computer display of curved surfaces", University of Utah, 1974). */
#include "raster.h"

#include <math.h>

#include "vec.h"

void raster_flatten(flat *out, const lw_mesh *mesh, view v, double left, double top, double size) {
    for (int i = 0; i < mesh->vertex_count; i++) {
        lw_vec3 p = mesh->position[i];
        out[i] =
            (flat){(v3_dot(p, v.right) - left) / size, (top - v3_dot(p, v.up)) / size, v3_dot(p, v.toward)};
    }
}

void raster_wipe(raster *r) {
    float *depth = r->depth;
    int32_t *triangle = r->triangle;
    int samples = r->width * r->height;
    for (int i = 0; i < samples; i++) depth[i] = -INFINITY;
    for (int i = 0; triangle && i < samples; i++) triangle[i] = -1;
}

/* The first sample of [from, to) whose middle is not before `low`. */
static int first_from(double low, int from, int to) {
    if (!(low - .5 > from)) return from;
    if (low - .5 > to) return to;
    int i = (int)(low - .5);
    return i + (i < low - .5);
}

static double least(double a, double b, double c) {
    double d = a < b ? a : b;
    return d < c ? d : c;
}

static double most(double a, double b, double c) {
    double d = a > b ? a : b;
    return d > c ? d : c;
}

#define SLACK 1e-9 /* in weights, so that an edge is on both its sides */

void raster_triangle(raster *r, const lw_mesh *mesh, const flat *at, int32_t index) {
    const int32_t *t = mesh->triangle[index];
    flat a = at[t[0]], b = at[t[1]], c = at[t[2]];
    int top = first_from(least(a.y, b.y, c.y) - SLACK, r->first, r->first + r->height);
    int bottom = first_from(most(a.y, b.y, c.y) + SLACK, top, r->first + r->height);
    if (top == bottom) return;
    int left = first_from(least(a.x, b.x, c.x) - SLACK, 0, r->width);
    int right = first_from(most(a.x, b.x, c.x) + SLACK, left, r->width);
    double area = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    if (left == right || fabs(area) < 1e-12) return; /* edge on: its neighbours cover it */
    /* How the weights of b and c, and the depth, grow along a row and down the rows. */
    double bx = (c.y - a.y) / area, by = -(c.x - a.x) / area, cx = -(b.y - a.y) / area,
           cy = (b.x - a.x) / area;
    for (int y = top; y < bottom; y++) {
        size_t row = (size_t)(y - r->first) * (size_t)r->width;
        for (int x = left; x < right; x++) {
            double dx = x + .5 - a.x, dy = y + .5 - a.y, wb = bx * dx + by * dy, wc = cx * dx + cy * dy;
            float z = (float)(a.z + wb * (b.z - a.z) + wc * (c.z - a.z));
            /* One branch: which way each of these goes is anybody's guess. */
            bool shows =
                (wb >= -SLACK) & (wc >= -SLACK) & (1 - wb - wc >= -SLACK) & (z > r->depth[row + (size_t)x]);
            if (!shows) continue;
            r->depth[row + (size_t)x] = z;
            if (r->triangle) r->triangle[row + (size_t)x] = index;
        }
    }
}

static bool touches(const raster *r, const flat *at, const int32_t t[3]) {
    double a = at[t[0]].y, b = at[t[1]].y, c = at[t[2]].y, top = r->first, bottom = r->first + r->height;
    return !((a < top) & (b < top) & (c < top)) && !((a > bottom) & (b > bottom) & (c > bottom));
}

void raster_mesh(raster *r, const lw_mesh *mesh, const flat *at) {
    enum { BANDS = 4 }; /* each looks at every triangle, so not too many */
#pragma omp parallel for schedule(dynamic, 1)
    for (int i = 0; i < BANDS; i++) {
        int first = r->height * i / BANDS, past = r->height * (i + 1) / BANDS;
        size_t skipped = (size_t)first * (size_t)r->width;
        raster band = {r->first + first, r->width, past - first, r->depth + skipped,
                       r->triangle ? r->triangle + skipped : NULL};
        for (int32_t k = 0; k < mesh->triangle_count; k++)
            if (touches(&band, at, mesh->triangle[k]) && raster_faces(at, mesh->triangle[k]))
                raster_triangle(&band, mesh, at, k);
    }
}

void raster_weights(const flat *a, const flat *b, const flat *c, double x, double y, double weight[3]) {
    double area = (b->x - a->x) * (c->y - a->y) - (b->y - a->y) * (c->x - a->x);
    double dx = x - a->x, dy = y - a->y;
    weight[1] = (dx * (c->y - a->y) - dy * (c->x - a->x)) / area;
    weight[2] = (dy * (b->x - a->x) - dx * (b->y - a->y)) / area;
    weight[0] = 1 - weight[1] - weight[2];
}
