/* A step of Newton's method for LANES hairs, in O(nodes).
 *
 * Its unknowns are the turns u_i of the frames, and a node's place depends on all turns before it, so where
 * there is ground the second variation is full. But the rest of a hair past node i feels only that node's
 * frame and place: what it costs to turn and move them is a quadratic form in six numbers, handed from node to
 * node toward the root (Bellman's recursion, as in optimal control; a Cholesky factorisation in disguise).
 * Three of the six drop out of every step as the unknown of the next node. Then one sweep outward gives the
 * turns. Pivots that are not above zero are raised, so that every step leads downhill; where none had to be,
 * the second variation is positive definite.
 *
 * It leaves out what is of the order of the square of the turn from node to node, and to the share 1 - near
 * what can make it indefinite: the weight of a hair that points upward, the way the ground bends. */
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
 * ground: even + elastic of each, even - elastic + [skew]x of u' with u. */
typedef struct bend {
    lanes6 even;
    lanes3 skew, near, far; /* near, far: slopes along u and u' */
} bend;

INLINE bend edge_variation(rest *v, const hairs *h, const hairs_node *n) {
    bend b;
    lanes3 f = v->force, t = n->tangent, none = {{0}, {0}, {0}};
    f.y += .5 * h->load, v->force.y += h->load;
    lanes3 c = times(cross(t, f), h->edge), m = along(n->moment, cross(c, n->skew), all(-.5));
    b.near = less(times(c, all(.5)), m), b.far = along(m, c, all(.5));
    lanes pull = -.25 * h->edge * dot(f, t), tight = above0(pull), q = .125 * h->near * h->edge;
    lanes both = h->near * pull + (1 - h->near) * tight;
    lanes3 qf = times(f, q);
    b.even = along_square((lanes6){both, {0}, {0}, both, {0}, both}, t, -(1 - h->near) * tight);
    b.even = add6(b.even, with_transposed((lanes9){times(qf, t.x), times(qf, t.y), times(qf, t.z)}));
    b.skew = along(none, n->moment, -.5 * h->near);
    return b;
}

/* Past the edge to node n no hair feels the ground: places do not matter. */
INLINE void back_free(rest *v, hairs *h, hairs_node *n) {
    bend b = edge_variation(v, h, n);
    factors f = factorised(add6(v->turn, add6(n->elastic, b.even)), h->least, &h->firm);
    lanes9 o = with_cross(whole_of(less6(b.even, n->elastic)), b.skew);
    n->by_turn = solved9(&f, o);
    n->by_one = solved(&f, add(v->push, b.far));
    v->turn = add6(add6(n->elastic, b.even), half_of(back_times(o, n->by_turn)));
    v->push = add(b.near, apply_back(o, n->by_one));
}

/* m T, where T u = u x a moves a node by half its edge's turn */
INLINE lanes9 times_lever(lanes9 m, lanes3 a) {
    return (lanes9){less(times(m.z, a.y), times(m.y, a.z)), less(times(m.x, a.z), times(m.z, a.x)),
                    less(times(m.y, a.x), times(m.x, a.y))};
}

/* Past it some hair feels the ground. */
INLINE void back_touching(rest *v, hairs *h, hairs_node *n) {
    bend b = edge_variation(v, h, n);
    lanes3 a = times(n->tangent, .5 * h->edge), e = cross(a, v->pull);
    lanes9 ns = times_lever(v->mixed, a), d = times_lever(whole_of(v->place), a), back = transposed(d);
    b.even = add6(b.even, half_of(cross_columns(a, d)));
    factors f = factorised(add6(add6(v->turn, with_transposed(ns)), add6(n->elastic, b.even)), h->least,
                           &h->firm);
    lanes9 o = with_cross(add9(whole_of(less6(b.even, n->elastic)), ns), b.skew);
    lanes9 r = add9(v->mixed, back);
    n->by_turn = solved9(&f, o);
    n->by_place = solved9(&f, r);
    n->by_one = solved(&f, add(add(v->push, b.far), e));
    v->turn = add6(add6(n->elastic, b.even), half_of(back_times(o, n->by_turn)));
    v->mixed = add9(back, back_times(o, n->by_place));
    v->place = add6(v->place, half_of(back_times(r, n->by_place)));
    v->push = add(add(b.near, e), apply_back(o, n->by_one));
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
        move = along(move, cross(add(turn, next), n->tangent), .5 * h->edge);
        n->fresh = turn = next;
        most = larger(most, dot(turn, turn));
    }
    h->most = root_of(most);
}

#endif
