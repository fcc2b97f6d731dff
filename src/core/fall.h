/* What the rooms inside core see of a fall. */
#ifndef LW_CORE_FALL_H
#define LW_CORE_FALL_H

#include "fibre.h"
#include "ground.h"
#include "rods.h"
#include "worn.h"

struct lw_fall {
    const lw_cut *cut;
    const lw_scalp *scalp;
    fibre fibre;
    worn worn;
    ground *ground;
    int threads;
    int passes; /* times that all hair has fallen */
    lw_strands strands;
    rods_hair *hair;   /* per hair */
    float (*frame)[4]; /* per hair and node */
    lw_fall_report report;
};

#endif
