/* A plan changed and cut again: what is kept from cut to cut changes no bit of any of them, whatever was
 * changed, and warnings are the same now or later. Random edits of the examples, from their seed. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "example.h"
#include "failing.h"
#include "lengthwise.h"
#include "near.h"

#define HAIRS 1500
#define EDITS 16

static const char *const EXAMPLES[] = {"one-length-bob",    "graduated-bob", "disconnected-layers",
                                       "increasing-layers", "clipper-fade",  "tight-curls"};
#define COUNT (sizeof EXAMPLES / sizeof *EXAMPLES)

typedef struct ground {
    lw_plan plan;
    lw_head *head;
    lw_scalp *scalp;
    lw_paths *paths;
} ground;

static void take(ground *g, const char *example) {
    lw_error error;
    example_read(&g->plan, example);
    g->plan.scalp.count = HAIRS;
    if (lw_head_new(&g->head, &g->plan.head, &error) ||
        lw_scalp_new(&g->scalp, g->head, &g->plan.scalp, &error) || lw_paths_new(&g->paths, g->scalp, &error))
        fail_msg("%s: %s", error.place, error.message);
}

static void leave(ground *g) {
    lw_paths_free(g->paths);
    lw_scalp_free(g->scalp);
    lw_head_free(g->head);
    lw_plan_clear(&g->plan);
}

static lw_cut *cut_with(const ground *g, lw_cut_options options) {
    lw_error error;
    lw_cut *cut;
    if (lw_cut_new(&cut, g->head, g->scalp, &g->plan, &options, &error))
        fail_msg("%s: %s", error.place, error.message);
    return cut;
}

static void same_warnings(const lw_cut *a, const lw_cut *b) {
    assert_int_equal(lw_cut_warning_count(a), lw_cut_warning_count(b));
    for (int i = 0; i < lw_cut_warning_count(a); i++) {
        const lw_warning *of = lw_cut_warning(a, i), *as = lw_cut_warning(b, i);
        assert_int_equal(of->step, as->step);
        assert_int_equal(of->panel, as->panel);
        assert_string_equal(of->message, as->message);
    }
}

static void same_bits(const lw_cut *a, const lw_cut *b) {
    assert_memory_equal(lw_cut_lengths(a), lw_cut_lengths(b), sizeof(double) * HAIRS);
    assert_memory_equal(lw_cut_before(a), lw_cut_before(b), sizeof(double) * HAIRS);
    assert_memory_equal(lw_cut_set_by(a), lw_cut_set_by(b), sizeof(int32_t) * HAIRS);
    assert_int_equal(lw_cut_panel_count(a), lw_cut_panel_count(b));
    for (int i = 0; i < lw_cut_panel_count(a); i++) {
        const lw_panel *of = lw_cut_panel(a, i), *as = lw_cut_panel(b, i);
        assert_memory_equal(&of->place, &as->place, sizeof of->place);
        assert_memory_equal(&of->direction, &as->direction, sizeof of->direction);
        assert_int_equal(of->cut, as->cut);
        assert_int_equal(of->line_count, as->line_count);
        assert_memory_equal(lw_cut_lines(a) + of->line_first, lw_cut_lines(b) + as->line_first,
                            sizeof(lw_line_point) * of->line_count);
    }
}

static double between(double low, double high) { return low + (high - low) * rand() / RAND_MAX; }

/* One change, as of a knob. */
static void edit(lw_plan *plan) {
    lw_step *s = &plan->steps[rand() % plan->step_count];
    switch (rand() % 11) {
    case 0:
        if (s->guide.length > 0) s->guide.length *= between(0.8, 1.2);
        break;
    case 1:
        s->hold.elevation = between(0, 3);
        break;
    case 2:
        s->panels.thickness *= between(0.7, 1.5);
        break;
    case 3:
        s->hold.carry = rand() % 3 * 0.5;
        break;
    case 4:
        s->line.kind = rand() % 2 ? LW_LINE_STRAIGHT : LW_LINE_FOLLOW;
        break;
    case 5:
        plan->hair.length *= between(0.6, 1.3);
        break;
    case 6:
        s->panels.start = s->panels.start == LW_EDGE_TOP ? LW_EDGE_BOTTOM : LW_EDGE_TOP;
        s->panels.family = LW_FAMILY_LEVEL;
        break;
    case 7:
        if (s->guide.length > 0) s->guide.at = (lw_place){LW_CROWN, LW_FRONT_HAIRLINE, between(0, 1)};
        break;
    case 8: {
        lw_split *split = &plan->splits[rand() % plan->split_count];
        split->parting.offset += between(-.002, .002);
        break;
    }
    case 9: {
        lw_place *to = &plan->splits[rand() % plan->split_count].parting.places[0];
        if (to->to >= 0) to->at *= between(.9, 1.1);
        break;
    }
    default:
        plan->hands.bites = !plan->hands.bites;
        plan->hands.span = 0.06;
    }
}

static void what_is_kept_changes_no_bit(void **state) {
    (void)state;
    srand(5);
    for (size_t e = 0; e < COUNT; e++) {
        ground g;
        take(&g, EXAMPLES[e]);
        for (int i = 0; i < EDITS; i++) {
            lw_step before = g.plan.steps[0];
            if (i > 0) edit(&g.plan);
            for (int again = 0; again < 2; again++) {
                lw_cut_options kept = lw_cut_default();
                kept.paths = g.paths;
                kept.threads = 1 + i % 2;
                lw_cut *fresh = cut_with(&g, lw_cut_default()), *cut = cut_with(&g, kept);
                same_bits(fresh, cut);
                same_warnings(fresh, cut);
                lw_cut_free(fresh);
                lw_cut_free(cut);
                if (i % 3 == 2) g.plan.steps[0] = before;
            }
        }
        leave(&g);
    }
}

/* Everything that panels are made of, changed alone, after a cut that has kept the panels as they were. */
static void panels_are_kept_by_all_they_are_made_of(void **state) {
    (void)state;
    enum { CHANGES = 9 };
    int others[CHANGES] = {0};
    for (size_t e = 0; e < COUNT; e++) {
        ground g;
        take(&g, EXAMPLES[e]);
        g.plan.hands.bites = true, g.plan.hands.span = 0.06;
        lw_cut_options kept = lw_cut_default();
        kept.paths = g.paths;
        lw_cut *as_it_was = cut_with(&g, kept);
        for (int i = 0; i < CHANGES * g.plan.step_count; i++) {
            lw_step *s = &g.plan.steps[i / CHANGES], before = *s;
            lw_panels *p = &s->panels;
            switch (i % CHANGES) {
            case 0:
                p->family = p->family == LW_FAMILY_DIAGONAL_BACK ? LW_FAMILY_DIAGONAL_FORWARD
                                                                 : LW_FAMILY_DIAGONAL_BACK;
                break;
            case 1:
                p->angle += 0.2;
                break;
            case 2:
                p->thickness *= 1.3;
                break;
            case 3:
                p->start = p->family == LW_FAMILY_LEVEL ? LW_EDGE_TOP : LW_EDGE_LEFT;
                break;
            case 4:
                p->start = LW_EDGE_CENTRE;
                lw_cut_free(cut_with(&g, kept));
                p->order = p->order == LW_ORDER_IN_TURN ? LW_ORDER_ALTERNATE : LW_ORDER_IN_TURN;
                break;
            case 5:
                p->pivot = (lw_place){LW_APEX, -1, 0};
                break;
            case 6:
                s->guide.at = (lw_place){LW_EAR_TOP_LEFT, -1, 0};
                break;
            case 7:
                s->hold.reference = LW_FIXED;
                break;
            default:
                s->hold.carry = 0.3;
            }
            lw_cut *cut, *fresh;
            lw_error error;
            lw_cut_options none = lw_cut_default();
            if (lw_cut_new(&cut, g.head, g.scalp, &g.plan, &kept, &error) == LW_OK) {
                assert_int_equal(lw_cut_new(&fresh, g.head, g.scalp, &g.plan, &none, &error), LW_OK);
                same_bits(fresh, cut);
                others[i % CHANGES] +=
                    memcmp(lw_cut_lengths(as_it_was), lw_cut_lengths(cut), sizeof(double) * HAIRS) != 0;
                lw_cut_free(cut);
                lw_cut_free(fresh);
            }
            *s = before;
            lw_cut_free(cut_with(&g, kept));
        }
        lw_cut_free(as_it_was);
        leave(&g);
    }
    for (int i = 0; i < CHANGES; i++)
        if (others[i] == 0) fail_msg("change %d changed nothing", i);
}

static void warnings_can_be_looked_for_later(void **state) {
    (void)state;
    lw_error error;
    int found = 0;
    for (size_t e = 0; e < COUNT; e++) {
        ground g;
        take(&g, EXAMPLES[e]);
        g.plan.hair.length = 0.06; /* too short for most guides */
        lw_cut_options later = lw_cut_default();
        later.check_later = true;
        later.paths = e % 2 ? g.paths : NULL;
        lw_cut *now = cut_with(&g, lw_cut_default()), *cut = cut_with(&g, later);
        assert_int_equal(lw_cut_warning_count(cut), 0);
        same_bits(now, cut);
        memory_fails_from(0);
        assert_int_equal(lw_cut_check(cut, &error), LW_ERROR_MEMORY);
        assert_true(memory_failed());
        assert_int_equal(lw_cut_warning_count(cut), 0);
        for (int twice = 0; twice < 2; twice++) {
            assert_int_equal(lw_cut_check(cut, &error), LW_OK);
            same_warnings(now, cut);
        }
        found += lw_cut_warning_count(cut);
        lw_cut_free(now);
        lw_cut_free(cut);
        leave(&g);
    }
    assert_true(found > 6);
}

static void paths_of_another_scalp_are_refused(void **state) {
    (void)state;
    ground one, other;
    take(&one, EXAMPLES[0]);
    take(&other, EXAMPLES[0]);
    lw_cut_options options = lw_cut_default();
    options.paths = other.paths;
    lw_cut *cut;
    lw_error error;
    assert_int_equal(lw_cut_new(&cut, one.head, one.scalp, &one.plan, &options, &error), LW_ERROR_ARGUMENT);
    assert_null(cut);
    assert_string_equal(error.place, "paths");
    leave(&one);
    leave(&other);
}

static void memory_may_fail_anywhere(void **state) {
    (void)state;
    void (*const start[])(int) = {memory_fails_from, memory_fails_at};
    ground g;
    take(&g, "increasing-layers");
    int n = 0, before = memory.live;
    for (bool refused = true; refused; n++) {
        lw_error error = {0};
        lw_paths *paths = NULL;
        lw_cut *cut = NULL;
        lw_cut_options options = {.threads = 1, .check_later = true};
        start[n % 2](n / 2);
        lw_status status = lw_paths_new(&paths, g.scalp, &error);
        options.paths = paths;
        if (status == LW_OK) status = lw_cut_new(&cut, g.head, g.scalp, &g.plan, &options, &error);
        if (status == LW_OK) status = lw_cut_check(cut, &error);
        refused = memory_failed();
        assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
        assert_true(!refused || error.message[0]);
        lw_cut_free(cut);
        lw_paths_free(paths);
        assert_int_equal(memory.live, before);
    }
    assert_true(n > 30);
    leave(&g);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_kept_changes_no_bit),
        cmocka_unit_test(panels_are_kept_by_all_they_are_made_of),
        cmocka_unit_test(warnings_can_be_looked_for_later),
        cmocka_unit_test(paths_of_another_scalp_are_refused),
        cmocka_unit_test(memory_may_fail_anywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
