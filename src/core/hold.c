/* The hold of a panel: place h on the scalp and unit direction d there.
 *
 * Elevation turns d from natural fall (lying flat) to the normal (straight out) and past it; from plumb it
 * turns d from hanging to level to straight up, in the upright plane that faces away from the head. Hair that
 * hangs cannot leave the head where its direction points inward: a limp hair lies along the scalp and leaves
 * it where its direction is tangent (the string limit), so the place slides down natural fall to there, and
 * on past a hollow that it would leave only to meet the head again: hair over the nape's hollow lies in it.
 * Hair that meets the hairline first lies on the skin below it: its direction is brought to the tangent, and
 * turned out as far as it takes to pass the neck.
 */
#include "hold.h"

#include "kept.h"

/* How much of gravity must lie in the scalp before growth stops mattering, as a fraction of its length. */
static const double LEVEL_SCALP = 0.2;

/* How far out a hanging hold must miss the head, metres. */
static const double CLEAR_FOR = 0.25;

lw_vec3 natural_fall(const lw_scalp *scalp, lw_vec3 p, lw_vec3 n) {
    lw_vec3 down = v3_tangent(v3(0, -1, 0), n);
    double share = v3_dot(down, down) / (LEVEL_SCALP * LEVEL_SCALP);
    if (share > 30) return v3_unit(down);
    lw_vec3 growth = lw_scalp_growth(scalp, p);
    return v3_unit(v3_tangent(v3_along(down, growth, exponential(-share)), n));
}

static lw_vec3 outward_level(lw_vec3 n, lw_vec3 fall) {
    lw_vec3 o = v3(n.x, 0, n.z);
    if (v3_norm(o) < 1e-6) o = v3(fall.x, 0, fall.z);
    return v3_unit(o);
}

static lw_vec3 direction_at(const lw_scalp *scalp, const lw_hold *hold, double elevation, lw_vec3 p,
                            lw_vec3 n) {
    lw_vec3 d;
    double c = cosine(elevation), s = sine(elevation);
    if (hold->reference == LW_FIXED) {
        double r = cosine(hold->rise);
        d = v3(r * sine(hold->bearing), sine(hold->rise), r * cosine(hold->bearing));
    } else if (hold->reference == LW_FROM_PLUMB) {
        d = v3_along(v3(0, -c, 0), outward_level(n, natural_fall(scalp, p, n)), s);
    } else {
        d = v3_along(v3_scale(n, s), natural_fall(scalp, p, n), c);
    }
    return hold->turn == 0 ? d : v3_turn(d, n, -hold->turn);
}

/* The straight way out from a hold does not meet the head again: looked at every 2 mm, or at half the height
 * over the head, about, where that is more. */
static bool passes(const lw_head *head, held at) {
    for (double t = 1e-3; t < CLEAR_FOR;) {
        lw_vec3 p = v3_along(at.place, at.direction, t), normal, on = lw_head_project(head, p, &normal);
        double above = v3_dot(v3_sub(p, on), normal);
        if (above < -1e-4) return false;
        t += fmax(0.5 * above, 2e-3);
    }
    return true;
}

/* Lying on the skin: the direction without its part into the head, turned out until it passes. */
static held lie(const lw_head *head, held at) {
    lw_vec3 flat = v3_unit(v3_tangent(at.direction, at.normal));
    at.direction = flat;
    for (int degrees = 1; degrees <= 45 && !passes(head, at); degrees++) {
        double out = degrees * LW_PI / 180;
        at.direction = v3_along(v3_scale(flat, cosine(out)), at.normal, sine(out));
    }
    return at;
}

static held below(const lw_head *head, const lw_scalp *scalp, const lw_hold *hold, double elevation, held at,
                  double step) {
    held next;
    lw_vec3 fall = natural_fall(scalp, at.place, at.normal);
    next.place = lw_head_project(head, v3_along(at.place, fall, step), &next.normal);
    next.direction = direction_at(scalp, hold, elevation, next.place, next.normal);
    return next;
}

/* Down natural fall from `at` until d is tangent to the scalp; false at the hairline. */
static bool slide(const lw_head *head, const lw_scalp *scalp, const lw_hold *hold, double elevation,
                  held *out) {
    double step = 5e-3;
    held at = *out;
    for (int i = 0; i < 200; i++) {
        held next = below(head, scalp, hold, elevation, at, step);
        double before = v3_dot(at.direction, at.normal), after = v3_dot(next.direction, next.normal);
        if (after >= 0) {
            *out = next;
            if (after < 1e-9 || step < 1e-8) return true;
            step *= fmax(0.05, fmin(0.95, before / (before - after)));
        } else if (lw_head_hairline(head, next.place) < 0) {
            *out = at;
            if (step < 1e-4) return false;
            step *= 0.5;
        } else {
            *out = at = next;
            if (after > -1e-9) return true;
        }
    }
    return false;
}

held hold_at(const lw_head *head, const lw_scalp *scalp, const lw_hold *hold, double elevation, lw_vec3 p) {
    held at;
    at.place = lw_head_project(head, p, &at.normal);
    at.direction = direction_at(scalp, hold, elevation, at.place, at.normal);
    if (hold->reference != LW_FROM_PLUMB) return at;
    for (int i = 0; i < 200; i++) {
        if (v3_dot(at.direction, at.normal) < 0) {
            if (!slide(head, scalp, hold, elevation, &at)) return lie(head, at);
        } else {
            if (passes(head, at)) return at;
            held next = below(head, scalp, hold, elevation, at, 2e-3);
            if (lw_head_hairline(head, next.place) < 0) return lie(head, at);
            at = next;
        }
    }
    return lie(head, at);
}

static lw_vec3 counterpart(const lw_head *head, const panel_set *set, int k, lw_vec3 p, bool at_anchor) {
    return at_anchor ? set->strips[k].anchor : panel_counterpart(set, &head->surface, k, p);
}

lw_vec3 hold_carry(lw_paths *kept, const lw_head *head, const panel_set *set, const lw_hold *hold,
                   double carry, int k, lw_vec3 p, bool at_anchor) {
    if (carry == 0) return p;
    if (hold->target == LW_TOWARD_PLACE)
        return kept_between(kept, head, p, lw_head_place(head, hold->place), carry);
    if (hold->target == LW_TOWARD_PANEL) {
        int target = panel_nth(set, hold->panel, set->strips[k].anchor);
        return target == k ? p
                           : kept_between(kept, head, p, counterpart(head, set, target, p, at_anchor), carry);
    }
    lw_vec3 at = p;
    for (; carry > 0 && set->strips[k].before >= 0; carry -= 1) {
        k = set->strips[k].before;
        lw_vec3 next = counterpart(head, set, k, p, at_anchor);
        if (carry < 1) return kept_between(kept, head, at, next, carry);
        at = next;
    }
    return at;
}
