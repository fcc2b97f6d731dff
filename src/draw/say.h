/* Sentences about a step, written from the plan's and the cut's numbers as a teacher would say them. */
#ifndef LW_DRAW_SAY_H
#define LW_DRAW_SAY_H

#include "draw.h"

enum { SAY_MAX = 2400 };

typedef enum say_form {
    SAY_PLAIN,
    SAY_GAPS,   /* where numbers stand a numbered gap to write in, and no word that gives one away */
    SAY_ANSWERS /* what belongs in those gaps, by the same numbers */
} say_form;

/* What to do in step `step` (counted from 1). *gap is the number of the last gap so far and is counted on; it
 * may be NULL for SAY_PLAIN. */
void say_step(char out[SAY_MAX], const draw_subject *of, int step, say_form form, int *gap);

/* What it leaves; then the cut's warnings about it. "" where there is nothing to say. */
void say_result(char out[SAY_MAX], const draw_subject *of, int step, say_form form, int *gap);
/* A warning's own words with its lengths and areas in the plan's unit. */
void say_message(char *out, size_t size, const char *message, lw_units units);
/* Makes the first letter a capital, where it is one of the plain 26. */
void say_capital(char *text);

void say_warnings(char out[SAY_MAX], const draw_subject *of, int step, say_form form, int *gap);

/* A length in the plan's unit with its unit: "12.5 cm", "4 7/8 in"; a plan's own centimetres keep hundredths.
 */
void say_length(char out[32], double metres, lw_units units);
void say_plan_length(char out[32], double metres, lw_units units);

/* A place as it is said: "the nape centre", "halfway from the crown to the apex". */
enum { SAY_PLACE_MAX = 192 };
void say_place(char out[SAY_PLACE_MAX], lw_place place);

/* How many panels, and bites of a panel, the step takes in all. */
int say_panel_count(const draw_subject *of, int step);

#endif
