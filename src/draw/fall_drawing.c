/* The fallen cut drawn from a side.
 *
 * lw_fallen's outlines go round hair and bust together, and round the bust alone; what they have in common is
 * no hair. Lines round the head go from bearing to bearing and are drawn on the half that faces the eye: they
 * lie on the outside of the hair, which hides the other half. */
#include "fall_drawing.h"

#include <math.h>
#include <stdlib.h>

#include "head_drawing.h"
#include "tell.h"
#include "trace.h"
#include "vec.h"

#define STANDS_OFF .0011 /* metres from a point of the bust's outline, which lie 2 mm apart or less */
#define BRIDGE .006
#define SPECK .015
#define AT_OUTLINE .003  /* metres: ends that lie so near to the outline are told by it */
#define AROUND_HAIR .006 /* metres of paper */
#define BASE .012        /* metres above a bust's base that are left out */
#define SMOOTH 30        /* rounds of trace.h: single strands do not make a line */
#define RISE_LEAST 24    /* points that an arrow with words on it takes */
#define FACING .1        /* cosine to the eye */

_Static_assert((int)VIEW_FRONT == LW_VIEW_FRONT && (int)VIEW_BACK == LW_VIEW_BACK &&
                   (int)VIEW_LEFT == LW_VIEW_LEFT && (int)VIEW_RIGHT == LW_VIEW_RIGHT &&
                   (int)VIEW_ABOVE == LW_VIEW_ABOVE,
               "sides are numbered as views");

/* ---- what is hair ---- */

/* The bust's outline as it is looked up: its points from the lowest. */
typedef struct edge {
    const study *s;
    const stage *on;
    point *at; /* metres in the view's plane */
    int count;
    lw_vec3 low, high; /* what is drawn */
} edge;

static point flat(const view *v, lw_vec3 p) { return (point){v3_dot(p, v->right), v3_dot(p, v->up)}; }

static int by_height(const void *a, const void *b) {
    const point *p = a, *q = b;
    return (p->y > q->y) - (p->y < q->y);
}

static bool edge_make(edge *e, const study *s, const stage *on, const lw_outline *bust) {
    *e = (edge){.s = s, .on = on, .count = bust->count};
    e->at = malloc(((size_t)bust->count + 1) * sizeof *e->at);
    if (!e->at) return false;
    for (int i = 0; i < bust->count; i++) e->at[i] = flat(&on->view, bust->at[i]);
    qsort(e->at, (size_t)e->count, sizeof *e->at, by_height);
    return true;
}

/* The first that is not lower than y. */
static int first_from(const edge *e, double y) {
    int low = 0, high = e->count;
    while (low < high) {
        int middle = low + (high - low) / 2;
        if (e->at[middle].y < y)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static bool is_at(const edge *e, lw_vec3 p, double near) {
    point q = flat(&e->on->view, p);
    for (int i = first_from(e, q.y - near); i < e->count && e->at[i].y <= q.y + near; i++)
        if (hypot(e->at[i].x - q.x, e->at[i].y - q.y) < near) return true;
    return false;
}

static bool is_bust(const edge *e, lw_vec3 p) { return is_at(e, p, STANDS_OFF); }

static sight hair_sight(const void *context, lw_vec3 p, lw_vec3 tangent) {
    (void)tangent;
    return is_bust(context, p) ? SIGHT_HIDDEN : SIGHT_SHOWN;
}

/* ---- how much is drawn ---- */

static void widen(lw_vec3 *low, lw_vec3 *high, lw_vec3 p) {
    *low = v3(fmin(low->x, p.x), fmin(low->y, p.y), fmin(low->z, p.z));
    *high = v3(fmax(high->x, p.x), fmax(high->y, p.y), fmax(high->z, p.z));
}

static lw_vec3 round_point(const study *s, const lw_around *a, double height, double far) {
    double z = lw_head_centre(s->subject.head).z;
    return v3(far * sin(a->bearing), height, z + far * cos(a->bearing));
}

/* Head, neck and all hair. */
static bool drawn_box(lw_vec3 *low, lw_vec3 *high, const study *s) {
    static const view_side looked[] = {VIEW_FRONT, VIEW_LEFT};
    const lw_fallen *f = s->subject.fallen;
    bool fine = true;
    *low = v3_sub(s->head_low, v3(STUDY_MARGIN, 0, STUDY_MARGIN));
    *high = v3_add(s->head_high, v3(STUDY_MARGIN, STUDY_MARGIN, STUDY_MARGIN));
    for (int i = 0; i < 2; i++) {
        stage on = {.view = view_of(looked[i])};
        const lw_outline *o = &f->outline[looked[i]];
        edge e;
        fine = fine && edge_make(&e, s, &on, &f->bust[looked[i]]);
        for (int k = 0; fine && k < o->count; k++)
            if (!is_bust(&e, o->at[k])) {
                lw_vec3 off = v3_scale(v3(1, 1, 1), AROUND_HAIR);
                widen(low, high, v3_sub(o->at[k], off)), widen(low, high, v3_add(o->at[k], off));
            }
        if (fine) free(e.at);
    }
    for (int k = 0; k < LW_BEARINGS; k++) {
        const lw_around *a = &f->around[k];
        if (isfinite(a->perimeter)) low->y = fmin(low->y, a->perimeter - AROUND_HAIR);
    }
    return fine;
}

stage fall_stage(const study *s, view_side side, frame at, double scale) {
    lw_vec3 low, high;
    drawn_box(&low, &high, s); /* out of memory: the head, and drawing fails */
    return stage_fit(view_of(side), low, high, at, scale);
}

/* ---- lines ---- */

/* Where the study's own lines of the bust are, which are finer. */
static bool in_study(const study *s, const view *v, lw_vec3 p) {
    double off = STUDY_MARGIN;
    lw_vec3 in = v3(p.x + (p.x > 0 ? off : -off), p.y - off, p.z);
    return study_view_holds(s, v, v->toward.y > .7 ? p : in);
}

static sight shoulder_sight(const void *context, lw_vec3 p, lw_vec3 tangent) {
    (void)tangent;
    const edge *e = context;
    const view *v = &e->on->view;
    lw_vec3 seen = v3_add(v3_scale(v->right, v3_dot(p, v->right)), v3_scale(v->up, v3_dot(p, v->up)));
    if (in_study(e->s, v, seen)) return SIGHT_OUT;
    point q = flat(v, p), low = flat(v, e->low), high = flat(v, e->high);
    bool across = (q.x > low.x) != (q.x > high.x), upward = (q.y > low.y) != (q.y > high.y);
    return across && upward && q.y > e->at[0].y + BASE ? SIGHT_SHOWN : SIGHT_OUT;
}

static void draw_outline(drawing *d, const edge *e, const lw_outline *of, trace_sight *seen, line_role role,
                         int smooth) {
    trace_how how = {.sight = seen,
                     .context = e,
                     .smooth = smooth,
                     .bridge = BRIDGE,
                     .speck = SPECK,
                     .role = {LINE_ROLES, LINE_ROLES, role, role},
                     .about = -1};
    trace_draw(d, e->on, of->at, of->count, true, &how);
}

static bool faces(const view *v, const lw_around *a) {
    return v3_dot(v->toward, v3(sin(a->bearing), 0, cos(a->bearing))) > FACING;
}

static lw_side side_at(double bearing) {
    double turn = fabs(bearing) * 4 / LW_PI;
    if (turn < 1 - 1e-9) return LW_SIDE_FRONT;
    if (turn > 3 + 1e-9) return LW_SIDE_BACK;
    return bearing > 0 ? LW_SIDE_LEFT : LW_SIDE_RIGHT;
}

/* ---- round the head ---- */

enum { NEAR = 3, FEWEST = 3 }; /* bearings to either side that are evened out; in a line */

/* A line round the head: by bearing, its height and its distance from the axis; NAN where it is not. */
typedef struct ring {
    double height[LW_BEARINGS], far[LW_BEARINGS];
} ring;

static int next(int k, int by) { return (k + by + LW_BEARINGS) % LW_BEARINGS; }

static void ends_of(ring *out, const lw_fallen *f) {
    for (int k = 0; k < LW_BEARINGS; k++)
        out->height[k] = f->around[k].perimeter, out->far[k] = f->around[k].perimeter_far;
}

/* Only where the whole side reads as having weight. */
static void weight_of(ring *out, const lw_fallen *f) {
    for (int k = 0; k < LW_BEARINGS; k++) {
        const lw_around *a = &f->around[k];
        bool heavy = isfinite(f->side[side_at(a->bearing)].weight);
        out->height[k] = heavy ? a->weight : (double)NAN;
        out->far[k] = a->weight_far;
    }
}

static int by_value(const void *a, const void *b) {
    double p = *(const double *)a, q = *(const double *)b;
    return (p > q) - (p < q);
}

static double median_near(const double *value, const double *where, int k) {
    double near[2 * NEAR + 1];
    int n = 0;
    for (int i = -NEAR; i <= NEAR; i++)
        if (isfinite(where[next(k, i)])) near[n++] = value[next(k, i)];
    qsort(near, (size_t)n, sizeof *near, by_value);
    return (near[(n - 1) / 2] + near[n / 2]) / 2;
}

static double mean_near(const double *value, int k) {
    double sum = 0;
    int n = 0;
    for (int i = -1; i <= 1; i++)
        if (isfinite(value[next(k, i)])) sum += value[next(k, i)], n++;
    return sum / n;
}

/* Weight is read at each bearing apart, from few ends, and lies on one line all the same. */
static void even_out_ring(ring *r) {
    ring middle, was = *r;
    for (int k = 0; k < LW_BEARINGS; k++) {
        middle.height[k] = middle.far[k] = (double)NAN;
        if (!isfinite(was.height[k])) continue;
        middle.height[k] = median_near(was.height, was.height, k);
        middle.far[k] = median_near(was.far, was.height, k);
    }
    for (int k = 0; k < LW_BEARINGS; k++)
        if (isfinite(was.height[k]))
            r->height[k] = mean_near(middle.height, k), r->far[k] = mean_near(middle.far, k);
}

/* From the bearing opposite the eye once round. `beside`: left out so near to it; NULL: nothing. */
static void draw_ring(drawing *d, const edge *e, const ring *r, const edge *beside, line_role role) {
    const lw_around *around = e->s->subject.fallen->around;
    int start = 0, count = 0;
    point run[LW_BEARINGS];
    while (start < LW_BEARINGS - 1 && faces(&e->on->view, &around[start])) start++;
    for (int i = 0; i <= LW_BEARINGS; i++) {
        int k = next(start, i);
        lw_vec3 at = round_point(e->s, &around[k], r->height[k], r->far[k]);
        bool seen = i < LW_BEARINGS && faces(&e->on->view, &around[k]) && isfinite(r->height[k]);
        if (seen && !(beside && is_at(beside, at, AT_OUTLINE))) {
            run[count++] = stage_point(e->on, at);
            continue;
        }
        if (count >= FEWEST) draw_line(d, role, -1, run, count, false);
        count = 0;
    }
}

/* ---- how far the weight lies above the ends ---- */

/* The bearing of a side at which both lie most nearly as they do on the whole; -1 where there is no weight.
 */
static int typical(const lw_fallen *f, lw_side side) {
    const lw_side_reading *all = &f->side[side];
    int best = -1;
    double least = INFINITY;
    for (int k = 0; k < LW_BEARINGS; k++) {
        const lw_around *a = &f->around[k];
        double off = fabs(a->weight - all->weight) + fabs(a->perimeter - all->perimeter);
        if (side_at(a->bearing) == side && off < least) best = k, least = off;
    }
    return best;
}

static void draw_rise(drawing *d, const edge *e, lw_side side) {
    const lw_fallen *f = e->s->subject.fallen;
    const lw_side_reading *all = &f->side[side];
    int k = typical(f, side);
    if (k < 0) return;
    const lw_around *a = &f->around[k];
    double far = (a->weight_far + a->perimeter_far) / 2;
    point ends[2] = {stage_point(e->on, round_point(e->s, a, all->perimeter, far)),
                     stage_point(e->on, round_point(e->s, a, all->weight, far))};
    if (ends[0].y - ends[1].y < RISE_LEAST) return;
    char text[32];
    say_length(text, all->weight - all->perimeter, e->s->subject.plan->units);
    draw_line(d, LINE_ANGLE, -1, ends, 2, false);
    draw_label(d, TEXT_LABEL, -1, (point){ends[0].x, (ends[0].y + ends[1].y) / 2}, 0, text);
}

/* ---- all of it ---- */

static lw_side side_of(view_side side) {
    return side == VIEW_FRONT  ? LW_SIDE_FRONT
           : side == VIEW_BACK ? LW_SIDE_BACK
           : side == VIEW_LEFT ? LW_SIDE_LEFT
                               : LW_SIDE_RIGHT;
}

static void draw_fallen(drawing *d, const edge *e, view_side side) {
    const lw_fallen *f = e->s->subject.fallen;
    ring ends, weight;
    edge outline;
    if (!edge_make(&outline, e->s, e->on, &f->outline[side])) {
        d->failed = true;
        return;
    }
    ends_of(&ends, f);
    weight_of(&weight, f);
    even_out_ring(&weight);
    draw_ring(d, e, &ends, &outline, LINE_ENDS);
    draw_outline(d, e, &f->outline[side], hair_sight, LINE_FALLEN, SMOOTH);
    draw_ring(d, e, &weight, NULL, LINE_WEIGHT);
    if (side != VIEW_ABOVE) draw_rise(d, e, side_of(side));
    free(outline.at);
}

void draw_fall(drawing *d, const study *s, view_side side, const stage *on, bool hair) {
    const lw_fallen *f = s->subject.fallen;
    edge e;
    if (!edge_make(&e, s, on, &f->bust[side]) || !drawn_box(&e.low, &e.high, s)) {
        free(e.at);
        d->failed = true;
        return;
    }
    draw_head_lines(d, s, &s->views[side], on, LINE_BUST);
    draw_outline(d, &e, &f->bust[side], shoulder_sight, LINE_BUST, 2);
    if (hair) draw_fallen(d, &e, side);
    free(e.at);
}
