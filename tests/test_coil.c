/* Curl too tight for the points of a fallen hair: line and coil together are the hair that was cut. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "example.h"
#include "lengthwise.h"
#include "near.h"
#include "vec.h"

enum { COUNT = 120 };

typedef struct made {
    lw_plan plan;
    lw_head *head;
    lw_scalp *scalp;
    lw_cut *cut;
    lw_fall *fall;
} made;

static void carry_out(made *m) {
    lw_error error;
    lw_fall_options options = lw_fall_default();
    options.packings = 0;
    m->plan.scalp.count = COUNT;
    assert_int_equal(lw_head_new(&m->head, &m->plan.head, &error), LW_OK);
    assert_int_equal(lw_scalp_new(&m->scalp, m->head, &m->plan.scalp, &error), LW_OK);
    assert_int_equal(lw_cut_new(&m->cut, m->head, m->scalp, &m->plan, NULL, &error), LW_OK);
    assert_int_equal(lw_fall_new(&m->fall, m->scalp, lw_cut_lengths(m->cut), &m->plan, &options, &error),
                     LW_OK);
}

static void make(made *m, const char *name) {
    example_read(&m->plan, name);
    carry_out(m);
}

static void clear(made *m) {
    lw_fall_free(m->fall);
    lw_cut_free(m->cut);
    lw_scalp_free(m->scalp);
    lw_head_free(m->head);
    lw_plan_clear(&m->plan);
}

static double length_of(const lw_strands *s, int i) {
    double sum = 0;
    for (int k = 1; k < s->nodes; k++)
        sum += v3_norm(v3_sub(s->at[i * s->nodes + k], s->at[i * s->nodes + k - 1]));
    return sum;
}

/* A helix of radius r that turns by w radians a metre of its axis is sqrt(1 + r^2 w^2) times as long as that.
 */
static void a_line_and_its_coil_are_as_long_as_the_cut_left(void **state) {
    (void)state;
    made m;
    make(&m, "tight-curls");
    const lw_strands *s = lw_fall_strands(m.fall);
    int coiled = 0;
    for (int i = 0; i < s->count; i++) {
        lw_coil c = s->coil[i];
        double whole = length_of(s, i) * sqrt(1 + c.radius * c.radius * c.turn * c.turn);
        assert_near(whole / lw_cut_lengths(m.cut)[s->root[i]], 1, 1e-5);
        if (c.radius == 0) continue;
        coiled++;
        /* the plan's: 6 mm wide, a turn every 7 mm */
        assert_near(c.radius, .003, 1e-9);
        assert_near(fabs(c.turn), 2 * LW_PI / .007, 1e-3);
    }
    assert_true(coiled > COUNT / 4);
    clear(&m);
}

static void mirrored_roots_wind_the_other_way(void **state) {
    (void)state;
    made m;
    make(&m, "tight-curls");
    const lw_strands *s = lw_fall_strands(m.fall);
    for (int i = 0; i + 1 < s->count; i += 2)
        if (s->coil[i].radius > 0 && s->coil[i + 1].radius > 0)
            assert_near(s->coil[i].turn, -s->coil[i + 1].turn, 0);
    clear(&m);
}

static void straight_hair_has_none(void **state) {
    (void)state;
    made m;
    make(&m, "graduated-bob");
    const lw_strands *s = lw_fall_strands(m.fall);
    for (int i = 0; i < s->count; i++) assert_true(s->coil[i].radius == 0 && s->coil[i].turn == 0);
    clear(&m);
}

/* Dried round a brush of 1 cm, straight hair has curvature and no twist: its rings would lie in one plane. */
static void rings_lie_side_by_side(void **state) {
    (void)state;
    made m;
    example_read(&m.plan, "fringe");
    m.plan.worn.dried = LW_DRIED_UNDER, m.plan.worn.brush = .01, m.plan.worn.taken = 1;
    m.plan.worn.ends = 0;
    carry_out(&m);
    const lw_strands *s = lw_fall_strands(m.fall);
    int coiled = 0;
    for (int i = 0; i < s->count; i++) {
        lw_coil c = s->coil[i];
        assert_true(isfinite(c.radius) && isfinite(c.turn) && isfinite(length_of(s, i)));
        if (c.turn == 0) continue;
        coiled++;
        assert_near(length_of(s, i) / lw_cut_lengths(m.cut)[s->root[i]], .1, 1e-6);
        assert_near(hypot(1, c.radius * c.turn), 10, 1e-6);
    }
    assert_true(coiled > COUNT / 2);
    assert_int_equal(lw_fall_tell(m.fall).not_at_rest, 0);
    clear(&m);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_line_and_its_coil_are_as_long_as_the_cut_left),
        cmocka_unit_test(mirrored_roots_wind_the_other_way),
        cmocka_unit_test(straight_hair_has_none),
        cmocka_unit_test(rings_lie_side_by_side),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
