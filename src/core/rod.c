/* Lets a rod go from its held pose until its energy is least: Newton's method on the frames, plain and in
 * double precision.
 *
 * Each step solves (H + shift) p = -slope, H the exact second variation and shift 0 where H is positive
 * definite, so that near rest the error squares from step to step; else the first of a rising series that
 * makes it so. p is shortened until no node turns by more than half a radian, then halved until the energy is
 * lower. So the energy only falls, and the pose stays in the valley it was let go into as far as such steps
 * can tell.
 *
 * Where H is not positive definite and the step is small, the pose is at or near a saddle, and goes on along
 * a direction in which energy falls to second order, found by inverse iteration that begins from a lean to
 * the side that was asked for. So no pose at which this ends as at rest is a saddle. (Levenberg-Marquardt
 * shifts and negative curvature: Nocedal & Wright 2006, ch. 3, 4.) */
#include "rod.h"

#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "skyline.h"

static const double turn_most = 0.5; /* radians of a node in one step */
static const double turn_done =
    1e-9; /* a Newton step as small as this is the last: the next would be its square */
static const double turn_still = 1e-3; /* a shifted step as small as this creeps along a saddle */
static const double neutral = 1e-6;    /* shift, as a share of what the loads make, that counts as none */

typedef struct descent {
    const struct rod *r;
    int n;               /* variables */
    quat *frame, *trial; /* the trial is one step further */
    lw_vec3 *at, *trial_at;
    double energy;
    double *slope, *curvature, *factor, *step, *lean;
    int *first;
    bool definite; /* the curvature itself, without a shift */
} descent;

static double largest_turn(const double *step, int n) {
    double most = 0;
    for (int i = 0; i < n; i += 3) most = fmax(most, v3_norm(v3(step[i], step[i + 1], step[i + 2])));
    return most;
}

static double dot(const double *a, const double *b, int n) {
    double sum = 0;
    for (int i = 0; i < n; i++) sum += a[i] * b[i];
    return sum;
}

static void scale(double *a, int n, double k) {
    for (int i = 0; i < n; i++) a[i] *= k;
}

/* Energy of the pose that is `share` of the step further, which becomes the trial. */
static double try_step(descent *d, double share) {
    d->trial[0] = d->frame[0];
    for (int i = 1; i < d->r->in.nodes; i++) {
        const double *u = d->step + 3 * (i - 1);
        d->trial[i] =
            quat_unit(quat_times(quat_turn(v3(u[0] * share, u[1] * share, u[2] * share)), d->frame[i]));
    }
    return rod_energy(d->trial_at, d->r, d->trial);
}

static void accept(descent *d, double energy) {
    size_t nodes = (size_t)d->r->in.nodes;
    memcpy(d->frame, d->trial, nodes * sizeof *d->frame);
    memcpy(d->at, d->trial_at, nodes * sizeof *d->at);
    d->energy = energy;
}

/* Goes the longest of the step's halvings that lowers the energy by a share of what slope and curvature
 * promise. */
static bool go_down(descent *d, double promise) {
    for (double share = 1; share > 1e-9; share /= 2) {
        double energy = try_step(d, share);
        if (energy < d->energy && energy <= d->energy - 1e-4 * share * promise) {
            accept(d, energy);
            return true;
        }
    }
    return false;
}

/* Factors the curvature, shifted as little as makes it positive definite. A round hair clamped upright can
 * turn about its root at no cost: directions that are level up to rounding count as stable. */
static bool factor(descent *d) {
    double unit = d->r->moment * d->r->edge / d->r->in.length, shift = 1e-3 * unit;
    d->definite = skyline_factor(d->factor, d->first, d->curvature, d->n, 0) ||
                  skyline_factor(d->factor, d->first, d->curvature, d->n, neutral * unit);
    for (int k = 0; !d->definite && k < 60; k++, shift *= 3)
        if (skyline_factor(d->factor, d->first, d->curvature, d->n, shift)) return true;
    return d->definite;
}

/* Turns that lean the whole rod to that side, the more the nearer to the tip. */
static void lean_toward(double *turns, const descent *d, lw_vec3 side) {
    for (int i = 0; i < d->n; i += 3) {
        int node = i / 3 + 1;
        lw_vec3 along = v3_unit(v3_sub(d->at[node], d->at[node - 1]));
        lw_vec3 u = v3_scale(v3_cross(along, side), node);
        turns[i] = u.x, turns[i + 1] = u.y, turns[i + 2] = u.z;
    }
}

/* Inverse iteration on the shifted curvature from what is in step; whether it found a way down to second
 * order. */
static bool sharpen(descent *d) {
    double turn = 0;
    for (int k = 0; k < 40; k++) {
        turn = largest_turn(d->step, d->n);
        if (!(turn > 0)) return false;
        scale(d->step, d->n, 1 / turn);
        skyline_solve(d->step, d->factor, d->first, d->n);
    }
    turn = largest_turn(d->step, d->n);
    if (!(turn > 0)) return false;
    scale(d->step, d->n, turn_most / turn);
    /* While there is slope, what would be level at rest may look bent by as much. */
    double blur = 2 * d->r->in.nodes * turn_most * largest_turn(d->slope, d->n);
    return skyline_square(d->step, d->curvature, d->n) < -blur - 1e-12 * d->r->moment;
}

/* Where the pose is at a saddle: a way down, begun from a lean to the side asked for, and where energy rises
 * that way, from one to no side in particular. */
static bool find_way_down(descent *d) {
    lean_toward(d->lean, d, d->r->lean);
    memcpy(d->step, d->lean, (size_t)d->n * sizeof *d->step);
    if (!sharpen(d)) {
        for (int i = 0; i < d->n; i++) d->step[i] = d->lean[i] + sine(1 + i * 1.7);
        if (!sharpen(d)) return false;
    }
    double down = -dot(d->step, d->slope, d->n), leans = dot(d->step, d->lean, d->n);
    bool level = fabs(down) < 1e-9 * d->r->moment;
    if (level ? leans < 0 : down < 0) scale(d->step, d->n, -1);
    return true;
}

/* Along the way down, on which the slope is as good as 0. */
static bool leave_saddle(descent *d) {
    if (!find_way_down(d)) return false;
    return go_down(d, 0);
}

/* The last steps, of which rounding hides what they gain: taken where they make the slope less, though the
 * energy seem to rise by an ulp or two. */
static bool polish(descent *d) {
    double *fresh = d->lean;
    double energy = try_step(d, 1);
    if (!(energy <= d->energy + 1e-14 * (fabs(d->energy) + d->r->moment))) return false;
    rod_variation(fresh, NULL, d->r, d->trial, d->trial_at);
    if (!(dot(fresh, fresh, d->n) < dot(d->slope, d->slope, d->n))) return false;
    accept(d, energy);
    return true;
}

static double residual(const descent *d) { return largest_turn(d->slope, d->n) / d->r->moment; }

/* As near as rounding lets it. */
static bool is_done(const descent *d, double turn) {
    return turn <= turn_done || residual(d) <= 2e-15 * d->r->in.nodes;
}

static void newton_step(descent *d) {
    for (int i = 0; i < d->n; i++) d->step[i] = -d->slope[i];
    skyline_solve(d->step, d->factor, d->first, d->n);
}

/* One step; false where there is none to take. *rest is set where the pose is at rest. */
static bool advance(descent *d, bool *rest) {
    rod_variation(d->slope, d->curvature, d->r, d->frame, d->at);
    if (!factor(d)) return false;
    newton_step(d);
    double turn = largest_turn(d->step, d->n);
    if (!d->definite && turn < turn_still) {
        if (leave_saddle(d)) return true;
        newton_step(d); /* so level that rounding hides the way down */
    }
    if (is_done(d, turn)) {
        polish(d);
        *rest = true;
        return false;
    }
    if (turn > turn_most) scale(d->step, d->n, turn_most / turn);
    return go_down(d, -dot(d->step, d->slope, d->n)) || (turn < turn_still && polish(d));
}

static lw_status make_room(descent *d, lw_error *error) {
    size_t n = (size_t)d->n, nodes = (size_t)d->r->in.nodes;
    d->slope = malloc((3 * n + 2 * n * n) * sizeof *d->slope);
    d->first = malloc(n * sizeof *d->first);
    d->trial = malloc(nodes * sizeof *d->trial);
    d->trial_at = malloc(nodes * sizeof *d->trial_at);
    if (!d->slope || !d->first || !d->trial || !d->trial_at) return fail_memory(error, "hair at rest");
    d->step = d->slope + n;
    d->lean = d->step + n;
    d->curvature = d->lean + n;
    d->factor = d->curvature + n * n;
    return LW_OK;
}

static void free_room(descent *d) {
    free(d->slope);
    free(d->first);
    free(d->trial);
    free(d->trial_at);
}

static lw_status descend(descent *d, lw_rod_report *report, lw_error *error) {
    bool rest = false;
    d->energy = rod_energy(d->at, d->r, d->frame);
    if (!isfinite(d->energy))
        return fail(error, LW_ERROR_ARGUMENT, "ground",
                    "give a distance and a gradient wherever the hair may be",
                    "the ground gives no number at the held pose");
    *report = (lw_rod_report){.started = d->energy};
    while (report->iterations < d->r->in.iterations && advance(d, &rest)) report->iterations++;
    rod_variation(d->slope, NULL, d->r, d->frame, d->at);
    report->residual = residual(d);
    report->at_rest = rest;
    report->energy = d->energy;
    return LW_OK;
}

lw_status rod_settle(quat *frame, lw_vec3 *at, lw_rod_report *report, const struct rod *r, lw_error *error) {
    descent d = {.r = r, .n = rod_variables(r), .frame = frame, .at = at};
    lw_status status = make_room(&d, error);
    if (!status) status = descend(&d, report, error);
    free_room(&d);
    return status;
}
