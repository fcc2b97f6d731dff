#include "raster.h"

#include <math.h>

#include "vec.h"

void raster_flatten(flat *out, const lw_mesh *mesh, view v, double left, double top, double size) {
    for (int i = 0; i < mesh->vertex_count; i++) {
        lw_vec3 p = mesh->position[i];
        out[i] = (flat){(float)((v3_dot(p, v.right) - left) / size), (float)((top - v3_dot(p, v.up)) / size),
                        (float)v3_dot(p, v.toward)};
    }
}

void raster_wipe(raster *r) {
    for (int i = 0; i < r->width * r->height; i++) r->depth[i] = -INFINITY;
    for (int i = 0; r->triangle && i < r->width * r->height; i++) r->triangle[i] = -1;
}

/* The first and one past the last sample whose middle lies in [low, high], within [from, to). */
static void covered(float low, float high, int from, int to, int *first, int *past) {
    float a = ceilf(low - .5f), b = floorf(high - .5f) + 1;
    *first = a > (float)from ? (int)fminf(a, (float)to) : from;
    *past = b < (float)to ? (int)fmaxf(b, (float)from) : to;
}

void raster_triangle(raster *r, const lw_mesh *mesh, const flat *at, int32_t index) {
    const int32_t *t = mesh->triangle[index];
    flat a = at[t[0]], b = at[t[1]], c = at[t[2]];
    int left, right, top, bottom;
    covered(fminf(a.x, fminf(b.x, c.x)), fmaxf(a.x, fmaxf(b.x, c.x)), 0, r->width, &left, &right);
    covered(fminf(a.y, fminf(b.y, c.y)), fmaxf(a.y, fmaxf(b.y, c.y)), r->first, r->first + r->height, &top,
            &bottom);
    double area = (double)(b.x - a.x) * (c.y - a.y) - (double)(b.y - a.y) * (c.x - a.x);
    if (left >= right || top >= bottom || area == 0) return;
    /* Weights of b and c grow evenly along a row and down the rows. */
    double bx = (c.y - a.y) / area, by = -(c.x - a.x) / area, cx = -(b.y - a.y) / area,
           cy = (b.x - a.x) / area;
    double bz = b.z - a.z, cz = c.z - a.z, slack = -1e-6;
    for (int y = top; y < bottom; y++) {
        double dx = left + .5 - a.x, dy = y + .5 - a.y;
        double wb = bx * dx + by * dy, wc = cx * dx + cy * dy;
        float *depth = r->depth + (size_t)(y - r->first) * (size_t)r->width;
        for (int x = left; x < right; x++, wb += bx, wc += cx) {
            if (wb < slack || wc < slack || 1 - wb - wc < slack) continue;
            float z = (float)(a.z + wb * bz + wc * cz);
            if (!(z > depth[x])) continue;
            depth[x] = z;
            if (r->triangle) r->triangle[(size_t)(y - r->first) * (size_t)r->width + (size_t)x] = index;
        }
    }
}

void raster_weights(const flat *a, const flat *b, const flat *c, double x, double y, double weight[3]) {
    double area = (double)(b->x - a->x) * (c->y - a->y) - (double)(b->y - a->y) * (c->x - a->x);
    double dx = x - a->x, dy = y - a->y;
    weight[1] = (dx * (c->y - a->y) - dy * (c->x - a->x)) / area;
    weight[2] = (dy * (b->x - a->x) - dx * (b->y - a->y)) / area;
    weight[0] = 1 - weight[1] - weight[2];
}
