/* How a panel is held, in two pictures.
 *
 * The first looks along the parting, square to the angle: the head behind, the held panel from its roots to
 * the fingers, the angle between what it is measured from and the held hair. The second is square to the
 * finger line, so that its length and tilt are true. Hair runs as a taut hair does: straight, or round the
 * head first. */
#include "step_drawing.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "fail.h"
#include "step_label.h"
#include "step_mask.h"
#include "step_picture.h"
#include "tell.h"
#include "vec.h"

#define MAIN_SHARE .6   /* of the width for the picture of the angle */
#define LIFT .007       /* metres over the scalp at which a carry is drawn */
#define GUIDE_WIDE .012 /* metres of an earlier step's hair, across, drawn as the guide */
#define BAR 6.          /* points: half of a finger line seen end on */
#define STRAIGHT 5e-4   /* metres by which a way may leave the straight one and still count as straight */

#define APART 3.       /* points between hairs at the least */
#define CARRY_LEAST 9. /* points: a shorter way has no room for its arrow */

enum { WAY_POINTS = 32, HAIRS_ACROSS = 7, HAIRS_ALONG = 13, CARRY_POINTS = 12, ARC_POINTS = 33 };

typedef struct hair {
    int count;
    lw_vec3 points[WAY_POINTS];
} hair;

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

static void draw_held_hair(const picture *g, const hair *h, int about) {
    point at[WAY_POINTS];
    for (int i = 0; i < h->count; i++) at[i] = stage_point(&g->on, h->points[i]);
    draw_line(g->d, LINE_HAIR, about, at, h->count, false);
}

/* The area between two hairs. */
static void draw_between(const picture *g, area_role role, int about, const hair *a, const hair *b) {
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

/* ---- where it grows ---- */

/* The panel where it lies on the scalp. */
static lw_status draw_roots(picture *g) {
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
static void draw_bounds(const picture *g) {
    const curves *c = &g->s->sections;
    for (int i = 0; i < c->curve_count; i++)
        draw_curve_from(g->d, g->s, &g->from, &g->on, c, i, LINE_PANEL, LINE_ROLES, -1);
}

/* ---- the angle ---- */

static void degrees_near(const picture *g, point of, const char *before, double radians, double far) {
    char text[64];
    snprintf(text, sizeof text, "%s%.4g°", before, round(radians * 1800 / LW_PI) / 10);
    if (g->blank)
        blank_near(g->d, g->since, g->at, g->panel, of, 2, far, before, "°");
    else
        label_near(g->d, g->since, g->at, g->panel, of, 2, far, text);
}

/* The arc from one way to another about `middle`; of gets its middle. False where it is too short to draw. */
static bool draw_arc(const picture *g, point middle, point from, point to, double radius, point *of) {
    double a = atan2(from.y, from.x),
           turn = atan2(from.x * to.y - from.y * to.x, from.x * to.x + from.y * to.y);
    *of = page_off(middle, radius * cos(a + turn / 2), radius * sin(a + turn / 2));
    if (radius * fabs(turn) < 5) return false;
    point arc[ARC_POINTS];
    for (int i = 0; i < ARC_POINTS; i++) {
        double at = a + turn * i / (ARC_POINTS - 1);
        arc[i] = page_off(middle, radius * cos(at), radius * sin(at));
    }
    draw_line(g->d, LINE_ANGLE, g->panel, arc, ARC_POINTS, false);
    return true;
}

static const char *reference_word(const picture *g) {
    const lw_hold *hold = &g->step->hold;
    if (hold->reference == LW_FROM_PLUMB) return hold->turn == 0 ? "plumb" : "plumb, turned";
    if (hold->reference == LW_FIXED) return hold->turn == 0 ? "level" : "level, turned";
    return "scalp";
}

/* The held hair at the anchor, from which the angle is read. */
static void draw_held_direction(const picture *g, double t) {
    if (isnan(t)) return;
    point line[2] = {stage_point(&g->on, g->p->place),
                     stage_point(&g->on, v3_along(g->p->place, g->p->direction, t))};
    draw_line(g->d, LINE_HAIR, g->panel, line, 2, false);
}

/* Held along what the angle is measured from: no arc, one label. */
static void label_none(const picture *g, point of, double radians) {
    char before[32];
    snprintf(before, sizeof before, "%s, ", reference_word(g));
    degrees_near(g, of, before, radians, 50);
}

static void draw_angle(const picture *g) {
    hold_angle a = hold_angle_of(g->of, g->panel);
    double t = panel_reach(g->of->cut, g->p, 0), length = isnan(t) ? 0 : t * g->on.scale;
    point h = stage_point(&g->on, g->p->place), from = page_way(&g->on, a.from),
          held = page_way(&g->on, g->p->direction);
    draw_held_direction(g, t);
    if (!a.free) {
        label_near(g->d, g->since, g->at, -1, page_off(h, .6 * length * held.x, .6 * length * held.y), 3, 50,
                   "falls as the head lets it");
        return;
    }
    bool none = a.angle < LW_PI / 60;
    double radius = fmax(15, fmin(34, .55 * length));
    if (a.angle < LW_PI / 6) radius = fmin(fmax(radius, .8 * length), 5 * radius);
    double ahead = none ? length + 7 : radius + 12;
    double behind = g->step->hold.reference == LW_FROM_SCALP ? .6 * radius : 0;
    point line[2] = {page_off(h, -behind * from.x, -behind * from.y),
                     page_off(h, ahead * from.x, ahead * from.y)},
          of;
    draw_line(g->d, LINE_FROM, g->panel, line, 2, false);
    draw_arc(g, h, from, held, radius, &of);
    if (none)
        label_none(g, page_off(h, .7 * length * held.x, .7 * length * held.y), a.stated);
    else {
        label_near(g->d, g->since, g->at, -1, line[1], 1, 24, reference_word(g));
        degrees_near(g, of, "", a.stated, 40);
    }
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

static void draw_carry(const picture *g) {
    const lw_hold *hold = &g->step->hold;
    if (hold->carry == 0) return;
    if (hold->target == LW_TOWARD_PLACE) {
        lw_vec3 at = lw_head_project(g->of->head, lw_head_place(g->of->head, hold->place), NULL);
        draw_disc(g->d, AREA_DOT, hold->place.to < 0 ? hold->place.from : -1, stage_point(&g->on, at), 2);
    }
    point way[CARRY_POINTS];
    lw_vec3 along[CARRY_POINTS];
    double length = 0;
    lw_head_path_points(along, CARRY_POINTS, g->of->head, g->p->anchor, g->p->place);
    for (int i = 0; i < CARRY_POINTS; i++) {
        lw_vec3 n, p = lw_head_project(g->of->head, along[i], &n);
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

/* The hair of an earlier step that lies nearest to the panel; false for none. */
static bool nearest_of_step(const picture *g, int step, lw_vec3 *out) {
    double least = INFINITY;
    for (int i = 0; i < g->s->mesh.vertex_count; i++) {
        double away = v3_norm(v3_sub(g->s->mesh.position[i], g->p->anchor));
        if (g->s->section[i] < 0 || away >= least) continue;
        if (lw_cut_panel_at(g->of->cut, step, g->s->mesh.position[i]) >= 0)
            least = away, *out = g->s->mesh.position[i];
    }
    return least < INFINITY;
}

/* From where to where, across, the hair that guides the panel grows; false where a measured length does. */
static bool guide_roots(const picture *g, lw_vec3 roots[2]) {
    scalp_line across;
    if (g->p->guide >= 0) {
        line_across(&across, g->of, g->p->guide);
        roots[0] = across.points[0];
        roots[1] = across.points[across.count - 1];
        return true;
    }
    int step = step_named(g->of->plan, g->step->guide.step);
    lw_vec3 nearest, n;
    if (!step || !nearest_of_step(g, step, &nearest)) return false;
    lw_head_project(g->of->head, nearest, &n);
    lw_vec3 aside = v3_scale(v3_unit(v3_cross(g->p->parting, n)), GUIDE_WIDE / 2);
    for (int i = 0; i < 2; i++)
        roots[i] = lw_head_project(g->of->head, i ? v3_add(nearest, aside) : v3_sub(nearest, aside), NULL);
    return true;
}

static void make_bundle(bundle *b, const picture *g) {
    scalp_line across;
    line_across(&across, g->of, g->panel);
    for (int i = 0; i < HAIRS_ACROSS; i++) {
        lw_vec3 root = lw_head_project(g->of->head, at_share(&across, (double)i / (HAIRS_ACROSS - 1)), NULL);
        b->hairs[i] = hair_from(g->of, root, panel_end(g->of, g->panel, root, NULL));
    }
    b->end = panel_end(g->of, g->panel, g->p->anchor, NULL);
    lw_vec3 roots[2];
    b->guided = guide_roots(g, roots);
    for (int i = 0; i < 2 && b->guided; i++) b->guide[i] = hair_from(g->of, roots[i], b->end);
}

/* The stage that shows the head and the hairs. */
static stage stage_of(const picture *g, view v, const hair *hairs, int n) {
    bounds box = bounds_of_head(g->s, &v);
    for (int i = 0; i < n; i++)
        for (int k = 0; k < hairs[i].count; k++) bounds_include(&box, &v, hairs[i].points[k]);
    return bounds_stage(&box, &v, g->at);
}

/* How many hairs out of n to draw so that they stand apart: every so many. */
static int every(const picture *g, const hair *hairs, int n) {
    point a = stage_point(&g->on, hairs[0].points[0]), b = stage_point(&g->on, hairs[n - 1].points[0]);
    double room = hypot(b.x - a.x, b.y - a.y) / (n - 1);
    for (int by = 1; by < n - 1; by++)
        if ((n - 1) % by == 0 && room * by >= APART) return by;
    return n - 1;
}

/* Fingers seen end on: a short bar square to the hair. */
static void draw_bar(const picture *g, lw_vec3 end) {
    point at = stage_point(&g->on, end), d = page_way(&g->on, g->p->direction);
    draw_line(g->d, LINE_FINGER, -1,
              (point[]){page_off(at, -BAR * d.y, BAR * d.x), page_off(at, BAR * d.y, -BAR * d.x)}, 2, false);
}

static lw_status draw_bundle(picture *g) {
    bundle b;
    make_bundle(&b, g);
    g->on = stage_of(g, g->from.view, b.hairs, HAIRS_ACROSS);
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
    char bite[64] = "", whole[32] = "";
    if (!g->blank) snprintf(whole, sizeof whole, "panel %d, ", g->p->whole);
    if (!g->blank && g->p->bites > 1)
        snprintf(bite, sizeof bite, "panel %d, bite %d of %d, ", g->p->whole, g->p->bite, g->p->bites);
    picture_caption(g, *bite ? bite : whole, whole);
    return status;
}

/* ---- the picture of the finger line ---- */

static void draw_tilt(const picture *g, lw_vec3 end, double reach) {
    if (g->step->line.kind != LW_LINE_TILT) return;
    point at = stage_point(&g->on, end), f = page_way(&g->on, g->p->parting),
          finger = page_way(&g->on, g->p->finger);
    double long_ = fmax(14, reach * g->on.scale), radius = .75 * long_;
    draw_line(g->d, LINE_FROM, g->panel,
              (point[]){page_off(at, -long_ * f.x, -long_ * f.y), page_off(at, long_ * f.x, long_ * f.y)}, 2,
              false);
    point of;
    draw_arc(g, at, f, finger, radius, &of);
    degrees_near(g, of, "", g->step->line.tilt, 30);
}

static void make_fan(hair hairs[HAIRS_ALONG], const picture *g) {
    scalp_line along;
    line_along(&along, g->of, g->panel);
    for (int i = 0; i < HAIRS_ALONG; i++) {
        lw_vec3 root = lw_head_project(g->of->head, at_share(&along, (double)i / (HAIRS_ALONG - 1)), NULL);
        hairs[i] = hair_from(g->of, root, panel_end(g->of, g->panel, root, NULL));
    }
}

static void draw_fan(picture *g) {
    hair hairs[HAIRS_ALONG];
    make_fan(hairs, g);
    g->on = stage_of(g, g->from.view, hairs, HAIRS_ALONG);
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
    picture_caption(g, "fingers, ", "");
}

/* ---- both ---- */

typedef struct side_by_side {
    frame left, right;
} side_by_side;

static side_by_side divide(frame at, double share) {
    double height = at.height - PICTURE_CAPTION, split = share * at.width;
    return (side_by_side){{at.x, at.y, split, height}, {at.x + split, at.y, at.width - split, height}};
}

static void views_of(view v[2], const picture *g) {
    v[0] = view_along(g->of->head, hold_angle_of(g->of, g->panel).axis, g->p->anchor);
    v[1] = line_view(g->of, g->panel);
}

static lw_status look_twice(study_view from[2], const picture *g) {
    view v[2];
    views_of(v, g);
    lw_status status[2];
#pragma omp parallel for schedule(static, 1)
    for (int i = 0; i < 2; i++) status[i] = study_view_lines(&from[i], g->s, v[i], NULL);
    if (!status[0] && !status[1]) return LW_OK;
    for (int i = 0; i < 2; i++)
        if (!status[i]) study_view_clear(&from[i]);
    return fail_memory(g->error, "step");
}

static lw_status draw_held(picture *g, side_by_side at) {
    study_view from[2];
    lw_status status = look_twice(from, g);
    if (status) return status;
    g->from = from[0];
    g->at = at.left;
    status = draw_bundle(g);
    g->since = g->d->mark_count;
    g->from = from[1];
    g->at = at.right;
    if (!status) draw_fan(g);
    study_view_clear(&from[0]);
    study_view_clear(&from[1]);
    return status;
}

/* False where the step cuts nothing. */
static bool begin(picture *g, const study *s, int step) {
    g->s = s;
    g->of = &s->subject;
    g->step = &s->subject.plan->steps[step - 1];
    g->panel = step_shown(&s->subject, step);
    g->p = g->panel < 0 ? NULL : lw_cut_panel(s->subject.cut, g->panel);
    return g->p && g->p->line_count;
}

lw_status draw_step_hold(drawing *d, const study *s, int step, frame at, bool blank, lw_error *error) {
    if (step < 1 || step > s->subject.plan->step_count)
        return fail(error, LW_ERROR_ARGUMENT, "step", "Count steps from 1.", "the plan has no step %d", step);
    picture g = {.d = d, .blank = blank, .since = d->mark_count, .error = error};
    if (!begin(&g, s, step)) {
        draw_text(d, TEXT_SMALL, ALIGN_CENTRE, (point){at.x + at.width / 2, at.y + at.height / 2}, 0,
                  "This step cuts no hair.");
        return LW_OK;
    }
    if (!step_sets_distance(g.step)) return draw_held(&g, divide(at, MAIN_SHARE));
    side_by_side both = divide(at, 1 - MAIN_SHARE);
    return draw_step_distance(&g, both.left, both.right);
}

bool step_hold_stages(const study *s, int step, frame at, stage *angle, stage *line) {
    picture g = {0};
    if (!begin(&g, s, step) || step_sets_distance(g.step)) return false;
    side_by_side both = divide(at, MAIN_SHARE);
    view v[2];
    bundle b;
    hair fan[HAIRS_ALONG];
    views_of(v, &g);
    make_bundle(&b, &g);
    make_fan(fan, &g);
    g.at = both.left;
    *angle = stage_of(&g, v[0], b.hairs, HAIRS_ACROSS);
    g.at = both.right;
    *line = stage_of(&g, v[1], fan, HAIRS_ALONG);
    return true;
}
