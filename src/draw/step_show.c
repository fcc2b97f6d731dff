/* What of a step is shown.
 *
 * A hold has its angle in the plane of what it is measured from and the held hair, so the eye that sees its
 * true size looks along their common normal; where the two are at right angles or in line, any eye square to
 * the hair will do, and the parting is followed. The finger line has its true length, and its tilt its true
 * size, for the eye that is square to both the line and the hair.
 *
 * Partings are traced on the surface as the plane curves they are (docs/model.md, Panels): a step along the
 * tangent, down to the surface, then back into the plane along the surface. */
#include "step_show.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "vec.h"

#define STRIDE .0025       /* metres between points of a trace */
#define SMALL (LW_PI / 90) /* angles below it leave their plane open */
#define EXACT (LW_PI / 720)
#define AS_GOOD .9 /* share of the most that is as good as the most */
#define EVEN 1e-6  /* differences that are none */

bool step_sets_distance(const lw_step *step) {
    return step->technique.kind == LW_OVER_COMB || step->technique.kind == LW_CLIPPER;
}

static const lw_step *step_of(const draw_subject *of, int panel) {
    return &of->plan->steps[lw_cut_panel(of->cut, panel)->step - 1];
}

/* ---- which panel, which side ---- */

int step_named(const lw_plan *plan, const char *name) {
    for (int i = 0; i < plan->step_count; i++)
        if (!strcmp(plan->steps[i].name, name)) return i + 1;
    return 0;
}

void step_range(const lw_cut *cut, int step, int *first, int *count) {
    *first = *count = 0;
    for (int i = 0; i < lw_cut_panel_count(cut); i++)
        if (lw_cut_panel(cut, i)->step == step && !(*count)++) *first = i;
}

int step_wholes(const lw_cut *cut, int step) {
    int first, count;
    step_range(cut, step, &first, &count);
    return count ? lw_cut_panel(cut, first + count - 1)->whole : 0;
}

/* The bite of a whole panel that lies nearest to the middle of its bites. */
static int middle_bite(const lw_cut *cut, int first, int count) {
    lw_vec3 mean = {0};
    for (int i = 0; i < count; i++) mean = v3_along(mean, lw_cut_panel(cut, first + i)->anchor, 1. / count);
    int best = first;
    double least = INFINITY;
    for (int i = 0; i < count; i++) {
        double away = v3_norm(v3_sub(lw_cut_panel(cut, first + i)->anchor, mean));
        if (away < least - 1e-9) least = away, best = first + i;
    }
    return best;
}

typedef enum wanted { CUTTING, HELD, ANY } wanted;

static bool wants(wanted which, const lw_panel *p) {
    return which == CUTTING ? p->line_count > 0 && p->cut > 0 : which == HELD ? p->line_count > 0 : true;
}

/* The middle one of the wholes of one side of which some bite is wanted; -1 for none. */
static int middle_whole(const draw_subject *of, int first, int count, wanted which) {
    const lw_cut *cut = of->cut;
    bool outward = step_of(of, first)->panels.start == LW_EDGE_CENTRE;
    int section = lw_cut_panel(cut, first)->section, starts[LW_PANELS_MAX], lengths[LW_PANELS_MAX], n = 0;
    for (int i = 0; i < count && lw_cut_panel(cut, first + i)->section == section;) {
        const lw_panel *p = lw_cut_panel(cut, first + i);
        int fits = 0, bites = 0;
        for (; i + bites < count && lw_cut_panel(cut, first + i + bites)->whole == p->whole; bites++)
            fits += wants(which, lw_cut_panel(cut, first + i + bites));
        if (fits > 0 && n < LW_PANELS_MAX) starts[n] = first + i, lengths[n++] = bites;
        i += bites;
    }
    int middle = outward && n > 4 ? n / 4 : n / 2; /* outward: the middle of the first of two sides */
    return n ? middle_bite(cut, starts[middle], lengths[middle]) : -1;
}

int step_shown(const draw_subject *of, int step) {
    int first, count;
    step_range(of->cut, step, &first, &count);
    if (!count) return -1;
    int shown = middle_whole(of, first, count, CUTTING);
    if (shown < 0) shown = middle_whole(of, first, count, HELD);
    return shown >= 0 ? shown : middle_whole(of, first, count, ANY);
}

lw_status step_labels(int **out, const study *s, int step, lw_error *error) {
    int n = s->mesh.vertex_count, *label = malloc(sizeof *label * (size_t)n);
    *out = label;
    if (!label) return fail_memory(error, "step");
#pragma omp parallel for schedule(static, 256)
    for (int i = 0; i < n; i++)
        label[i] = s->section[i] < 0 ? -1 : lw_cut_panel_at(s->subject.cut, step, s->mesh.position[i]);
    return LW_OK;
}

int step_label_at(const void *ask, lw_vec3 p) {
    const step_ask *of = ask;
    return lw_cut_panel_at(of->cut, of->step, p);
}

static bool between(int label, int low, int high) { return label >= low && label <= high; }

double step_seen(const study *s, view_side side, const int *label, int low, int high) {
    const study_view *v = &s->views[side];
    double area = 0;
    for (int i = 0; i < s->mesh.triangle_count; i++) {
        const int32_t *t = s->mesh.triangle[i];
        if (!between(label[t[0]], low, high) || !between(label[t[1]], low, high) ||
            !between(label[t[2]], low, high))
            continue;
        lw_vec3 a = s->mesh.position[t[0]], b = s->mesh.position[t[1]], c = s->mesh.position[t[2]];
        double faces = .5 * v3_dot(v3_cross(v3_sub(b, a), v3_sub(c, a)), v->view.toward);
        if (faces <= 0) continue;
        lw_vec3 middle = v3_scale(v3_add(a, v3_add(b, c)), 1. / 3);
        if (!depth_map_hides(&v->depth, middle, .003)) area += faces;
    }
    return area;
}

view_side step_side(const study *s, const int *label, int step) {
    const lw_cut *cut = s->subject.cut;
    int first, count, end;
    step_range(cut, step, &first, &count);
    for (end = first; end < first + count; end++)
        if (lw_cut_panel(cut, end)->section != lw_cut_panel(cut, first)->section) break;
    bool pair = end < first + count;
    double written[VIEW_SIDES], both[VIEW_SIDES], most = 0;
    for (int side = VIEW_FRONT; side <= VIEW_ABOVE; side++) {
        written[side] = both[side] = step_seen(s, (view_side)side, label, first, end - 1);
        if (pair) both[side] += step_seen(s, (view_side)side, label, end, first + count - 1);
        most = fmax(most, written[side]);
    }
    view_side best = VIEW_BACK;
    double seen = -1;
    for (int side = VIEW_FRONT; side <= VIEW_ABOVE; side++)
        if (written[side] >= AS_GOOD * most && both[side] > seen * (1 + EVEN))
            seen = both[side], best = (view_side)side;
    return best;
}

/* The panel is on the side that gets the mirror image. */
static bool of_mirrored(const draw_subject *of, const lw_panel *p) {
    int first, count;
    step_range(of->cut, p->step, &first, &count);
    return lw_cut_panel(of->cut, first)->section != p->section;
}

/* ---- the angle of a hold ---- */

/* The part of `along` square to d, unit; `other` where that is next to nothing. */
static lw_vec3 square_to(lw_vec3 d, lw_vec3 along, lw_vec3 other) {
    lw_vec3 axis = v3_tangent(along, d);
    return v3_norm(axis) > .3 ? v3_unit(axis) : v3_unit(v3_tangent(other, d));
}

static hold_angle measured_from(lw_vec3 from, const lw_panel *p, lw_vec3 otherwise) {
    hold_angle a = {.from = from, .angle = acos(fmax(-1, fmin(1, v3_dot(from, p->direction))))};
    bool open = a.angle < SMALL || a.angle > LW_PI - SMALL;
    a.axis = open ? square_to(p->direction, p->parting, otherwise) : v3_unit(v3_cross(from, p->direction));
    return a;
}

/* Straight out of the scalp (or as good as): every tangent will do, so the one across the parting, falling.
 */
static hold_angle straight_out(const draw_subject *of, const lw_panel *p, lw_vec3 n) {
    hold_angle a = {.axis = square_to(p->direction, p->parting, v3(0, 1, 0))};
    a.from = v3_unit(v3_tangent(v3_cross(a.axis, n), p->direction));
    lw_vec3 fall = v3_tangent(v3(0, -1, 0), n);
    if (v3_norm(fall) < .3) fall = lw_scalp_growth(of->scalp, p->place);
    if (v3_dot(a.from, fall) < 0) a.from = v3_scale(a.from, -1);
    a.angle = acos(fmax(-1, fmin(1, v3_dot(a.from, p->direction))));
    return a;
}

static hold_angle from_scalp(const draw_subject *of, const lw_panel *p) {
    lw_vec3 n;
    lw_head_project(of->head, p->place, &n);
    lw_vec3 flat = v3_tangent(p->direction, n);
    if (v3_norm(flat) < sin(SMALL)) return straight_out(of, p, n);
    flat = v3_scale(v3_unit(flat), p->elevation > .5 * LW_PI ? -1 : 1);
    return measured_from(flat, p, v3_cross(flat, n));
}

/* What is turned about the scalp's normal is measured from plumb or level turned along with it. */
static lw_vec3 turned_with(const draw_subject *of, const lw_panel *p, const lw_step *step, lw_vec3 from) {
    if (step->hold.turn == 0) return from;
    lw_vec3 n;
    lw_head_project(of->head, p->place, &n);
    return v3_turn(from, n, -step->hold.turn);
}

static hold_angle from_level(const draw_subject *of, const lw_panel *p, const lw_step *step) {
    double b = step->hold.bearing, sign = of_mirrored(of, p) ? -1 : 1;
    if (cos(step->hold.rise) > sin(SMALL))
        return measured_from(turned_with(of, p, step, v3(sign * sin(b), 0, cos(b))), p, v3(0, 1, 0));
    lw_vec3 axis = square_to(p->direction, p->parting, v3(1, 0, 0));
    lw_vec3 level = v3_cross(axis, p->direction);
    if (v3_dot(level, v3(p->anchor.x, 0, p->anchor.z)) < 0) level = v3_scale(level, -1);
    hold_angle a = measured_from(level, p, v3(1, 0, 0));
    a.axis = axis;
    return a;
}

hold_angle hold_angle_of(const draw_subject *of, int panel) {
    const lw_panel *p = lw_cut_panel(of->cut, panel);
    const lw_step *step = step_of(of, panel);
    hold_angle a;
    if (step_sets_distance(step)) {
        a = straight_out(of, p, p->normal);
        a.stated = a.angle;
    } else if (step->hold.reference == LW_FIXED) {
        a = from_level(of, p, step);
        a.stated = fabs(step->hold.rise);
    } else if (step->hold.reference == LW_FROM_PLUMB) {
        a = measured_from(turned_with(of, p, step, v3(0, -1, 0)), p, v3_cross(v3(0, 1, 0), p->normal));
        a.stated = step->hold.elevation;
    } else {
        a = from_scalp(of, p);
        a.stated = step->hold.elevation;
    }
    double held = step->hold.reference == LW_FIXED || step_sets_distance(step) ? a.stated : p->elevation;
    a.free = fabs(a.angle - held) < EXACT;
    return a;
}

/* ---- from where it is seen ---- */

view view_along(const lw_head *head, lw_vec3 axis, lw_vec3 at) {
    static const lw_vec3 habit = {.35, .9, -.25}; /* above, the client's left and the back, in that order */
    axis = v3_unit(axis);
    lw_vec3 place = v3_unit(v3_sub(at, lw_head_centre(head)));
    double sense = v3_dot(axis, place);
    if (fabs(axis.y) > .6 || fabs(sense) < .2) sense = v3_dot(axis, habit);
    if (fabs(sense) < .05) sense = v3_dot(axis, v3(.8, .6, -.1));
    if (sense < 0) axis = v3_scale(axis, -1);
    if (axis.y < .8) return view_from(axis);
    lw_vec3 right = v3_unit(v3_cross(v3(0, 0, 1), axis));
    return (view){right, v3_cross(axis, right), axis};
}

view line_view(const draw_subject *of, int panel) {
    const lw_panel *p = lw_cut_panel(of->cut, panel);
    lw_vec3 axis = v3_cross(p->parting, p->direction);
    if (v3_norm(axis) < .1) axis = v3_cross(p->finger, p->direction);
    return view_along(of->head, axis, p->anchor);
}

void view_words(char out[64], view v) {
    static const struct {
        const char *alone, *beside;
        lw_vec3 from;
    } ways[] = {{"above", "above", {0, 1, 0}},     {"below", "below", {0, -1, 0}},
                {"the front", "front", {0, 0, 1}}, {"the back", "behind", {0, 0, -1}},
                {"the left", "left", {1, 0, 0}},   {"the right", "right", {-1, 0, 0}}};
    int first = 0, second = -1;
    for (int i = 1; i < 6; i++)
        if (v3_dot(ways[i].from, v.toward) > v3_dot(ways[first].from, v.toward)) first = i;
    for (int i = 0; i < 6; i++) {
        double share = v3_dot(ways[i].from, v.toward);
        if (i != first && share > .35 && (second < 0 || share > v3_dot(ways[second].from, v.toward)))
            second = i;
    }
    if (second < 0)
        snprintf(out, 64, "from %s", ways[first].alone);
    else /* height before front and back, these before the sides */
        snprintf(out, 64, second > 3 || first > 3 ? "from %s %s" : "from %s, %s",
                 ways[first < second ? first : second].beside, ways[first < second ? second : first].beside);
}

/* ---- lines on the scalp ---- */

/* The plane of the parting through the panel's anchor. */
static lw_vec3 parting_plane(const draw_subject *of, int panel) {
    const lw_panel *p = lw_cut_panel(of->cut, panel);
    const lw_step *step = step_of(of, panel);
    double c = cos(step->panels.angle), s = sin(step->panels.angle);
    lw_vec3 centre = lw_head_centre(of->head), axis = v3(0, 1, 0);
    switch (step->panels.family) {
    case LW_FAMILY_LEVEL:
        return v3(0, 1, 0);
    case LW_FAMILY_DIAGONAL_FORWARD:
        return v3(0, c, s);
    case LW_FAMILY_DIAGONAL_BACK:
        return v3(0, c, -s);
    case LW_FAMILY_ACROSS:
        return v3(0, 0, 1);
    case LW_FAMILY_ALONG:
        return v3(1, 0, 0);
    case LW_FAMILY_RADIAL:
        axis = v3_unit(v3_sub(lw_head_place(of->head, step->panels.pivot), centre));
        if (of_mirrored(of, p)) axis = v3_mirror(axis);
        break;
    case LW_FAMILY_UPRIGHT:
        break;
    }
    lw_vec3 normal = v3_cross(axis, v3_sub(p->anchor, centre));
    return v3_norm(normal) > 1e-9 ? v3_unit(normal) : v3_cross(p->normal, p->parting);
}

/* One stride along the surface in the plane through `through`. */
static lw_vec3 stride(const lw_head *head, lw_vec3 at, lw_vec3 plane, lw_vec3 through, double step) {
    lw_vec3 n;
    at = lw_head_project(head, at, &n);
    lw_vec3 along = v3_unit(v3_cross(plane, n)), across = v3_cross(n, along);
    lw_vec3 next = v3_along(at, along, step);
    for (int i = 0; i < 3; i++) {
        next = lw_head_project(head, next, NULL);
        double off = v3_dot(plane, v3_sub(next, through)), slope = v3_dot(plane, across);
        if (fabs(slope) > 1e-3) next = v3_along(next, across, -off / slope);
    }
    return lw_head_project(head, next, NULL);
}

typedef bool inside_of(const draw_subject *of, int panel, lw_vec3 p);

static bool on_panel(const draw_subject *of, int panel, lw_vec3 p) {
    return lw_head_hairline(of->head, p) > 0 &&
           lw_cut_panel_at(of->cut, lw_cut_panel(of->cut, panel)->step, p) == panel;
}

static bool on_step(const draw_subject *of, int panel, lw_vec3 p) {
    if (lw_head_hairline(of->head, p) <= 0) return false;
    const lw_panel *own = lw_cut_panel(of->cut, panel);
    int there = lw_cut_panel_at(of->cut, own->step, p);
    return there >= 0 && lw_cut_panel(of->cut, there)->section == own->section;
}

static int walk(lw_vec3 *out, int room, const draw_subject *of, int panel, lw_vec3 plane, double sense,
                inside_of *inside) {
    lw_vec3 from = lw_cut_panel(of->cut, panel)->anchor, at = from;
    int n = 0;
    while (n < room - 1) {
        lw_vec3 next = stride(of->head, at, plane, from, sense * STRIDE);
        if (!inside(of, panel, next)) break;
        out[n++] = at = next;
    }
    double step = STRIDE;
    for (int i = 0; i < 6; i++) {
        step /= 2;
        lw_vec3 next = stride(of->head, at, plane, from, sense * step);
        if (inside(of, panel, next)) at = next;
    }
    out[n++] = at;
    return n;
}

/* From end to end in the plane, so that it runs on in the direction of `toward`. */
static void line_both(scalp_line *out, const draw_subject *of, int panel, lw_vec3 plane, lw_vec3 toward,
                      inside_of *inside) {
    const lw_panel *p = lw_cut_panel(of->cut, panel);
    double sense = v3_dot(v3_cross(plane, p->normal), toward) < 0 ? -1 : 1;
    lw_vec3 back[LINE_POINTS_MAX / 2];
    int n = walk(back, LINE_POINTS_MAX / 2 - 1, of, panel, plane, -sense, inside);
    for (int i = 0; i < n; i++) out->points[i] = back[n - 1 - i];
    out->points[n] = p->anchor;
    out->start = n;
    out->count = n + 1 + walk(out->points + n + 1, LINE_POINTS_MAX / 2 - 1, of, panel, plane, sense, inside);
}

void line_along(scalp_line *out, const draw_subject *of, int panel) {
    line_both(out, of, panel, parting_plane(of, panel), lw_cut_panel(of->cut, panel)->parting, on_panel);
}

void line_across(scalp_line *out, const draw_subject *of, int panel) {
    const lw_panel *p = lw_cut_panel(of->cut, panel);
    line_both(out, of, panel, p->parting, v3_cross(p->parting, p->normal), on_panel);
}

void line_over_step(scalp_line *out, const draw_subject *of, int panel) {
    const lw_panel *p = lw_cut_panel(of->cut, panel);
    line_both(out, of, panel, p->parting, v3_cross(p->parting, p->normal), on_step);
}

/* ---- where hair ends ---- */

double panel_reach(const lw_cut *cut, const lw_panel *p, double s) {
    const lw_line_point *line = lw_cut_lines(cut) + p->line_first;
    int n = p->line_count;
    if (!n) return NAN;
    if (s <= line[0].s) return line[0].t;
    for (int i = 1; i < n; i++)
        if (s <= line[i].s) {
            double wide = line[i].s - line[i - 1].s;
            double share = wide > 0 ? (s - line[i - 1].s) / wide : 1;
            return line[i - 1].t + share * (line[i].t - line[i - 1].t);
        }
    return line[n - 1].t;
}

/* v turned as the scalp turns from the panel's anchor to a root. */
static lw_vec3 turned(const draw_subject *of, int panel, lw_vec3 plane, lw_vec3 v, lw_vec3 n) {
    const lw_panel *p = lw_cut_panel(of->cut, panel);
    lw_vec3 f = v3_unit(v3_cross(plane, p->normal)), g = v3_unit(v3_cross(plane, n));
    lw_vec3 across = v3_cross(p->normal, f), there = v3_cross(n, g);
    return v3_along(v3_along(v3_scale(n, v3_dot(v, p->normal)), g, v3_dot(v, f)), there, v3_dot(v, across));
}

lw_vec3 panel_end(const draw_subject *of, int panel, lw_vec3 root, lw_vec3 *place) {
    const lw_panel *p = lw_cut_panel(of->cut, panel);
    double s = v3_dot(v3_sub(root, p->anchor), p->parting), t = panel_reach(of->cut, p, s);
    if (!p->follows) {
        if (place) *place = p->place;
        return v3_along(v3_along(p->place, p->direction, t), p->finger, s);
    }
    const lw_step *step = step_of(of, panel);
    lw_vec3 n, plane = parting_plane(of, panel);
    lw_vec3 at = lw_head_project(of->head, root, &n), d = p->direction;
    if (step->hold.reference == LW_FROM_SCALP || step_sets_distance(step)) d = turned(of, panel, plane, d, n);
    if (step->hold.reference == LW_FROM_PLUMB) {
        double by = atan2(n.x, n.z) - atan2(p->normal.x, p->normal.z);
        d = v3_turn(d, v3(0, 1, 0), by);
    }
    lw_vec3 h =
        lw_head_project(of->head, v3_add(at, turned(of, panel, plane, v3_sub(p->place, p->anchor), n)), NULL);
    if (place) *place = h;
    return v3_along(h, d, t);
}
