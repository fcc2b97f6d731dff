/* The bust as a picture: warm clay in soft light before a pale background, from any side. */
#ifndef LW_DRAW_RENDER_H
#define LW_DRAW_RENDER_H

#include "image.h"
#include "view.h"

typedef struct render_options {
    const lw_mesh *mesh;
    const lw_head *head; /* whose bust the mesh is: where it bends too sharply for the mesh, the surface
                            itself is shaded; NULL: the mesh as it is */
    const stage *on;     /* where it comes, in pixels */
    int width, height;
    bool transparent;       /* no background */
    const float *sky, *key; /* per vertex, 0 to 1: how much of the sky's and of the large lamp's light gets
                               past what stands before the bust; NULL: all */
    const float *grown;     /* per vertex, 0 bare skin to 1: how far it is `roots`; NULL: not at all */
    double roots[3];        /* what hair's roots make of the skin's colour: red, green and blue, linear */
    const uint8_t *unseen;  /* [height][width]: pixels that something else will hide; NULL: none */
} render_options;

/* The background of a picture of that size at a pixel: red, green and blue, linear. */
void render_backdrop(double out[3], int width, int height, int column, int row);

/* Same bits for any number of threads. */
lw_status render(image *out, const render_options *options, lw_error *error);

#endif
