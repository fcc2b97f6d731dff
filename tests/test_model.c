/* The model of a cut where memory fails: every allocation in turn, nothing kept. What a model says is read
 * back by test_export.py and by the validator in tests/gltf. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "carried_out.h"
#include "failing.h"

typedef struct fallen_ball {
    carried_out cut;
    lw_fall *fall;
} fallen_ball;

/* A ball with 300 hairs, cut to 10 cm straight out. */
static int set_up(void **state) {
    static const char text[] =
        "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\",\n"
        "\"head\": {\"kind\": \"sphere\", \"radius\": 9}, \"hair\": {\"length\": 30},\n"
        "\"steps\": [{\"name\": \"all over\", \"section\": \"all\", \"guide\": {\"length\": 10}}]}";
    static fallen_ball ball;
    lw_error error = {0};
    carried_out_read(&ball.cut, text, 300);
    carry_out(&ball.cut);
    if (lw_fall_new(&ball.fall, ball.cut.scalp, lw_cut_lengths(ball.cut.cut), &ball.cut.plan, NULL, &error))
        fail_msg("%s", error.message);
    *state = &ball;
    return 0;
}

static int tear_down(void **state) {
    fallen_ball *ball = *state;
    lw_fall_free(ball->fall);
    put_away(&ball->cut);
    return 0;
}

static void memory_may_fail_anywhere(void **state) {
    const fallen_ball *ball = *state;
    const lw_strands *fallen = lw_fall_strands(ball->fall);
    void (*const start[])(int) = {memory_fails_from, memory_fails_at};
    draw_model_options options = draw_model_default();
    options.cell = .02;
    for (int form = 0; form < 3; form++) {
        options.binary = form == 0;
        options.hair = form == 1 ? DRAW_HAIR_HELD : DRAW_HAIR_FALLEN;
        options.map = form == 2;
        int n = 0, before = memory.live;
        for (bool refused = true; refused; n++) {
            lw_error error = {0};
            draw_bytes out = {0};
            start[n % 2](n / 2);
            lw_status status = draw_model(&out, &ball->cut.subject, fallen, &options, &error);
            refused = memory_failed();
            assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
            assert_int_equal(error.status, status);
            if (refused) {
                assert_true(error.message[0]);
                assert_null(out.data);
            }
            draw_bytes_clear(&out);
            assert_int_equal(memory.live, before);
        }
        assert_true(n > 16);
    }
}

static void what_is_out_of_range_is_refused(void **state) {
    const fallen_ball *ball = *state;
    const lw_strands *fallen = lw_fall_strands(ball->fall);
    draw_bytes out;
    lw_error error;
    draw_model_options options = draw_model_default();
    options.hair = (draw_hair)7;
    assert_int_equal(draw_model(&out, &ball->cut.subject, fallen, &options, &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "hair");
    options = draw_model_default();
    lw_strands few = *fallen;
    few.count--;
    const lw_strands *const bad[] = {NULL, &few};
    for (int i = 0; i < 2; i++) {
        assert_int_equal(draw_model(&out, &ball->cut.subject, bad[i], &options, &error), LW_ERROR_ARGUMENT);
        assert_string_equal(error.place, "fallen");
    }
    options.cell = 0;
    assert_int_equal(draw_model(&out, &ball->cut.subject, fallen, &options, &error), LW_ERROR_ARGUMENT);
    assert_null(out.data);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(memory_may_fail_anywhere),
        cmocka_unit_test(what_is_out_of_range_is_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
