/* The face, in millimetres of the mean man's head (bust.h).
 *
 * It is lofted as a hull is from a table of offsets: radii round an upright axis, at levels 10 mm apart and
 * every 10 degrees, smoothed by uniform cubic B-splines; the table holds forehead, cheeks, muzzle and jaw.
 * Under the jaw the loft is cut by a plane. Nose, lips, brow and eyes are solids joined to it with fillets
 * (smooth minimum: A. Ricci, The Computer Journal 16:157, 1973; its polynomial form is common practice).
 * The levels follow the USAF survey of 1967 (glabella, sellion, menton) and the bizygomatic breadth
 * of ANSUR II; all other offsets were drawn from memory of adult proportions. */
#include <stdlib.h>

#include "bust.h"

#define ROWS 20
#define COLUMNS 18
#define TOP 70
#define AXIS 15 /* mm in front of the tragions */

static const double offsets[ROWS][COLUMNS] = {
    {73.2, 73.5, 74.0, 74.2, 73.8, 72.8, 71.8, 71.2, 71.5, 72.8, 75.6, 80.0, 86.2, 93.9, 102.2, 109.3, 113.8,
     115.3}, /* 70 */
    {76.8, 77.0, 77.6, 77.7, 77.1, 75.9, 74.5, 73.5, 73.4, 74.5, 77.1, 81.4, 87.6, 95.3, 103.8, 111.2, 115.9,
     117.6}, /* 60 */
    {80.0, 80.2, 80.6, 80.7, 80.0, 78.3, 77.0, 75.5, 74.8, 75.5, 77.9, 82.0, 88.1, 95.8, 104.3, 111.8, 116.7,
     118.7}, /* 50 */
    {81.1, 81.1, 81.3, 81.0, 79.6, 77.8, 77.0, 75.7, 75.1, 75.7, 78.5, 82.8, 88.6, 95.8, 103.4, 110.1, 115.2,
     118.7}, /* 40 */
    {76.0, 76.6, 78.8, 79.2, 77.4, 75.8, 75.8, 75.4, 75.0, 75.5, 77.9, 82.1, 87.7, 94.5, 101.9, 108.7, 113.8,
     117.7}, /* 30 */
    {70.5, 69.0, 70.5, 73.0, 73.0, 73.4, 74.4, 75.0, 75.0, 75.1, 76.7, 80.7, 86.0, 92.5, 99.5, 106.1, 111.3,
     115.4}, /* 20 */
    {71.0, 68.5, 69.8, 72.6, 73.3, 73.7, 74.2, 74.0, 73.6, 73.8, 75.3, 78.7, 83.5, 89.5, 96.1, 102.3, 107.5,
     111.8}, /* 10 */
    {73.0, 71.0, 72.0, 74.2, 74.6, 74.6, 74.5, 73.8, 73.0, 72.8, 73.4, 75.9, 80.0, 85.4, 91.4, 97.2, 102.2,
     106.5}, /* 0 */
    {76.0, 74.2, 73.4, 73.6, 73.4, 73.3, 73.1, 72.8, 72.2, 71.7, 70.6, 72.2, 75.3, 80.0, 85.3, 90.5, 95.0,
     98.9}, /* -10 */
    {80.0, 77.1, 74.0, 72.2, 71.2, 70.8, 70.8, 70.9, 70.4, 69.4, 67.3, 68.1, 70.2, 74.1, 79.0, 83.8, 87.8,
     91.1}, /* -20 */
    {84.4, 80.7, 75.0, 70.6, 68.6, 67.6, 67.3, 67.6, 67.4, 66.0, 63.5, 60.9, 63.6, 69.0, 74.8, 79.9, 83.8,
     86.3}, /* -30 */
    {85.9, 81.7, 74.4, 68.8, 66.0, 64.2, 63.4, 63.6, 63.8, 62.6, 60.5, 58.5, 62.7, 68.8, 74.8, 80.0, 84.0,
     86.5}, /* -40 */
    {82.0, 78.4, 71.5, 66.2, 62.5, 60.0, 58.6, 58.1, 58.4, 59.1, 58.3, 57.5, 62.9, 69.4, 75.6, 80.8, 84.9,
     87.4}, /* -50 */
    {78.0, 75.5, 69.5, 63.8, 59.8, 57.2, 55.8, 55.3, 55.3, 56.1, 56.7, 57.3, 63.4, 70.2, 76.5, 81.8, 85.9,
     88.5}, /* -60 */
    {77.5, 74.9, 68.0, 61.6, 57.0, 54.4, 52.9, 52.2, 52.5, 53.6, 55.5, 57.4, 64.0, 70.9, 77.3, 82.8, 86.9,
     89.6}, /* -70 */
    {79.0, 75.4, 66.9, 59.8, 55.0, 52.4, 50.7, 50.0, 50.1, 51.1, 53.3, 55.5, 62.5, 69.5, 76.0, 81.5, 85.8,
     88.4}, /* -80 */
    {77.5, 73.4, 64.2, 57.0, 52.1, 49.4, 47.9, 47.3, 47.5, 48.6, 52.0, 55.4, 62.6, 69.8, 76.3, 82.0, 86.3,
     89.0}, /* -90 */
    {74.5, 70.4, 61.3, 54.1, 49.4, 46.7, 45.2, 44.7, 44.9, 46.2, 48.2, 55.0, 62.3, 69.6, 76.3, 82.0, 86.4,
     89.2}, /* -100 */
    {70.5, 66.7, 58.1, 51.3, 46.9, 44.2, 42.8, 42.5, 43.0, 44.6, 47.0, 54.0, 61.5, 68.9, 75.7, 81.5, 86.0,
     88.8}, /* -110 */
    {65.5, 62.2, 54.4, 47.9, 43.9, 41.2, 40.1, 39.9, 40.6, 42.5, 45.0, 52.2, 59.8, 67.4, 74.3, 80.3, 84.8,
     87.7}, /* -120 */
};

/* Weights of the four knots round a place, and their slopes. */
static void knots(double t, double w[4], double d[4]) {
    double u = 1 - t, t2 = t * t, u2 = u * u;
    w[0] = u2 * u / 6;
    w[1] = (4 - 6 * t2 + 3 * t2 * t) / 6;
    w[2] = (4 - 6 * u2 + 3 * u2 * u) / 6;
    w[3] = t2 * t / 6;
    d[0] = -u2 / 2;
    d[1] = (-4 * t + 3 * t2) / 2;
    d[2] = (4 * u - 3 * u2) / 2;
    d[3] = t2 / 2;
}

static int within(int i, int n) { return i < 0 ? 0 : i < n ? i : n - 1; }

static double loft(lw_vec3 q, bust_style style) {
    double z = q.z - AXIS, level = sqrt(q.x * q.x + z * z), around = atan2(q.x, z) * (18 / LW_PI);
    double down = fmin(fmax((TOP - q.y) / 10, 0), ROWS - 1.001);
    int i = (int)down, j = (int)around;
    double wy[4], dy[4], wt[4], dt[4], r = 0, r_down = 0, r_around = 0;
    knots(down - i, wy, dy);
    knots(around - j, wt, dt);
    for (int a = 0; a < 4; a++) {
        const double *row = offsets[within(i + a - 1, ROWS)];
        double v = 0, d = 0;
        for (int b = 0; b < 4; b++) {
            double o = row[within(abs(j + b - 1), COLUMNS)];
            v += wt[b] * o;
            d += dt[b] * o;
        }
        r += wy[a] * v;
        r_down += dy[a] * v;
        r_around += wy[a] * d;
    }
    double slim =
        (.02 + .08 * (1 - style.man)) * bust_step(-15, -75, q.y) * bust_step(0, .6, q.x / fmax(level, 25));
    r *= 1 - slim;
    double across = r_around * (18 / LW_PI) / fmax(level, 25), along = r_down / 10;
    return (level - r) / sqrt(1 + across * across + along * along);
}

static double jaw_plane(lw_vec3 q) { return (-97 - q.y) * .952 - (q.z - 84) * .306; }

/* The bridge: a wedge whose ridge runs from between the brows to the tip, cut off below. */
static double bridge(lw_vec3 q, double small) {
    double down = fmin(27 - q.y, 70), rise = .345 - .025 * small;
    double ridge = 86.8 + rise * down + rise * sqrt(down * down + 64);
    double round = 5.5 + .05 * fmax(down, 0), slope = .46 - .001 * down;
    double across = sqrt(q.x * q.x + round * round) - round;
    double wedge = across * sqrt(1 - slope * slope) + (q.z - ridge) * slope;
    double under = (-22 - q.y) * .94 + (q.z - 107) * .34;
    return bust_meet(bust_meet(wedge, under, 5), q.x - 19, 6);
}

static double nose(lw_vec3 q, double face, bust_style style) {
    double small = 1 - style.man;
    q.x *= 1 + .07 * small;
    double f = bust_join(face, bridge(q, small), 6);
    double tip = bust_egg(q, v3(0, -14.2 + .6 * small, 105.4 - 2 * small), v3(9.2, 8, 10));
    f = bust_join(f, tip, 7);
    double wing = bust_egg(q, v3(11.3, -17.2, 99), v3(6, 6.6, 9.5));
    f = bust_join(f, wing, 5);
    double column = bust_rod(q, v3(0, -19.5, 110), v3(0, -23, 98), 3, 3.4);
    f = bust_join(f, column, 3);
    double hole = bust_egg(bust_pitch(q, v3(5.8, -25.5, 103), -.1), v3(5.8, -25.5, 103), v3(2.4, 5, 5));
    return bust_carve(f, hole, 2);
}

/* Lips are rods bent round the teeth: thickness above and below their own line, and outward. */
static double lip(lw_vec3 q, double y, double z, double above, double below, double out, double width,
                  double bend, double lean) {
    double x = q.x / width, taper = pow(fmax(.01, 1 - x * x), .65), dy = q.y - y + bend * x * x;
    double dz = q.z - z + 19 * x * x + lean * (q.y - y), ry = (dy > 0 ? above : below) * taper;
    double s = sqrt(dy * dy / (ry * ry) + dz * dz / (out * out * taper * taper));
    double g = sqrt(dy * dy / (ry * ry * ry * ry) +
                    dz * dz / (out * out * out * out * taper * taper * taper * taper));
    double d = g > 1e-9 ? s * (s - 1) / g : -above * taper, past = fmax(0, q.x - width);
    return past > 0 ? sqrt(past * past + fmax(d, 0) * fmax(d, 0)) : d;
}

static double mouth(lw_vec3 q, double face, bust_style style) {
    double full = 1 - style.man;
    double soft = sqrt(q.x * q.x + 1) - 1;
    double bow = 1.2 * exp(-(soft - 5) * (soft - 5) / 16) - 0.9 * exp(-soft * soft / 8);
    double middle = exp(-soft * soft / 60);
    double upper = lip(q, -45.6, 97, 6.2 + .5 * full + bow, 3.2 + .7 * middle, 4.7 + .3 * full, 26, .7, .25);
    double lower = lip(q, -52.4, 96.6, 4.6, 6.4 + .6 * full, 5.6 + .3 * full, 24.5, -2.2, -.1);
    double groove = bust_rod(q, v3(0, -28, 103.5), v3(0, -43, 106), 1.5, 3.4);
    double f = bust_carve(face, groove, 4);
    f = bust_join(f, lower, 6);
    return bust_join(f, upper, 4);
}

/* 1 at 0, falling smoothly to 0 at -1 and 1. */
static double bump(double t) {
    double s = 1 - t * t;
    return s > 0 ? s * s : 0;
}

/* The eyebrow, a low arched band. */
static double eyebrow(lw_vec3 q, double face) {
    double u = (q.x - 29) / 22, line = 38.4 - 4 * u * u + 1.6 * u, half = 4.6 - 1.4 * u;
    return q.z > 30 ? face - .9 * bump((q.y - line) / half) * bump(u) : face;
}

/* Ball and lids; the lids are a shell round the ball, slit open. */
static double eye(lw_vec3 q, double face) {
    lw_vec3 c = v3(31.8, 19, 68.2);
    double far = v3_norm(v3_sub(q, c));
    if (far > 40) return face;
    lw_vec3 e = v3(q.x, q.y, q.z + .18 * (q.x - c.x)); /* turned a little outward */
    double ball = bust_egg(e, c, v3(16.6, 14.6, 14.6)), lids = bust_egg(e, c, v3(18.4, 16, 16));
    double t = (q.x - 32) / 13.6, arch = fmax(-1.5, 1 - t * t), line = 17.8 + .04 * (q.x - 32);
    double up = q.y - line - 4.8 * arch, low = line - 3.2 * arch - q.y;
    double open = bust_meet(up, low, 1);
    double f = bust_join(face, lids, 7), floor = f + 1.8;
    f += .7 * bump((up - 4.6) / 2.2) * bump(t / 1.35) * bump(fmin(1, fabs(lids) / 6));
    f = bust_carve(f, open, .8);
    return fmin(f, fmin(ball, floor));
}

double bust_face(lw_vec3 q, bust_style style) {
    double f = loft(q, style);
    if (f > 60) return f;
    f = bust_meet(f, jaw_plane(q), 10);
    lw_vec3 m = v3(0, -15, 95);
    if (v3_norm(v3_sub(q, m)) > 90) return f;
    f = eye(q, eyebrow(q, f));
    f = nose(q, f, style);
    f = mouth(q, f, style);
    double chin = bust_egg(q, v3(0, -81, 80 + style.man), v3(15.5 + 3.5 * style.man, 12, 14.5));
    return bust_join(f, chin, 16);
}
