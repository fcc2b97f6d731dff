/* Roots and growth: how many, where, how even, how heavy, and which way the hair goes. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "failing.h"
#include "heads.h"
#include "scalp.h"
#include "vec.h"

/* ---- the heads the tests share ---- */

typedef struct heads {
    lw_head *woman, *sphere;
} heads;

static int set_up(void **state) {
    static heads h;
    h.woman = head_of(LW_HEAD_WOMAN, 0, 0, 0);
    h.sphere = head_of(LW_HEAD_SPHERE, 0.09, 0, 0);
    *state = &h;
    return 0;
}

static int tear_down(void **state) {
    heads *h = *state;
    lw_head_free(h->woman);
    lw_head_free(h->sphere);
    return 0;
}

static lw_scalp *scalp_make(const lw_head *head, lw_scalp_options options) {
    lw_scalp *scalp = NULL;
    lw_error error = {0};
    if (lw_scalp_new(&scalp, head, &options, &error)) fail_msg("%s: %s", error.place, error.message);
    return scalp;
}

static lw_scalp *scalp_of(const lw_head *head, int count, uint64_t seed) {
    lw_scalp_options options = lw_scalp_default();
    options.count = count;
    options.seed = seed;
    return scalp_make(head, options);
}

static bool same(lw_vec3 a, lw_vec3 b) { return memcmp(&a, &b, sizeof a) == 0; }

/* ---- roots ---- */

static void test_the_count_is_what_was_asked(void **state) {
    const heads *h = *state;
    static const int counts[] = {1, 2, 3, 4, 5, 7, 10, 99, 100, 1001, 20000, 20001};
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        const lw_head *both[] = {h->woman, h->sphere};
        for (int k = 0; k < 2; k++) {
            lw_scalp *s = scalp_of(both[k], counts[i], 1);
            assert_int_equal(lw_scalp_count(s), counts[i]);
            for (int r = 0; r < counts[i]; r++) assert_true(v3_norm(lw_scalp_root(s, r)) > 0.01);
            lw_scalp_free(s);
        }
    }
}

static void test_pairs_are_mirror_images_to_the_bit(void **state) {
    const heads *h = *state;
    lw_scalp *s = scalp_of(h->woman, 5001, 3);
    for (int i = 0; i + 1 < 5001; i += 2) {
        assert_true(lw_scalp_root(s, i).x > 0);
        assert_true(same(v3_mirror(lw_scalp_root(s, i)), lw_scalp_root(s, i + 1)));
        assert_true(same(v3_mirror(lw_scalp_normal(s, i)), lw_scalp_normal(s, i + 1)));
    }
    assert_true(lw_scalp_root(s, 5000).x > 0);
    lw_scalp_free(s);
}

static void test_roots_lie_on_the_surface_inside_the_hairline(void **state) {
    const heads *h = *state;
    lw_scalp *s = scalp_of(h->woman, 4000, 1);
    for (int i = 0; i < 4000; i++) {
        lw_vec3 p = lw_scalp_root(s, i), n, q = lw_head_project(h->woman, p, &n);
        assert_true(v3_norm(v3_sub(p, q)) < 1e-9);
        assert_true(v3_norm(v3_sub(lw_scalp_normal(s, i), n)) < 1e-9);
        assert_true(lw_head_hairline(h->woman, p) > 0);
    }
    lw_scalp_free(s);
}

/* Patches of the left half: bands of height by sectors round the upright axis, which is not how roots.c goes
 * about it. */
enum { BANDS = 8, SECTORS = 8, PATCHES = BANDS * SECTORS, FINE = 60 };

static int patch_of(const lw_head *head, lw_vec3 p) {
    lw_vec3 u = v3_unit(v3_sub(p, lw_head_centre(head)));
    int band = (int)((u.y + 1) / 2 * BANDS), sector = (int)(atan2(fabs(u.x), u.z) / LW_PI * SECTORS);
    return (band < BANDS ? band : BANDS - 1) * SECTORS + (sector < SECTORS ? sector : SECTORS - 1);
}

static void patch_areas(const lw_head *head, double *area) {
    lw_vec3 centre = lw_head_centre(head);
    memset(area, 0, PATCHES * sizeof *area);
    for (int i = 0; i < BANDS * FINE; i++)
        for (int k = 0; k < SECTORS * FINE; k++) {
            double y = 2 * (i + 0.5) / (BANDS * FINE) - 1, turn = LW_PI * (k + 0.5) / (SECTORS * FINE);
            lw_vec3 u = v3(sqrt(1 - y * y) * sin(turn), y, sqrt(1 - y * y) * cos(turn)), n;
            lw_vec3 p = lw_head_project(head, v3_add(centre, u), &n);
            double r = v3_norm(v3_sub(p, centre));
            if (lw_head_hairline(head, p) > 0)
                area[i / FINE * SECTORS + k / FINE] +=
                    r * r / v3_dot(n, u) * 2 / (BANDS * FINE) * LW_PI / (SECTORS * FINE);
        }
}

/* Pearson's chi-square per degree of freedom. Random roots give about 1; even ones far less. */
static void test_equal_areas_get_equal_roots(void **state) {
    const heads *h = *state;
    const lw_head *both[] = {h->woman, h->sphere};
    for (int k = 0; k < 2; k++) {
        double area[PATCHES], total = 0, chi = 0;
        int found[PATCHES] = {0}, used = 0, count = 20000;
        patch_areas(both[k], area);
        for (int i = 0; i < PATCHES; i++) total += area[i];
        assert_true(fabs(2 * total / lw_head_scalp_area(both[k]) - 1) < 0.01);
        lw_scalp *s = scalp_of(both[k], count, 1);
        for (int i = 0; i < count; i += 2) found[patch_of(both[k], lw_scalp_root(s, i))]++;
        for (int i = 0; i < PATCHES; i++) {
            double expected = area[i] / total * count / 2;
            if (expected < 20) continue;
            chi += (found[i] - expected) * (found[i] - expected) / expected;
            used++;
        }
        assert_true(used > 20);
        assert_true(chi / (used - 1) < 0.4);
        lw_scalp_free(s);
    }
}

/* Mean distance to the nearest neighbour as a share of the hexagonal lattice's, sqrt(2 / sqrt 3) spacings. A
 * random set has 0.465 (Clark & Evans 1954: half a spacing). */
static double evenness(const lw_head *head, const lw_scalp *s, double *least) {
    int count = lw_scalp_count(s);
    double ideal = sqrt(2 / sqrt(3) * lw_head_scalp_area(head) / count), sum = 0;
    *least = INFINITY;
    for (int i = 0; i < count; i += 2) {
        double nearest = INFINITY;
        for (int k = 0; k < count; k++) {
            lw_vec3 away = v3_sub(lw_scalp_root(s, i), lw_scalp_root(s, k));
            if (k != i) nearest = fmin(nearest, v3_dot(away, away));
        }
        sum += sqrt(nearest);
        *least = fmin(*least, sqrt(nearest) / ideal);
    }
    return sum / (count / 2) / ideal;
}

static void test_neighbours_keep_their_distance(void **state) {
    const heads *h = *state;
    for (uint64_t seed = 1; seed <= 3; seed++) {
        double least;
        lw_scalp *s = scalp_of(h->woman, 4000, seed);
        assert_true(evenness(h->woman, s, &least) > 0.75);
        assert_true(least > 0.25);
        lw_scalp_free(s);
    }
}

static void test_a_seed_gives_the_same_bits_and_another_seed_others(void **state) {
    const heads *h = *state;
    lw_scalp *a = scalp_of(h->woman, 3000, 7), *b = scalp_of(h->woman, 3000, 7),
             *c = scalp_of(h->woman, 3000, 8);
    int moved = 0;
    for (int i = 0; i < 3000; i++) {
        assert_true(same(lw_scalp_root(a, i), lw_scalp_root(b, i)));
        moved += !same(lw_scalp_root(a, i), lw_scalp_root(c, i));
    }
    assert_int_equal(moved, 3000);
    lw_scalp_free(a);
    lw_scalp_free(b);
    lw_scalp_free(c);
}

/* ---- hairs ---- */

static double hairs(const lw_scalp *s) {
    double sum = 0;
    for (int i = 0; i < lw_scalp_count(s); i++) sum += lw_scalp_weight(s, i);
    return sum;
}

static void test_weights_sum_to_density_times_area(void **state) {
    const heads *h = *state;
    double area = lw_head_scalp_area(h->woman);
    static const int counts[] = {1, 3, 20000};
    for (int i = 0; i < 3; i++) {
        lw_scalp *s = scalp_of(h->woman, counts[i], 1);
        assert_true(fabs(hairs(s) / (2.0e6 * area) - 1) < 1e-9);
        lw_scalp_free(s);
    }
}

/* Loussouarn 2005: 226 hairs/cm^2, sd 73, on a scalp of about 775 cm^2 (J Soc Cosmet Chem 28:222, 1977); both
 * at second hand. */
static void test_an_adult_has_as_many_hairs_as_published(void **state) {
    const heads *h = *state;
    lw_scalp_options options = lw_scalp_default();
    options.density = 226e4;
    lw_scalp *s = scalp_make(h->woman, options);
    assert_true(hairs(s) > (226 - 73) * 775 && hairs(s) < (226 + 73) * 775);
    lw_scalp_free(s);
}

static double weight_near(const lw_scalp *s, const lw_head *head, lw_landmark at) {
    double best = INFINITY, weight = 0;
    for (int i = 0; i < lw_scalp_count(s); i++) {
        double d = v3_norm(v3_sub(lw_scalp_root(s, i), lw_head_landmark(head, at)));
        if (d < best) best = d, weight = lw_scalp_weight(s, i);
    }
    return weight;
}

static void test_regions_change_density_where_they_lie(void **state) {
    const heads *h = *state;
    static const lw_landmark where[] = {LW_FRONT_HAIRLINE, LW_APEX, LW_CROWN, LW_EAR_TOP_LEFT,
                                        LW_NAPE_CENTRE};
    lw_scalp *plain = scalp_of(h->woman, 2000, 1);
    double usual = lw_scalp_weight(plain, 0);
    for (int k = 0; k < 5; k++) {
        lw_scalp_options options = lw_scalp_default();
        options.count = 2000;
        options.region[k] = 0.5;
        lw_scalp *s = scalp_make(h->woman, options);
        for (int i = 0; i < 5; i++) {
            double factor = weight_near(s, h->woman, where[i]) / usual;
            if (i == k) assert_true(factor < 0.75);
            if (i != k) assert_true(factor > 0.6 && factor <= 1 + 1e-12);
            if (i != k) assert_true(weight_near(s, h->woman, where[k]) / usual < factor);
        }
        for (int i = 0; i + 1 < 2000; i += 2) assert_true(fabs(s->weight[i] / s->weight[i + 1] - 1) < 1e-9);
        lw_scalp_free(s);
    }
    lw_scalp_free(plain);
}

/* ---- growth ---- */

static void test_growth_is_a_unit_tangent_everywhere(void **state) {
    const heads *h = *state;
    lw_scalp *s = scalp_of(h->woman, 2000, 1);
    for (int i = 0; i < 2002; i++) {
        lw_vec3 p = i < 2000 ? lw_scalp_root(s, i) : i == 2000 ? s->whorl[0] : v3(0, 1, 0);
        lw_vec3 n, g = lw_scalp_growth(s, lw_head_project(h->woman, p, &n));
        assert_true(fabs(v3_norm(g) - 1) < 1e-12);
        assert_true(fabs(v3_dot(g, n)) < 1e-12);
    }
    lw_scalp_free(s);
}

/* Over half a millimetre and 15 mm away from the whorl, growth turns by no more than 1 radian per 5 mm beyond
 * what the skin itself turns (which is much in the fold of the nape): a crease of six degrees would fail. */
static void test_growth_is_smooth_away_from_the_whorl(void **state) {
    const heads *h = *state;
    lw_scalp *s = scalp_of(h->woman, 6000, 1);
    for (int i = 0; i < 6000; i++) {
        lw_vec3 p = lw_scalp_root(s, i);
        if (v3_norm(v3_sub(p, s->whorl[0])) < 0.015) continue;
        lw_vec3 n = lw_scalp_normal(s, i), g = lw_scalp_growth(s, p), m;
        lw_vec3 q = lw_head_project(h->woman, v3_along(p, v3_turn(g, n, i), 5e-4), &m);
        double turned = v3_norm(v3_sub(lw_scalp_growth(s, q), g)), skin = v3_norm(v3_sub(m, n));
        assert_true((turned - skin) / v3_norm(v3_sub(q, p)) < 200);
    }
    lw_scalp_free(s);
}

/* Turns of the field along a small circle round a centre, as seen in the tangent plane there. */
static double winding(const lw_scalp *s, lw_vec3 centre, double radius) {
    lw_vec3 n;
    centre = lw_head_project(s->head, centre, &n);
    lw_vec3 e1 = v3_unit(v3_tangent(v3(1, 0, 0), n)), e2 = v3_cross(n, e1);
    double turned = 0, before = 0;
    for (int k = 0; k <= 72; k++) {
        double t = 2 * LW_PI * k / 72;
        lw_vec3 p = v3_along(v3_along(centre, e1, radius * cos(t)), e2, radius * sin(t));
        lw_vec3 g = lw_scalp_growth(s, lw_head_project(s->head, p, NULL));
        double angle = atan2(v3_dot(g, e2), v3_dot(g, e1));
        if (k > 0) turned += remainder(angle - before, 2 * LW_PI);
        before = angle;
    }
    return turned / (2 * LW_PI);
}

static void test_growth_turns_once_round_a_whorl(void **state) {
    const heads *h = *state;
    lw_scalp *one = scalp_of(h->woman, 10, 1);
    assert_true(fabs(winding(one, one->whorl[0], 0.008) - 1) < 1e-9);
    assert_true(fabs(winding(one, lw_head_landmark(h->woman, LW_APEX), 0.008)) < 1e-9);
    assert_true(one->whorl[0].x < -0.009 && one->whorl[0].x > -0.011);

    lw_scalp_options options = lw_scalp_default();
    options.whorl_count = 2;
    options.whorl[1] = (lw_whorl){.right = -0.03, .back = 0.01, .sense = -1};
    lw_scalp *two = scalp_make(h->woman, options);
    for (int i = 0; i < 2; i++) assert_true(fabs(winding(two, two->whorl[i], 0.008) - 1) < 1e-9);
    assert_true(two->whorl[1].y < lw_head_landmark(h->woman, LW_CROWN).y);
    lw_scalp_free(one);
    lw_scalp_free(two);
}

/* Clockwise seen from outside: at the whorl the field is the way out turned clockwise. */
static void test_a_clockwise_whorl_turns_clockwise(void **state) {
    const heads *h = *state;
    lw_scalp *s = scalp_of(h->woman, 10, 1);
    lw_vec3 n, c = lw_head_project(h->woman, s->whorl[0], &n);
    for (int k = 0; k < 12; k++) {
        lw_vec3 out = v3_turn(v3_unit(v3_tangent(v3(1, 0, 0), n)), n, k * LW_PI / 6);
        lw_vec3 g = lw_scalp_growth(s, lw_head_project(h->woman, v3_along(c, out, 0.005), NULL));
        assert_true(v3_dot(v3_cross(out, g), n) < -0.3);
        assert_true(v3_dot(out, g) > 0);
    }
    lw_scalp_free(s);
}

/* Common practice: hair grows forward over the front hairline and down at the sides and the nape. */
static void test_growth_goes_forward_in_front_and_down_below(void **state) {
    const heads *h = *state;
    static const lw_landmark low[] = {LW_EAR_TOP_LEFT,     LW_EAR_TOP_RIGHT,    LW_BEHIND_EAR_LEFT,
                                      LW_BEHIND_EAR_RIGHT, LW_NAPE_CORNER_LEFT, LW_NAPE_CORNER_RIGHT,
                                      LW_NAPE_CENTRE,      LW_SIDEBURN_LEFT,    LW_SIDEBURN_RIGHT};
    lw_scalp *s = scalp_of(h->woman, 10, 1);
    for (size_t i = 0; i < sizeof low / sizeof low[0]; i++) {
        lw_vec3 n, p = lw_head_project(h->woman, lw_head_landmark(h->woman, low[i]), &n);
        assert_true(v3_dot(lw_scalp_growth(s, p), v3_unit(v3_tangent(v3(0, -1, 0), n))) > 0.9);
    }
    static const lw_landmark front[] = {LW_FRONT_HAIRLINE, LW_APEX};
    for (int i = 0; i < 2; i++) {
        lw_vec3 n, p = lw_head_project(h->woman, lw_head_landmark(h->woman, front[i]), &n);
        assert_true(v3_dot(lw_scalp_growth(s, p), v3_unit(v3_tangent(v3(0, 0, 1), n))) > 0.9);
    }
    lw_scalp_free(s);
}

static void test_a_whorl_of_the_other_sense_mirrors_growth(void **state) {
    const heads *h = *state;
    lw_scalp_options options = lw_scalp_default();
    options.whorl[0].right *= -1;
    options.whorl[0].sense = -1;
    lw_scalp *a = scalp_of(h->woman, 2000, 1), *b = scalp_make(h->woman, options);
    for (int i = 0; i < 2000; i++) {
        lw_vec3 p = lw_scalp_root(a, i), g = v3_mirror(lw_scalp_growth(b, v3_mirror(p)));
        assert_true(v3_norm(v3_sub(lw_scalp_growth(a, p), g)) < 1e-9);
    }
    lw_scalp_free(a);
    lw_scalp_free(b);
}

static void test_a_cowlick_turns_growth_where_it_lies(void **state) {
    const heads *h = *state;
    lw_scalp_options options = lw_scalp_default();
    options.cowlick_count = 1;
    options.cowlick[0] = (lw_cowlick){.at = {LW_RECESSION_LEFT, -1, 0}, .turn = 0.8, .radius = 0.03};
    lw_scalp *plain = scalp_of(h->woman, 2000, 1), *s = scalp_make(h->woman, options);
    lw_vec3 n, p = lw_head_project(h->woman, lw_head_landmark(h->woman, LW_RECESSION_LEFT), &n);
    lw_vec3 before = lw_scalp_growth(plain, p), after = lw_scalp_growth(s, p);
    assert_true(fabs(atan2(v3_dot(v3_cross(before, after), n), v3_dot(before, after)) + 0.8) < 1e-9);
    for (int i = 0; i < 2000; i++) {
        lw_vec3 q = lw_scalp_root(plain, i);
        if (v3_norm(v3_sub(q, p)) < 0.03) continue;
        assert_true(v3_norm(v3_sub(lw_scalp_growth(plain, q), lw_scalp_growth(s, q))) < 1e-12);
    }
    lw_scalp_free(plain);
    lw_scalp_free(s);
}

/* ---- what is refused ---- */

static void expect_refusal(const lw_head *head, lw_scalp_options options) {
    lw_scalp *scalp = (lw_scalp *)&options;
    lw_error error = {0};
    assert_int_equal(lw_scalp_new(&scalp, head, &options, &error), LW_ERROR_ARGUMENT);
    assert_null(scalp);
    assert_int_equal(error.status, LW_ERROR_ARGUMENT);
    assert_true(error.place[0] && error.message[0] && error.remedy[0]);
}

static void test_bad_options_are_refused(void **state) {
    const heads *h = *state;
    const lw_scalp_options fine = lw_scalp_default();
    lw_scalp_options o;
#define REFUSED(change)                                                                                      \
    do {                                                                                                     \
        o = fine;                                                                                            \
        change;                                                                                              \
        expect_refusal(h->woman, o);                                                                         \
    } while (0)
    REFUSED(o.count = 0);
    REFUSED(o.count = -5);
    REFUSED(o.count = 5000001);
    REFUSED(o.density = 0);
    REFUSED(o.density = NAN);
    REFUSED(o.density = INFINITY);
    REFUSED(o.region[3] = -1);
    REFUSED(o.region[4] = NAN);
    REFUSED(o.whorl_count = 3);
    REFUSED(o.whorl_count = -1);
    REFUSED(o.whorl[0].sense = 0);
    REFUSED(o.whorl[0].right = 0.5);
    REFUSED(o.whorl[0].back = NAN);
    REFUSED(o.cowlick_count = 9);
    REFUSED(o.cowlick_count = 1; o.cowlick[0] = ((lw_cowlick){{LW_LANDMARK_COUNT, -1, 0}, 0.1, 0.02}));
    REFUSED(o.cowlick_count = 1; o.cowlick[0] = ((lw_cowlick){{LW_APEX, -1, 0}, 4, 0.02}));
    REFUSED(o.cowlick_count = 1; o.cowlick[0] = ((lw_cowlick){{LW_APEX, -1, 0}, 0.1, 0}));
    lw_scalp *scalp = NULL;
    o = fine;
    o.count = 0;
    assert_int_equal(lw_scalp_new(&scalp, h->woman, &o, NULL), LW_ERROR_ARGUMENT);
}

static void test_every_allocation_may_fail(void **state) {
    const heads *h = *state;
    lw_scalp_options options = lw_scalp_default();
    options.count = 100;
    int before = memory.live, n = 0;
    for (bool refused = true; refused; n++) {
        lw_scalp *scalp;
        lw_error error = {0};
        memory_fails_from(n);
        lw_status status = lw_scalp_new(&scalp, h->woman, &options, &error);
        refused = memory_failed();
        assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
        assert_int_equal(error.status, status);
        if (refused) assert_null(scalp);
        lw_scalp_free(scalp);
        assert_int_equal(memory.live, before);
    }
    assert_true(n > 3);
    lw_scalp_free(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_count_is_what_was_asked),
        cmocka_unit_test(test_pairs_are_mirror_images_to_the_bit),
        cmocka_unit_test(test_roots_lie_on_the_surface_inside_the_hairline),
        cmocka_unit_test(test_equal_areas_get_equal_roots),
        cmocka_unit_test(test_neighbours_keep_their_distance),
        cmocka_unit_test(test_a_seed_gives_the_same_bits_and_another_seed_others),
        cmocka_unit_test(test_weights_sum_to_density_times_area),
        cmocka_unit_test(test_an_adult_has_as_many_hairs_as_published),
        cmocka_unit_test(test_regions_change_density_where_they_lie),
        cmocka_unit_test(test_growth_is_a_unit_tangent_everywhere),
        cmocka_unit_test(test_growth_is_smooth_away_from_the_whorl),
        cmocka_unit_test(test_growth_turns_once_round_a_whorl),
        cmocka_unit_test(test_a_clockwise_whorl_turns_clockwise),
        cmocka_unit_test(test_growth_goes_forward_in_front_and_down_below),
        cmocka_unit_test(test_a_whorl_of_the_other_sense_mirrors_growth),
        cmocka_unit_test(test_a_cowlick_turns_growth_where_it_lies),
        cmocka_unit_test(test_bad_options_are_refused),
        cmocka_unit_test(test_every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
