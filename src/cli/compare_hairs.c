/* Where on the head two cuts differ: hair by hair on one head, at landmarks on two. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "compare.h"
#include "names.h"

enum { MOST = 6 };                 /* places listed where the two differ */
static const double NOTED = 0.005; /* metres of difference that an eye sees */

/* The same measures give the same roots, hair by hair. */
static bool same_head(const lw_head_options *a, const lw_head_options *b) {
    bool same = a->kind == b->kind && a->hairline == b->hairline;
    for (int i = 0; i < LW_MEASURE_INPUTS; i++) same = same && a->measure[i] == b->measure[i];
    for (int k = 0; k < 3; k++) same = same && a->axes[k] == b->axes[k];
    return same;
}

typedef struct around { /* the hairs nearest to one landmark */
    int landmark, hairs;
    double sum, largest; /* of B less A, metres; largest by size */
} around;

static double mean_size(const around *x) { return x->hairs ? fabs(x->sum) / x->hairs : 0; }

static int by_difference(const void *a, const void *b) {
    const around *x = a, *y = b;
    double d = mean_size(y) - mean_size(x);
    return d > 0 ? 1 : d < 0 ? -1 : x->landmark - y->landmark;
}

static void print_extreme(const pair *p, const char *what, int hair, double difference) {
    if (hair < 0) return;
    const char *near = tell_near(p->a.head, lw_scalp_root(p->a.scalp, hair));
    printf("  B is %s by up to %s %s, near the %s\n", what, length_text(fabs(difference), p->units).s,
           unit_name(p->units), near);
}

static bool print_around(around *places, lw_units units) {
    static const char *const names[] = {"around", "B less A", "largest"};
    table t = table_begin("lrr");
    compare_heads(&t, names, 3);
    qsort(places, LW_LANDMARK_COUNT, sizeof *places, by_difference);
    for (int i = 0; i < MOST && mean_size(&places[i]) >= 5e-4; i++) {
        table_cell(&t, lw_landmark_name((lw_landmark)places[i].landmark));
        table_cell(&t, difference_column(places[i].sum / places[i].hairs, units).s);
        table_cell(&t, difference_column(places[i].largest, units).s);
    }
    char title[80];
    snprintf(title, sizeof title, "Where they differ most on average (%s)", unit_name(units));
    return table_end(&t, title);
}

/* Hair by hair: the roots of both are the same. */
static bool print_one_head(const pair *p) {
    around places[LW_LANDMARK_COUNT] = {0};
    const double *a = lw_cut_lengths(p->a.cut), *b = lw_cut_lengths(p->b.cut);
    int count = lw_scalp_count(p->a.scalp), longer = -1, shorter = -1;
    double noted = 0, all = 0, most = 5e-4, least = -5e-4;
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) places[i].landmark = i;
    for (int i = 0; i < count; i++) {
        double d = b[i] - a[i], weight = lw_scalp_weight(p->a.scalp, i);
        around *x = &places[lw_head_nearest_landmark(p->a.head, lw_scalp_root(p->a.scalp, i))];
        x->hairs++;
        x->sum += d;
        if (fabs(d) > fabs(x->largest)) x->largest = d;
        if (d > most) most = d, longer = i;
        if (d < least) least = d, shorter = i;
        all += weight;
        if (fabs(d) > NOTED) noted += weight;
    }
    printf("\nHair by hair, on one head\n  %.0f %% of the hairs differ by more than %s %s\n",
           100 * noted / all, length_text(NOTED, p->units).s, unit_name(p->units));
    print_extreme(p, "longer", longer, most);
    print_extreme(p, "shorter", shorter, least);
    if (longer < 0 && shorter < 0) puts("  The two leave the same lengths everywhere.");
    return print_around(places, p->units);
}

/* Heads that differ have no hairs in common, so landmarks stand for them. */
static bool print_two_heads(const pair *p) {
    around places[LW_LANDMARK_COUNT] = {0};
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        double d = p->b.reading.landmark[i] - p->a.reading.landmark[i];
        places[i] = (around){.landmark = i, .hairs = isfinite(d), .sum = isfinite(d) ? d : 0, .largest = d};
    }
    puts("\nThe heads differ, so lengths are compared at landmarks, not hair by hair.");
    return print_around(places, p->units);
}

bool compare_print_hairs(const pair *p) {
    return same_head(&p->a.plan.head, &p->b.plan.head) ? print_one_head(p) : print_two_heads(p);
}
