/* The course of one fine hair. */
#ifndef LW_DRAW_HAIR_BEND_H
#define LW_DRAW_HAIR_BEND_H

#include "hair_chance.h"
#include "hair_fine.h"

/* What it goes by: node[nodes] of each strand. */
typedef struct hair_course {
    int nodes;
    const lw_vec3 *own, *other,
        *leader;   /* its strand, a neighbour that goes along, the one its lock follows */
    double length; /* metres, of its strand */
    double apart;  /* metres between roots */
    double curl;   /* 0 straight to 1 in ringlets */
    lw_coil coil;
    lw_vec3 centre;
} hair_course;

/* Fills out[points]. The same chances give the same hair; node[nodes] is scratch. */
void hair_bend(hair_point *out, int points, const hair_course *h, chance own, chance lock, const view *seen,
               lw_vec3 *node);

/* As it is. */
void hair_bend_plain(hair_point *out, int points, const hair_course *h, const view *seen);

#endif
