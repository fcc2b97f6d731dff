/* How much hair lies between a place and one direction, finely. */
#ifndef LW_DRAW_HAIR_VEIL_H
#define LW_DRAW_HAIR_VEIL_H

#include "hair_fine.h"

enum { VEIL_LAYERS = 8 };

typedef struct veil_pixel {
    float nearest;            /* metres toward the light: the first hair; -INFINITY none */
    float depth[VEIL_LAYERS]; /* how many hairs deep it is down to each layer's end */
} veil_pixel;

typedef struct hair_veil {
    float right[3], up[3], toward[3]; /* of the map; toward where the light comes from, as seen */
    int width, height;
    float left, top,
        size;          /* metres: of the first pixel's corner (x along right, y along up); a pixel's side */
    veil_pixel *pixel; /* [height][width] */
} hair_veil;

/* toward as seen: right, up, toward the eye. One hair in `every` stands for all, the first being `from`. */
lw_status hair_veil_new(hair_veil *out, const hair_fine *hair, lw_vec3 toward, double size, int from,
                        int every, lw_error *error);
void hair_veil_clear(hair_veil *veil);

/* How many hairs deep p, as seen, lies beneath the hair: the mean number of hairs that a line from there
 * toward the light meets. */
float hair_veil_at(const hair_veil *v, hair_point at);

#endif
