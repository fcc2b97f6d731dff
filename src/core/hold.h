/* The hold: where a panel is carried to and the direction it is combed in. */
#ifndef LW_CORE_HOLD_H
#define LW_CORE_HOLD_H

#include "panel.h"

/* Natural fall at a surface point with normal n: gravity along the scalp, and growth where the scalp is
 * level. Unit. */
lw_vec3 natural_fall(const lw_scalp *scalp, lw_vec3 p, lw_vec3 n);

/* A hold worked out at one place. */
typedef struct held {
    lw_vec3 place, normal, direction;
} held;

/* The direction of `hold` at a place on the scalp. Where a hold measured from plumb points into the head, the
 * place slides down natural fall to where the hair leaves the head. `elevation` stands in for
 * hold->elevation. */
held hold_at(const lw_head *head, const lw_scalp *scalp, const lw_hold *hold, double elevation, lw_vec3 p);

/* Where the point p of strip k's middle line is carried to: `carry` stands in for hold->carry. at_anchor
 * carries anchor to anchor instead of to p's counterpart. kept: NULL or what was carried before. */
lw_vec3 hold_carry(lw_paths *kept, const lw_head *head, const panel_set *set, const lw_hold *hold,
                   double carry, int k, lw_vec3 p, bool at_anchor);

#endif
