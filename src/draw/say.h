/* Sentences about a step, written from the plan's and the cut's numbers as a teacher would say them. */
#ifndef LW_DRAW_SAY_H
#define LW_DRAW_SAY_H

#include "draw.h"

enum { SAY_MAX = 1200 };

/* One or two plain sentences on what to do in step `step` (counted from 1); for a worksheet (blank) with gaps
 * of underscores where numbers stand. */
void say_step(char out[SAY_MAX], const draw_subject *of, int step, bool blank);

/* What it leaves: lengths, weight, warnings. "" where there is nothing to say. */
void say_result(char out[SAY_MAX], const draw_subject *of, int step, bool blank);

/* A length in the plan's unit with its unit: "12.5 cm", "4 7/8 in". */
void say_length(char out[32], double metres, lw_units units);

#endif
