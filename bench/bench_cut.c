/* How long a cut takes, stage by stage: head, roots, lengths, readings; against the plain reference; and how
 * it grows with hairs and with panels. Prints CSV:
 * stage,hairs,panels,threads,runs,min_s,median_s,ratio,bytes_per_hair (of the
 * row "memory" only: what a process of its own takes at its most, less what it takes for one hair). ratio is
 * median over the row it is compared with, measured in the same run.
 *
 * The scene is invented: eight steps, each half of the head in four sections, straight and following lines,
 * plumb and scalp holds, so that some hair is held clear of the head and some bends round it.
 *
 * usage: bench_cut [runs]
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "lengthwise.h"
#include "peak.h"
#include "timing.h"

#define DEGREES (3.14159265358979323846 / 180)
#define RUNS_MAX 101

static void must(lw_status status, const lw_error *error) {
    if (status == LW_OK) return;
    fprintf(stderr, "%s: %s\n", error->place, error->message);
    exit(1);
}

/* Prints one row; returns the median. */
static double row(const char *stage, int hairs, int panels, int threads, double *seconds, int runs,
                  double against) {
    qsort(seconds, (size_t)runs, sizeof *seconds, ascending);
    double median = seconds[runs / 2];
    printf("%s,%d,%d,%d,%d,%.6f,%.6f,%.3f,\n", stage, hairs, panels, threads, runs, seconds[0], median,
           against > 0 ? median / against : 1);
    fflush(stdout);
    return median;
}

static lw_place at(int landmark) { return (lw_place){landmark, -1, 0}; }

static lw_split split(const char *part, lw_parting_kind kind, int landmark, const char *first,
                      const char *second) {
    lw_split s = {.parting = {.kind = kind, .count = landmark >= 0, .toward = {-1, -1, 0}}};
    if (landmark >= 0) s.parting.places[0] = at(landmark);
    snprintf(s.part, sizeof s.part, "%s", part);
    snprintf(s.first, sizeof s.first, "%s", first);
    snprintf(s.second, sizeof s.second, "%s", second);
    return s;
}

/* Eight steps; thickness scales the number of panels. */
static lw_plan scene(double thickness) {
    lw_plan plan = lw_plan_default();
    plan.split_count = 7;
    plan.splits = calloc(7, sizeof *plan.splits);
    plan.step_count = 8;
    plan.steps = calloc(8, sizeof *plan.steps);
    if (!plan.splits || !plan.steps) exit(1);
    plan.splits[0] = split("all", LW_PARTING_CENTRE, -1, "left", "right");
    plan.splits[1] = split("left", LW_PARTING_RIDGE, -1, "left top", "left round");
    plan.splits[2] = split("right", LW_PARTING_RIDGE, -1, "right top", "right round");
    plan.splits[3] = split("left round", LW_PARTING_UPRIGHT, LW_EAR_TOP_LEFT, "left side", "left back");
    plan.splits[4] = split("right round", LW_PARTING_UPRIGHT, LW_EAR_TOP_RIGHT, "right side", "right back");
    plan.splits[5] = split("left back", LW_PARTING_LEVEL, LW_OCCIPITAL_BONE, "left upper back", "left nape");
    plan.splits[6] =
        split("right back", LW_PARTING_LEVEL, LW_OCCIPITAL_BONE, "right upper back", "right nape");
    static const char *const parts[] = {"nape", "upper back", "side", "top"};
    for (int i = 0; i < 8; i++) {
        lw_step *s = &plan.steps[i];
        *s = lw_step_default();
        snprintf(s->name, sizeof s->name, "step %d", i + 1);
        snprintf(s->section, sizeof s->section, "%s %s", i % 2 ? "right" : "left", parts[i / 2]);
        s->panels.thickness = thickness;
        s->panels.family = i / 2 == 2 ? LW_FAMILY_UPRIGHT : i / 2 == 3 ? LW_FAMILY_ACROSS : LW_FAMILY_LEVEL;
        s->hold.carry = i / 2 == 3 ? 1 : 0.5;
        s->hold.elevation = (i / 2 == 0 ? 30 : i / 2 == 1 ? 60 : 90) * DEGREES;
        s->line.kind = i / 2 == 1 ? LW_LINE_FOLLOW : LW_LINE_STRAIGHT;
        s->guide.length = 0.05 + 0.01 * (i - i % 2);
    }
    return plan;
}

static int panels_of(const lw_head *head, const lw_scalp *scalp, const lw_plan *plan) {
    lw_cut *cut;
    lw_error error;
    must(lw_cut_new(&cut, head, scalp, plan, NULL, &error), &error);
    int n = lw_cut_panel_count(cut);
    lw_cut_free(cut);
    return n;
}

static double time_cut(const char *stage, const lw_head *head, const lw_scalp *scalp, const lw_plan *plan,
                       int threads, bool reference, int runs, double against) {
    double seconds[RUNS_MAX];
    lw_cut_options options = lw_cut_default();
    options.threads = threads;
    options.reference = reference;
    int panels = 0;
    for (int i = 0; i < runs; i++) {
        lw_cut *cut;
        lw_error error;
        double start = now();
        must(lw_cut_new(&cut, head, scalp, plan, &options, &error), &error);
        seconds[i] = now() - start;
        panels = lw_cut_panel_count(cut);
        lw_cut_free(cut);
    }
    return row(stage, lw_scalp_count(scalp), panels, threads, seconds, runs, against);
}

static lw_scalp *place_roots(const lw_head *head, int count) {
    lw_scalp_options roots = lw_scalp_default();
    roots.count = count;
    lw_scalp *scalp;
    lw_error error;
    must(lw_scalp_new(&scalp, head, &roots, &error), &error);
    return scalp;
}

static void place_and_cut(const void *head, int count) {
    lw_plan plan = scene(0.012);
    lw_scalp *scalp = place_roots(head, count);
    if (panels_of(head, scalp, &plan) <= 0) _exit(1);
}

int main(int argc, char **argv) {
    int runs = argc > 1 ? (int)strtol(argv[1], NULL, 10) : 11;
    if (runs < 1 || runs > RUNS_MAX) return 2;
    double seconds[RUNS_MAX];
    lw_error error;
    lw_head_options options = lw_head_default();
    options.kind = LW_HEAD_WOMAN;
    options.measure[LW_CIRCUMFERENCE] = 0.555;
    lw_head *head = NULL;
    puts("stage,hairs,panels,threads,runs,min_s,median_s,ratio,bytes_per_hair");
    fflush(stdout); /* nothing is left in it for a child to repeat */
    for (int i = 0; i < runs; i++) {
        lw_head_free(head);
        double start = now();
        must(lw_head_new(&head, &options, &error), &error);
        seconds[i] = now() - start;
    }
    row("head", 0, 0, 1, seconds, runs, 0);
    double least = peak_of(place_and_cut, head, 1);
    for (int hairs = 120000; hairs <= 1200000; hairs *= 10)
        printf("memory,%d,80,2,1,,,,%.1f\n", hairs, (peak_of(place_and_cut, head, hairs) - least) / hairs);
    fflush(stdout);
    lw_scalp *scalp = NULL;
    for (int i = 0; i < runs; i++) {
        lw_scalp_free(scalp);
        double start = now();
        scalp = place_roots(head, 120000);
        seconds[i] = now() - start;
    }
    row("roots", 120000, 0, 2, seconds, runs, 0);
    lw_plan plan = scene(0.012);
    time_cut("lengths", head, scalp, &plan, 2, false, runs, 0);
    double one = time_cut("lengths, one core", head, scalp, &plan, 1, false, runs, 0);
    time_cut("lengths, one core, plain reference", head, scalp, &plan, 1, true, runs > 3 ? 3 : runs, one);
    lw_cut *cut;
    must(lw_cut_new(&cut, head, scalp, &plan, NULL, &error), &error);
    for (int i = 0; i < runs; i++) {
        lw_reading reading;
        double start = now();
        must(lw_reading_new(&reading, cut, &error), &error);
        seconds[i] = now() - start;
        lw_reading_clear(&reading);
    }
    row("readings", 120000, lw_cut_panel_count(cut), 1, seconds, runs, 0);
    lw_cut_free(cut);
    lw_scalp_free(scalp);
    double first = 0;
    for (int hairs = 10000; hairs <= 1200000; hairs = hairs < 40000    ? 40000
                                                      : hairs < 120000 ? 120000
                                                      : hairs < 400000 ? 400000
                                                                       : hairs * 3) {
        scalp = place_roots(head, hairs);
        double t = time_cut("by hairs", head, scalp, &plan, 2, false, runs, first);
        if (first == 0) first = t;
        lw_scalp_free(scalp);
    }
    lw_plan_clear(&plan);
    scalp = place_roots(head, 120000);
    first = 0;
    double thickness = 0.3;
    while (thickness > 0.0006) {
        plan = scene(thickness);
        if (panels_of(head, scalp, &plan) > 8) {
            double t = time_cut("by panels", head, scalp, &plan, 2, false, runs, first);
            if (first == 0) first = t;
        }
        lw_plan_clear(&plan);
        thickness *= 0.45;
    }
    lw_scalp_free(scalp);
    lw_head_free(head);
    return 0;
}
