/* lengthwise compare: two plans' readings side by side, and where on the head they differ most. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "complain.h"
#include "fall_words.h"
#include "falling.h"
#include "names.h"
#include "prediction.h"
#include "text.h"

enum { NO_FALL, HAIRS_COUNT, SEED, THREADS };
enum { MOST = 6 };                 /* places listed where the two differ */
static const double NOTED = 0.005; /* metres of difference that an eye sees */

static const option options[] = {
    [NO_FALL] = OPTION_NO_FALL,
    [HAIRS_COUNT] = OPTION_HAIRS_COUNT,
    [SEED] = OPTION_SEED,
    [THREADS] = OPTION_THREADS,
    {0},
};

typedef struct pair {
    prediction a, b;
    lw_units units;
} pair;

/* The same measures give the same roots, hair by hair. */
static bool same_head(const lw_head_options *a, const lw_head_options *b) {
    bool same = a->kind == b->kind && a->hairline == b->hairline;
    for (int i = 0; i < LW_MEASURE_INPUTS; i++) same = same && a->measure[i] == b->measure[i];
    for (int k = 0; k < 3; k++) same = same && a->axes[k] == b->axes[k];
    return same;
}

static void heads(table *t, const char *const *names, int count) {
    for (int i = 0; i < count; i++) table_cell(t, names[i]);
}

static void lengths(table *t, double a, double b, lw_units units) {
    table_cell(t, length_column(a, units).s);
    table_cell(t, length_column(b, units).s);
    table_cell(t, difference_column(b - a, units).s);
}

static bool print_landmarks(const pair *p) {
    static const char *const names[] = {"place", "A", "B", "B less A"};
    char title[64];
    table t = table_begin("lrrr");
    heads(&t, names, 4);
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        table_cell(&t, lw_landmark_name((lw_landmark)i));
        lengths(&t, p->a.reading.landmark[i], p->b.reading.landmark[i], p->units);
    }
    snprintf(title, sizeof title, "Lengths at landmarks (%s)", unit_name(p->units));
    return table_end(&t, title);
}

static int section_named(const prediction *p, const char *name) {
    for (int i = 0; i < p->reading.section_count; i++)
        if (strcmp(lw_cut_section(p->cut, i)->name, name) == 0) return i;
    return -1;
}

static double section_mean(const prediction *p, int i) { return i < 0 ? NAN : p->reading.sections[i].mean; }

static bool print_sections(const pair *p) {
    static const char *const names[] = {"section", "A", "B", "B less A"};
    char title[64];
    table t = table_begin("lrrr");
    heads(&t, names, 4);
    for (int i = 0; i < p->a.reading.section_count; i++) {
        const char *name = lw_cut_section(p->a.cut, i)->name;
        int other = section_named(&p->b, name);
        if (!lw_cut_section(p->a.cut, i)->leaf && other < 0) continue;
        table_cell(&t, name);
        lengths(&t, section_mean(&p->a, i), section_mean(&p->b, other), p->units);
    }
    for (int i = 0; i < p->b.reading.section_count; i++) {
        const lw_section *s = lw_cut_section(p->b.cut, i);
        if (!s->leaf || section_named(&p->a, s->name) >= 0) continue;
        table_cell(&t, s->name);
        lengths(&t, NAN, section_mean(&p->b, i), p->units);
    }
    snprintf(title, sizeof title, "Mean length by section (%s)", unit_name(p->units));
    return table_end(&t, title);
}

static const lw_band *band_named(const lw_reading *r, const char *name) {
    for (int i = 0; i < r->band_count; i++)
        if (strcmp(r->bands[i].name, name) == 0) return &r->bands[i];
    return NULL;
}

static bool print_bands(const pair *p) {
    static const char *const names[] = {"level band", "shape A", "shape B", "gain A", "gain B", "B less A"};
    char title[80];
    table t = table_begin("lllrrr");
    heads(&t, names, 6);
    for (int i = 0; i < p->a.reading.band_count; i++) {
        const lw_band *a = &p->a.reading.bands[i], *b = band_named(&p->b.reading, a->name);
        table_cell(&t, a->name);
        table_cell(&t, lw_shape_name(a->shape));
        table_cell(&t, b ? lw_shape_name(b->shape) : "");
        lengths(&t, a->gain, b ? b->gain : NAN, p->units);
    }
    snprintf(title, sizeof title, "Plan shape by level band, with the gain from centre to corner (%s)",
             unit_name(p->units));
    return table_end(&t, title);
}

static const lw_strip *strip_named(const lw_reading *r, const char *name) {
    for (int i = 0; i < r->strip_count; i++)
        if (strcmp(r->strips[i].name, name) == 0) return &r->strips[i];
    return NULL;
}

static bool print_strips(const pair *p) {
    static const char *const names[] = {"upright band", "profile A", "profile B",
                                        "gain A",       "gain B",    "B less A"};
    table t = table_begin("lllrrr");
    heads(&t, names, 6);
    for (int i = 0; i < p->a.reading.strip_count; i++) {
        const lw_strip *a = &p->a.reading.strips[i], *b = strip_named(&p->b.reading, a->name);
        table_cell(&t, a->name);
        table_cell(&t, lw_profile_name(a->profile));
        table_cell(&t, b ? lw_profile_name(b->profile) : "");
        table_cell(&t, slope_text(a->slope).s);
        table_cell(&t, slope_text(b ? b->slope : NAN).s);
        table_cell(&t, slope_text(b ? b->slope - a->slope : NAN).s);
    }
    return table_end(&t, "Profile by upright band, with the gain per length climbed");
}

static void length_row(table *t, const char *name, double a, double b, lw_units units) {
    table_cellf(t, "%s (%s)", name, unit_name(units));
    lengths(t, a, b, units);
}

static void number_row(table *t, const char *name, const char *format, double a, double b) {
    char s[FIGURE_MAX];
    table_cell(t, name);
    const double values[] = {a, b};
    for (int i = 0; i < 2; i++) {
        snprintf(s, sizeof s, format[0] == '1' ? "%.1f" : "%.0f", values[i]);
        table_cell(t, s);
    }
    snprintf(s, sizeof s, format[0] == '1' ? "%+.1f" : "%+.0f", b - a);
    table_cell(t, s);
}

static bool print_rest(const pair *p) {
    static const char *const names[] = {"reading", "A", "B", "B less A"};
    const lw_reading *a = &p->a.reading, *b = &p->b.reading;
    table t = table_begin("lrrr");
    heads(&t, names, 4);
    length_row(&t, "mean length", a->all.mean, b->all.mean, p->units);
    length_row(&t, "left less right, on average", a->balance_all, b->balance_all, p->units);
    length_row(&t, "left less right, largest", a->balance_worst, b->balance_worst, p->units);
    length_row(&t, "cross-check inside sections", a->cross_check, b->cross_check, p->units);
    length_row(&t, "cross-check between sections", a->cross_check_between, b->cross_check_between, p->units);
    number_row(&t, "hairs shortened", "0", a->removed_hairs, b->removed_hairs);
    number_row(&t, "hair removed (g)", "1", 1000 * a->removed_mass, 1000 * b->removed_mass);
    number_row(&t, "panels", "0", a->panels, b->panels);
    number_row(&t, "cuts of the scissors", "0", a->cuts, b->cuts);
    number_row(&t, "minutes", "0", a->minutes, b->minutes);
    number_row(&t, "warnings", "0", lw_cut_warning_count(p->a.cut), lw_cut_warning_count(p->b.cut));
    return table_end(&t, "Readings");
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
    const char *near = near_name(p->a.head, lw_scalp_root(p->a.scalp, hair));
    printf("  B is %s by up to %s %s, near the %s\n", what, length_text(fabs(difference), p->units).s,
           unit_name(p->units), near);
}

static bool print_around(around *places, lw_units units) {
    static const char *const names[] = {"around", "B less A", "largest"};
    table t = table_begin("lrr");
    heads(&t, names, 3);
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
static bool print_hairs(const pair *p) {
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
static bool print_places(const pair *p) {
    around places[LW_LANDMARK_COUNT] = {0};
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        double d = p->b.reading.landmark[i] - p->a.reading.landmark[i];
        places[i] = (around){.landmark = i, .hairs = isfinite(d), .sum = isfinite(d) ? d : 0, .largest = d};
    }
    puts("\nThe heads differ, so lengths are compared at landmarks, not hair by hair.");
    return print_around(places, p->units);
}

/* ---- how they fall ---- */

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
    table_cellf(t, "perimeter, %s", side_names[side]);
    fall_height_words(words, &p->a, a);
    table_cell(t, words);
    fall_height_words(words, &p->b, b);
    table_cell(t, words);
    heights(t, p, a, b);
}

static void weight_row(table *t, const pair *p, int side) {
    char words[FALL_WORDS_MAX];
    const lw_side_reading *a = &p->a.fallen.side[side], *b = &p->b.fallen.side[side];
    table_cellf(t, "weight line, %s", side_names[side]);
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
    heads(&t, names, 6);
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
    heads(&t, names, 4);
    table_cell(&t, "fullest width"), lengths(&t, a->width, b->width, p->units);
    table_cell(&t, "its height"), heights(&t, p, a->width_height, b->width_height);
    table_cell(&t, "fullest from front to back"), lengths(&t, a->depth, b->depth, p->units);
    table_cell(&t, "its height"), heights(&t, p, a->depth_height, b->depth_height);
    table_cell(&t, "thickness of the hair on the scalp"), lengths(&t, a->thickness, b->thickness, p->units);
    snprintf(title, sizeof title, "Shape as they lie (%s)", unit_name(p->units));
    return table_end(&t, title);
}

static bool print_ends(const pair *p) {
    static const char *const names[] = {"ends lie", "A", "B", "B less A"};
    table t = table_begin("lrrr");
    heads(&t, names, 4);
    for (int i = 0; i <= LW_LEVEL_COUNT; i++) {
        char words[FALL_WORDS_MAX];
        double a = 100 * p->a.fallen.ends[i], b = 100 * p->b.fallen.ends[i];
        if (fmax(a, b) < .5) continue;
        fall_ends_words(words, i);
        number_row(&t, words, "0", a, b);
    }
    if (fmax(p->a.fallen.standing, p->b.fallen.standing) >= .005)
        number_row(&t, "standing up", "0", 100 * p->a.fallen.standing, 100 * p->b.fallen.standing);
    return table_end(&t, "Where ends lie (% of the hairs)");
}

static bool print_fall(const pair *p) {
    if (!fall_is_read(&p->a) || !fall_is_read(&p->b)) return true;
    bool fine = print_edges(p);
    fine = print_breadths(p) && fine;
    fine = print_ends(p) && fine;
    int left[2] = {lw_fall_tell(p->a.fall).not_at_rest, lw_fall_tell(p->b.fall).not_at_rest};
    if (left[0] || left[1])
        printf("  %d hairs of A and %d of B were not at rest, and taken as they lay\n", left[0], left[1]);
    return fine;
}

static int print(const pair *p) {
    printf("A  %s (%s)\nB  %s (%s)\n", p->a.plan.title, p->a.name, p->b.plan.title, p->b.name);
    bool same = same_head(&p->a.plan.head, &p->b.plan.head);
    bool fine = same ? print_hairs(p) : print_places(p);
    fine = print_landmarks(p) && fine;
    fine = print_sections(p) && fine;
    fine = print_bands(p) && fine;
    fine = print_strips(p) && fine;
    fine = print_fall(p) && fine;
    fine = print_rest(p) && fine;
    return fine ? EXIT_FINE : complain_memory();
}

static int make(prediction *p, const char *path, manner how, bool falls) {
    int code = prediction_read(p, path);
    if (!code) code = prediction_run(p, how);
    return !code && falls ? prediction_read_fall(p, how, HAIRS_READ) : code;
}

static int run(const arguments *args) {
    manner how = manner_of(&args->value[HAIRS_COUNT], &args->value[SEED], &args->value[THREADS]);
    bool falls = !args->value[NO_FALL].given;
    if (strcmp(args->operand[0], "-") == 0 && strcmp(args->operand[1], "-") == 0)
        return complain(EXIT_USAGE, "Give at least one of them as a file.",
                        "standard input can be read only once");
    pair p;
    int code = make(&p.a, args->operand[0], how, falls);
    if (code) return code;
    code = make(&p.b, args->operand[1], how, falls);
    if (!code) {
        p.units = p.a.plan.units;
        code = print(&p);
        prediction_clear(&p.b);
    }
    prediction_clear(&p.a);
    return code;
}

extern const command command_compare;
const command command_compare = {
    .name = "compare",
    .summary = "Shows the readings of two plans side by side, and where on the head they differ most.",
    .operands = "A B",
    .operands_least = 2,
    .operands_most = 2,
    .operands_are_plans = true,
    .about =
        (const char *const[]){"A and B are plan files; one of them may be - for standard input. Everything "
                              "is in the unit of A.",
                              "Plans for the same head are compared hair by hair, others at the landmarks.",
                              NULL},
    .options = options,
    .examples =
        (const char *const[]){"lengthwise compare today.json next.json", "Shows what would change.", NULL},
    .run = run,
};
