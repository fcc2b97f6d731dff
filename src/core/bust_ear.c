/* The ear, in millimetres from the tragion, a man's mean length of 64 mm (ANSUR II); bust.h. */
#include "bust.h"

/* Its outline: radii round the middle of the shell, every 30 degrees from the back over the top. */
static const double outline[12] = {18.5, 21, 26.5, 30, 27.5, 20, 15, 15, 20.5, 31, 27.5, 19.5};

static double rim(double u, double v) {
    double r = sqrt(u * u + v * v), a = atan2(v, u) * (6 / LW_PI);
    if (a < 0) a += 12;
    int i = (int)a % 12;
    double t = a - (int)a, w = 1 - t;
    double b[4] = {w * w * w / 6, (4 - 6 * t * t + 3 * t * t * t) / 6, (4 - 6 * w * w + 3 * w * w * w) / 6,
                   t * t * t / 6};
    double d[4] = {-w * w / 2, (-4 * t + 3 * t * t) / 2, (4 * w - 3 * w * w) / 2, t * t / 2};
    double R = 0, turn = 0;
    for (int k = 0; k < 4; k++) {
        R += b[k] * outline[(i + k + 11) % 12];
        turn += d[k] * outline[(i + k + 11) % 12];
    }
    turn *= 6 / LW_PI / fmax(r, 8);
    return (r - R) / sqrt(1 + turn * turn);
}

static double antihelix(lw_vec3 e) {
    static const struct {
        double u, v, n, r;
    } k[] = {{8, -15, 2.6, 2.2}, {14, -14.5, 3, 2.5}, {19.5, -11, 3.6, 2.7}, {23, -5, 4.2, 2.9},
             {24, 2, 4.5, 3},    {22.5, 9, 4.5, 3},   {19, 15, 4.1, 2.6},    {15.5, 22, 3.4, 1.6}};
    double f = bust_rod(e, v3(22, 10, 4.4), v3(8, 13.5, 1.4), 2.8, 1.4);
    for (int i = 0; i < 7; i++)
        f = fmin(f, bust_rod(e, v3(k[i].u, k[i].v, k[i].n), v3(k[i + 1].u, k[i + 1].v, k[i + 1].n), k[i].r,
                             k[i + 1].r));
    return f;
}

double bust_ear(lw_vec3 q) {
    q = v3(q.x / 1.075, (q.y - 2.6) / 1.075, q.z / 1.075);
    const double lean_c = .966, lean_s = .259, flare_c = .927, flare_s = .375;
    double v = lean_c * q.y - lean_s * q.z, back = -lean_s * q.y - lean_c * q.z;
    double u = flare_c * back + flare_s * q.x, n = flare_c * q.x - flare_s * back;
    lw_vec3 e = v3(u, v, n);
    double edge = rim(u - 15, v - 1.5);
    double bowl = 1 - ((u - 12) * (u - 12) + v * v * .7) / 200;
    double mid = 2.5 - 5 * fmax(0, bowl) * fmax(0, bowl) + .004 * (v * v);
    double upper = bust_step(-22, -6, v), fore = (1 - bust_step(0, 9, u)) * (1 - bust_step(4, 13, v));
    double thick = 3.1 * (.3 + .7 * upper) * (1 - .8 * fore);
    mid -= 3.5 * fore;
    double plate = bust_meet(fabs(n - mid) - 1.7 - .8 * (1 - upper), edge, 2.5);
    double helix = sqrt((edge + 3) * (edge + 3) + (n - mid - 1.6) * (n - mid - 1.6)) - thick;
    double f = bust_join(plate, helix, 1.5);
    f = bust_join(f, antihelix(e), 2.5);
    double root = bust_egg(e, v3(11.5, 2, -5.5), v3(14.5, 22, 9));
    f = bust_join(f, root, 8);
    double concha = bust_egg(e, v3(12.5, -1.5, 4), v3(8.5, 10.5, 8));
    f = bust_carve(f, concha, 2);
    double crus = fmin(bust_rod(e, v3(13.5, -1, -5), v3(4, 5, -1.2), 2.2, 3),
                       bust_rod(e, v3(4, 5, -1.2), v3(-.5, 13, 2.5), 3, 2.8));
    f = bust_join(f, crus, 4);
    double tragus = bust_egg(e, v3(3.2, -3.5, 1), v3(4, 5.5, 3.8));
    f = bust_join(f, tragus, 3);
    double lobe = bust_egg(e, v3(13, -21.5, 2.5), v3(6.5, 7.5, 3));
    return 1.075 * bust_join(f, lobe, 4);
}
