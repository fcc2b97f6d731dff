/* A step of Newton's method for LANES hairs, in O(nodes).
 *
 * Its unknowns are the turns u_i of the frames, and a node's place depends on all turns before it, so where
 * there is ground the second variation is full. But the rest of a hair past node i feels only that node's
 * frame and place: what it costs to turn and move them is a quadratic form in six numbers, handed from node
 * to node toward the root (Bellman's recursion, as in optimal control; a Cholesky factorisation in disguise).
 * At each edge it is first moved to the near end, as if the edge were rigid; then the difference d of the
 * turns of the edge's ends drops out, as the unknown of the far one. Then one sweep outward gives the turns.
 * Pivots that are not above zero are raised, so that every step leads downhill; where none had to be, the
 * second variation is positive definite.
 *
 * Where near is 1 it is exact. To the share 1 - near it leaves out what can make it indefinite: the moment
 * that an edge has, the weight of a hair that points upward, the way the ground bends.
 *
 * Near rest the second variation hardly changes from step to step. A step with that of an earlier pose (the
 * chord method: J. Ortega and W. Rheinboldt, Iterative Solution of Nonlinear Equations in Several Variables,
 * 1970, 7.1) needs the slopes alone, and goes through the same recursion with what that left behind. */
#ifndef LW_CORE_RODS_STEP_H
#define LW_CORE_RODS_STEP_H

#include "rods_pose.h"

/* What the rest of the hair past a node costs: .5 u.turn.u + u.mixed.r + .5 r.place.r + push.u + pull.r for a
 * turn u and a move r of the node; force is the slope of all that hangs there along its place. */
typedef struct rest {
    lanes6 turn, place;
    lanes9 mixed;
    lanes3 push, pull, force;
} rest;

/* ---- what is at a node ---- */

/* Adds what the ground and friction do; of the second variation only if `whole`. */
INLINE void touch(rest *v, const hairs *h, const hairs_node *n, bool whole) {
    v->force = along(v->force, n->out, -n->press);
    if (whole) v->place = along6(along_square(v->place, n->out, n->spring), n->bent, -h->near * n->press);
    if (!n->held) return;
    lanes3 from = less(n->at, n->anchor);
    lanes one = 1 / n->spread, grip = n->grip * one;
    v->force = along(v->force, from, grip);
    if (!whole) return;
    v->place = along_square(v->place, from, -grip * one * one);
    v->place.xx += grip, v->place.yy += grip, v->place.zz += grip;
}

/* And what other hair does. */
INLINE void crowd(rest *v, const hairs_node *n, bool whole) {
    v->force = add(v->force, add(n->lift, apply6(n->crowd, less(n->at, n->began))));
    if (whole) v->place = add6(v->place, n->crowd);
}

INLINE void feel(rest *v, const hairs *h, const hairs_node *n, bool whole) {
    touch(v, h, n, whole);
    if (h->crowded) crowd(v, n, whole);
}

/* ---- small systems ---- */

INLINE factors factorised(lanes6 h, lanes least, lanes *firm) {
    factors f;
    lanes p1 = h.xx;
    f.d1 = -1 / larger(p1, least);
    f.a21 = h.xy * f.d1, f.a31 = h.xz * f.d1;
    lanes p2 = h.yy + f.a21 * h.xy, p32 = h.yz + f.a31 * h.xy;
    f.d2 = -1 / larger(p2, least);
    f.a32 = p32 * f.d2;
    lanes p3 = h.zz + f.a31 * h.xz + f.a32 * p32;
    f.d3 = -1 / larger(p3, least);
    *firm = where((p1 >= least) & (p2 >= least) & (p3 >= least), *firm);
    return f;
}

/* L^-1 r */
INLINE lanes3 forth(const factors *f, lanes3 r) {
    lanes y = r.y + f->a21 * r.x;
    return (lanes3){r.x, y, r.z + f->a31 * r.x + f->a32 * y};
}

INLINE lanes9 forth9(const factors *f, lanes9 r) {
    return (lanes9){forth(f, r.x), forth(f, r.y), forth(f, r.z)};
}

/* L'^-1 r */
INLINE lanes3 back(const factors *f, lanes3 r) {
    lanes y = r.y + f->a32 * r.z;
    return (lanes3){r.x + f->a21 * y + f->a31 * r.z, y, r.z};
}

/* -D^-1 r */
INLINE lanes3 over(const factors *f, lanes3 r) { return (lanes3){r.x * f->d1, r.y * f->d2, r.z * f->d3}; }

INLINE lanes9 over9(const factors *f, lanes9 r) { return (lanes9){over(f, r.x), over(f, r.y), over(f, r.z)}; }

/* ---- an edge ---- */

/* B' a, where the edge's middle turns by u + B d, B d = d / 2 - lag x d, if its near end turns by u and its
 * far end by u + d. */
INLINE lanes3 half_way(lanes3 a, lanes3 lag) { return along(cross(lag, a), a, all(.5)); }

/* First variation of an edge and of what hangs from it, in u and in d; force is what hangs from its middle,
 * times its length, and lever that force's about it. */
typedef struct slopes {
    lanes3 near, far, force, lever;
} slopes;

/* edge_slope of rod_energy.c. */
INLINE slopes edge_slopes(rest *v, const hairs *h, const hairs_node *n) {
    lanes3 f = v->force;
    f.y += .5 * h->load, v->force.y += h->load;
    f = times(f, h->edge);
    lanes3 near = cross(n->tangent, f), lever = half_way(near, n->lag);
    return (slopes){near, add(n->moment, lever), f, lever};
}

/* Second variation: near u with u, both d with u, far d with d. */
typedef struct bend {
    lanes6 near, far;
    lanes9 both;
} bend;

/* edge_curvature of rod_energy.c. To first order the middle turns by m = u + B d, which costs
 * .5 m.(even + s t' + t s').m; to second order by .5 (lag.d) B d - .25 d.d lag more. */
INLINE bend edge_variation(const hairs *h, const hairs_node *n, const slopes *g) {
    lanes3 f = g->force, t = n->tangent, w = n->lag;
    lanes near = h->near, pull = -dot(f, t), tight = (1 - near) * above0(pull), even = near * pull + tight;
    lanes3 s = along(times(f, .5 * near), t, -.5 * tight), s_far = half_way(s, w), t_far = half_way(t, w);
    lanes3 twice = times(s_far, all(2)), skew = along(times(w, even), g->far, -.5 * near);
    lanes half = .5 * even, equal = even * (.25 + dot(w, w)) - .5 * near * dot(g->near, w);
    bend b;
    b.near = add_both((lanes6){even, {0}, {0}, even, {0}, even}, s, t);
    b.both = with_cross((lanes9){times(twice, t.x), times(twice, t.y), times(twice, t.z)}, skew);
    b.both.x.x += half, b.both.y.y += half, b.both.z.z += half;
    b.far = add_both(add_both(n->elastic, s_far, t_far), w, along(times(g->lever, .5 * near), w, -half));
    b.far.xx += equal, b.far.yy += equal, b.far.zz += equal;
    return b;
}

/* By how much farther than with the near end d moves the far one: G d = l (B d - d) x t. */
INLINE lanes9 gain_of(const hairs_node *n, lanes3 a) {
    lanes3 w = n->lag;
    lanes wa = dot(w, a);
    lanes9 g = with_cross((lanes9){times(w, a.x), times(w, a.y), times(w, a.z)}, times(a, all(.5)));
    g.x.x -= wa, g.y.y -= wa, g.z.z -= wa;
    return g;
}

/* ---- toward the root ---- */

/* Past the edge to node n no hair feels the ground: places do not matter. */
INLINE void back_free(rest *v, hairs *h, hairs_node *n) {
    slopes g = edge_slopes(v, h, n);
    bend b = edge_variation(h, n, &g);
    n->factors = factorised(add6(v->turn, b.far), h->least, &h->firm);
    lanes3 one = forth(&n->factors, add(v->push, g.far));
    n->by_one = over(&n->factors, one);
    if (n == &h->node[1]) return; /* the root neither turns nor moves */
    lanes9 o = forth9(&n->factors, add9(whole_of(v->turn), b.both));
    n->by_turn = over9(&n->factors, o);
    v->turn = add6(add6(v->turn, b.near), half_of(back_times(o, n->by_turn)));
    v->push = add(add(v->push, g.near), apply_back(n->by_turn, one));
}

/* Past it some hair feels the ground. */
INLINE void back_touching(rest *v, hairs *h, hairs_node *n) {
    slopes g = edge_slopes(v, h, n);
    bend b = edge_variation(h, n, &g);
    lanes3 a = times(n->tangent, h->edge), c = times(a, all(.5));
    lanes9 place = whole_of(v->place), half = {cross(c, place.x), cross(c, place.y), cross(c, place.z)};
    lanes9 mid = add9(v->mixed, half), mixed = add9(mid, half), rows = transposed(mid);
    lanes6 turn =
        add6(v->turn, with_transposed((lanes9){cross(a, rows.x), cross(a, rows.y), cross(a, rows.z)}));
    lanes3 push = add(v->push, cross(a, v->pull));

    lanes9 gain = gain_of(n, a), r = add9(mixed, back_times(gain, place)),
           o = add9(whole_of(turn), back_times(gain, transposed(mixed)));
    n->factors = factorised(add6(b.far, add6(half_of(o), half_of(times9(r, gain)))), h->least, &h->firm);
    lanes3 one = forth(&n->factors, add(add(push, g.far), apply_back(gain, v->pull)));
    n->by_one = over(&n->factors, one);
    if (n == &h->node[1]) return;
    o = forth9(&n->factors, add9(o, b.both));
    r = forth9(&n->factors, r);
    n->by_turn = over9(&n->factors, o);
    n->by_place = over9(&n->factors, r);
    v->turn = add6(add6(turn, b.near), half_of(back_times(o, n->by_turn)));
    v->mixed = add9(mixed, back_times(o, n->by_place));
    v->place = add6(v->place, half_of(back_times(r, n->by_place)));
    v->push = add(add(push, g.near), apply_back(n->by_turn, one));
    v->pull = add(v->pull, apply_back(n->by_place, one));
}

static void sweep_back(hairs *h) {
    rest v = {0};
    bool touches = false;
    h->firm = all(1);
    for (int i = h->nodes - 1; i > 0; i--) {
        hairs_node *n = &h->node[i];
        n->places = touches |= n->touches;
        if (touches) {
            feel(&v, h, n, true);
            back_touching(&v, h, n);
        } else {
            back_free(&v, h, n);
        }
    }
}

/* With the second variation that was found last. */
static void sweep_back_again(hairs *h) {
    rest v = {0};
    for (int i = h->nodes - 1; i > 0; i--) {
        hairs_node *n = &h->node[i];
        if (n->touches) feel(&v, h, n, false);
        slopes g = edge_slopes(&v, h, n);
        lanes3 push = v.push, one = add(push, g.far);
        if (n->places) {
            lanes3 a = times(n->tangent, h->edge);
            push = add(push, cross(a, v.pull));
            one = add(add(push, g.far), apply_back(gain_of(n, a), v.pull));
        }
        one = forth(&n->factors, one);
        n->by_one = over(&n->factors, one);
        v.push = add(add(push, g.near), apply_back(n->by_turn, one));
        if (n->places) v.pull = add(v.pull, apply_back(n->by_place, one));
    }
}

/* ---- and outward ---- */

/* By how much ground and friction at a node that moves miss what they would be if they were springs. */
INLINE lanes surprise(const hairs *h, const hairs_node *n, lanes3 move) {
    lanes from = h->skin - n->away, to = from - dot(n->out, move);
    lanes deep = above0(from), deeper = above0(to);
    lanes more = deeper * deeper - deep * deep - 2 * deep * (to - from);
    lanes presses = size_of(more) * (.5 * h->stiff * h->per_skin);
    return larger(presses, dot(move, move) * n->grip * (1.5 / (SLIP * SLIP)));
}

static void sweep_out(hairs *h) {
    lanes3 none = {{0}, {0}, {0}}, turn = none, move = none;
    lanes most = {0}, missed = {0}, bends = h->edge / h->bend1;
    for (int i = 1; i < h->nodes; i++) {
        hairs_node *n = &h->node[i];
        lanes3 d = add(n->by_one, apply(n->by_turn, turn));
        if (n->places) d = add(d, apply(n->by_place, move));
        d = back(&n->factors, d);
        lanes3 mid = less(along(turn, d, all(.5)), cross(n->lag, d));
        move = along(move, cross(mid, n->tangent), h->edge);
        n->fresh = turn = add(turn, d);
        most = larger(most, dot(turn, turn));
        if (h->grounded && h->whole) missed = larger(missed, surprise(h, n, move) * (i * bends));
    }
    h->most = root_of(most);
    h->missed = missed;
}

#endif
