/* The model of a cut where memory fails: every allocation in turn, nothing kept. What a model says is read
 * back by test_export.py and by the validator in tests/gltf. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "draw.h"

static int allocations_left = -1; /* -1: all succeed */
static int live;

void *__real_malloc(size_t size);
void *__real_calloc(size_t n, size_t size);
void *__real_realloc(void *p, size_t size);
void __real_free(void *p);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t n, size_t size);
void *__wrap_realloc(void *p, size_t size);
void __wrap_free(void *p);

static bool refuse(void) { return allocations_left >= 0 && allocations_left-- <= 0; }
static void *held(void *p) {
    live += p != NULL;
    return p;
}
void *__wrap_malloc(size_t size) { return refuse() ? NULL : held(__real_malloc(size)); }
void *__wrap_calloc(size_t n, size_t size) { return refuse() ? NULL : held(__real_calloc(n, size)); }
void *__wrap_realloc(void *p, size_t size) {
    if (refuse()) return NULL;
    return p ? __real_realloc(p, size) : held(__real_malloc(size));
}
void __wrap_free(void *p) {
    live -= p != NULL;
    __real_free(p);
}

typedef struct scene {
    lw_plan plan;
    lw_step step;
    lw_head *head;
    lw_scalp *scalp;
    lw_cut *cut;
    draw_subject subject;
} scene;

/* A ball with 300 hairs, cut to 10 cm straight out. */
static int set_up(void **state) {
    static scene s;
    lw_error error;
    s.plan = lw_plan_default();
    s.plan.head.kind = LW_HEAD_SPHERE;
    s.plan.head.axes[0] = 0.09;
    s.plan.scalp.count = 300;
    s.step = lw_step_default();
    strcpy(s.step.name, "all over");
    strcpy(s.step.section, "all");
    s.step.guide.length = 0.1;
    s.plan.steps = &s.step;
    s.plan.step_count = 1;
    s.subject = (draw_subject){.plan = &s.plan};
    if (lw_head_new(&s.head, &s.plan.head, &error)) return -1;
    if (lw_scalp_new(&s.scalp, s.head, &s.plan.scalp, &error)) return -1;
    if (lw_cut_new(&s.cut, s.head, s.scalp, &s.plan, NULL, &error)) return -1;
    s.subject.head = s.head, s.subject.scalp = s.scalp, s.subject.cut = s.cut;
    *state = &s;
    return 0;
}

static int tear_down(void **state) {
    scene *s = *state;
    lw_cut_free(s->cut);
    lw_scalp_free(s->scalp);
    lw_head_free(s->head);
    return 0;
}

static void memory_may_fail_anywhere(void **state) {
    scene *s = *state;
    draw_model_options options = draw_model_default();
    options.cell = .02;
    for (int form = 0; form < 3; form++) {
        options.binary = form == 0;
        options.hair = form == 1 ? DRAW_HAIR_HELD : DRAW_HAIR_CUT;
        options.map = form == 2;
        lw_status status = LW_ERROR_MEMORY;
        int n = 0, before = live;
        for (; status != LW_OK; n++) {
            lw_error error = {0};
            draw_bytes out = {0};
            allocations_left = n;
            status = draw_model(&out, &s->subject, &options, &error);
            allocations_left = -1;
            if (status != LW_OK) {
                assert_int_equal(status, LW_ERROR_MEMORY);
                assert_int_equal(error.status, LW_ERROR_MEMORY);
                assert_true(error.message[0]);
                assert_null(out.data);
            }
            draw_bytes_clear(&out);
            assert_int_equal(live, before);
        }
        assert_true(n > 8);
    }
}

static void what_is_out_of_range_is_refused(void **state) {
    scene *s = *state;
    draw_bytes out;
    lw_error error;
    draw_model_options options = draw_model_default();
    options.hair = (draw_hair)7;
    assert_int_equal(draw_model(&out, &s->subject, &options, &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "hair");
    options = draw_model_default();
    options.cell = 0;
    assert_int_equal(draw_model(&out, &s->subject, &options, &error), LW_ERROR_ARGUMENT);
    assert_null(out.data);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(memory_may_fail_anywhere),
        cmocka_unit_test(what_is_out_of_range_is_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
