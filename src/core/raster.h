/* Pictures in parallel projection, as shares of pixels that something covers. */
#ifndef LW_CORE_RASTER_H
#define LW_CORE_RASTER_H

#include <stdbool.h>

#include "lengthwise.h"

/* How a point of the head's frame lies in the picture: u to the viewer's right, v up. */
typedef struct raster_view {
    int across, upward; /* 0 x, 1 y, 2 z */
    double sign_across, sign_upward;
    double floor; /* only what is not below this height counts */
} raster_view;

/* Pixel (column, row) has its middle at ((column - middle) pixel, (row + low) pixel): mirrored things make
 * mirrored pictures. */
typedef struct raster {
    raster_view view;
    double pixel; /* metres */
    int wide, high, middle, low;
    float *share; /* wide * high, 0 to 1 */
} raster;

static inline double raster_axis(lw_vec3 p, int axis) { return axis == 0 ? p.x : axis == 1 ? p.y : p.z; }
static inline double raster_u(const raster_view *v, lw_vec3 p) {
    return v->sign_across * raster_axis(p, v->across);
}
static inline double raster_v(const raster_view *v, lw_vec3 p) {
    return v->sign_upward * raster_axis(p, v->upward);
}

/* The share of each pixel behind which there is some of the mesh: of 16 places. false: out of memory. */
bool raster_cover(raster *out, const lw_mesh *mesh);

/* Along a row, where the share passes one half first and last, metres; false where it does not. */
bool raster_reach(double *from, double *to, const raster *r, int row);

#endif
