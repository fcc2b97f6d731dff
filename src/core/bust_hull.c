/* The hull of the face, in millimetres of the mean man's head (bust.h).
 *
 * It is lofted as a ship's is, from a table of offsets: radii round an upright axis, at levels 10 mm apart
 * and every 10 degrees, made smooth by uniform cubic B-splines (C. de Boor, A Practical Guide to Splines,
 * 1978). The table holds forehead, temples, cheeks, muzzle and jaw, without nose, lips and eyes. Levels
 * follow the USAF survey of 1967 (glabella, sellion, menton) and the breadth of the cheekbones ANSUR II; the
 * other offsets of the face were drawn from memory of adult proportions. Behind the ears they are those of
 * the mean man's own surface, or, below them, a little less, so that the two meet without a step at the
 * hairline. */
#include <stdlib.h>

#include "bust.h"

#define ROWS 20
#define COLUMNS 18
#define TOP 70  /* level of the first row above the tragions */
#define AXIS 15 /* in front of the tragions */

/* By level above the tragions; from straight ahead to straight back. */
/* clang-format off */
static const double offsets[ROWS][COLUMNS] = {
    {73.2, 73.5, 74.0, 74.2, 73.8, 72.8, 71.8, 71.2, 71.5, 72.8, 75.6, 80.0, 86.2, 93.9, 102.2, 109.3, 113.8, 115.3}, /* 70 */
    {76.8, 77.0, 77.6, 77.7, 77.1, 75.9, 74.5, 73.5, 73.4, 74.5, 77.1, 81.4, 87.6, 95.3, 103.8, 111.2, 115.9, 117.6}, /* 60 */
    {80.0, 80.2, 80.6, 80.7, 80.0, 78.3, 77.0, 75.5, 74.8, 75.5, 77.9, 82.0, 88.1, 95.8, 104.3, 111.8, 116.7, 118.7}, /* 50 */
    {81.1, 81.1, 81.3, 81.0, 79.6, 77.8, 77.0, 75.7, 75.1, 75.7, 78.5, 82.8, 88.6, 95.8, 103.4, 110.1, 115.2, 118.7}, /* 40 */
    {76.0, 76.6, 78.8, 79.2, 77.4, 76.2, 76.4, 75.6, 75.0, 75.5, 77.9, 82.1, 87.7, 94.5, 101.9, 108.7, 113.8, 117.7}, /* 30 */
    {70.5, 69.0, 70.5, 73.0, 73.2, 74.2, 75.5, 75.4, 75.0, 75.1, 76.7, 80.7, 86.0, 92.5, 99.5, 106.1, 111.3, 115.4}, /* 20 */
    {71.0, 68.5, 69.8, 72.6, 73.4, 74.2, 74.9, 74.4, 73.7, 73.8, 75.3, 78.7, 83.5, 89.5, 96.1, 102.3, 107.5, 111.8}, /* 10 */
    {73.0, 71.0, 72.0, 74.2, 74.6, 74.6, 74.5, 73.8, 73.0, 72.8, 73.4, 75.9, 80.0, 85.4, 91.4, 97.2, 102.2, 106.5}, /* 0 */
    {76.0, 74.2, 73.4, 73.6, 73.4, 73.3, 73.1, 72.8, 72.2, 71.7, 70.6, 72.2, 75.3, 80.0, 85.3, 90.5, 95.0, 98.9}, /* -10 */
    {80.0, 77.1, 74.0, 72.2, 71.2, 70.8, 70.8, 70.9, 70.4, 69.4, 67.3, 68.1, 70.2, 74.1, 79.0, 83.8, 87.8, 91.1}, /* -20 */
    {84.4, 80.7, 75.0, 70.6, 68.6, 67.6, 67.3, 67.6, 67.4, 66.0, 63.5, 60.9, 63.6, 69.0, 74.8, 79.9, 83.8, 86.3}, /* -30 */
    {85.9, 81.7, 74.4, 68.8, 66.0, 64.2, 63.4, 63.6, 63.8, 62.6, 60.5, 58.5, 62.7, 68.8, 74.8, 80.0, 84.0, 86.5}, /* -40 */
    {82.0, 78.4, 71.5, 66.2, 62.5, 60.0, 58.6, 58.1, 58.4, 59.1, 58.3, 57.5, 62.9, 69.4, 75.6, 80.8, 84.9, 87.4}, /* -50 */
    {78.0, 75.5, 69.5, 63.8, 59.8, 57.2, 55.8, 55.3, 55.3, 56.1, 56.7, 57.3, 63.4, 70.2, 76.5, 81.8, 85.9, 88.5}, /* -60 */
    {77.5, 74.9, 68.0, 61.6, 57.0, 54.4, 52.9, 52.2, 52.5, 53.6, 55.5, 57.4, 64.0, 70.9, 77.3, 82.8, 86.9, 89.6}, /* -70 */
    {79.0, 75.4, 66.9, 59.8, 55.0, 52.4, 50.7, 50.0, 50.1, 51.1, 53.3, 55.5, 62.5, 69.5, 76.0, 81.5, 85.8, 88.4}, /* -80 */
    {77.5, 73.4, 64.2, 57.0, 52.1, 49.4, 47.9, 47.3, 47.5, 48.6, 52.0, 55.4, 62.6, 69.8, 76.3, 82.0, 86.3, 89.0}, /* -90 */
    {74.5, 70.4, 61.3, 54.1, 49.4, 46.7, 45.2, 44.7, 44.9, 46.2, 48.2, 55.0, 62.3, 69.6, 76.3, 82.0, 86.4, 89.2}, /* -100 */
    {70.5, 66.7, 58.1, 51.3, 46.9, 44.2, 42.8, 42.5, 43.0, 44.6, 47.0, 54.0, 61.5, 68.9, 75.7, 81.5, 86.0, 88.8}, /* -110 */
    {65.5, 62.2, 54.4, 47.9, 43.9, 41.2, 40.1, 39.9, 40.6, 42.5, 45.0, 52.2, 59.8, 67.4, 74.3, 80.3, 84.8, 87.7}, /* -120 */
};
/* clang-format on */

typedef struct offset {
    double r, around, down; /* radius, and how it changes by column and by row */
} offset;

static int within(int i, int n) { return i < 0 ? 0 : i < n ? i : n - 1; }

static offset offset_at(double around, double down) {
    int i = (int)down, j = (int)around;
    double wy[4], dy[4], wt[4], dt[4];
    offset o = {0, 0, 0};
    bust_knots(down - i, wy, dy);
    bust_knots(around - j, wt, dt);
    for (int a = 0; a < 4; a++) {
        const double *row = offsets[within(i + a - 1, ROWS)];
        double v = 0, d = 0;
        for (int b = 0; b < 4; b++) {
            double knot = row[within(abs(j + b - 1), COLUMNS)];
            v += wt[b] * knot;
            d += dt[b] * knot;
        }
        o.r += wy[a] * v;
        o.down += dy[a] * v;
        o.around += wy[a] * d;
    }
    return o;
}

double bust_hull(lw_vec3 q, bust_style style) {
    double z = q.z - AXIS, level = sqrt(q.x * q.x + z * z), far = fmax(level, 25), turn = 18 / LW_PI;
    offset o = offset_at(arc_tangent(q.x, z) * turn, fmin(fmax((TOP - q.y) / 10, 0), ROWS - 1.001));
    double jaw = bust_step(-15, -75, q.y) * bust_step(0, .6, q.x / far);
    double r = o.r * (1 - (.02 + .08 * (1 - style.man)) * jaw);
    double across = o.around * turn / far, along = o.down / 10;
    double side = (level - r) / sqrt(1 + across * across + along * along);
    double under = (BUST_CHIN - q.y) * .952 - (q.z - 84) * .306; /* the plane under the jaw */
    return bust_meet(side, under, 10);
}
