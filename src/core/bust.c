/* The bust: the head's own surface where hair grows, a sculpted face, neck and shoulders elsewhere, and ears.
 *
 * The two are mixed by a weight that is 0 inside the hairline and above the brow, so the scalp is to the last
 * bit the surface on which the cut is computed, and 1 from 22 mm outside the hairline or 40 below
 * the nape. Ears are joined last, over whatever they touch. */
#include "bust.h"

#include "head.h"

#define MEAN_BREADTH .1543 /* the mean man of build.c */
#define MEAN_LENGTH .1995
#define MEAN_TOP .1312
#define DEEP .06 /* metres inside the head's own surface, where no sculpture reaches */

#define BASE 296  /* the sculpture stands that far below the tragions (bust_torso.c), */
#define WIDE 200  /* and reaches that far to a side, */
#define FRONT 124 /* to the front */
#define BACK 145  /* and back: millimetres of the mean man */

typedef struct bust_value {
    double d;
    bool bare; /* the head's own surface alone decides here */
    lw_vec3 normal;
} bust_value;

static bool is_measured(const lw_head *head) { return head->given.kind <= LW_HEAD_MAN; }

static bust_value bare(const lw_head *head, lw_vec3 p) {
    const surface *s = &head->surface;
    lw_vec3 to = v3_sub(p, s->centre), n;
    double far = v3_norm(to);
    if (far < 1e-6) return (bust_value){-s->axes.y, true, v3(0, 1, 0)};
    lw_vec3 on = surface_point(s, to, &n);
    return (bust_value){v3_dot(v3_sub(p, on), n), true, n};
}

static double neck_alone(const surface *s, lw_vec3 p) {
    lw_vec3 u = v3_sub(p, s->centre);
    surface_gauge g = surface_ellipsoid(&s->neck, u.x, u.y, u.z);
    return (g.w - 1) / v3_norm(v3(g.x, g.y, g.z));
}

/* How much of the sculpture shows at a point that lies q from the tragions. */
static double share(const lw_head *head, lw_vec3 p, lw_vec3 q) {
    double low = 1 - bust_step(44, 70, q.y);
    if (low <= 0) return 0;
    double nape = fmin(head->landmark[LW_NAPE_CENTRE].y, head->landmark[LW_NAPE_CORNER_LEFT].y) - .004;
    double below = bust_step(0, .040, nape - p.y);
    if (below >= 1) return 1;
    if (lw_head_hairline(head, p) >= 0) return low * below;
    double outside = bust_step(.003, .019, hairline_away(head, p));
    return low * (below + outside - below * outside);
}

/* The ear's distance, or a bound on it where that is more than `enough` away. */
static double ear_of(const lw_head *head, lw_vec3 p, double enough) {
    static const double length[] = {[LW_HEAD_ADULT] = .0618, [LW_HEAD_WOMAN] = .0594, [LW_HEAD_MAN] = .0642};
    static const double above[] = {[LW_HEAD_ADULT] = .0304, [LW_HEAD_WOMAN] = .0288, [LW_HEAD_MAN] = .0319};
    lw_vec3 top = head->landmark[LW_EAR_TOP_LEFT];
    double scale = length[head->given.kind] * top.y / above[head->given.kind] / .0642 * 1e-3;
    lw_vec3 q = v3_scale(v3_sub(p, v3(top.x - .005, 0, 0)), 1 / scale);
    double bound = scale * (v3_norm(v3_sub(q, v3(3, 0, -14))) - 45);
    return bound > enough + .007 ? bound : scale * bust_ear(q);
}

/* The sculpture at p, that lies q from the tragions in millimetres of the mean man, `unit` metres each. */
static double sculpture(const lw_head *head, lw_vec3 p, lw_vec3 q, double unit) {
    static const double men[] = {[LW_HEAD_ADULT] = .5, [LW_HEAD_WOMAN] = 0, [LW_HEAD_MAN] = 1};
    bust_style style = {men[head->given.kind]};
    double neck = neck_alone(&head->surface, p) / unit;
    double f = bust_join(bust_face(q, style), neck, 12 + 10 * bust_step(0, 40, q.z));
    return unit * bust_torso(q, f, style);
}

/* Metres for a millimetre of the mean man, along each axis. */
static lw_vec3 scale_of(const surface *s) {
    return v3(2e-3 * s->axes.x / MEAN_BREADTH, 1e-3 * (s->axes.y + s->centre.y) / MEAN_TOP,
              2e-3 * s->axes.z / MEAN_LENGTH);
}

void bust_reach(const lw_head *head, lw_vec3 *low, lw_vec3 *high) {
    const surface *s = &head->surface;
    *low = v3_scale(s->axes, -1), *high = s->axes;
    if (!is_measured(head)) return;
    lw_vec3 k = scale_of(s);
    *low = v3(-WIDE * k.x, -BASE * k.y, -BACK * k.z);
    *high = v3(WIDE * k.x, head->landmark[LW_APEX].y, FRONT * k.z);
}

/* The field at p, which has x >= 0. */
static bust_value value(const lw_head *head, lw_vec3 p) {
    const surface *s = &head->surface;
    bust_value out = bare(head, p);
    if (!(out.d > -DEEP)) return out;
    lw_vec3 k = scale_of(s);
    lw_vec3 q = v3(p.x / k.x, p.y / k.y, p.z / k.z);
    double w = share(head, p, q);
    if (w > 0) {
        out.d += w * (sculpture(head, p, q, (k.x + k.y + k.z) / 3) - out.d);
        out.bare = false;
    }
    double d = bust_join(out.d, ear_of(head, p, out.d), .006);
    if (d != out.d) {
        out.d = d;
        out.bare = false;
    }
    return out;
}

/* By forward differences: with so short a step they are within 1e-4 of the gradient wherever the surface
 * bends no more sharply than with a radius of a millimetre, and cost half of what central ones do. On the
 * midline, where x turns back on itself, across it by central ones. */
static lw_vec3 slope(const lw_head *head, lw_vec3 p, double here) {
    const double h = 1e-7;
    double x = value(head, v3(p.x + h, p.y, p.z)).d, y = value(head, v3(p.x, p.y + h, p.z)).d;
    double z = value(head, v3(p.x, p.y, p.z + h)).d;
    double across = p.x < 10 * h ? (x - value(head, v3(fabs(p.x - h), p.y, p.z)).d) / 2 : x - here;
    return v3_scale(v3(across, y - here, z - here), 1 / h);
}

double lw_head_bust(const lw_head *head, lw_vec3 p, lw_vec3 *gradient) {
    lw_vec3 m = v3(fabs(p.x), p.y, p.z);
    bust_value here = is_measured(head) ? value(head, m) : bare(head, m);
    if (gradient) {
        lw_vec3 g = here.bare ? here.normal : slope(head, m, here.d);
        *gradient = p.x < 0 ? v3_mirror(g) : g;
    }
    return here.d;
}
