/* The measures of a head: names and published statistics. */
#include "head.h"

const char *lw_measure_name(lw_measure id) {
    static const char *const names[LW_MEASURE_COUNT] = {
        [LW_CIRCUMFERENCE] = "circumference",
        [LW_EAR_TO_EAR_OVER_TOP] = "ear_to_ear_over_top",
        [LW_HAIRLINE_TO_NAPE] = "hairline_to_nape",
        [LW_EAR_TO_EAR_FOREHEAD] = "ear_to_ear_forehead",
        [LW_TEMPLE_TO_TEMPLE_BACK] = "temple_to_temple_back",
        [LW_NAPE_WIDTH] = "nape_width",
        [LW_HEAD_LENGTH] = "head_length",
        [LW_HEAD_BREADTH] = "head_breadth",
        [LW_EAR_TO_TOP] = "ear_to_top",
        [LW_EAR_TO_EAR_HAIRLINE] = "ear_to_ear_hairline",
    };
    return (unsigned)id < LW_MEASURE_COUNT ? names[id] : "";
}
