/* A limp hair: the string limit of a fibre, which weighs something and does not resist bending.
 *
 * A string that may slide lies down the steepest way over what holds it up and leaves it where the normal is
 * level; from there it hangs straight down until something holds it up again: an ear, a shoulder. So the hair
 * is traced from its root in short steps: down natural fall along the bust while the bust is in the way,
 * straight down where it is not. On a smooth convex head this is the meridian and then the plumb line.
 *
 * Off the scalp the steepest way would part hair at every ear, as single hairs would part that slid freely;
 * hair that hangs together does not. So there a hair goes on in the upright plane that faces away from the
 * head: over the ear, down the face, out over the shoulder.
 *
 * Invariant: the points that come out are equally far apart in a straight line, so the hair is exactly as
 * long as was asked for; the trace they are picked from is finer than a bend of the head. A hair that is
 * trapped (a step that gets nowhere) goes on straight down, so the time is bounded.
 */
#include "hold.h"
#include "scalp.h"

#define STEP 2e-3    /* metres of a step along the bust */
#define FALL 1e-2    /* the longest step through the air */
#define SETTLED 1e-6 /* metres from where a step along the bust is to end */
#define CONTACT 1e-5 /* metres above the clearance from which a hair hangs free */
#define FACING                                                                                               \
    0.2           /* sine of the angle between a plane and what faces along it, from which it leads nowhere */
#define STEEP 0.3 /* upward part of a normal from which no step straight down can miss what bends over it */
#define CARE 8    /* times as many steps as usual before a hair counts as trapped */
#define RISE 0.5  /* the clearance is reached within this slope from the root */

typedef struct strand {
    const lw_scalp *scalp;
    double clearance;
    lw_vec3 at, along; /* the trace's end so far, and its direction there */
    lw_vec3 before;    /* where what is left of its last step begins */
    double length;     /* metres of trace so far */
} strand;

static double field(const strand *s, lw_vec3 p, lw_vec3 *normal) {
    double away = lw_head_bust(s->scalp->head, p, normal);
    *normal = v3_unit(*normal);
    return away;
}

/* How far off the bust the hair is to be `ahead` metres on. */
static double clearance(const strand *s, double ahead) {
    return fmin(s->clearance, RISE * (s->length + ahead));
}

/* Moves p to where the bust is `away` from it. */
static lw_vec3 onto(const strand *s, lw_vec3 p, double away, lw_vec3 *normal) {
    for (int i = 0; i < 4; i++) {
        double miss = away - field(s, p, normal);
        if (fabs(miss) < SETTLED) break;
        p = v3_along(p, *normal, fmax(fmin(miss, STEP), -STEP));
    }
    return p;
}

/* The way over an ear, the face or a shoulder: along the bust in the upright plane that faces away from the
 * head, down or outward. Where the bust faces along that plane, the steepest way down. */
static lw_vec3 way_over(const strand *s, lw_vec3 p, lw_vec3 n) {
    lw_vec3 from = v3_sub(p, lw_head_centre(s->scalp->head)), out = v3_unit(v3(from.x, 0, from.z));
    lw_vec3 way = v3_cross(n, v3_cross(v3(0, 1, 0), out));
    if (v3_norm(way) < FACING) return v3_unit(v3_tangent(v3(0, -1, 0), n));
    way = v3_unit(way);
    return v3_dot(way, out) - way.y < 0 ? v3_scale(way, -1) : way;
}

/* The way down along the bust. */
static lw_vec3 way_down(const strand *s, lw_vec3 p, lw_vec3 n) {
    lw_vec3 on = lw_head_project(s->scalp->head, p, NULL);
    bool grows = lw_head_hairline(s->scalp->head, on) > 0 && v3_norm(v3_sub(p, on)) < s->clearance + STEP;
    return grows ? natural_fall(s->scalp, on, n) : way_over(s, p, n);
}

/* A step along the bust, by the direction at its middle. */
static lw_vec3 slide(const strand *s, lw_vec3 n) {
    lw_vec3 there, middle = v3_along(s->at, way_down(s, s->at, n), 0.5 * STEP);
    field(s, middle, &there);
    return onto(s, v3_along(s->at, way_down(s, middle, there), STEP), clearance(s, STEP), &there);
}

/* Where the hair goes next. */
static lw_vec3 onward(const strand *s) {
    lw_vec3 n, there;
    double above = field(s, s->at, &n) - clearance(s, 0);
    if (above < CONTACT && n.y > STEEP) return slide(s, n);
    double drop = fmin(fmax(0.5 * above, STEP), FALL), clear = clearance(s, drop);
    lw_vec3 to = v3(s->at.x, s->at.y - drop, s->at.z);
    if (field(s, to, &there) >= clear) return to;
    return above < CONTACT ? slide(s, n) : onto(s, to, clear, &there);
}

/* Goes a step further, at least a little. */
static void grow(strand *s, bool trapped) {
    lw_vec3 to = trapped ? v3(s->at.x, s->at.y - STEP, s->at.z) : onward(s), way = v3_sub(to, s->at);
    double step = v3_norm(way);
    if (step < 0.01 * STEP) {
        way = v3(0, -1, 0);
        step = STEP;
        to = v3_along(s->at, way, step);
    }
    s->along = v3_scale(way, 1 / v3_norm(way));
    s->at = to;
    s->length += step;
}

/* The point on the way from a to b that is `far` from p: a is nearer, b is not. */
static lw_vec3 at_distance(lw_vec3 p, lw_vec3 a, lw_vec3 b, double far) {
    lw_vec3 from = v3_sub(a, p), way = v3_sub(b, a);
    double square = v3_dot(way, way), half = v3_dot(from, way), miss = far * far - v3_dot(from, from);
    double share = (sqrt(half * half + square * fmax(miss, 0)) - half) / square;
    return v3_along(a, way, fmin(fmax(share, 0), 1));
}

/* The next point of the trace that is `spacing` in a straight line from the last one. */
static lw_vec3 next_point(strand *s, lw_vec3 last, double spacing) {
    double most = CARE * (spacing / STEP + 1);
    for (int steps = 0; v3_norm(v3_sub(s->at, last)) < spacing; steps++) {
        s->before = s->at;
        grow(s, steps > most);
    }
    return s->before = at_distance(last, s->before, s->at, spacing);
}

void lw_scalp_hang(lw_vec3 *out, int n, const lw_scalp *scalp, lw_vec3 root, double length, double clear) {
    lw_vec3 normal;
    strand s = {.scalp = scalp, .clearance = fmax(clear, 0)};
    s.before = s.at = lw_head_project(scalp->head, root, &normal);
    s.along = natural_fall(scalp, s.at, normal);
    double spacing = n > 1 ? length / (n - 1) : 0;
    if (n > 0) out[0] = s.at;
    for (int i = 1; i < n; i++) out[i] = spacing > 0 ? next_point(&s, out[i - 1], spacing) : out[0];
}
