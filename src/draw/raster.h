/* Triangles on a grid of samples: what is nearest to the eye at each. */
#ifndef LW_DRAW_RASTER_H
#define LW_DRAW_RASTER_H

#include "view.h"

/* A corner of the mesh as the grid sees it: x along a row of samples, y down the rows, both in samples with
 * 0, 0 the outer corner of the first; z metres toward the eye. */
typedef struct flat {
    double x, y, z;
} flat;

/* Projects every vertex: the place shown at sample (0, 0) is `left` along the view's right and `top` along
 * its up; samples are `size` metres apart. */
void raster_flatten(flat *out, const lw_mesh *mesh, view v, double left, double top, double size);

/* Rows `first` to `first + height` of a grid. */
typedef struct raster {
    int first, width, height;
    float *depth;      /* [height][width], -INFINITY: nothing */
    int32_t *triangle; /* [height][width], -1: nothing; may be NULL */
} raster;

void raster_wipe(raster *r);

/* Draws triangle `index` of the mesh. A sample on an edge belongs to both its triangles, so that none is
 * missed. */
void raster_triangle(raster *r, const lw_mesh *mesh, const flat *at, int32_t index);

/* Draws the whole mesh, side by side in bands of rows. The same bits for any number of threads. */
void raster_mesh(raster *r, const lw_mesh *mesh, const flat *at);

/* Whether a triangle turns its outer side to the eye. The others of a closed surface are never seen. */
static inline bool raster_faces(const flat *at, const int32_t t[3]) {
    flat a = at[t[0]], b = at[t[1]], c = at[t[2]];
    return (b.x - a.x) * (c.y - a.y) < (b.y - a.y) * (c.x - a.x);
}

/* The weights of a triangle's corners at a sample, which may lie a little outside it. */
void raster_weights(const flat *a, const flat *b, const flat *c, double x, double y, double weight[3]);

#endif
