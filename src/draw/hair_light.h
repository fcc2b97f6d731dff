/* The light on hair, and the shadow of hair on the bust. */
#ifndef LW_DRAW_HAIR_LIGHT_H
#define LW_DRAW_HAIR_LIGHT_H

#include "hair_air.h"
#include "hair_veil.h"

typedef struct hair_lamp {
    lw_vec3 toward;  /* as seen: right, up, toward the eye; any length */
    double light[3]; /* linear red, green, blue */
} hair_lamp;

/* The lamps of the bust: a large one, a weak one, which hair gets more of, one behind, and the sky. */
typedef struct hair_lamps {
    hair_lamp key, fill, rim;
    double above[3], below[3];
} hair_lamps;

hair_lamps hair_lamps_default(void);

enum { KEY_PARTS = 7 };

typedef struct hair_light {
    hair_veil key[KEY_PARTS];
    hair_veil eye; /* what the eye looks through */
    view seen;
    hair_air air;
    float *fill, *rim; /* [cells]: hairs deep */
    float *behind;     /* [cells]: how far behind the bust from the large lamp, in hairs */
    float *sky;        /* [cells]: share of the sky's light, the upper half counting more */
} hair_light;

lw_status hair_light_new(hair_light *out, const hair_fine *hair, const lw_head *head, const view *seen,
                         const hair_lamps *lamps, lw_error *error);
void hair_light_clear(hair_light *light);

/* How deep in hair a place lies from the eye and from each lamp, in hairs; a lamp that the bust hides is far
 * off. */
typedef struct hair_depths {
    float eye, key, fill, rim;
    float sky; /* 0 to 1 */
} hair_depths;

hair_depths hair_light_at(const hair_light *light, hair_point p);

/* For every vertex of the bust: how much of the sky's and of the lamp's light gets past the hair. */
lw_status hair_light_on_bust(float *sky, float *key, const hair_light *light, const lw_mesh *mesh,
                             lw_error *error);

#endif
