/* How the hair of the examples lies: every hair at rest, none in the bust, and beside the ear as on a head.
 */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "example.h"
#include "lengthwise.h"
#include "vec.h"

#define DEEP 2e-4 /* metres that a node may lie in the bust: ours, a fifth of the ground's skin */
#define BASE .22  /* metres below the tragions, where the ground no longer is the bust: ground.h */

enum { HAIRS = 6000, EXAMPLES = 9 };

static const char *const examples[EXAMPLES] = {"clipper-fade",       "disconnected-layers", "fringe",
                                               "graduated-bob",      "increasing-layers",   "one-length-bob",
                                               "short-mixed-shapes", "tight-curls",         "uniform-layers"};

typedef struct fallen_hair {
    lw_plan plan;
    lw_head *head;
    lw_scalp *scalp;
    lw_cut *cut;
    lw_fall *fall;
} fallen_hair;

static void make(fallen_hair *m, const char *example, int packings) {
    lw_error error;
    example_read(&m->plan, example);
    m->plan.scalp.count = HAIRS;
    lw_fall_options options = lw_fall_default();
    options.packings = packings;
    assert_int_equal(lw_head_new(&m->head, &m->plan.head, &error), LW_OK);
    assert_int_equal(lw_scalp_new(&m->scalp, m->head, &m->plan.scalp, &error), LW_OK);
    assert_int_equal(lw_cut_new(&m->cut, m->head, m->scalp, &m->plan, NULL, &error), LW_OK);
    assert_int_equal(lw_fall_new(&m->fall, m->scalp, lw_cut_lengths(m->cut), &m->plan, &options, &error),
                     LW_OK);
}

static void clear(fallen_hair *m) {
    lw_fall_free(m->fall);
    lw_cut_free(m->cut);
    lw_scalp_free(m->scalp);
    lw_head_free(m->head);
    lw_plan_clear(&m->plan);
}

static double depth_at(const lw_head *head, lw_vec3 p) {
    lw_vec3 slope;
    double away = lw_head_bust(head, p, &slope);
    return -away / v3_norm(slope);
}

static double deepest(const fallen_hair *m, lw_vec3 *where) {
    const lw_strands *s = lw_fall_strands(m->fall);
    double most = 0;
    for (int i = 0; i < s->count; i++)
        for (int k = 1; k < s->nodes; k++) {
            lw_vec3 p = s->at[(size_t)i * (size_t)s->nodes + (size_t)k];
            double depth = p.y > -BASE ? depth_at(m->head, p) : 0;
            if (depth > most) most = depth, *where = p;
        }
    return most;
}

static void test_every_hair_rests_outside_the_bust(void **state) {
    (void)state;
    for (int e = 0; e < EXAMPLES; e++) {
        fallen_hair m;
        make(&m, examples[e], lw_fall_default().packings);
        int restless = lw_fall_tell(m.fall).not_at_rest;
        if (restless) fail_msg("%s: %d hairs are not at rest", examples[e], restless);
        lw_vec3 p = {0};
        double most = deepest(&m, &p);
        if (most > DEEP)
            fail_msg("%s: %.2f mm in the bust at %.3f %.3f %.3f", examples[e], most * 1e3, p.x, p.y, p.z);
        clear(&m);
    }
}

/* Metres from the line between the top of the nearer ear and the hairline behind it. */
static double from_ear(const lw_head *head, lw_vec3 root) {
    lw_vec3 top = lw_head_landmark(head, LW_EAR_TOP_LEFT);
    lw_vec3 to = v3_sub(lw_head_landmark(head, LW_BEHIND_EAR_LEFT), top);
    lw_vec3 from = v3_sub(v3(fabs(root.x), root.y, root.z), top);
    double along = fmin(fmax(v3_dot(from, to) / v3_dot(to, to), 0), 1);
    return v3_norm(v3_along(from, to, -along));
}

/* Hair that is rooted beside the ear and ends above the shoulders lies over the ear or behind it (common
 * practice): but for a stray one it does not stand farther out than the ear, which stands out by some 25 mm,
 * and a finger. */
static void test_no_hair_stands_out_at_the_ear(void **state) {
    (void)state;
    static const char *const short_ones[] = {"clipper-fade", "graduated-bob", "short-mixed-shapes",
                                             "tight-curls", "uniform-layers"};
    for (size_t e = 0; e < sizeof short_ones / sizeof *short_ones; e++) {
        fallen_hair m;
        make(&m, short_ones[e], lw_fall_default().packings);
        const lw_strands *s = lw_fall_strands(m.fall);
        double reach = lw_head_landmark(m.head, LW_EAR_TOP_LEFT).x + .04;
        int near = 0, out = 0;
        for (int i = 0; i < s->count; i++) {
            if (from_ear(m.head, lw_scalp_root(m.scalp, s->root[i])) > .015) continue;
            near++;
            double most = 0;
            for (int k = 1; k < s->nodes; k++)
                most = fmax(most, fabs(s->at[(size_t)i * (size_t)s->nodes + (size_t)k].x));
            out += most > reach;
        }
        if (out * 50 > near) fail_msg("%s: %d of %d hairs stand out", short_ones[e], out, near);
        assert_true(near > 100);
        clear(&m);
    }
}

/* Nothing grows out of an ear, what grows beside it comes out near where it did, and left is as right. */
static void test_roots_go_round_the_ear(void **state) {
    (void)state;
    fallen_hair m;
    make(&m, "short-mixed-shapes", 0);
    const lw_strands *s = lw_fall_strands(m.fall);
    int covered = 0, moved = 0;
    for (int i = 0; i < s->count; i++) {
        lw_vec3 root = lw_scalp_root(m.scalp, s->root[i]), out = s->at[(size_t)i * (size_t)s->nodes];
        double far = v3_norm(v3_sub(root, out));
        assert_true(depth_at(m.head, out) < DEEP);
        assert_true(fabs(lw_head_distance(m.head, out, NULL)) < 1e-5);
        assert_true(far < .012);
        assert_true(far < 1e-9 || from_ear(m.head, root) < .03);
        covered += depth_at(m.head, root) > DEEP, moved += far > 1e-4;
        lw_vec3 other = s->at[(size_t)(i ^ 1) * (size_t)s->nodes];
        assert_true(other.x == -out.x && other.y == out.y && other.z == out.z);
    }
    assert_true(covered > 20 && moved > covered && moved < .05 * s->count);
    clear(&m);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_every_hair_rests_outside_the_bust),
                                       cmocka_unit_test(test_no_hair_stands_out_at_the_ear),
                                       cmocka_unit_test(test_roots_go_round_the_ear)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
