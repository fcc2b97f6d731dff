/* What to take care of, in neutral words that give way to local rules and to those who are licensed. The
 * usual cautions of the trade (common practice). */
#ifndef LW_DRAW_CAUTION_H
#define LW_DRAW_CAUTION_H

#include "draw.h"

/* What one step's tools and places call for, in one sentence or two; "" where nothing beyond the usual. */
enum { CAUTION_MAX = 400 };
void caution_of_step(char out[CAUTION_MAX], const draw_subject *of, int step);

#endif
