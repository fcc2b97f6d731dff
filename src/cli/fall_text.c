/* How the cut falls, for people: the edge and the weight line side by side round the head, then the shape,
 * then where ends lie. */
#include <math.h>
#include <stdio.h>

#include "fall_words.h"
#include "falling.h"
#include "names.h"
#include "predict.h"

static bool print_sides(const prediction *p) {
    static const char *const heads[] = {"side", "perimeter", "height", "weight line", "height", "piled up"};
    table t = table_begin("llrlrr");
    char title[80], words[FALL_WORDS_MAX];
    lw_units units = p->plan.units;
    double zero = fall_zero(p);
    for (int i = 0; i < 6; i++) table_cell(&t, heads[i]);
    for (int i = 0; i < LW_SIDE_COUNT; i++) {
        const lw_side_reading *s = &p->fallen.side[i];
        table_cell(&t, tell_sides[i]);
        fall_height_words(words, p, s->perimeter);
        table_cell(&t, words);
        table_cell(&t, difference_column(s->perimeter - zero, units).s);
        fall_weight_words(words, p, s);
        table_cell(&t, words);
        table_cell(&t, difference_column(s->weight - zero, units).s);
        if (isfinite(s->weight))
            table_cellf(&t, "%.0f %%", 100 * s->piled);
        else
            table_cell(&t, "-");
    }
    snprintf(title, sizeof title, "How it falls (%s; heights are from the %s, + above)", unit_name(units),
             fall_zero_name(p));
    return table_end(&t, title);
}

static void print_breadth(const prediction *p, const char *what, double breadth, double height) {
    char from[FALL_WORDS_MAX];
    if (!(breadth > 0)) return;
    fall_from_zero(from, p, height, p->plan.units);
    printf("  %-36s%s %s, %s\n", what, length_text(breadth, p->plan.units).s, unit_name(p->plan.units), from);
}

/* Shares below one in a hundred are left out. */
static void print_ends(const prediction *p) {
    const double *ends = p->fallen.ends;
    char words[FALL_WORDS_MAX];
    const char *label = "ends lie";
    for (int i = 0; i <= LW_LEVEL_COUNT; i++) {
        if (ends[i] < .005) continue;
        fall_ends_words(words, i);
        printf("  %-36s%3.0f %% %s\n", label, 100 * ends[i], words);
        label = "";
    }
}

static lw_landmark most_standing(const lw_fallen *f) {
    int most = 0;
    for (int i = 1; i < LW_LANDMARK_COUNT; i++)
        if (f->standing_at[i] > f->standing_at[most]) most = i;
    return (lw_landmark)most;
}

static void print_standing(const prediction *p) {
    const lw_fallen *f = &p->fallen;
    if (f->standing < .005) {
        printf("  %-36snone\n", "short hair that stands up");
        return;
    }
    lw_landmark at = most_standing(f);
    printf("  %-36s%.0f %% of all, most near the %s: %.0f %%\n", "short hair that stands up",
           100 * f->standing, lw_landmark_name(at), 100 * f->standing_at[at]);
}

static void print_rest(const prediction *p) {
    char count[FIGURE_MAX], moving[64] = "all at rest";
    int left = lw_fall_tell(p->fall).not_at_rest;
    snprintf(count, sizeof count, "%s", count_text(lw_fall_strands(p->fall)->count).s);
    if (left) snprintf(moving, sizeof moving, "%s not at rest, taken as they lay", count_text(left).s);
    printf("  %-36s%s of %s computed, %s\n", "read from hairs", count, count_text(lw_scalp_count(p->scalp)).s,
           moving);
}

bool prediction_print_fall(const prediction *p) {
    if (!fall_is_read(p)) return true;
    const lw_fallen *f = &p->fallen;
    bool fine = print_sides(p);
    print_breadth(p, "fullest width", f->width, f->width_height);
    print_breadth(p, "fullest from front to back", f->depth, f->depth_height);
    printf("  %-36s%s %s on average\n", "thickness of the hair on the scalp",
           length_text(f->thickness, p->plan.units).s, unit_name(p->plan.units));
    print_ends(p);
    print_standing(p);
    print_rest(p);
    return fine;
}
