/* How a panel is held, in two pictures.
 *
 * The first looks along the parting, square to the angle: the head behind, the held panel from its roots to
 * the fingers, the angle between what it is measured from and the held hair. The second is square to the
 * finger line, so that its length and tilt are true. Hair runs as a taut hair does: straight, or round the
 * head first. Over comb and clipper have no hold: the same head with what is left standing on it, and a
 * closer look. */
#include "step_drawing.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "fault.h"
#include "say.h"
#include "step_label.h"
#include "step_mask.h"
#include "step_show.h"
#include "vec.h"

#define CAPTION 12.   /* points below a picture */
#define PAD 9.        /* points round what a picture shows, for words */
#define MAIN_SHARE .6 /* of the width for the picture of the angle */
#define LIFT .007     /* metres over the scalp at which a carry is drawn */
#define BAR 6.        /* points: half of a finger line seen end on */
#define STRAIGHT 5e-4 /* metres by which a way may leave the straight one and still count as straight */

#define APART 2.2      /* points between hairs at the least */
#define CARRY_LEAST 9. /* points: a shorter way has no room for its arrow */

enum { WAY_POINTS = 32, HAIRS_ACROSS = 7, HAIRS_ALONG = 13, CARRY_POINTS = 12, ARC_POINTS = 33 };

typedef struct hair {
    int count;
    lw_vec3 points[WAY_POINTS];
} hair;

typedef struct page {
    drawing *d;
    const study *s;
    const draw_subject *of;
    const lw_step *step;
    const lw_panel *p;
    int panel;
    frame at; /* of one picture */
    bool blank;
    int since;
    study_view from;
    stage on;
    lw_error *error;
} page;

/* ---- hair ---- */

static hair hair_from(const draw_subject *of, lw_vec3 root, lw_vec3 end) {
    hair h = {.count = 2};
    double length = lw_head_path_points(h.points, WAY_POINTS, of->head, root, end);
    bool bent = !isnan(length) && length - v3_norm(v3_sub(end, root)) > STRAIGHT;
    if (bent) {
        h.count = WAY_POINTS;
    } else {
        h.points[0] = root;
        h.points[1] = end;
    }
    return h;
}

static void draw_held_hair(const page *g, const hair *h, int about) {
    point at[WAY_POINTS];
    for (int i = 0; i < h->count; i++) at[i] = stage_point(&g->on, h->points[i]);
    draw_line(g->d, LINE_HAIR, about, at, h->count, false);
}

/* The area between two hairs. */
static void draw_between(const page *g, area_role role, int about, const hair *a, const hair *b) {
    point at[2 * WAY_POINTS];
    int n = 0;
    for (int i = 0; i < a->count; i++) at[n++] = stage_point(&g->on, a->points[i]);
    for (int i = b->count - 1; i >= 0; i--) at[n++] = stage_point(&g->on, b->points[i]);
    draw_area(g->d, role, about, at, n);
}

/* The point at a share of the way along a line. */
static lw_vec3 at_share(const scalp_line *line, double share) {
    double k = share * (line->count - 1);
    int i = (int)fmin(line->count - 2, floor(k));
    if (line->count < 2) return line->points[0];
    return v3_along(line->points[i], v3_sub(line->points[i + 1], line->points[i]), k - i);
}

/* ---- a picture ---- */

typedef struct bounds {
    double left, right, bottom, top; /* metres in the view's plane */
} bounds;

static void include(bounds *b, const view *v, lw_vec3 p) {
    double x = v3_dot(p, v->right), y = v3_dot(p, v->up);
    b->left = fmin(b->left, x), b->right = fmax(b->right, x);
    b->bottom = fmin(b->bottom, y), b->top = fmax(b->top, y);
}

static const bounds nothing = {INFINITY, -INFINITY, INFINITY, -INFINITY};

/* Face and scalp, without the neck, unless nothing else is to be seen. */
static bounds head_bounds(const study *s, const view *v) {
    bounds b = nothing;
    lw_vec3 low = s->head_low, high = s->head_high;
    for (int i = 0; i < s->mesh.vertex_count; i++) {
        lw_vec3 p = s->mesh.position[i];
        if (p.y >= low.y && p.x >= low.x && p.x <= high.x && p.z >= low.z && p.z <= high.z) include(&b, v, p);
    }
    return b;
}

static stage stage_on(const view *v, const bounds *b, frame at) {
    double wide = fmax(1e-3, b->right - b->left), tall = fmax(1e-3, b->top - b->bottom);
    double scale = fmin((at.width - 2 * PAD) / wide, (at.height - 2 * PAD) / tall);
    lw_vec3 centre = v3_along(v3_scale(v->right, (b->left + b->right) / 2), v->up, (b->bottom + b->top) / 2);
    return (stage){*v, centre, {at.x + at.width / 2, at.y + at.height / 2}, scale};
}

static void caption(const page *g, const char *before) {
    char words[64], text[128];
    view_words(words, g->on.view);
    snprintf(text, sizeof text, "%s%s", before, words);
    draw_text(g->d, TEXT_SMALL, ALIGN_CENTRE, (point){g->at.x + g->at.width / 2, g->at.y + g->at.height + 1},
              0, text);
}

/* The panel where it lies on the scalp. */
static lw_status draw_roots(page *g) {
    int *label;
    mask m = {0};
    lw_status status = step_labels(&label, g->s, g->p->step, g->error);
    if (!status)
        status = mask_new(&m, g->s, &g->from, &g->on, g->at, label, step_label_at,
                          &(step_ask){g->of->cut, g->p->step}, g->error);
    if (!status) status = mask_area(g->d, &m, AREA_PANEL, g->panel, g->panel, g->panel, g->error);
    mask_clear(&m);
    free(label);
    return status;
}

/* The partings that bound the part the step works on, for the eye to find its way. */
static void draw_bounds(const page *g) {
    const curves *c = &g->s->sections;
    for (int i = 0; i < c->curve_count; i++)
        draw_curve_from(g->d, g->s, &g->from, &g->on, c, i, LINE_PANEL, LINE_ROLES, -1);
}

/* ---- the angle ---- */

static point off(point p, double x, double y) { return (point){p.x + x, p.y + y}; }

/* A direction on the page: unit, y down. */
static point page_way(const stage *on, lw_vec3 v) {
    double x = v3_dot(v, on->view.right), y = -v3_dot(v, on->view.up), n = hypot(x, y);
    return n > 1e-9 ? (point){x / n, y / n} : (point){0, 0};
}

static void degrees_near(const page *g, point of, double radians, double far) {
    char text[32];
    snprintf(text, sizeof text, "%.3g°", round(radians * 1800 / LW_PI) / 10);
    if (g->blank)
        blank_near(g->d, g->since, g->at, g->panel, of, 2, far, "°");
    else
        label_near(g->d, g->since, g->at, g->panel, of, 2, far, text);
}

/* The arc from one way to another about `middle`; of gets its middle. False where it is too short to draw. */
static bool draw_arc(const page *g, point middle, point from, point to, double radius, point *of) {
    double a = atan2(from.y, from.x),
           turn = atan2(from.x * to.y - from.y * to.x, from.x * to.x + from.y * to.y);
    *of = off(middle, radius * cos(a + turn / 2), radius * sin(a + turn / 2));
    if (radius * fabs(turn) < 5) return false;
    point arc[ARC_POINTS];
    for (int i = 0; i < ARC_POINTS; i++) {
        double at = a + turn * i / (ARC_POINTS - 1);
        arc[i] = off(middle, radius * cos(at), radius * sin(at));
    }
    draw_line(g->d, LINE_ANGLE, g->panel, arc, ARC_POINTS, false);
    return true;
}

static const char *reference_word(const page *g) {
    switch (g->step->hold.reference) {
    case LW_FROM_PLUMB:
        return "plumb";
    case LW_FIXED:
        return "level";
    default:
        return "scalp";
    }
}

/* The held hair at the anchor, from which the angle is read. */
static void draw_held_direction(const page *g, double t) {
    if (isnan(t)) return;
    point line[2] = {stage_point(&g->on, g->p->place),
                     stage_point(&g->on, v3_along(g->p->place, g->p->direction, t))};
    draw_line(g->d, LINE_HAIR, g->panel, line, 2, false);
}

static void draw_angle(const page *g) {
    hold_angle a = hold_angle_of(g->of, g->panel);
    double t = panel_reach(g->of->cut, g->p, 0), length = isnan(t) ? 0 : t * g->on.scale;
    point h = stage_point(&g->on, g->p->place), from = page_way(&g->on, a.from),
          held = page_way(&g->on, g->p->direction);
    draw_held_direction(g, t);
    if (!a.free) {
        label_near(g->d, g->since, g->at, -1, off(h, .6 * length * held.x, .6 * length * held.y), 3, 50,
                   "lies on the skin");
        return;
    }
    bool none = a.angle < LW_PI / 60;
    double radius = fmax(15, fmin(34, .55 * length));
    if (a.angle < LW_PI / 6) radius = fmin(fmax(radius, .8 * length), 5 * radius);
    double ahead = none ? length + 16 : radius + 12;
    double behind = g->step->hold.reference == LW_FROM_SCALP ? .6 * radius : 0;
    point line[2] = {off(h, -behind * from.x, -behind * from.y), off(h, ahead * from.x, ahead * from.y)}, of;
    draw_line(g->d, LINE_FROM, g->panel, line, 2, false);
    draw_arc(g, h, from, held, radius, &of);
    label_near(g->d, g->since, g->at, -1, line[1], 1, 24, reference_word(g));
    degrees_near(g, none ? line[1] : of, a.stated, 40);
}

/* ---- where it is carried ---- */

static void carry_words(char out[SAY_PLACE_MAX], const lw_hold *hold) {
    *out = 0;
    if (hold->target == LW_TOWARD_PLACE) {
        char place[SAY_PLACE_MAX];
        if (hold->place.to >= 0) return; /* too many words; the dot says it */
        say_place(place, hold->place);
        snprintf(out, SAY_PLACE_MAX, hold->carry == 1 ? "to %.150s" : "toward %.150s", place);
    } else if (hold->target == LW_TOWARD_PANEL) {
        snprintf(out, SAY_PLACE_MAX, hold->carry == 1 ? "to panel %d" : "toward panel %d", hold->panel);
    } else if (fabs(hold->carry - .5) < 1e-9) {
        snprintf(out, SAY_PLACE_MAX, "half a panel back");
    } else if (fabs(hold->carry - 1) < 1e-9) {
        snprintf(out, SAY_PLACE_MAX, "one panel back");
    } else {
        snprintf(out, SAY_PLACE_MAX, "%.3g panels back", hold->carry);
    }
}

static void draw_carry(const page *g) {
    const lw_hold *hold = &g->step->hold;
    if (hold->carry == 0) return;
    if (hold->target == LW_TOWARD_PLACE) {
        lw_vec3 at = lw_head_project(g->of->head, lw_head_place(g->of->head, hold->place), NULL);
        draw_disc(g->d, AREA_DOT, hold->place.to < 0 ? hold->place.from : -1, stage_point(&g->on, at), 2);
    }
    point way[CARRY_POINTS];
    double length = 0;
    for (int i = 0; i < CARRY_POINTS; i++) {
        lw_vec3 n,
            p = lw_head_between(g->of->head, g->p->anchor, g->p->place, (double)i / (CARRY_POINTS - 1));
        p = lw_head_project(g->of->head, p, &n);
        way[i] = stage_point(&g->on, v3_along(p, n, LIFT));
        if (i) length += hypot(way[i].x - way[i - 1].x, way[i].y - way[i - 1].y);
    }
    if (length >= CARRY_LEAST) draw_line(g->d, LINE_CARRY, g->panel, way, CARRY_POINTS, false);
    char words[SAY_PLACE_MAX];
    carry_words(words, hold);
    if (!g->blank && words[0])
        label_near(g->d, g->since, g->at, g->panel, way[CARRY_POINTS / 2], 6, 70, words);
}

/* ---- the picture of the angle ---- */

typedef struct bundle {
    hair hairs[HAIRS_ACROSS], guide[2];
    bool guided;
    lw_vec3 end; /* of the hair at the anchor */
} bundle;

static void make_bundle(bundle *b, const page *g) {
    scalp_line across;
    line_across(&across, g->of, g->panel);
    for (int i = 0; i < HAIRS_ACROSS; i++) {
        lw_vec3 root = lw_head_project(g->of->head, at_share(&across, (double)i / (HAIRS_ACROSS - 1)), NULL);
        b->hairs[i] = hair_from(g->of, root, panel_end(g->of, g->panel, root, NULL));
    }
    b->end = panel_end(g->of, g->panel, g->p->anchor, NULL);
    b->guided = g->p->guide >= 0;
    if (!b->guided) return;
    line_across(&across, g->of, g->p->guide);
    b->guide[0] = hair_from(g->of, across.points[0], b->end);
    b->guide[1] = hair_from(g->of, across.points[across.count - 1], b->end);
}

/* How many hairs out of n to draw so that they stand apart: every so many. */
static int every(const page *g, const hair *hairs, int n) {
    point a = stage_point(&g->on, hairs[0].points[0]), b = stage_point(&g->on, hairs[n - 1].points[0]);
    double room = hypot(b.x - a.x, b.y - a.y) / (n - 1);
    for (int by = 1; by < n - 1; by++)
        if ((n - 1) % by == 0 && room * by >= APART) return by;
    return n - 1;
}

/* Fingers seen end on: a short bar square to the hair. */
static void draw_bar(const page *g, lw_vec3 end) {
    point at = stage_point(&g->on, end), d = page_way(&g->on, g->p->direction);
    draw_line(g->d, LINE_FINGER, -1,
              (point[]){off(at, -BAR * d.y, BAR * d.x), off(at, BAR * d.y, -BAR * d.x)}, 2, false);
}

static lw_status draw_bundle(page *g) {
    bundle b;
    make_bundle(&b, g);
    bounds box = head_bounds(g->s, &g->from.view);
    for (int i = 0; i < HAIRS_ACROSS; i++)
        for (int k = 0; k < b.hairs[i].count; k++) include(&box, &g->from.view, b.hairs[i].points[k]);
    g->on = stage_on(&g->from.view, &box, g->at);
    lw_status status = draw_roots(g);
    draw_head_from(g->d, g->s, &g->from, &g->on);
    draw_bounds(g);
    draw_between(g, AREA_PANEL, g->panel, &b.hairs[0], &b.hairs[HAIRS_ACROSS - 1]);
    if (b.guided) draw_between(g, AREA_GUIDE, g->p->guide, &b.guide[0], &b.guide[1]);
    for (int i = 0, by = every(g, b.hairs, HAIRS_ACROSS); i < HAIRS_ACROSS; i += by)
        draw_held_hair(g, &b.hairs[i], -1);
    draw_bar(g, b.end);
    draw_angle(g);
    draw_carry(g);
    char before[64] = "";
    if (!g->blank) snprintf(before, sizeof before, "panel %d, ", g->p->whole);
    caption(g, before);
    return status;
}

/* ---- the picture of the finger line ---- */

static void draw_tilt(const page *g, lw_vec3 end, double reach) {
    if (g->step->line.kind != LW_LINE_TILT) return;
    point at = stage_point(&g->on, end), f = page_way(&g->on, g->p->parting),
          finger = page_way(&g->on, g->p->finger);
    double long_ = fmax(14, reach * g->on.scale), radius = .75 * long_;
    draw_line(g->d, LINE_FROM, g->panel,
              (point[]){off(at, -long_ * f.x, -long_ * f.y), off(at, long_ * f.x, long_ * f.y)}, 2, false);
    point of;
    draw_arc(g, at, f, finger, radius, &of);
    degrees_near(g, of, g->step->line.tilt, 30);
}

static void draw_fan(page *g) {
    scalp_line along;
    hair hairs[HAIRS_ALONG];
    line_along(&along, g->of, g->panel);
    bounds box = head_bounds(g->s, &g->from.view);
    for (int i = 0; i < HAIRS_ALONG; i++) {
        lw_vec3 root = lw_head_project(g->of->head, at_share(&along, (double)i / (HAIRS_ALONG - 1)), NULL);
        hairs[i] = hair_from(g->of, root, panel_end(g->of, g->panel, root, NULL));
        for (int k = 0; k < hairs[i].count; k++) include(&box, &g->from.view, hairs[i].points[k]);
    }
    g->on = stage_on(&g->from.view, &box, g->at);
    draw_head_from(g->d, g->s, &g->from, &g->on);
    point line[HAIRS_ALONG];
    for (int i = 0; i + 1 < HAIRS_ALONG; i++) draw_between(g, AREA_PANEL, g->panel, &hairs[i], &hairs[i + 1]);
    for (int i = 0, by = every(g, hairs, HAIRS_ALONG); i < HAIRS_ALONG; i++) {
        if (i % by == 0) draw_held_hair(g, &hairs[i], -1);
        line[i] = stage_point(&g->on, hairs[i].points[hairs[i].count - 1]);
    }
    draw_line(g->d, LINE_FINGER, g->panel, line, HAIRS_ALONG, false);
    lw_vec3 end = panel_end(g->of, g->panel, g->p->anchor, NULL);
    double reach = v3_norm(v3_sub(hairs[HAIRS_ALONG - 1].points[hairs[HAIRS_ALONG - 1].count - 1],
                                  hairs[0].points[hairs[0].count - 1])) /
                   2;
    draw_tilt(g, end, reach);
    caption(g, "fingers, ");
}

/* ---- over comb and clipper ---- */

typedef struct standing {
    int count;
    lw_vec3 root[LINE_POINTS_MAX], end[LINE_POINTS_MAX];
    int panel[LINE_POINTS_MAX];
} standing;

/* What is left standing along a line across all panels: each panel's length at its middle, and evenly from
 * one to the next as the hand moves. */
static void make_standing(standing *out, const page *g) {
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

static void length_label(const page *g, int panel, lw_vec3 end) {
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
        blank_near(g->d, g->since, g->at, panel, at, 6, 50, g->of->plan->units == LW_INCH ? "in" : "cm");
    else
        label_near(g->d, g->since, g->at, panel, at, 6, 50, words);
}

/* Each panel's number under the skin, where there is room for it. */
static void number_panels(const page *g, const standing *st) {
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
        draw_label(g->d, TEXT_NUMBER, st->panel[i], off(at, -9 * out.x, -9 * out.y), 0, text);
    }
}

static void draw_standing(page *g, const standing *st, bool close) {
    bounds box = close ? nothing : head_bounds(g->s, &g->from.view);
    point skin[LINE_POINTS_MAX], line[LINE_POINTS_MAX];
    for (int i = 0; i < st->count; i++) {
        include(&box, &g->from.view, st->root[i]);
        include(&box, &g->from.view, st->end[i]);
    }
    g->on = stage_on(&g->from.view, &box, g->at);
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
    caption(g, close ? "closer, " : "");
}

/* ---- both ---- */

static lw_status draw_distance(page *g, frame left, frame right) {
    hold_angle a = hold_angle_of(g->of, g->panel);
    lw_status status =
        study_view_lines(&g->from, g->s, view_along(g->of->head, a.axis, g->p->anchor), g->error);
    if (status) return status;
    standing st;
    make_standing(&st, g);
    g->at = left;
    draw_standing(g, &st, false);
    g->since = g->d->mark_count;
    g->at = right;
    draw_standing(g, &st, true);
    study_view_clear(&g->from);
    return LW_OK;
}

static lw_status look_twice(study_view from[2], const page *g) {
    hold_angle a = hold_angle_of(g->of, g->panel);
    view v[2] = {view_along(g->of->head, a.axis, g->p->anchor), line_view(g->of, g->panel)};
    lw_status status[2];
#pragma omp parallel for schedule(static, 1)
    for (int i = 0; i < 2; i++) status[i] = study_view_lines(&from[i], g->s, v[i], NULL);
    if (!status[0] && !status[1]) return LW_OK;
    for (int i = 0; i < 2; i++)
        if (!status[i]) study_view_clear(&from[i]);
    return fault_memory(g->error, "step");
}

static lw_status draw_held(page *g, frame left, frame right) {
    study_view from[2];
    lw_status status = look_twice(from, g);
    if (status) return status;
    g->from = from[0];
    g->at = left;
    status = draw_bundle(g);
    g->since = g->d->mark_count;
    g->from = from[1];
    g->at = right;
    if (!status) draw_fan(g);
    study_view_clear(&from[0]);
    study_view_clear(&from[1]);
    return status;
}

lw_status draw_step_hold(drawing *d, const study *s, int step, frame at, bool blank, lw_error *error) {
    if (step < 1 || step > s->subject.plan->step_count)
        return fault(error, LW_ERROR_ARGUMENT, "step", "Count steps from 1.", "the plan has no step %d",
                     step);
    page g = {.d = d, .s = s, .of = &s->subject, .blank = blank, .since = d->mark_count, .error = error};
    g.step = &s->subject.plan->steps[step - 1];
    g.panel = step_shown(&s->subject, step);
    if (g.panel < 0 || !lw_cut_panel(s->subject.cut, g.panel)->line_count) {
        draw_text(d, TEXT_SMALL, ALIGN_CENTRE, (point){at.x + at.width / 2, at.y + at.height / 2}, 0,
                  "This step cuts no hair.");
        return LW_OK;
    }
    g.p = lw_cut_panel(s->subject.cut, g.panel);
    bool distance = step_sets_distance(g.step);
    double share = distance ? 1 - MAIN_SHARE : MAIN_SHARE, split = share * at.width;
    frame left = {at.x, at.y, split, at.height - CAPTION};
    frame right = {at.x + split, at.y, at.width - split, at.height - CAPTION};
    return distance ? draw_distance(&g, left, right) : draw_held(&g, left, right);
}
