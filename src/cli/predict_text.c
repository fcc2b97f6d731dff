/* A prediction for people: tables in the plan's unit, the faults of the plan last. */
#include <math.h>
#include <stdio.h>

#include "complain.h"
#include "draw.h"
#include "names.h"
#include "predict.h"
#include "text.h"

/* The first six landmarks are the midline's; the others come in pairs (lengthwise.h). */
enum { MIDLINE = LW_RECESSION_LEFT };

static void print_heading(const prediction *p) {
    const lw_plan *plan = &p->plan;
    puts(plan->title[0] ? plan->title : p->name);
    if (plan->person[0]) printf("for %s\n", plan->person);
    if (plan->note[0]) putchar('\n'), wrapped(plan->note, 0, 0);
    lw_units units = plan->units;
    printf("\nHead  %s, scalp %s %s, %s hairs\n", tell_head_kind(plan->head.kind),
           area_text(lw_head_scalp_area(p->head), units).s, unit_square_name(units),
           count_text(p->reading.all.hairs).s);
    printf("Hair  %s%s %s before the cut, ", plan->hair.length_at_count ? "mostly " : "",
           length_text(plan->hair.length, units).s, unit_name(units));
    printf("%s %s after it on average\n", length_text(p->reading.all.mean, units).s, unit_name(units));
    if (plan->hair.coil_diameter > 0)
        printf("      curled: where it lies it measures %.0f %% of the lengths below, which are of hair "
               "drawn straight\n",
               100 * lw_hair_lies(&plan->hair, 1));
}

/* "ear top left" without the side. */
static const char *pair_name(lw_landmark left, char *room, size_t size) {
    const char *name = lw_landmark_name(left), *mirror = lw_landmark_name(lw_landmark_mirror(left));
    size_t same = 0;
    while (name[same] && name[same] == mirror[same]) same++;
    while (same > 0 && name[same - 1] == ' ') same--;
    snprintf(room, size, "%.*s", (int)same, name);
    return room;
}

static bool print_landmarks(const prediction *p) {
    table t = table_begin("lrrr");
    char title[64], name[LW_NAME_MAX];
    lw_units units = p->plan.units;
    table_cell(&t, "place"), table_cell(&t, "left"), table_cell(&t, "middle"), table_cell(&t, "right");
    for (int i = 0; i < LW_LANDMARK_COUNT; i += i < MIDLINE ? 1 : 2) {
        const double *length = &p->reading.landmark[i];
        bool middle = i < MIDLINE;
        table_cell(&t,
                   middle ? lw_landmark_name((lw_landmark)i) : pair_name((lw_landmark)i, name, sizeof name));
        table_cell(&t, middle ? "" : length_column(length[0], units).s);
        table_cell(&t, middle ? length_column(length[0], units).s : "");
        table_cell(&t, middle ? "" : length_column(length[1], units).s);
    }
    snprintf(title, sizeof title, "Lengths at landmarks (%s)", unit_name(units));
    return table_end(&t, title);
}

static bool print_sections(const prediction *p) {
    static const char *const heads[] = {"section", NULL,      "hairs",      "shortest",
                                        "mean",    "longest", "left-right", ""};
    table t = table_begin("lrrrrrrl");
    char title[128];
    lw_units units = p->plan.units;
    for (int i = 0; i < 8; i++) table_cell(&t, heads[i] ? heads[i] : unit_square_name(units));
    for (int i = 0; i < p->reading.section_count; i++) {
        const lw_section *s = lw_cut_section(p->cut, i);
        const lw_spread *spread = &p->reading.sections[i];
        if (!s->leaf) continue;
        table_cell(&t, s->name);
        table_cell(&t, area_text(s->area, units).s);
        table_cell(&t, count_text(s->hairs).s);
        table_cell(&t, length_column(spread->low, units).s);
        table_cell(&t, length_column(spread->mean, units).s);
        table_cell(&t, length_column(spread->high, units).s);
        table_cell(&t, difference_column(p->reading.balance[i], units).s);
        table_cell(&t, s->touched ? "" : "not cut");
    }
    snprintf(title, sizeof title,
             "Sections (%s; shortest and longest leave out 5 %% of the hairs at each end)", unit_name(units));
    return table_end(&t, title);
}

static const char *or_none(const char *name) { return name[0] ? name : "-"; }

static bool print_bands(const prediction *p) {
    static const char *const heads[] = {"level band", "plan shape", "from", "centre", "to", "gain"};
    table t = table_begin("llrrrr");
    char title[80];
    lw_units units = p->plan.units;
    for (int i = 0; i < 6; i++) table_cell(&t, heads[i]);
    for (int i = 0; i < p->reading.band_count; i++) {
        const lw_band *b = &p->reading.bands[i];
        table_cell(&t, b->name);
        table_cell(&t, or_none(lw_shape_name(b->shape)));
        table_cell(&t, length_column(b->from, units).s);
        table_cell(&t, length_column(b->centre, units).s);
        table_cell(&t, length_column(b->to, units).s);
        table_cell(&t, difference_column(b->gain, units).s);
    }
    snprintf(title, sizeof title, "Plan shape by level band, with the gain from centre to corner (%s)",
             unit_name(units));
    return table_end(&t, title);
}

static bool print_strips(const prediction *p) {
    static const char *const heads[] = {"upright band", "profile", "bottom", "top",
                                        "gain per length climbed"};
    table t = table_begin("llrrr");
    char title[64];
    lw_units units = p->plan.units;
    for (int i = 0; i < 5; i++) table_cell(&t, heads[i]);
    for (int i = 0; i < p->reading.strip_count; i++) {
        const lw_strip *s = &p->reading.strips[i];
        table_cell(&t, s->name);
        table_cell(&t, or_none(lw_profile_name(s->profile)));
        table_cell(&t, length_column(s->bottom, units).s);
        table_cell(&t, length_column(s->top, units).s);
        table_cell(&t, slope_text(s->slope).s);
    }
    snprintf(title, sizeof title, "Profile by upright band (%s)", unit_name(units));
    return table_end(&t, title);
}

static void print_step(const prediction *p, const char *what, double step, lw_vec3 at) {
    printf("  %-36s%s %s", what, length_text(step, p->plan.units).s, unit_name(p->plan.units));
    if (step >= 5e-4) printf(", near the %s", tell_near(p->head, at));
    putchar('\n');
}

static const char *plural(int n) { return n == 1 ? "" : "s"; }

static int steps_cut(const lw_plan *plan) {
    int n = 0;
    for (int i = 0; i < plan->step_count; i++) n += lw_step_is_cut(plan, i);
    return n;
}

static void print_rest(const prediction *p) {
    int steps = steps_cut(&p->plan);
    const lw_reading *r = &p->reading;
    puts("\nBalance of left and right");
    printf("  %-36s%s %s\n", "difference on average", length_text(r->balance_all, p->plan.units).s,
           unit_name(p->plan.units));
    print_step(p, "largest difference", r->balance_worst, r->balance_worst_at);
    puts("\nCross-check");
    print_step(p, "largest step inside a section", r->cross_check, r->cross_check_at);
    print_step(p, "largest step between sections", r->cross_check_between, r->cross_check_between_at);
    puts("\nWork");
    printf("  %-36s%s hairs, %.1f g\n", "hair removed", count_text(r->removed_hairs).s,
           1000 * r->removed_mass);
    printf("  %-36s%d step%s, %d panel%s, %d cut%s of the scissors, about %.0f minutes\n", "to do", steps,
           plural(steps), r->panels, plural(r->panels), r->cuts, plural(r->cuts), ceil(r->minutes));
}

static void print_warning(const prediction *p, const lw_warning *w, int number) {
    printf("  %2d  %s", number, lw_warning_name(w->code));
    if (w->step > 0 && w->step <= p->plan.step_count)
        printf(", step %d \"%s\"", w->step, p->plan.steps[w->step - 1].name);
    if (w->panel > 0) printf(", panel %d", w->panel);
    if (w->section[0]) printf(", section \"%s\"", w->section);
    printf("\n      %s\n      remedy: %s\n", w->message, w->remedy);
}

static void print_warnings(const prediction *p) {
    int n = lw_cut_warning_count(p->cut);
    if (n == 0) {
        puts("\nNo warnings: the plan can be cut as it stands.");
        return;
    }
    printf(
        "\nWhat the plan cannot do (%d warning%s; \"lengthwise explain\" with the first words says more)\n",
        n, plural(n));
    for (int i = 0; i < n; i++) print_warning(p, lw_cut_warning(p->cut, i), i + 1);
}

static void print_cautions(const prediction *p) {
    const char *caution;
    puts("\nTake care");
    for (int i = 0; (caution = tell_caution(&p->plan, i)); i++) {
        fputs("  ", stdout);
        wrapped(caution, 2, 2);
    }
}

int prediction_print(const prediction *p) {
    print_heading(p);
    bool fine = print_landmarks(p);
    fine = print_sections(p) && fine;
    fine = print_bands(p) && fine;
    fine = print_strips(p) && fine;
    fine = prediction_print_fall(p) && fine;
    print_rest(p);
    print_warnings(p);
    print_cautions(p);
    return fine ? EXIT_FINE : complain_memory();
}
