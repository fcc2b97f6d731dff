/* Hairs as polylines: taut paths against the lengths they stand for, hair as it was held against the lengths
 * it was cut to, and limp hair against the string limit (a limp string on a smooth convex body lies along its
 * meridian and leaves it where the normal is level), in closed form on a sphere and by geodesics on
 * spheroids. */
#include <geodesic.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "carried_out.h"
#include "heads.h"
#include "near.h"
#include "vec.h"

enum { POINTS = 64, LONG = 601 };

static double length_of(const lw_vec3 *p, int n) {
    double sum = 0;
    for (int i = 1; i < n; i++) sum += v3_norm(v3_sub(p[i], p[i - 1]));
    return sum;
}

/* Neighbouring points are as far apart as their share of the whole; where the solver's chain dips below the
 * surface, bringing points out of it moves them by up to half a millimetre. */
static void evenly_spaced(const lw_vec3 *p, int n, double length) {
    double h = length / (n - 1);
    for (int i = 1; i < n; i++) assert_near(v3_norm(v3_sub(p[i], p[i - 1])), h, 5e-4);
}

static double random_share(void) { return rand() / (double)RAND_MAX; }

static lw_vec3 random_way(void) {
    return v3_unit(v3(random_share() - 0.5, random_share() - 0.5, random_share() - 0.5));
}

static void a_taut_path_is_as_long_as_it_was_measured(void **state) {
    (void)state;
    srand(3);
    static const lw_head_kind kinds[] = {LW_HEAD_WOMAN, LW_HEAD_MAN, LW_HEAD_SPHERE, LW_HEAD_ELLIPSOID};
    for (int k = 0; k < 4; k++) {
        lw_head *head = head_of(kinds[k], 0.08, 0.09, 0.1);
        lw_scalp *scalp = roots_of(head, 150);
        int bent = 0;
        for (int i = 0; i < 150; i++) {
            lw_vec3 p[POINTS], root = lw_scalp_root(scalp, i), end;
            do end = v3_along(root, random_way(), 0.3 * random_share());
            while (lw_head_distance(head, end, NULL) < 1e-3);
            double on_surface, length = lw_head_path(head, root, end, &on_surface);
            assert_near(lw_head_path_points(p, POINTS, head, root, end), length, 1e-9);
            assert_near(length_of(p, POINTS), length, 1e-4);
            evenly_spaced(p, POINTS, length);
            assert_near(v3_norm(v3_sub(p[0], root)), 0, 1e-9);
            assert_near(v3_norm(v3_sub(p[POINTS - 1], end)), 0, 1e-9);
            for (int j = 0; j < POINTS; j++) assert_true(lw_head_distance(head, p[j], NULL) > -1e-5);
            bent += on_surface > 0.01;
        }
        assert_true(bent > 20);
        lw_scalp_free(scalp);
        lw_head_free(head);
    }
}

static void a_path_to_the_inside_has_no_points(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, 0.09, 0, 0);
    lw_vec3 p[2] = {{1, 2, 3}, {4, 5, 6}};
    assert_true(isnan(lw_head_path_points(p, 2, head, v3(0, 0.09, 0), v3(0, 0, 0.05))));
    assert_true(p[0].x == 1 && p[1].z == 6);
    assert_near(lw_head_path_points(p, 2, head, v3(0, 0.09, 0), v3(0, 0.2, 0)), 0.11, 1e-12);
    assert_near(p[1].y, 0.2, 1e-12);
    lw_head_free(head);
}

/* The blunt examples: what is measured along a hair as it was held, times the factor of its panel, is its
 * length. */
static void hair_as_held_is_as_long_as_it_was_cut(void **state) {
    (void)state;
    static const char *const names[] = {"graduated-bob", "one-length-bob",    "uniform-layers", "tight-curls",
                                        "clipper-fade",  "increasing-layers", "fringe"};
    for (size_t k = 0; k < sizeof names / sizeof *names; k++) {
        carried_out c = {0};
        example_read(&c.plan, names[k]);
        c.plan.scalp.count = 300;
        for (int i = 0; i < c.plan.step_count; i++)
            if (c.plan.steps[i].technique.kind < LW_OVER_COMB) c.plan.steps[i].technique.kind = LW_BLUNT;
        carry_out(&c);
        int held = 0;
        for (int i = 0; i < 300; i++) {
            lw_vec3 end, p[POINTS], root = lw_scalp_root(c.scalp, i);
            int panel = lw_cut_set_by(c.cut)[i];
            assert_int_equal(lw_cut_held_end(&end, c.cut, i), panel >= 0);
            if (panel < 0) {
                assert_true(lw_cut_held_points(p, POINTS, c.cut, i) == 0);
                continue;
            }
            double length = lw_cut_lengths(c.cut)[i] / lw_cut_panel(c.cut, panel)->factor;
            assert_near(lw_head_path(c.head, root, end, NULL), length,
                        2e-4); /* twice the fast paths' tolerance */
            assert_near(lw_cut_held_points(p, POINTS, c.cut, i), length, 1e-12);
            assert_near(length_of(p, POINTS), length, 1e-4);
            assert_near(v3_norm(v3_sub(p[POINTS - 1], end)), 0, 3e-4);
            held++;
        }
        if (held <= 5) fail_msg("%s: %d held", names[k], held);
        put_away(&c);
    }
}

/* Point cutting leaves the hair short of where it was held, on the same way. */
static void a_pointed_hair_ends_short_of_the_line(void **state) {
    (void)state;
    carried_out c = {0};
    example_read(&c.plan, "graduated-bob");
    c.plan.scalp.count = 300;
    for (int i = 0; i < c.plan.step_count; i++)
        c.plan.steps[i].technique =
            (lw_technique){.kind = LW_POINT, .depth = 0.01, .share = 1, .guard_to = -1};
    carry_out(&c);
    int shorter = 0;
    for (int i = 0; i < 300; i++) {
        lw_vec3 end, p[POINTS];
        if (!lw_cut_held_end(&end, c.cut, i)) continue;
        double path = lw_head_path(c.head, lw_scalp_root(c.scalp, i), end, NULL);
        double length = lw_cut_held_points(p, POINTS, c.cut, i);
        assert_true(length < path + 2e-4 && length > path - 0.0102);
        assert_near(length_of(p, POINTS), length, 1e-4);
        shorter += length < path - 1e-3;
    }
    assert_true(shorter > 100);
    put_away(&c);
}

/* Sphere: by arc to the equator, which it leaves for the plumb line. Growth counts for exp(-(sin a / .2)^2)
 * of a hair's direction, which is nothing from 50 degrees off the top. */
static void a_limp_hair_on_a_sphere(void **state) {
    (void)state;
    const double R = 0.09, L = 0.3;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    lw_scalp *scalp = roots_of(head, 2);
    static lw_vec3 p[LONG];
    for (double turn = 0.2; turn < 6; turn += 0.9)
        for (double down = 50; down <= 90; down += 8) {
            double a = down * LW_PI / 180;
            lw_vec3 root = v3(R * sin(a) * sin(turn), R * cos(a), R * sin(a) * cos(turn));
            lw_scalp_hang(p, LONG, scalp, root, L, 0);
            assert_near(length_of(p, LONG), L, 1e-6);
            for (int i = 0; i < LONG; i++) {
                double s = L * i / (LONG - 1), to = fmin(a + s / R, LW_PI / 2);
                double hangs = fmax(s - R * (LW_PI / 2 - a), 0);
                lw_vec3 wanted = v3(R * sin(to) * sin(turn), R * cos(to) - hangs, R * sin(to) * cos(turn));
                /* a step of 2 mm lies (2 mm)^2 / 8 R = 6e-6 m under its arc, and leaves that far from the
                 * equator */
                assert_near(v3_norm(v3_sub(p[i], wanted)), 0, 1e-5);
            }
        }
    lw_scalp_free(scalp);
    lw_head_free(head);
}

/* Spheroids about the upright axis: from a geodetic latitude the meridian to the equator is as long as
 * Karney's geodesic (2013, J. Geodesy 87:43, as PROJ has it). */
static void a_limp_hair_on_spheroids(void **state) {
    (void)state;
    static const double flattening[] = {0.2, 0.1, -0.1, -0.2};
    const double a = 0.09, L = 0.25;
    static lw_vec3 p[LONG];
    for (int k = 0; k < 4; k++) {
        double f = flattening[k], b = a * (1 - f), e2 = 1 - b * b / (a * a);
        lw_head *head = head_of(LW_HEAD_ELLIPSOID, a, b, a);
        lw_scalp *scalp = roots_of(head, 2);
        struct geod_geodesic g;
        geod_init(&g, a, f);
        for (double latitude = 5; latitude <= 40; latitude += 7) {
            double arc, l = latitude * LW_PI / 180, n = a / sqrt(1 - e2 * sin(l) * sin(l)), turn = 0.7;
            geod_inverse(&g, latitude, 0, 0, 0, &arc, NULL, NULL);
            lw_vec3 root = v3(n * cos(l) * sin(turn), n * (1 - e2) * sin(l), n * cos(l) * cos(turn));
            lw_scalp_hang(p, LONG, scalp, root, L, 0);
            lw_vec3 wanted = v3(a * sin(turn), arc - L, a * cos(turn));
            assert_near(v3_norm(v3_sub(p[LONG - 1], wanted)), 0, 2e-5);
        }
        lw_scalp_free(scalp);
        lw_head_free(head);
    }
}

/* On a bust: exactly as long as asked for, by any number of points; never inside; off it by the clearance
 * where it has had room to rise; and straight down where nothing is near. */
static void limp_hair_keeps_off_the_bust(void **state) {
    (void)state;
    const double clearance = 1e-3;
    for (lw_head_kind kind = LW_HEAD_ADULT; kind <= LW_HEAD_ELLIPSOID; kind++) {
        lw_head *head = head_of(kind, 0.08, 0.09, 0.1);
        lw_scalp *scalp = roots_of(head, 200);
        int lying = 0, hanging = 0;
        for (int i = 0; i < 200; i++) {
            static lw_vec3 p[LONG];
            double length = 0.01 + 0.5 * i / 200;
            int n = 1 + (int)ceil(length / 2e-3);
            lw_scalp_hang(p, n, scalp, lw_scalp_root(scalp, i), length, clearance);
            assert_near(length_of(p, n), length, 1e-6);
            assert_near(v3_norm(v3_sub(p[0], lw_scalp_root(scalp, i))), 0, 1e-9);
            for (int j = 1; j < n; j++) {
                double away = lw_head_bust(head, p[j], NULL),
                       rise = fmin(clearance, 0.5 * j * length / (n - 1));
                assert_true(away > rise - 5e-4); /* chords over the rim of an ear */
                lying += away < clearance + 1e-4;
                bool plumb = p[j - 1].y - p[j].y > 0.9999 * length / (n - 1);
                if (away > 0.02) assert_true(plumb);
                hanging += plumb;
            }
        }
        assert_true(lying > 1000 && hanging > 1000);
        lw_scalp_free(scalp);
        lw_head_free(head);
    }
}

static void few_points_and_no_length(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_WOMAN, 0, 0, 0);
    lw_scalp *scalp = roots_of(head, 10);
    lw_vec3 p[3], root = lw_scalp_root(scalp, 4);
    lw_scalp_hang(p, 1, scalp, root, 0.2, 0);
    assert_near(v3_norm(v3_sub(p[0], root)), 0, 1e-9);
    lw_scalp_hang(p, 2, scalp, root, 0.2, 1e-3);
    assert_near(length_of(p, 2), 0.2, 1e-9);
    lw_scalp_hang(p, 3, scalp, root, 0, 1e-3);
    assert_near(length_of(p, 3), 0, 0);
    assert_near(v3_norm(v3_sub(p[2], root)), 0, 1e-9);
    lw_scalp_free(scalp);
    lw_head_free(head);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_taut_path_is_as_long_as_it_was_measured),
        cmocka_unit_test(a_path_to_the_inside_has_no_points),
        cmocka_unit_test(hair_as_held_is_as_long_as_it_was_cut),
        cmocka_unit_test(a_pointed_hair_ends_short_of_the_line),
        cmocka_unit_test(a_limp_hair_on_a_sphere),
        cmocka_unit_test(a_limp_hair_on_spheroids),
        cmocka_unit_test(limp_hair_keeps_off_the_bust),
        cmocka_unit_test(few_points_and_no_length),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
