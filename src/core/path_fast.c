/* Taut paths of many hairs at once.
 *
 * Most hair is held clear of the head: its path is straight. Of the rest nearly all runs once over a
 * convex stretch and leaves it tangent, so the path is known from where it leaves and a few nodes between.
 * Both are found together by Newton's method: the nodes stand in half-planes of a fan about the star centre,
 * evenly from the root to the place of leaving, each free to move sideways (the discrete equation of a
 * geodesic, a tridiagonal system); the place of leaving moves until the end lies in the tangent plane there.
 * A chord is then lengthened to the arc it cuts off, by the turn of the normals at its ends: c (1 + f^2 / 24
 * + 3 f^4 / 640) is a circle's.
 *
 * Groups of LANES hairs go through the same fixed number of rounds, so that the compiler can put hairs
 * side by side in vectors and no hair's bits depend on its neighbours. What does not come out as a path
 * over one convex stretch (it crosses a hollow, or runs nearly opposite) is handed to the reference's method
 * on a coarser chain.
 */
#include "path.h"

#include <stdbool.h>

#define LANES 8
#define NODES 6 /* after the root; the last is where the path leaves */
#define ROUNDS 5
#define SAMPLES 5

static const double SAMPLED =
    0.16; /* metres from the root within which a hollow's far side may stand in the way */
static const double CLEAR_BY = 1e-5; /* metres */
static const double OPPOSITE = 2.6;  /* radians of fan beyond which the other way round may be shorter */
static const double SETTLED_OUT = 2e-3, SETTLED_ASIDE = 2e-3; /* sines: their square is the relative error */

typedef struct group {
    double ax[LANES], ay[LANES], az[LANES]; /* root and end from the star centre */
    double bx[LANES], by[LANES], bz[LANES];
    double nx[LANES], ny[LANES], nz[LANES]; /* normal at the root */
    double length[LANES];
    int trust[LANES]; /* 0: ask the reference */
} group;

/* Whether the straight way from each root to each end is clear. */
static void try_straight(const surface *restrict s, const group *restrict g, int clear[LANES]) {
    double worst[LANES], facing[LANES];
    for (int l = 0; l < LANES; l++) {
        double dx = g->bx[l] - g->ax[l], dy = g->by[l] - g->ay[l], dz = g->bz[l] - g->az[l];
        facing[l] = dx * g->nx[l] + dy * g->ny[l] + dz * g->nz[l];
        worst[l] = 1;
    }
    for (int k = 1; k <= SAMPLES; k++) {
        for (int l = 0; l < LANES; l++) {
            double dx = g->bx[l] - g->ax[l], dy = g->by[l] - g->ay[l], dz = g->bz[l] - g->az[l];
            double d = sqrt(dx * dx + dy * dy + dz * dz), reach = d < SAMPLED ? d : SAMPLED;
            double f = reach / (d + 1e-12) * k / SAMPLES;
            double x = g->ax[l] + f * dx, y = g->ay[l] + f * dy, z = g->az[l] + f * dz;
            double r = sqrt(x * x + y * y + z * z), ir = 1 / r, gx, gy, gz;
            double above = r - surface_radius(s, x * ir, y * ir, z * ir, &gx, &gy, &gz);
            worst[l] = above < worst[l] ? above : worst[l];
        }
    }
    for (int l = 0; l < LANES; l++) clear[l] = facing[l] >= 0 && worst[l] >= -CLEAR_BY;
}

/* The nodes of LANES paths; index 0 is the root, NODES + 1 the end. */
typedef struct fan {
    double e1[3][LANES], e2[3][LANES], e3[3][LANES];
    double turn[LANES];  /* angle from root to end */
    double leave[LANES]; /* angle at which the path leaves */
    double w[NODES + 1][LANES];
    double x[NODES + 2][3][LANES], n[NODES + 1][3][LANES], xw[NODES + 2][3][LANES];
    double out[LANES], aside[LANES]; /* what is left of the two conditions, as sines */
} fan;

static void open_fan(fan *f, const group *g) {
    for (int l = 0; l < LANES; l++) {
        double ax = g->ax[l], ay = g->ay[l], az = g->az[l], bx = g->bx[l], by = g->by[l], bz = g->bz[l];
        double a = sqrt(ax * ax + ay * ay + az * az), b = sqrt(bx * bx + by * by + bz * bz);
        double cx = ay * bz - az * by, cy = az * bx - ax * bz, cz = ax * by - ay * bx;
        double c = sqrt(cx * cx + cy * cy + cz * cz), ic = 1 / (c > 1e-12 ? c : 1e-12), ia = 1 / a;
        f->e1[0][l] = ax * ia, f->e1[1][l] = ay * ia, f->e1[2][l] = az * ia;
        f->e3[0][l] = cx * ic, f->e3[1][l] = cy * ic, f->e3[2][l] = cz * ic;
        f->e2[0][l] = f->e3[1][l] * f->e1[2][l] - f->e3[2][l] * f->e1[1][l];
        f->e2[1][l] = f->e3[2][l] * f->e1[0][l] - f->e3[0][l] * f->e1[2][l];
        f->e2[2][l] = f->e3[0][l] * f->e1[1][l] - f->e3[1][l] * f->e1[0][l];
        f->turn[l] = atan2(c, ax * bx + ay * by + az * bz);
        double ratio = a / b < 1 ? a / b : 1;
        double leave = f->turn[l] - acos(ratio);
        f->leave[l] = leave > 0.05 * f->turn[l] ? leave : 0.05 * f->turn[l];
        f->x[0][0][l] = ax, f->x[0][1][l] = ay, f->x[0][2][l] = az;
        f->n[0][0][l] = g->nx[l], f->n[0][1][l] = g->ny[l], f->n[0][2][l] = g->nz[l];
        f->x[NODES + 1][0][l] = bx, f->x[NODES + 1][1][l] = by, f->x[NODES + 1][2][l] = bz;
        for (int k = 0; k <= NODES; k++) f->w[k][l] = 0;
        for (int i = 0; i < 3; i++) f->xw[NODES + 1][i][l] = 0; /* the end does not move */
    }
}

/* Turns each lane's half-plane on from node to node: (c, sn) by the angle between them. */
static void turn_on(double c[LANES], double sn[LANES], const double dc[LANES], const double ds[LANES]) {
    for (int l = 0; l < LANES; l++) {
        double next = c[l] * dc[l] - sn[l] * ds[l];
        sn[l] = sn[l] * dc[l] + c[l] * ds[l];
        c[l] = next;
    }
}

/* Brings node k onto the surface in its half-plane, whose angle has cosine c and sine sn. */
static void place_node(const surface *restrict s, fan *restrict f, int k, const double *restrict c,
                       const double *restrict sn) {
    for (int l = 0; l < LANES; l++) {
        double w = f->w[k][l], iw = 1 / sqrt(1 + w * w);
        double ux = (c[l] * f->e1[0][l] + sn[l] * f->e2[0][l] + w * f->e3[0][l]) * iw;
        double uy = (c[l] * f->e1[1][l] + sn[l] * f->e2[1][l] + w * f->e3[1][l]) * iw;
        double uz = (c[l] * f->e1[2][l] + sn[l] * f->e2[2][l] + w * f->e3[2][l]) * iw;
        double gx, gy, gz, r = surface_radius(s, ux, uy, uz, &gx, &gy, &gz);
        double up = w * iw; /* u . e3 */
        double vx = (f->e3[0][l] - up * ux) * iw, vy = (f->e3[1][l] - up * uy) * iw,
               vz = (f->e3[2][l] - up * uz) * iw;
        double gain = gx * vx + gy * vy + gz * vz, ir = 1 / r;
        f->x[k][0][l] = r * ux, f->x[k][1][l] = r * uy, f->x[k][2][l] = r * uz;
        f->xw[k][0][l] = gain * ux + r * vx, f->xw[k][1][l] = gain * uy + r * vy,
        f->xw[k][2][l] = gain * uz + r * vz;
        double mx = ux - gx * ir, my = uy - gy * ir, mz = uz - gz * ir;
        double im = 1 / sqrt(mx * mx + my * my + mz * mz);
        f->n[k][0][l] = mx * im, f->n[k][1][l] = my * im, f->n[k][2][l] = mz * im;
    }
}

static void place_nodes(const surface *s, fan *f) {
    double c[LANES], sn[LANES], dc[LANES], ds[LANES];
    for (int l = 0; l < LANES; l++) {
        c[l] = dc[l] = cos(f->leave[l] / NODES);
        sn[l] = ds[l] = sin(f->leave[l] / NODES);
    }
    for (int k = 1; k <= NODES; k++) {
        place_node(s, f, k, c, sn);
        turn_on(c, sn, dc, ds);
    }
}

/* One Newton step sideways for nodes 1..NODES, by elimination along the chain, and one for the place of
 * leaving. */
static void improve(fan *f) {
    double diagonal[NODES + 1][LANES], upper[NODES + 1][LANES], right[NODES + 2][LANES];
    double tx[LANES], ty[LANES], tz[LANES], il[LANES];
    for (int l = 0; l < LANES; l++) {
        double dx = f->x[1][0][l] - f->x[0][0][l], dy = f->x[1][1][l] - f->x[0][1][l],
               dz = f->x[1][2][l] - f->x[0][2][l];
        il[l] = 1 / sqrt(dx * dx + dy * dy + dz * dz + 1e-30);
        tx[l] = dx * il[l], ty[l] = dy * il[l], tz[l] = dz * il[l];
        f->aside[l] = 0;
        diagonal[0][l] = 1, upper[0][l] = right[0][l] = 0;
    }
    for (int k = 1; k <= NODES; k++) {
        for (int l = 0; l < LANES; l++) {
            double dx = f->x[k + 1][0][l] - f->x[k][0][l], dy = f->x[k + 1][1][l] - f->x[k][1][l],
                   dz = f->x[k + 1][2][l] - f->x[k][2][l];
            double jl = 1 / sqrt(dx * dx + dy * dy + dz * dz + 1e-30);
            double sx = dx * jl, sy = dy * jl, sz = dz * jl;
            double vx = f->xw[k][0][l], vy = f->xw[k][1][l], vz = f->xw[k][2][l];
            double v2 = vx * vx + vy * vy + vz * vz;
            double vt = vx * tx[l] + vy * ty[l] + vz * tz[l], vs = vx * sx + vy * sy + vz * sz;
            double slope = vt - vs;
            /* the surface falls away sideways, about as a sphere does */
            double bend =
                (tx[l] - sx) * f->n[k][0][l] + (ty[l] - sy) * f->n[k][1][l] + (tz[l] - sz) * f->n[k][2][l];
            double r = sqrt(f->x[k][0][l] * f->x[k][0][l] + f->x[k][1][l] * f->x[k][1][l] +
                            f->x[k][2][l] * f->x[k][2][l]);
            double own = (v2 - vt * vt) * il[l] + (v2 - vs * vs) * jl - bend * r;
            double px = f->xw[k + 1][0][l], py = f->xw[k + 1][1][l], pz = f->xw[k + 1][2][l];
            double next = -(vx * px + vy * py + vz * pz - vs * (px * sx + py * sy + pz * sz)) * jl;
            double left = upper[k - 1][l], pivot = diagonal[k - 1][l];
            double m = left / pivot;
            diagonal[k][l] = own - m * left;
            double least = 1e-3 * v2 * (il[l] + jl);
            diagonal[k][l] = diagonal[k][l] > least ? diagonal[k][l] : least;
            upper[k][l] = next;
            right[k][l] = -slope - m * right[k - 1][l];
            double wrong = fabs(slope) / sqrt(v2);
            f->aside[l] = wrong > f->aside[l] ? wrong : f->aside[l];
            tx[l] = sx, ty[l] = sy, tz[l] = sz, il[l] = jl;
        }
    }
    for (int l = 0; l < LANES; l++) {
        /* t is the straight part: its sine with the tangent plane, and how fast that turns as the place moves
         * on */
        f->out[l] = tx[l] * f->n[NODES][0][l] + ty[l] * f->n[NODES][1][l] + tz[l] * f->n[NODES][2][l];
        double mx = f->n[NODES][0][l] - f->n[NODES - 1][0][l], my = f->n[NODES][1][l] - f->n[NODES - 1][1][l],
               mz = f->n[NODES][2][l] - f->n[NODES - 1][2][l];
        double rate = (tx[l] * mx + ty[l] * my + tz[l] * mz) * NODES / f->leave[l];
        rate = rate > 0.2 ? rate : 0.2;
        double leave = f->leave[l] - f->out[l] / rate, most = 0.999 * f->turn[l], least = 1e-6;
        f->leave[l] = leave > most ? most : leave < least ? least : leave;
    }
    for (int l = 0; l < LANES; l++) right[NODES + 1][l] = 0;
    for (int k = NODES; k >= 1; k--)
        for (int l = 0; l < LANES; l++) {
            double step = (right[k][l] - upper[k][l] * right[k + 1][l]) / diagonal[k][l];
            right[k][l] = step;
            f->w[k][l] += step;
        }
}

/* Lengths, and which of them to trust. */
static void measure(const surface *s, const fan *f, group *g) {
    double total[LANES];
    int good[LANES];
    for (int l = 0; l < LANES; l++) {
        total[l] = 0;
        good[l] = f->turn[l] < OPPOSITE && fabs(f->out[l]) < SETTLED_OUT && f->aside[l] < SETTLED_ASIDE;
    }
    for (int k = 0; k <= NODES; k++)
        for (int l = 0; l < LANES; l++) {
            double dx = f->x[k + 1][0][l] - f->x[k][0][l], dy = f->x[k + 1][1][l] - f->x[k][1][l],
                   dz = f->x[k + 1][2][l] - f->x[k][2][l];
            double c = sqrt(dx * dx + dy * dy + dz * dz), turn = 0;
            if (k < NODES) {
                double mx = f->n[k + 1][0][l] - f->n[k][0][l], my = f->n[k + 1][1][l] - f->n[k][1][l],
                       mz = f->n[k + 1][2][l] - f->n[k][2][l];
                turn = (dx * mx + dy * my + dz * mz) / (c > 1e-12 ? c : 1e-12);
                good[l] &= turn > -1e-7;
            }
            double q = turn * turn;
            total[l] += c * (1 + q / 24 + 3 * q * q / 640);
        }
    double worst[LANES];
    for (int l = 0; l < LANES; l++) worst[l] = 1;
    for (int k = 1; k < SAMPLES; k++)
        for (int l = 0; l < LANES; l++) {
            double t = (double)k / SAMPLES;
            double x = f->x[NODES][0][l] + t * (f->x[NODES + 1][0][l] - f->x[NODES][0][l]);
            double y = f->x[NODES][1][l] + t * (f->x[NODES + 1][1][l] - f->x[NODES][1][l]);
            double z = f->x[NODES][2][l] + t * (f->x[NODES + 1][2][l] - f->x[NODES][2][l]);
            double r = sqrt(x * x + y * y + z * z), ir = 1 / r, gx, gy, gz;
            double above = r - surface_radius(s, x * ir, y * ir, z * ir, &gx, &gy, &gz);
            worst[l] = above < worst[l] ? above : worst[l];
        }
    for (int l = 0; l < LANES; l++) {
        g->length[l] = total[l];
        g->trust[l] = good[l] && worst[l] > -2 * CLEAR_BY;
    }
}

static void wrap(const surface *s, group *g) {
    fan f;
    open_fan(&f, g);
    place_nodes(s, &f);
    for (int round = 0; round < ROUNDS; round++) {
        improve(&f);
        place_nodes(s, &f);
    }
    measure(s, &f, g);
}

/* Hairs waiting for a lane. */
typedef struct queue {
    int n, hair[LANES];
    group g;
} queue;

static void put(queue *q, int hair, const group *from, int l) {
    int i = q->n++;
    q->hair[i] = hair;
    q->g.ax[i] = from->ax[l], q->g.ay[i] = from->ay[l], q->g.az[i] = from->az[l];
    q->g.bx[i] = from->bx[l], q->g.by[i] = from->by[l], q->g.bz[i] = from->bz[l];
    q->g.nx[i] = from->nx[l], q->g.ny[i] = from->ny[l], q->g.nz[i] = from->nz[l];
}

static void flush(const surface *s, queue *q, double *out) {
    int n = q->n;
    if (n == 0) return;
    for (int i = n; i < LANES; i++) {
        q->n = i;
        put(q, q->hair[0], &q->g, 0);
    }
    wrap(s, &q->g);
    for (int i = 0; i < n; i++) {
        const group *g = &q->g;
        if (g->trust[i])
            out[q->hair[i]] = g->length[i];
        else
            out[q->hair[i]] = path_length_coarse(s, v3_add(s->centre, v3(g->ax[i], g->ay[i], g->az[i])),
                                                 v3_add(s->centre, v3(g->bx[i], g->by[i], g->bz[i])));
    }
    q->n = 0;
}

static void load(const surface *s, group *g, int first, int n, const double *fx, const double *fy,
                 const double *fz, const double *nx, const double *ny, const double *nz, const double *tx,
                 const double *ty, const double *tz) {
    for (int l = 0; l < LANES; l++) {
        int i = first + l < n ? first + l : n - 1;
        g->ax[l] = fx[i] - s->centre.x, g->ay[l] = fy[i] - s->centre.y, g->az[l] = fz[i] - s->centre.z;
        g->bx[l] = tx[i] - s->centre.x, g->by[l] = ty[i] - s->centre.y, g->bz[l] = tz[i] - s->centre.z;
        g->nx[l] = nx[i], g->ny[l] = ny[i], g->nz[l] = nz[i];
    }
}

static bool inside(const surface *s, const group *g, int l) {
    double r = sqrt(g->bx[l] * g->bx[l] + g->by[l] * g->by[l] + g->bz[l] * g->bz[l]), x, y, z;
    if (!(r > 0)) return true;
    double above = r - surface_radius(s, g->bx[l] / r, g->by[l] / r, g->bz[l] / r, &x, &y, &z);
    return above < -PATH_INSIDE;
}

void path_lengths(const surface *s, int n, const double *fx, const double *fy, const double *fz,
                  const double *nx, const double *ny, const double *nz, const double *tx, const double *ty,
                  const double *tz, double *out) {
    queue q;
    q.n = 0;
    for (int first = 0; first < n; first += LANES) {
        group g;
        int clear[LANES];
        load(s, &g, first, n, fx, fy, fz, nx, ny, nz, tx, ty, tz);
        try_straight(s, &g, clear);
        for (int l = 0; l < LANES && first + l < n; l++) {
            double dx = g.bx[l] - g.ax[l], dy = g.by[l] - g.ay[l], dz = g.bz[l] - g.az[l];
            if (clear[l])
                out[first + l] = sqrt(dx * dx + dy * dy + dz * dz);
            else if (inside(s, &g, l))
                out[first + l] = NAN;
            else
                put(&q, first + l, &g, l);
            if (q.n == LANES) flush(s, &q, out);
        }
    }
    flush(s, &q, out);
}
