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
    bool transparent; /* no background */
} render_options;

/* Same bits for any number of threads. */
lw_status render(image *out, const render_options *options, lw_error *error);

#endif
