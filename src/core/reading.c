/* What the lengths read as.
 *
 * Lengths at landmarks, along level bands and along upright strips are read off the length function itself,
 * at points on the surface, so they do not depend on how many hairs there are. Sections, balance, cross-check
 * and what is on the floor are sums over the hairs. The limits between one shape and the next are ours,
 * stated here and in docs/model.md.
 */
#include <stdlib.h>

#include "cut.h"
#include "fail.h"
#include "neighbour.h"
#include "path.h"

#define POINTS 41

static const double FLAT_SHARE = 0.06;   /* of the mean length: a band that varies less is round */
static const double FLAT_LEAST = 0.004;  /* metres: what a hand does not see */
static const double SLOPE_UNIFORM = 0.1; /* a strip flatter than this is uniform */
static const double SLOPE_ONE_LENGTH = 0.75;
static const double FIBRE_DENSITY = 1320; /* kg/m^3, from memory */
static const double PANEL_SECONDS = 20;   /* parting and combing, from memory */
static const double CUT_SECONDS = 5;      /* from memory */
static const double SPAN = 0.08;          /* of a hand whose span is not given, metres, from memory */

const char *lw_shape_name(lw_shape shape) {
    static const char *const names[] = {"", "round", "square", "triangular", "mixed"};
    return shape >= 0 && shape <= LW_SHAPE_MIXED ? names[shape] : "";
}

const char *lw_profile_name(lw_profile profile) {
    static const char *const names[] = {
        "", "one length", "graduated", "uniform layers", "increasing layers", "mixed"};
    return profile >= 0 && profile <= LW_PROFILE_MIXED ? names[profile] : "";
}

/* Lengths at surface points under p[n], n <= BATCH; NAN outside the hairline. on[n] gets the surface points.
 */
static void lengths_at(const lw_cut *cut, const lw_vec3 *p, int n, lw_vec3 *on, double *length) {
    batch b;
    b.n = n;
    for (int i = 0; i < n; i++) {
        lw_vec3 normal;
        on[i] = lw_head_project(cut->head, p[i], &normal);
        b.x[i] = on[i].x, b.y[i] = on[i].y, b.z[i] = on[i].z;
        b.nx[i] = normal.x, b.ny[i] = normal.y, b.nz[i] = normal.z;
        b.number[i] = -1;
    }
    cut_replay(cut, NULL, NULL, &b, cut->panel_count, NULL);
    for (int i = 0; i < n; i++) length[i] = lw_head_hairline(cut->head, on[i]) < -1e-3 ? NAN : b.length[i];
}

/* Mean over indices first..last, leaving out NAN. */
static double mean_of(const double *x, int first, int last) {
    double sum = 0, n = 0;
    for (int i = first; i <= last; i++)
        if (!isnan(x[i])) sum += x[i], n += 1;
    return n > 0 ? sum / n : NAN;
}

static lw_shape shape_of(const double *length, int n, double centre, double left, double right) {
    double low = INFINITY, high = -INFINITY, flat = fmax(FLAT_LEAST, FLAT_SHARE * mean_of(length, 0, n - 1));
    if (isnan(centre) || isnan(left) || isnan(right)) return LW_SHAPE_NONE;
    for (int i = 0; i < n; i++)
        if (!isnan(length[i])) low = fmin(low, length[i]), high = fmax(high, length[i]);
    if (high - low <= flat) return LW_ROUND;
    double gain_left = left - centre, gain_right = right - centre, lean = fabs(left - right);
    if (gain_left > 0.5 * flat && gain_right > 0.5 * flat &&
        lean < fmax(flat, 0.5 * (gain_left + gain_right)))
        return LW_SQUARE;
    if (gain_left * gain_right < 0 && lean > flat) return LW_TRIANGULAR;
    if (fmax(fabs(gain_left), fabs(gain_right)) <= flat) return LW_ROUND;
    return LW_SHAPE_MIXED;
}

/* A band from `right` over `centre` to `left`, all seen from `hub`: directions turn evenly from one to the
 * next. */
static void read_band(lw_band *out, const lw_cut *cut, const char *name, lw_vec3 hub, lw_vec3 right,
                      lw_vec3 centre, lw_vec3 left) {
    lw_vec3 p[POINTS], on[POINTS];
    double length[POINTS];
    int half = POINTS / 2;
    for (int i = 0; i < POINTS; i++) {
        double t = (double)(i - half) / half;
        lw_vec3 from = v3_sub(centre, hub), to = v3_sub(t < 0 ? right : left, hub);
        double angle = arc_cosine(fmax(-1, fmin(1, v3_dot(v3_unit(from), v3_unit(to)))));
        lw_vec3 axis = v3_unit(v3_cross(from, to));
        lw_vec3 d = v3_turn(v3_unit(from), axis, fabs(t) * angle);
        /* out along d from the hub to the surface */
        double low = 0, high = 0.5;
        for (int k = 0; k < 40; k++) {
            double mid = 0.5 * (low + high);
            lw_vec3 q = v3_along(hub, d, mid), w = v3_sub(q, cut->head->surface.centre);
            if (v3_norm(w) < lw_head_radius(cut->head, w))
                low = mid;
            else
                high = mid;
        }
        p[i] = v3_along(hub, d, low);
    }
    lengths_at(cut, p, POINTS, on, length);
    *out = (lw_band){.name = name};
    out->to = mean_of(length, 0, 3);
    out->centre = mean_of(length, half - 2, half + 2);
    out->from = mean_of(length, POINTS - 4, POINTS - 1);
    out->gain = 0.5 * (out->from + out->to) - out->centre;
    out->shape = shape_of(length, POINTS, out->centre, out->from, out->to);
}

/* The point at height y whose horizontal normal turns 45 degrees from straight back: where the back turns to
 * the side. */
static lw_vec3 back_corner(const lw_head *head, double y) {
    lw_vec3 hub = v3(0, y, head->surface.centre.z), best = hub;
    double low = 0, high = 0.5 * LW_PI;
    for (int i = 0; i < 40; i++) {
        double angle = 0.5 * (low + high), near = 0, far = 0.5;
        lw_vec3 d = v3(sine(angle), 0, -cosine(angle));
        for (int k = 0; k < 40; k++) {
            double mid = 0.5 * (near + far);
            lw_vec3 w = v3_sub(v3_along(hub, d, mid), head->surface.centre);
            if (v3_norm(w) < lw_head_radius(head, w))
                near = mid;
            else
                far = mid;
        }
        lw_vec3 n;
        best = lw_head_project(head, v3_along(hub, d, near), &n);
        if (n.x < -n.z)
            low = angle;
        else
            high = angle;
    }
    return best;
}

static void back_band(lw_reading *r, const lw_cut *cut, const char *name, double y) {
    lw_vec3 corner = back_corner(cut->head, y), hub = v3(0, y, cut->head->surface.centre.z);
    read_band(&r->bands[r->band_count++], cut, name, hub, v3_mirror(corner), v3_along(hub, v3(0, 0, -1), 0.1),
              corner);
}

static lw_vec3 mark(const lw_cut *cut, lw_landmark id) { return lw_head_landmark(cut->head, id); }

static void read_bands(lw_reading *r, const lw_cut *cut) {
    lw_vec3 c = cut->head->surface.centre;
    back_band(r, cut, "back, below the occipital bone (left to right)",
              0.5 * (mark(cut, LW_NAPE_CENTRE).y + mark(cut, LW_OCCIPITAL_BONE).y));
    back_band(r, cut, "back, at the occipital bone (left to right)", mark(cut, LW_OCCIPITAL_BONE).y);
    back_band(r, cut, "back, at the crown (left to right)", mark(cut, LW_CROWN).y);
    double y = mark(cut, LW_EAR_TOP_LEFT).y + 0.02;
    lw_vec3 hub = v3(0, y, c.z), left = v3_along(hub, v3(1, 0, 0), 0.1);
    lw_vec3 front = v3_along(hub, v3(0.87, 0, 0.5), 0.1), back = v3_along(hub, v3(0.71, 0, -0.71), 0.1);
    read_band(&r->bands[r->band_count++], cut, "left side, above the ear (front to back)", hub, back, left,
              front);
    read_band(&r->bands[r->band_count++], cut, "right side, above the ear (front to back)", hub,
              v3_mirror(back), v3_mirror(left), v3_mirror(front));
    read_band(&r->bands[r->band_count++], cut, "top, across the apex (left to right)",
              v3(0, c.y, mark(cut, LW_APEX).z), mark(cut, LW_PARIETAL_RIDGE_RIGHT), mark(cut, LW_APEX),
              mark(cut, LW_PARIETAL_RIDGE_LEFT));
    lw_vec3 inward = v3_scale(v3_sub(mark(cut, LW_APEX), mark(cut, LW_FRONT_HAIRLINE)), 0.08);
    read_band(&r->bands[r->band_count++], cut, "front, along the hairline (left to right)", c,
              v3_add(mark(cut, LW_RECESSION_RIGHT), inward), v3_add(mark(cut, LW_FRONT_HAIRLINE), inward),
              v3_add(mark(cut, LW_RECESSION_LEFT), inward));
}

static lw_profile profile_of(double slope, double lower, double upper) {
    if (isnan(slope)) return LW_PROFILE_NONE;
    if ((lower > 2 * SLOPE_UNIFORM && upper < -2 * SLOPE_UNIFORM) ||
        (lower < -2 * SLOPE_UNIFORM && upper > 2 * SLOPE_UNIFORM))
        return LW_PROFILE_MIXED;
    if (slope > SLOPE_ONE_LENGTH) return LW_ONE_LENGTH;
    if (slope > SLOPE_UNIFORM) return LW_GRADUATED;
    return slope < -SLOPE_UNIFORM ? LW_INCREASING_LAYERS : LW_UNIFORM_LAYERS;
}

/* Least-squares slope of length over climb for indices first..last. */
static double slope_of(const double *climb, const double *length, int first, int last) {
    double n = 0, mc = 0, ml = 0, cc = 0, cl = 0;
    for (int i = first; i <= last; i++)
        if (!isnan(length[i])) n += 1, mc += climb[i], ml += length[i];
    if (n < 3) return NAN;
    mc /= n, ml /= n;
    for (int i = first; i <= last; i++) {
        if (isnan(length[i])) continue;
        cc += (climb[i] - mc) * (climb[i] - mc);
        cl += (climb[i] - mc) * (length[i] - ml);
    }
    return cc > 0 ? cl / cc : NAN;
}

/* A strip up the scalp from one place to another, along the shortest way. */
static void read_strip(lw_reading *r, const lw_cut *cut, const char *name, lw_landmark bottom,
                       lw_landmark top) {
    lw_vec3 p[POINTS], on[POINTS];
    double length[POINTS], climb[POINTS], at[POINTS];
    for (int i = 0; i < POINTS; i++) at[i] = (i + 0.5) / POINTS;
    path_between(p, POINTS, at, &cut->head->surface, mark(cut, bottom), mark(cut, top));
    lengths_at(cut, p, POINTS, on, length);
    climb[0] = 0;
    for (int i = 1; i < POINTS; i++) climb[i] = climb[i - 1] + v3_norm(v3_sub(on[i], on[i - 1]));
    double slope = slope_of(climb, length, 0, POINTS - 1);
    double lower = slope_of(climb, length, 0, POINTS / 2),
           upper = slope_of(climb, length, POINTS / 2, POINTS - 1);
    r->strips[r->strip_count++] = (lw_strip){.name = name,
                                             .profile = profile_of(slope, lower, upper),
                                             .bottom = mean_of(length, 0, 3),
                                             .top = mean_of(length, POINTS - 4, POINTS - 1),
                                             .slope = slope};
}

lw_shape lw_shape_along(const double *length, int n) {
    int half = n / 2;
    return shape_of(length, n, mean_of(length, half - 2, half + 2), mean_of(length, 0, 3),
                    mean_of(length, n - 4, n - 1));
}

lw_profile lw_profile_along(double *slope, const double *climb, const double *length, int n) {
    double all = slope_of(climb, length, 0, n - 1);
    if (slope) *slope = all;
    return profile_of(all, slope_of(climb, length, 0, n / 2), slope_of(climb, length, n / 2, n - 1));
}

static void read_strips(lw_reading *r, const lw_cut *cut) {
    read_strip(r, cut, "centre back, nape to crown", LW_NAPE_CENTRE, LW_CROWN);
    read_strip(r, cut, "behind the left ear, up to the crown", LW_BEHIND_EAR_LEFT, LW_CROWN);
    read_strip(r, cut, "behind the right ear, up to the crown", LW_BEHIND_EAR_RIGHT, LW_CROWN);
    read_strip(r, cut, "left side, ear to parietal ridge", LW_EAR_TOP_LEFT, LW_PARIETAL_RIDGE_LEFT);
    read_strip(r, cut, "right side, ear to parietal ridge", LW_EAR_TOP_RIGHT, LW_PARIETAL_RIDGE_RIGHT);
    read_strip(r, cut, "left temple up to the apex", LW_TEMPLE_LEFT, LW_APEX);
    read_strip(r, cut, "right temple up to the apex", LW_TEMPLE_RIGHT, LW_APEX);
    read_strip(r, cut, "centre front, hairline to apex", LW_FRONT_HAIRLINE, LW_APEX);
}

typedef struct ranked {
    double length, weight;
    int section;
} ranked;

static int by_length(const void *a, const void *b) {
    const ranked *x = a, *y = b;
    if (x->length != y->length) return x->length < y->length ? -1 : 1;
    return 0;
}

/* Mean, 5th and 95th percentile of the hairs in `section` (-1: all) of hairs ranked by length. */
static lw_spread spread_of(const lw_cut *cut, const ranked *hairs, int n, int section) {
    lw_spread s = {NAN, NAN, NAN, 0};
    double sum = 0, so_far = 0;
    for (int i = 0; i < n; i++) {
        if (section >= 0 && !part_within(&cut->tree, hairs[i].section, section)) continue;
        s.hairs += hairs[i].weight;
        sum += hairs[i].weight * hairs[i].length;
    }
    if (!(s.hairs > 0)) return s;
    s.mean = sum / s.hairs;
    for (int i = 0; i < n && isnan(s.high); i++) {
        if (section >= 0 && !part_within(&cut->tree, hairs[i].section, section)) continue;
        so_far += hairs[i].weight;
        if (isnan(s.low) && so_far >= 0.05 * s.hairs) s.low = hairs[i].length;
        if (so_far >= 0.95 * s.hairs) s.high = hairs[i].length;
    }
    return s;
}

static lw_status read_sections(lw_reading *r, const lw_cut *cut, lw_error *error) {
    int n = cut->scalp->count;
    r->section_count = cut->tree.count;
    r->sections = malloc(sizeof *r->sections * (size_t)r->section_count);
    r->balance = malloc(sizeof *r->balance * (size_t)r->section_count);
    ranked *hairs = malloc(sizeof *hairs * (size_t)n);
    double(*side)[4] =
        calloc((size_t)r->section_count, sizeof *side); /* left sum, left weight, right sum, right weight */
    if (!r->sections || !r->balance || !hairs || !side) {
        free(hairs);
        free(side);
        return fail_memory(error, "readings");
    }
    for (int i = 0; i < n; i++) {
        hairs[i] = (ranked){cut->length[i], cut->scalp->weight[i], cut->section[i]};
        int s = cut->scalp->x[i] > 0 ? 0 : 2;
        for (int k = cut->section[i]; k >= 0; k = cut->tree.parts[k].parent) {
            side[k][s] += hairs[i].weight * hairs[i].length;
            side[k][s + 1] += hairs[i].weight;
        }
    }
    qsort(hairs, (size_t)n, sizeof *hairs, by_length);
    r->all = spread_of(cut, hairs, n, -1);
    for (int k = 0; k < r->section_count; k++) {
        r->sections[k] = spread_of(cut, hairs, n, k);
        bool both = side[k][1] > 0 && side[k][3] > 0;
        r->balance[k] = both ? side[k][0] / side[k][1] - side[k][2] / side[k][3] : NAN;
    }
    free(hairs);
    free(side);
    return LW_OK;
}

static void read_balance(lw_reading *r, const lw_cut *cut) {
    const lw_scalp *s = cut->scalp;
    double sum = 0, n = 0, worst = -1;
    for (int i = 0; i + 1 < s->count; i += 2) {
        double d = fabs(cut->length[i] - cut->length[i + 1]);
        sum += d, n += 1;
        if (d > worst) worst = d, r->balance_worst_at = lw_scalp_root(s, i);
    }
    r->balance_all = n > 0 ? sum / n : 0;
    r->balance_worst = fmax(worst, 0);
}

static void read_floor(lw_reading *r, const lw_cut *cut) {
    double metres = 0;
    for (int i = 0; i < cut->scalp->count; i++) {
        if (!(cut->length[i] < cut->before[i])) continue;
        r->removed_hairs += cut->scalp->weight[i];
        metres += cut->scalp->weight[i] * (cut->before[i] - cut->length[i]);
    }
    r->removed_mass = metres * cut->hair.section_area * FIBRE_DENSITY;
}

static void read_work(lw_reading *r, const lw_cut *cut) {
    double span = cut->hands.span > 0 ? cut->hands.span : SPAN;
    r->panels = cut->panel_count;
    for (int k = 0; k < cut->panel_count; k++)
        r->cuts += (int)fmax(1, ceil(cut->panels[k].line_length / span));
    r->minutes = (r->panels * PANEL_SECONDS + r->cuts * CUT_SECONDS) / 60;
}

lw_status lw_reading_new(lw_reading *out, const lw_cut *cut, lw_error *error) {
    *out = (lw_reading){0};
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) out->landmark[i] = lw_cut_landmark(cut, i);
    read_bands(out, cut);
    read_strips(out, cut);
    lw_status status = read_sections(out, cut, error);
    read_balance(out, cut);
    neighbour_step steps[2] = {{0, -1}, {0, -1}};
    if (status == LW_OK)
        status = neighbour_steps(steps, cut->scalp, cut->head->scalp_area, cut->length, cut->section, error);
    out->cross_check = steps[0].step;
    out->cross_check_between = steps[1].step;
    if (steps[0].hair >= 0) out->cross_check_at = lw_scalp_root(cut->scalp, steps[0].hair);
    if (steps[1].hair >= 0) out->cross_check_between_at = lw_scalp_root(cut->scalp, steps[1].hair);
    read_floor(out, cut);
    read_work(out, cut);
    if (status != LW_OK) lw_reading_clear(out);
    return status;
}

void lw_reading_clear(lw_reading *reading) {
    free(reading->sections);
    free(reading->balance);
    *reading = (lw_reading){0};
}
