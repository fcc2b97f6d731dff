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

/* A ball with 300 hairs, cut to 10 cm straight out. */
static int set_up(void **state) {
    static const char text[] =
        "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\",\n"
        "\"head\": {\"kind\": \"sphere\", \"radius\": 9}, \"hair\": {\"length\": 30},\n"
        "\"steps\": [{\"name\": \"all over\", \"section\": \"all\", \"guide\": {\"length\": 10}}]}";
    static carried_out ball;
    carried_out_read(&ball, text, 300);
    carry_out(&ball);
    *state = &ball;
    return 0;
}

static int tear_down(void **state) {
    put_away(*state);
    return 0;
}

static void memory_may_fail_anywhere(void **state) {
    const carried_out *ball = *state;
    void (*const start[])(int) = {memory_fails_from, memory_fails_at};
    draw_model_options options = draw_model_default();
    options.cell = .02;
    for (int form = 0; form < 3; form++) {
        options.binary = form == 0;
        options.hair = form == 1 ? DRAW_HAIR_HELD : DRAW_HAIR_CUT;
        options.map = form == 2;
        int n = 0, before = memory.live;
        for (bool refused = true; refused; n++) {
            lw_error error = {0};
            draw_bytes out = {0};
            start[n % 2](n / 2);
            lw_status status = draw_model(&out, &ball->subject, &options, &error);
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
    const carried_out *ball = *state;
    draw_bytes out;
    lw_error error;
    draw_model_options options = draw_model_default();
    options.hair = (draw_hair)7;
    assert_int_equal(draw_model(&out, &ball->subject, &options, &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "hair");
    options = draw_model_default();
    options.cell = 0;
    assert_int_equal(draw_model(&out, &ball->subject, &options, &error), LW_ERROR_ARGUMENT);
    assert_null(out.data);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(memory_may_fail_anywhere),
        cmocka_unit_test(what_is_out_of_range_is_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
