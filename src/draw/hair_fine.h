/* Strands as the many fine hairs they stand for. */
#ifndef LW_DRAW_HAIR_FINE_H
#define LW_DRAW_HAIR_FINE_H

#include "view.h"

/* Right, up, toward the eye; metres. */
typedef struct hair_point {
    float x, y, z;
} hair_point;

typedef struct hair_fine {
    int count;
    int *first; /* count + 1: hair i is at[first[i]] to at[first[i + 1] - 1], two or more */
    hair_point *at;
    float *tint;          /* per hair, evenly from 0 to 1: where it stands among lighter and darker ones */
    float *lock;          /* per hair, evenly from 0 to 1: the same for those that lie in one lock */
    double width;         /* metres across each, all told as wide as the real hairs they stand for */
    hair_point low, high; /* the box that holds all points */
} hair_fine;

typedef struct hair_fine_options {
    view seen;
    lw_vec3 centre; /* out of the head is away from here */
    double sample;  /* metres: the finest that is told apart; hairs are not made much finer */
    double step;    /* metres between points */
    bool plain;     /* every strand as one hair where it is, for checking */
} hair_fine_options;

lw_status hair_fine_new(hair_fine *out, const lw_strands *strands, const hair_fine_options *options,
                        lw_error *error);
/* Finds the box. */
void hair_fine_bound(hair_fine *f);

void hair_fine_clear(hair_fine *f);

#endif
