/* Light on the bust: how much of what would shine on a place gets there past the rest of the bust. */
#ifndef LW_DRAW_LIGHT_H
#define LW_DRAW_LIGHT_H

#include "lengthwise.h"

/* A light of some width, as directions to its parts, each as bright as the next. */
typedef struct light {
    int count;
    lw_vec3 *toward; /* unit */
} light;

void light_clear(light *l);

/* The whole sky, above as below. */
lw_status light_sky(light *out, int count, lw_error *error);

/* A round lamp, `spread` radians from its middle to its edge. */
lw_status light_lamp(light *out, lw_vec3 toward, double spread, int count, lw_error *error);

/* reach[vertex_count]: 0 all hidden to 1 nothing in the way, weighted by how squarely the light falls; 1
 * where it is behind the surface. Smoothed over neighbouring vertices. */
lw_status light_reach(float *reach, const lw_mesh *mesh, const light *from, lw_error *error);

/* Each vertex's value becomes the mean of its neighbours' and its own. scratch[2 * vertex_count]. */
void light_smooth(float *value, float *scratch, const lw_mesh *mesh);

#endif
