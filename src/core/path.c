/* The taut path round the head, plainly: the reference that the fast kernel is held to.
 *
 * Seen from the star centre the path runs through a fan of half-planes hinged on one axis, the first through
 * its start, the last through its end. Each half-plane in between holds one node of a chain, which lies on
 * the surface where the chain touches. Two conditions make the chain taut, and are met in turn until neither
 * changes it:
 *   - in the plane of the fan it is the convex hull of its nodes (a string can be pushed up by the head,
 *     never held down: it bridges hollows);
 *   - a touching node cannot shorten the chain by sliding sideways (Newton's method on a tridiagonal system,
 * the discrete form of the equation of a geodesic). The chain is inscribed, so each chord is lengthened to
 * the arc it cuts off, and the last chord before a straight part to the arc and tangent that a curve of the
 * same curvature would give.
 *
 * Invariant: the chain's ends never move, and every node stays in its half-plane, so nodes cannot pass each
 * other. Where the path could run another way round (long contact, nearly opposite ends, a chain at a saddle)
 * it is also started from there, and the shortest wins.
 */
#include "path.h"

#include <stdbool.h>

#include "head.h"

#define NODES_MAX 160 /* half-planes of a full turn at STEP, and some */
#define STEP 0.044    /* radians between half-planes */
#define ROUNDS 60     /* of hull and Newton step */

typedef struct node {
    double cos, sin;  /* of the half-plane's angle */
    double slope;     /* sideways coordinate: the node's direction is along (cos, sin, slope) */
    lw_vec3 position; /* from the star centre */
    lw_vec3 below;    /* the surface point in the same direction */
    lw_vec3 normal;   /* outward unit normal there */
    lw_vec3 slide;    /* derivative of `below` by slope */
    lw_vec3 slide2;   /* second derivative */
    bool touches;     /* a corner of the chain that lies on the surface */
    bool corner;
} node;

typedef struct chain {
    const surface *surface;
    lw_vec3 e1, e2, e3; /* the fan: e1 toward its first half-plane, e3 the axis */
    double step;        /* radians between half-planes */
    int last;           /* nodes 0..last */
    bool saddle;        /* the sideways Newton matrix was not positive */
    double length, touching;
    node node[NODES_MAX];
} chain;

static lw_vec3 meet(const surface *s, lw_vec3 u, lw_vec3 *normal, lw_vec3 *gradient) {
    lw_vec3 g;
    double r = surface_radius(s, u.x, u.y, u.z, &g.x, &g.y, &g.z);
    if (normal) *normal = v3_unit(v3_along(u, g, -1 / r));
    if (gradient) *gradient = g;
    return v3_scale(u, r);
}

static lw_vec3 in_fan(const chain *c, double x, double y, double z) {
    return v3_along(v3_along(v3_scale(c->e1, x), c->e2, y), c->e3, z);
}

/* Where sliding takes the surface point: position and derivative by slope. */
static lw_vec3 slid(const chain *c, const node *k, double slope, lw_vec3 *normal, lw_vec3 *derivative) {
    double w = sqrt(1 + slope * slope), w3 = w * w * w;
    lw_vec3 u = in_fan(c, k->cos / w, k->sin / w, slope / w), g;
    lw_vec3 du = in_fan(c, -slope * k->cos / w3, -slope * k->sin / w3, 1 / w3);
    lw_vec3 x = meet(c->surface, u, normal, &g);
    if (derivative) *derivative = v3_along(v3_scale(du, v3_dot(x, u)), u, v3_dot(g, du));
    return x;
}

static void drop(const chain *c, node *k) {
    const double h = 1e-4;
    lw_vec3 ahead, behind;
    k->below = slid(c, k, k->slope, &k->normal, &k->slide);
    slid(c, k, k->slope + h, NULL, &ahead);
    slid(c, k, k->slope - h, NULL, &behind);
    k->slide2 = v3_scale(v3_sub(ahead, behind), 0.5 / h);
}

static double flat_cross(const chain *c, lw_vec3 a, lw_vec3 b) {
    return v3_dot(a, c->e1) * v3_dot(b, c->e2) - v3_dot(a, c->e2) * v3_dot(b, c->e1);
}

/* Marks the corners of the hull in the plane of the fan. True where that changed anything. */
static bool hull(chain *c) {
    int stack[NODES_MAX], top = 0;
    bool changed = false;
    for (int j = 0; j <= c->last; j++) {
        lw_vec3 x = j == 0 || j == c->last ? c->node[j].position : c->node[j].below;
        while (top > 1 && (j - stack[top - 2]) * c->step < LW_PI) {
            const node *a = &c->node[stack[top - 2]], *b = &c->node[stack[top - 1]];
            if (flat_cross(c, v3_sub(b->position, a->position), v3_sub(x, b->position)) > 0) break;
            top--;
        }
        if (j > 0 && j < c->last) c->node[j].position = x;
        stack[top++] = j;
    }
    for (int j = 0, k = 0; j <= c->last; j++) {
        bool corner = k < top && stack[k] == j;
        if (corner) k++;
        changed |= corner != c->node[j].corner;
        c->node[j].corner = corner;
        if (j > 0 && j < c->last) c->node[j].touches = corner;
    }
    return changed;
}

/* The next corner after j. */
static int next_corner(const chain *c, int j) {
    do j++;
    while (!c->node[j].corner);
    return j;
}

/* Puts nodes between corners on the chord between them. */
static void stretch(chain *c) {
    for (int i = 0, k; i < c->last; i = k) {
        k = next_corner(c, i);
        lw_vec3 a = c->node[i].position, chord = v3_sub(c->node[k].position, a);
        for (int j = i + 1; j < k; j++) {
            node *n = &c->node[j];
            lw_vec3 ray = in_fan(c, n->cos, n->sin, 0);
            n->position = v3_along(a, chord, -flat_cross(c, ray, a) / flat_cross(c, ray, chord));
            n->slope = v3_dot(n->position, c->e3) / v3_dot(n->position, ray);
            drop(c, n);
        }
    }
}

static double polygon(const chain *c) {
    double sum = 0;
    for (int i = 0, k; i < c->last; i = k) {
        k = next_corner(c, i);
        sum += v3_norm(v3_sub(c->node[k].position, c->node[i].position));
    }
    return sum;
}

/* Newton's step for the slopes of the corners, kept to a descent direction by adding `shift` to the diagonal.
 * False if the matrix is not positive. */
static bool newton(const chain *c, double shift, double *step) {
    double pivot[NODES_MAX], off[NODES_MAX], held = 0;
    int before = 0, at = next_corner(c, 0);
    step[0] = 0;
    for (bool first = true; at < c->last; first = false) {
        int after = next_corner(c, at);
        const node *n = &c->node[at], *m = &c->node[after];
        lw_vec3 in = v3_sub(n->position, c->node[before].position), out = v3_sub(m->position, n->position);
        double in_length = v3_norm(in), out_length = v3_norm(out);
        in = v3_scale(in, 1 / in_length);
        out = v3_scale(out, 1 / out_length);
        lw_vec3 pull = v3_sub(in, out);
        double square = v3_dot(n->slide, n->slide), ti = v3_dot(n->slide, in), to = v3_dot(n->slide, out);
        double diagonal = (square - ti * ti) / in_length + (square - to * to) / out_length +
                          v3_dot(n->slide2, pull) + shift * square;
        double right = -v3_dot(n->slide, pull);
        if (!first) {
            diagonal -= held * held / pivot[before];
            right -= held / pivot[before] * step[before];
        }
        if (!(diagonal > 1e-6 * square / (in_length + out_length))) return false;
        pivot[at] = diagonal;
        step[at] = right;
        held = off[at] = (to * v3_dot(m->slide, out) - v3_dot(n->slide, m->slide)) / out_length;
        before = at;
        at = after;
    }
    for (int j = before, later = -1; j > 0; j--) {
        if (!c->node[j].corner) continue;
        step[j] = (step[j] - (later < 0 ? 0 : off[j] * step[later])) / pivot[j];
        later = j;
    }
    return true;
}

/* Slides the corners sideways to shorten the chain. Returns the largest change of slope. */
static double slide(chain *c) {
    double step[NODES_MAX], was[NODES_MAX], largest = 0, before = polygon(c), scale = 1;
    c->saddle = false;
    double shift = 0;
    for (; !newton(c, shift, step); shift = shift > 0 ? 4 * shift : 4) {
        c->saddle = true;
        if (shift > 1e9) return 0;
    }
    for (int j = 1; j < c->last; j++)
        if (c->node[j].corner) largest = fmax(largest, fabs(step[j]));
    if (largest > 0.3) scale = 0.3 / largest;
    for (int j = 1; j < c->last; j++) was[j] = c->node[j].slope;
    for (int attempt = 0; attempt < 12; attempt++, scale *= 0.5) {
        for (int j = 1; j < c->last; j++) {
            node *n = &c->node[j];
            if (!n->corner) continue;
            n->slope = was[j] + scale * step[j];
            n->position = slid(c, n, n->slope, NULL, NULL);
        }
        if (polygon(c) <= before + 1e-13) break;
    }
    for (int j = 1; j < c->last; j++)
        if (c->node[j].corner) drop(c, &c->node[j]);
    return largest * scale;
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

/* The hull keeps a node that the path has left, or not yet met, by less than half a step: lets it go. */
static void let_go(chain *c) {
    for (int i = 0, j = next_corner(c, 0); j < c->last;) {
        int k = next_corner(c, j);
        node *n = &c->node[j];
        bool late = leaves(c, j, k) && v3_dot(n->normal, v3_sub(c->node[k].position, n->position)) > 0;
        bool early = leaves(c, i, j) && v3_dot(n->normal, v3_sub(n->position, c->node[i].position)) < 0;
        if (late || early)
            n->corner = n->touches = false;
        else
            i = j;
        j = k;
    }
}

static void measure(chain *c) {
    let_go(c);
    c->length = c->touching = 0;
    for (int i = 0, k; i < c->last; i = k) {
        double touching;
        k = next_corner(c, i);
        c->length += chord_length(c, i, k, &touching);
        c->touching += touching;
    }
}

static void set_end(const chain *c, node *k, lw_vec3 position) {
    double flat = hypot(v3_dot(position, c->e1), v3_dot(position, c->e2));
    k->cos = v3_dot(position, c->e1) / flat;
    k->sin = v3_dot(position, c->e2) / flat;
    k->slope = v3_dot(position, c->e3) / flat;
    drop(c, k);
    k->position = position;
    k->corner = true;
    k->touches = v3_norm(position) <= v3_norm(k->below) * (1 + 1e-7);
}

/* Makes the chain taut from `from` to `to` (both seen from the centre), starting in the plane that leaves
 * `from` toward `side`, bulging sideways by the slope `bulge`. */
static void pull_taut(chain *c, const surface *s, lw_vec3 from, lw_vec3 to, lw_vec3 side, double bulge) {
    c->surface = s;
    c->e1 = v3_unit(from);
    c->e2 = v3_unit(v3_tangent(side, c->e1));
    c->e3 = v3_cross(c->e1, c->e2);
    double angle = atan2(v3_dot(to, c->e2), v3_dot(to, c->e1));
    if (angle <= 0) angle += 2 * LW_PI;
    c->last = (int)fmin(fmax(ceil(angle / STEP), 6), NODES_MAX - 1);
    c->step = angle / c->last;
    set_end(c, &c->node[0], from);
    set_end(c, &c->node[c->last], to);
    double end_slope = c->node[c->last].slope;
    for (int j = 1; j < c->last; j++) {
        node *n = &c->node[j];
        n->cos = cos(j * c->step);
        n->sin = sin(j * c->step);
        n->slope = end_slope * j / c->last + bulge * sin(LW_PI * j / c->last);
        n->corner = n->touches = false;
        drop(c, n);
    }
    for (int round = 0; round < ROUNDS; round++) {
        bool changed = hull(c);
        stretch(c);
        double moved = slide(c);
        if (!changed && moved < 1e-10) break;
    }
    measure(c);
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

static bool other_ways(const chain *c, double angle) {
    return angle > 2.4 || c->saddle || c->touching > 0.16 || span(c) > 1.8;
}

/* The shortest of the taut chains from `from` to `to`, both seen from the centre. */
static void shortest(chain *best, const surface *s, lw_vec3 from, lw_vec3 to) {
    static const double bulges[] = {0, 0.7, -0.7};
    lw_vec3 u = v3_unit(from), side = v3_tangent(to, u);
    double angle = atan2(v3_norm(side), v3_dot(to, u));
    if (v3_norm(side) < 1e-9 * v3_norm(to)) {
        lw_vec3 axis = fabs(u.y) < 0.7 ? v3(0, 1, 0) : v3(0, 0, 1);
        side = v3_tangent(axis, u);
    }
    pull_taut(best, s, from, to, side, 0);
    if (!other_ways(best, angle)) return;
    lw_vec3 across = v3_cross(u, v3_unit(side));
    lw_vec3 sides[] = {side, v3_scale(side, -1), across, v3_scale(across, -1)};
    chain other;
    for (int i = 0; i < (angle > 2.4 ? 4 : 2); i++)
        for (int j = i == 0; j < 3; j++) {
            pull_taut(&other, s, from, to, sides[i], bulges[j]);
            if (other.length < best->length) *best = other;
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

double path_length(const surface *s, lw_vec3 from, lw_vec3 to, double *on_surface) {
    chain c;
    if (on_surface) *on_surface = 0;
    from = v3_sub(from, s->centre);
    to = v3_sub(to, s->centre);
    if (!isfinite(v3_norm(from)) || !isfinite(v3_norm(to)) || !(v3_norm(from) > 0)) return NAN;
    bring_out(s, &from);
    if (bring_out(s, &to) > PATH_INSIDE) return NAN;
    double apart = v3_norm(v3_cross(from, to));
    if (apart <= 1e-9 * v3_norm(from) * v3_norm(to) && v3_dot(from, to) > 0) return v3_norm(v3_sub(to, from));
    shortest(&c, s, from, to);
    if (on_surface) *on_surface = c.touching;
    return c.length;
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
            lw_vec3 u = v3_along(v3_scale(e1, cos(a)), e2, sin(a));
            lw_vec3 du = v3_along(v3_scale(e1, -sin(a)), e2, cos(a)), g;
            double r = v3_norm(meet(s, u, NULL, &g));
            rate[stage] = 1 / hypot(r, v3_dot(g, du));
        }
        angle += h * (rate[0] + 2 * rate[1] + 2 * rate[2] + rate[3]) / 6;
    }
    return meet(s, v3_along(v3_scale(e1, cos(angle)), e2, sin(angle)), NULL, NULL);
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

void path_lengths(const surface *s, int n, const double *fx, const double *fy, const double *fz,
                  const double *nx, const double *ny, const double *nz, const double *tx, const double *ty,
                  const double *tz, double *out) {
    (void)nx, (void)ny, (void)nz;
    for (int i = 0; i < n; i++)
        out[i] = path_length(s, v3(fx[i], fy[i], fz[i]), v3(tx[i], ty[i], tz[i]), NULL);
}

lw_vec3 path_between(const surface *s, lw_vec3 from, lw_vec3 to, double fraction) {
    chain c;
    lw_vec3 a = meet(s, v3_unit(v3_sub(from, s->centre)), NULL, NULL);
    lw_vec3 b = meet(s, v3_unit(v3_sub(to, s->centre)), NULL, NULL);
    if (v3_norm(v3_sub(a, b)) < 1e-9) return v3_add(a, s->centre);
    shortest(&c, s, a, b);
    lw_vec3 x;
    if (fraction < 0)
        x = run_on(s, a, v3_sub(a, c.node[next_corner(&c, 0)].position), -fraction * c.length);
    else if (fraction > 1) {
        int before = c.last - 1;
        while (!c.node[before].corner) before--;
        x = run_on(s, b, v3_sub(b, c.node[before].position), (fraction - 1) * c.length);
    } else
        x = along_chain(&c, fraction * c.length);
    return v3_add(x, s->centre);
}

double lw_head_path(const lw_head *head, lw_vec3 from, lw_vec3 to, double *on_surface) {
    return path_length(&head->surface, from, to, on_surface);
}

lw_vec3 lw_head_between(const lw_head *head, lw_vec3 from, lw_vec3 to, double fraction) {
    return path_between(&head->surface, from, to, fraction);
}
