/* Resolving a panel: from the step's words to the place h, the direction d, the finger line f' and t(s).
 *
 * A guide is a handful of hairs of known length: points along the middle line of the panel that guides, each
 * with the length the plan so far leaves there, or one hair with a measured length. Each is carried to this
 * hold and says how far out it reaches: the t at which its own taut path is as long as it is. Straight
 * fingers take the straight line nearest to these t (least squares); a tilted line keeps its tilt and takes
 * their mean.
 *
 * A following line has no single place. Every guide hair meets the point across from it on this
 * panel's own middle line, at the share of the way between them that the carry says; the length that the hair
 * of this panel has there is t(s). So a hair under a following line is cut to t(s), whatever the carry.
 */
#include <stdlib.h>

#include "cut.h"
#include "fail.h"
#include "hash.h"
#include "path.h"

/* A guide that spans less than this share of the line says how long, not how slanted. */
static const double SLANT_SHARE = 0.5;

/* The line's points reach this far past the outermost survey point, so that they cover every hair. */
static const double OVERHANG = 0.01;

/* Metres by which a guide hair may be longer or shorter than the path that is found for it. */
static const double REACHED = 1e-7;

typedef struct guide_hairs {
    int n;
    lw_vec3 root[MIDLINE_MAX], normal[MIDLINE_MAX]; /* in the frame of the pass */
    double held[MIDLINE_MAX];                       /* metres, as held in this step's state */
} guide_hairs;

static double state_factor(const lw_hair *hair, lw_state state) {
    if (state == LW_STATE_INHERIT) state = hair->state;
    if (state == LW_STATE_WET) return 1 / (1 + hair->wet_stretch);
    if (state == LW_STATE_CURLED) return 1 / lw_hair_lies(hair, 1);
    return 1;
}

static lw_vec3 seen(const pass *p, lw_vec3 v) { return p->mirrored ? v3_mirror(v) : v; }

/* One error of the hand: kind 0 elevation, 1 carry, 2 length. */
static double slip(const lw_cut *cut, double deviation, int p, int k, int kind) {
    if (!(deviation > 0)) return 0;
    return deviation * hash_normal(cut->hands.seed, (uint64_t)p << 32 | (uint32_t)k, (uint64_t)kind);
}

/* Whether point i of the middle line of strip k is hair of the part. */
static bool belongs(const pass *p, int k, int i) { return p->own[k] >> i & 1; }

/* Puts surface points into g with the lengths that the first `limit` panels leave there, seen in the frame of
 * `to`. */
static void take_hairs(const lw_cut *cut, guide_hairs *g, const lw_vec3 *real, int n, const pass *to,
                       int limit, double factor) {
    batch b;
    b.n = g->n = n;
    for (int i = 0; i < n; i++) {
        lw_vec3 normal, at = lw_head_project(cut->head, real[i], &normal);
        b.x[i] = at.x, b.y[i] = at.y, b.z[i] = at.z;
        b.nx[i] = normal.x, b.ny[i] = normal.y, b.nz[i] = normal.z;
        b.number[i] = -1;
        g->root[i] = seen(to, at);
        g->normal[i] = seen(to, normal);
    }
    cut_replay(cut, cut->known, NULL, &b, limit, NULL);
    for (int i = 0; i < n; i++) g->held[i] = b.length[i] / factor;
}

/* The middle line of a strip of p. Points beyond the border of its part are a neighbour's hair, unless there
 * are no others. Returns their number. */
static int middle_hairs(const pass *p, int k, lw_vec3 *real) {
    const strip *st = &p->set.strips[k];
    int n = 0;
    for (int i = 0; i < st->midline_count; i++)
        if (belongs(p, k, i)) real[n++] = seen(p, st->midline[i]);
    if (n) return n;
    for (int i = 0; i < st->midline_count; i++) real[i] = seen(p, st->midline[i]);
    return st->midline_count;
}

/* The middle-line point of a step's panels that lies nearest to a point of the head; false if there is none.
 */
static bool nearest_of_step(const lw_cut *cut, int step, lw_vec3 to, lw_vec3 *out) {
    double nearest = INFINITY;
    for (int q = 0; q < cut->pass_count; q++) {
        const pass *p = &cut->passes[q];
        if (p->step != step) continue;
        for (int k = 0; k < p->set.count; k++)
            for (int i = 0; i < p->set.strips[k].midline_count; i++) {
                lw_vec3 at = seen(p, p->set.strips[k].midline[i]);
                double d = v3_norm(v3_sub(at, to));
                if (d < nearest && belongs(p, k, i)) nearest = d, *out = at;
            }
    }
    return nearest < INFINITY;
}

/* For every point of a strip's own middle line the nearest hair of an earlier step, each once. */
static int hairs_of_step(const lw_cut *cut, const pass *p, const strip *st, int step, lw_vec3 *real) {
    int n = 0;
    for (int i = 0; i < st->midline_count; i++) {
        lw_vec3 at;
        if (!nearest_of_step(cut, step, seen(p, st->midline[i]), &at)) return 0;
        bool known = false;
        for (int j = 0; j < n; j++) known |= v3_norm(v3_sub(real[j], at)) < 1e-9;
        if (!known) real[n++] = at;
    }
    return n;
}

static int step_find(const lw_cut *cut, const char *name) {
    for (int i = 0; i < cut->step_count; i++)
        if (strcmp(cut->steps[i].name, name) == 0) return i;
    return -1;
}

/* Which strip of its own pass guides strip k; -1 where the guide comes from elsewhere. */
static int guiding_strip(const panel_set *set, const lw_guide *guide, int k) {
    if (guide->kind == LW_GUIDE_TRAVELLING) return set->strips[k].before;
    if (guide->kind != LW_GUIDE_STATIONARY) return -1;
    int from = set->strips[k].before;
    while (from >= 0 && set->strips[from].slot != set->strips[0].slot) from = set->strips[from].before;
    return from;
}

typedef enum source { OWN_STEP, EARLIER_STEP, MEASURED } source;

/* The guide of strip k. */
static source find_guide(const lw_cut *cut, int p, int k, double factor, guide_hairs *g) {
    const pass *ps = &cut->passes[p];
    const strip *st = &ps->set.strips[k];
    const lw_guide *guide = &cut->steps[ps->step].guide;
    int limit = ps->first + k, from = guiding_strip(&ps->set, guide, k);
    lw_vec3 real[MIDLINE_MAX];
    g->n = 0;
    if (from >= 0) {
        int n = middle_hairs(ps, from, real);
        take_hairs(cut, g, real, n, ps, limit, factor);
        return OWN_STEP;
    }
    if (guide->step[0]) {
        int n = hairs_of_step(cut, ps, st, step_find(cut, guide->step), real);
        take_hairs(cut, g, real, n, ps, limit, factor);
        return EARLIER_STEP;
    }
    if (guide->length > 0) {
        g->n = 1;
        g->root[0] = guide->at.from >= 0 ? lw_head_place(cut->head, guide->at) : st->anchor;
        g->root[0] = lw_head_project(cut->head, g->root[0], &g->normal[0]);
        g->held[0] = guide->length;
    }
    return MEASURED;
}

/* Where the point p of strip k is carried to. The first panel of a step has none before it in its step: where
 * an earlier step guides it, that step's hair, rooted at `guide`, is what it is carried to. */
static lw_vec3 carried(const lw_cut *cut, const pass *ps, int k, double carry, lw_vec3 p, source from,
                       const lw_vec3 *guide, bool at_anchor) {
    const lw_hold *hold = &cut->steps[ps->step].hold;
    bool first = ps->set.strips[k].before < 0 && hold->target == LW_TOWARD_PREVIOUS;
    if (first && from == EARLIER_STEP && guide && carry > 0)
        return kept_between(cut->kept, cut->head, p, *guide, fmin(carry, 1));
    return hold_carry(cut->kept, cut->head, &ps->set, hold, carry, k, p, at_anchor);
}

static const lw_vec3 *nearest_root(const guide_hairs *g, lw_vec3 p) {
    const lw_vec3 *best = NULL;
    for (int i = 0; i < g->n; i++)
        if (!best || v3_norm(v3_sub(g->root[i], p)) < v3_norm(v3_sub(*best, p))) best = &g->root[i];
    return best;
}

/* For each guide hair the t >= 0 at which the path from its root to base + t d is as long as it is; NAN where
 * none is. A path is at least the straight way, so the straight solution brackets from above; secants from
 * there, and halves of the bracket where a secant leaves it. */
static void reach(const lw_cut *cut, const guide_hairs *g, const lw_vec3 *base, const lw_vec3 *d, double *t) {
    int n = g->n;
    asked of;
    double low[MIDLINE_MAX], high[MIDLINE_MAX], f_low[MIDLINE_MAX], f_high[MIDLINE_MAX];
    double last[MIDLINE_MAX], f_last[MIDLINE_MAX];
    bool done[MIDLINE_MAX];
    for (int i = 0; i < n; i++) {
        lw_vec3 w = v3_sub(base[i], g->root[i]);
        double along = v3_dot(w, d[i]), q = g->held[i] * g->held[i] - v3_dot(w, w) + along * along;
        of.x[i] = g->root[i].x, of.y[i] = g->root[i].y, of.z[i] = g->root[i].z;
        of.nx[i] = g->normal[i].x, of.ny[i] = g->normal[i].y, of.nz[i] = g->normal[i].z;
        low[i] = 0;
        high[i] = t[i] = q >= 0 ? -along + sqrt(q) : NAN;
        f_low[i] = f_high[i] = f_last[i] = NAN;
        last[i] = t[i];
        done[i] = !(t[i] >= 0);
        if (done[i]) t[i] = NAN;
    }
    of.n = n;
    of.own = NULL;
    for (int iteration = 0; iteration < 60; iteration++) {
        bool all = true;
        for (int i = 0; i < n; i++) {
            lw_vec3 e = v3_along(base[i], d[i], done[i] ? high[i] : t[i]);
            if (done[i]) e = v3_along(g->root[i], g->normal[i], 0.01);
            of.tx[i] = e.x, of.ty[i] = e.y, of.tz[i] = e.z;
            all &= done[i];
        }
        if (all) break;
        cut_paths(cut, cut->known, &of);
        for (int i = 0; i < n; i++) {
            if (done[i]) continue;
            double f = isnan(of.path[i]) ? -g->held[i] : of.path[i] - g->held[i];
            if (fabs(f) < REACHED) {
                done[i] = true;
                continue;
            }
            double secant = t[i] - f * (t[i] - last[i]) / (f - f_last[i]);
            last[i] = t[i], f_last[i] = f;
            if (f > 0)
                high[i] = t[i], f_high[i] = f;
            else
                low[i] = t[i], f_low[i] = f;
            if (f > 0 && t[i] <= 0) {
                t[i] = NAN; /* too short even at the scalp */
                done[i] = true;
            } else if (isnan(f_low[i])) {
                /* lengths grow about as fast as t or slower: step back by a little more than the excess */
                t[i] = fmax(0, t[i] - 1.5 * f);
            } else if (isnan(f_high[i])) {
                done[i] = true;
            } else {
                t[i] = secant > low[i] && secant < high[i] ? secant : 0.5 * (low[i] + high[i]);
                if (high[i] - low[i] < 1e-9) done[i] = true;
            }
        }
    }
    for (int i = 0; i < n; i++)
        if (!done[i]) t[i] = 0.5 * (low[i] + high[i]);
}

static int by_s(const void *a, const void *b) {
    const lw_line_point *p = a, *q = b;
    return (p->s > q->s) - (p->s < q->s);
}

/* Distance of s from the stretch that the fingers cover. */
static double beside(const strip *st, double s) { return fmax(0, fmax(st->s_low - s, s - st->s_high)); }

/* The line's points from its guide: a straight line through [s_low, s_high], from the guide hairs that the
 * fingers can hold, or the one nearest to them. Returns their number, 0 if none reaches. */
static int straight_line(const strip *st, const guide_hairs *g, const cutting *c, const double *t,
                         bool slanted, lw_line_point *out) {
    double n = 0, ms = 0, mt = 0, ss = 0, st_sum = 0, low = INFINITY, high = -INFINITY, least = INFINITY;
    double s[MIDLINE_MAX];
    for (int i = 0; i < g->n; i++) {
        s[i] = v3_dot(v3_sub(g->root[i], c->anchor), c->parting);
        if (!isnan(t[i])) least = fmin(least, beside(st, s[i]));
    }
    for (int i = 0; i < g->n; i++) {
        if (isnan(t[i]) || beside(st, s[i]) > least) continue;
        n += 1, ms += s[i], mt += t[i];
        low = fmin(low, s[i]), high = fmax(high, s[i]);
    }
    if (n == 0) return 0;
    ms /= n, mt /= n;
    for (int i = 0; i < g->n; i++) {
        if (isnan(t[i]) || beside(st, s[i]) > least) continue;
        ss += (s[i] - ms) * (s[i] - ms), st_sum += (s[i] - ms) * (t[i] - mt);
    }
    bool wide = high - low > SLANT_SHARE * (st->s_high - st->s_low);
    double slope = slanted && wide && ss > 0 ? st_sum / ss : 0;
    double from = st->s_low - OVERHANG, to = st->s_high + OVERHANG;
    out[0] = (lw_line_point){from, mt + slope * (from - ms)};
    out[1] = (lw_line_point){to, mt + slope * (to - ms)};
    return 2;
}

static void resolve_straight(const lw_cut *cut, int p, int k, cutting *c, const held *at, const lw_line *line,
                             const guide_hairs *g, source from, lw_line_point *out, int *count) {
    const strip *st = &cut->passes[p].set.strips[k];
    static const lw_vec3 toward[] = {
        [LW_EDGE_DEFAULT] = {0, 1, 0}, [LW_EDGE_BOTTOM] = {0, -1, 0}, [LW_EDGE_TOP] = {0, 1, 0},
        [LW_EDGE_FRONT] = {0, 0, 1},   [LW_EDGE_BACK] = {0, 0, -1},   [LW_EDGE_LEFT] = {1, 0, 0},
        [LW_EDGE_RIGHT] = {-1, 0, 0},  [LW_EDGE_CENTRE] = {0, 1, 0}};
    c->place = at->place;
    c->direction = at->direction;
    c->finger = c->parting;
    if (line->kind == LW_LINE_TILT) {
        lw_vec3 out_of_line = v3_unit(v3_tangent(c->direction, c->parting));
        double sign = v3_dot(c->parting, toward[line->longer]) < 0 ? -1 : 1;
        c->finger = v3_along(v3_scale(c->parting, cosine(line->tilt)), out_of_line, sign * sine(line->tilt));
    }
    lw_vec3 base[MIDLINE_MAX], d[MIDLINE_MAX];
    double t[MIDLINE_MAX];
    for (int i = 0; i < g->n; i++) {
        double s = v3_dot(v3_sub(g->root[i], c->anchor), c->parting);
        base[i] = v3_along(c->place, c->finger, s);
        d[i] = c->direction;
    }
    reach(cut, g, base, d, t);
    *count = straight_line(st, g, c, t, line->kind == LW_LINE_STRAIGHT && from != MEASURED, out);
}

/* Lengths of paths from points of the surface, n <= MIDLINE_MAX: where the way is straight that is soon told,
 * and plain otherwise. */
static void ways(const lw_cut *cut, int n, const lw_vec3 *from, const lw_vec3 *to, double *length) {
    const surface *s = &cut->head->surface;
    double f[3][MIDLINE_MAX], out[3][MIDLINE_MAX], t[3][MIDLINE_MAX];
    for (int i = 0; i < n; i++) {
        lw_vec3 normal, at = lw_head_project(cut->head, from[i], &normal);
        f[0][i] = at.x, f[1][i] = at.y, f[2][i] = at.z;
        out[0][i] = normal.x, out[1][i] = normal.y, out[2][i] = normal.z;
        t[0][i] = to[i].x, t[1][i] = to[i].y, t[2][i] = to[i].z;
        length[i] = PATH_UNSURE;
    }
    if (!cut->reference)
        path_straight(s, n, f[0], f[1], f[2], out[0], out[1], out[2], t[0], t[1], t[2], length);
    for (int i = 0; i < n; i++)
        if (length[i] == PATH_UNSURE) length[i] = path_length(s, from[i], to[i], NULL);
}

static void resolve_following(const lw_cut *cut, int p, int k, cutting *c, const held *at, double elevation,
                              double carry, const guide_hairs *g, source from, lw_line_point *out,
                              int *count) {
    const pass *ps = &cut->passes[p];
    const strip *st = &ps->set.strips[k];
    const lw_hold *hold = &cut->steps[ps->step].hold;
    c->place = at->place;
    c->direction = at->direction;
    c->finger = c->parting;
    *count = 0;
    if (from == MEASURED && g->n) {
        out[0] = (lw_line_point){st->s_low - OVERHANG, g->held[0]};
        out[1] = (lw_line_point){st->s_high + OVERHANG, g->held[0]};
        *count = 2;
        return;
    }
    lw_vec3 own[MIDLINE_MAX], base[MIDLINE_MAX], d[MIDLINE_MAX];
    double t[MIDLINE_MAX];
    for (int i = 0; i < g->n; i++) {
        own[i] = panel_counterpart(&ps->set, &cut->head->surface, k, g->root[i]);
        lw_vec3 meet = carried(cut, ps, k, carry, own[i], from, &g->root[i], false);
        held h = hold_at(cut->head, cut->scalp, hold, elevation, meet);
        base[i] = h.place;
        d[i] = h.direction;
    }
    reach(cut, g, base, d, t);
    lw_vec3 end[MIDLINE_MAX];
    double length[MIDLINE_MAX];
    for (int i = 0; i < g->n; i++) end[i] = v3_along(base[i], d[i], t[i]);
    ways(cut, g->n, own, end, length);
    for (int i = 0; i < g->n; i++)
        if (isfinite(length[i]))
            out[(*count)++] = (lw_line_point){v3_dot(v3_sub(own[i], c->anchor), c->parting), length[i]};
    if (!*count) return;
    qsort(out, (size_t)*count, sizeof *out, by_s);
    int last = *count - 1;
    if (out[0].s > st->s_low - OVERHANG) {
        memmove(out + 1, out, sizeof *out * (size_t)(last + 1));
        out[0].s = st->s_low - OVERHANG;
        last++;
    }
    if (out[last].s < st->s_high + OVERHANG) {
        out[last + 1] = (lw_line_point){st->s_high + OVERHANG, out[last].t};
        last++;
    }
    *count = last + 1;
}

/* Lengths that need no guide: over comb and clipper. */
static double set_length(const lw_technique *t, const panel_set *set, int k) {
    static const double GUARD = 0.0254 / 8;
    if (t->kind == LW_OVER_COMB) {
        double lowest = INFINITY;
        for (int i = 0; i < set->count; i++) lowest = fmin(lowest, set->strips[i].anchor.y);
        return t->distance + t->rise * (set->strips[k].anchor.y - lowest);
    }
    double share = set->count > 1 ? (double)k / (set->count - 1) : 0;
    return GUARD * (t->guard + (t->guard_to >= 0 ? share * (t->guard_to - t->guard) : 0));
}

/* The same strip counted without bites: how many panels of its step have begun by then. */
static int whole_of(const lw_cut *cut, const pass *ps, int k) {
    int n = 0;
    for (const pass *q = cut->passes; q <= ps; q++)
        for (int i = 0; q->step == ps->step && i < (q < ps ? q->set.count : k + 1); i++)
            n += i == 0 || q->set.strips[i].slot != q->set.strips[i - 1].slot;
    return n;
}

static lw_status append(lw_cut *cut, const pass *ps, int k, const cutting *c, const lw_line_point *line,
                        int count, double elevation, double carry, lw_error *error) {
    if (cut->line_count + count > cut->line_room) {
        int room = 2 * cut->line_room + 1024;
        lw_line_point *more = realloc(cut->lines, sizeof *more * (size_t)room);
        if (!more) return fail_memory(error, "finger lines");
        cut->lines = more;
        cut->line_room = room;
    }
    if (count) memcpy(cut->lines + cut->line_count, line, sizeof *line * (size_t)count);
    const strip *st = &ps->set.strips[k];
    const panel_slot *slot = &ps->set.slots[st->slot];
    const lw_step *step = &cut->steps[ps->step];
    bool unguided = step->technique.kind == LW_OVER_COMB || step->technique.kind == LW_CLIPPER;
    int guide = unguided ? -1 : guiding_strip(&ps->set, &step->guide, k);
    cutting *own = &cut->cuttings[cut->panel_count];
    *own = *c;
    own->line_first = cut->line_count;
    own->line_count = count;
    cut->line_count += count;
    int before = 0;
    for (const pass *q = cut->passes; q < ps; q++)
        if (q->step == ps->step) before += q->set.count;
    cut->panels[cut->panel_count++] = (lw_panel){.step = ps->step + 1,
                                                 .panel = before + k + 1,
                                                 .anchor = seen(ps, c->anchor),
                                                 .normal = seen(ps, st->normal),
                                                 .place = seen(ps, c->place),
                                                 .direction = seen(ps, c->direction),
                                                 .parting = seen(ps, c->parting),
                                                 .finger = seen(ps, c->finger),
                                                 .follows = c->follows,
                                                 .line_first = own->line_first,
                                                 .line_count = count,
                                                 .elevation = elevation,
                                                 .carry = carry,
                                                 .factor = c->factor,
                                                 .section = ps->part,
                                                 .line_length = st->s_high - st->s_low,
                                                 .whole = whole_of(cut, ps, k),
                                                 .bite = k - slot->first + 1,
                                                 .bites = slot->bites,
                                                 .guide = guide < 0 ? -1 : ps->first + guide};
    return LW_OK;
}

lw_status cut_resolve(lw_cut *cut, int p, int k, lw_error *error) {
    const pass *ps = &cut->passes[p];
    const lw_step *step = &cut->steps[ps->step];
    const strip *st = &ps->set.strips[k];
    lw_line_point line[LINE_MAX];
    int count = 0;
    cutting c = {.anchor = st->anchor, .parting = st->parting, .s_middle = 0.5 * (st->s_low + st->s_high)};
    double elevation = 0.5 * LW_PI, carry = 0;
    if (step->technique.kind == LW_OVER_COMB || step->technique.kind == LW_CLIPPER) {
        c.place = st->anchor, c.direction = st->normal, c.finger = st->parting;
        c.follows = true;
        c.factor = 1;
        double length = set_length(&step->technique, &ps->set, k);
        line[count++] = (lw_line_point){st->s_low - OVERHANG, length};
        line[count++] = (lw_line_point){st->s_high + OVERHANG, length};
    } else {
        c.follows = step->line.kind == LW_LINE_FOLLOW;
        c.factor = state_factor(&cut->hair, step->state);
        elevation = step->hold.elevation + slip(cut, cut->hands.error_elevation, p, k, 0);
        carry = step->hold.carry + slip(cut, cut->hands.error_carry, p, k, 1);
        guide_hairs g;
        source from = find_guide(cut, p, k, c.factor, &g);
        lw_vec3 to = carried(cut, ps, k, carry, st->anchor, from, nearest_root(&g, st->anchor), true);
        held at = hold_at(cut->head, cut->scalp, &step->hold, elevation, to);
        if (c.follows)
            resolve_following(cut, p, k, &c, &at, elevation, carry, &g, from, line, &count);
        else
            resolve_straight(cut, p, k, &c, &at, &step->line, &g, from, line, &count);
        double off = slip(cut, cut->hands.error_length, p, k, 2);
        for (int i = 0; i < count; i++) line[i].t += off;
        c.blocked = count == 0;
    }
    return append(cut, ps, k, &c, line, count, elevation, carry, error);
}
