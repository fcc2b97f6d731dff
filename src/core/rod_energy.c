/* The energy of a rod's pose, with first and second variation, both exact.
 *
 * An edge from frame a to frame b of length l has the material rotation log(a^T b) = 2 x n, n a unit vector,
 * the middle frame M and the tangent t = M e3, so nodes stay l apart whatever the frames. Its strain is v/l -
 * k, and its elastic energy 1/2 (v/l - k) . K (v/l - k) l, where v = g u, u = 4 sin(x/2) n, g = (7 - C)/6, C
 * = cos(x/2). v is the rotation vector but for a 1/192 of its cube. With u itself the planar rod of constant
 * tension is integrable as the exact one is (Hirota's discrete pendulum; Bobenko & Suris 1999), and the error
 * of a sharp bend at the root all but vanishes; with the rotation vector, that of level hair is least. This
 * lies halfway, and needs no inverse function: with q the quaternion of a^T b, C = sqrt((1 + q0)/2) and v =
 * (7 - C)/(3 C) times its vector part.
 *
 * All else (weight, tip load, ground) is a potential of the nodes' places: to add another, add it to
 * node_potential alone.
 *
 * Variations: with frames turned by exp(u_i), and u of both ends seen in M, let s be their mean and d their
 * difference. From a^T b -> exp(w/2) exp(c) exp(w/2), c = d - s x d / 2, follow to second order, for any
 * rotation:
 *
 *   du      = c/C - u (u . c)/16 C  +  second order, in elastic_curvature
 *   dC      = -(u . c)/16 - (2 C^2 - 1)/(32 C) |c|^2 - (u . c)^2/(512 C)
 *   turn of M = s + k + s x k / 2,  k = -T u x c - (T^2/2) (u . c) u x c,  T = 1/(8 C)
 *
 * (Frames of a chain as unknowns: Simo & Vu-Quoc 1986; the midpoint rule for their energy is second order.)
 */
#include "rod.h"

#include <string.h>

typedef struct edge {
    lw_vec3 u;       /* 4 sin(x/2) n */
    double c;        /* cos(x/2) */
    double gain;     /* g */
    lw_vec3 strain;  /* v/l - k */
    lw_vec3 moment;  /* K times it */
    mat3 middle;     /* M */
    lw_vec3 tangent; /* in the world */
} edge;

static lw_vec3 stiffened(const struct rod *r, lw_vec3 v) {
    return v3(v.x * r->in.bend[0], v.y * r->in.bend[1], v.z * r->in.twist);
}

/* The signs of the quaternions carry half turns on, so that u is continuous past pi. */
static edge edge_of(const struct rod *r, quat a, quat b) {
    edge e;
    quat q = quat_times(quat_back(a), b), middle = {a.w + b.w, v3_add(a.v, b.v)};
    const double *k = r->in.curl;
    e.c = sqrt(fmax(1 + q.w, 1e-16) / 2);
    e.gain = (7 - e.c) / 6;
    e.u = v3_scale(q.v, 2 / e.c);
    e.strain = v3_sub(v3_scale(e.u, e.gain / r->edge), v3(k[0], k[1], k[2]));
    e.moment = stiffened(r, e.strain);
    e.middle = quat_matrix(quat_unit(middle));
    e.tangent = v3(e.middle.m[0][2], e.middle.m[1][2], e.middle.m[2][2]);
    return e;
}

/* ---- potentials of a node's place */

static void ground_curvature(mat3 *out, const struct rod *r, lw_vec3 p) {
    double h = r->in.skin / 16;
    lw_vec3 step[3] = {{h, 0, 0}, {0, h, 0}, {0, 0, h}}, more, less;
    for (int j = 0; j < 3; j++) {
        r->in.ground(&more, v3_add(p, step[j]), r->in.context);
        r->in.ground(&less, v3_sub(p, step[j]), r->in.context);
        lw_vec3 d = v3_scale(v3_sub(more, less), 0.5 / h);
        out->m[0][j] = d.x, out->m[1][j] = d.y, out->m[2][j] = d.z;
    }
    *out = m3_along(m3_times(*out, m3_diagonal(.5, .5, .5)), m3_transposed(*out), 0.5);
}

/* Nothing beyond the skin; k h/2 of force at the surface, growing as the square of depth below the skin's
 * outside, so that energy is smooth to the second derivative. */
static double ground_potential(lw_vec3 *slope, mat3 *curvature, const struct rod *r, lw_vec3 p) {
    lw_vec3 g;
    double k = r->stiffness, h = r->in.skin, depth = h - r->in.ground(&g, p, r->in.context);
    if (depth <= 0) return 0;
    double force = k * depth * depth / (2 * h);
    if (slope) *slope = v3_along(*slope, g, -force);
    if (curvature) {
        mat3 bent;
        ground_curvature(&bent, r, p);
        *curvature = m3_along(m3_along(*curvature, m3_outer(g, g), k * depth / h), bent, -force);
    }
    return k * depth * depth * depth / (6 * h);
}

/* Energy of node i at p; adds its slope and curvature unless NULL. */
static double node_potential(lw_vec3 *slope, mat3 *curvature, const struct rod *r, int i, lw_vec3 p) {
    int last = r->in.nodes - 1;
    double load = r->in.weight * r->edge * (i < last ? 1 : 0.5) + (i < last ? 0 : r->in.tip_load);
    double energy = -load * v3_dot(r->down, v3_sub(p, r->in.root));
    if (slope) *slope = v3_along(*slope, r->down, -load);
    if (r->in.ground) energy += ground_potential(slope, curvature, r, p);
    return energy;
}

double rod_energy(lw_vec3 *at, const struct rod *r, const quat *frame) {
    double energy = 0;
    at[0] = r->in.root;
    for (int i = 1; i < r->in.nodes; i++) {
        edge e = edge_of(r, frame[i - 1], frame[i]);
        at[i] = v3_along(at[i - 1], e.tangent, r->edge);
        energy += v3_dot(e.moment, e.strain) * r->edge / 2;
        energy += node_potential(NULL, NULL, r, i, at[i]);
    }
    return energy;
}

void rod_moments(lw_vec3 *moment, const struct rod *r, const quat *frame) {
    for (int i = 1; i < r->in.nodes; i++) moment[i - 1] = edge_of(r, frame[i - 1], frame[i]).moment;
}

/* ---- variations */

/* dv = (g/C) c - stretch u (u . c) */
static double stretch(const edge *e) { return e->gain / (16 * e->c) - 1.0 / 96; }

static lw_vec3 grown(const edge *e, lw_vec3 c) {
    return v3_along(v3_scale(c, e->gain / e->c), e->u, -stretch(e) * v3_dot(e->u, c));
}

/* T */
static double half(const edge *e) { return 1 / (8 * e->c); }

/* Adds a block, in the world, to rows of node i and columns of node j; the clamp has none. */
static void add_block(double *curvature, int variables, int i, int j, mat3 block) {
    if (i == 0 || j == 0) return;
    double *to = curvature + (size_t)(3 * (i - 1)) * (size_t)variables + 3 * (j - 1);
    for (int a = 0; a < 3; a++)
        for (int b = 0; b < 3; b++) to[(size_t)a * (size_t)variables + b] += block.m[a][b];
}

static void add_slope(double *slope, int i, lw_vec3 v) {
    if (i == 0) return;
    double *to = slope + 3 * (i - 1);
    to[0] += v.x, to[1] += v.y, to[2] += v.z;
}

/* Slope along the turns of both ends of edge i. lever = l e3 x M^T force, where force is the slope along the
 * places of all nodes past it. */
static void edge_slope(double *slope, const edge *e, int i, lw_vec3 lever) {
    lw_vec3 along_d = v3_along(grown(e, e->moment), v3_cross(lever, e->u), -half(e));
    add_slope(slope, i, m3_apply(e->middle, v3_along(v3_scale(lever, 0.5), along_d, -1)));
    add_slope(slope, i + 1, m3_apply(e->middle, v3_along(v3_scale(lever, 0.5), along_d, 1)));
}

static mat3 symmetric(lw_vec3 a, lw_vec3 b) { return m3_along(m3_outer(a, b), m3_outer(b, a), 1); }

/* Twice along c, of the moment m times the second order of v = g u: with a = m . u,
 * g m.u2 = -g a (2 + 1/C^2) |c|^2/32 + g (u.c)(m.c)/16 C^2 - g a (u.c)^2/512 C^2, and what g adds: -(a dC2 +
 * dC1 m.du1)/6. */
static mat3 strain_curvature(const edge *e) {
    double c = e->c, c2 = c * c, g = e->gain, a = v3_dot(e->moment, e->u);
    double all = -g * a * (2 + 1 / c2) / 32 + a * (2 * c2 - 1) / (192 * c);
    double with = g / (16 * c2) + 1 / (96 * c);
    double along = -g * a / (512 * c2) + a / (3072 * c) - a / (1536 * c);
    mat3 sum = m3_along(m3_diagonal(2 * all, 2 * all, 2 * all), m3_outer(e->u, e->u), 2 * along);
    return m3_along(sum, symmetric(e->u, e->moment), with);
}

/* Of the elastic energy, twice along d. */
static mat3 elastic_curvature(const struct rod *r, const edge *e) {
    const double *bend = r->in.bend, l = r->edge, k = e->gain / e->c;
    mat3 stiffness = m3_diagonal(bend[0] / l, bend[1] / l, r->in.twist / l);
    mat3 grow = m3_along(m3_diagonal(k, k, k), m3_outer(e->u, e->u), -stretch(e));
    return m3_along(m3_carried(grow, stiffness), strain_curvature(e), 1);
}

/* Second variation of edge i in the turns of its two ends, with what its tangent does to the nodes past it. f
 * = M^T force. */
static void edge_curvature(double *curvature, const struct rod *r, const edge *e, int i, lw_vec3 f,
                           lw_vec3 lever) {
    double t = half(e), l = r->edge;
    lw_vec3 e3 = {0, 0, 1}, across = v3_cross(lever, e->u);
    mat3 turn = m3_cross(e->u);
    mat3 ss = m3_along(m3_diagonal(-l * f.z, -l * f.z, -l * f.z), symmetric(f, e3), l / 2);
    mat3 bent = m3_times(ss, turn);
    mat3 sd = m3_along(m3_times(turn, m3_cross(lever)), bent, -2);
    sd = m3_along(m3_times(sd, m3_diagonal(t / 2, t / 2, t / 2)), m3_cross(grown(e, e->moment)), 0.5);
    mat3 dd = m3_along(elastic_curvature(r, e), m3_times(m3_transposed(turn), bent), t * t);
    dd = m3_along(dd, symmetric(e->u, across), -t * t / 2);

    mat3 cross = m3_along(sd, m3_transposed(sd), 1), skew = m3_along(sd, m3_transposed(sd), -1);
    mat3 even = m3_along(dd, ss, 0.25);
    mat3 off = m3_along(m3_along(m3_diagonal(0, 0, 0), dd, -1), ss, 0.25);
    int n = rod_variables(r);
    mat3 ab = m3_carried(e->middle, m3_along(off, skew, 0.5));
    add_block(curvature, n, i, i, m3_carried(e->middle, m3_along(even, cross, -0.5)));
    add_block(curvature, n, i + 1, i + 1, m3_carried(e->middle, m3_along(even, cross, 0.5)));
    add_block(curvature, n, i, i + 1, ab);
    add_block(curvature, n, i + 1, i, m3_transposed(ab));
}

/* How the place of all nodes past an edge follows the turns of its ends. */
static void edge_reach(mat3 reach[2], const struct rod *r, const edge *e) {
    lw_vec3 minus = {0, 0, -r->edge};
    mat3 mean = m3_diagonal(.5, .5, .5), turn = m3_cross(e->u), lever = m3_times(e->middle, m3_cross(minus));
    reach[0] = m3_times(m3_times(lever, m3_along(mean, turn, half(e))), m3_transposed(e->middle));
    reach[1] = m3_times(m3_times(lever, m3_along(mean, turn, -half(e))), m3_transposed(e->middle));
}

/* The part of the second variation that couples edges: reach^T (curvatures of the nodes past both) reach. */
static void add_coupling(double *curvature, const struct rod *r, const edge *edges, const mat3 *past,
                         int touching) {
    int n = rod_variables(r);
    for (int i = 0; i < touching; i++) {
        mat3 far[2], near[2];
        edge_reach(far, r, &edges[i]);
        for (int k = 0; k < 2; k++) far[k] = m3_times(m3_transposed(far[k]), past[i]);
        for (int j = 0; j <= i; j++) {
            edge_reach(near, r, &edges[j]);
            for (int k = 0; k < 4; k++) {
                mat3 block = m3_times(far[k / 2], near[k % 2]);
                add_block(curvature, n, i + k / 2, j + k % 2, block);
                if (j < i) add_block(curvature, n, j + k % 2, i + k / 2, m3_transposed(block));
            }
        }
    }
}

static bool is_zero(mat3 a) {
    double sum = 0;
    for (int k = 0; k < 9; k++) sum += fabs(a.m[k / 3][k % 3]);
    return sum == 0;
}

void rod_variation(double *slope, double *curvature, const struct rod *r, const quat *frame,
                   const lw_vec3 *at) {
    edge edges[ROD_NODES_MAX];
    mat3 past[ROD_NODES_MAX], sum = m3_diagonal(0, 0, 0);
    lw_vec3 force = {0, 0, 0};
    size_t variables = (size_t)rod_variables(r);
    int count = r->in.nodes - 1, touching = 0;
    memset(slope, 0, variables * sizeof *slope);
    if (curvature) memset(curvature, 0, variables * variables * sizeof *curvature);
    for (int i = count - 1; i >= 0; i--) {
        edges[i] = edge_of(r, frame[i], frame[i + 1]);
        node_potential(&force, curvature ? &sum : NULL, r, i + 1, at[i + 1]);
        past[i] = sum;
        if (touching == 0 && !is_zero(sum)) touching = i + 1;
        lw_vec3 f = m3_back(edges[i].middle, force), lever = v3(-f.y * r->edge, f.x * r->edge, 0);
        edge_slope(slope, &edges[i], i, lever);
        if (curvature) edge_curvature(curvature, r, &edges[i], i, f, lever);
    }
    if (curvature) add_coupling(curvature, r, edges, past, touching);
}
