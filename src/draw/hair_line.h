/* Hairs on a grid of samples, nearest to the eye first, before and behind the bust. */
#ifndef LW_DRAW_HAIR_LINE_H
#define LW_DRAW_HAIR_LINE_H

#include "hair_fine.h"

enum { HAIR_GRID = 4 /* samples along a pixel's side */ };

typedef struct hair_lines {
    const hair_fine *hair;
    /* The light that point `at` of a hair sends to the eye, linear; asked for what is seen. */
    void (*light)(float out[3], const void *scene, int hair, int at);
    const void *scene;
    double left, top;  /* metres: the picture's corner, as seen */
    double samples;    /* per metre */
    int width, height; /* pixels */
    const float *bust; /* [2 height][2 width]: metres toward the eye, -INFINITY: none; NULL: no bust */
} hair_lines;

/* out[height][width][4]: red, green, blue times cover, and cover. Same bits for any number of threads. */
lw_status hair_lines_draw(float *out, const hair_lines *lines, lw_error *error);

#endif
