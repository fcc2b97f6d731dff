/* Heights are told twice: by the face, as the trade tells them, and as a number from the chin, where a tape
 * can be held. */
#include "fall_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static bool has_face(const prediction *p) { return isfinite(lw_head_level(p->head, LW_CHIN)); }

const char *fall_zero_name(const prediction *p) { return has_face(p) ? "chin" : "origin"; }
double fall_zero(const prediction *p) { return has_face(p) ? lw_head_level(p->head, LW_CHIN) : 0; }

void fall_height_words(char out[FALL_WORDS_MAX], const prediction *p, double height) {
    if (!isfinite(height))
        snprintf(out, FALL_WORDS_MAX, "none");
    else
        lw_level_words(out, FALL_WORDS_MAX, p->head, height);
}

void fall_weight_words(char out[FALL_WORDS_MAX], const prediction *p, const lw_side_reading *side) {
    fall_height_words(out, p, side->weight);
    if (!isfinite(side->weight)) return;
    size_t n = strlen(out);
    snprintf(out + n, FALL_WORDS_MAX - n, "%s%s", n ? ", " : "", lw_sharpness_name(side->sharpness));
}

void fall_from_zero(char out[FALL_WORDS_MAX], const prediction *p, double height, lw_units units) {
    double up = height - fall_zero(p);
    if (fabs(up) < 5e-4)
        snprintf(out, FALL_WORDS_MAX, "at the %s", fall_zero_name(p));
    else
        snprintf(out, FALL_WORDS_MAX, "%s %s %s the %s", length_text(fabs(up), units).s, unit_name(units),
                 up > 0 ? "above" : "below", fall_zero_name(p));
}

void fall_ends_words(char out[FALL_WORDS_MAX], int i) {
    if (i == 0)
        snprintf(out, FALL_WORDS_MAX, "above the %s", lw_level_name((lw_level)0));
    else if (i == LW_LEVEL_COUNT)
        snprintf(out, FALL_WORDS_MAX, "below the %s", lw_level_name((lw_level)(i - 1)));
    else
        snprintf(out, FALL_WORDS_MAX, "between %s and %s", lw_level_name((lw_level)(i - 1)),
                 lw_level_name((lw_level)i));
}
