/* The part of a fall in which hair makes room for hair. */
#ifndef LW_CORE_FALL_ROOM_H
#define LW_CORE_FALL_ROOM_H

#include "fall.h"
#include "room.h"

/* Brings all hair of a fall to rest from where it lies, in `rounds` steps a hair at most. */
typedef lw_status (*fall_pass)(lw_fall *f, const lw_fall_options *o, const room *filled, int rounds,
                               lw_error *error);

/* From hair that came to rest alone to hair that leaves room for all: as many rounds as are left, `parts` at
 * most. from: the fall that this one goes on from, in whose room it falls at first; NULL: its own. */
lw_status fall_make_room(lw_fall *f, const lw_fall *from, const lw_fall_options *options, int parts,
                         const room_options *grid, fall_pass pass, lw_error *error);

/* Hair falls alone from where it was laid, and then makes room. */
lw_status fall_alone(lw_fall *f, const lw_fall_options *o, const room_options *grid, lw_error *error);

/* lw_fall_new and lw_fall_again with a grid of one's own. */
lw_status fall_new_on(lw_fall **out, const lw_scalp *scalp, const double *length, const lw_plan *plan,
                      const lw_fall_options *options, const room_options *grid, lw_error *error);
lw_status fall_again_on(lw_fall *fall, const double *length, const lw_plan *plan,
                        const lw_fall_options *options, const room_options *grid, lw_error *error);

#endif
