/* LANES hairs in a pose: where their nodes are, what energy they have there, and its slopes, edge by edge and
 * node by node. What is stored for node i about an edge belongs to the one that leads to it. Two such halves
 * make one step (rods_step.h), and the second variation is put down there.
 *
 * Energies are in what it takes to bend an edge by a radian about the section's first axis: `unit` joules. */
#ifndef LW_CORE_RODS_POSE_H
#define LW_CORE_RODS_POSE_H

#include "rods.h"
#include "rods_step.h"
#include "room.h"

typedef struct hairs_node {
    lanes4 frame; /* the pose that is looked at */
    lanes4 taken; /* the last that was taken */
    lanes3 turn;  /* and the step from there */
    lanes3 at;
    lanes3 tangent, moment, lag; /* the edge */
    /* The ground where it was last looked up: distance and gradient; and with what it presses. */
    lanes away;
    lanes3 looked, out;
    lanes press;
    /* Friction: where it came down (of a hair that has just been taken: as seen from where it is now), with
     * what it is held there, and whether it is down. */
    lanes3 anchor;
    lanes grip, down;
    lanes spread; /* where it is held: sqrt(far^2 + SLIP^2), far from there */
    /* Room: what other hair does to a node that moves from where it began, linear and quadratic. */
    lanes3 began, lift;
    lanes6 crowd;
    bool touches; /* some hair feels ground, friction or other hair there */
    bool pressed; /* the ground presses some hair there */
    bool held;    /* some hair is held there by friction */
} hairs_node;

typedef struct hairs {
    int nodes, half;    /* of each hair; which half of the step they are */
    bool grounded;      /* there is ground */
    bool crowded;       /* other hair takes room */
    bool whole;         /* the second variation is found, too */
    lanes_mask arrived; /* hairs that have just been taken */
    /* The rods: stiffnesses over the first, natural strain of an edge. */
    lanes edge, unit, bend2, twist, curl1, curl2, curl3, load, skin, per_skin, stiff, least, drag, section;
    lanes tied; /* 0: loose, 1 otherwise */
    lanes3 root;
    lanes energy, lowest;     /* of the pose looked at, and of the one taken */
    lanes share;              /* of the step that leads to the pose */
    lanes near;               /* share of what makes the second variation indefinite that is taken along */
    lanes stride;             /* radians by which a node may turn in the next step */
    lanes settled;            /* 1: steps have become short, and friction holds as hard as it did then */
    lanes most, sure, missed; /* of the step found: rods_step.h */
    lanes_mask better, steps; /* the pose is taken; the step from it, too */
    hairs_node node[RODS_NODES_MAX];
} hairs;

/* The frame halfway between two, by its axes; and the turn between them as a quaternion c + s, along the
 * frame's axes. */
typedef struct middle {
    lanes9 axes;
    lanes3 s;
    lanes twice; /* 2 C, C = sqrt((1 + c) / 2) */
} middle;

/* The direction of the edge between two frames: the last axis of the one halfway. */
INLINE lanes3 tangent_between(lanes4 a, lanes4 b) {
    lanes w = a.w + b.w;
    lanes3 v = add(a.v, b.v);
    lanes two = 2 / (w * w + dot(v, v));
    return (lanes3){(v.x * v.z + w * v.y) * two, (v.y * v.z - w * v.x) * two,
                    1 - (v.x * v.x + v.y * v.y) * two};
}

INLINE middle middle_of(lanes4 a, lanes4 b) {
    lanes c = a.w * b.w + dot(a.v, b.v);
    lanes twice = root_of(larger(2 + 2 * c, all(1e-16))), half = 1 / twice;
    lanes w = (a.w + b.w) * half;
    lanes3 v = times(add(a.v, b.v), half);
    lanes x = v.x, y = v.y, z = v.z;
    return (middle){.axes = {{1 - 2 * (y * y + z * z), 2 * (x * y + w * z), 2 * (x * z - w * y)},
                             {2 * (x * y - w * z), 1 - 2 * (x * x + z * z), 2 * (y * z + w * x)},
                             {2 * (x * z + w * y), 2 * (y * z - w * x), 1 - 2 * (x * x + y * y)}},
                    .s = less(less(times(b.v, a.w), times(a.v, b.w)), cross(a.v, b.v)),
                    .twice = twice};
}

/* The strain of an edge is (7 - C) / (3 C) s, and s carries half turns on: rod_energy.c. */
INLINE void edge_to(hairs *h, step *s, int i, bool whole) {
    const hairs_node *from = &h->node[i - 1];
    hairs_node *to = &h->node[i];
    middle m = middle_of(from->frame, to->frame);
    lanes half = 1 / m.twice, gain = (14 * half - 1) * (1. / 3);
    lanes3 strain = less(times(m.s, gain), (lanes3){h->curl1, h->curl2, h->curl3});
    lanes3 p = {strain.x, h->bend2 * strain.y, h->twist * strain.z};
    lanes3 t = m.axes.z;
    lanes3 pull = apply(m.axes, p), lag = apply(m.axes, times(m.s, half * half));
    to->moment = along(times(pull, .5 * gain), lag, (m.twice - 7) * half * (1. / 3) * dot(m.s, p));
    to->lag = lag;
    to->tangent = t;
    to->at = along(from->at, t, h->edge);
    if (whole) {
        put_half3(&s->node[i].second, h->half, m.axes.y);
        put_half3(&s->node[i].pull, h->half, pull);
        put_half(&s->node[i].twice, h->half, m.twice);
    }
    h->energy += .5 * dot(p, strain) + h->load * (from->at.y - h->root.y + .5 * h->edge * t.y);
}

/* ---- the ground ---- */

/* One axis of a node's place on the grid: cell, and weights of its three coefficients for the value, the
 * slope and the second derivative (ground.h). */
typedef struct lanes_along {
    lanes at, b[3], d[3];
} lanes_along;

/* The whole number nearest to u, of those between two the even one. */
INLINE lanes whole_near(lanes u) {
    const double magic = 6755399441055744.; /* 1.5 * 2^52: what is added to it loses its fraction */
    return (u + magic) - magic;
}

INLINE lanes_along along_axis(lanes u, int n) {
    lanes top = all(n - 2);
    u = larger(u, (lanes){0});
    u = either(u < top, u, top);
    lanes at = whole_near(u - .5), last = all(n - 3);
    at = above0(either(at < last, at, last));
    lanes t = u - at, s = 1 - t;
    return (lanes_along){at, {.5 * s * s, .5 + t * s, .5 * t * t}, {-s, 1 - 2 * t, t}};
}

typedef struct lanes_place {
    lanes_along x, y, z;
    lanes side; /* of the mirror, 1 or -1 */
    double per; /* cells in a metre */
} lanes_place;

INLINE lanes_place place_on(const ground *g, lanes3 p) {
    double per = 1 / g->spacing;
    lanes_mask right = p.x < 0;
    return (lanes_place){along_axis(either(right, -p.x, p.x) * per, g->nx),
                         along_axis((p.y - g->low.y) * per, g->ny), along_axis((p.z - g->low.z) * per, g->nz),
                         either(right, all(-1), all(1)), per};
}

INLINE lanes cell_of(const ground *g, const lanes_place *p) {
    return (p->z.at * g->ny + p->y.at) * g->row + p->x.at;
}

/* A cell's number along an axis over GROUND_BLOCK, rounded down. */
INLINE lanes block_of(lanes cell) {
    return whole_near(cell * (1. / GROUND_BLOCK) - .5 * (GROUND_BLOCK - 1) / GROUND_BLOCK);
}

INLINE lanes weigh(const lanes *c, const lanes *w) { return w[0] * c[0] + w[1] * c[1] + w[2] * c[2]; }
INLINE lanes bend_of(const lanes *c) { return c[0] - 2 * c[1] + c[2]; }

/* What a field is at a place: value, gradient, second derivatives. */
typedef struct lanes_shape {
    lanes value;
    lanes3 slope;
    lanes6 bent;
} lanes_shape;

/* On a grid like g whose coefficients begin at `at`. */
INLINE lanes_shape shape_on(const ground *g, const float *const at[LANES], const lanes_place *p) {
    const float *run[LANES], *from[LANES];
    lanes cell = cell_of(g, p);
    for (int l = 0; l < LANES; l++) run[l] = at[l] + (ptrdiff_t)cell[l];
    lanes per = all(p->per), square = per * per, side = p->side;
    lanes on[3], dx[3], dy[3], xx[3], xy[3], yy[3];
    for (int k = 0; k < 3; k++) {
        lanes row[3], slope[3], bend[3];
        for (int j = 0; j < 3; j++) {
            lanes c[3];
            for (int l = 0; l < LANES; l++) from[l] = run[l] + ((ptrdiff_t)k * g->ny + j) * g->row;
            three_of(c, from);
            row[j] = weigh(c, p->x.b), slope[j] = weigh(c, p->x.d), bend[j] = bend_of(c);
        }
        on[k] = weigh(row, p->y.b), dy[k] = weigh(row, p->y.d), yy[k] = bend_of(row);
        dx[k] = weigh(slope, p->y.b), xy[k] = weigh(slope, p->y.d), xx[k] = weigh(bend, p->y.b);
    }
    return (lanes_shape){weigh(on, p->z.b),
                         times((lanes3){side * weigh(dx, p->z.b), weigh(dy, p->z.b), weigh(on, p->z.d)}, per),
                         {square * weigh(xx, p->z.b), side * square * weigh(xy, p->z.b),
                          side * square * weigh(dx, p->z.d), square * weigh(yy, p->z.b),
                          square * weigh(dy, p->z.d), square * bend_of(on)}};
}

/* How far from the bust the block lies in which a place is, at least. */
INLINE lanes clear_of(const ground *g, const lanes_place *p) {
    lanes block = (block_of(p->z.at) * g->block_ny + block_of(p->y.at)) * g->block_nx + block_of(p->x.at);
    lanes_short clear;
    for (int l = 0; l < LANES; l++) clear[l] = g->clear[(ptrdiff_t)block[l]];
    return __builtin_convertvector(clear, lanes);
}

/* Nodes near the ground; and node * LANES + lane of those for which it is still to be looked up. */
typedef struct looks {
    int count;
    int of[(RODS_NODES_MAX + 1) * LANES];
    bool near[RODS_NODES_MAX];
} looks;

/* Of the lanes in need, those that are not far off by the block that they are in; the others need not be
 * looked up more closely. Whoever was at the ground when last looked up is taken to be near. */
INLINE lanes_mask near_of(hairs_node *n, const hairs *h, const ground *g, const lanes_place *p,
                          lanes_mask need) {
    lanes_mask unknown = need & ~(n->away <= h->skin);
    if (!any(unknown)) return need;
    lanes clear = clear_of(g, p);
    lanes_mask far = unknown & (clear > h->skin);
    n->away = either(unknown, clear, n->away);
    n->out = either3(far, (lanes3){{0}, {0}, {0}}, n->out);
    return need & ~far;
}

INLINE void see(hairs *h, step *s, int i, const lanes_shape *on, bool whole) {
    hairs_node *n = &h->node[i];
    n->away = on->value, n->out = on->slope;
    if (whole) put_half6(&s->node[i].bent, h->half, on->bent);
}

/* Whether node i may have come within the skin since it was last looked up. If all lanes may have, it is
 * looked up here. */
INLINE void look_out(hairs *h, step *s, const ground *g, const float *const at[LANES], int i, looks *to,
                     bool whole) {
    hairs_node *n = &h->node[i];
    lanes3 from = less(n->at, n->looked);
    lanes spare = above0((n->away - h->skin) * .8);
    lanes_mask need = ~(dot(from, from) < spare * spare);
    n->touches = n->held, n->pressed = false;
    n->press = (lanes){0};
    to->near[i] = false;
    if (!any(need)) return;
    lanes_place p = place_on(g, n->at);
    lanes_mask near = near_of(n, h, g, &p, need);
    n->looked = either3(need, n->at, n->looked);
    to->near[i] = any(near);
    if (!any(~near)) {
        lanes_shape on = shape_on(g, at, &p);
        see(h, s, i, &on, whole);
        return;
    }
    for (int l = 0; l < LANES; l++) to->of[to->count] = i * LANES + l, to->count -= (int)near[l];
}

/* Looks up what is left, LANES of them at a time, whatever hair they are of. */
INLINE void look_down(hairs *h, step *s, const ground *g, const float *const at[LANES], const looks *to,
                      bool whole) {
    for (int first = 0; first < to->count; first += LANES) {
        int count = to->count - first < LANES ? to->count - first : LANES;
        lanes3 p = {{0}, {0}, {0}};
        for (int k = 0; k < count; k++) {
            const hairs_node *n = &h->node[to->of[first + k] / LANES];
            int l = to->of[first + k] % LANES;
            p.x[k] = n->at.x[l], p.y[k] = n->at.y[l], p.z[k] = n->at.z[l];
        }
        lanes_place place = place_on(g, p);
        lanes_shape on = shape_on(g, at, &place);
        for (int k = 0; k < count; k++) {
            int i = to->of[first + k] / LANES, l = to->of[first + k] % LANES, both = h->half * LANES + l;
            hairs_node *n = &h->node[i];
            n->away[l] = on.value[k];
            n->out.x[l] = on.slope.x[k], n->out.y[l] = on.slope.y[k], n->out.z[l] = on.slope.z[k];
            if (!whole) continue;
            step_lanes6 *bent = &s->node[i].bent;
            bent->xx[both] = (step_lane)on.bent.xx[k], bent->xy[both] = (step_lane)on.bent.xy[k];
            bent->xz[both] = (step_lane)on.bent.xz[k], bent->yy[both] = (step_lane)on.bent.yy[k];
            bent->yz[both] = (step_lane)on.bent.yz[k], bent->zz[both] = (step_lane)on.bent.zz[k];
        }
    }
}

/* How hard the ground presses where it was looked up. */
INLINE void press_on(hairs *h, int i) {
    hairs_node *n = &h->node[i];
    lanes depth = above0(h->skin - n->away), per = depth * h->per_skin;
    n->press = .5 * h->stiff * depth * per;
    h->energy += h->stiff * depth * depth * per * (1. / 6);
    n->pressed = any(depth > 0);
    n->touches |= n->pressed;
}

INLINE lanes spread_of(const hairs_node *n) {
    lanes3 from = less(n->at, n->anchor);
    return root_of(dot(from, from) + SLIP * SLIP);
}

/* What friction holds against: grip * (sqrt(far^2 + SLIP^2) - SLIP). */
INLINE void hold_on(hairs *h, int i) {
    hairs_node *n = &h->node[i];
    n->spread = spread_of(n);
    h->energy += n->grip * (n->spread - SLIP);
}

/* What other hair does where hairs have just been taken, which is where they begin: the potential there,
 * linear and quadratic. Raised by its least eigenvalue, from below (S. Gershgorin, 1931), the quadratic part
 * leads down whichever way a piece moves; and as all hair moves at once, and the field with it, a spring is
 * added that is at least what that could change, phi d mu / d phi over the square of a spacing: so all hair
 * together loses energy. Loose hair has no spring. */
INLINE void look_round(hairs *h, step *s, const room *r, int i) {
    hairs_node *n = &h->node[i];
    const ground *g = &r->half[0];
    lanes_place p = place_on(g, n->at);
    const float *at[LANES];
    for (int l = 0; l < LANES; l++) at[l] = r->half[p.side[l] < 0].at;
    lanes_shape on = shape_on(g, at, &p);
    lanes hold =
        (2 * on.value + 3 * r->law.firm * r->law.loose * r->law.loose) * (r->hold * h->tied * p.per * p.per);
    lanes xy = size_of(on.bent.xy), xz = size_of(on.bent.xz), yz = size_of(on.bent.yz);
    lanes over = larger(larger(xy + xz - on.bent.xx, xy + yz - on.bent.yy), xz + yz - on.bent.zz);
    lanes up = above0(over) + hold, k = h->section * h->edge * (i + 1 < h->nodes ? 1 : .5);
    on.bent.xx += up, on.bent.yy += up, on.bent.zz += up;
    n->began = either3(h->arrived, n->at, n->began);
    n->lift = either3(h->arrived, times(on.slope, k), n->lift);
    n->crowd = either6(h->arrived, times6(on.bent, k), n->crowd);
    put_half6(&s->node[i].crowd, h->half, times6(n->crowd, h->edge * h->edge));
}

/* lift.d + .5 d.crowd.d for a node d from where it began. */
INLINE void make_way(hairs *h, int i) {
    hairs_node *n = &h->node[i];
    lanes3 d = less(n->at, n->began), with = along(n->lift, apply6(n->crowd, d), all(.5));
    h->energy += dot(with, d);
    n->touches = true;
}

INLINE void pose_as(hairs *h, step *s, const ground *g, const room *r, bool whole) {
    h->energy = (lanes){0};
    h->node[0].at = h->root;
    for (int i = 1; i < h->nodes; i++) edge_to(h, s, i, whole);
    bool arrived = any(h->arrived);
    for (int i = 1; arrived && i < h->nodes; i++) {
        hairs_node *n = &h->node[i];
        n->anchor = either3(h->arrived, add(n->anchor, n->at), n->anchor);
    }
    looks to;
    to.count = 0;
    const float *at[LANES];
    for (int l = 0; l < LANES; l++) at[l] = g ? g->at : NULL;
    for (int i = 1; g && i < h->nodes; i++) look_out(h, s, g, at, i, &to, whole);
    if (g) look_down(h, s, g, at, &to, whole);
    for (int i = 1; g && i < h->nodes; i++)
        if (to.near[i]) press_on(h, i);
    for (int i = 1; g && i < h->nodes; i++)
        if (h->node[i].held) hold_on(h, i);
    for (int i = 1; r && i < h->nodes; i++) {
        if (arrived) look_round(h, s, r, i);
        make_way(h, i);
    }
    h->arrived = (lanes_mask){0};
}

static void pose(hairs *h, step *s, const ground *g, const room *r) {
    if (h->whole)
        pose_as(h, s, g, r, true);
    else
        pose_as(h, s, g, r, false);
}

/* ---- slopes ---- */

/* The slope of what is felt at a node, along its place. */
INLINE lanes3 felt(const hairs *h, const hairs_node *n) {
    lanes3 force = times(n->out, -n->press);
    if (n->held) force = along(force, less(n->at, n->anchor), n->grip / n->spread);
    if (h->crowded) force = add(force, add(n->lift, apply6(n->crowd, less(n->at, n->began))));
    return force;
}

/* What ground and friction are to the step. */
INLINE void put_touch(step_node *to, const hairs *h, const hairs_node *n) {
    lanes3 none = {{0}, {0}, {0}}, dragged = none;
    lanes per = {0};
    put_half(&to->depth, h->half, h->skin - n->away);
    put_half3(&to->out, h->half, n->out);
    put_half(&to->grip, h->half, n->grip * h->edge);
    if (n->held) per = 1 / n->spread, dragged = times(less(n->at, n->anchor), per);
    put_half(&to->per, h->half, per * h->edge);
    put_half3(&to->dragged, h->half, dragged);
    to->touches |= n->touches, to->held |= n->held;
}

/* Slopes at the pose (edge_slope of rod_energy.c), for the step from there. */
INLINE void slopes_as(step *s, const hairs *h, bool whole) {
    lanes3 force = {{0}, {0}, {0}}, push = force;
    for (int i = h->nodes - 1; i > 0; i--) {
        const hairs_node *n = &h->node[i];
        step_node *to = &s->node[i];
        if (n->touches) force = add(force, felt(h, n));
        lanes3 f = force, t = n->tangent, w = n->lag;
        f.y += .5 * h->load, force.y += h->load;
        f = times(f, h->edge);
        lanes3 near = cross(t, f);
        put_half3(&to->slope, h->half, add(push, add(n->moment, half_way(near, w))));
        push = add(push, near);
        put_half3(&to->tangent, h->half, t);
        put_half3(&to->lag, h->half, w);
        if (!whole) continue;
        put_half3(&to->moment, h->half, n->moment);
        put_half3(&to->force, h->half, f);
        if (h->grounded || h->crowded) put_touch(to, h, n);
    }
    if (!whole) return;
    put_half(&s->near, h->half, h->near);
    put_half(&s->bend2, h->half, h->bend2);
    put_half(&s->twist, h->half, h->twist);
    put_half(&s->least, h->half, h->least);
    put_half(&s->edge, h->half, h->edge);
    put_half(&s->firm, h->half, h->stiff * h->per_skin * h->edge * h->edge);
    put_half(&s->slips, h->half, h->edge * h->edge * (1.5 / (SLIP * SLIP)));
}

static void slopes(step *s, const hairs *h) {
    if (h->whole)
        slopes_as(s, h, true);
    else
        slopes_as(s, h, false);
}

#endif
