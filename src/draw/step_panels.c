/* A step's panels on the head.
 *
 * Areas first, then the head over them, then partings, then numbers, so that what must be read is never under
 * something else. */
#include "step_drawing.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "fail.h"
#include "step_panels.h"
#include "vec.h"

#define CAPTION 12. /* points below the head for the name of the side */
#define THIN .006   /* metres: thinner panels are drawn by groups */

/* ---- partings ---- */

static bool seen_at_all(const panels_page *g, const curves *c, int which) {
    const curve *k = &c->curves[which];
    int seen = 0;
    for (int i = 0; i < k->count; i++) {
        lw_vec3 n, p = c->points[k->first + i];
        lw_head_project(g->s->subject.head, p, &n);
        seen += v3_dot(n, g->on.view.toward) > 0 && study_shows(g->s, g->side, p);
    }
    return 4 * seen > k->count;
}

/* Panels too thin to tell apart are drawn by twos, fives, tens. */
static int group_of(const lw_step *step) {
    static const int sizes[] = {1, 2, 5, 10, 20, 50, 100};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
        if (step->panels.thickness * sizes[i] >= THIN) return sizes[i];
    return 100;
}

/* The panel that stands for the group a panel is in: its first. */
static int stand_in(const panels_page *g, int panel) {
    if (panel < 0 || g->group == 1) return panel;
    return g->stand_in[panel - g->first];
}

static int group_label(const void *context, lw_vec3 p) {
    const panels_page *g = context;
    return stand_in(g, lw_cut_panel_at(g->cut, g->number, p));
}

/* Fills stand_in: groups are counted from the start of each side. */
static lw_status make_groups(panels_page *g) {
    g->stand_in = malloc(sizeof *g->stand_in * (size_t)(g->count + 1));
    if (!g->stand_in) return fail_memory(g->error, "step");
    int section = -1, start = 0, begun = 0;
    for (int i = 0; i < g->count; i++) {
        const lw_panel *p = lw_cut_panel(g->cut, g->first + i);
        if (p->section != section)
            section = p->section, start = p->whole, begun = i;
        else if ((p->whole - start) / g->group !=
                 (lw_cut_panel(g->cut, g->first + i - 1)->whole - start) / g->group)
            begun = i;
        g->stand_in[i] = g->first + begun;
    }
    return LW_OK;
}

static lw_status group_borders(panels_page *g, curves *out) {
    if (g->group == 1)
        return curves_borders(out, g->s->subject.head, &g->s->mesh, g->label, step_label_at,
                              &(step_ask){g->cut, g->number}, g->error);
    int n = g->s->mesh.vertex_count, *label = malloc(sizeof *label * (size_t)n);
    if (!label) return fail_memory(g->error, "step");
    for (int i = 0; i < n; i++) label[i] = stand_in(g, g->label[i]);
    lw_status status = curves_borders(out, g->s->subject.head, &g->s->mesh, label, group_label, g, g->error);
    free(label);
    return status;
}

/* Partings between panels: those that are partly seen go on dashed behind the head; bites have no parting. */
static lw_status draw_partings(panels_page *g) {
    curves c = {0};
    lw_status status = group_borders(g, &c);
    for (int i = 0; i < c.curve_count && !status; i++) {
        const lw_panel *a = lw_cut_panel(g->cut, c.curves[i].one),
                       *b = lw_cut_panel(g->cut, c.curves[i].other);
        if (a->section != b->section) continue;
        if (a->whole == b->whole) {
            bool held = a->whole == lw_cut_panel(g->cut, g->shown)->whole;
            draw_curve(g->d, g->s, g->side, &g->on, &c, i, held ? LINE_PANEL : LINE_FEATURE, LINE_ROLES, -1);
            continue;
        }
        line_role hidden = seen_at_all(g, &c, i) ? LINE_PANEL_HIDDEN : LINE_ROLES;
        draw_curve(g->d, g->s, g->side, &g->on, &c, i, LINE_PANEL, hidden, c.curves[i].one);
    }
    curves_clear(&c);
    return status;
}

/* Of the sections' partings those that bound what the step works on. */
static lw_status draw_bounds(panels_page *g) {
    int n = lw_cut_section_count(g->cut);
    bool *works = calloc((size_t)n + 1, sizeof *works);
    if (!works) return fail_memory(g->error, "step");
    for (int i = 0; i < g->s->mesh.vertex_count; i++)
        if (g->label[i] >= 0 && g->s->section[i] >= 0) works[g->s->section[i]] = true;
    const curves *c = &g->s->sections;
    for (int i = 0; i < c->curve_count; i++) {
        int one = c->curves[i].one, other = c->curves[i].other;
        bool bounds = (one >= 0 && one < n && works[one]) || (other >= 0 && other < n && works[other]);
        if (bounds) draw_curve(g->d, g->s, g->side, &g->on, c, i, LINE_SECTION, LINE_ROLES, -1);
    }
    free(works);
    return LW_OK;
}

/* ---- all of it ---- */

/* A panel with all its bites. */
whole whole_of(const panels_page *g, int panel) {
    whole w = {.first = panel, .last = panel};
    int which = lw_cut_panel(g->cut, panel)->whole;
    while (w.first > g->first && lw_cut_panel(g->cut, w.first - 1)->whole == which) w.first--;
    while (w.last + 1 < g->first + g->count && lw_cut_panel(g->cut, w.last + 1)->whole == which) w.last++;
    return w;
}

static lw_status draw_areas(panels_page *g) {
    whole held = whole_of(g, g->shown);
    lw_status status = mask_area(g->d, &g->mask, AREA_WORK, -1, g->first, g->first + g->count - 1, g->error);
    if (!status) status = mask_area(g->d, &g->mask, AREA_PANEL, g->shown, held.first, held.last, g->error);
    return status ? status : panels_guide_area(g);
}

static lw_status draw_page(panels_page *g) {
    lw_status status = mask_new(&g->mask, g->s, &g->s->views[g->side], &g->on, g->at, g->label, step_label_at,
                                &(step_ask){g->cut, g->number}, g->error);
    if (status) return status;
    status = make_groups(g);
    if (!status) status = draw_areas(g);
    draw_head(g->d, g->s, g->side, &g->on);
    if (!status) status = draw_partings(g);
    if (!status) status = draw_bounds(g);
    if (!status) status = panels_numbers(g);
    if (!status) panels_guide_length(g);
    mask_clear(&g->mask);
    free(g->stand_in);
    return status;
}

/* The mirror image is on a side that cannot be seen. */
static bool mirrored_unseen(const panels_page *g) {
    for (int i = g->first; i < g->first + g->count; i++)
        if (lw_cut_panel(g->cut, i)->section != lw_cut_panel(g->cut, g->first)->section)
            return step_seen(g->s, g->side, g->label, i, g->first + g->count - 1) <
                   .2 * step_seen(g->s, g->side, g->label, g->first, i - 1);
    return false;
}

/* In words, since it is no answer to any gap of a worksheet. */
static const char *count_word(int group) {
    return group == 2 ? "two" : group == 5 ? "five" : group == 10 ? "ten" : group == 20 ? "twenty" : "many";
}

lw_status draw_step_panels(drawing *d, const study *s, int step, frame at, bool blank, lw_error *error) {
    panels_page g = {
        .d = d, .s = s, .cut = s->subject.cut, .number = step, .at = at, .blank = blank, .error = error};
    if (step < 1 || step > s->subject.plan->step_count)
        return fail(error, LW_ERROR_ARGUMENT, "step", "Count steps from 1.", "the plan has no step %d", step);
    g.step = &s->subject.plan->steps[step - 1];
    g.since = d->mark_count;
    g.group = group_of(g.step);
    step_range(g.cut, step, &g.first, &g.count);
    g.at.height -= CAPTION;
    lw_status status = step_labels(&g.label, s, step, error);
    if (status) return status;
    g.shown = step_shown(&s->subject, step);
    g.side = step_side(s, g.label, step);
    g.on = head_stage(s, g.side, g.at, 0);
    if (g.count)
        status = draw_page(&g);
    else
        draw_head(d, s, g.side, &g.on);
    char words[160], side[64];
    view_words(side, g.on.view);
    size_t used = (size_t)snprintf(words, sizeof words, "%s", side);
    if (g.group > 1)
        used += (size_t)snprintf(words + used, sizeof words - used, "; one parting in %s is drawn",
                                 count_word(g.group));
    if (mirrored_unseen(&g)) snprintf(words + used, sizeof words - used, "; the other side mirrors it");
    draw_text(d, TEXT_SMALL, ALIGN_CENTRE, (point){at.x + at.width / 2, at.y + at.height - CAPTION + 1}, 0,
              words);
    free(g.label);
    return status;
}
