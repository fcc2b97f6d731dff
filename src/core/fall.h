/* What the rooms inside core see of a fall. */
#ifndef LW_CORE_FALL_H
#define LW_CORE_FALL_H

#include "fibre.h"
#include "ground.h"
#include "rods.h"
#include "worn.h"

struct lw_fall {
    const double *length; /* per root, metres; while it is made */
    const lw_scalp *scalp;
    fibre fibre;
    worn worn;
    ground *ground;
    int threads;
    int passes; /* times that all hair has fallen */
    int made;   /* times that hair made room since it was let go from the comb */
    bool tight; /* room has been made: what follows is as fine as the last round was */
    lw_strands strands;
    rods_hair *hair;   /* per hair */
    float (*frame)[4]; /* per hair and node */
    float (*held)[4];  /* the same: friction, as rods_job has it; NULL: it does not go on */
    float *loose_at;   /* per hair: metres that it was long when it last was loose (rods.h) */
    lw_fall_report report;
};

lw_status fall_check(const lw_fall_options *o, lw_error *error);
lw_status fall_check_lengths(const double *length, int count, lw_error *error);

/* Memory for a fall's hairs. */
lw_status fall_room_for(lw_fall *f, int count, const lw_fall_options *o, lw_error *error);
void fall_drop_hairs(lw_fall *f);

/* Hair i: its root, its clamp and the pose it is let go from, and fall_size_hair. */
void fall_make_hair(lw_fall *f, int i);

/* What hair i is but for where it grows: length, fibre, natural shape. */
void fall_size_hair(lw_fall *f, int i);

/* All hair falls, in `rounds` steps a hair at most. */
lw_status fall_let(lw_fall *f, const lw_fall_options *o, const struct room *filled, int rounds,
                   lw_error *error);

#endif
