/* How two cuts fall, side by side. */
#include <math.h>
#include <stdio.h>

#include "compare.h"
#include "fall_words.h"
#include "falling.h"
#include "names.h"

/* Each from its own chin: the heads may differ. */
static void heights(table *t, const pair *p, double a, double b) {
    a -= fall_zero(&p->a), b -= fall_zero(&p->b);
    table_cell(t, difference_column(a, p->units).s);
    table_cell(t, difference_column(b, p->units).s);
    table_cell(t, difference_column(b - a, p->units).s);
}

static void perimeter_row(table *t, const pair *p, int side) {
    char words[FALL_WORDS_MAX];
    double a = p->a.fallen.side[side].perimeter, b = p->b.fallen.side[side].perimeter;
    table_cellf(t, "perimeter, %s", tell_sides[side]);
    fall_height_words(words, &p->a, a);
    table_cell(t, words);
    fall_height_words(words, &p->b, b);
    table_cell(t, words);
    heights(t, p, a, b);
}

static void weight_row(table *t, const pair *p, int side) {
    char words[FALL_WORDS_MAX];
    const lw_side_reading *a = &p->a.fallen.side[side], *b = &p->b.fallen.side[side];
    table_cellf(t, "weight line, %s", tell_sides[side]);
    fall_weight_words(words, &p->a, a);
    table_cell(t, words);
    fall_weight_words(words, &p->b, b);
    table_cell(t, words);
    heights(t, p, a->weight, b->weight);
}

static bool print_edges(const pair *p) {
    static const char *const names[] = {"reading", "in A", "in B", "height A", "height B", "B less A"};
    char title[80];
    table t = table_begin("lllrrr");
    compare_heads(&t, names, 6);
    for (int i = 0; i < LW_SIDE_COUNT; i++) perimeter_row(&t, p, i);
    for (int i = 0; i < LW_SIDE_COUNT; i++) weight_row(&t, p, i);
    snprintf(title, sizeof title, "How they fall (%s; heights are from the %s, + above)", unit_name(p->units),
             fall_zero_name(&p->a));
    return table_end(&t, title);
}

static bool print_breadths(const pair *p) {
    static const char *const names[] = {"shape", "A", "B", "B less A"};
    const lw_fallen *a = &p->a.fallen, *b = &p->b.fallen;
    char title[40];
    table t = table_begin("lrrr");
    compare_heads(&t, names, 4);
    table_cell(&t, "fullest width"), compare_lengths(&t, a->width, b->width, p->units);
    table_cell(&t, "its height"), heights(&t, p, a->width_height, b->width_height);
    table_cell(&t, "fullest from front to back"), compare_lengths(&t, a->depth, b->depth, p->units);
    table_cell(&t, "its height"), heights(&t, p, a->depth_height, b->depth_height);
    table_cell(&t, "thickness of the hair on the scalp"),
        compare_lengths(&t, a->thickness, b->thickness, p->units);
    snprintf(title, sizeof title, "Shape as they lie (%s)", unit_name(p->units));
    return table_end(&t, title);
}

static bool print_ends(const pair *p) {
    static const char *const names[] = {"ends lie", "A", "B", "B less A"};
    table t = table_begin("lrrr");
    compare_heads(&t, names, 4);
    for (int i = 0; i <= LW_LEVEL_COUNT; i++) {
        char words[FALL_WORDS_MAX];
        double a = 100 * p->a.fallen.ends[i], b = 100 * p->b.fallen.ends[i];
        if (fmax(a, b) < .5) continue;
        fall_ends_words(words, i);
        compare_number(&t, words, "0", a, b);
    }
    if (fmax(p->a.fallen.standing, p->b.fallen.standing) >= .005)
        compare_number(&t, "standing up", "0", 100 * p->a.fallen.standing, 100 * p->b.fallen.standing);
    return table_end(&t, "Where ends lie (% of the hairs)");
}

bool compare_print_fall(const pair *p) {
    if (!fall_is_read(&p->a) || !fall_is_read(&p->b)) return true;
    bool fine = print_edges(p);
    fine = print_breadths(p) && fine;
    fine = print_ends(p) && fine;
    int left[2] = {lw_fall_tell(p->a.fall).not_at_rest, lw_fall_tell(p->b.fall).not_at_rest};
    if (left[0] || left[1])
        printf("  %d hairs of A and %d of B were not at rest, and taken as they lay\n", left[0], left[1]);
    return fine;
}
