/* What the rooms inside core see of a scalp: roots as plain arrays, and what growth stands on. */
#ifndef LW_CORE_SCALP_H
#define LW_CORE_SCALP_H

#include "lengthwise.h"

/* Roots as structure of arrays, each array of `stride` doubles and aligned to 64 bytes, so that loops over
 * roots vectorise: 56 bytes a root. Root i and i ^ 1 are mirror images, the even one on the left; where the
 * count is odd the last one has no partner. Entries from count to stride are zero. */
struct lw_scalp {
    const lw_head *head;
    lw_scalp_options options;
    int count, stride;
    double *x, *y, *z;    /* position, metres */
    double *nx, *ny, *nz; /* outward unit normal */
    double *weight;       /* real hairs */
    lw_vec3 whorl[2];     /* centres on the surface; the crown in [0] where there is no whorl */
    lw_vec3 cowlick[8];   /* middles on the surface */
    lw_scalp
        *survey; /* the same scalp by a fixed even sample, whatever the count and seed; NULL in the survey */
};

/* Places the roots of a scalp and of its survey, whose arrays are there (roots.c). */
lw_status roots_place(lw_scalp *scalp, lw_error *error);

/* Places the centres of whorls and cowlicks on the surface (growth.c). */
void growth_prepare(lw_scalp *scalp);

/* lw_scalp_growth at a point p that lies on the surface, where the normal is n (growth.c). */
lw_vec3 growth_at(const lw_scalp *scalp, lw_vec3 p, lw_vec3 n);

#endif
