/* Hairs at rest as the readings take them: checked, weighed in whole steps and measured.
 *
 * Every sum over hairs is of whole numbers: hairs in steps of 1/65536 of the heaviest strand's (rounded up to
 * a power of two), metres in steps of 2^-20. So it is exact, and the same in any order and for any number of
 * threads; with 2^23 strands of 10 m it still fits in 63 bits. */
#ifndef LW_CORE_FALLEN_H
#define LW_CORE_FALLEN_H

#include "lengthwise.h"

#define FALLEN_METRE 1048576.0 /* steps of length in a metre */

typedef struct fallen_hairs {
    const lw_head *head;
    const lw_fallen_options *options;
    bool *stopped; /* by whoever waits for it */
    const lw_strands *strands;
    double thickness; /* metres, of a fibre */
    int64_t *weight;  /* steps of hairs, one a strand */
    double *length;   /* metres along the polyline, one a strand */
    int64_t total;
    double step; /* real hairs in a step */
} fallen_hairs;

static inline const lw_vec3 *fallen_strand(const fallen_hairs *h, int i) {
    return h->strands->at + (size_t)i * (size_t)h->strands->nodes;
}

static inline lw_vec3 fallen_end(const fallen_hairs *h, int i) {
    return fallen_strand(h, i)[h->strands->nodes - 1];
}

/* Asks whoever waits, if anybody does, whether to go on when `share` is done; false leaves the rest undone.
 * Where somebody waits, on one thread only. */
bool fallen_goes_on(const fallen_hairs *h, double share);
#define FALLEN_OUTLINES .4 /* what is done before the outlines are read */

/* The place of a bearing among `count` evenly round the axis, the first straight to the front: mirrored for
 * mirrored points. */
int fallen_bearing(const lw_head *head, lw_vec3 p, int count);

lw_status fallen_read_ends(lw_fallen *out, const fallen_hairs *hairs, lw_error *error); /* fallen_ends.c */
lw_status fallen_read_patches(lw_fallen *out, const fallen_hairs *hairs,
                              lw_error *error); /* fallen_patches.c */
lw_status fallen_read_outlines(lw_fallen *out, const fallen_hairs *hairs,
                               lw_error *error); /* fallen_outline.c */

#endif
