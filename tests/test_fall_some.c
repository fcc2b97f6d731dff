/* Some of a head's hairs that fall for all of them: which they are, what they stand for, and that each falls
 * as it would among all, where hair takes no room. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "example.h"
#include "lengthwise.h"
#include "vec.h"

enum { ALL = 601, SOME = 240 };

typedef struct made {
    lw_plan plan;
    lw_head *head;
    lw_scalp *scalp;
    lw_cut *cut;
} made;

static void make(made *m) {
    lw_error error;
    example_read(&m->plan, "graduated-bob");
    m->plan.scalp.count = ALL;
    assert_int_equal(lw_head_new(&m->head, &m->plan.head, &error), LW_OK);
    assert_int_equal(lw_scalp_new(&m->scalp, m->head, &m->plan.scalp, &error), LW_OK);
    assert_int_equal(lw_cut_new(&m->cut, m->head, m->scalp, &m->plan, NULL, &error), LW_OK);
}

static void clear(made *m) {
    lw_cut_free(m->cut);
    lw_scalp_free(m->scalp);
    lw_head_free(m->head);
    lw_plan_clear(&m->plan);
}

static lw_fall *fall_of(const made *m, int hairs) {
    lw_error error;
    lw_fall *fall;
    lw_fall_options options = lw_fall_default();
    options.hairs = hairs;
    options.packings = 0;
    assert_int_equal(lw_fall_new(&fall, m->scalp, lw_cut_lengths(m->cut), &m->plan, &options, &error), LW_OK);
    return fall;
}

static double hairs_of(const lw_strands *s) {
    double sum = 0;
    for (int i = 0; i < s->count; i++) sum += s->hairs[i];
    return sum;
}

static void test_they_are_spread_in_pairs_and_stand_for_all(void **state) {
    (void)state;
    made m;
    make(&m);
    lw_fall *all = fall_of(&m, 0), *some = fall_of(&m, SOME);
    const lw_strands *a = lw_fall_strands(all), *s = lw_fall_strands(some);
    assert_int_equal(a->count, ALL);
    assert_int_equal(s->count, SOME);
    assert_true(fabs(hairs_of(s) - hairs_of(a)) <
                1e-2 * hairs_of(a)); /* 601 is odd: one has no mirror image */
    for (int i = 0; i < SOME; i++) {
        assert_true(s->root[i] >= 0 && s->root[i] < ALL);
        assert_int_equal(s->root[i] % 2, i % 2);
        if (i % 2) assert_int_equal(s->root[i], s->root[i - 1] + 1);
        if (i) assert_true(s->root[i] > s->root[i - 1] && s->root[i] - s->root[i - 1] <= 6);
    }
    lw_fall_free(all);
    lw_fall_free(some);
    clear(&m);
}

static void test_each_falls_as_among_all(void **state) {
    (void)state;
    made m;
    make(&m);
    lw_fall *all = fall_of(&m, 0), *some = fall_of(&m, SOME);
    const lw_strands *a = lw_fall_strands(all), *s = lw_fall_strands(some);
    for (int i = 0; i < SOME; i++)
        for (int k = 0; k < s->nodes; k++)
            assert_true(v3_norm(v3_sub(s->at[i * s->nodes + k], a->at[s->root[i] * a->nodes + k])) < 1e-6);
    assert_true(lw_fall_section(some) == lw_fall_section(all));
    assert_true(lw_fall_section(all) > 1e-9 && lw_fall_section(all) < 2e-8); /* 36 to 160 micrometres */
    lw_fall_free(all);
    lw_fall_free(some);
    clear(&m);
}

static void test_more_than_there_are_and_less_than_none(void **state) {
    (void)state;
    made m;
    make(&m);
    lw_fall *fall = fall_of(&m, ALL + 100);
    assert_int_equal(lw_fall_strands(fall)->count, ALL);
    lw_fall_free(fall);
    lw_fall_options options = lw_fall_default();
    lw_error error;
    options.hairs = -1;
    assert_int_equal(lw_fall_new(&fall, m.scalp, lw_cut_lengths(m.cut), &m.plan, &options, &error),
                     LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "hairs");
    assert_null(fall);
    clear(&m);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_they_are_spread_in_pairs_and_stand_for_all),
        cmocka_unit_test(test_each_falls_as_among_all),
        cmocka_unit_test(test_more_than_there_are_and_less_than_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
