/* From the figures of a head to its surface and its landmarks.
 *
 * The surface has more freedom than there are figures. Starting from the mean shape of the kind, Newton's
 * method with the virtual tape inside takes at every step the smallest change, each term of the
 * shape weighed by how much it is likely to vary, that makes the tape read what it should. Figures that
 * were not measured are asked for at their conditional means; where those cannot be had together with the
 * given ones they are let go, and where the given ones cannot be had the head is refused. */
#include "fail.h"
#include "head.h"
#include "linear.h"

#define SHAPED 7
#define PARTS 11
#define ODD 6 /* standard deviations from what the other figures say at which one is refused */

static const lw_measure shaped[SHAPED] = {
    LW_HEAD_BREADTH,        LW_HEAD_LENGTH,         LW_EAR_TO_TOP,         LW_CIRCUMFERENCE,
    LW_EAR_TO_EAR_OVER_TOP, LW_EAR_TO_EAR_FOREHEAD, LW_EAR_TO_EAR_HAIRLINE};

static bool is_shaped(lw_measure id) {
    for (int i = 0; i < SHAPED; i++)
        if (shaped[i] == id) return true;
    return false;
}

/* The mean shape, and how far each part of a form may be expected to stray from it. */
static const double mean_shape[SHAPE_TERMS] = {[SHAPE_PLAN] = .055,
                                               [SHAPE_CORONAL] = .03,
                                               [SHAPE_EGG] = -.05,
                                               [SHAPE_SAGITTAL] = .02,
                                               [SHAPE_OCCIPUT] = .025};
static const double spread[PARTS] = {.005, .007, .006, .03, .03, .02, .03, .06, .06, .02, .05};

static const double mean_man_top = .1312, mean_man_length = .1995; /* metres; for figures stated on him */

typedef struct fitting {
    population people;
    double target[LW_MEASURE_COUNT];
    head_form start;
    double front; /* glabella to front hairline */
    surface surface;
    lw_vec3 landmark[LW_LANDMARK_COUNT];
    double up, along; /* the head's height and length over the mean man's */
    double ear_top;
} fitting;

static void start(fitting *f, lw_head_kind kind) {
    /* Neck from ANSUR II for men and memory for women; glabella to front hairline from
     * doi 10.1186/s40902-019-0191-7; ear top above the tragion from ANSUR 1988. */
    static const double neck[] = {[LW_HEAD_ADULT] = .94, [LW_HEAD_WOMAN] = .88, [LW_HEAD_MAN] = 1};
    static const double front[] = {[LW_HEAD_ADULT] = .0584, [LW_HEAD_WOMAN] = .0554, [LW_HEAD_MAN] = .0614};
    static const double ear[] = {[LW_HEAD_ADULT] = .0304, [LW_HEAD_WOMAN] = .0288, [LW_HEAD_MAN] = .0319};
    f->up = f->target[LW_EAR_TO_TOP] / mean_man_top;
    f->along = f->target[LW_HEAD_LENGTH] / mean_man_length;
    f->start = (head_form){
        f->target[LW_HEAD_BREADTH], f->target[LW_HEAD_LENGTH], f->target[LW_EAR_TO_TOP], neck[kind], {0}};
    for (int i = 0; i < SHAPE_TERMS; i++) f->start.shape[i] = mean_shape[i];
    f->front = front[kind] * f->target[LW_EAR_TO_TOP] / f->people.mean[LW_EAR_TO_TOP];
    f->ear_top = ear[kind] * f->target[LW_EAR_TO_TOP] / f->people.mean[LW_EAR_TO_TOP];
}

static head_form changed(const head_form *from, const double *change) {
    head_form form = *from;
    form.breadth += change[0] * spread[0];
    form.length += change[1] * spread[1];
    form.top += change[2] * spread[2];
    for (int i = 3; i < PARTS; i++) form.shape[i - 3] += change[i] * spread[i];
    return form;
}

/* What the tape reads on the form less what it should, millimetres. */
static void misses(fitting *f, const double *change, const lw_measure *wanted, int count, double *out) {
    head_form form = changed(&f->start, change);
    surface_from_form(&f->surface, &form);
    f->landmark[LW_FRONT_HAIRLINE] = landmark_front(&f->surface, f->front);
    for (int i = 0; i < count; i++)
        out[i] = 1e3 * (tape_measure(&f->surface, f->landmark, wanted[i]) - f->target[wanted[i]]);
}

/* The smallest change whose effect is -miss, to first order. */
static void step(double jacobian[SHAPED][PARTS], int count, const double *miss, double *out) {
    square_matrix a = {{0}};
    double x[SHAPED] = {0};
    for (int i = 0; i < count; i++) {
        x[i] = -miss[i];
        for (int j = 0; j < count; j++) {
            a[i][j] = 0;
            for (int k = 0; k < PARTS; k++) a[i][j] += jacobian[i][k] * jacobian[j][k];
        }
    }
    cholesky(a, count);
    cholesky_solve(a, count, x);
    for (int k = 0; k < PARTS; k++) {
        out[k] = 0;
        for (int i = 0; i < count; i++) out[k] += jacobian[i][k] * x[i];
    }
}

static double largest(const double *x, int n) {
    double most = 0;
    for (int i = 0; i < n; i++)
        if (!(fabs(x[i]) <= most)) most = fabs(x[i]);
    return most;
}

static void differentiate(fitting *f, const double *change, const lw_measure *wanted, int count,
                          const double *miss, double jacobian[SHAPED][PARTS]) {
    for (int k = 0; k < PARTS; k++) {
        double moved[PARTS], there[SHAPED], h = 1e-3;
        for (int i = 0; i < PARTS; i++) moved[i] = change[i] + (i == k ? h : 0);
        misses(f, moved, wanted, count, there);
        for (int i = 0; i < count; i++) jacobian[i][k] = (there[i] - miss[i]) / h;
    }
}

/* Whether p and q, neighbours on the surface with normals n and m, look like two places of one skull: faced
 * away from the tragions' middle, and no dent between them (rounder than 8 cm). */
static bool rounded(lw_vec3 p, lw_vec3 n, lw_vec3 q, lw_vec3 m) {
    lw_vec3 d = v3_sub(q, p);
    return v3_dot(n, p) > .3 * v3_norm(p) && v3_dot(v3_sub(m, n), d) > -12 * v3_dot(d, d);
}

/* Whether the skull above the star centre is convex and seen whole from the origin. */
static bool sound(const surface *s) {
    enum { RINGS = 8, SPOKES = 13 };
    lw_vec3 p[RINGS][SPOKES], n[RINGS][SPOKES];
    for (int i = 0; i < RINGS; i++)
        for (int j = 0; j < SPOKES; j++) {
            double rise = .15 + i * .19, turn = LW_PI * (j / (SPOKES - 1.0) - .5);
            lw_vec3 d = v3(cosine(rise) * cosine(turn), sine(rise), cosine(rise) * sine(turn));
            p[i][j] = surface_point(s, d, &n[i][j]);
            if (i && !rounded(p[i][j], n[i][j], p[i - 1][j], n[i - 1][j])) return false;
            if (j && !rounded(p[i][j], n[i][j], p[i][j - 1], n[i][j - 1])) return false;
        }
    return true;
}

/* Whether the surface was brought to within 0.01 mm of the wanted figures by a change within reason. */
static bool solve(fitting *f, const lw_measure *wanted, int count) {
    double change[PARTS] = {0}, miss[SHAPED], jacobian[SHAPED][PARTS], by[PARTS];
    misses(f, change, wanted, count, miss);
    for (int i = 0; i < 24 && largest(miss, count) > 1e-3; i++) {
        if (i % 4 == 0) differentiate(f, change, wanted, count, miss, jacobian);
        step(jacobian, count, miss, by);
        double size = largest(by, PARTS), keep = size > 2 ? 2 / size : 1, dot = 0;
        for (int k = 0; k < PARTS; k++) {
            by[k] *= keep;
            change[k] += by[k];
            dot += by[k] * by[k];
        }
        if (!(largest(change, PARTS) < 12)) return false;
        double before[SHAPED];
        for (int j = 0; j < count; j++) before[j] = miss[j];
        misses(f, change, wanted, count, miss);
        for (int j = 0; j < count; j++) { /* Broyden's update */
            double expected = 0;
            for (int k = 0; k < PARTS; k++) expected += jacobian[j][k] * by[k];
            for (int k = 0; k < PARTS; k++) jacobian[j][k] += (miss[j] - before[j] - expected) * by[k] / dot;
        }
    }
    return largest(miss, count) <= .01 && sound(&f->surface);
}

static double bearing(const surface *s, lw_vec3 p) { return arc_tangent(p.z - s->centre.z, p.x); }

/* Moves the landmark at the end of a tape to `at`, and reads the tape. */
static double tape_at(fitting *f, lw_measure id, double at) {
    lw_vec3 *mark = f->landmark;
    const surface *s = &f->surface;
    if (id == LW_HAIRLINE_TO_NAPE) {
        mark[LW_NAPE_CENTRE] = landmark_below(s, v3(0, 0, -1), at);
        return tape_midline(s, mark[LW_FRONT_HAIRLINE], mark[LW_NAPE_CENTRE]);
    }
    if (id == LW_NAPE_WIDTH) {
        mark[LW_NAPE_CORNER_LEFT] =
            landmark_below(s, v3(sine(at), 0, -cosine(at)), mark[LW_NAPE_CENTRE].y - .004 * f->up);
        return tape_nape(s, mark[LW_NAPE_CORNER_LEFT], mark[LW_NAPE_CENTRE]);
    }
    lw_vec3 d = v3_sub(mark[LW_TEMPLE_LEFT], s->centre);
    double level = hypotenuse(d.x, d.z);
    mark[LW_TEMPLE_LEFT] = surface_point(s, v3(level * cosine(at), d.y, level * sine(at)), NULL);
    return tape_temples(s, mark[LW_TEMPLE_LEFT], mark[LW_OCCIPITAL_BONE]);
}

/* Moves the landmark between low and high until the tape reads its target, or as near as it gets; `least` and
 * `most` are what it reads at the ends. False where the target lies outside. */
static bool move(fitting *f, lw_measure id, double low, double high, double *least, double *most) {
    double target = f->target[id];
    *least = tape_at(f, id, low);
    *most = tape_at(f, id, high);
    if (!(target >= *least && target <= *most)) {
        tape_at(f, id, target < *least ? low : high);
        return false;
    }
    double a = *least - target, b = *most - target;
    for (int side = 0; fabs(high - low) > 1e-9;) { /* regula falsi, Illinois */
        double mid = (low * b - high * a) / (b - a), m = tape_at(f, id, mid) - target;
        if (fabs(m) < 1e-8) break;
        if (m < 0) {
            low = mid;
            a = m;
            if (side < 0) b *= .5;
            side = -1;
        } else {
            high = mid;
            b = m;
            if (side > 0) a *= .5;
            side = 1;
        }
    }
    return true;
}

static lw_status check_range(const double *given, lw_error *error) {
    for (int i = 0; i < LW_MEASURE_COUNT; i++) {
        double low, high, v = given[i];
        measure_range((lw_measure)i, &low, &high);
        if (v != 0 && !(v >= low && v <= high))
            return fail(error, LW_ERROR_ARGUMENT, lw_measure_name((lw_measure)i),
                        "measure again, or leave it out and it is filled in from the others",
                        "%s of %.1f cm is not an adult head's: it takes %.0f to %.0f cm",
                        lw_measure_name((lw_measure)i), v * 100, low * 100, high * 100);
    }
    return LW_OK;
}

/* The given measure that the other given ones make least likely, and how many standard deviations it is off.
 */
static lw_measure oddest(const fitting *f, const double *given, double *off) {
    int odd = LW_CIRCUMFERENCE;
    *off = 0;
    for (int i = 0; i < LW_MEASURE_COUNT; i++) {
        if (!(given[i] > 0)) continue;
        double sd, mean = population_expect(&f->people, given, (lw_measure)i, &sd),
                   z = fabs(given[i] - mean) / sd;
        if (z > *off) {
            *off = z;
            odd = i;
        }
    }
    return (lw_measure)odd;
}

/* Asks for the given figures and, with them or failing that without, for the means of the others. False where
 * no head has the given ones. */
static bool possible(fitting *f, const lw_head_options *o) {
    lw_measure given[SHAPED];
    int count = 0;
    double off;
    population_of(&f->people, o->kind);
    for (int i = 0; i < LW_MEASURE_COUNT; i++)
        f->target[i] = o->measure[i] > 0 ? o->measure[i]
                                         : population_expect(&f->people, o->measure, (lw_measure)i, NULL);
    for (int i = 0; i < SHAPED; i++)
        if (o->measure[shaped[i]] > 0) given[count++] = shaped[i];
    start(f, o->kind);
    oddest(f, o->measure, &off);
    return off <= ODD && (solve(f, shaped, SHAPED) || solve(f, given, count));
}

static bool possible_with(fitting *f, const lw_head_options *o, lw_measure id, double value) {
    lw_head_options changed = *o;
    changed.measure[id] = value;
    return possible(f, &changed);
}

/* The value of a measure nearest to `bad` that still fits, on the way there from one that does. */
static double limit(fitting *f, const lw_head_options *o, lw_measure id, double good, double bad) {
    for (int i = 0; i < 9; i++) {
        double mid = .5 * (good + bad);
        if (possible_with(f, o, id, mid))
            good = mid;
        else
            bad = mid;
    }
    return good;
}

/* How far, in standard deviations, a measure is from what the given ones say, left out `but`. */
static double gap(const population *people, const double *given, lw_measure id, int but, double *mean) {
    double known[LW_MEASURE_COUNT], sd;
    for (int i = 0; i < LW_MEASURE_COUNT; i++) known[i] = i == but ? 0 : given[i];
    *mean = population_expect(people, known, id, &sd);
    return fabs(given[id] - *mean) / sd;
}

/* The given figures do not belong to one head. The culprit is the figure that the others least bear out among
 * those without which a head is possible; beside it stands the one that most speaks against it. */
static lw_status contradiction(fitting *f, const lw_head_options *o, lw_error *error) {
    double worst = -1, inside = 0, mean, off;
    int odd = -1, other = -1;
    for (int i = 0; i < LW_MEASURE_COUNT; i++) {
        if (!(o->measure[i] > 0) || !possible_with(f, o, (lw_measure)i, 0)) continue;
        off = gap(&f->people, o->measure, (lw_measure)i, -1, &mean);
        if (off <= worst) continue;
        worst = off;
        odd = i;
        inside = is_shaped((lw_measure)i) ? tape_measure(&f->surface, f->landmark, (lw_measure)i) : mean;
    }
    bool found = odd >= 0;
    if (!found) odd = (int)oddest(f, o->measure, &worst);
    double least = 2;
    for (int i = 0; i < LW_MEASURE_COUNT; i++) {
        if (!(o->measure[i] > 0) || i == odd) continue;
        off = gap(&f->people, o->measure, (lw_measure)odd, i, &mean) / worst;
        if (other >= 0 && off >= least) continue;
        least = off;
        other = i;
    }
    const char *name = lw_measure_name((lw_measure)odd);
    double value = o->measure[odd];
    char fits[96] = "", beside[96] = "";
    if (found && possible_with(f, o, (lw_measure)odd, inside)) {
        double near = limit(f, o, (lw_measure)odd, inside, value);
        double across = limit(f, o, (lw_measure)odd, inside, 2 * inside - value);
        double low = ceil(1e3 * fmin(near, across)) / 10, high = floor(1e3 * fmax(near, across)) / 10;
        snprintf(fits, sizeof fits, "; %s%.1f to %.1f cm would fit",
                 other < 0 ? "" : "with the others as they are, ", low, high);
    }
    if (other < 0)
        return fail(error, LW_ERROR_MEASURES, name,
                    "measure again, choose the right kind of head, or leave it out",
                    "no head of this kind has %s of %.1f cm%s", name, value * 100, fits);
    snprintf(beside, sizeof beside, "%s of %.1f cm", lw_measure_name((lw_measure)other),
             o->measure[other] * 100);
    return fail(error, LW_ERROR_MEASURES, name, "measure both again, or leave out the one you trust less",
                "%s of %.1f cm and %s do not belong to one head%s", name, value * 100, beside, fits);
}

static lw_status out_of_reach(const fitting *f, lw_measure id, double least, double most, lw_error *error) {
    const char *name = lw_measure_name(id);
    return fail(
        error, LW_ERROR_MEASURES, name, "measure again where the tape starts and ends, or leave it out",
        "%s of %.1f cm does not fit a head with circumference of %.1f cm and ear_to_top of %.1f cm: %.1f to "
        "%.1f cm would",
        name, f->target[id] * 100, f->target[LW_CIRCUMFERENCE] * 100, f->target[LW_EAR_TO_TOP] * 100,
        least * 100, most * 100);
}

static lw_status place_landmarks(fitting *f, const lw_head_options *o, lw_error *error) {
    const surface *s = &f->surface;
    lw_vec3 *mark = f->landmark, front = mark[LW_FRONT_HAIRLINE];
    double ky = f->up, kz = f->along, least, most;
    landmarks_by_direction(s, o->hairline, mark);
    /* The hairline beside the front goes up and down with it. */
    lw_vec3 usual = landmark_direction(s, o->hairline, LW_FRONT_HAIRLINE), d = v3_sub(front, s->centre);
    double up =
        arc_tangent(d.y / s->axes.y, d.z / s->axes.z) - arc_tangent(usual.y / s->axes.y, usual.z / s->axes.z);
    mark[LW_FRONT_HAIRLINE] = front;
    mark[LW_RECESSION_LEFT] = landmark_tipped(s, o->hairline, LW_RECESSION_LEFT, up);
    mark[LW_TEMPLE_LEFT] = landmark_tipped(s, o->hairline, LW_TEMPLE_LEFT, .5 * up);
    mark[LW_SIDEBURN_LEFT] = landmark_beside(s, .002 * ky, .017 * kz);
    mark[LW_EAR_TOP_LEFT] = landmark_beside(s, f->ear_top, -.006 * kz);
    mark[LW_BEHIND_EAR_LEFT] = landmark_beside(s, -.012 * ky, -.033 * kz);

    double side = bearing(s, mark[LW_SIDEBURN_LEFT]) + .1, corner = bearing(s, mark[LW_RECESSION_LEFT]) - .05;
    struct {
        lw_measure id;
        double low, high;
    } moves[] = {{LW_HAIRLINE_TO_NAPE, -.030 * ky, -.130 * ky},
                 {LW_NAPE_WIDTH, .15, 1.3},
                 {LW_TEMPLE_TO_TEMPLE_BACK, side, corner}};
    for (int i = 0; i < 3; i++)
        if (!move(f, moves[i].id, moves[i].low, moves[i].high, &least, &most) && o->measure[moves[i].id] > 0)
            return out_of_reach(f, moves[i].id, least, most, error);
    landmarks_mirror(mark);
    return LW_OK;
}

lw_status head_fit(lw_head *head, lw_error *error) {
    const lw_head_options *o = &head->given;
    lw_status status = check_range(o->measure, error);
    if (status) return status;
    fitting f = {0};
    if (!possible(&f, o)) return contradiction(&f, o, error);
    status = place_landmarks(&f, o, error);
    if (status) return status;
    head->surface = f.surface;
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) head->landmark[i] = f.landmark[i];
    hairline_lay(head);
    return LW_OK;
}
