/* Elementary functions from additions, multiplications and divisions alone, each rounded once.
 *
 * The argument is reduced until a short series is exact enough; what a first step of reduction or division
 * loses is carried along in a second double (Dekker 1971, Numer Math 18:224, cited from memory), so that the
 * error of the result is little more than that of its last rounding. The series are Taylor's, cut where the
 * next term is below the last place; constants were computed to 200 bits and split.
 *
 * Invariant: no operation here may be fused or reordered, so the file is compiled once, without contraction,
 * for the narrowest machine. */
#include "elementary.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define TWO_OVER_PI 0x1.45f306dc9c883p-1
#define HALF_PI 0x1.921fb54442d18p+0
#define HALF_PI_REST 0x1.1a62633145c07p-54
/* pi / 2 in pieces of which the first two, times a whole number below 2^20, are exact. */
#define HALF_PI_1 0x1.921fb544p+0
#define HALF_PI_2 0x1.0b4611a6p-34
#define HALF_PI_3 0x1.3198a2e037073p-69
#define LOG_2 0x1.62e42feep-1 /* the first 32 bits */
#define LOG_2_REST 0x1.a39ef35793c76p-33
#define ONE_OVER_LOG_2 0x1.71547652b82fep+0
#define FAR 1e6      /* radians */
#define TINY 0x1p-27 /* whose sine is itself */

/* A number as the sum of a double and a much smaller one. */
typedef struct pair {
    double high, low;
} pair;

static inline pair sum_of(double a, double b) {
    double s = a + b, of_b = s - a;
    return (pair){s, (a - (s - of_b)) + (b - of_b)};
}

/* The upper 26 bits. */
static inline double upper(double a) {
    double c = 134217729 * a;
    return c - (c - a);
}

static inline pair product_of(double a, double b) {
    double p = a * b, ah = upper(a), al = a - ah, bh = upper(b), bl = b - bh;
    return (pair){p, ((ah * bh - p) + ah * bl + al * bh) + al * bl};
}

/* The nearest whole number of one below 2^31. */
static inline int nearest(double x) { return (int)(x < 0 ? x - 0.5 : x + 0.5); }

/* ---- sine and cosine ---- */

/* x less the nearest multiple of pi / 2, of which *quarters is the number. */
static pair within_a_quarter(double x, int *quarters) {
    if (!(fabs(x) < FAR)) x = fmod(x, 4 * HALF_PI);
    if (isnan(x)) return *quarters = 0, (pair){x, 0};
    int n = *quarters = nearest(x * TWO_OVER_PI);
    pair r = sum_of(x - n * HALF_PI_1, -n * HALF_PI_2);
    r.low -= n * HALF_PI_3;
    return sum_of(r.high, r.low);
}

static double near_sine(pair x) {
    double z = x.high * x.high, s = 1 / 355687428096000.0; /* 1 / 17! */
    s = s * z - 1 / 1307674368000.0;
    s = s * z + 1 / 6227020800.0;
    s = s * z - 1 / 39916800.0;
    s = s * z + 1 / 362880.0;
    s = s * z - 1 / 5040.0;
    s = s * z + 1 / 120.0;
    s = s * z - 1 / 6.0;
    return x.high + (x.high * z * s + x.low * (1 - 0.5 * z));
}

static double near_cosine(pair x) {
    double z = x.high * x.high, half = 0.5 * z, c = 1 / 20922789888000.0; /* 1 / 16! */
    c = c * z - 1 / 87178291200.0;
    c = c * z + 1 / 479001600.0;
    c = c * z - 1 / 3628800.0;
    c = c * z + 1 / 40320.0;
    c = c * z - 1 / 720.0;
    c = c * z + 1 / 24.0;
    double most = 1 - half;
    return most + (((1 - most) - half) + (z * z * c - x.high * x.low));
}

static double sine_of(pair r, int quarters) {
    double y = quarters & 1 ? near_cosine(r) : near_sine(r);
    return quarters & 2 ? -y : y;
}

double sine(double x) {
    if (fabs(x) < TINY) return x;
    int quarters;
    pair r = within_a_quarter(x, &quarters);
    return sine_of(r, quarters);
}

double cosine(double x) {
    int quarters;
    pair r = within_a_quarter(x, &quarters);
    return sine_of(r, quarters + 1);
}

/* ---- their inverses ---- */

/* The angles whose tangents are 0 to 16 sixteenths. */
static const pair SIXTEENTHS[] = {
    {0, 0},
    {0x1.ff55bb72cfdeap-5, -0x1.c934d86d23f1dp-60},
    {0x1.fd5ba9aac2f6ep-4, -0x1.cd37686760c17p-59},
    {0x1.7b97b4bce5b02p-3, 0x1.347b0b4f881cap-58},
    {0x1.f5b75f92c80ddp-3, 0x1.8ab6e3cf7afbdp-57},
    {0x1.362773707ebccp-2, -0x1.963a544b672d8p-57},
    {0x1.6f61941e4def1p-2, -0x1.c63aae6f6e918p-56},
    {0x1.a64eec3cc23fdp-2, -0x1.24dec1b50b7ffp-56},
    {0x1.dac670561bb4fp-2, 0x1.a2b7f222f65e2p-56},
    {0x1.0657e94db30d0p-1, -0x1.d5b495f6349e6p-56},
    {0x1.1e00babdefeb4p-1, -0x1.928df287a668fp-58},
    {0x1.345f01cce37bbp-1, 0x1.1021137c71102p-55},
    {0x1.4978fa3269ee1p-1, 0x1.2419a87f2a458p-56},
    {0x1.5d58987169b18p-1, 0x1.0028e4bc5e7cap-57},
    {0x1.700a7c5784634p-1, -0x1.8c34d25aadef6p-56},
    {0x1.819d0b7158a4dp-1, -0x1.bf76229d3b917p-56},
    {0x1.921fb54442d18p-1, 0x1.1a62633145c07p-55},
};

/* The angle whose tangent is small / large, both above 0 and the first no larger. */
static pair first_octant(double small, double large) {
    double t = large > 0 ? small / large : 0;
    int k = t < 0.0625 ? 0 : (int)(16 * t + 0.5);
    double c = k / 16.0, u = t;
    if (k > 0) {
        pair p = product_of(c, large);
        u = ((small - p.high) - p.low) / (large + c * small);
    }
    double z = u * u, s = 1 / 13.0;
    s = s * z - 1 / 11.0;
    s = s * z + 1 / 9.0;
    s = s * z - 1 / 7.0;
    s = s * z + 1 / 5.0;
    s = s * z - 1 / 3.0;
    return sum_of(SIXTEENTHS[k].high, SIXTEENTHS[k].low + (u + u * z * s));
}

static pair less(double from, double rest, pair a) {
    pair d = sum_of(from, -a.high);
    return sum_of(d.high, d.low + (rest - a.low));
}

double arc_tangent(double y, double x) {
    if (isnan(x) || isnan(y)) return x + y;
    double across = fabs(x), up = fabs(y);
    pair a;
    if (isinf(across) && isinf(up)) across = up = 1;
    if (up > across)
        a = less(HALF_PI, HALF_PI_REST, first_octant(across, up));
    else
        a = first_octant(up, across);
    if (signbit(x)) a = less(2 * HALF_PI, 2 * HALF_PI_REST, a);
    return copysign(a.high + a.low, y);
}

static double beside(double x) { return sqrt((1 - x) * (1 + x)); }
double arc_sine(double x) { return arc_tangent(x, beside(x)); }
double arc_cosine(double x) { return arc_tangent(beside(x), x); }

/* ---- powers ---- */

/* x times 2^n, n from -1100 to 1100. */
static double scaled(double x, int n) {
    if (n < -1022 || n > 1023) return ldexp(x, n);
    uint64_t bits = (uint64_t)(n + 1023) << 52;
    double scale;
    memcpy(&scale, &bits, sizeof scale);
    return x * scale;
}

static double exponential_of(pair x) {
    if (!(x.high < 710)) return x.high + (isnan(x.high) ? 0 : INFINITY);
    if (x.high < -746) return 0;
    int n = nearest(x.high * ONE_OVER_LOG_2);
    pair r = sum_of(x.high - n * LOG_2, -n * LOG_2_REST);
    double low = r.low + x.low, z = r.high, s = 1 / 6227020800.0; /* 1 / 13! */
    s = s * z + 1 / 479001600.0;
    s = s * z + 1 / 39916800.0;
    s = s * z + 1 / 3628800.0;
    s = s * z + 1 / 362880.0;
    s = s * z + 1 / 40320.0;
    s = s * z + 1 / 5040.0;
    s = s * z + 1 / 720.0;
    s = s * z + 1 / 120.0;
    s = s * z + 1 / 24.0;
    s = s * z + 1 / 6.0;
    s = s * z + 0.5;
    pair one = sum_of(1, z);
    return scaled(one.high + (one.low + (z * z * s + low * (1 + z))), n);
}

/* log x = n log 2 + 2 artanh(s), s = (m - 1) / (m + 1), x = 2^n m, m about 1; x above 0 and finite. */
static pair logarithm_of(double x) {
    int n;
    double m = frexp(x, &n);
    if (m < 0.70710678118654752440) m *= 2, n--;
    pair under = sum_of(m, 1);
    double over = m - 1, s = over / under.high;
    pair p = product_of(s, under.high);
    double rest = ((over - p.high) - p.low - s * under.low) / under.high, z = s * s, t = 1 / 23.0;
    for (int k = 21; k > 1; k -= 2) t = t * z + 1.0 / k;
    pair most = sum_of(n * LOG_2, 2 * s);
    return sum_of(most.high, most.low + (n * LOG_2_REST + 2 * rest + 2 * s * z * t));
}

double exponential(double x) { return exponential_of((pair){x, 0}); }

double logarithm(double x) {
    if (!(x > 0)) return x == 0 ? -INFINITY : NAN;
    if (isinf(x)) return x;
    pair y = logarithm_of(x);
    return y.high + y.low;
}

double power(double x, double y) {
    if (!(x > 0) || isinf(x) || isnan(y)) return x == 0 && y > 0 ? 0 : NAN;
    pair l = logarithm_of(x), p = product_of(y, l.high);
    return exponential_of(sum_of(p.high, p.low + y * l.low));
}

double hypotenuse(double x, double y) { return sqrt(x * x + y * y); }

double cube_root(double x) {
    if (x == 0 || !isfinite(x)) return x;
    double of = fabs(x);
    pair l = logarithm_of(of);
    double y = exponential((l.high + l.low) / 3);
    pair square = product_of(y, y), cube = product_of(y, square.high);
    double miss = (of - cube.high) - (cube.low + y * square.low);
    return copysign(y + miss / (3 * square.high), x);
}
