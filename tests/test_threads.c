/* The same bits for any number of threads, and from run to run; a seed changes only what a seed may change.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "example.h"
#include "lengthwise.h"

static const char *const EXAMPLES[] = {"one-length-bob", "graduated-bob", "uniform-layers"};
#define COUNT (sizeof EXAMPLES / sizeof *EXAMPLES)
#define HAIRS 5000

static void read_example(lw_plan *plan, const char *name) {
    example_read(plan, name);
    plan->scalp.count = HAIRS;
}

static void cut_with(const lw_plan *plan, int threads, double *lengths) {
    lw_error error;
    lw_head *head;
    lw_scalp *scalp;
    lw_cut *cut;
    lw_cut_options options = lw_cut_default();
    options.threads = threads;
    assert_int_equal(lw_head_new(&head, &plan->head, &error), LW_OK);
    assert_int_equal(lw_scalp_new(&scalp, head, &plan->scalp, &error), LW_OK);
    assert_int_equal(lw_cut_new(&cut, head, scalp, plan, &options, &error), LW_OK);
    memcpy(lengths, lw_cut_lengths(cut), sizeof *lengths * HAIRS);
    lw_cut_free(cut);
    lw_scalp_free(scalp);
    lw_head_free(head);
}

static void same_bits_for_any_number_of_threads(void **state) {
    (void)state;
    static double one[HAIRS], many[HAIRS];
    for (size_t i = 0; i < COUNT; i++) {
        lw_plan plan;
        read_example(&plan, EXAMPLES[i]);
        cut_with(&plan, 1, one);
        for (int threads = 2; threads <= 5; threads += 3) {
            cut_with(&plan, threads, many);
            assert_memory_equal(one, many, sizeof one);
        }
        lw_plan_clear(&plan);
    }
}

static void a_hand_s_errors_repeat_with_their_seed(void **state) {
    (void)state;
    static double first[HAIRS], again[HAIRS], other[HAIRS];
    lw_plan plan;
    read_example(&plan, EXAMPLES[0]);
    plan.hands.error_length = 0.002;
    cut_with(&plan, 2, first);
    cut_with(&plan, 1, again);
    plan.hands.seed += 1;
    cut_with(&plan, 2, other);
    assert_memory_equal(first, again, sizeof first);
    assert_memory_not_equal(first, other, sizeof first);
    lw_plan_clear(&plan);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(same_bits_for_any_number_of_threads),
        cmocka_unit_test(a_hand_s_errors_repeat_with_their_seed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
