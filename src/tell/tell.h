/* What this room offers: a plan, its cut and how it falls, in words; for paper, command line and
 * page alike, so that they cannot tell different things. Written into memory. */
#ifndef LW_TELL_TELL_H
#define LW_TELL_TELL_H

#include "lengthwise.h"

/* A plan carried out, in whole. */
typedef struct tell_subject {
    const lw_plan *plan;
    const lw_head *head;
    const lw_scalp *scalp;
    const lw_cut *cut;
    const lw_reading *reading;
    const lw_fallen *fallen; /* what the cut reads as once it has fallen; NULL: not read */
} tell_subject;

/* ---- sentences about a step, written from the plan's and the cut's numbers as a teacher would say them ----
 */

enum { SAY_MAX = 4096 };

typedef enum say_form {
    SAY_PLAIN,
    SAY_GAPS,    /* where numbers stand a numbered gap to write in, and no word that gives one away */
    SAY_ANSWERS, /* what belongs in those gaps, by the same numbers */
    SAY_MARKED   /* plain, and what a field of the plan chose stands between SAY_MARK, the field's path in the
                    table of fields, SAY_MARK_TEXT, the words themselves and SAY_MARK_END */
} say_form;

enum { SAY_MARK = 1, SAY_MARK_TEXT = 2, SAY_MARK_END = 3 };

/* What to do in step `step` (counted from 1). *gap is the number of the last gap so far and is counted on; it
 * may be NULL for SAY_PLAIN and SAY_MARKED, which are also said without a cut. */
void say_step(char out[SAY_MAX], const tell_subject *of, int step, say_form form, int *gap);

/* What it leaves; then the cut's warnings about it. "" where there is nothing to say. */
void say_result(char out[SAY_MAX], const tell_subject *of, int step, say_form form, int *gap);
/* A warning's own words with its lengths and areas in the plan's unit. */
void say_message(char *out, size_t size, const char *message, lw_units units);
/* Makes the first letter a capital, where it is one of the plain 26. */
void say_capital(char *text);

void say_warnings(char out[SAY_MAX], const tell_subject *of, int step, say_form form, int *gap);

/* A length in the plan's unit with its unit: "12.5 cm", "4 7/8 in"; a plan's own centimetres keep hundredths.
 */
void say_length(char out[32], double metres, lw_units units);
void say_plan_length(char out[32], double metres, lw_units units);

/* A place as it is said: "the nape centre", "halfway from the crown to the apex". */
enum { SAY_PLACE_MAX = 192 };
void say_place(char out[SAY_PLACE_MAX], lw_place place);

/* How many panels, and bites of a panel, the step takes in all. */
int say_panel_count(const tell_subject *of, int step);

/* Names of what core numbers, where core itself has none; those of the tables end with NULL. */
extern const char *const tell_head_kinds[], *const tell_hairlines[];
extern const char *const tell_sides[LW_SIDE_COUNT]; /* of a fallen cut: "front" … */
const char *tell_head_kind(lw_head_kind kind);
const char *tell_hairline(lw_hairline_shape shape);
const char *tell_near(const lw_head *head, lw_vec3 at); /* the landmark nearest to a place */

/* The parting that divides a part: splits[split] of the plan. SAY_PLAIN or SAY_MARKED. */
void say_parting(char out[SAY_MAX], const lw_plan *plan, int split, say_form form);

/* ---- cautions: the usual ones of the trade (common practice), in neutral words that give way to local rules
 * and to those who are licensed ---- */

/* The i-th that goes with a plan as a whole, a sentence or two; NULL past the last. */
const char *tell_caution(const lw_plan *plan, int i);

/* What one step's tools and places call for beyond what earlier steps did, in a sentence or two; "" where
 * nothing. */
enum { CAUTION_MAX = 400 };
void caution_of_step(char out[CAUTION_MAX], const tell_subject *of, int step);

#endif
