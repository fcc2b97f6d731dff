/* A picture in memory. */
#ifndef LW_DRAW_IMAGE_H
#define LW_DRAW_IMAGE_H

#include "draw.h"

typedef struct image {
    int width, height;
    uint8_t *rgba; /* [height][width][4], straight (not premultiplied) alpha */
} image;

lw_status image_new(image *out, int width, int height, lw_error *error); /* all transparent */
void image_clear(image *picture);

/* The picture as a PNG file. */
lw_status image_png(draw_bytes *out, const image *picture, lw_error *error);

#endif
