/* A step of Newton's method, in O(nodes).
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
#ifndef RODS_EXACT
#define RODS_SHORT
#endif
#include "rods_step.h"

/* What the rest of the hair past a node costs: .5 u.turn.u + u.mixed.r + .5 r.place.r + push.u + pull.r for a
 * turn u and a move r of the node; of push and pull only what the unknowns left that dropped
 * out, since slopes are given whole. */
typedef struct rest {
    lanes6 turn, place;
    lanes9 mixed;
    lanes3 push, pull;
} rest;

/* Adds what is felt at a node. */
INLINE void feel(rest *v, const step *s, const step_node *n) {
    lanes depth = above0(n->depth), spring = s->firm * depth;
    v->place = along6(along_square(v->place, n->out, spring), n->bent, -.5f * s->near * spring * depth);
    if (n->held) {
        lanes grip = n->grip * n->per;
        v->place = along_square(v->place, n->dragged, -grip);
        v->place.xx += grip, v->place.yy += grip, v->place.zz += grip;
    }
    if (s->crowded) v->place = add6(v->place, n->crowd);
}

/* ---- small systems ---- */

INLINE factors factorised(lanes6 h, lanes least, lanes *sure) {
    factors f;
    lanes p1 = h.xx;
    f.d1 = -1 / larger(p1, least);
    f.a21 = h.xy * f.d1, f.a31 = h.xz * f.d1;
    lanes p2 = h.yy + f.a21 * h.xy, p32 = h.yz + f.a31 * h.xy;
    f.d2 = -1 / larger(p2, least);
    f.a32 = p32 * f.d2;
    lanes p3 = h.zz + f.a31 * h.xz + f.a32 * p32;
    f.d3 = -1 / larger(p3, least);
    *sure = where((p1 >= least) & (p2 >= least) & (p3 >= least), *sure);
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

/* Second variation of the elastic energy along the difference of the turns, and near times what there is of
 * it for the moment that the edge has: strain_curvature and elastic_curvature of rod_energy.c. */
INLINE lanes6 elastic_variation(const step *s, const step_node *n) {
    lanes near = s->near, c = .5f * n->twice, c2 = c * c, half = 1 / n->twice;
    lanes g = (7 - c) * ((lane)1 / 6), gc = 2 * half * g;
    lanes3 u = times(n->lag, 4 * n->twice);
    lanes stretch = gc * ((lane)1 / 16) - (lane)1 / 96, uu = dot(u, u), a = dot(n->pull, u) * near;
    lanes equal = -g * a * (2 + 4 * half * half) * ((lane)1 / 32) + a * (2 * c2 - 1) * half * ((lane)1 / 96);
    lanes with = near * (g * half * half * .25f + half * ((lane)1 / 48));
    lanes alone = a * (half * (-(lane)1 / 3072) - g * half * half * ((lane)1 / 128));
    lanes3 y = along(times(n->second, gc), u, -stretch * dot(u, n->second)),
           z = along(times(n->tangent, gc), u, -stretch * dot(u, n->tangent));
    lanes even = gc * gc + 2 * equal;
    lanes6 k = {even, {0}, {0}, even, {0}, even};
    k = along_square(k, u, stretch * (stretch * uu - 2 * gc) + 2 * alone);
    k = along_square(along_square(k, y, s->bend2 - 1), z, s->twist - 1);
    return add_both(k, times(u, with), n->pull);
}

/* Apart from the sweep, which needs all registers. */
static void bend_edges(step *s) {
    for (int i = 1; i < s->nodes; i++) s->node[i].elastic = elastic_variation(s, &s->node[i]);
}

/* Second variation: near u with u, both d with u, far d with d. */
typedef struct bend {
    lanes6 near, far;
    lanes9 both;
} bend;

/* edge_curvature of rod_energy.c. To first order the middle turns by m = u + B d, which costs
 * .5 m.(even + s t' + t s').m; to second order by .5 (lag.d) B d - .25 d.d lag more. */
INLINE bend edge_variation(const step *st, const step_node *n) {
    lanes3 f = n->force, t = n->tangent, w = n->lag, turns = cross(t, f), lever = half_way(turns, w),
           far = add(n->moment, lever);
    lanes near = st->near, pull = -dot(f, t), tight = (1 - near) * above0(pull), even = near * pull + tight;
    lanes3 s = along(times(f, .5f * near), t, -.5f * tight), s_far = half_way(s, w), t_far = half_way(t, w);
    lanes3 twice = times(s_far, all(2)), skew = along(times(w, even), far, -.5f * near);
    lanes half = .5f * even, equal = even * (.25f + dot(w, w)) - .5f * near * dot(turns, w);
    bend b;
    b.near = add_both((lanes6){even, {0}, {0}, even, {0}, even}, s, t);
    b.both = with_cross((lanes9){times(twice, t.x), times(twice, t.y), times(twice, t.z)}, skew);
    b.both.x.x += half, b.both.y.y += half, b.both.z.z += half;
    b.far = add_both(add_both(n->elastic, s_far, t_far), w, along(times(lever, .5f * near), w, -half));
    b.far.xx += equal, b.far.yy += equal, b.far.zz += equal;
    return b;
}

/* By how much farther than with the near end d moves the far one: G d = (B d - d) x t. */
INLINE lanes9 gain_of(const step_node *n) {
    lanes3 w = n->lag, t = n->tangent;
    lanes wt = dot(w, t);
    lanes9 g = with_cross((lanes9){times(w, t.x), times(w, t.y), times(w, t.z)}, times(t, all(.5)));
    g.x.x -= wt, g.y.y -= wt, g.z.z -= wt;
    return g;
}

/* ---- toward the root ---- */

/* Past the edge to node n no hair feels the ground: places do not matter. */
INLINE void back_free(rest *v, step *s, step_node *n) {
    bend b = edge_variation(s, n);
    n->factors = factorised(add6(v->turn, b.far), s->least, &s->sure);
    lanes3 one = forth(&n->factors, add(v->push, n->slope));
    n->by_one = over(&n->factors, one);
    if (n == &s->node[1]) return; /* the root neither turns nor moves */
    lanes9 o = forth9(&n->factors, add9(whole_of(v->turn), b.both));
    n->by_turn = over9(&n->factors, o);
    v->turn = add6(add6(v->turn, b.near), half_of(back_times(o, n->by_turn)));
    v->push = add(v->push, apply_back(n->by_turn, one));
}

/* Past it some hair feels the ground. */
INLINE void back_touching(rest *v, step *s, step_node *n) {
    bend b = edge_variation(s, n);
    lanes3 t = n->tangent, c = times(t, all(.5));
    lanes9 place = whole_of(v->place), half = {cross(c, place.x), cross(c, place.y), cross(c, place.z)};
    lanes9 mid = add9(v->mixed, half), mixed = add9(mid, half), rows = transposed(mid);
    lanes6 turn =
        add6(v->turn, with_transposed((lanes9){cross(t, rows.x), cross(t, rows.y), cross(t, rows.z)}));
    lanes3 push = add(v->push, cross(t, v->pull));

    lanes9 gain = gain_of(n), r = add9(mixed, back_times(gain, place)),
           o = add9(whole_of(turn), back_times(gain, transposed(mixed)));
    n->factors = factorised(add6(b.far, add6(half_of(o), half_of(times9(r, gain)))), s->least, &s->sure);
    lanes3 one = forth(&n->factors, add(add(push, n->slope), apply_back(gain, v->pull)));
    n->by_one = over(&n->factors, one);
    if (n == &s->node[1]) return;
    o = forth9(&n->factors, add9(o, b.both));
    r = forth9(&n->factors, r);
    n->by_turn = over9(&n->factors, o);
    n->by_place = over9(&n->factors, r);
    v->turn = add6(add6(turn, b.near), half_of(back_times(o, n->by_turn)));
    v->mixed = add9(mixed, back_times(o, n->by_place));
    v->place = add6(v->place, half_of(back_times(r, n->by_place)));
    v->push = add(push, apply_back(n->by_turn, one));
    v->pull = add(v->pull, apply_back(n->by_place, one));
}

static void sweep_back(step *s) {
    rest v = {0};
    bool touches = false;
    s->sure = all(1);
    for (int i = s->nodes - 1; i > 0; i--) {
        step_node *n = &s->node[i];
        n->places = touches |= n->touches;
        if (touches) {
            feel(&v, s, n);
            back_touching(&v, s, n);
        } else {
            back_free(&v, s, n);
        }
    }
}

/* With the second variation that was found last. */
static void sweep_back_again(step *s) {
    lanes3 push = {{0}, {0}, {0}}, pull = push;
    for (int i = s->nodes - 1; i > 0; i--) {
        step_node *n = &s->node[i];
        lanes3 one = push;
        if (n->places) {
            push = add(push, cross(n->tangent, pull));
            one = add(push, apply_back(gain_of(n), pull));
        }
        one = forth(&n->factors, add(one, n->slope));
        n->by_one = over(&n->factors, one);
        push = add(push, apply_back(n->by_turn, one));
        if (n->places) pull = add(pull, apply_back(n->by_place, one));
    }
}

/* ---- and outward ---- */

/* By how much ground and friction at a node that moves miss what they would be if they were springs. */
INLINE lanes surprise(const step *s, const step_node *n, lanes3 move, lanes press) {
    lanes to = n->depth - dot(n->out, move) * s->edge, deep = above0(n->depth), deeper = above0(to);
    lanes more = deeper * deeper - deep * deep - 2 * deep * (to - n->depth);
    return larger(size_of(more) * press, dot(move, move) * n->grip * s->slips);
}

static void sweep_out(step *s, bool whole) {
    lanes3 none = {{0}, {0}, {0}}, turn = none, move = none;
    lanes most = {0}, missed = {0}, press = .5f * s->firm / s->edge;
    for (int i = 1; i < s->nodes; i++) {
        step_node *n = &s->node[i];
        lanes3 d = add(n->by_one, apply(n->by_turn, turn));
        if (n->places) d = add(d, apply(n->by_place, move));
        d = back(&n->factors, d);
        lanes3 mid = less(along(turn, d, all(.5)), cross(n->lag, d));
        move = add(move, cross(mid, n->tangent));
        n->turn = turn = add(turn, d);
        most = larger(most, dot(turn, turn));
        if (s->grounded && whole) missed = larger(missed, surprise(s, n, move, press) * (lane)i);
    }
    s->most = root_of(most) + 0 * dot(turn, turn);
    s->missed = missed;
}

void RODS_STEP(step *s, bool whole) {
    if (whole) {
        bend_edges(s);
        sweep_back(s);
    } else {
        sweep_back_again(s);
    }
    sweep_out(s, whole);
}
