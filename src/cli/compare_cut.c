/* Two cuts' lengths, shapes and work, side by side. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "compare.h"

void compare_heads(table *t, const char *const *names, int count) {
    for (int i = 0; i < count; i++) table_cell(t, names[i]);
}

void compare_lengths(table *t, double a, double b, lw_units units) {
    table_cell(t, length_column(a, units).s);
    table_cell(t, length_column(b, units).s);
    table_cell(t, difference_column(b - a, units).s);
}

void compare_number(table *t, const char *name, const char *format, double a, double b) {
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

static bool print_landmarks(const pair *p) {
    static const char *const names[] = {"place", "A", "B", "B less A"};
    char title[64];
    table t = table_begin("lrrr");
    compare_heads(&t, names, 4);
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        table_cell(&t, lw_landmark_name((lw_landmark)i));
        compare_lengths(&t, p->a.reading.landmark[i], p->b.reading.landmark[i], p->units);
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
    compare_heads(&t, names, 4);
    for (int i = 0; i < p->a.reading.section_count; i++) {
        const char *name = lw_cut_section(p->a.cut, i)->name;
        int other = section_named(&p->b, name);
        if (!lw_cut_section(p->a.cut, i)->leaf && other < 0) continue;
        table_cell(&t, name);
        compare_lengths(&t, section_mean(&p->a, i), section_mean(&p->b, other), p->units);
    }
    for (int i = 0; i < p->b.reading.section_count; i++) {
        const lw_section *s = lw_cut_section(p->b.cut, i);
        if (!s->leaf || section_named(&p->a, s->name) >= 0) continue;
        table_cell(&t, s->name);
        compare_lengths(&t, NAN, section_mean(&p->b, i), p->units);
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
    compare_heads(&t, names, 6);
    for (int i = 0; i < p->a.reading.band_count; i++) {
        const lw_band *a = &p->a.reading.bands[i], *b = band_named(&p->b.reading, a->name);
        table_cell(&t, a->name);
        table_cell(&t, lw_shape_name(a->shape));
        table_cell(&t, b ? lw_shape_name(b->shape) : "");
        compare_lengths(&t, a->gain, b ? b->gain : NAN, p->units);
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
    compare_heads(&t, names, 6);
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

bool compare_print_cut(const pair *p) {
    bool fine = print_landmarks(p);
    fine = print_sections(p) && fine;
    fine = print_bands(p) && fine;
    return print_strips(p) && fine;
}

static void length_row(table *t, const char *name, double a, double b, lw_units units) {
    table_cellf(t, "%s (%s)", name, unit_name(units));
    compare_lengths(t, a, b, units);
}

bool compare_print_work(const pair *p) {
    static const char *const names[] = {"reading", "A", "B", "B less A"};
    const lw_reading *a = &p->a.reading, *b = &p->b.reading;
    table t = table_begin("lrrr");
    compare_heads(&t, names, 4);
    length_row(&t, "mean length", a->all.mean, b->all.mean, p->units);
    length_row(&t, "left less right, on average", a->balance_all, b->balance_all, p->units);
    length_row(&t, "left less right, largest", a->balance_worst, b->balance_worst, p->units);
    length_row(&t, "cross-check inside sections", a->cross_check, b->cross_check, p->units);
    length_row(&t, "cross-check between sections", a->cross_check_between, b->cross_check_between, p->units);
    compare_number(&t, "hairs shortened", "0", a->removed_hairs, b->removed_hairs);
    compare_number(&t, "hair removed (g)", "1", 1000 * a->removed_mass, 1000 * b->removed_mass);
    compare_number(&t, "panels", "0", a->panels, b->panels);
    compare_number(&t, "cuts of the scissors", "0", a->cuts, b->cuts);
    compare_number(&t, "minutes", "0", a->minutes, b->minutes);
    compare_number(&t, "warnings", "0", lw_cut_warning_count(p->a.cut), lw_cut_warning_count(p->b.cut));
    return table_end(&t, "Readings");
}
