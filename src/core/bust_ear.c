/* The ear: a thin shell with an egg-shaped outline, a rolled rim (helix), a forked inner ridge (antihelix), a
 * hollow (concha) with the rim's root running into it, a tragus before it and a lobe; behind, the root that
 * holds it to the head. In millimetres from the tragion, a man's mean length of 64 (ANSUR II); the
 * proportions of its parts are from memory. */
#include "bust.h"

#define SIZE 1.075    /* the drawing below is that much too small */
#define RISE 2.6      /* and that much too low */
#define TILT_COS .966 /* its top leans back 15 degrees */
#define TILT_SIN .259
#define FLARE_COS .946 /* its back stands off the head by 19 degrees */
#define FLARE_SIN .325
#define MIDDLE 15 /* of the outline, behind the tragion */

/* The outline: radii round the middle of the shell, every 30 degrees from the back over the top. */
static const double outline[12] = {18.5, 21, 26.5, 30, 27.5, 20, 15, 15, 20.5, 31, 27.5, 19.5};

/* Distance outside the outline, in the shell's plane. */
static double outside(double u, double v) {
    double r = sqrt(u * u + v * v), a = arc_tangent(v, u) * (6 / LW_PI), w[4], d[4], edge = 0, turn = 0;
    if (a < 0) a += 12;
    int i = (int)a;
    bust_knots(a - i, w, d);
    for (int k = 0; k < 4; k++) {
        edge += w[k] * outline[(i + k + 11) % 12];
        turn += d[k] * outline[(i + k + 11) % 12];
    }
    turn *= 6 / LW_PI / fmax(r, 8);
    return (r - edge) / sqrt(1 + turn * turn);
}

/* Shell and helix. e.x points back along the shell, e.y up, e.z out. */
static double shell(lw_vec3 e) {
    double u = e.x, v = e.y, edge = outside(u - MIDDLE, v - 1.5);
    double upper = bust_step(-22, -6, v), fore = (1 - bust_step(0, 9, u)) * (1 - bust_step(4, 13, v));
    double bowl = fmax(0, 1 - ((u - 12) * (u - 12) + v * v * .7) / 200);
    double out = e.z - (2.5 - 5 * bowl * bowl + (v > 0 ? .004 : -.001) * v * v - 3.5 * fore);
    double plate = bust_meet(fabs(out) - 2.5 + .8 * upper, edge, 2.5);
    double thick = 3.1 * (.3 + .7 * upper) * (1 - .8 * fore); /* the rim fades into lobe and cheek */
    double helix = sqrt((edge + 3) * (edge + 3) + (out - 1.6) * (out - 1.6)) - thick;
    return bust_join(plate, helix, 1.5);
}

/* The antihelix: an arc behind the concha that forks into two legs. */
static double antihelix(lw_vec3 e) {
    double u = e.x - 9.2, v = e.y + .3, turn = fmin(fmax(arc_tangent(v, u), -1.66), .66),
           along = (turn + 1.66) / 2.32;
    lw_vec3 at = v3(9.2 + 15 * cosine(turn), -.3 + 15 * sine(turn), 2.4 + 2.2 * along);
    double arc = v3_norm(v3_sub(e, at)) - (2 + along);
    double upper = bust_rod(e, v3(21.1, 8.9, 4.6), v3(15, 22, 3.4), 3, 1.6);
    double lower = bust_rod(e, v3(21.1, 8.9, 4.6), v3(8, 13.5, 1.4), 2.8, 1.3);
    return bust_join(fmin(arc, upper), lower, 1.5);
}

static double concha(lw_vec3 e, double f) {
    f = bust_carve(f, bust_egg(e, v3(12.5, -1.5, 4), v3(8.5, 10.5, 8)), 2);
    double crus = fmin(bust_rod(e, v3(13.5, -1, -5), v3(4, 5, -1.2), 2.2, 3),
                       bust_rod(e, v3(4, 5, -1.2), v3(-.5, 13, 2.5), 3, 2.8));
    f = bust_join(f, crus, 4);
    return bust_join(f, bust_egg(e, v3(3.2, -3.5, 1), v3(4, 5.5, 3.8)), 3); /* tragus */
}

double bust_ear(lw_vec3 q) {
    q = v3(q.x / SIZE, (q.y - RISE) / SIZE, q.z / SIZE);
    double up = TILT_COS * q.y - TILT_SIN * q.z, back = -TILT_SIN * q.y - TILT_COS * q.z;
    lw_vec3 e = v3(FLARE_COS * back + FLARE_SIN * q.x, up, FLARE_COS * q.x - FLARE_SIN * back);
    double f = bust_join(shell(e), antihelix(e), 2.5);
    f = bust_join(f, bust_egg(e, v3(11.5, 3, -5.5), v3(14.5, 24, 9)), 8); /* root */
    f = concha(e, f);
    return SIZE * bust_join(f, bust_egg(e, v3(14.5, -20.5, 1.6), v3(6, 7, 3)), 4); /* lobe */
}
