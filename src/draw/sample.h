/* The scalp as it is seen from a side, sample by sample. */
#ifndef LW_DRAW_SAMPLE_H
#define LW_DRAW_SAMPLE_H

#include "raster.h"
#include "study.h"

typedef struct scalp_samples {
    raster seen; /* seen.triangle: index into the study's `scalp`, -1 where no scalp is seen */
    flat *at;    /* per vertex of `scalp` */
} scalp_samples;

/* width x height samples over the frame of the page. */
lw_status scalp_samples_new(scalp_samples *out, const study *s, const stage *on, frame at, int width,
                            int height, lw_error *error);
void scalp_samples_clear(scalp_samples *samples);

#endif
