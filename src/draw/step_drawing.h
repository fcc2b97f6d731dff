/* One step drawn: where it parts the head, its panels in cutting order, how one of them is held. */
#ifndef LW_DRAW_STEP_DRAWING_H
#define LW_DRAW_STEP_DRAWING_H

#include "head_drawing.h"

/* The head from the side that shows the step's section best, its panels outlined and numbered in cutting
 * order, the guide by its pattern. blank: without numbers, to fill in. Step counts from 1. */
lw_status draw_step_panels(drawing *d, const study *s, int step, frame at, bool blank, lw_error *error);

/* The hold seen along the parting, so that the angle is its true size: head, held panel, angle marked from
 * scalp or plumb, finger line. The panel shown is a middle one. blank: the angle is marked without its size.
 */
lw_status draw_step_hold(drawing *d, const study *s, int step, frame at, bool blank, lw_error *error);

/* Where the two pictures of draw_step_hold stand: that of the angle, whose LINE_FROM and LINE_HAIR about the
 * panel hold the angle between them, and that of the finger line (LINE_FINGER about the panel). False where
 * there is no hold. */
bool step_hold_stages(const study *s, int step, frame at, stage *angle, stage *line);

#endif
