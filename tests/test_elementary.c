/* Core's own elementary functions against the C library's of long double, which on this machine has 11 bits
 * more; and at the places where they are exact. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "elementary.h"

#define TRIES 300000

static double between(double low, double high) {
    return low + (high - low) * ((rand() + rand() / (RAND_MAX + 1.0)) / (RAND_MAX + 1.0));
}

/* Error of `got` in units of the last place of what is right. */
static double off(double got, long double right) {
    double near = (double)right, place = nextafter(fabs(near), INFINITY) - fabs(near);
    return (double)(fabsl((long double)got - right) / place);
}

static void worst(double *most, double got, long double right) {
    double error = off(got, right);
    if (!(error <= *most)) *most = error;
}

#define EACH(limit, draw, got, right)                                                                        \
    do {                                                                                                     \
        double most_ = 0;                                                                                    \
        srand(3);                                                                                            \
        for (int i = 0; i < TRIES; i++) {                                                                    \
            draw;                                                                                            \
            worst(&most_, got, right);                                                                       \
        }                                                                                                    \
        print_message("%s: %.3f of the last place\n", #got, most_);                                          \
        assert_true(most_ <= (limit));                                                                       \
    } while (0)

static void sines_and_cosines(void **state) {
    (void)state;
    const double ranges[] = {1e-3, 1, 7, 100, 1e4, 999999};
    for (int k = 0; k < 6; k++) {
        double r = ranges[k];
        EACH(0.8, double x = between(-r, r), sine(x), sinl(x));
        EACH(0.8, double x = between(-r, r), cosine(x), cosl(x));
    }
    assert_true(isnan(sine(INFINITY)) && isnan(cosine(-INFINITY)) && isnan(sine(NAN)) && isnan(cosine(NAN)));
    assert_true(sine(0) == 0 && signbit(sine(-0.0)) && cosine(0) == 1);
    assert_true(fabs(sine(1e300)) <= 1 && fabs(cosine(-1e15)) <= 1);
}

static void their_inverses(void **state) {
    (void)state;
    const double ranges[] = {1e-9, 0.1, 1, 30};
    for (int k = 0; k < 4; k++) {
        double r = ranges[k];
        EACH(1.2, double y = between(-r, r); double x = between(-1, 1), arc_tangent(y, x), atan2l(y, x));
        EACH(1.2, double y = between(-1, 1); double x = between(-r, r), arc_tangent(y, x), atan2l(y, x));
    }
    EACH(2.5, double x = between(-1, 1), arc_sine(x), asinl(x));
    EACH(2.5, double x = between(-1, 1), arc_cosine(x), acosl(x));
    EACH(2.5, double x = 1 - between(0, 1e-6), arc_cosine(x), acosl(x));
    const double signs[] = {0.0, -0.0, 1, -1, INFINITY, -INFINITY, 1e-300, -1e300};
    for (int i = 0; i < 8; i++)
        for (int j = 0; j < 8; j++) {
            assert_true(arc_tangent(signs[i], signs[j]) == atan2(signs[i], signs[j]));
            assert_true(signbit(arc_tangent(signs[i], signs[j])) == signbit(signs[i]));
        }
    assert_true(arc_sine(1) == asin(1) && arc_sine(-1) == asin(-1) && arc_cosine(1) == 0);
    assert_true(arc_cosine(-1) == acos(-1) && isnan(arc_sine(1.001)) && isnan(arc_cosine(NAN)));
    assert_true(isnan(arc_tangent(NAN, 1)) && isnan(arc_tangent(1, NAN)));
}

static void powers(void **state) {
    (void)state;
    EACH(0.8, double x = between(-1, 1), exponential(x), expl(x));
    EACH(0.8, double x = between(-700, 700), exponential(x), expl(x));
    EACH(0.6, double x = between(0.5, 2), logarithm(x), logl(x));
    EACH(0.6, double x = exp(between(-700, 700)), logarithm(x), logl(x));
    EACH(1, double x = between(0.01, 10); double y = between(-3, 3), power(x, y), powl(x, y));
    EACH(1 + 550 / 16., double x = between(0.01, 1e6); double y = between(-40, 40), power(x, y), powl(x, y));
    EACH(0.6, double x = between(-10, 10), cube_root(x), cbrtl(x));
    EACH(0.6, double x = exp(between(-600, 600)), cube_root(x), cbrtl(x));
    EACH(1.2, double x = between(-1, 1); double y = between(-10, 10), hypotenuse(x, y), hypotl(x, y));
    assert_true(exponential(0) == 1 && exponential(-INFINITY) == 0 && exponential(INFINITY) == INFINITY);
    assert_true(exponential(711) == INFINITY && exponential(-750) == 0 && isnan(exponential(NAN)));
    assert_true(fabs(exponential(-720) - exp(-720)) <= 5e-324);
    assert_true(logarithm(1) == 0 && logarithm(0) == -INFINITY && isnan(logarithm(-1)) &&
                isnan(logarithm(NAN)));
    assert_true(logarithm(INFINITY) == INFINITY);
    assert_true(power(2, 10) == 1024 && power(7, 0) == 1 && power(0, 0.5) == 0 && isnan(power(-1, 2)));
    assert_true(cube_root(0) == 0 && cube_root(-27) == -3 && cube_root(INFINITY) == INFINITY &&
                isnan(cube_root(NAN)));
    assert_true(hypotenuse(3, -4) == 5);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sines_and_cosines),
        cmocka_unit_test(their_inverses),
        cmocka_unit_test(powers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
