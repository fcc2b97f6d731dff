/* The levels of the face by which the trade tells where ends lie: brow, eye, cheekbone, lip, chin, collar.
 *
 * They are the heights at which the bust has them (bust.h), so what is said about a picture of the bust can
 * be seen in it. */
#include <stdio.h>

#include "bust.h"
#include "head.h"

#define MEAN_TOP .1312 /* the mean man of build.c */
#define AT .01         /* metres within which ends lie at a level and not between two */

typedef struct row {
    const char *name;
    double height; /* millimetres of the mean man above the tragions */
} row;

static const row rows[LW_LEVEL_COUNT] = {
    [LW_BROW] = {"brow", BUST_BROW},
    [LW_EYE] = {"eye", BUST_EYE},
    [LW_CHEEKBONE] = {"cheekbone", BUST_CHEEKBONE},
    [LW_LIP] = {"lip", .5 * (BUST_UPPER_LIP + BUST_LOWER_LIP)},
    [LW_CHIN] = {"chin", BUST_CHIN},
    [LW_COLLAR] = {"collar", BUST_COLLAR},
};

const char *lw_level_name(lw_level id) { return (unsigned)id < LW_LEVEL_COUNT ? rows[id].name : ""; }

double lw_head_level(const lw_head *head, lw_level id) {
    if ((unsigned)id >= LW_LEVEL_COUNT || head->given.kind > LW_HEAD_MAN) return (double)NAN;
    const surface *s = &head->surface;
    return rows[id].height * 1e-3 * (s->axes.y + s->centre.y) / MEAN_TOP;
}

void lw_level_words(char *out, size_t size, const lw_head *head, double height) {
    int nearest = 0, below = 0; /* below: how many levels lie above the height */
    for (int i = 0; i < LW_LEVEL_COUNT; i++) {
        double level = lw_head_level(head, (lw_level)i);
        if (fabs(height - level) < fabs(height - lw_head_level(head, (lw_level)nearest))) nearest = i;
        below += height < level;
    }
    double miss = fabs(height - lw_head_level(head, (lw_level)nearest));
    if (isnan(miss))
        snprintf(out, size, "%s", "");
    else if (miss <= AT)
        snprintf(out, size, "at the %s", rows[nearest].name);
    else if (below == 0)
        snprintf(out, size, "above the %s", rows[0].name);
    else if (below == LW_LEVEL_COUNT)
        snprintf(out, size, "below the %s", rows[LW_LEVEL_COUNT - 1].name);
    else
        snprintf(out, size, "between %s and %s", rows[below - 1].name, rows[below].name);
}

const char *lw_over_name(lw_over over) {
    static const char *const names[] = {"", "scalp", "face", "ear", "neck", "shoulder"};
    return (unsigned)over < sizeof names / sizeof *names ? names[over] : "";
}

/* One length has all ends at the line, hair held at 45 degrees about half, and ends that merely grow denser
 * fewer. The words are ours. */
const char *lw_sharpness_name(double sharpness) {
    return sharpness >= .6 ? "sharp" : sharpness >= .3 ? "soft" : "faint";
}
