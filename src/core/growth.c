/* The direction in which hair grows: a unit tangent field on the head.
 *
 * A field that leaves the scalp all round its edge has to turn once round some point inside it (Poincare and
 * Hopf): that point is the whorl. So the field is built from it: away from the whorl along the skin, wound
 * into a spiral near its centre; where the head is steep and away from the whorl is not uphill, it leans to
 * straight down. Two whorls add up as two charges do, each by the inverse square of its distance, and must
 * leave one point between them where the hair parts; there, and at a centre, the field has no direction of
 * its own and straight down stands in. A cowlick turns the field where it lies. Without a whorl the hair
 * grows away from the crown unwound.
 *
 * The spiral's angle and reach are from memory of whorls seen, not from a survey. */
#include <math.h>

#include "scalp.h"
#include "vec.h"

#define SPIRAL (70 * LW_PI / 180) /* between growth and straight away, at the centre */
#define REACH 0.03                /* metres over which the spiral unwinds */
#define STRIDE 5e-4               /* metres of one step along the skin */

static double smooth(double from, double to, double x) {
    double t = fmin(fmax((x - from) / (to - from), 0), 1);
    return t * t * (3 - 2 * t);
}

/* The point `distance` along the skin from p in the direction t: short steps, each put back on the surface.
 */
static lw_vec3 walk(const lw_head *head, lw_vec3 p, lw_vec3 t, double distance) {
    int steps = (int)ceil(fabs(distance) / STRIDE);
    lw_vec3 n;
    p = lw_head_project(head, p, &n);
    for (int i = 0; i < steps; i++) {
        t = v3_unit(v3_tangent(t, n));
        p = lw_head_project(head, v3_along(p, t, distance / steps), &n);
    }
    return p;
}

static lw_vec3 whorl_centre(const lw_head *head, const lw_whorl *whorl) {
    lw_vec3 n, p = lw_head_project(head, lw_head_landmark(head, LW_CROWN), &n);
    p = walk(head, p, v3_cross(n, v3(1, 0, 0)), whorl->back);
    return walk(head, p, v3(-1, 0, 0), whorl->right);
}

void growth_prepare(lw_scalp *scalp) {
    const lw_scalp_options *o = &scalp->options;
    scalp->whorl[0] = lw_head_landmark(scalp->head, LW_CROWN);
    for (int i = 0; i < o->whorl_count; i++) scalp->whorl[i] = whorl_centre(scalp->head, &o->whorl[i]);
    for (int i = 0; i < o->cowlick_count; i++)
        scalp->cowlick[i] = lw_head_place(scalp->head, o->cowlick[i].at);
}

/* Away from all whorls, wound; not of unit length. */
static lw_vec3 whorls_at(const lw_scalp *scalp, lw_vec3 p, lw_vec3 n) {
    int count = scalp->options.whorl_count;
    lw_vec3 sum = {0, 0, 0};
    for (int i = 0; i < (count > 0 ? count : 1); i++) {
        lw_vec3 arm = v3_sub(p, scalp->whorl[i]), away = v3_unit(v3_tangent(arm, n));
        double d2 = v3_dot(arm, arm) + 1e-18;
        double wind =
            count > 0 ? SPIRAL * scalp->options.whorl[i].sense * exponential(-d2 / (REACH * REACH)) : 0;
        sum = v3_along(sum, v3_turn(away, n, -wind), 1 / d2);
    }
    return sum;
}

static double cowlick_turn(const lw_scalp *scalp, lw_vec3 p) {
    double turn = 0;
    for (int i = 0; i < scalp->options.cowlick_count; i++) {
        const lw_cowlick *cowlick = &scalp->options.cowlick[i];
        lw_vec3 away = v3_sub(p, scalp->cowlick[i]);
        double fade = fmax(1 - v3_dot(away, away) / (cowlick->radius * cowlick->radius), 0);
        turn += cowlick->turn * fade * fade;
    }
    return turn;
}

lw_vec3 growth_at(const lw_scalp *scalp, lw_vec3 p, lw_vec3 n) {
    lw_vec3 wound = v3_unit(whorls_at(scalp, p, n)), down = v3_tangent(v3(0, -1, 0), n);
    double steep = v3_norm(down);
    down = v3_unit(down);
    double lean = smooth(0.5, 0.95, steep) * smooth(0, 0.7, v3_dot(wound, down));
    lw_vec3 growth = v3_unit(v3_along(v3_scale(wound, 1 - lean), down, lean));
    if (!(v3_dot(growth, growth) > 0)) growth = steep > 0 ? down : v3(0, 0, 1);
    return v3_unit(v3_tangent(v3_turn(growth, n, -cowlick_turn(scalp, p)), n));
}

lw_vec3 lw_scalp_growth(const lw_scalp *scalp, lw_vec3 surface_point) {
    lw_vec3 n, p = lw_head_project(scalp->head, surface_point, &n);
    return growth_at(scalp, p, n);
}
