/* The head drawn from a side.
 *
 * The outline closes by itself; inside it the lines are where the surface turns away from the eye, or nearly,
 * as the study found them, each followed point by point: out of what is drawn, hidden behind the bust, or
 * shown.
 *
 * A curve on the scalp is hidden where the surface under it faces away, which is exact, or where something
 * else, an ear, lies in front of it on the depth map. */
#include "head_drawing.h"

#include <math.h>

#include "name.h"
#include "trace.h"
#include "vec.h"

#define SLACK .002  /* metres behind what is seen that still count as seen: chords lie inside the surface */
#define FADED .07   /* metres above the end of the neck */
#define AWAY (-.02) /* a normal that points away from the eye; along an outline it does not quite */
#define BRIDGE .003
#define SPECK .016       /* strokes as short as this are left to the shading, */
#define SPECK_PLAIN .006 /* and where there is none only these left out */
/* Without shading no eye is drawn: one broken lid winks. Metres above the ear holes, and before the sideburn.
 */
#define EYE_LOW .006
#define EYE_HIGH .055
#define EYE_BEFORE .02

typedef struct looking {
    const study *s;
    const study_view *from;
    bool eyes;
} looking;

/* ---- stages ---- */

stage head_stage_from(const study *s, view v, frame at, double scale) {
    lw_vec3 margin = v3(STUDY_MARGIN, 0, STUDY_MARGIN);
    return stage_fit(v, v3_sub(s->head_low, margin),
                     v3_add(s->head_high, v3(STUDY_MARGIN, STUDY_MARGIN, STUDY_MARGIN)), at, scale);
}

stage head_stage(const study *s, view_side side, frame at, double scale) {
    return head_stage_from(s, view_of(side), at, scale);
}

frame head_frame(const study *s, const stage *on) {
    double left = INFINITY, right = -INFINITY, top = INFINITY, bottom = -INFINITY;
    for (int i = 0; i < 8; i++) {
        point p =
            stage_point(on, v3(i & 1 ? s->head_high.x : s->head_low.x, i & 2 ? s->head_high.y : s->head_low.y,
                               i & 4 ? s->head_high.z : s->head_low.z));
        left = fmin(left, p.x), right = fmax(right, p.x), top = fmin(top, p.y), bottom = fmax(bottom, p.y);
    }
    return (frame){left, top, right - left, bottom - top};
}

/* ---- what is seen ---- */

bool study_view_shows(const study_view *from, lw_vec3 p) { return !depth_map_hides(&from->depth, p, SLACK); }

bool study_shows(const study *s, view_side side, lw_vec3 p) { return study_view_shows(&s->views[side], p); }

/* Whether the line comes to where the neck is cut off: it ends a little before. */
static bool at_cut(const looking *l, lw_vec3 p) {
    const lw_vec3 *low = &l->s->head_low, *high = &l->s->head_high;
    double pixels = 3 * l->from->depth.pixel, near = pixels - STUDY_MARGIN;
    if (l->s->low.y >= low->y || p.y > low->y + .1) return false;
    return p.x < low->x + near || p.x > high->x - near || p.z < low->z + near || p.z > high->z - near ||
           p.y < low->y + pixels;
}

static bool at_eye(const looking *l, lw_vec3 p) {
    return p.y > EYE_LOW && p.y < EYE_HIGH &&
           p.z > lw_head_landmark(l->s->subject.head, LW_SIDEBURN_LEFT).z + EYE_BEFORE;
}

static sight line_sight(const void *context, lw_vec3 p, lw_vec3 tangent) {
    (void)tangent;
    const looking *l = context;
    if (!study_view_holds(l->s, &l->from->view, p) || at_cut(l, p)) return SIGHT_OUT;
    if (!l->eyes && at_eye(l, p)) return SIGHT_OUT;
    return study_view_shows(l->from, p) ? SIGHT_SHOWN : SIGHT_HIDDEN;
}

/* Creases stay above where the shading has gone. */
static sight crease_sight(const void *context, lw_vec3 p, lw_vec3 tangent) {
    const looking *l = context;
    return p.y < l->s->head_low.y + FADED ? SIGHT_OUT : line_sight(context, p, tangent);
}

static sight outline_sight(const void *context, lw_vec3 p, lw_vec3 tangent) {
    (void)tangent;
    return at_cut(context, p) ? SIGHT_OUT : SIGHT_EDGE;
}

static sight scalp_sight(const void *context, lw_vec3 p, lw_vec3 tangent) {
    (void)tangent;
    const looking *l = context;
    lw_vec3 normal, on = lw_head_project(l->s->subject.head, p, &normal);
    bool away = v3_norm(v3_sub(on, p)) < 1e-3 && v3_dot(normal, l->from->view.toward) < AWAY;
    return away || !study_view_shows(l->from, p) ? SIGHT_HIDDEN : SIGHT_SHOWN;
}

bool study_scalp_shows(const study *s, view_side side, lw_vec3 p) {
    looking l = {s, &s->views[side], true};
    return scalp_sight(&l, p, p) == SIGHT_SHOWN;
}

/* ---- lines ---- */

static void draw_all(drawing *d, const stage *on, const curves *c, const trace_how *how) {
    for (int i = 0; i < c->curve_count; i++)
        trace_draw(d, on, c->points + c->curves[i].first, c->curves[i].count, c->curves[i].closed, how);
}

void draw_curve_from(drawing *d, const study *s, const study_view *from, const stage *on, const curves *of,
                     int which, line_role shown, line_role hidden, int about) {
    if (which < 0 || which >= of->curve_count) return;
    looking l = {s, from, true};
    trace_how how = {
        .sight = scalp_sight, .context = &l, .role = {LINE_ROLES, hidden, shown, shown}, .about = about};
    const curve *c = &of->curves[which];
    trace_draw(d, on, of->points + c->first, c->count, c->closed, &how);
}

void draw_curve(drawing *d, const study *s, view_side side, const stage *on, const curves *from, int which,
                line_role shown, line_role hidden, int about) {
    draw_curve_from(d, s, &s->views[side], on, from, which, shown, hidden, about);
}

static void draw_shade(drawing *d, const study_view *from, const stage *on) {
    if (!from->shade.rgba) return;
    const frame *m = &from->shade_metres;
    const view *v = &from->view;
    point at = stage_point(on, v3_add(v3_scale(v->right, m->x), v3_scale(v->up, m->y)));
    draw_picture(d, &from->shade, (frame){at.x, at.y, m->width * on->scale, m->height * on->scale});
}

static void draw_lines(drawing *d, const looking *l, const stage *on, line_role feature, line_role edge) {
    trace_how how = {.sight = line_sight,
                     .context = l,
                     .smooth = 6,
                     .bridge = BRIDGE,
                     .speck = feature == edge ? SPECK_PLAIN : SPECK,
                     .role = {LINE_ROLES, LINE_ROLES, feature, edge},
                     .about = -1};
    draw_all(d, on, &l->from->silhouette, &how);
    how.sight = crease_sight;
    draw_all(d, on, &l->from->creases, &how);
    how.sight = outline_sight;
    draw_all(d, on, &l->from->outline, &how);
}

void draw_head_from(drawing *d, const study *s, const study_view *from, const stage *on) {
    looking l = {s, from, from->shade.rgba != NULL};
    draw_shade(d, from, on);
    draw_lines(d, &l, on, LINE_FEATURE, LINE_OUTLINE);
    for (int i = 0; i < s->hairline.curve_count; i++)
        draw_curve_from(d, s, from, on, &s->hairline, i, LINE_HAIRLINE, LINE_ROLES, -1);
}

void draw_head_lines(drawing *d, const study *s, const study_view *from, const stage *on, line_role role) {
    looking l = {s, from, false};
    draw_lines(d, &l, on, role, role);
}

void draw_head(drawing *d, const study *s, view_side side, const stage *on) {
    draw_head_from(d, s, &s->views[side], on);
}

void draw_sections(drawing *d, const study *s, view_side side, const stage *on, bool names) {
    for (int i = 0; i < s->sections.curve_count && side != VIEW_FRONT; i++) /* a face is kept clear */
        draw_curve(d, s, side, on, &s->sections, i, LINE_ROLES, LINE_SECTION_HIDDEN, -1);
    for (int i = 0; i < s->sections.curve_count; i++)
        draw_curve(d, s, side, on, &s->sections, i, LINE_SECTION, LINE_ROLES, -1);
    if (names) draw_section_names(d, s, side, on);
}
