/* Hair and bust as what fills space, coarsely: how much light gets through it from wide around. */
#ifndef LW_DRAW_HAIR_AIR_H
#define LW_DRAW_HAIR_AIR_H

#include "hair_fine.h"

typedef struct hair_air {
    int size[3]; /* cells along right, up, toward */
    float low[3], cell;
    float *hair;  /* [z][y][x]: hairs met on a way of a metre there */
    float *solid; /* 0 free to 1 within the bust */
} hair_air;

/* Covers all hair, with a margin. */
lw_status hair_air_new(hair_air *out, const hair_fine *hair, const lw_head *head, const view *seen,
                       double cell, lw_error *error);
void hair_air_clear(hair_air *air);

size_t hair_air_cells(const hair_air *air);

/* depth[cells]: how deep each cell's middle lies from a direction as seen: every hair in the way counts as
 * `hair`, a cell of the bust as `wall`. */
void hair_air_depth(float *depth, const hair_air *air, lw_vec3 toward, float hair, float wall);

/* Between the cells' middles; `outside` away from them. */
float hair_air_at(const float *value, const hair_air *air, hair_point p, float outside);

#endif
