/* Many hairs brought to rest at once.
 *
 * The same energy as rod.c, minimised by the same method with everything laid out for speed. LANES hairs go
 * side by side through the same arithmetic, without branches and without libm; a lane whose hair has come to
 * rest takes the next hair, so that none waits for another.
 *
 * A step of Newton's method costs O(nodes). Its unknowns are the turns u_i of the frames, and a node's place
 * depends on all turns before it, so where there is ground the second variation is full. But the rest of a
 * hair past node i feels only that node's frame and place: what it costs to turn and move them is a quadratic
 * form in six numbers, handed from node to node toward the root (Bellman's recursion, as in optimal control;
 * a Cholesky factorisation in disguise). Three of the six drop out of every step as the unknown of the next
 * node. Then one sweep outward gives the turns. Pivots that are not above zero are replaced, so that every
 * step leads downhill; where none had to be, the rest is a minimum and no saddle.
 *
 * The second variation leaves out what is of the order of the square of the turn from node to node, and while
 * the hair is far from rest also what makes it indefinite (the weight of a hair that points upward): the way
 * is then that of a lever, not of a pendulum. A step is taken where the energy falls, and shortened where it
 * does not.
 */
#include "rods.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#ifndef RODS_SOME /* compiled again under other names for wider vectors */
#define RODS_SOME rods_some_narrow
#endif

#define LANES 8
#define EACH_LANE _Pragma("omp simd") for (int l = 0; l < LANES; l++)
#define NODES RODS_NODES_MAX
#define STRIDE .9     /* radians: no node turns by more in a step */
#define RESTED 2e-5   /* radians: a whole step in which no node turns by more is the last but one */
#define NEAR .35      /* radians: steps smaller than this take the whole second variation */
#define SHORTER .3    /* where the energy does not fall, so much of the step is tried next */
#define SHORTEST 1e-7 /* of a step */
#define PRESS .05     /* of the fibre's own force, with which the ground can push */
#define LOOKS 4       /* for where a step meets the ground */
#define SLIP 5e-4     /* metres by which a node must be dragged for most of its friction */
#define FLOOR 1e-3    /* least pivot over the fibre's own */
#define PUSHES 4      /* off saddles */

typedef double lanes[LANES];
typedef struct lanes3 {
    lanes x, y, z;
} lanes3;
typedef struct lanes6 { /* symmetric */
    lanes xx, xy, xz, yy, yz, zz;
} lanes6;
typedef struct lanes9 {
    lanes xx, xy, xz, yx, yy, yz, zx, zy, zz;
} lanes9;
typedef struct turns {
    lanes w, x, y, z;
} turns;

typedef struct hairs {
    int nodes;
    /* The rods: stiffness over the edge, natural turns an edge. */
    lanes edge, bend1, bend2, twist, curl1, curl2, curl3, load, skin, stiff, least;
    lanes3 root;
    /* The pose, the last one that was taken, and the step from it. */
    turns frame[NODES], taken[NODES];
    lanes3 turn[NODES], fresh[NODES];
    lanes energy, lowest, share, most, near, firm;
    lanes plain;         /* 1: steps do not look where they lead */
    lanes better, steps; /* 1: the pose is taken; and the step from it, too */
    lanes drag;          /* coefficient of friction */
    /* At the pose: nodes. */
    lanes3 at[NODES], out[NODES], looked[NODES];
    lanes away[NODES], press[NODES], spring[NODES];
    lanes6 bent[NODES]; /* second derivatives of the ground's distance */
    /* What the next step is to find there: a spring along the slope, and the pull it starts with. */
    lanes wall[NODES], pull[NODES];
    lanes3 moved[NODES]; /* by the whole step */
    /* Friction: where a node came down, with what it is held there, and whether it is. */
    lanes3 anchor[NODES];
    lanes grip[NODES], down[NODES];
    /* Room: what other hair does to a node that moves from where it began. */
    bool crowded;
    lanes3 began[NODES], lift[NODES];
    lanes6 crowd[NODES];
    /* Edges: tangent, moment, twist of the middle, elastic second variation. */
    lanes3 tangent[NODES], moment[NODES], skew[NODES];
    lanes6 elastic[NODES];
    /* What the next turn is, given the last and the place: turn = gain * (turn, place, 1). */
    lanes9 by_turn[NODES], by_place[NODES];
    lanes3 by_one[NODES];
    bool touches[NODES]; /* some hair touches the ground there or further out */
} hairs;

/* ---- the pose ---- */

static void edge_at(hairs *h, int i) {
    const turns *a = &h->frame[i], *b = &h->frame[i + 1];
    lanes3 *at = &h->at[i + 1], *tangent = &h->tangent[i], *moment = &h->moment[i], *skew = &h->skew[i];
    const lanes3 *from = &h->at[i];
    lanes6 *k = &h->elastic[i];
    EACH_LANE {
        /* The turn from frame to frame, c + s as a quaternion whose sign carries half turns on, and the frame
         * halfway. */
        double aw = a->w[l], ax = a->x[l], ay = a->y[l], az = a->z[l];
        double bw = b->w[l], bx = b->x[l], by = b->y[l], bz = b->z[l];
        double c = aw * bw + ax * bx + ay * by + az * bz;
        double sx = aw * bx - ax * bw - (ay * bz - az * by), sy = aw * by - ay * bw - (az * bx - ax * bz),
               sz = aw * bz - az * bw - (ax * by - ay * bx);
        double two_c = sqrt(fmax(2 + 2 * c, 1e-16)), half = 1 / two_c; /* C = cos of a quarter of the turn */
        double w = (aw + bw) * half, x = (ax + bx) * half, y = (ay + by) * half, z = (az + bz) * half;
        double m11 = 1 - 2 * (y * y + z * z), m12 = 2 * (x * y - w * z), m13 = 2 * (x * z + w * y);
        double m21 = 2 * (x * y + w * z), m22 = 1 - 2 * (x * x + z * z), m23 = 2 * (y * z - w * x);
        double m31 = 2 * (x * z - w * y), m32 = 2 * (y * z + w * x), m33 = 1 - 2 * (x * x + y * y);
        /* The strain (7 - C) / (3 C) s, and how it grows with a turn: across + bent s s'. */
        double strain = (14 * half - 1) * (1. / 3), across = .5 * strain, one = 2 * half * half;
        double bent = (two_c - 7) * half * half * half * (1. / 3);
        double v1 = strain * sx - h->curl1[l], v2 = strain * sy - h->curl2[l], v3 = strain * sz - h->curl3[l];
        double p1 = h->bend1[l] * v1, p2 = h->bend2[l] * v2, p3 = h->twist[l] * v3;
        double along = bent * (sx * p1 + sy * p2 + sz * p3);
        double g1 = across * p1 + along * sx, g2 = across * p2 + along * sy, g3 = across * p3 + along * sz;
        moment->x[l] = m11 * g1 + m12 * g2 + m13 * g3;
        moment->y[l] = m21 * g1 + m22 * g2 + m23 * g3;
        moment->z[l] = m31 * g1 + m32 * g2 + m33 * g3;
        sx *= one, sy *= one, sz *= one;
        skew->x[l] = m11 * sx + m12 * sy + m13 * sz;
        skew->y[l] = m21 * sx + m22 * sy + m23 * sz;
        skew->z[l] = m31 * sx + m32 * sy + m33 * sz;
        tangent->x[l] = m13, tangent->y[l] = m23, tangent->z[l] = m33;
        double e = h->edge[l];
        at->x[l] = from->x[l] + e * m13, at->y[l] = from->y[l] + e * m23, at->z[l] = from->z[l] + e * m33;
        h->energy[l] += .5 * (p1 * v1 + p2 * v2 + p3 * v3) + h->load[l] * (from->y[l] + .5 * e * m23);
        double k1 = h->bend1[l], k2 = h->bend2[l] - k1, k3 = h->twist[l] - k1;
        k->xx[l] = k1 + k2 * m12 * m12 + k3 * m13 * m13, k->xy[l] = k2 * m12 * m22 + k3 * m13 * m23;
        k->xz[l] = k2 * m12 * m32 + k3 * m13 * m33, k->yy[l] = k1 + k2 * m22 * m22 + k3 * m23 * m23;
        k->yz[l] = k2 * m22 * m32 + k3 * m23 * m33, k->zz[l] = k1 + k2 * m32 * m32 + k3 * m33 * m33;
    }
}

/* Looks the ground up only where the node may have come within the skin since it was last looked up. */
static void look_down(hairs *h, const ground *g, int i) {
    lanes3 *at = &h->at[i], *out = &h->out[i], *looked = &h->looked[i];
    lanes6 *bent = &h->bent[i];
    double *away = h->away[i], *press = h->press[i], *spring = h->spring[i];
    const double *skin = h->skin, *stiff = h->stiff;
    lanes need, touching;
    double any = 0, touch = 0;
    EACH_LANE {
        double x = at->x[l] - looked->x[l], y = at->y[l] - looked->y[l], z = at->z[l] - looked->z[l];
        double spare = (away[l] - skin[l]) * .8;
        spare = spare > 0 ? spare : 0;
        need[l] = x * x + y * y + z * z < spare * spare ? 0 : 1;
    }
    for (int l = 0; l < LANES; l++) any += need[l];
    if (any > 0)
        for (int l = 0; l < LANES; l++) {
            if (need[l] == 0) continue;
            lw_vec3 p = {at->x[l], at->y[l], at->z[l]};
            ground_shape s = ground_shape_at(g, p);
            away[l] = s.distance;
            out->x[l] = s.slope.x, out->y[l] = s.slope.y, out->z[l] = s.slope.z;
            bent->xx[l] = s.xx, bent->xy[l] = s.xy, bent->xz[l] = s.xz;
            bent->yy[l] = s.yy, bent->yz[l] = s.yz, bent->zz[l] = s.zz;
            looked->x[l] = p.x, looked->y[l] = p.y, looked->z[l] = p.z;
        }
    EACH_LANE {
        double depth = skin[l] - away[l];
        depth = depth > 0 ? depth * need[l] : 0;
        double k = stiff[l], per = depth / skin[l];
        press[l] = .5 * k * depth * per;
        spring[l] = k * per;
        h->energy[l] += k * depth * depth * per / 6;
        touching[l] = depth;
    }
    for (int l = 0; l < LANES; l++) touch += touching[l];
    h->touches[i] = touch > 0;
    for (int l = 0; l < LANES; l++) h->touches[i] |= h->grip[i][l] > 0;
}

/* What friction holds against: grip * (sqrt(far^2 + SLIP^2) - SLIP). */
static void hold_on(hairs *h, int i) {
    const lanes3 *at = &h->at[i], *to = &h->anchor[i];
    const double *grip = h->grip[i];
    EACH_LANE {
        double x = at->x[l] - to->x[l], y = at->y[l] - to->y[l], z = at->z[l] - to->z[l];
        h->energy[l] += grip[l] * (sqrt(x * x + y * y + z * z + SLIP * SLIP) - SLIP);
    }
}

/* What other hair does: lift.d + .5 d.crowd.d for a node d from where it began. */
static void make_way(hairs *h, int i) {
    const lanes3 *at = &h->at[i], *from = &h->began[i], *f = &h->lift[i];
    const lanes6 *k = &h->crowd[i];
    EACH_LANE {
        double x = at->x[l] - from->x[l], y = at->y[l] - from->y[l], z = at->z[l] - from->z[l];
        double kx = k->xx[l] * x + k->xy[l] * y + k->xz[l] * z,
               ky = k->xy[l] * x + k->yy[l] * y + k->yz[l] * z,
               kz = k->xz[l] * x + k->yz[l] * y + k->zz[l] * z;
        h->energy[l] += (f->x[l] + .5 * kx) * x + (f->y[l] + .5 * ky) * y + (f->z[l] + .5 * kz) * z;
    }
    h->touches[i] = true;
}

static void pose(hairs *h, const ground *g) {
    EACH_LANE {
        h->energy[l] = 0;
        h->at[0].x[l] = h->root.x[l], h->at[0].y[l] = h->root.y[l], h->at[0].z[l] = h->root.z[l];
    }
    for (int i = 0; i + 1 < h->nodes; i++) edge_at(h, i);
    for (int i = 1; g && i < h->nodes; i++) {
        look_down(h, g, i);
        hold_on(h, i);
    }
    for (int i = 1; h->crowded && i < h->nodes; i++) make_way(h, i);
}

/* ---- a step of Newton's method ---- */

/* What the rest of the hair past a node costs: .5 u.turn.u + u.mixed.r + .5 r.place.r + push.u + pull.r for a
 * turn u and a move r of the node. */
typedef struct rest {
    lanes6 turn, place;
    lanes9 mixed;
    lanes3 push, pull, force;
} rest;

static void touch(rest *v, const hairs *h, int i) {
    const lanes3 *n = &h->out[i], *at = &h->at[i], *to = &h->anchor[i];
    const lanes6 *bent = &h->bent[i];
    const double *wall = h->wall[i], *pull = h->pull[i], *press = h->press[i], *grip = h->grip[i];
    EACH_LANE {
        double x = n->x[l], y = n->y[l], z = n->z[l], k = wall[l], f = press[l], p = pull[l];
        double dx = at->x[l] - to->x[l], dy = at->y[l] - to->y[l], dz = at->z[l] - to->z[l];
        double one = 1 / sqrt(dx * dx + dy * dy + dz * dz + SLIP * SLIP), g = grip[l] * one;
        double b = g * one * one, q = h->near[l] * f;
        v->place.xx[l] += k * x * x + g - b * dx * dx - q * bent->xx[l];
        v->place.xy[l] += k * x * y - b * dx * dy - q * bent->xy[l];
        v->place.xz[l] += k * x * z - b * dx * dz - q * bent->xz[l];
        v->place.yy[l] += k * y * y + g - b * dy * dy - q * bent->yy[l];
        v->place.yz[l] += k * y * z - b * dy * dz - q * bent->yz[l];
        v->place.zz[l] += k * z * z + g - b * dz * dz - q * bent->zz[l];
        v->pull.x[l] += p * x, v->pull.y[l] += p * y, v->pull.z[l] += p * z;
        v->force.x[l] += g * dx - f * x, v->force.y[l] += g * dy - f * y, v->force.z[l] += g * dz - f * z;
    }
}

static void crowd(rest *v, const hairs *h, int i) {
    const lanes3 *at = &h->at[i], *from = &h->began[i], *f = &h->lift[i];
    const lanes6 *k = &h->crowd[i];
    EACH_LANE {
        double x = at->x[l] - from->x[l], y = at->y[l] - from->y[l], z = at->z[l] - from->z[l];
        v->force.x[l] += f->x[l] + k->xx[l] * x + k->xy[l] * y + k->xz[l] * z;
        v->force.y[l] += f->y[l] + k->xy[l] * x + k->yy[l] * y + k->yz[l] * z;
        v->force.z[l] += f->z[l] + k->xz[l] * x + k->yz[l] * y + k->zz[l] * z;
        v->place.xx[l] += k->xx[l], v->place.xy[l] += k->xy[l], v->place.xz[l] += k->xz[l];
        v->place.yy[l] += k->yy[l], v->place.yz[l] += k->yz[l], v->place.zz[l] += k->zz[l];
    }
}

/* Past edge i free of the ground: the place does not matter. */
static void back_free(rest *v, hairs *h, int i) {
    const lanes3 *tangent = &h->tangent[i], *moment = &h->moment[i], *skew = &h->skew[i];
    const lanes6 *e = &h->elastic[i];
    lanes9 *gain = &h->by_turn[i];
    lanes3 *one = &h->by_one[i];
    EACH_LANE {
        double l1 = h->edge[l], tx = tangent->x[l], ty = tangent->y[l], tz = tangent->z[l];
        double fx = v->force.x[l], fy = v->force.y[l] + .5 * h->load[l], fz = v->force.z[l];
        v->force.y[l] += h->load[l];
        /* First variation. */
        double cx = l1 * (ty * fz - tz * fy), cy = l1 * (tz * fx - tx * fz), cz = l1 * (tx * fy - ty * fx);
        double ux = skew->x[l], uy = skew->y[l], uz = skew->z[l];
        double mx = moment->x[l] - .5 * (cy * uz - cz * uy), my = moment->y[l] - .5 * (cz * ux - cx * uz),
               mz = moment->z[l] - .5 * (cx * uy - cy * ux);
        double px = v->push.x[l] + mx + .5 * cx, py = v->push.y[l] + my + .5 * cy,
               pz = v->push.z[l] + mz + .5 * cz;
        /* Second variation of the weight that hangs from the edge, a quarter of it; and of the moment. */
        double whole = h->near[l], pull = -.25 * l1 * (fx * tx + fy * ty + fz * tz), q = whole * .125 * l1;
        double tight = pull > 0 ? pull : 0, a = whole * pull + (1 - whole) * tight, b = (1 - whole) * tight;
        double wxx = a + 2 * q * fx * tx - b * tx * tx, wyy = a + 2 * q * fy * ty - b * ty * ty,
               wzz = a + 2 * q * fz * tz - b * tz * tz;
        double wxy = q * (fx * ty + fy * tx) - b * tx * ty, wxz = q * (fx * tz + fz * tx) - b * tx * tz,
               wyz = q * (fy * tz + fz * ty) - b * ty * tz;
        double nx = .5 * whole * moment->x[l], ny = .5 * whole * moment->y[l], nz = .5 * whole * moment->z[l];
        /* h: of the far turn; o: far (rows) with near; near's own is elastic + w. */
        double exx = e->xx[l], exy = e->xy[l], exz = e->xz[l], eyy = e->yy[l], eyz = e->yz[l], ezz = e->zz[l];
        double hxx = v->turn.xx[l] + exx + wxx, hxy = v->turn.xy[l] + exy + wxy,
               hxz = v->turn.xz[l] + exz + wxz, hyy = v->turn.yy[l] + eyy + wyy,
               hyz = v->turn.yz[l] + eyz + wyz, hzz = v->turn.zz[l] + ezz + wzz;
        double oxx = wxx - exx, oyy = wyy - eyy, ozz = wzz - ezz, oxy = wxy - exy, oyx = oxy, oxz = wxz - exz,
               ozx = oxz, oyz = wyz - eyz, ozy = oyz;
        oxy += nz, oyx -= nz, oxz -= ny, ozx += ny, oyz += nx, ozy -= nx;
        /* Factorised, low pivots raised. */
        double least = h->least[l], firm = h->firm[l];
        firm = hxx < least ? 0 : firm;
        double d1 = 1 / (hxx < least ? least : hxx), a21 = hxy * d1, a31 = hxz * d1;
        double p22 = hyy - a21 * hxy, p32 = hyz - a31 * hxy;
        firm = p22 < least ? 0 : firm;
        double d2 = 1 / (p22 < least ? least : p22), a32 = p32 * d2;
        double p33 = hzz - a31 * hxz - a32 * p32;
        firm = p33 < least ? 0 : firm;
        double d3 = 1 / (p33 < least ? least : p33);
        h->firm[l] = firm;
        /* Columns of -h^-1 (o | p). */
#define SOLVE(rx, ry, rz, gx, gy, gz)                                                                        \
    double gx##1 = (rx), gy##1 = (ry)-a21 * gx##1, gz##1 = (rz)-a31 * gx##1 - a32 * gy##1;                   \
    double gz = -gz##1 * d3, gy = -gy##1 * d2 - a32 * gz, gx = -gx##1 * d1 - a21 * gy - a31 * gz
        SOLVE(oxx, oyx, ozx, g11, g21, g31);
        SOLVE(oxy, oyy, ozy, g12, g22, g32);
        SOLVE(oxz, oyz, ozz, g13, g23, g33);
        SOLVE(px, py, pz, k1, k2, k3);
        gain->xx[l] = g11, gain->xy[l] = g12, gain->xz[l] = g13;
        gain->yx[l] = g21, gain->yy[l] = g22, gain->yz[l] = g23;
        gain->zx[l] = g31, gain->zy[l] = g32, gain->zz[l] = g33;
        one->x[l] = k1, one->y[l] = k2, one->z[l] = k3;
        /* What is left for the near turn. */
        v->turn.xx[l] = exx + wxx + oxx * g11 + oyx * g21 + ozx * g31;
        v->turn.xy[l] = exy + wxy + oxx * g12 + oyx * g22 + ozx * g32;
        v->turn.xz[l] = exz + wxz + oxx * g13 + oyx * g23 + ozx * g33;
        v->turn.yy[l] = eyy + wyy + oxy * g12 + oyy * g22 + ozy * g32;
        v->turn.yz[l] = eyz + wyz + oxy * g13 + oyy * g23 + ozy * g33;
        v->turn.zz[l] = ezz + wzz + oxz * g13 + oyz * g23 + ozz * g33;
        v->push.x[l] = .5 * cx - mx + oxx * k1 + oyx * k2 + ozx * k3;
        v->push.y[l] = .5 * cy - my + oxy * k1 + oyy * k2 + ozy * k3;
        v->push.z[l] = .5 * cz - mz + oxz * k1 + oyz * k2 + ozz * k3;
    }
}

/* Past edge i some hair touches the ground. */
static void back_touching(rest *v, hairs *h, int i) {
    const lanes3 *tangent = &h->tangent[i], *moment = &h->moment[i], *skew = &h->skew[i];
    const lanes6 *e = &h->elastic[i];
    lanes9 *gain = &h->by_turn[i], *at = &h->by_place[i], *s = &v->mixed;
    lanes6 *q6 = &v->place;
    lanes3 *one = &h->by_one[i];
    EACH_LANE {
        double l1 = h->edge[l], tx = tangent->x[l], ty = tangent->y[l], tz = tangent->z[l];
        double fx = v->force.x[l], fy = v->force.y[l] + .5 * h->load[l], fz = v->force.z[l];
        v->force.y[l] += h->load[l];
        double cx = l1 * (ty * fz - tz * fy), cy = l1 * (tz * fx - tx * fz), cz = l1 * (tx * fy - ty * fx);
        double ux = skew->x[l], uy = skew->y[l], uz = skew->z[l];
        double mx = moment->x[l] - .5 * (cy * uz - cz * uy), my = moment->y[l] - .5 * (cz * ux - cx * uz),
               mz = moment->z[l] - .5 * (cx * uy - cy * ux);
        /* The place moves by T (u + u'), T = -(edge / 2) [tangent]x. */
        double ax = .5 * l1 * tx, ay = .5 * l1 * ty, az = .5 * l1 * tz;
        double sx = v->pull.x[l], sy = v->pull.y[l], sz = v->pull.z[l];
        double ex = ay * sz - az * sy, ey = az * sx - ax * sz, ez = ax * sy - ay * sx; /* T' pull */
        double px = v->push.x[l] + mx + .5 * cx + ex, py = v->push.y[l] + my + .5 * cy + ey,
               pz = v->push.z[l] + mz + .5 * cz + ez;
        double whole = h->near[l], pull = -.25 * l1 * (fx * tx + fy * ty + fz * tz), q = whole * .125 * l1;
        double tight = pull > 0 ? pull : 0, a = whole * pull + (1 - whole) * tight, b = (1 - whole) * tight;
        /* n = mixed T, d = place T, c = T' d */
        double s11 = s->xx[l], s12 = s->xy[l], s13 = s->xz[l], s21 = s->yx[l], s22 = s->yy[l], s23 = s->yz[l],
               s31 = s->zx[l], s32 = s->zy[l], s33 = s->zz[l];
        double q11 = q6->xx[l], q12 = q6->xy[l], q13 = q6->xz[l], q22 = q6->yy[l], q23 = q6->yz[l],
               q33 = q6->zz[l];
        double n11 = s13 * ay - s12 * az, n12 = s11 * az - s13 * ax, n13 = s12 * ax - s11 * ay;
        double n21 = s23 * ay - s22 * az, n22 = s21 * az - s23 * ax, n23 = s22 * ax - s21 * ay;
        double n31 = s33 * ay - s32 * az, n32 = s31 * az - s33 * ax, n33 = s32 * ax - s31 * ay;
        double d11 = q13 * ay - q12 * az, d12 = q11 * az - q13 * ax, d13 = q12 * ax - q11 * ay;
        double d21 = q23 * ay - q22 * az, d22 = q12 * az - q23 * ax, d23 = q22 * ax - q12 * ay;
        double d31 = q33 * ay - q23 * az, d32 = q13 * az - q33 * ax, d33 = q23 * ax - q13 * ay;
        double c11 = ay * d31 - az * d21, c12 = ay * d32 - az * d22, c13 = ay * d33 - az * d23;
        double c22 = az * d12 - ax * d32, c23 = az * d13 - ax * d33, c33 = ax * d23 - ay * d13;
        double wxx = a + 2 * q * fx * tx - b * tx * tx + c11, wyy = a + 2 * q * fy * ty - b * ty * ty + c22,
               wzz = a + 2 * q * fz * tz - b * tz * tz + c33;
        double wxy = q * (fx * ty + fy * tx) - b * tx * ty + c12,
               wxz = q * (fx * tz + fz * tx) - b * tx * tz + c13,
               wyz = q * (fy * tz + fz * ty) - b * ty * tz + c23;
        double nx = .5 * whole * moment->x[l], ny = .5 * whole * moment->y[l], nz = .5 * whole * moment->z[l];
        double exx = e->xx[l], exy = e->xy[l], exz = e->xz[l], eyy = e->yy[l], eyz = e->yz[l], ezz = e->zz[l];
        double hxx = v->turn.xx[l] + exx + wxx + 2 * n11, hxy = v->turn.xy[l] + exy + wxy + n12 + n21,
               hxz = v->turn.xz[l] + exz + wxz + n13 + n31, hyy = v->turn.yy[l] + eyy + wyy + 2 * n22,
               hyz = v->turn.yz[l] + eyz + wyz + n23 + n32, hzz = v->turn.zz[l] + ezz + wzz + 2 * n33;
        double oxx = wxx - exx + n11, oyy = wyy - eyy + n22, ozz = wzz - ezz + n33;
        double oxy = wxy - exy + n12 + nz, oyx = wxy - exy + n21 - nz;
        double oxz = wxz - exz + n13 - ny, ozx = wxz - exz + n31 + ny;
        double oyz = wyz - eyz + n23 + nx, ozy = wyz - eyz + n32 - nx;
        double r11 = s11 + d11, r12 = s12 + d21, r13 = s13 + d31, r21 = s21 + d12, r22 = s22 + d22,
               r23 = s23 + d32, r31 = s31 + d13, r32 = s32 + d23, r33 = s33 + d33;
        double least = h->least[l], firm = h->firm[l];
        firm = hxx < least ? 0 : firm;
        double d1 = 1 / (hxx < least ? least : hxx), a21 = hxy * d1, a31 = hxz * d1;
        double p22 = hyy - a21 * hxy, p32 = hyz - a31 * hxy;
        firm = p22 < least ? 0 : firm;
        double d2 = 1 / (p22 < least ? least : p22), a32 = p32 * d2;
        double p33 = hzz - a31 * hxz - a32 * p32;
        firm = p33 < least ? 0 : firm;
        double d3 = 1 / (p33 < least ? least : p33);
        h->firm[l] = firm;
        SOLVE(oxx, oyx, ozx, g11, g21, g31);
        SOLVE(oxy, oyy, ozy, g12, g22, g32);
        SOLVE(oxz, oyz, ozz, g13, g23, g33);
        SOLVE(r11, r21, r31, b11, b21, b31);
        SOLVE(r12, r22, r32, b12, b22, b32);
        SOLVE(r13, r23, r33, b13, b23, b33);
        SOLVE(px, py, pz, k1, k2, k3);
        gain->xx[l] = g11, gain->xy[l] = g12, gain->xz[l] = g13;
        gain->yx[l] = g21, gain->yy[l] = g22, gain->yz[l] = g23;
        gain->zx[l] = g31, gain->zy[l] = g32, gain->zz[l] = g33;
        at->xx[l] = b11, at->xy[l] = b12, at->xz[l] = b13;
        at->yx[l] = b21, at->yy[l] = b22, at->yz[l] = b23;
        at->zx[l] = b31, at->zy[l] = b32, at->zz[l] = b33;
        one->x[l] = k1, one->y[l] = k2, one->z[l] = k3;
        v->turn.xx[l] = exx + wxx + oxx * g11 + oyx * g21 + ozx * g31;
        v->turn.xy[l] = exy + wxy + oxx * g12 + oyx * g22 + ozx * g32;
        v->turn.xz[l] = exz + wxz + oxx * g13 + oyx * g23 + ozx * g33;
        v->turn.yy[l] = eyy + wyy + oxy * g12 + oyy * g22 + ozy * g32;
        v->turn.yz[l] = eyz + wyz + oxy * g13 + oyy * g23 + ozy * g33;
        v->turn.zz[l] = ezz + wzz + oxz * g13 + oyz * g23 + ozz * g33;
        s->xx[l] = d11 + oxx * b11 + oyx * b21 + ozx * b31,
        s->xy[l] = d21 + oxx * b12 + oyx * b22 + ozx * b32;
        s->xz[l] = d31 + oxx * b13 + oyx * b23 + ozx * b33,
        s->yx[l] = d12 + oxy * b11 + oyy * b21 + ozy * b31;
        s->yy[l] = d22 + oxy * b12 + oyy * b22 + ozy * b32,
        s->yz[l] = d32 + oxy * b13 + oyy * b23 + ozy * b33;
        s->zx[l] = d13 + oxz * b11 + oyz * b21 + ozz * b31,
        s->zy[l] = d23 + oxz * b12 + oyz * b22 + ozz * b32;
        s->zz[l] = d33 + oxz * b13 + oyz * b23 + ozz * b33;
        q6->xx[l] = q11 + r11 * b11 + r21 * b21 + r31 * b31;
        q6->xy[l] = q12 + r11 * b12 + r21 * b22 + r31 * b32;
        q6->xz[l] = q13 + r11 * b13 + r21 * b23 + r31 * b33;
        q6->yy[l] = q22 + r12 * b12 + r22 * b22 + r32 * b32;
        q6->yz[l] = q23 + r12 * b13 + r22 * b23 + r32 * b33;
        q6->zz[l] = q33 + r13 * b13 + r23 * b23 + r33 * b33;
        v->push.x[l] = .5 * cx - mx + ex + oxx * k1 + oyx * k2 + ozx * k3;
        v->push.y[l] = .5 * cy - my + ey + oxy * k1 + oyy * k2 + ozy * k3;
        v->push.z[l] = .5 * cz - mz + ez + oxz * k1 + oyz * k2 + ozz * k3;
        v->pull.x[l] = sx + r11 * k1 + r21 * k2 + r31 * k3;
        v->pull.y[l] = sy + r12 * k1 + r22 * k2 + r32 * k3;
        v->pull.z[l] = sz + r13 * k1 + r23 * k2 + r33 * k3;
    }
}

static void find_turns(hairs *h) {
    rest v;
    for (int i = h->nodes - 2; i > 0; i--) h->touches[i] |= h->touches[i + 1];
    memset(&v, 0, sizeof v);
    EACH_LANE h->firm[l] = 1;
    for (int i = h->nodes - 2; i >= 0; i--) {
        if (h->touches[i + 1]) {
            touch(&v, h, i + 1);
            if (h->crowded) crowd(&v, h, i + 1);
            back_touching(&v, h, i);
        } else {
            back_free(&v, h, i);
        }
    }
    lanes3 turn, move;
    memset(&turn, 0, sizeof turn);
    memset(&move, 0, sizeof move);
    EACH_LANE h->most[l] = 0;
    for (int i = 0; i + 1 < h->nodes; i++) {
        const lanes9 *g = &h->by_turn[i], *at = &h->by_place[i];
        const lanes3 *one = &h->by_one[i], *tangent = &h->tangent[i];
        lanes3 *out = &h->fresh[i + 1];
        EACH_LANE {
            double x = turn.x[l], y = turn.y[l], z = turn.z[l];
            out->x[l] = one->x[l] + g->xx[l] * x + g->xy[l] * y + g->xz[l] * z;
            out->y[l] = one->y[l] + g->yx[l] * x + g->yy[l] * y + g->yz[l] * z;
            out->z[l] = one->z[l] + g->zx[l] * x + g->zy[l] * y + g->zz[l] * z;
        }
        if (h->touches[i + 1]) EACH_LANE {
                double x = move.x[l], y = move.y[l], z = move.z[l];
                out->x[l] += at->xx[l] * x + at->xy[l] * y + at->xz[l] * z;
                out->y[l] += at->yx[l] * x + at->yy[l] * y + at->yz[l] * z;
                out->z[l] += at->zx[l] * x + at->zy[l] * y + at->zz[l] * z;
            }
        EACH_LANE {
            double half = .5 * h->edge[l], x = turn.x[l] + out->x[l], y = turn.y[l] + out->y[l],
                   z = turn.z[l] + out->z[l];
            move.x[l] += half * (y * tangent->z[l] - z * tangent->y[l]);
            move.y[l] += half * (z * tangent->x[l] - x * tangent->z[l]);
            move.z[l] += half * (x * tangent->y[l] - y * tangent->x[l]);
            h->moved[i + 1].x[l] = move.x[l], h->moved[i + 1].y[l] = move.y[l],
                         h->moved[i + 1].z[l] = move.z[l];
            turn.x[l] = x = out->x[l], turn.y[l] = y = out->y[l], turn.z[l] = z = out->z[l];
            double far = x * x + y * y + z * z;
            h->most[l] = far > h->most[l] ? far : h->most[l];
        }
    }
    EACH_LANE h->most[l] = sqrt(h->most[l]);
}

/* What the ground does where the step leads, its slope going on as it is: from now on the step counts on
 * that. Whether that is something new. Where the step would lead into the ground, it counts on a spring that
 * brings the node to half the skin. */
static bool meets(hairs *h, int i) {
    const lanes3 *at = &h->at[i], *looked = &h->looked[i], *n = &h->out[i], *move = &h->moved[i];
    const double *away = h->away[i], *press = h->press[i];
    double *wall = h->wall[i], *pull = h->pull[i];
    lanes change;
    double any = 0, touch = 0;
    EACH_LANE {
        double x = at->x[l] - looked->x[l], y = at->y[l] - looked->y[l], z = at->z[l] - looked->z[l];
        double gap = away[l] + n->x[l] * x + n->y[l] * y + n->z[l] * z;
        double goes = n->x[l] * move->x[l] + n->y[l] * move->y[l] + n->z[l] * move->z[l];
        double skin = h->skin[l], k = h->stiff[l], depth = skin - gap - goes;
        depth = depth > 0 ? depth : 0;
        bool in = depth > skin;
        double tangent = k * depth / skin, w = in ? k : tangent;
        w = h->plain[l] > 0 ? wall[l] : w;
        double p = in ? press[l] - k * (.5 * skin - gap) : press[l] - .5 * tangent * depth - tangent * goes;
        pull[l] = h->plain[l] > 0 ? 0 : p;
        double d = w - wall[l];
        change[l] = d * d > .04 * k * k ? 1 : 0;
        wall[l] = w;
    }
    for (int l = 0; l < LANES; l++) any += change[l], touch += wall[l] + h->grip[i][l] + press[l];
    h->touches[i] = touch > 0 || h->crowded;
    return any > 0;
}

static void step(hairs *h) {
    for (int i = 1; i < h->nodes; i++) {
        memcpy(h->wall[i], h->spring[i], sizeof h->wall[i]);
        memset(h->pull[i], 0, sizeof h->pull[i]);
    }
    for (int look = 0;; look++) {
        find_turns(h);
        bool again = false;
        for (int i = 1; look < LOOKS && i < h->nodes; i++) again |= meets(h, i);
        if (!again) return;
    }
}

/* The frames `share` of the step from those taken. */
static void go(hairs *h) {
    for (int i = 1; i < h->nodes; i++) {
        const turns *from = &h->taken[i];
        const lanes3 *turn = &h->turn[i];
        turns *to = &h->frame[i];
        EACH_LANE {
            double k = .5 * h->share[l], x = k * turn->x[l], y = k * turn->y[l], z = k * turn->z[l];
            double fw = from->w[l], fx = from->x[l], fy = from->y[l], fz = from->z[l];
            double w = fw - x * fx - y * fy - z * fz, a = fx + x * fw + y * fz - z * fy,
                   b = fy + y * fw + z * fx - x * fz, c = fz + z * fw + x * fy - y * fx;
            double one = 1 / sqrt(w * w + a * a + b * b + c * c);
            to->w[l] = w * one, to->x[l] = a * one, to->y[l] = b * one, to->z[l] = c * one;
        }
    }
}

/* ---- hairs come and go ---- */

typedef enum lane_state { IDLE, TAKEN, FRESH, GOING, LAST } lane_state;

typedef struct lane_of {
    int hair, rounds, pushes;
    bool stuck, unsure, still, push;
    lane_state state;
} lane_of;

static void look_round(hairs *h, const rods_job *job, int l, int index) {
    double section = job->hair[index].section;
    for (int i = 1; i < job->nodes; i++) {
        double volume = section * h->edge[l] * (i + 1 < job->nodes ? 1 : .5);
        lw_vec3 p = job->at[(size_t)index * (size_t)job->nodes + (size_t)i];
        ground_shape s = room_pull_at(job->room, p);
        h->began[i].x[l] = p.x, h->began[i].y[l] = p.y, h->began[i].z[l] = p.z;
        h->lift[i].x[l] = volume * s.slope.x, h->lift[i].y[l] = volume * s.slope.y,
        h->lift[i].z[l] = volume * s.slope.z;
        h->crowd[i].xx[l] = volume * s.xx, h->crowd[i].xy[l] = volume * s.xy,
        h->crowd[i].xz[l] = volume * s.xz;
        h->crowd[i].yy[l] = volume * s.yy, h->crowd[i].yz[l] = volume * s.yz,
        h->crowd[i].zz[l] = volume * s.zz;
    }
}

static void take(hairs *h, lane_of *of, const rods_job *job, int l, int index) {
    const rods_hair *r = &job->hair[index];
    double edge = r->length / (job->nodes - 1), most = fmax(r->bend[0], r->bend[1]);
    *of = (lane_of){.hair = index, .state = TAKEN};
    h->edge[l] = edge;
    if (job->room) look_round(h, job, l, index);
    h->bend1[l] = r->bend[0] / edge, h->bend2[l] = r->bend[1] / edge, h->twist[l] = r->twist / edge;
    h->curl1[l] = r->curl[0] * edge, h->curl2[l] = r->curl[1] * edge, h->curl3[l] = r->curl[2] * edge;
    h->load[l] = r->weight * edge;
    h->skin[l] = r->clear;
    h->drag[l] = r->friction;
    h->stiff[l] = 2 * (PRESS * most / (edge * edge) + r->weight * r->length) / r->clear;
    h->least[l] = FLOOR * fmin(fmin(r->bend[0], r->bend[1]), r->twist) / edge;
    h->root.x[l] = r->root.x, h->root.y[l] = r->root.y, h->root.z[l] = r->root.z;
    h->share[l] = 0, h->near[l] = 0, h->most[l] = 0, h->lowest[l] = 0, h->plain[l] = 0;
    for (int i = 0; i < job->nodes; i++) {
        const float *q = job->frame[(size_t)index * (size_t)job->nodes + (size_t)i];
        double w = q[0], x = q[1], y = q[2], z = q[3], one = 1 / sqrt(w * w + x * x + y * y + z * z);
        h->frame[i].w[l] = w * one, h->frame[i].x[l] = x * one, h->frame[i].y[l] = y * one,
        h->frame[i].z[l] = z * one;
        h->taken[i].w[l] = w * one, h->taken[i].x[l] = x * one, h->taken[i].y[l] = y * one,
        h->taken[i].z[l] = z * one;
        h->turn[i].x[l] = h->turn[i].y[l] = h->turn[i].z[l] = 0;
        h->away[i][l] = -1;
        h->grip[i][l] = h->down[i][l] = h->anchor[i].x[l] = h->anchor[i].y[l] = h->anchor[i].z[l] = 0;
        h->looked[i].x[l] = h->looked[i].y[l] = h->looked[i].z[l] = 0;
    }
}

static void idle(hairs *h, lane_of *of, int l) {
    of->state = IDLE;
    h->edge[l] = h->bend1[l] = h->bend2[l] = h->twist[l] = h->skin[l] = h->stiff[l] = h->least[l] = 1;
    h->curl1[l] = h->curl2[l] = h->curl3[l] = h->load[l] = h->share[l] = h->near[l] = h->drag[l] =
        h->lowest[l] = h->plain[l] = 0;
    h->root.x[l] = h->root.z[l] = 0, h->root.y[l] = 1e3;
    for (int i = 0; i < h->nodes; i++) {
        h->frame[i].w[l] = 1, h->frame[i].x[l] = h->frame[i].y[l] = h->frame[i].z[l] = 0;
        h->taken[i].w[l] = 1, h->taken[i].x[l] = h->taken[i].y[l] = h->taken[i].z[l] = 0;
        h->turn[i].x[l] = h->turn[i].y[l] = h->turn[i].z[l] = 0;
        h->away[i][l] = 1e6;
        h->lift[i].x[l] = h->lift[i].y[l] = h->lift[i].z[l] = h->crowd[i].xx[l] = h->crowd[i].xy[l] =
            h->crowd[i].xz[l] = h->crowd[i].yy[l] = h->crowd[i].yz[l] = h->crowd[i].zz[l] = 0;
        h->grip[i][l] = h->down[i][l] = h->anchor[i].x[l] = h->anchor[i].y[l] = h->anchor[i].z[l] = 0;
        h->looked[i].x[l] = h->looked[i].z[l] = 0, h->looked[i].y[l] = 1e3;
    }
}

static void put(const hairs *h, const lane_of *of, const rods_job *job, int l) {
    rods_hair *r = &job->hair[of->hair];
    r->rounds = (int16_t)of->rounds;
    r->at_rest = !of->stuck;
    r->straightened = of->pushes > 0;
    size_t first = (size_t)of->hair * (size_t)job->nodes;
    for (int i = 0; i < job->nodes; i++) {
        float *q = job->frame[first + (size_t)i];
        q[0] = (float)h->frame[i].w[l], q[1] = (float)h->frame[i].x[l], q[2] = (float)h->frame[i].y[l],
        q[3] = (float)h->frame[i].z[l];
        job->at[first + (size_t)i] = (lw_vec3){h->at[i].x[l], h->at[i].y[l], h->at[i].z[l]};
    }
}

/* Off a saddle: a little turn to a side that depends on nothing but the node. */
static void push(hairs *h, int l) {
    for (int i = 1; i < h->nodes; i++)
        h->turn[i].x[l] = 1e-3 * i / h->nodes, h->turn[i].y[l] = 2e-4,
        h->turn[i].z[l] = -1.7e-3 * i / h->nodes;
    h->share[l] = 1;
    h->lowest[l] += 1e-3 * fabs(h->lowest[l]) + h->bend1[l] * 1e-4;
}

/* The pose is taken where the energy fell. */
static bool fell(const hairs *h, const lane_of *of, int l) {
    if (of->state == IDLE || of->state == TAKEN) return false;
    double slack = 1e-13 * (fabs(h->lowest[l]) + h->load[l] * h->edge[l] * h->nodes * h->nodes);
    return of->state == FRESH || h->energy[l] <= h->lowest[l] + slack;
}

/* What touches at the poses that are better is held by friction from now on, as hard as it presses. */
static void take_hold(hairs *h) {
    EACH_LANE h->lowest[l] = h->better[l] > 0 ? h->energy[l] : h->lowest[l];
    for (int i = 1; i < h->nodes; i++) {
        const lanes3 *at = &h->at[i];
        lanes3 *to = &h->anchor[i];
        double *grip = h->grip[i], *down = h->down[i];
        const double *press = h->press[i], *better = h->better;
        EACH_LANE {
            double x = at->x[l] - to->x[l], y = at->y[l] - to->y[l], z = at->z[l] - to->z[l];
            double far = sqrt(x * x + y * y + z * z + SLIP * SLIP) - SLIP;
            bool yes = better[l] > 0, touching = press[l] > 0, comes = yes && touching && down[l] == 0;
            double new = yes ? h->drag[l] * press[l] : grip[l];
            to->x[l] = comes ? at->x[l] : to->x[l], to->y[l] = comes ? at->y[l] : to->y[l];
            to->z[l] = comes ? at->z[l] : to->z[l];
            h->lowest[l] += yes ? (comes ? 0 : new *far) - grip[l] * far : 0;
            grip[l] = new;
            down[l] = yes ? (touching ? 1 : 0) : down[l];
        }
    }
}

/* The poses that are better are taken, with the steps from them. */
static void keep(hairs *h) {
    for (int i = 1; i < h->nodes; i++) {
        const turns *new = &h->frame[i];
        const lanes3 *fresh = &h->fresh[i];
        turns *old = &h->taken[i];
        lanes3 *turn = &h->turn[i];
        const double *better = h->better, *steps = h->steps;
        EACH_LANE {
            bool yes = better[l] > 0, goes = steps[l] > 0;
            old->w[l] = yes ? new->w[l] : old->w[l], old->x[l] = yes ? new->x[l] : old->x[l];
            old->y[l] = yes ? new->y[l] : old->y[l], old->z[l] = yes ? new->z[l] : old->z[l];
            turn->x[l] = yes ? (goes ? fresh->x[l] : 0) : turn->x[l];
            turn->y[l] = yes ? (goes ? fresh->y[l] : 0) : turn->y[l];
            turn->z[l] = yes ? (goes ? fresh->z[l] : 0) : turn->z[l];
        }
    }
}

/* What lane l does next, its pose and the step from there being known. A step whose second variation has a
 * pivot that is not above zero is not taken: the next is found without what can make one. Where that step is
 * none, the pose is a saddle. */
static void decide(hairs *h, lane_of *of, int l, int limit) {
    double most = h->most[l], near = h->near[l];
    bool unsure = near > 0 && h->firm[l] == 0;
    h->steps[l] = 0;
    if (of->state == IDLE) return;
    if (of->state == TAKEN) {
        of->state = FRESH;
        return;
    }
    if (++of->rounds >= limit) of->state = LAST, of->stuck = true;
    if (h->better[l] == 0) {
        h->share[l] *= SHORTER;
        h->near[l] = 0;
        if (h->share[l] < .05 && h->plain[l] == 0)
            h->plain[l] = 1, h->share[l] = 0;
        else if (h->share[l] < SHORTEST)
            of->state = LAST, h->share[l] = 0, of->stuck = true;
        return;
    }
    h->steps[l] = !unsure;
    h->plain[l] = h->plain[l] > 0 && h->share[l] == 0;
    h->near[l] = unsure                     ? (near > .2 ? .6 * near : 0)
                 : most >= NEAR             ? 0
                 : of->unsure && most > .01 ? fmin(1, 1.3 * near + .1)
                                            : 1;
    h->share[l] = unsure ? 0 : most > STRIDE ? STRIDE / most : 1;
    if (of->state == LAST) return;
    of->state = GOING;
    if (near >= 1 && !unsure && most < RESTED) of->state = LAST;
    of->push = unsure && of->still && of->pushes++ < PUSHES;
    of->still = !unsure && most < RESTED;
    of->unsure |= unsure;
}

void RODS_SOME(const rods_job *job, int first, int past) {
    hairs own, *h = &own;
    lane_of of[LANES];
    h->nodes = job->nodes;
    h->crowded = job->room != NULL;
    memset(h->began, 0, sizeof h->began);
    memset(h->lift, 0, sizeof h->lift);
    memset(h->crowd, 0, sizeof h->crowd);
    int next = first, going = 0;
    for (int l = 0; l < LANES; l++) {
        idle(h, &of[l], l);
        if (next < past) take(h, &of[l], job, l, next++), going++;
    }
    for (int i = 0; i < NODES; i++) memset(&h->turn[i], 0, sizeof h->turn[i]);
    memset(h->fresh, 0, sizeof h->fresh);
    while (going > 0) {
        pose(h, job->ground);
        for (int l = 0; l < LANES; l++) {
            if (of[l].state != LAST) continue;
            put(h, &of[l], job, l);
            going--;
            idle(h, &of[l], l);
            if (next < past) take(h, &of[l], job, l, next++), going++;
        }
        for (int l = 0; l < LANES; l++) h->better[l] = fell(h, &of[l], l);
        take_hold(h);
        step(h);
        for (int l = 0; l < LANES; l++) decide(h, &of[l], l, job->iterations);
        keep(h);
        for (int l = 0; l < LANES; l++)
            if (of[l].state == GOING && of[l].push) push(h, l);
        go(h);
    }
}
