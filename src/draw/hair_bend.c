/* The course of one fine hair.
 *
 * It runs somewhere between its strand and a neighbour, a little aside from both, wavers a little, lies a
 * little above and ends a little early. Hairs of a lock have part of that in common and draw together toward
 * its leader on their way to the tip; curls do so at once, and wind in step (Ward and others 2007, doi
 * 10.1109/TVCG.2007.30, from memory). Round a middle line a coil is a helix in a frame that is carried along
 * without turning. Between nodes hairs run as Catmull-Rom splines (1974). */
#include "hair_bend.h"

#include <math.h>

#include "vec.h"

#define WINDS 1.3       /* turns of a coil over which it opens out at the root */
#define STRAY .015      /* radians by which hairs lean aside */
#define STRAY_MOST .002 /* metres */

static lw_vec3 spline(const lw_vec3 *p, int n, double at) {
    int k = at < n - 1 ? (int)at : n - 2;
    double t = at - k;
    lw_vec3 b = p[k], c = p[k + 1];
    lw_vec3 a = k > 0 ? p[k - 1] : v3_along(b, v3_sub(b, c), 1),
            d = k + 2 < n ? p[k + 2] : v3_along(c, v3_sub(c, b), 1);
    double wa = .5 * t * (t * (2 - t) - 1), wb = 1 + .5 * t * t * (3 * t - 5),
           wc = .5 * t * (1 + t * (4 - 3 * t)), wd = .5 * t * t * (t - 1);
    return v3_along(v3_along(v3_along(v3_scale(a, wa), b, wb), c, wc), d, wd);
}

/* Away from the middle of the head, and from the neck's axis below it. */
static lw_vec3 outward(lw_vec3 p, lw_vec3 centre) {
    lw_vec3 d = v3_sub(p, centre);
    if (d.y < 0) d.y = 0;
    double n = v3_norm(d);
    return n > 1e-9 ? v3_scale(d, 1 / n) : v3(0, 1, 0);
}

static hair_point point_of(lw_vec3 p, const view *v) {
    return (hair_point){(float)v3_dot(p, v->right), (float)v3_dot(p, v->up), (float)v3_dot(p, v->toward)};
}

/* ---- its own and its lock's ways ---- */

typedef struct wave {
    double size, phase, pitch; /* metres, radians, metres of one wave */
} wave;

static double wave_at(const wave *w, double s) {
    return w->size * fmin(1, s / .05) * sin(2 * LW_PI * s / w->pitch + w->phase);
}

static wave wave_of(chance *c, double most) {
    wave w = {.size = most * draw_signed(c), .phase = 2 * LW_PI * draw(c)};
    w.pitch = .05 + .06 * draw(c);
    return w;
}

typedef struct drift {
    lw_vec3 aside[2]; /* along the scalp */
    double offset[2]; /* metres */
    double lean[2];   /* radians */
    double lift;      /* metres */
    wave own, lock;   /* along aside[0] */
    double toward;    /* of the way to the neighbour */
    double pull;      /* of the way to the leader, at the tip */
    double kept;      /* of the length */
} drift;

static drift drift_of(const hair_course *h, chance *c, chance *lock) {
    view v = view_from(outward(h->own[0], h->centre));
    double turn = 2 * LW_PI * draw(c), r = .8 * h->apart * sqrt(draw(c));
    drift d = {.aside = {v.right, v.up}, .offset = {r * cos(turn), r * sin(turn)}};
    d.toward = .5 * draw(c);
    d.lift = fmin(.0009 * draw(c) * draw(c) + .0008 * draw(lock), .1 * h->length);
    d.own = wave_of(c, .0009);
    d.lock = wave_of(lock, .0012 + .0018 * h->curl);
    d.lock.pitch *= 1 - .5 * h->curl;
    for (int k = 0; k < 2; k++) d.lean[k] = STRAY * (draw_signed(c) + draw_signed(c));
    double together = draw(lock), stray = draw(c);
    d.pull = (.1 + .3 * together) * (1 - h->curl) + .85 * h->curl;
    d.pull *= stray < .12 ? .2 : 1 - .25 * stray;
    double trim = draw(c);
    d.kept = 1 - fmin(.035 * trim * trim, .004 / fmax(h->length, 1e-6));
    return d;
}

static void bend(lw_vec3 *out, const hair_course *h, const drift *d) {
    int n = h->nodes;
    for (int k = 0; k < n; k++) {
        double way = (double)k / (n - 1), s = h->length * way, rise = fmin(1, s / .012);
        lw_vec3 p = v3_along(h->own[k], v3_sub(h->other[k], h->own[k]), d->toward);
        lw_vec3 o = outward(p, h->centre);
        double swing = wave_at(&d->own, s) + wave_at(&d->lock, s);
        double aside[2];
        for (int i = 0; i < 2; i++)
            aside[i] = d->offset[i] + fmin(STRAY_MOST, fmax(-STRAY_MOST, d->lean[i] * s));
        p = v3_along(p, d->aside[0], aside[0] + swing);
        p = v3_along(p, d->aside[1], aside[1]);
        double soon = fmin(1, s / .03), pull = d->pull * (way * (1 - h->curl) + soon * h->curl);
        p = v3_along(p, v3_sub(h->leader[k], p), pull);
        out[k] = v3_along(p, o, d->lift * rise + .3 * fabs(swing));
    }
}

/* ---- coils ---- */

typedef struct winding {
    double radius, turn, phase; /* metres, radians per metre, radians */
} winding;

static winding winding_of(const hair_course *h, chance *c, chance *lock) {
    winding w = {h->coil.radius, h->coil.turn, 0};
    w.radius *= .75 + .5 * draw(lock);
    w.turn *= .8 + .4 * draw(lock);
    w.phase = 2 * LW_PI * draw(lock);
    double own = draw(c), wild = draw(c) < .1 ? 1 : .15;
    w.phase += 2 * wild * draw_signed(c);
    w.radius *= 1 + .5 * wild * own;
    w.turn *= 1 + .3 * wild * draw_signed(c);
    return w;
}

/* at[points], evenly spaced over `length`, moves from the middle line to the coil. */
static void wind(hair_point *out, const lw_vec3 *at, int points, double length, const winding *w,
                 lw_vec3 centre, const view *seen) {
    lw_vec3 along = v3_unit(v3_sub(at[1], at[0]));
    lw_vec3 side = v3_unit(v3_tangent(outward(at[0], centre), along));
    double opens = WINDS * 2 * LW_PI / fmax(fabs(w->turn), 1e-9);
    for (int k = 0; k < points; k++) {
        int a = k ? k - 1 : 0, b = k + 1 < points ? k + 1 : k;
        along = v3_unit(v3_sub(at[b], at[a]));
        side = v3_unit(v3_tangent(side, along));
        lw_vec3 third = v3_cross(along, side);
        double s = length * k / (points - 1), open = fmin(1, s / opens), angle = w->turn * s + w->phase;
        double r = w->radius * open;
        lw_vec3 p = v3_along(v3_along(at[k], side, r * cos(angle)), third, r * sin(angle));
        out[k] = point_of(v3_along(p, outward(at[k], centre), r), seen);
    }
}

/* ---- in all ---- */

enum { POINTS_ROOM = 1024 };

void hair_bend(hair_point *out, int points, const hair_course *h, chance own, chance lock, const view *seen,
               lw_vec3 *node) {
    drift d = drift_of(h, &own, &lock);
    bend(node, h, &d);
    lw_vec3 at[POINTS_ROOM];
    if (points > POINTS_ROOM) points = POINTS_ROOM;
    for (int k = 0; k < points; k++)
        at[k] = spline(node, h->nodes, d.kept * (h->nodes - 1) * k / (points - 1));
    if (h->coil.radius > 0) {
        winding w = winding_of(h, &own, &lock);
        wind(out, at, points, d.kept * h->length, &w, h->centre, seen);
        return;
    }
    for (int k = 0; k < points; k++) out[k] = point_of(at[k], seen);
}

void hair_bend_plain(hair_point *out, int points, const hair_course *h, const view *seen) {
    for (int k = 0; k < points; k++)
        out[k] = point_of(spline(h->own, h->nodes, (double)(h->nodes - 1) * k / (points - 1)), seen);
}
