/* What guides a step, marked on the head: its own first panel, what an earlier step left beside it, or a
 * length measured at a place. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "fail.h"
#include "step_label.h"
#include "step_panels.h"
#include "tell.h"
#include "vec.h"

#define GUIDE_BAND .015 /* metres of an earlier step's hair beside a panel that count as its guide */

/* The hair of an earlier step that lies close to some panels. */
typedef struct band {
    const lw_cut *cut;
    int step, line_count;
    scalp_line lines[2];
    double reach[2]; /* metres from the line */
} band;

static int band_label(const void *context, lw_vec3 p) {
    const band *b = context;
    for (int i = 0; i < b->line_count; i++)
        for (int k = 0; k < b->lines[i].count; k++)
            if (v3_norm(v3_sub(b->lines[i].points[k], p)) < b->reach[i])
                return lw_cut_panel_at(b->cut, b->step, p) < 0 ? -1 : 0;
    return -1;
}

static lw_status guide_from_step(panels_page *g, int step, const int *panels, int n) {
    int vertices = g->s->mesh.vertex_count, *label = malloc(sizeof *label * (size_t)vertices);
    band *b = malloc(sizeof *b);
    mask m = {0};
    lw_status status = label && b ? LW_OK : fail_memory(g->error, "step");
    if (!status) {
        *b = (band){.cut = g->cut, .step = step, .line_count = n};
        for (int i = 0; i < n; i++) {
            line_along(&b->lines[i], &g->s->subject, panels[i]);
            b->reach[i] = g->step->panels.thickness / 2 + GUIDE_BAND;
        }
        for (int i = 0; i < vertices; i++)
            label[i] = g->s->section[i] < 0 ? -1 : band_label(b, g->s->mesh.position[i]);
        status = mask_new(&m, g->s, &g->s->views[g->side], &g->on, g->at, label, band_label, b, g->error);
    }
    if (!status) status = mask_area(g->d, &m, AREA_GUIDE, -1, 0, 0, g->error);
    mask_clear(&m);
    free(b);
    free(label);
    return status;
}

/* The first panel of each side. */
static int first_wholes(const panels_page *g, whole *out) {
    int n = 0;
    for (int i = g->first; i < g->first + g->count && n < 2; i++)
        if (!n || lw_cut_panel(g->cut, i)->section != lw_cut_panel(g->cut, out[n - 1].first)->section)
            out[n++] = whole_of(g, i);
    return n;
}

/* Where a step goes over what an earlier one has cut, each panel's guide is that panel. */
static lw_status guide_is_own(panels_page *g) {
    whole held = whole_of(g, g->shown);
    return mask_area(g->d, &g->mask, AREA_GUIDE, g->shown, held.first, held.last, g->error);
}

lw_status panels_guide_area(panels_page *g) {
    const lw_guide *guide = &g->step->guide;
    whole firsts[2];
    int sides = first_wholes(g, firsts), panels[2];
    bool own = guide->kind == LW_GUIDE_TRAVELLING || guide->kind == LW_GUIDE_STATIONARY;
    if (step_sets_distance(g->step)) return LW_OK;
    if (guide->step[0]) {
        int step = step_named(g->s->subject.plan, guide->step);
        if (lw_cut_panel_at(g->cut, step, lw_cut_panel(g->cut, g->shown)->anchor) >= 0)
            return guide_is_own(g);
        for (int i = 0; i < sides; i++) panels[i] = own ? firsts[i].first : g->shown;
        return guide_from_step(g, step, panels, own ? sides : 1);
    }
    for (int i = 0; i < sides && own; i++) {
        lw_status status =
            mask_area(g->d, &g->mask, AREA_GUIDE, firsts[i].first, firsts[i].first, firsts[i].last, g->error);
        if (status) return status;
    }
    return LW_OK;
}

/* A measured length: a dot where it is measured, and the length. */
void panels_guide_length(panels_page *g) {
    const lw_guide *guide = &g->step->guide;
    if (step_sets_distance(g->step) || guide->length <= 0 || guide->step[0]) return;
    point of;
    int about = guide->at.to < 0 ? guide->at.from : -1;
    if (guide->at.from >= 0) {
        lw_vec3 n, p = lw_head_project(g->s->subject.head, lw_head_place(g->s->subject.head, guide->at), &n);
        if (v3_dot(n, g->on.view.toward) < -.05 || !study_shows(g->s, g->side, p)) return;
        of = stage_point(&g->on, p);
        draw_disc(g->d, AREA_DOT, about, of, 2.2);
    } else {
        const lw_panel *p = lw_cut_panel(g->cut, g->first);
        lw_vec3 n;
        lw_head_project(g->s->subject.head, p->anchor, &n);
        if (v3_dot(n, g->on.view.toward) < 0 || !study_shows(g->s, g->side, p->anchor)) return;
        of = stage_point(&g->on, p->anchor);
    }
    char length[32], words[64];
    say_length(length, guide->length, g->s->subject.plan->units);
    snprintf(words, sizeof words, "guide %s", length);
    if (g->blank)
        blank_near(g->d, g->since, g->at, about, of, 10, 70, "guide",
                   g->s->subject.plan->units == LW_INCH ? "in" : "cm");
    else
        label_near(g->d, g->since, g->at, about, of, 10, 70, words);
}
