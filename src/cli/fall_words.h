/* The words for how a cut falls. */
#ifndef LW_CLI_FALL_WORDS_H
#define LW_CLI_FALL_WORDS_H

#include "prediction.h"
#include "text.h"

enum { FALL_WORDS_MAX = 64 };

/* What heights are measured from: "chin", whose height `fall_zero` is, or "origin" where there is no face. */
const char *fall_zero_name(const prediction *p);
double fall_zero(const prediction *p);

/* "between lip and chin"; "none" where there is none. */
void fall_height_words(char out[FALL_WORDS_MAX], const prediction *p, double height);

/* The same for a weight line, with how sharp it is: "at the chin, sharp". */
void fall_weight_words(char out[FALL_WORDS_MAX], const prediction *p, const lw_side_reading *side);

/* "1.5 cm below the chin" */
void fall_from_zero(char out[FALL_WORDS_MAX], const prediction *p, double height, lw_units units);

/* "above the brow", "between brow and eye" … "below the collar": where ends lie, i up to LW_LEVEL_COUNT. */
void fall_ends_words(char out[FALL_WORDS_MAX], int i);

#endif
