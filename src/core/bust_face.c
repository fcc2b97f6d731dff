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
    {79.0, 79.3, 79.9, 80.0, 79.3, 77.8, 76.2, 75.0, 74.6, 75.5, 77.9, 82.0, 88.1, 95.8, 104.3, 111.8, 116.7,
     118.7}, /* 50 */
    {80.6, 80.5, 80.2, 78.9, 76.1, 73.1, 71.3, 71.3, 72.8, 75.3, 78.5, 82.8, 88.6, 95.8, 103.4, 110.1, 115.2,
     118.7}, /* 40 */
    {73.0, 71.7, 74.0, 76.5, 74.4, 71.2, 69.8, 70.2, 71.9, 74.6, 77.9, 82.1, 87.7, 94.5, 101.9, 108.7, 113.8,
     117.7}, /* 30 */
    {69.0, 65.2, 67.9, 72.2, 71.0, 68.6, 68.1, 69.3, 71.3, 73.7, 76.7, 80.7, 86.0, 92.5, 99.5, 106.1, 111.3,
     115.4}, /* 20 */
    {71.0, 67.5, 68.9, 72.0, 71.7, 70.7, 70.5, 71.1, 71.7, 73.0, 75.3, 78.7, 83.5, 89.5, 96.1, 102.3, 107.5,
     111.8}, /* 10 */
    {73.0, 71.0, 71.9, 74.2, 73.5, 72.4, 71.8, 72.0, 71.7, 72.1, 73.4, 75.9, 80.0, 85.4, 91.4, 97.2, 102.2,
     106.5}, /* 0 */
    {76.0, 74.2, 73.4, 73.6, 72.4, 70.9, 69.9, 69.9, 69.6, 69.9, 70.6, 72.2, 75.3, 80.0, 85.3, 90.5, 95.0,
     98.9}, /* -10 */
    {80.0, 77.1, 73.8, 71.8, 69.7, 68.1, 67.0, 66.6, 66.6, 67.0, 67.3, 68.1, 70.2, 74.1, 79.0, 83.8, 87.8,
     91.1}, /* -20 */
    {83.0, 79.6, 74.4, 70.4, 67.5, 65.3, 63.9, 63.6, 63.7, 63.1, 61.2, 58.4, 55.5, 52.4, 49.0, 45.5, 42.0,
     38.5}, /* -30 */
    {83.5, 79.8, 73.4, 68.6, 65.0, 62.4, 61.1, 60.6, 61.0, 60.5, 58.8, 56.4, 53.9, 51.0, 47.6, 44.1, 40.6,
     37.1}, /* -40 */
    {82.0, 78.4, 71.5, 66.2, 62.5, 60.0, 58.6, 58.1, 58.4, 59.1, 58.8, 57.0, 54.3, 51.1, 47.7, 44.2, 40.7,
     37.2}, /* -50 */
    {78.0, 75.5, 69.5, 63.8, 59.8, 57.2, 55.8, 55.3, 55.3, 56.1, 56.3, 55.2, 52.6, 49.2, 45.7, 42.2, 38.7,
     35.2}, /* -60 */
    {77.5, 74.9, 68.0, 61.6, 57.0, 54.4, 52.9, 52.2, 52.5, 53.6, 54.5, 54.4, 52.4, 49.2, 45.7, 42.2, 38.7,
     35.2}, /* -70 */
    {79.0, 75.4, 66.9, 59.8, 55.0, 52.4, 50.7, 50.0, 50.1, 51.1, 52.2, 52.4, 51.0, 48.1, 44.7, 41.2, 37.7,
     34.2}, /* -80 */
    {77.5, 73.4, 64.2, 57.0, 52.1, 49.4, 47.9, 47.3, 47.5, 48.6, 49.7, 50.4, 49.7, 47.3, 44.0, 40.5, 37.0,
     33.5}, /* -90 */
    {74.5, 70.4, 61.3, 54.1, 49.4, 46.7, 45.2, 44.7, 44.9, 46.2, 47.9, 49.5, 49.9, 48.2, 45.1, 41.6, 38.1,
     34.6}, /* -100 */
    {70.5, 66.7, 58.1, 51.3, 46.9, 44.2, 42.8, 42.5, 43.0, 44.6, 46.6, 49.0, 50.5, 50.1, 47.7, 44.4, 40.9,
     37.4}, /* -110 */
    {65.5, 62.2, 54.4, 47.9, 43.9, 41.2, 40.1, 39.9, 40.6, 42.5, 44.9, 48.1, 51.2, 52.6, 51.3, 48.3, 44.8,
     41.3}, /* -120 */
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

static double loft(lw_vec3 q) {
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
    double across = r_around * (18 / LW_PI) / fmax(level, 25), along = r_down / 10;
    return (level - r) / sqrt(1 + across * across + along * along);
}

static double jaw_plane(lw_vec3 q) { return (-96 - q.y) * .936 - (q.z - 84) * .352; }

static double nose(lw_vec3 q, double face) {
    double bridge = bust_rod(q, v3(0, 30, 81.5), v3(0, -6, 105), 8, 9);
    double f = bust_join(face, bridge, 9);
    double tip = bust_egg(q, v3(0, -11, 106.5), v3(9.5, 9, 11));
    f = bust_join(f, tip, 8);
    double wing = bust_egg(q, v3(12, -16, 98), v3(6.2, 7.2, 10.5));
    f = bust_join(f, wing, 4);
    double column = bust_rod(q, v3(0, -16.5, 110), v3(0, -24, 98), 3.6, 4);
    f = bust_join(f, column, 5);
    double hole = bust_egg(bust_pitch(q, v3(6.3, -22, 104), -.5), v3(6.3, -22, 104), v3(3, 5, 6));
    return bust_carve(f, hole, 2.5);
}

/* Lips are rods bent round the teeth. */
static double lip(lw_vec3 q, double y, double z, double ry, double rz, double width, double bend) {
    double x = q.x / width, taper = sqrt(fmax(.02, 1 - x * x));
    double cy = y - bend * x * x, cz = z - 14.5 * x * x;
    double dy = (q.y - cy) / (ry * taper), dz = (q.z - cz) / (rz * taper);
    double k = sqrt(dy * dy + dz * dz), past = fmax(0, q.x - width);
    double d = (k - 1) * fmin(ry, rz) * taper;
    return past > 0 ? sqrt(past * past + fmax(d, 0) * fmax(d, 0)) : d;
}

static double mouth(lw_vec3 q, double face) {
    double soft = sqrt(q.x * q.x + 1);
    double bow = 1.3 * exp(-(soft - 5.5) * (soft - 5.5) / 18) - 1.2 * exp(-soft * soft / 10);
    double upper = lip(v3(q.x, q.y - bow, q.z), -44.6, 97.6, 4.6, 6.8, 27, 3.4);
    double lower = lip(q, -53, 95.8, 5.6, 7.2, 25, -1.8);
    double groove = bust_rod(q, v3(0, -27, 104), v3(0, -40, 105.5), 2.5, 3.5);
    double f = bust_carve(face, groove, 3);
    double lips = bust_join(upper, lower, .8);
    f = bust_join(f, lips, 3);
    return f;
}

static double eye(lw_vec3 q, double face) {
    lw_vec3 c = v3(31.8, 19, 69.5);
    double far = v3_norm(v3_sub(q, c));
    if (far > 40) return face;
    double ball = far - 13.6;
    double lids = far - 15;
    double t = (q.x - 32.2) / 14.6, arch = fmax(-1.5, 1 - t * t);
    double tilt = .06 * (q.x - 32);
    double up = q.y - tilt - (18 + 6.2 * arch), low = (18 - 4.2 * arch) - q.y + tilt;
    double open = bust_meet(up, low, 1);
    double cover = bust_carve(lids, open, 1.2);
    double f = bust_join(face, cover, 4);
    f = bust_carve(f, fmax(open, far - 16.5), 1);
    return fmin(f, ball);
}

double bust_face(lw_vec3 q, bust_style style) {
    double f = loft(q);
    if (f > 60) return f;
    (void)style;
    f = bust_meet(f, jaw_plane(q), 12);
    lw_vec3 m = v3(0, -15, 95);
    if (v3_norm(v3_sub(q, m)) > 90) return f;
    f = eye(q, f);
    f = nose(q, f);
    f = mouth(q, f);
    double chin = bust_egg(q, v3(0, -81, 81), v3(19, 12, 14.5));
    return bust_join(f, chin, 10);
}
