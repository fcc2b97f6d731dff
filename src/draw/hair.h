/* The bust with its hair as a picture. */
#ifndef LW_DRAW_HAIR_H
#define LW_DRAW_HAIR_H

#include "hair_light.h"
#include "image.h"

typedef struct hair_options {
    const lw_strands *strands;
    const lw_mesh *mesh; /* of the bust */
    const lw_head *head;
    const stage *on; /* in pixels */
    int width, height;
    draw_hair_colour colour;
    hair_lamps lamps; /* of the hair; the bust has its own */
    bool transparent; /* no background */
    bool plain;       /* every strand as one hair of its own width, where it is, for checking */
} hair_options;

/* Same bits for any number of threads. */
lw_status hair_picture(image *out, const hair_options *options, lw_error *error);

#endif
