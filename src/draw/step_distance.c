/* Over comb and clipper: no hand holds the hair, so what is left standing is drawn along a line across all
 * panels, once on the head and once closer, with the length it starts and ends with. */
#include <math.h>
#include <stdio.h>

#include "step_label.h"
#include "step_picture.h"
#include "tell.h"
#include "vec.h"

typedef struct standing {
    int count;
    lw_vec3 root[LINE_POINTS_MAX], end[LINE_POINTS_MAX];
    int panel[LINE_POINTS_MAX];
} standing;

/* What is left standing along a line across all panels: each panel's length at its middle, and evenly from
 * one to the next as the hand moves. */
static void make_standing(standing *out, const picture *g) {
    scalp_line line;
    double length[LINE_POINTS_MAX], along[LINE_POINTS_MAX], middle[LINE_POINTS_MAX],
        at_middle[LINE_POINTS_MAX];
    int n = 0, middles = 0;
    line_over_step(&line, g->of, g->panel);
    for (int i = 0; i < line.count; i++) {
        int panel = lw_cut_panel_at(g->of->cut, g->p->step, line.points[i]);
        if (panel < 0) continue;
        out->root[n] = line.points[i];
        out->panel[n] = panel;
        along[n] = n ? along[n - 1] + v3_norm(v3_sub(line.points[i], out->root[n - 1])) : 0;
        length[n++] = panel_reach(g->of->cut, lw_cut_panel(g->of->cut, panel), 0);
    }
    for (int i = 0, end; i < n; i = end) {
        for (end = i; end < n && out->panel[end] == out->panel[i];) end++;
        middle[middles] = .5 * (along[i] + along[end - 1]);
        at_middle[middles++] = length[i];
    }
    out->count = n;
    for (int i = 0, m = 0; i < n; i++) {
        lw_vec3 normal;
        lw_head_project(g->of->head, out->root[i], &normal);
        while (m + 1 < middles && along[i] > middle[m + 1]) m++;
        double share = m + 1 < middles ? (along[i] - middle[m]) / (middle[m + 1] - middle[m]) : 0;
        double t = at_middle[m] + fmax(0, share) * (m + 1 < middles ? at_middle[m + 1] - at_middle[m] : 0);
        out->end[i] = v3_along(out->root[i], normal, t);
    }
}

static void length_label(const picture *g, int panel, lw_vec3 end) {
    const lw_technique *t = &g->step->technique;
    double length = panel_reach(g->of->cut, lw_cut_panel(g->of->cut, panel), 0);
    char measure[32], words[96];
    say_length(measure, length, g->of->plan->units);
    if (t->kind == LW_CLIPPER)
        snprintf(words, sizeof words, "guard %.3g, %s", length / (.0254 / 8), measure);
    else
        snprintf(words, sizeof words, "%s", measure);
    point at = stage_point(&g->on, end);
    if (g->blank)
        blank_near(g->d, g->since, g->at, panel, at, 6, 50, "", g->of->plan->units == LW_INCH ? "in" : "cm");
    else
        label_near(g->d, g->since, g->at, panel, at, 6, 50, words);
}

/* Each panel's number under the skin, where there is room for it. */
static void number_panels(const picture *g, const standing *st) {
    double last = -INFINITY;
    for (int i = 0, end; i < st->count; i = end) {
        for (end = i; end < st->count && st->panel[end] == st->panel[i];) end++;
        lw_vec3 normal, p = st->root[(i + end - 1) / 2];
        lw_head_project(g->of->head, p, &normal);
        point at = stage_point(&g->on, p), out = page_way(&g->on, normal);
        if (fabs(at.y - last) < 9) continue;
        last = at.y;
        char text[16];
        snprintf(text, sizeof text, "%d", lw_cut_panel(g->of->cut, st->panel[i])->whole);
        draw_label(g->d, TEXT_NUMBER, st->panel[i], page_off(at, -9 * out.x, -9 * out.y), 0, text);
    }
}

static void draw_standing(picture *g, const standing *st, bool close) {
    bounds box = close ? bounds_none() : bounds_of_head(g->s, &g->from.view);
    point skin[LINE_POINTS_MAX], line[LINE_POINTS_MAX];
    for (int i = 0; i < st->count; i++) {
        bounds_include(&box, &g->from.view, st->root[i]);
        bounds_include(&box, &g->from.view, st->end[i]);
    }
    g->on = bounds_stage(&box, &g->from.view, g->at);
    if (!close) draw_head_from(g->d, g->s, &g->from, &g->on);
    for (int i = 0; i < st->count; i++) {
        skin[i] = stage_point(&g->on, st->root[i]);
        line[i] = stage_point(&g->on, st->end[i]);
        if (close || i % 2 == 0) draw_line(g->d, LINE_HAIR, -1, (point[]){skin[i], line[i]}, 2, false);
    }
    if (close) draw_line(g->d, LINE_OUTLINE, -1, skin, st->count, false);
    draw_line(g->d, LINE_FINGER, close ? g->panel : -1, line, st->count, false);
    if (close && st->count) {
        int last = st->count - 1;
        if (!g->blank) number_panels(g, st);
        length_label(g, st->panel[0], st->end[0]);
        if (st->panel[last] != st->panel[0]) length_label(g, st->panel[last], st->end[last]);
    }
    picture_caption(g, close ? "closer, " : "", "");
}

lw_status draw_step_distance(picture *g, frame far, frame near) {
    hold_angle a = hold_angle_of(g->of, g->panel);
    lw_status status =
        study_view_lines(&g->from, g->s, view_along(g->of->head, a.axis, g->p->anchor), g->error);
    if (status) return status;
    standing st;
    make_standing(&st, g);
    g->at = far;
    draw_standing(g, &st, false);
    g->since = g->d->mark_count;
    g->at = near;
    draw_standing(g, &st, true);
    study_view_clear(&g->from);
    return LW_OK;
}
