/* The bust as a picture: shaded, from any side. */
#ifndef LW_DRAW_RENDER_H
#define LW_DRAW_RENDER_H

#include "image.h"
#include "view.h"

typedef enum render_look {
    RENDER_CLAY,  /* a product picture: warm clay in soft light before a pale background */
    RENDER_PENCIL /* near white, to draw on: soft grey in the hollows; transparent round the bust */
} render_look;

/* A picture of width x height pixels. `on` says where the bust comes, in pixels. Same bits for any number of
 * threads. */
lw_status render(image *out, const lw_mesh *mesh, const stage *on, int width, int height, render_look look,
                 lw_error *error);

#endif
