/* A step of Newton's method for LANES hairs, in O(nodes).
 *
 * Its unknowns are the turns u_i of the frames, and a node's place depends on all turns before it, so where
 * there is ground the second variation is full. But the rest of a hair past node i feels only that node's
 * frame and place: what it costs to turn and move them is a quadratic form in six numbers, handed from node
 * to node toward the root (Bellman's recursion, as in optimal control; a Cholesky factorisation in disguise).
 * Three of the six drop out of every step as the unknown of the next node. Then one sweep outward gives the
 * turns. Pivots that are not above zero are raised, so that every step leads downhill; where none had to be,
 * the second variation is positive definite.
 *
 * Where near is 1 it is exact. To the share 1 - near it leaves out what can make it indefinite: the moment
 * that an edge has, the weight of a hair that points upward, the way the ground bends. */
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

/* Adds what the ground and friction do at a node. */
INLINE void touch(rest *v, const hairs *h, const hairs_node *n) {
    lanes3 from = less(n->at, n->anchor);
    lanes one = 1 / root_of(dot(from, from) + SLIP * SLIP), grip = n->grip * one;
    lanes6 p = along_square(v->place, n->out, n->spring);
    p = along_square(p, from, -grip * one * one);
    p = along6(p, n->bent, -h->near * n->press);
    p.xx += grip, p.yy += grip, p.zz += grip;
    v->place = p;
    v->force = along(along(v->force, from, grip), n->out, -n->press);
}

/* And what other hair does. */
INLINE void crowd(rest *v, const hairs_node *n) {
    v->place = add6(v->place, n->crowd);
    v->force = add(v->force, add(n->lift, apply6(n->crowd, less(n->at, n->began))));
}

/* A symmetric matrix as L D L', low pivots raised. */
typedef struct factors {
    lanes a21, a31, a32, d1, d2, d3;
} factors;

INLINE factors factorised(lanes6 h, lanes least, lanes *firm) {
    factors f;
    lanes p1 = h.xx;
    f.d1 = 1 / larger(p1, least);
    f.a21 = h.xy * f.d1, f.a31 = h.xz * f.d1;
    lanes p2 = h.yy - f.a21 * h.xy, p32 = h.yz - f.a31 * h.xy;
    f.d2 = 1 / larger(p2, least);
    f.a32 = p32 * f.d2;
    lanes p3 = h.zz - f.a31 * h.xz - f.a32 * p32;
    f.d3 = 1 / larger(p3, least);
    *firm = where((p1 >= least) & (p2 >= least) & (p3 >= least), *firm);
    return f;
}

/* Of h x = -r. */
INLINE lanes3 solved(const factors *f, lanes3 r) {
    lanes y = r.y - f->a21 * r.x, z = r.z - f->a31 * r.x - f->a32 * y;
    lanes3 out;
    out.z = -z * f->d3;
    out.y = -y * f->d2 - f->a32 * out.z;
    out.x = -r.x * f->d1 - f->a21 * out.y - f->a31 * out.z;
    return out;
}

INLINE lanes9 solved9(const factors *f, lanes9 r) {
    return (lanes9){solved(f, r.x), solved(f, r.y), solved(f, r.z)};
}

/* First and second variation of one edge in the turns of its ends, u and u', but for its stretch of the
 * ground: near, far and across of u with u, u' with u', and u' with u; across is the symmetric part, skew the
 * other. */
typedef struct bend {
    lanes6 near, far, across;
    lanes3 skew, slope_near, slope_far;
} bend;

/* edge_slope and edge_curvature of rod_energy.c, with w for its T u: ss / 4 is the weight that hangs from the
 * edge, twice along the mean of the turns, and dd twice along their difference. */
INLINE bend edge_variation(rest *v, const hairs *h, const hairs_node *n) {
    lanes3 f = v->force, t = n->tangent, w = n->lag;
    f.y += .5 * h->load, v->force.y += h->load;
    lanes near = h->near, l = h->edge;
    lanes3 lever = times(cross(t, f), l), m = less(n->moment, cross(lever, w));
    bend b = {.slope_near = less(times(lever, all(.5)), m), .slope_far = along(m, lever, all(.5))};

    lanes ft = l * dot(f, t), pull = -.25 * ft, tight = (1 - near) * above0(pull), even = near * pull + tight;
    lanes6 zero = {{0}, {0}, {0}, {0}, {0}, {0}};
    lanes6 ss = along_square((lanes6){even, {0}, {0}, even, {0}, even}, t, -tight);
    ss = add_both(ss, times(f, .125 * near * l), t);

    lanes3 tw = cross(t, w), fw = cross(f, w), nl = times(lever, near), nf = times(f, near * l),
           nw = times(w, near);
    lanes6 cross_part = add_both(zero, nl, times(w, all(.25)));
    lanes equal = .5 * dot(nw, lever);
    cross_part.xx -= equal, cross_part.yy -= equal, cross_part.zz -= equal;
    cross_part =
        add_both(add_both(cross_part, nf, times(tw, all(-.25))), times(fw, near * l), times(t, all(-.25)));

    lanes6 dd = add_both(n->elastic, nw, times(cross(lever, w), all(-.5)));
    dd = add_both(along_square(dd, w, near * ft), times(fw, near * l), times(tw, all(.5)));
    lanes alpha = near * ft * dot(w, w);
    dd.xx -= alpha, dd.yy -= alpha, dd.zz -= alpha;

    lanes6 both = add6(dd, ss);
    b.near = less6(both, cross_part), b.far = add6(both, cross_part), b.across = less6(ss, dd);
    lanes3 turn = along(times(n->moment, near * .5), cross(w, nl), all(.25));
    turn = along(turn, nw, .5 * ft);
    turn = along(along(turn, nf, .25 * dot(t, w)), t, .25 * dot(nf, w));
    b.skew = (lanes3){-turn.x, -turn.y, -turn.z};
    return b;
}

/* Past the edge to node n no hair feels the ground: places do not matter. */
INLINE void back_free(rest *v, hairs *h, hairs_node *n) {
    bend b = edge_variation(v, h, n);
    factors f = factorised(add6(v->turn, b.far), h->least, &h->firm);
    lanes9 o = with_cross(whole_of(b.across), b.skew);
    n->by_turn = solved9(&f, o);
    n->by_one = solved(&f, add(v->push, b.slope_far));
    v->turn = add6(b.near, half_of(back_times(o, n->by_turn)));
    v->push = add(b.slope_near, apply_back(o, n->by_one));
}

/* How a node moves with the turn of the one before it and with its own: l w x t for a turn w of the edge's
 * middle. */
INLINE void levers(lanes9 *near, lanes9 *far, const hairs *h, const hairs_node *n) {
    lanes3 t = n->tangent, a = times(t, .5 * h->edge), w = times(n->lag, h->edge);
    lanes both = dot(t, w);
    lanes9 mean = {{{0}, -a.z, a.y}, {a.z, {0}, -a.x}, {-a.y, a.x, {0}}};
    lanes9 lag = {times(w, -t.x), times(w, -t.y), times(w, -t.z)};
    lag.x.x += both, lag.y.y += both, lag.z.z += both;
    *near = add9(mean, lag), *far = less9(mean, lag);
}

/* Past it some hair feels the ground. */
INLINE void back_touching(rest *v, hairs *h, hairs_node *n) {
    bend b = edge_variation(v, h, n);
    lanes9 near, far, place = whole_of(v->place);
    levers(&near, &far, h, n);
    lanes9 pn = times9(place, near), pf = times9(place, far);
    lanes6 turn = add6(v->turn, with_transposed(times9(v->mixed, far)));
    factors f = factorised(add6(add6(turn, b.far), half_of(back_times(far, pf))), h->least, &h->firm);
    lanes9 o = add9(whole_of(b.across), add9(times9(v->mixed, near), back_times(far, pn)));
    lanes9 r = add9(v->mixed, transposed(pf));
    o = with_cross(o, b.skew);
    n->by_turn = solved9(&f, o);
    n->by_place = solved9(&f, r);
    n->by_one = solved(&f, add(add(v->push, b.slope_far), apply_back(far, v->pull)));
    v->turn = add6(add6(b.near, half_of(back_times(near, pn))), half_of(back_times(o, n->by_turn)));
    v->mixed = add9(transposed(pn), back_times(o, n->by_place));
    v->place = add6(v->place, half_of(back_times(r, n->by_place)));
    v->push = add(add(b.slope_near, apply_back(near, v->pull)), apply_back(o, n->by_one));
    v->pull = add(v->pull, apply_back(r, n->by_one));
}

static void sweep_back(hairs *h) {
    rest v = {0};
    bool touches = false;
    h->firm = all(1);
    for (int i = h->nodes - 1; i > 0; i--) {
        hairs_node *n = &h->node[i];
        n->touches = touches |= n->touches;
        if (touches) {
            touch(&v, h, n);
            if (h->crowded) crowd(&v, n);
            back_touching(&v, h, n);
        } else {
            back_free(&v, h, n);
        }
    }
}

static void sweep_out(hairs *h) {
    lanes3 none = {{0}, {0}, {0}}, turn = none, move = none;
    lanes most = {0};
    for (int i = 1; i < h->nodes; i++) {
        hairs_node *n = &h->node[i];
        lanes3 next = add(n->by_one, apply(n->by_turn, turn));
        if (n->touches) next = add(next, apply(n->by_place, move));
        lanes3 mean = less(times(add(turn, next), all(.5)), cross(n->lag, less(next, turn)));
        move = along(move, cross(mean, n->tangent), h->edge);
        n->fresh = turn = next;
        most = larger(most, dot(turn, turn));
    }
    h->most = root_of(most);
}

#endif
