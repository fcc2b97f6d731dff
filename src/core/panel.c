/* Panels: the hair between neighbouring partings of one family.
 *
 * A family is a coordinate q of the scalp point that is constant along every parting: a height, a depth, a
 * slope, or an angle about an axis. Thickness is what lies between two partings along the scalp, so q is
 * first turned into a climb S: for planes by the mean of 1/|grad q| over the part, bin by bin; for fans by
 * the radius at the outer edge. S is divided evenly. Each panel gets an anchor in the middle of its own
 * middle line, the tangent f of the parting there, and points along the middle line, which stand in for its
 * hair wherever it guides another.
 *
 * Everything here is worked out from the survey (a fixed even sample of the scalp), never from the
 * hairs asked for, so that a plan's panels do not depend on how many hairs are drawn.
 */
#include "panel.h"

#include <stdlib.h>

#include "fail.h"

#define BITES_MAX 32
#define GRADIENT_LEAST 0.1 /* of q along the scalp: where a part lies almost in the plane of its partings */

static lw_vec3 edge_direction(lw_edge edge) {
    switch (edge) {
    case LW_EDGE_BOTTOM:
        return v3(0, -1, 0);
    case LW_EDGE_TOP:
        return v3(0, 1, 0);
    case LW_EDGE_FRONT:
        return v3(0, 0, 1);
    case LW_EDGE_BACK:
        return v3(0, 0, -1);
    case LW_EDGE_RIGHT:
        return v3(-1, 0, 0);
    default:
        return v3(1, 0, 0);
    }
}

lw_edge lw_panels_start(const lw_panels *panels) {
    if (panels->start != LW_EDGE_DEFAULT) return panels->start;
    switch (panels->family) {
    case LW_FAMILY_UPRIGHT:
    case LW_FAMILY_ACROSS:
        return LW_EDGE_BACK;
    case LW_FAMILY_ALONG:
    case LW_FAMILY_RADIAL:
        return LW_EDGE_LEFT;
    default:
        return LW_EDGE_BOTTOM;
    }
}

static double coordinate(const family *f, lw_vec3 p) {
    if (!f->fan) return v3_dot(f->normal, p);
    lw_vec3 w = v3_sub(p, f->centre);
    return arc_tangent(v3_dot(w, f->side), v3_dot(w, f->zero));
}

static double climb_at(const family *f, double q) {
    double range = f->high - f->low;
    if (!(range > 0)) return 0;
    double k = (q - f->low) / range * BINS;
    if (k <= 0) return 0;
    if (k >= BINS) return f->climb[BINS];
    int i = (int)k;
    return f->climb[i] + (k - i) * (f->climb[i + 1] - f->climb[i]);
}

/* The q at which S is `climb`. */
static double climb_inverse(const family *f, double climb) {
    int low = 0, high = BINS;
    while (high - low > 1) {
        int mid = (low + high) / 2;
        if (f->climb[mid] <= climb)
            low = mid;
        else
            high = mid;
    }
    double step = f->climb[high] - f->climb[low];
    double k = low + (step > 0 ? fmax(0, fmin(1, (climb - f->climb[low]) / step)) : 0.5);
    return f->low + k / BINS * (f->high - f->low);
}

static void fan_frame(family *f, lw_vec3 axis, const lw_vec3 *points, int count) {
    f->fan = true;
    f->axis = axis;
    lw_vec3 mean = {0};
    for (int i = 0; i < count; i++) mean = v3_add(mean, v3_tangent(v3_sub(points[i], f->centre), axis));
    if (v3_norm(mean) < 1e-3 * count) mean = v3_tangent(v3(0, 0, -1), axis);
    if (v3_norm(mean) < 1e-9) mean = v3_tangent(v3(0, 1, 0), axis);
    f->zero = v3_unit(mean);
    f->side = v3_cross(axis, f->zero);
}

static int ascending(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* S(q) from the part's points; scratch holds count doubles. */
static void measure_climb(family *f, const lw_head *head, const lw_vec3 *points, int count, double *scratch) {
    f->low = INFINITY;
    f->high = -INFINITY;
    for (int i = 0; i < count; i++) {
        double q = coordinate(f, points[i]);
        f->low = fmin(f->low, q);
        f->high = fmax(f->high, q);
    }
    double range = f->high - f->low;
    if (f->fan) {
        for (int i = 0; i < count; i++)
            scratch[i] = v3_norm(v3_tangent(v3_sub(points[i], f->centre), f->axis));
        qsort(scratch, (size_t)count, sizeof *scratch, ascending);
        double outer = scratch[(int)(0.95 * (count - 1))];
        for (int k = 0; k <= BINS; k++) f->climb[k] = outer * range * k / BINS;
        return;
    }
    double sum[BINS] = {0}, n[BINS] = {0};
    for (int i = 0; i < count; i++) {
        lw_vec3 normal;
        lw_head_project(head, points[i], &normal);
        double across = v3_dot(f->normal, normal);
        int k = range > 0 ? (int)((coordinate(f, points[i]) - f->low) / range * BINS) : 0;
        k = k < 0 ? 0 : k >= BINS ? BINS - 1 : k;
        sum[k] += 1 / fmax(GRADIENT_LEAST, sqrt(fmax(0, 1 - across * across)));
        n[k] += 1;
    }
    double last = 1;
    for (int k = 0; k < BINS && n[k] == 0; k++)
        for (int j = k + 1; j < BINS; j++)
            if (n[j] > 0) {
                last = sum[j] / n[j];
                break;
            }
    f->climb[0] = 0;
    for (int k = 0; k < BINS; k++) {
        if (n[k] > 0) last = sum[k] / n[k];
        f->climb[k + 1] = f->climb[k] + last * range / BINS;
    }
}

/* Which end the panels are counted from: the one whose outer tenth lies more toward the edge. */
static void choose_end(family *f, lw_edge edge, const lw_vec3 *points, int count) {
    f->from_middle = edge == LW_EDGE_CENTRE;
    if (f->from_middle) return;
    lw_vec3 toward = edge_direction(edge);
    double low = 0, high = 0, margin = 0.1 * (f->high - f->low);
    int n_low = 0, n_high = 0;
    for (int i = 0; i < count; i++) {
        double q = coordinate(f, points[i]), d = v3_dot(points[i], toward);
        if (q <= f->low + margin) low += d, n_low++;
        if (q >= f->high - margin) high += d, n_high++;
    }
    f->from_high = n_low && n_high && high / n_high > low / n_low + 1e-9;
}

static lw_status family_make(family *f, const lw_head *head, const lw_panels *panels, const lw_vec3 *points,
                             int count, lw_error *error) {
    *f = (family){.centre = lw_head_centre(head)};
    double c = cosine(panels->angle), s = sine(panels->angle);
    switch (panels->family) {
    case LW_FAMILY_LEVEL:
        f->normal = v3(0, 1, 0);
        break;
    case LW_FAMILY_DIAGONAL_FORWARD:
        f->normal = v3(0, c, s);
        break;
    case LW_FAMILY_DIAGONAL_BACK:
        f->normal = v3(0, c, -s);
        break;
    case LW_FAMILY_ACROSS:
        f->normal = v3(0, 0, 1);
        break;
    case LW_FAMILY_ALONG:
        f->normal = v3(1, 0, 0);
        break;
    case LW_FAMILY_UPRIGHT:
        fan_frame(f, v3(0, 1, 0), points, count);
        break;
    case LW_FAMILY_RADIAL:
        fan_frame(f, v3_unit(v3_sub(lw_head_place(head, panels->pivot), f->centre)), points, count);
        break;
    }
    double *scratch = malloc(sizeof *scratch * (size_t)count);
    if (!scratch) return fail_memory(error, "panels");
    measure_climb(f, head, points, count, scratch);
    free(scratch);
    choose_end(f, lw_panels_start(panels), points, count);
    return LW_OK;
}

/* Number of panels, and their even thickness. With from_middle one panel straddles the middle. False: too
 * many. */
static bool count_slots(panel_set *set, double thickness) {
    double extent = set->family.climb[BINS], n = fmax(1, round(extent / thickness));
    if (set->family.from_middle) n = 1 + 2 * fmax(0, round((extent / thickness - 1) / 2));
    if (!(n <= LW_PANELS_MAX)) return false;
    set->thickness = extent / n;
    set->slot_count = (int)n;
    return true;
}

static int slot_of(const panel_set *set, lw_vec3 p) {
    const family *f = &set->family;
    double climb = climb_at(f, coordinate(f, p));
    int k = set->thickness > 0 ? (int)floor(climb / set->thickness) : 0;
    k = k < 0 ? 0 : k >= set->slot_count ? set->slot_count - 1 : k;
    return f->from_high ? set->slot_count - 1 - k : k;
}

/* q of a slot's middle line. */
static double slot_middle(const panel_set *set, int slot) {
    int k = set->family.from_high ? set->slot_count - 1 - slot : slot;
    return climb_inverse(&set->family, (k + 0.5) * set->thickness);
}

/* How far from + t out lies above the surface along its own ray, and the rate of that by t; below it at the
 * star centre. */
static double height_at(const surface *s, lw_vec3 from, lw_vec3 out, double t, double *rate) {
    lw_vec3 v = v3_sub(v3_along(from, out, t), s->centre), g;
    double far = v3_norm(v);
    *rate = 0;
    if (!(far > 0)) return -1;
    lw_vec3 u = v3_scale(v, 1 / far);
    double radius = surface_radius(s, u.x, u.y, u.z, &g.x, &g.y, &g.z);
    *rate = v3_dot(u, out) - v3_dot(g, out) / far;
    return far - radius;
}

/* The t at which the way out from `from` passes the surface, near t: Newton's method, halving where that
 * leaves what is known. */
static double way_out(const surface *s, lw_vec3 from, lw_vec3 out, double t) {
    double low = 0, high = 0.5;
    for (int i = 0; i < 60; i++) {
        double rate, height = height_at(s, from, out, t, &rate), next = t - height / rate;
        *(height < 0 ? &low : &high) = t;
        if (!(next > low && next < high)) next = 0.5 * (low + high);
        if (fabs(next - t) < 1e-15) return next;
        t = next;
    }
    return t;
}

/* The surface point on the parting q nearest to p: in the parting's plane (or half-plane), outward from its
 * middle. */
static lw_vec3 onto_parting(const family *f, const surface *s, double q, lw_vec3 p) {
    if (f->fan) {
        lw_vec3 w = v3_sub(p, f->centre);
        double along = v3_dot(w, f->axis), radius = v3_norm(v3_tangent(w, f->axis));
        lw_vec3 outward = v3_add(v3_scale(f->zero, cosine(q)), v3_scale(f->side, sine(q)));
        return surface_point(s, v3_add(v3_scale(f->axis, along), v3_scale(outward, radius)), NULL);
    }
    lw_vec3 from = v3_along(f->centre, f->normal, q - v3_dot(f->normal, f->centre));
    lw_vec3 out = v3_tangent(v3_sub(p, from), f->normal);
    double near = v3_norm(out);
    if (near < 1e-6) out = v3_tangent(v3(0, 0.3, -1), f->normal);
    out = v3_unit(out);
    lw_vec3 on = v3_along(from, out, way_out(s, from, out, near));
    return surface_point(s, v3_sub(on, s->centre), NULL);
}

lw_vec3 panel_counterpart(const panel_set *set, const surface *s, int k, lw_vec3 p) {
    return onto_parting(&set->family, s, set->strips[k].q, p);
}

/* Unit tangent of the parting at a surface point, pointing to the left, up or to the front, whichever it does
 * most. */
static lw_vec3 parting_tangent(const family *f, lw_vec3 normal) {
    lw_vec3 t = f->fan ? v3_tangent(f->axis, normal) : v3_cross(normal, f->normal);
    if (v3_norm(t) < 1e-9) t = v3_tangent(f->fan ? f->zero : v3(1, 0, 0), normal);
    t = v3_unit(t);
    double ax = fabs(t.x), ay = fabs(t.y), az = fabs(t.z);
    double lead = ax >= ay && ax >= az ? t.x : ay >= az ? t.y : t.z;
    return lead < 0 ? v3_scale(t, -1) : t;
}

typedef struct along {
    double s;
    int point;
} along;

static int by_s(const void *a, const void *b) {
    const along *x = a, *y = b;
    if (x->s != y->s) return x->s < y->s ? -1 : 1;
    return (x->point > y->point) - (x->point < y->point);
}

/* Anchor, tangent and middle line of a strip from the points that lie in it. parting: along which
 * s is measured; NULL: the tangent at its own anchor. */
static void strip_make(strip *out, const panel_set *set, const lw_head *head, double q, const lw_vec3 *points,
                       along *in, int n, double area, const lw_vec3 *parting) {
    const surface *s = &head->surface;
    lw_vec3 mean = {0};
    for (int i = 0; i < n; i++) mean = v3_add(mean, v3_scale(points[in[i].point], 1.0 / n));
    out->q = q;
    out->area = n * area;
    out->anchor = onto_parting(&set->family, s, q, mean);
    lw_head_project(head, out->anchor, &out->normal);
    out->parting = parting ? *parting : parting_tangent(&set->family, out->normal);
    for (int i = 0; i < n; i++) in[i].s = v3_dot(v3_sub(points[in[i].point], out->anchor), out->parting);
    qsort(in, (size_t)n, sizeof *in, by_s);
    out->s_low = in[0].s;
    out->s_high = in[n - 1].s;
    out->midline_count = 0;
    double step = (out->s_high - out->s_low) / MIDLINE_MAX;
    for (int b = 0, i = 0; b < MIDLINE_MAX && i < n; b++) {
        lw_vec3 sum = {0};
        int m = 0;
        double end = b == MIDLINE_MAX - 1 ? INFINITY : out->s_low + (b + 1) * step;
        for (; i < n && in[i].s <= end; i++, m++) sum = v3_add(sum, points[in[i].point]);
        if (m) out->midline[out->midline_count++] = onto_parting(&set->family, s, q, v3_scale(sum, 1.0 / m));
    }
}

/* The slots in cutting order: from an end in turn, or from the middle outward. */
static int slot_in_order(const panel_set *set, lw_order order, int i) {
    if (!set->family.from_middle) return i;
    int half = set->slot_count / 2;
    if (order == LW_ORDER_ALTERNATE) return i % 2 ? half + (i + 1) / 2 : half - i / 2;
    return i <= half ? half + i : set->slot_count - 1 - i;
}

static int slot_toward_first(const panel_set *set, int slot) {
    if (!set->family.from_middle) return slot - 1;
    int half = set->slot_count / 2;
    return slot > half ? slot - 1 : slot < half ? slot + 1 : -1;
}

/* The strip nearest to `anchor` in the nearest filled slot before this one; -1 for none. */
static int strip_before(const panel_set *set, int slot, lw_vec3 anchor) {
    for (int k = slot_toward_first(set, slot); k >= 0 && k < set->slot_count; k = slot_toward_first(set, k)) {
        int best = -1;
        double nearest = INFINITY;
        for (int i = set->slots[k].first; i < set->slots[k].first + set->slots[k].bites; i++) {
            double d = v3_norm(v3_sub(set->strips[i].anchor, anchor));
            if (d < nearest) nearest = d, best = i;
        }
        if (best >= 0) return best;
    }
    return -1;
}

/* Points of each slot by counting sort: slot k's are member[start[k] .. start[k + 1]). */
static void gather(const panel_set *set, const lw_vec3 *points, int count, int *start, along *member) {
    memset(start, 0, sizeof *start * (size_t)(set->slot_count + 2));
    for (int i = 0; i < count; i++) start[slot_of(set, points[i]) + 2]++;
    for (int k = 0; k < set->slot_count; k++) start[k + 2] += start[k + 1];
    for (int i = 0; i < count; i++) member[start[slot_of(set, points[i]) + 1]++] = (along){0, i};
}

static double chord(const strip *s, int i) { return v3_norm(v3_sub(s->midline[i], s->midline[i - 1])); }

/* The s on `whole` up to which its first `share` reaches, measured along its middle line. */
static double reach_of_share(const strip *whole, double share) {
    double length = 0, so_far = 0;
    for (int i = 1; i < whole->midline_count; i++) length += chord(whole, i);
    for (int i = 1; i < whole->midline_count; i++) {
        double step = chord(whole, i);
        if (so_far + step >= share * length && step > 0) {
            lw_vec3 between = v3_sub(whole->midline[i], whole->midline[i - 1]);
            lw_vec3 p = v3_along(whole->midline[i - 1], between, (share * length - so_far) / step);
            return v3_dot(v3_sub(p, whole->anchor), whole->parting);
        }
        so_far += step;
    }
    return whole->s_high;
}

/* Number of bites the line is cut in; span 0: one. */
static int bites_of(const strip *whole, double span) {
    if (!(span > 0)) return 1;
    double length = (whole->s_high - whole->s_low) / fmax(1, whole->midline_count);
    for (int i = 1; i < whole->midline_count; i++) length += chord(whole, i);
    return (int)fmax(1, fmin(BITES_MAX, ceil(length / span - 1e-9)));
}

/* How the strips of a slot are made: NULL or the place the guide is measured at, and whether its bites keep
 * the whole line's direction, so that fingers square to a hold of one direction stay in one plane. */
typedef struct fingers {
    double span;
    const lw_vec3 *from;
    bool square;
} fingers;

/* The stretch of a slot's points, sorted by s, that one bite takes. */
typedef struct bite {
    int first, end;
    double upto;
} bite;

/* The bites of a line, in order of s; those without points are left out. Returns their number. */
static int bites_make(bite *out, const strip *whole, const lw_vec3 *points, const along *in, int n,
                      double span) {
    int wanted = bites_of(whole, span), made = 0;
    for (int b = 0, i = 0; b < wanted; b++) {
        double upto = b == wanted - 1 ? INFINITY : reach_of_share(whole, (b + 1.0) / wanted);
        int first = i;
        while (i < n && v3_dot(v3_sub(points[in[i].point], whole->anchor), whole->parting) <= upto) i++;
        if (i > first) out[made++] = (bite){first, i, upto};
    }
    out[made - 1].upto = INFINITY;
    return made;
}

/* Adds the strips of one filled slot, from the bite that holds the measured place outward to both ends. in[n]
 * are its points. */
static void slot_fill(panel_set *set, const lw_head *head, int k, const lw_vec3 *points, along *in, int n,
                      double area, fingers how) {
    double q = slot_middle(set, k);
    strip whole;
    bite bites[BITES_MAX];
    strip_make(&whole, set, head, q, points, in, n, area, NULL);
    int count = bites_make(bites, &whole, points, in, n, how.span), start = 0, first = set->count;
    if (how.from) {
        double s = v3_dot(v3_sub(*how.from, whole.anchor), whole.parting);
        while (s > bites[start].upto) start++;
    }
    for (int i = 0; i < count; i++) {
        int b = i < count - start ? start + i : count - 1 - i;
        strip *out = &set->strips[first + i];
        if (count == 1)
            *out = whole;
        else
            strip_make(out, set, head, q, points, in + bites[b].first, bites[b].end - bites[b].first, area,
                       how.square ? &whole.parting : NULL);
        out->upto = bites[b].upto;
        out->slot = k;
        out->before = i == 0 ? -1 : first + (b == start - 1 ? 0 : i - 1);
    }
    set->slots[k] = (panel_slot){whole.anchor, whole.parting, first, count};
    set->count += count;
}

static void fill_in_order(panel_set *set, const lw_head *head, const lw_step *step, const lw_vec3 *points,
                          const int *start, along *member, double area, double span) {
    lw_vec3 at;
    fingers how = {.span = span, .square = step->hold.reference == LW_FIXED};
    if (step->guide.length > 0 && step->guide.at.from >= 0) {
        at = lw_head_place(head, step->guide.at);
        how.from = &at;
    }
    for (int i = 0; i < set->slot_count; i++) {
        int k = slot_in_order(set, step->panels.order, i), n = start[k + 1] - start[k];
        if (n) slot_fill(set, head, k, points, member + start[k], n, area, how);
    }
    for (int i = 0; i < set->count; i++) {
        int before = strip_before(set, set->strips[i].slot, set->strips[i].anchor);
        if (before >= 0) set->strips[i].before = before;
    }
}

lw_status panel_set_make(panel_set *out, const lw_head *head, const lw_step *step, const lw_vec3 *points,
                         int count, double area, double span, lw_error *error) {
    *out = (panel_set){0};
    if (count == 0) return LW_OK;
    lw_status status = family_make(&out->family, head, &step->panels, points, count, error);
    if (status != LW_OK) return status;
    if (!count_slots(out, step->panels.thickness))
        return fail(error, LW_ERROR_LIMIT, step->name, "make the panels thicker",
                    "panels %.2g mm thick make %.0f of them; at most %d fit in a step",
                    step->panels.thickness * 1e3, out->family.climb[BINS] / step->panels.thickness,
                    LW_PANELS_MAX);
    size_t slots = (size_t)out->slot_count;
    size_t most = span > 0 ? slots * BITES_MAX : slots;
    if (most > (size_t)count) most = (size_t)count;
    int *start = malloc(sizeof *start * (slots + 2));
    along *member = malloc(sizeof *member * (size_t)count);
    out->slots = calloc(slots, sizeof *out->slots);
    out->strips = malloc(sizeof *out->strips * most);
    if (start && member && out->slots && out->strips) {
        gather(out, points, count, start, member);
        fill_in_order(out, head, step, points, start, member, area, span);
    } else {
        panel_set_clear(out);
        status = fail_memory(error, step->name);
    }
    free(start);
    free(member);
    return status;
}

lw_status panel_set_copy(panel_set *out, const panel_set *from, lw_error *error) {
    *out = *from;
    size_t slots = sizeof *out->slots * (size_t)from->slot_count;
    size_t strips = sizeof *out->strips * (size_t)from->count;
    out->slots = malloc(slots + 1);
    out->strips = malloc(strips + 1);
    if (!out->slots || !out->strips) {
        panel_set_clear(out);
        return fail_memory(error, "panels");
    }
    if (slots) memcpy(out->slots, from->slots, slots);
    if (strips) memcpy(out->strips, from->strips, strips);
    return LW_OK;
}

int panel_nth(const panel_set *set, int n, lw_vec3 p) {
    int first = 0;
    while (--n > 0) {
        int next = first + set->slots[set->strips[first].slot].bites;
        if (next >= set->count) break;
        first = next;
    }
    int best = first, end = first + set->slots[set->strips[first].slot].bites;
    for (int i = first; i < end; i++)
        if (v3_norm(v3_sub(set->strips[i].anchor, p)) < v3_norm(v3_sub(set->strips[best].anchor, p)))
            best = i;
    return best;
}

void panel_set_clear(panel_set *set) {
    free(set->slots);
    free(set->strips);
    *set = (panel_set){0};
}

static int bite_of(const panel_set *set, const panel_slot *sl, lw_vec3 p) {
    int best = sl->first;
    if (sl->bites == 1) return best;
    double s = v3_dot(v3_sub(p, sl->anchor), sl->parting), least = INFINITY;
    for (int i = sl->first; i < sl->first + sl->bites; i++)
        if (s <= set->strips[i].upto && set->strips[i].upto <= least) least = set->strips[i].upto, best = i;
    return best;
}

int panel_of(const panel_set *set, lw_vec3 p) {
    if (!set->count) return -1;
    int at = slot_of(set, p);
    for (int away = 0; away < set->slot_count; away++) {
        int below = at - away, above = at + away;
        if (below >= 0 && set->slots[below].bites) return bite_of(set, &set->slots[below], p);
        if (above < set->slot_count && set->slots[above].bites) return bite_of(set, &set->slots[above], p);
    }
    return -1;
}
