/* The fallen cut drawn from a side: the bust light, the hair's outline strong, where it ends and where its
 * weight lies. Everything is drawn where lw_fallen has it. */
#ifndef LW_DRAW_FALL_DRAWING_H
#define LW_DRAW_FALL_DRAWING_H

#include "study.h"

/* The stage of the side in `at`, as head_stage, with as much more of the bust as the hair reaches over. */
stage fall_stage(const study *s, view_side side, frame at, double scale);

/* `hair`: with the hair; otherwise the bust alone, to draw on. */
void draw_fall(drawing *d, const study *s, view_side side, const stage *on, bool hair);

#endif
