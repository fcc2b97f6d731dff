/* Taut paths of many hairs at once.
 *
 * Most hair is held clear of the head: its path is straight, which a few samples and their slopes prove. Of
 * the rest nearly all runs once over a convex stretch and leaves it tangent; some first crosses the hollow in
 * which it is rooted, straight, and lands on that stretch tangent. Such a path is a chain of nodes
 * in half-planes of a fan about the star centre, spread from the root, or the place of landing, to the place
 * of leaving. Nodes slide sideways (the discrete equation of a geodesic, a tridiagonal system) and the place
 * of leaving moves until the end lies in the tangent plane there, that of landing until the root does, all by
 * Newton's method, together. Length is stationary in all of
 * them, so what is left of the error counts by its square: the last system is solved only for how much
 * shorter the chain would still become. A chord is lengthened to the arc it cuts off, from the turn f of the
 * normals at its ends: the factor 1 + f^2 / 24 + 3 f^4 / 640 is a circle's.
 *
 * LANES hairs at a time go through the same arithmetic, without branches and without libm, so that the
 * compiler can lay hairs side by side in vectors and no hair's bits depend on its neighbours. What does not
 * prove to be such a path (it crosses a hollow, runs far round, has not settled) is left to the reference's
 * method on a coarser chain.
 */
#include "path.h"

#include <stdbool.h>

#ifndef PATH_LENGTHS /* compiled again under another name for wider vectors */
#define PATH_LENGTHS path_lengths_narrow
#define PATH_STRAIGHT path_straight_narrow
#define PATH_NODES path_nodes_narrow
#else
#define PATH_STRAIGHT path_straight_wide
#define PATH_NODES path_nodes_wide
#endif

#define LANES PATH_LANES
#define EACH_LANE _Pragma("omp simd") for (int l = 0; l < LANES; l++)
#define NODES 7    /* after the root; the last is where the path leaves */
#define ROUNDS 4   /* of Newton's method; twice as many where the path lands */
#define SCOUTS 4   /* looks for the place of leaving */
#define LEAST 1e-5 /* tan of a quarter of the angle from the root to the place of leaving */
#define MOST 0.999 /* the same over that to the end */
#define LANDED 0.9 /* the most of the angle to the place of leaving that there may be to that of landing */
/* Radians by which the normals may close over hollows, whose chords the path follows: what it would save by
 * leaving the surface before them is less than 5e-5 m. Counted on the nape: .03 mm at .16, .1 mm at .29. */
#define HOLLOW (-0.16)

typedef double lanes[LANES];
typedef path_vectors vectors;

/* The surface along unit directions u. Apart from the rest so that nothing can alias and compilers vectorise
 * it. */
__attribute__((noinline)) static void ground(const surface *restrict s, const vectors *restrict u,
                                             double *restrict radius, vectors *restrict gradient) {
    for (int l = 0; l < LANES; l++) {
        double gx, gy, gz;
        radius[l] = surface_radius(s, u->x[l], u->y[l], u->z[l], &gx, &gy, &gz);
        gradient->x[l] = gx;
        gradient->y[l] = gy;
        gradient->z[l] = gz;
    }
}

void PATH_NODES(path_nodes *n, const surface *s, lw_vec3 e1, lw_vec3 e2, lw_vec3 e3) {
    vectors *up = &n->up, *turn = &n->turn, *normal = &n->normal, *slide = &n->slide, gradient;
    EACH_LANE {
        double w = n->slope[l], iw = 1 / sqrt(1 + w * w), iw3 = iw * iw * iw;
        double a = n->cos[l] * iw, b = n->sin[l] * iw, c = w * iw;
        up->x[l] = a * e1.x + b * e2.x + c * e3.x;
        up->y[l] = a * e1.y + b * e2.y + c * e3.y;
        up->z[l] = a * e1.z + b * e2.z + c * e3.z;
        a = -w * n->cos[l] * iw3, b = -w * n->sin[l] * iw3, c = iw3;
        turn->x[l] = a * e1.x + b * e2.x + c * e3.x;
        turn->y[l] = a * e1.y + b * e2.y + c * e3.y;
        turn->z[l] = a * e1.z + b * e2.z + c * e3.z;
    }
    ground(s, up, n->radius, &gradient);
    EACH_LANE {
        double r = n->radius[l], ir = 1 / r, out = r + n->height[l];
        double gx = gradient.x[l], gy = gradient.y[l], gz = gradient.z[l];
        double mx = up->x[l] - gx * ir, my = up->y[l] - gy * ir, mz = up->z[l] - gz * ir;
        double im = 1 / sqrt(mx * mx + my * my + mz * mz);
        double gain = gx * turn->x[l] + gy * turn->y[l] + gz * turn->z[l];
        normal->x[l] = mx * im;
        normal->y[l] = my * im;
        normal->z[l] = mz * im;
        slide->x[l] = gain * up->x[l] + out * turn->x[l];
        slide->y[l] = gain * up->y[l] + out * turn->y[l];
        slide->z[l] = gain * up->z[l] + out * turn->z[l];
    }
}

typedef struct group {
    vectors root, normal, end; /* root and end from the star centre */
} group;

/* How far the way from root to end stays above the surface, and whether the end is inside. */
typedef struct sight {
    lanes straight; /* length */
    lanes least;    /* lower bound of the height above the surface */
    lanes deep;     /* of the end below the surface */
} sight;

/* Metres from the root, as far as REACH or the end, at which the way is looked at, and the end itself.
 * Between two looks the height above a convex stretch stays over both its tangents. */
static void look(const surface *s, const group *g, sight *out) {
    static const double at[] = {0.12, 0.4, 1, 1};
    const double reach = 0.16;
    const int looks = sizeof at / sizeof *at;
    lanes dx, dy, dz, before, height, slope, now, r, radius;
    vectors u, gradient;
    EACH_LANE {
        double x = g->end.x[l] - g->root.x[l], y = g->end.y[l] - g->root.y[l], z = g->end.z[l] - g->root.z[l];
        double d = sqrt(x * x + y * y + z * z), id = d > 0 ? 1 / d : 0;
        dx[l] = x * id;
        dy[l] = y * id;
        dz[l] = z * id;
        out->straight[l] = d;
        before[l] = height[l] = 0;
        slope[l] = dx[l] * g->normal.x[l] + dy[l] * g->normal.y[l] + dz[l] * g->normal.z[l];
        out->least[l] = slope[l] < 0 ? -1 : 0;
    }
    for (int k = 0; k < looks; k++) {
        EACH_LANE {
            double d = out->straight[l], far = k + 1 < looks && d > reach ? reach : d, t = far * at[k];
            double x = g->root.x[l] + t * dx[l], y = g->root.y[l] + t * dy[l], z = g->root.z[l] + t * dz[l];
            double ir = 1 / (r[l] = sqrt(x * x + y * y + z * z));
            now[l] = t;
            u.x[l] = x * ir, u.y[l] = y * ir, u.z[l] = z * ir;
        }
        ground(s, &u, radius, &gradient);
        EACH_LANE {
            double t = now[l], h = r[l] - radius[l], ir = 1 / r[l];
            double gx = gradient.x[l], gy = gradient.y[l], gz = gradient.z[l];
            double rise =
                (u.x[l] - gx * ir) * dx[l] + (u.y[l] - gy * ir) * dy[l] + (u.z[l] - gz * ir) * dz[l];
            double fall = slope[l] < 0 ? -slope[l] : 0, climb = rise > 0 ? rise : 0;
            double turn = fall + climb, low = height[l] < h ? height[l] : h;
            double meet =
                (height[l] * climb + h * fall - fall * climb * (t - before[l])) / (turn > 0 ? turn : 1);
            double least = fall > 0 && climb > 0 ? meet : low;
            out->least[l] = least < out->least[l] ? least : out->least[l];
            out->deep[l] = -h / sqrt(1 + (gx * gx + gy * gy + gz * gz) / (radius[l] * radius[l]));
            before[l] = t;
            height[l] = h;
            slope[l] = rise;
        }
    }
}

typedef struct chain {
    vectors e1, e2, e3;
    lanes turn;  /* tan of a quarter of the angle from root to end */
    lanes leave; /* the same of the angle to the place of leaving */
    lanes land;  /* and to that of landing; 0: nowhere, it touches from the root on */
    bool lands;
    lanes slope[NODES + 1];
    vectors position[NODES + 2], normal[NODES + 1], slide[NODES + 1]; /* 0 is the root, NODES + 1 the end */
    lanes factor[NODES + 1], next[NODES + 1], step[NODES + 1];        /* of the tridiagonal system */
    lanes facing;   /* sine of the angle at which the path leaves the tangent plane */
    lanes arriving; /* and of that at which it meets the one where it lands */
    lanes rising;   /* of the angle at which it leaves the one at the root */
    lanes shorter;  /* by how much sliding would still shorten the chain */
    lanes firm;     /* least pivot, relative */
    lanes length, hollow;
} chain;

/* tan of half the angle whose tan is t. */
static inline double half_tan(double t) { return t / (1 + sqrt(1 + t * t)); }

static void open_fan(const group *g, chain *c) {
    EACH_LANE {
        double ax = g->root.x[l], ay = g->root.y[l], az = g->root.z[l];
        double bx = g->end.x[l], by = g->end.y[l], bz = g->end.z[l];
        double a = sqrt(ax * ax + ay * ay + az * az), b = sqrt(bx * bx + by * by + bz * bz), ia = 1 / a;
        double cx = ay * bz - az * by, cy = az * bx - ax * bz, cz = ax * by - ay * bx;
        double cross = sqrt(cx * cx + cy * cy + cz * cz), dot = ax * bx + ay * by + az * bz;
        double ic = 1 / (cross > 1e-12 ? cross : 1e-12), open = a * b + dot;
        ax *= ia, ay *= ia, az *= ia, cx *= ic, cy *= ic, cz *= ic;
        c->e1.x[l] = ax, c->e1.y[l] = ay, c->e1.z[l] = az;
        c->e2.x[l] = cy * az - cz * ay, c->e2.y[l] = cz * ax - cx * az, c->e2.z[l] = cx * ay - cy * ax;
        c->e3.x[l] = cx, c->e3.y[l] = cy, c->e3.z[l] = cz;
        c->turn[l] = half_tan(cross / (open > 1e-9 ? open : 1e-9));
    }
    c->position[0] = g->root;
    c->position[NODES + 1] = g->end;
    c->normal[0] = g->normal;
    for (int k = 0; k <= NODES; k++) EACH_LANE c->slope[k][l] = 0;
}

/* Puts node k on the surface at its slope, in the half-plane that is `part` of the way from the place of
 * landing to that of leaving. */
static void place(const surface *s, chain *c, int k, double part) {
    vectors *position = &c->position[k], *normal = &c->normal[k], *slide = &c->slide[k], u, v, gradient;
    lanes radius;
    EACH_LANE {
        double t = c->land[l] + (c->leave[l] - c->land[l]) * part, t2 = t * t, it = 1 / (1 + t2),
               w = c->slope[k][l];
        double ch = (1 - t2) * it, sh = 2 * t * it, co = ch * ch - sh * sh, si = 2 * sh * ch;
        double iw = 1 / sqrt(1 + w * w), aside = w * iw;
        u.x[l] = (co * c->e1.x[l] + si * c->e2.x[l] + w * c->e3.x[l]) * iw;
        u.y[l] = (co * c->e1.y[l] + si * c->e2.y[l] + w * c->e3.y[l]) * iw;
        u.z[l] = (co * c->e1.z[l] + si * c->e2.z[l] + w * c->e3.z[l]) * iw;
        v.x[l] = (c->e3.x[l] - aside * u.x[l]) * iw;
        v.y[l] = (c->e3.y[l] - aside * u.y[l]) * iw;
        v.z[l] = (c->e3.z[l] - aside * u.z[l]) * iw;
    }
    ground(s, &u, radius, &gradient);
    EACH_LANE {
        double r = radius[l], ir = 1 / r, gx = gradient.x[l], gy = gradient.y[l], gz = gradient.z[l];
        double gain = gx * v.x[l] + gy * v.y[l] + gz * v.z[l];
        double mx = u.x[l] - gx * ir, my = u.y[l] - gy * ir, mz = u.z[l] - gz * ir;
        double im = 1 / sqrt(mx * mx + my * my + mz * mz);
        position->x[l] = r * u.x[l];
        position->y[l] = r * u.y[l];
        position->z[l] = r * u.z[l];
        slide->x[l] = gain * u.x[l] + r * v.x[l];
        slide->y[l] = gain * u.y[l] + r * v.y[l];
        slide->z[l] = gain * u.z[l] + r * v.z[l];
        normal->x[l] = mx * im;
        normal->y[l] = my * im;
        normal->z[l] = mz * im;
    }
}

/* Where the path lands and leaves, in the plane of the fan: at the last of SCOUTS points on the way whose
 * tangent plane the root lies above, and from the last of them whose tangent plane the end lies below, and
 * the end's height above the surface, as on a circle. */
static void guess(const surface *s, const group *g, chain *c) {
    lanes below, at, met;
    EACH_LANE {
        double dx = g->end.x[l] - g->root.x[l], dy = g->end.y[l] - g->root.y[l],
               dz = g->end.z[l] - g->root.z[l];
        below[l] = dx * g->normal.x[l] + dy * g->normal.y[l] + dz * g->normal.z[l];
        at[l] = met[l] = 0;
        c->leave[l] = c->turn[l];
        c->land[l] = 0;
    }
    for (int k = 1; k <= SCOUTS; k++) {
        double part = (double)k / SCOUTS;
        place(s, c, 1, part);
        const vectors *x = &c->position[1], *n = &c->normal[1];
        EACH_LANE {
            double h = (g->end.x[l] - x->x[l]) * n->x[l] + (g->end.y[l] - x->y[l]) * n->y[l] +
                       (g->end.z[l] - x->z[l]) * n->z[l];
            double seen = (g->root.x[l] - x->x[l]) * n->x[l] + (g->root.y[l] - x->y[l]) * n->y[l] +
                          (g->root.z[l] - x->z[l]) * n->z[l];
            met[l] = seen > 0 ? part : met[l];
            if (k < SCOUTS) {
                at[l] = h < 0 ? part : at[l];
                below[l] = h < 0 ? h : below[l];
            } else {
                double above = h > 0 ? h : 0, all = above - (below[l] < 0 ? below[l] : 0) + 1e-12;
                double leave = c->turn[l] * (1 - (1 - at[l]) * sqrt(above / all)), most = MOST * c->turn[l];
                leave = leave > LEAST ? leave : LEAST;
                c->leave[l] = leave < most ? leave : most;
            }
        }
    }
    if (!c->lands) return;
    EACH_LANE {
        double land = c->turn[l] * met[l], most = LANDED * c->leave[l];
        c->land[l] = land < LEAST ? LEAST : land < most ? land : most;
    }
}

/* Eliminates the system for sliding along the chain, and takes the chain's length on the way. */
static void feel(chain *c) {
    lanes tx, ty, tz, il;
    EACH_LANE {
        tx[l] = ty[l] = tz[l] = il[l] = 0;
        c->shorter[l] = c->length[l] = c->hollow[l] = 0;
        c->firm[l] = 1;
    }
    for (int k = 0; k <= NODES; k++) {
        const vectors *a = &c->position[k], *b = &c->position[k + 1], *slide = &c->slide[k];
        const vectors *further = &c->slide[k < NODES ? k + 1 : 0];
        const vectors *na = &c->normal[k], *nb = &c->normal[k < NODES ? k + 1 : k];
        EACH_LANE {
            double dx = b->x[l] - a->x[l], dy = b->y[l] - a->y[l], dz = b->z[l] - a->z[l];
            double d = sqrt(dx * dx + dy * dy + dz * dz + 1e-30), jl = 1 / d;
            double sx = dx * jl, sy = dy * jl, sz = dz * jl;
            double f = sx * (nb->x[l] - na->x[l]) + sy * (nb->y[l] - na->y[l]) + sz * (nb->z[l] - na->z[l]);
            double q = f * f;
            bool straight = c->lands && k == 0;
            c->length[l] += f < 0 || straight ? d : d * (1 + q * (1.0 / 24) + q * q * (3.0 / 640));
            c->hollow[l] += f < 0 && !straight ? f : 0;
            if (k == 0) {
                c->arriving[l] = sx * nb->x[l] + sy * nb->y[l] + sz * nb->z[l];
                c->rising[l] = sx * na->x[l] + sy * na->y[l] + sz * na->z[l];
            }
            if (k > 0) {
                double vx = slide->x[l], vy = slide->y[l], vz = slide->z[l], v2 = vx * vx + vy * vy + vz * vz;
                double px = tx[l] - sx, py = ty[l] - sy, pz = tz[l] - sz; /* the pull on the node */
                double vt = vx * tx[l] + vy * ty[l] + vz * tz[l], vs = vx * sx + vy * sy + vz * sz;
                double r2 = a->x[l] * a->x[l] + a->y[l] * a->y[l] + a->z[l] * a->z[l];
                /* the surface falls away sideways, about as a sphere does */
                double press = px * na->x[l] + py * na->y[l] + pz * na->z[l];
                double own = (v2 - vt * vt) * il[l] + (v2 - vs * vs) * jl - press * sqrt(r2);
                double wx = further->x[l], wy = further->y[l], wz = further->z[l];
                double next = (vs * (wx * sx + wy * sy + wz * sz) - (vx * wx + vy * wy + vz * wz)) * jl;
                double held = k > 1 ? c->next[k - 1][l] * c->factor[k - 1][l] : 0;
                double pivot = own - (k > 1 ? held * c->next[k - 1][l] : 0), scale = v2 * (il[l] + jl);
                double right = vs - vt - (k > 1 ? held * c->step[k - 1][l] : 0), firm = pivot / scale;
                c->firm[l] = firm < c->firm[l] ? firm : c->firm[l];
                double factor = 1 / (firm > 1e-2 ? pivot : 1e-2 * scale);
                c->factor[k][l] = factor;
                c->next[k][l] = next;
                c->step[k][l] = right;
                c->shorter[l] += 0.5 * right * right * factor;
            }
            tx[l] = sx, ty[l] = sy, tz[l] = sz, il[l] = jl;
        }
    }
    const vectors *n = &c->normal[NODES];
    EACH_LANE c->facing[l] = tx[l] * n->x[l] + ty[l] * n->y[l] + tz[l] * n->z[l];
}

/* Moves the place of landing. */
static void land(chain *c) {
    const vectors *n = &c->normal[1], *m = &c->normal[2], *x = &c->position[1], *root = &c->position[0];
    EACH_LANE {
        double dx = x->x[l] - root->x[l], dy = x->y[l] - root->y[l], dz = x->z[l] - root->z[l];
        double id = 1 / sqrt(dx * dx + dy * dy + dz * dz + 1e-30);
        double turn = (dx * (m->x[l] - n->x[l]) + dy * (m->y[l] - n->y[l]) + dz * (m->z[l] - n->z[l])) * id;
        double was = c->land[l], rate = turn * (NODES - 1) / (c->leave[l] - was);
        double to = was - c->arriving[l] / (rate > 0.2 ? rate : 0.2);
        double least = 0.3 * was, most = was + 0.5 * (c->leave[l] - was);
        to = to < least ? least : to > most ? most : to;
        most = LANDED * c->leave[l];
        to = to > LEAST ? to : LEAST;
        c->land[l] = to < most ? to : most;
    }
}

/* Slides the nodes, and moves the places of leaving and landing. */
static void improve(chain *c) {
    const vectors *n = &c->normal[NODES], *m = &c->normal[NODES - 1], *x = &c->position[NODES];
    EACH_LANE {
        double dx = c->position[NODES + 1].x[l] - x->x[l], dy = c->position[NODES + 1].y[l] - x->y[l],
               dz = c->position[NODES + 1].z[l] - x->z[l];
        double id = 1 / sqrt(dx * dx + dy * dy + dz * dz + 1e-30);
        double turn = (dx * (n->x[l] - m->x[l]) + dy * (n->y[l] - m->y[l]) + dz * (n->z[l] - m->z[l])) * id;
        double was = c->leave[l], rate = turn * (c->lands ? NODES - 1 : NODES) / (was - c->land[l]);
        double leave = was - c->facing[l] / (rate > 0.2 ? rate : 0.2);
        double least = 0.3 * was, most = c->turn[l] - 0.3 * (c->turn[l] - was);
        leave = leave < least ? least : leave > most ? most : leave;
        most = MOST * c->turn[l];
        leave = leave > LEAST ? leave : LEAST;
        c->leave[l] = leave < most ? leave : most;
    }
    if (c->lands) land(c);
    for (int k = NODES; k >= 1; k--) {
        EACH_LANE {
            double right = c->step[k][l];
            if (k < NODES) right -= c->next[k][l] * c->step[k + 1][l];
            c->step[k][l] = right * c->factor[k][l];
            c->slope[k][l] += c->step[k][l];
        }
    }
}

/* Lower bound of the height of a straight part above the surface. */
static void look_along(const surface *s, const vectors *from, const vectors *to, lanes least) {
    vectors u, gradient;
    lanes r, radius;
    EACH_LANE least[l] = 0;
    for (int k = 1; k <= 3; k++) {
        EACH_LANE {
            double dx = to->x[l] - from->x[l], dy = to->y[l] - from->y[l], dz = to->z[l] - from->z[l];
            double d = sqrt(dx * dx + dy * dy + dz * dz), t = (d < 0.16 ? 1 : 0.16 / d) * 0.25 * k;
            double x = from->x[l] + t * dx, y = from->y[l] + t * dy, z = from->z[l] + t * dz;
            double ir = 1 / (r[l] = sqrt(x * x + y * y + z * z));
            u.x[l] = x * ir, u.y[l] = y * ir, u.z[l] = z * ir;
        }
        ground(s, &u, radius, &gradient);
        EACH_LANE {
            double h = r[l] - radius[l];
            least[l] = h < least[l] ? h : least[l];
        }
    }
}

/* Lengths over one convex stretch, after landing on it or from the root on, and whether each is such a path
 * (1 or 0). */
static void wrap(const surface *s, const group *g, bool lands, lanes length, lanes sure) {
    chain c;
    lanes least, before, low;
    int rounds = lands ? 2 * ROUNDS : ROUNDS;
    c.lands = lands;
    open_fan(g, &c);
    guess(s, g, &c);
    for (int round = 0; round <= rounds; round++) {
        if (round > 0) improve(&c);
        for (int k = 1; k <= NODES; k++) place(s, &c, k, lands ? (k - 1.) / (NODES - 1) : (double)k / NODES);
        feel(&c);
    }
    look_along(s, &c.position[NODES], &c.position[NODES + 1], least);
    if (lands) look_along(s, &c.position[0], &c.position[1], before);
    EACH_LANE low[l] = 1;
    for (int k = 0; k <= NODES; k++) {
        const vectors *x = &c.position[k];
        EACH_LANE {
            double y = x->y[l] / sqrt(x->x[l] * x->x[l] + x->y[l] * x->y[l] + x->z[l] * x->z[l]);
            low[l] = y < low[l] ? y : low[l];
        }
    }
    const double far = 0.7602, wide = 0.4816; /* tan of a quarter of PATH_OPPOSITE and of PATH_WIDE */
    EACH_LANE {
        const vectors *x = &c.position[NODES];
        double dx = g->end.x[l] - x->x[l], dy = g->end.y[l] - x->y[l], dz = g->end.z[l] - x->z[l];
        double touching = c.length[l] - sqrt(dx * dx + dy * dy + dz * dz);
        const vectors *y = &c.position[1];
        double ux = y->x[l] - g->root.x[l], uy = y->y[l] - g->root.y[l], uz = y->z[l] - g->root.z[l];
        if (lands) touching -= sqrt(ux * ux + uy * uy + uz * uz);
        length[l] = c.length[l] - c.shorter[l];
        double facing = c.facing[l] < 0 ? -c.facing[l] : c.facing[l];
        double arriving = !lands ? 0 : c.arriving[l] < 0 ? -c.arriving[l] : c.arriving[l];
        bool settled =
            facing < 0.03 && arriving < 0.06 && c.shorter[l] < 4e-6 && c.firm[l] > (lands ? 0.01 : 0.05);
        bool plain = c.hollow[l] > HOLLOW && least[l] > -2e-5 &&
                     (!lands || (before[l] > -2e-5 && c.rising[l] > -0.01));
        double ax = g->root.x[l], az = g->root.z[l], bx = g->end.x[l], bz = g->end.z[l];
        bool round = ax * bx + az * bz < PATH_ROUND * sqrt((ax * ax + az * az) * (bx * bx + bz * bz));
        bool neck = s->foot > 0 && low[l] < PATH_LOW && round;
        double rx = g->root.x[l], ex = g->end.x[l];
        double beside = (rx < 0 ? -rx : rx) + (ex < 0 ? -ex : ex);
        bool one_side = s->foot > 0 && rx * ex > 0 && beside > PATH_BESIDE;
        bool near = (c.turn[l] < far && c.leave[l] < wide && touching < PATH_LONG) || one_side;
        near = near && !(neck && (lands || touching > PATH_LONG_LOW));
        sure[l] = settled && plain && near ? 1 : 0;
    }
}

/* The LANES hairs of those numbers. */
static void gather(group *g, const surface *s, const int *hair, const double *fx, const double *fy,
                   const double *fz, const double *nx, const double *ny, const double *nz, const double *tx,
                   const double *ty, const double *tz) {
    for (int l = 0; l < LANES; l++) {
        int i = hair[l];
        g->root.x[l] = fx[i] - s->centre.x, g->root.y[l] = fy[i] - s->centre.y,
        g->root.z[l] = fz[i] - s->centre.z;
        g->normal.x[l] = nx[i], g->normal.y[l] = ny[i], g->normal.z[l] = nz[i];
        g->end.x[l] = tx[i] - s->centre.x, g->end.y[l] = ty[i] - s->centre.y,
        g->end.z[l] = tz[i] - s->centre.z;
    }
}

void PATH_STRAIGHT(const surface *s, int n, const double *fx, const double *fy, const double *fz,
                   const double *nx, const double *ny, const double *nz, const double *tx, const double *ty,
                   const double *tz, double *out) {
    for (int first = 0; first < n; first += LANES) {
        int hair[LANES];
        group g;
        sight seen;
        for (int l = 0; l < LANES; l++) hair[l] = first + l < n ? first + l : n - 1;
        gather(&g, s, hair, fx, fy, fz, nx, ny, nz, tx, ty, tz);
        look(s, &g, &seen);
        for (int l = 0; l < LANES && first + l < n; l++)
            out[first + l] = seen.deep[l] > PATH_INSIDE ? NAN
                             : seen.least[l] >= -1e-6   ? seen.straight[l]
                                                        : PATH_UNSURE;
    }
}

void PATH_LENGTHS(const surface *s, int n, const double *fx, const double *fy, const double *fz,
                  const double *nx, const double *ny, const double *nz, const double *tx, const double *ty,
                  const double *tz, double *out) {
    const surface own = *s;
    PATH_STRAIGHT(&own, n, fx, fy, fz, nx, ny, nz, tx, ty, tz, out);
    for (int lands = 0; lands < 2; lands++)
        for (int i = 0, hair[LANES], count = 0; i < n; i++) {
            if (out[i] == PATH_UNSURE) hair[count++] = i;
            if (count < LANES && (i + 1 < n || count == 0)) continue;
            group g;
            lanes length, sure;
            for (int l = count; l < LANES; l++) hair[l] = hair[0];
            gather(&g, &own, hair, fx, fy, fz, nx, ny, nz, tx, ty, tz);
            wrap(&own, &g, lands, length, sure);
            for (int l = 0; l < count; l++) out[hair[l]] = sure[l] > 0 ? length[l] : PATH_UNSURE;
            count = 0;
        }
}
