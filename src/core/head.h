/* What the rooms inside core see of a head: its options, its surface and its landmarks. */
#ifndef LW_CORE_HEAD_H
#define LW_CORE_HEAD_H

#include "lengthwise.h"
#include "surface.h"

struct lw_head {
    lw_head_options given;
    surface surface;
    double measured[LW_MEASURE_COUNT];
    lw_vec3 landmark[LW_LANDMARK_COUNT];
    double scalp_area;
};

#endif
