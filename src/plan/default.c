/* What a plan and a step are before anything is said about them. The explanations print these as defaults. */
#include <stdlib.h>

#include "fields.h"

const lw_step step_initial = {
    .panels = {.family = LW_FAMILY_LEVEL,
               .angle = 0.78539816339744830962, /* 45 degrees */
               .thickness = 0.02,
               .pivot = {-1, -1, 0}},
    .hold = {.reference = LW_FROM_SCALP,
             .elevation = 1.57079632679489661923, /* straight out */
             .target = LW_TOWARD_PREVIOUS,
             .place = {-1, -1, 0}},
    .line = {.kind = LW_LINE_FOLLOW},
    .guide = {.kind = LW_GUIDE_TRAVELLING, .at = {-1, -1, 0}},
    .technique = {.kind = LW_BLUNT, .guard_to = -1},
    .state = LW_STATE_INHERIT,
};

lw_step lw_step_default(void) { return step_initial; }

lw_plan lw_plan_default(void) {
    return (lw_plan){
        .units = LW_CM,
        .head = lw_head_default(),
        .scalp = lw_scalp_default(),
        .hair = {.length = 0.45,
                 .section_area = 4643e-12, /* mean of 4643 (sd 817) um^2: PubMed 26865310 */
                 .wet_stretch = 0.015,     /* 1 to 2 %, from memory */
                 .state = LW_STATE_DRY,
                 /* Mean of TRI's 1.29 (Asian), 1.41 (Caucasian) and 1.66 (African American), as a plan does
                  * not say whose hair it is. Their mean section, 4451 um^2, is near to the one above. */
                 .ellipticity = 1.45,
                 .modulus = 3.1e9, /* (sd 0.16e9), of the same hair as section_area: PubMed 26865310 */
                 /* Surgeons teach 10 to 20 degrees at the front hairline, 3 to 10 at the temples and 30 to 60
                  * on the top: at second hand. */
                 .root_angle_edge = 0.20943951023931954923, /* 12 degrees */
                 .root_angle_middle = 0.69813170079773183077 /* 40 degrees */},
        .worn = {.offset = 0.04, /* above the arch of the brow: common practice */
                 .stiffness = 1,
                 .bundle = 1,
                 .taken = 1,
                 .lift = -1},
        .hands = {.span = 0.075, .seed = 1}, /* three inches of line in the fingers: common practice */
    };
}

void lw_plan_clear(lw_plan *plan) {
    if (!plan) return;
    free(plan->splits);
    free(plan->steps);
    *plan = (lw_plan){0};
}
