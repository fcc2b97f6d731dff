/* What light does at one hair. */
#ifndef LW_DRAW_HAIR_SHINE_H
#define LW_DRAW_HAIR_SHINE_H

#include "draw.h"
#include "hair_fine.h"

/* Shares of red, green and blue, linear light. */
typedef struct hair_body {
    float once[3];  /* of the light that crosses a hair once */
    float cast[3];  /* what many hairs together send back */
    float block[3]; /* how much of a hair's width casts shadow: fair hair lets light through */
    float tilt;     /* radians along it by which it throws its highlights aside */
} hair_body;

/* The hair at `tint`, 0 to 1, among those of a head, in a lock at `lock`, 0 to 1, among its locks. */
hair_body hair_body_of(draw_hair_colour colour, float tint, float lock);

/* How much light from a lamp, of brightness 1, a hair that runs along the unit vector t (root to tip, as
 * seen) sends to the eye. `reach` is the share of the lamp's light that gets there. */
void hair_shine(float out[3], const hair_body *body, const float t[3], const float lamp[3],
                const float reach[3]);

#endif
