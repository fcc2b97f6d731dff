/* The taut path round the head, plainly: the reference that the fast kernel is held to.
 *
 * Seen from the star centre the path runs through a fan of half-planes hinged on one axis, the first through
 * its start, the last through its end. Each half-plane in between holds one node of a chain, with a height
 * above the surface, never below 0, and a sideways slope. The taut chain is the shortest: Newton's method on
 * both, block tridiagonal, in which a node that is pulled against the surface keeps its height of 0
 * (projected Newton: Bertsekas 1982, SIAM J Control Optim 20:221, cited from memory). Heights let the chain
 * bridge a hollow, slopes make what touches a geodesic. It starts from the convex hull in the plane of the
 * fan.
 *
 * The chain is inscribed, so a chord between touching nodes is lengthened to the arc it cuts off, and one
 * that leaves the surface to the arc and tangent that a curve of the same curvature would give. Where that
 * adds much, or a chord lies deeper in the head than its arc would, the chain is laid again with more
 * half-planes.
 *
 * Invariant: the chain's ends never move, and every node stays in its half-plane, so nodes cannot pass each
 * other. Where the path could run another way round (long contact, nearly opposite ends, round the neck, a
 * chain at a saddle) it is also started from there, and the shortest wins.
 *
 * Two cares: plain, which is the reference, and coarse, for the odd hairs of the fast kernel, which
 * has fewer nodes, rests sooner and drops another way round as soon as that is seen to come back to the best
 * or to stay longer. In both the nodes of a chain are placed PATH_LANES at a time.
 */
#include "path.h"

#include <stdbool.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include "head.h"

#define NODES_MAX 224     /* half-planes of a full turn at the plain step, and some */
#define FINEST_STEP 0.006 /* radians: no chain is refined beyond */
#define SCREEN_STEP                                                                                          \
    0.12           /* radians between half-planes for telling whether another way round is worth following */
#define STRIDE 0.3 /* no Newton step is larger: with 0.6 some chains slip into other ways */
#define ROUNDS 40  /* Newton steps */
#define GRAZE 1e-7 /* metres above the surface from which a node that is pulled down is held by it */
#define STEEPEST 3 /* slope at which a chain is about to slip over the fan's axis: another start finds it */

/* A step of Newton's method is measured by the most that it changes a slope, or ten times a height in metres.
 */
typedef struct care {
    double step;        /* radians between half-planes */
    double rest;        /* a taut chain's step is smaller */
    double screen_rest; /* the same where it is only asked whether another way is worth following */
    bool hasty;         /* leaves that as soon as it is seen not to be */
} care;

static const care plain = {0.03, 1e-8, 1e-8, false}, coarse = {0.05, 1e-4, 1e-2, true};

typedef struct node {
    double cos, sin;  /* of the half-plane's angle */
    double slope;     /* sideways: the node's direction is along (cos, sin, slope) */
    double height;    /* above the surface along that direction, metres */
    lw_vec3 position; /* from the star centre */
    lw_vec3 below;    /* the surface point in the same direction */
    lw_vec3 normal;   /* outward unit normal there */
    lw_vec3 up;       /* derivative of position by height: the direction, unit */
    lw_vec3 slide;    /* derivative of position by slope */
    lw_vec3 turn;     /* derivative of up by slope */
    bool touches;     /* lies on the surface */
    bool corner;      /* the chain bends here */
} node;

typedef struct chain {
    const surface *surface;
    lw_vec3 e1, e2, e3; /* the fan: e1 toward its first half-plane, e3 the axis */
    double step;        /* radians between half-planes */
    int last;           /* nodes 0..last */
    bool saddle;        /* the sideways Newton matrix was not positive */
    bool settled;       /* hull and sliding agree */
    double stir;        /* the last step's size */
    double length, touching;
    double lifted; /* the part of length that short touches add */
    node node[NODES_MAX];
} chain;

static lw_vec3 meet(const surface *s, lw_vec3 u, lw_vec3 *normal, lw_vec3 *gradient) {
    lw_vec3 g;
    double r = surface_radius(s, u.x, u.y, u.z, &g.x, &g.y, &g.z);
    if (normal) *normal = v3_unit(v3_along(u, g, -1 / r));
    if (gradient) *gradient = g;
    return v3_scale(u, r);
}

static void gather(path_nodes *to, int l, const node *n, double ahead) {
    to->cos[l] = n->cos;
    to->sin[l] = n->sin;
    to->slope[l] = n->slope + ahead;
    to->height[l] = n->height;
}

static lw_vec3 lane(const path_vectors *v, int l) { return v3(v->x[l], v->y[l], v->z[l]); }

static bool is_wide(void) {
#ifdef PATH_AVX2
    return __builtin_cpu_supports("avx2");
#else
    return false;
#endif
}

#ifndef PATH_AVX2
#define path_straight_wide path_straight_narrow
#define path_lengths_wide path_lengths_narrow
#define path_nodes_wide path_nodes_narrow
#endif

void path_nodes_place(path_nodes *nodes, const surface *s, lw_vec3 e1, lw_vec3 e2, lw_vec3 e3) {
    (is_wide() ? path_nodes_wide : path_nodes_narrow)(nodes, s, e1, e2, e3);
}

/* Places nodes `first` to `last` at their slopes and heights. */
static void place(chain *c, int first, int last) {
    path_nodes lanes;
    for (int j = first; j <= last; j += PATH_LANES) {
        for (int l = 0; l < PATH_LANES; l++) gather(&lanes, l, &c->node[j + l < last ? j + l : last], 0);
        path_nodes_place(&lanes, c->surface, c->e1, c->e2, c->e3);
        for (int l = 0; l < PATH_LANES && j + l <= last; l++) {
            node *n = &c->node[j + l];
            n->up = lane(&lanes.up, l);
            n->turn = lane(&lanes.turn, l);
            n->normal = lane(&lanes.normal, l);
            n->slide = lane(&lanes.slide, l);
            n->below = v3_scale(n->up, lanes.radius[l]);
            n->position = v3_scale(n->up, lanes.radius[l] + n->height);
        }
    }
}

/* rate[j] becomes the second derivative by its slope of the position of node j, if that touches. */
static void slide_rates(const chain *c, lw_vec3 *rate) {
    const double h = 1e-5;
    path_nodes lanes;
    for (int j = 1, count = 0, of[PATH_LANES]; j < c->last; j++) {
        rate[j] = v3(0, 0, 0);
        if (c->node[j].height <= GRAZE) of[count++] = j;
        if (count == 0 || (count < PATH_LANES && j + 1 < c->last)) continue;
        for (int l = 0; l < PATH_LANES; l++) gather(&lanes, l, &c->node[of[l < count ? l : 0]], h);
        path_nodes_place(&lanes, c->surface, c->e1, c->e2, c->e3);
        for (int l = 0; l < count; l++)
            rate[of[l]] = v3_scale(v3_sub(lane(&lanes.slide, l), c->node[of[l]].slide), 1 / h);
        count = 0;
    }
}

static double flat_cross(const chain *c, lw_vec3 a, lw_vec3 b) {
    return v3_dot(a, c->e1) * v3_dot(b, c->e2) - v3_dot(a, c->e2) * v3_dot(b, c->e1);
}

/* Raises the nodes from the surface to the hull in the plane of the fan, which is where a chain in that plane
 * is taut. */
static void raise(chain *c) {
    int stack[NODES_MAX], top = 0;
    for (int j = 0; j <= c->last; j++) {
        lw_vec3 x = c->node[j].position;
        while (top > 1 && (j - stack[top - 2]) * c->step < LW_PI) {
            lw_vec3 a = c->node[stack[top - 2]].position, b = c->node[stack[top - 1]].position;
            if (flat_cross(c, v3_sub(b, a), v3_sub(x, b)) > 0) break;
            top--;
        }
        stack[top++] = j;
    }
    for (int k = 1; k < top; k++) {
        lw_vec3 a = c->node[stack[k - 1]].position, chord = v3_sub(c->node[stack[k]].position, a);
        for (int j = stack[k - 1] + 1; j < stack[k]; j++) {
            node *n = &c->node[j];
            double out = flat_cross(c, a, chord) / flat_cross(c, n->up, chord);
            n->height = isfinite(out) ? fmax(out - v3_norm(n->below), 0) : 0;
        }
    }
    place(c, 1, c->last - 1);
}

static double length_of(const chain *c) {
    double sum = 0;
    for (int j = 0; j < c->last; j++) sum += v3_norm(v3_sub(c->node[j + 1].position, c->node[j].position));
    return sum;
}

/* Gradient and second derivatives of the chain's length by (height, slope) of each node: block tridiagonal.
 */
typedef struct tension {
    double pull[2], own[3], next[4], scale[2];
    bool held; /* against the surface: its height stays 0 */
} tension;

static void feel(const chain *c, tension *t) {
    lw_vec3 rate[NODES_MAX];
    slide_rates(c, rate);
    for (int j = 1; j < c->last; j++) {
        const node *n = &c->node[j], *m = n + 1;
        lw_vec3 in = v3_sub(n->position, n[-1].position), out = v3_sub(m->position, n->position);
        double ri = 1 / v3_norm(in), ro = 1 / v3_norm(out);
        in = v3_scale(in, ri);
        out = v3_scale(out, ro);
        lw_vec3 pull = v3_sub(in, out), mine[2] = {n->up, n->slide}, its[2] = {m->up, m->slide};
        double bend[3] = {0, v3_dot(pull, n->turn), v3_dot(pull, rate[j])};
        for (int a = 0; a < 2; a++) {
            double ai = v3_dot(mine[a], in), ao = v3_dot(mine[a], out);
            t[j].pull[a] = v3_dot(mine[a], pull);
            t[j].scale[a] = v3_dot(mine[a], mine[a]) * (ri + ro);
            for (int b = 0; b < 2; b++) {
                if (b >= a)
                    t[j].own[a + b] = bend[a + b] + v3_dot(mine[a], mine[b]) * (ri + ro) -
                                      ai * v3_dot(mine[b], in) * ri - ao * v3_dot(mine[b], out) * ro;
                t[j].next[2 * a + b] = (ao * v3_dot(its[b], out) - v3_dot(mine[a], its[b])) * ro;
            }
        }
        t[j].held = n->height < GRAZE && t[j].pull[0] > 0;
    }
    for (int j = 1; j < c->last; j++) {
        if (t[j].held) {
            t[j].own[0] = 1;
            t[j].own[1] = t[j].next[0] = t[j].next[1] = 0;
            t[j].pull[0] = c->node[j].height;
            t[j].scale[0] = 0;
        }
        if (j + 1 < c->last && t[j + 1].held) t[j].next[0] = t[j].next[2] = 0;
    }
}

/* Newton's step, with `shift` of each variable's scale added to the diagonal. False if the matrix is not
 * positive. */
static bool solve(const tension *t, int last, double shift, double (*step)[2]) {
    double inverse[NODES_MAX][3]; /* of each pivot block */
    for (int j = 1; j < last; j++) {
        double d0 = t[j].own[0] + shift * t[j].scale[0], d1 = t[j].own[1];
        double d2 = t[j].own[2] + shift * t[j].scale[1], r0 = -t[j].pull[0], r1 = -t[j].pull[1];
        if (j > 1) {
            const double *n = t[j - 1].next, *i = inverse[j - 1], *s = step[j - 1];
            double a0 = i[0] * n[0] + i[1] * n[2], a1 = i[1] * n[0] + i[2] * n[2]; /* inverse * next */
            double b0 = i[0] * n[1] + i[1] * n[3], b1 = i[1] * n[1] + i[2] * n[3];
            d0 -= n[0] * a0 + n[2] * a1;
            d1 -= n[0] * b0 + n[2] * b1;
            d2 -= n[1] * b0 + n[3] * b1;
            r0 -= a0 * s[0] + a1 * s[1];
            r1 -= b0 * s[0] + b1 * s[1];
        }
        double det = d0 * d2 - d1 * d1;
        if (!(d0 > 0 && d2 > 0 && det > 1e-12 * d0 * d2)) return false;
        inverse[j][0] = d2 / det;
        inverse[j][1] = -d1 / det;
        inverse[j][2] = d0 / det;
        step[j][0] = r0;
        step[j][1] = r1;
    }
    for (int j = last - 1; j > 0; j--) {
        double *s = step[j], r0 = s[0], r1 = s[1];
        if (j + 1 < last) {
            r0 -= t[j].next[0] * step[j + 1][0] + t[j].next[1] * step[j + 1][1];
            r1 -= t[j].next[2] * step[j + 1][0] + t[j].next[3] * step[j + 1][1];
        }
        s[0] = inverse[j][0] * r0 + inverse[j][1] * r1;
        s[1] = inverse[j][1] * r0 + inverse[j][2] * r1;
    }
    return true;
}

/* One projected Newton step toward the shortest chain, or STRIDE of it; nodes stop at the surface. */
static void tighten(chain *c) {
    tension t[NODES_MAX];
    double step[NODES_MAX][2], was[NODES_MAX][2], before = length_of(c), shift = 0, most = 0;
    feel(c, t);
    c->saddle = false;
    for (; !solve(t, c->last, shift, step); shift = shift > 0 ? 4 * shift : 1e-4) {
        c->saddle = true;
        c->stir = 0;
        if (shift > 1e6) return;
    }
    for (int j = 1; j < c->last; j++) {
        was[j][0] = c->node[j].height;
        was[j][1] = c->node[j].slope;
        most = fmax(most, fmax(fabs(step[j][1]), fabs(step[j][0]) * 10));
    }
    double scale = most > STRIDE ? STRIDE / most : 1;
    for (int attempt = 0; attempt < 30; attempt++, scale *= 0.5) {
        for (int j = 1; j < c->last; j++) {
            node *n = &c->node[j];
            n->height = fmax(was[j][0] + scale * step[j][0], 0);
            n->slope = was[j][1] + scale * step[j][1];
        }
        place(c, 1, c->last - 1);
        if (length_of(c) <= before + 1e-15) break;
    }
    for (int j = 1; j < c->last; j++) c->node[j].touches = c->node[j].corner = t[j].held;
    c->stir = most;
}

/* The next corner after j. */
static int next_corner(const chain *c, int j) {
    do j++;
    while (!c->node[j].corner);
    return j;
}

/* Curvature of the surface along the chain beside node i, on the side of node k. */
static double bend(const chain *c, int i, int k) {
    int j = k > i ? i + 1 : i - 1;
    lw_vec3 along = v3_sub(c->node[j].below, c->node[i].below);
    return v3_dot(v3_sub(c->node[j].normal, c->node[i].normal), along) / v3_dot(along, along);
}

/* A chord of length d leaves the surface at node i, `dip` below the tangent: how much longer the path is that
 * follows a curve of the same curvature and leaves it along a tangent. *arc is the part that follows. */
static double lift(const chain *c, int i, int k, double dip, double d, double *arc) {
    double curvature = bend(c, i, k);
    *arc = 0;
    if (!c->node[i].touches || dip <= 0 || curvature <= 0) return 0;
    double left = fmax(d * d - 2 * dip * d / curvature, 0);
    double s = 2 * dip * d / curvature / (d + sqrt(left)), k2 = curvature * curvature;
    s = fmin(s, d);
    *arc = s;
    return fmax(k2 * s * s * s / 6 + k2 * s * s * (d - s) / 2 - dip * dip * d / 2, 0);
}

/* Lengths of the path that the chord from corner i to corner k stands for. */
static double chord_length(const chain *c, int i, int k, double *touching) {
    const node *a = &c->node[i], *b = &c->node[k];
    lw_vec3 chord = v3_sub(b->position, a->position);
    double d = v3_norm(chord), near, far;
    *touching = 0;
    if (!(d > 0)) return 0;
    double dip_a = -v3_dot(a->normal, chord) / d, dip_b = v3_dot(b->normal, chord) / d;
    if (k == i + 1 && a->touches && b->touches && dip_a > 0 && dip_b > 0)
        return *touching = d + d * (2 * dip_a * dip_a + 2 * dip_b * dip_b + dip_a * dip_b) / 30;
    d += lift(c, i, k, dip_a, d, &near) + lift(c, k, i, dip_b, d, &far);
    *touching = near + far;
    return d;
}

/* Whether the chord between corners i and k leaves the surface. */
static bool leaves(const chain *c, int i, int k) {
    return k > i + 1 || !c->node[i].touches || !c->node[k].touches;
}

/* The last node of a touch may be one that the path has left, or not yet met, by less than half a step: lets
 * it go, for the chord from the one before to make up for. */
static void let_go(chain *c) {
    for (int i = 0, j = next_corner(c, 0); j < c->last;) {
        int k = next_corner(c, j);
        node *n = &c->node[j];
        bool last = leaves(c, j, k) && !leaves(c, i, j), first = leaves(c, i, j) && !leaves(c, j, k);
        bool late = last && v3_dot(n->normal, v3_sub(c->node[k].position, n->position)) > 0;
        bool early = first && v3_dot(n->normal, v3_sub(n->position, c->node[i].position)) < 0;
        if (late || early)
            n->corner = n->touches = false;
        else
            i = j;
        j = k;
    }
}

/* A touch of a single node: what the arc round it might add. */
static double lone(const chain *c, int i, int j, int k) {
    const node *n = &c->node[j];
    if (!leaves(c, i, j) || !leaves(c, j, k)) return 0;
    lw_vec3 in = v3_unit(v3_sub(n->position, c->node[i].position));
    lw_vec3 pull = v3_sub(in, v3_unit(v3_sub(c->node[k].position, n->position)));
    return v3_dot(pull, pull) * v3_norm(v3_sub(n[1].below, n->below)) / 24;
}

static void measure(chain *c) {
    let_go(c);
    c->length = c->touching = c->lifted = 0;
    for (int i = 0, k; i < c->last; i = k) {
        double touching, length;
        k = next_corner(c, i);
        length = chord_length(c, i, k, &touching);
        c->length += length;
        c->touching += touching;
        if (leaves(c, i, k)) c->lifted += length - v3_norm(v3_sub(c->node[k].position, c->node[i].position));
        if (k < c->last) c->lifted += lone(c, i, k, next_corner(c, k));
    }
}

/* The direction of the chain's end at that position. */
static void aim(const chain *c, node *n, lw_vec3 position) {
    double flat =
        fmax(hypotenuse(v3_dot(position, c->e1), v3_dot(position, c->e2)), 1e-9 * v3_norm(position));
    n->cos = v3_dot(position, c->e1) / flat;
    n->sin = v3_dot(position, c->e2) / flat;
    n->slope = v3_dot(position, c->e3) / flat;
    n->height = 0;
}

static void fix(node *n, lw_vec3 position) {
    n->height = v3_norm(position) - v3_norm(n->below);
    n->position = position;
    n->touches = n->height < 1e-8;
    n->corner = true;
}

static double steepest(const chain *c) {
    double most = 0;
    for (int j = 1; j <= c->last; j++) most = fmax(most, fabs(c->node[j].slope));
    return most;
}

/* How deep the chord from node j may lie below the surface: as deep as the arc that stands for it. */
static double depth_allowed(const chain *c, int j) {
    const node *a = &c->node[j], *b = a + 1;
    lw_vec3 chord = v3_sub(b->position, a->position);
    double d = v3_norm(chord), least = fmin(20 * d * d, 3e-4);
    if (!a->touches || !b->touches) return least;
    double dip_a = -v3_dot(a->normal, chord), dip_b = v3_dot(b->normal, chord);
    return fmax(dip_a, dip_b) < 0.25 * d ? fmax(least, 0.2 * (dip_a + dip_b)) : least;
}

/* Whether some chord cuts deeper through the head: where the fan is too wide, or its axis too near, for the
 * chain. */
static bool cuts_through(const chain *c) {
    for (int j = 0; j < c->last; j++) {
        lw_vec3 a = c->node[j].position, chord = v3_sub(c->node[j + 1].position, a);
        double deepest = depth_allowed(c, j);
        int parts = (int)fmin(fmax(ceil(v3_norm(chord) / 5e-3), 2), 200);
        for (int i = 1; i < parts; i++) {
            lw_vec3 x = v3_along(a, chord, (double)i / parts), u = v3_unit(x), normal;
            double above = v3_dot(v3_sub(x, meet(c->surface, u, &normal, NULL)), u) * v3_dot(normal, u);
            if (!(above >= -deepest)) return true;
        }
    }
    return false;
}

/* Spreads the fan of a chain from `from` to `to` (both seen from the centre), which turns about `axis`, and
 * gives the nodes their slopes, with a sideways bulge by that much. */
static void spread(chain *c, const surface *s, lw_vec3 from, lw_vec3 to, lw_vec3 axis, double bulge,
                   double step) {
    c->surface = s;
    c->e3 = v3_unit(axis);
    c->e1 = v3_unit(v3_tangent(from, c->e3));
    c->e2 = v3_cross(c->e3, c->e1);
    double angle = arc_tangent(v3_dot(to, c->e2), v3_dot(to, c->e1));
    if (angle <= 0) angle += 2 * LW_PI;
    c->last = (int)fmin(fmax(ceil(angle / step), 6), NODES_MAX - 1);
    c->step = angle / c->last;
    aim(c, &c->node[0], from);
    aim(c, &c->node[c->last], to);
    double slope = c->node[0].slope, rise = c->node[c->last].slope - slope;
    for (int j = 1; j < c->last; j++) {
        node *n = &c->node[j];
        n->cos = cosine(j * c->step);
        n->sin = sine(j * c->step);
        n->slope = slope + rise * j / c->last + bulge * sine(LW_PI * j / c->last);
        n->height = 0;
        n->corner = n->touches = false;
    }
    c->settled = c->saddle = false;
}

/* Lays the nodes at their slopes, as taut as they are in the plane of the fan. */
static void lay(chain *c, lw_vec3 from, lw_vec3 to) {
    place(c, 0, c->last);
    fix(&c->node[0], from);
    fix(&c->node[c->last], to);
    raise(c);
}

static bool slips(const chain *c) { return steepest(c) >= STEEPEST; }

/* Makes a chain taut. */
static void pull_once(chain *c, const surface *s, lw_vec3 from, lw_vec3 to, lw_vec3 axis, double bulge,
                      double step, const care *how) {
    spread(c, s, from, to, axis, bulge, step);
    lay(c, from, to);
    for (int round = 0; round < ROUNDS && !c->settled && !slips(c); round++) {
        tighten(c);
        c->settled = c->stir < how->rest;
    }
    measure(c);
    c->settled = c->settled && !cuts_through(c);
}

/* Whether the middle of a lies close to b. */
static bool same_way(const chain *a, const chain *b) {
    lw_vec3 middle = a->node[a->last / 2].position;
    double nearest = INFINITY;
    for (int j = 0; j < b->last; j++) {
        lw_vec3 x = b->node[j].position, chord = v3_sub(b->node[j + 1].position, x);
        double along = v3_dot(v3_sub(middle, x), chord) / fmax(v3_dot(chord, chord), 1e-20);
        lw_vec3 foot = v3_along(x, chord, fmin(fmax(along, 0), 1));
        nearest = fmin(nearest, v3_norm(v3_sub(middle, foot)));
    }
    return nearest < 5e-3;
}

/* The same with as many half-planes as it needs: short touches are not to add much, and a steep chain has its
 * nodes further apart. In haste not on to where it turns out to go the way that `best` (may be NULL) does. */
static void pull_taut(chain *c, const surface *s, lw_vec3 from, lw_vec3 to, lw_vec3 axis, double bulge,
                      const care *how, const chain *best) {
    double step = how->step, enough = 4e-3 * step * step;
    for (; step > FINEST_STEP; step *= 0.5) {
        pull_once(c, s, from, to, axis, bulge, step, how);
        if ((c->settled && c->lifted < enough) || slips(c)) break;
        if (how->hasty && best && best->settled && same_way(c, best)) return;
    }
    if (c->settled && steepest(c) > 1) pull_once(c, s, from, to, axis, bulge, step * 0.5, how);
}

/* Radians of the fan in which the chain touches. */
static double span(const chain *c) {
    int first = c->last, final = 0;
    for (int j = 0; j <= c->last; j++)
        if (c->node[j].touches) {
            first = first < j ? first : j;
            final = j;
        }
    return final > first ? (final - first) * c->step : 0;
}

static bool far_round(const chain *c, double angle) {
    return angle > PATH_OPPOSITE || c->touching > PATH_LONG || span(c) > PATH_WIDE;
}

/* Whether the path may be shorter the other way round the neck, which is thinner than the head. */
static bool round_neck(const chain *c) {
    lw_vec3 a = c->node[0].position, b = c->node[c->last].position;
    double lowest = 1, level = a.x * b.x + a.z * b.z;
    for (int j = 0; j <= c->last; j++)
        if (c->node[j].touches) lowest = fmin(lowest, c->node[j].up.y);
    return c->surface->foot > 0 && c->touching > PATH_LONG_LOW && lowest < PATH_LOW &&
           level < PATH_ROUND * sqrt((a.x * a.x + a.z * a.z) * (b.x * b.x + b.z * b.z));
}

/* Whether a chain another way round is worth following: not one that slips over its axis, goes the way that
 * the best does, or is much longer. */
static bool worth_following(chain *c, const surface *s, lw_vec3 from, lw_vec3 to, lw_vec3 axis, double bulge,
                            const care *how, const chain *best) {
    const double longest = best->settled ? 1.03 * best->length : INFINITY;
    spread(c, s, from, to, axis, bulge, SCREEN_STEP);
    if (slips(c)) return false;
    lay(c, from, to);
    double length = length_of(c);
    for (int round = 0; round < ROUNDS && !c->settled && !slips(c); round++) {
        double before = length; /* what a whole step has gained, later ones will not gain again */
        tighten(c);
        c->settled = c->stir < how->screen_rest;
        length = length_of(c);
        if (!how->hasty || !best->settled || c->saddle || c->stir > STRIDE) continue;
        if (length - (before - length) > longest || same_way(c, best)) return false;
    }
    if (slips(c)) return false;
    measure(c);
    return c->length <= longest && !(best->settled && same_way(c, best));
}

/* Whether both ends lie well to one side of the head's middle. The head is its own mirror image, so a path
 * that crosses the middle is no shorter than it is with what lies beyond brought back by the mirror; where
 * the chain itself stays on that side, the way over the other one, which returns with a bend, is longer. */
static bool one_side(const chain *c) {
    lw_vec3 a = c->node[0].position, b = c->node[c->last].position;
    return c->surface->foot > 0 && a.x * b.x > 0 && fabs(a.x) + fabs(b.x) > PATH_BESIDE;
}

/* The shortest of the taut chains from `from` to `to`, both seen from the centre. */
static void shortest(chain *best, const surface *s, lw_vec3 from, lw_vec3 to, const care *how) {
    lw_vec3 u = v3_unit(from), axis = v3_cross(u, to);
    double angle = arc_tangent(v3_norm(axis), v3_dot(to, u));
    if (v3_norm(axis) < 1e-9 * v3_norm(to)) axis = v3_tangent(fabs(u.y) < 0.7 ? v3(0, 1, 0) : v3(0, 0, 1), u);
    axis = v3_unit(axis);
    pull_taut(best, s, from, to, axis, 0, how, NULL);
    bool far = far_round(best, angle) && !one_side(best);
    if (best->settled && !best->saddle && !far && !round_neck(best)) return;
    lw_vec3 back = v3_scale(axis, -1), side = v3_cross(axis, u), up = v3(0, 1, 0), down = v3(0, -1, 0);
    const struct {
        lw_vec3 axis;
        double bulge;
    } starts[] = {
        {up, 0},   {down, 0},  {axis, .7},  {axis, -.7}, {v3_add(axis, side), 0}, {v3_sub(axis, side), 0},
        {back, 0}, {back, .7}, {back, -.7}, {side, 0},   {v3_scale(side, -1), 0}};
    const size_t all = sizeof starts / sizeof *starts, near = 2;
    chain other;
    for (size_t i = 0; i < (far ? all : near); i++) {
        lw_vec3 about = starts[i].axis;
        double bulge = starts[i].bulge;
        if (!worth_following(&other, s, from, to, about, bulge, how, best)) continue;
        pull_taut(&other, s, from, to, about, bulge, how, best);
        if (other.settled && (!best->settled || other.length < best->length)) *best = other;
    }
}

/* Brings a point that lies inside up to the surface. Returns how deep it was. */
static double bring_out(const surface *s, lw_vec3 *p) {
    double d = v3_norm(*p);
    if (!(d > 0)) return INFINITY;
    lw_vec3 u = v3_scale(*p, 1 / d), normal;
    lw_vec3 x = meet(s, u, &normal, NULL);
    double deep = (v3_norm(x) - d) * v3_dot(normal, u);
    if (deep > 0) *p = x;
    return deep;
}

static double taut(const surface *s, lw_vec3 from, lw_vec3 to, const care *how, double *on_surface) {
    chain c;
    if (on_surface) *on_surface = 0;
    from = v3_sub(from, s->centre);
    to = v3_sub(to, s->centre);
    if (!isfinite(v3_norm(from)) || !isfinite(v3_norm(to)) || !(v3_norm(from) > 0)) return NAN;
    bring_out(s, &from);
    if (bring_out(s, &to) > PATH_INSIDE) return NAN;
    double apart = v3_norm(v3_cross(from, to));
    if (apart <= 1e-9 * v3_norm(from) * v3_norm(to) && v3_dot(from, to) > 0) return v3_norm(v3_sub(to, from));
    shortest(&c, s, from, to, how);
    if (on_surface) *on_surface = c.touching;
    return c.length;
}

double path_length(const surface *s, lw_vec3 from, lw_vec3 to, double *on_surface) {
    return taut(s, from, to, &plain, on_surface);
}

double path_length_coarse(const surface *s, lw_vec3 from, lw_vec3 to) {
    return taut(s, from, to, &coarse, NULL);
}

/* A place on a chord, on the surface where the chord cuts off an arc. */
static lw_vec3 off_chord(const chain *c, lw_vec3 a, lw_vec3 chord, double share) {
    lw_vec3 x = v3_along(a, chord, share);
    bring_out(c->surface, &x);
    return x;
}

/* out[i] becomes the point at i * spacing along the chain; past its end straight on. */
static void lay_out(const chain *c, lw_vec3 *out, int n, double spacing) {
    double passed = 0;
    for (int i = 0, k, at = 0; i < c->last; i = k) {
        double touching, d;
        k = next_corner(c, i);
        d = chord_length(c, i, k, &touching);
        lw_vec3 a = c->node[i].position, chord = v3_sub(c->node[k].position, a);
        for (; at < n && (at * spacing <= passed + d || k == c->last); at++)
            out[at] = off_chord(c, a, chord, d > 0 ? (at * spacing - passed) / d : 0);
        passed += d;
    }
}

double path_points(lw_vec3 *out, int n, const surface *s, lw_vec3 from, lw_vec3 to, double length) {
    chain c;
    lw_vec3 a = v3_sub(from, s->centre), b = v3_sub(to, s->centre);
    if (!isfinite(v3_norm(a)) || !isfinite(v3_norm(b)) || !(v3_norm(a) > 0)) return NAN;
    bring_out(s, &a);
    if (bring_out(s, &b) > PATH_INSIDE) return NAN;
    double apart = v3_norm(v3_cross(a, b)), whole = v3_norm(v3_sub(b, a)), parts = n > 1 ? n - 1 : 1;
    bool radial = apart <= 1e-9 * v3_norm(a) * v3_norm(b) && v3_dot(a, b) > 0;
    if (!radial) {
        shortest(&c, s, a, b, &plain);
        whole = c.length;
    }
    double spacing = (isnan(length) ? whole : length) / parts;
    lw_vec3 way = v3_unit(v3_sub(b, a));
    if (!radial) lay_out(&c, out, n, spacing);
    for (int i = 0; i < n; i++) out[i] = v3_add(radial ? v3_along(a, way, i * spacing) : out[i], s->centre);
    return whole;
}

void path_straight(const surface *s, int n, const double *fx, const double *fy, const double *fz,
                   const double *nx, const double *ny, const double *nz, const double *tx, const double *ty,
                   const double *tz, double *out) {
    (is_wide() ? path_straight_wide : path_straight_narrow)(s, n, fx, fy, fz, nx, ny, nz, tx, ty, tz, out);
}

/* Whether there are threads without work. */
static bool have_idle(int threads) {
#ifdef _OPENMP
    return threads > 1 && !omp_in_parallel();
#else
    (void)threads;
    return false;
#endif
}

void path_lengths(const surface *s, int threads, int n, const double *fx, const double *fy, const double *fz,
                  const double *nx, const double *ny, const double *nz, const double *tx, const double *ty,
                  const double *tz, double *out) {
    (is_wide() ? path_lengths_wide : path_lengths_narrow)(s, n, fx, fy, fz, nx, ny, nz, tx, ty, tz, out);
    int unsure = 0;
    for (int i = 0; i < n; i++) unsure += out[i] == PATH_UNSURE;
    bool divide = unsure > 1 && have_idle(threads);
    (void)divide;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads) if (divide)
    for (int i = 0; i < n; i++)
        if (out[i] == PATH_UNSURE)
            out[i] = path_length_coarse(s, v3(fx[i], fy[i], fz[i]), v3(tx[i], ty[i], tz[i]));
}

/* Goes `distance` along the surface from x in the plane of x and `tangent` (Runge-Kutta on the plane's
 * angle). */
static lw_vec3 run_on(const surface *s, lw_vec3 x, lw_vec3 tangent, double distance) {
    const int steps = 64;
    lw_vec3 e1 = v3_unit(x), e2 = v3_unit(v3_tangent(tangent, e1));
    double h = distance / steps, angle = 0;
    for (int i = 0; i < steps; i++) {
        double rate[4];
        for (int stage = 0; stage < 4; stage++) {
            double a = angle + (stage == 0 ? 0 : rate[stage - 1] * h * (stage == 3 ? 1 : 0.5));
            lw_vec3 u = v3_along(v3_scale(e1, cosine(a)), e2, sine(a));
            lw_vec3 du = v3_along(v3_scale(e1, -sine(a)), e2, cosine(a)), g;
            double r = v3_norm(meet(s, u, NULL, &g));
            rate[stage] = 1 / hypotenuse(r, v3_dot(g, du));
        }
        angle += h * (rate[0] + 2 * rate[1] + 2 * rate[2] + rate[3]) / 6;
    }
    return meet(s, v3_along(v3_scale(e1, cosine(angle)), e2, sine(angle)), NULL, NULL);
}

/* The surface point at `distance` along the chain. */
static lw_vec3 along_chain(const chain *c, double distance) {
    for (int i = 0, k; i < c->last; i = k) {
        double touching, d;
        k = next_corner(c, i);
        d = chord_length(c, i, k, &touching);
        if (distance <= d || k == c->last) {
            lw_vec3 chord = v3_sub(c->node[k].position, c->node[i].position);
            lw_vec3 x = v3_along(c->node[i].position, chord, d > 0 ? fmin(distance / d, 1) : 0);
            return meet(c->surface, v3_unit(x), NULL, NULL);
        }
        distance -= d;
    }
    return c->node[c->last].position;
}

static lw_vec3 on_way(const surface *s, const chain *c, double fraction) {
    lw_vec3 a = c->node[0].position, b = c->node[c->last].position;
    if (fraction < 0)
        return run_on(s, a, v3_sub(a, c->node[next_corner(c, 0)].position), -fraction * c->length);
    if (fraction <= 1) return along_chain(c, fraction * c->length);
    int before = c->last - 1;
    while (!c->node[before].corner) before--;
    return run_on(s, b, v3_sub(b, c->node[before].position), (fraction - 1) * c->length);
}

void path_between(lw_vec3 *out, int n, const double *fraction, const surface *s, lw_vec3 from, lw_vec3 to) {
    chain c;
    lw_vec3 a = meet(s, v3_unit(v3_sub(from, s->centre)), NULL, NULL);
    lw_vec3 b = meet(s, v3_unit(v3_sub(to, s->centre)), NULL, NULL);
    bool apart = v3_norm(v3_sub(a, b)) >= 1e-9;
    if (apart) shortest(&c, s, a, b, &plain);
    for (int i = 0; i < n; i++) out[i] = v3_add(apart ? on_way(s, &c, fraction[i]) : a, s->centre);
}

double lw_head_path(const lw_head *head, lw_vec3 from, lw_vec3 to, double *on_surface) {
    return path_length(&head->surface, from, to, on_surface);
}

double lw_head_path_points(lw_vec3 *out, int n, const lw_head *head, lw_vec3 from, lw_vec3 to) {
    return path_points(out, n, &head->surface, from, to, NAN);
}

lw_vec3 lw_head_between(const lw_head *head, lw_vec3 from, lw_vec3 to, double fraction) {
    lw_vec3 on;
    path_between(&on, 1, &fraction, &head->surface, from, to);
    return on;
}
