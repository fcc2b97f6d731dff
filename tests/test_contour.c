/* Lines round what lies above a level: on grids small enough to draw. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "contour.h"
#include "failing.h"
#include "near.h"

/* Rows from the top, as drawn: '#' is 1, 'x' 0.75, the rest 0. The picture has its rim. */
static contour drawn(const char *const *rows, int wide, int high) {
    float values[400] = {0};
    for (int y = 0; y < high; y++)
        for (int x = 0; x < wide; x++) {
            char c = rows[high - 1 - y][x];
            values[y * wide + x] = c == '#' ? 1 : c == 'x' ? .75F : 0;
        }
    contour line;
    assert_true(contour_largest(&line, values, wide, high, .5F));
    return line;
}

static double area(const contour *line) {
    double twice = 0;
    for (int i = 0; i < line->count; i++) {
        const double *a = line->at[i], *b = line->at[(i + 1) % line->count];
        twice += a[0] * b[1] - a[1] * b[0];
    }
    return twice / 2;
}

static void a_block_with_its_corners_cut(void **state) {
    (void)state;
    contour line = drawn((const char *const[]){".....", ".###.", ".###.", "....."}, 5, 4);
    /* A crossing half way from each point to the rim: 3 by 2, less four corners of 1/8. */
    assert_int_equal(line.count, 10);
    assert_near(area(&line), 3 * 2 - 4 / 8.0, 1e-12);
    for (int i = 0; i < line.count; i++) {
        assert_true(line.at[i][0] >= .5 && line.at[i][0] <= 3.5);
        assert_true(line.at[i][1] >= .5 && line.at[i][1] <= 2.5);
    }
    free(line.at);
}

static void a_crossing_lies_where_the_level_is(void **state) {
    (void)state;
    contour line = drawn((const char *const[]){"...", ".x.", "..."}, 3, 3);
    assert_int_equal(line.count, 4);
    for (int i = 0; i < 4; i++) assert_near(fabs(line.at[i][0] - 1) + fabs(line.at[i][1] - 1), 1 / 3.0, 1e-7);
    free(line.at);
}

static void the_largest_is_taken_and_not_its_hole(void **state) {
    (void)state;
    contour line = drawn(
        (const char *const[]){".........", ".#.#####.", "...#...#.", "...#...#.", "...#####.", "........."},
        9, 6);
    assert_near(area(&line), 5 * 4 - 4 / 8.0, 1e-12);
    free(line.at);
}

/* Two blocks that touch at a corner: one line where the middle lies above the level, two where it does not.
 */
static void corners_that_touch(void **state) {
    (void)state;
    contour line =
        drawn((const char *const[]){"......", "...##.", "...##.", ".##...", ".##...", "......"}, 6, 6);
    assert_near(area(&line), 4 - 4 / 8.0, 1e-12); /* the mean of 1, 0, 1, 0 is not above .5 */
    free(line.at);
    float joined[36] = {0};
    static const int block[8] = {7, 8, 13, 14, 21, 22, 27, 28};
    for (int i = 0; i < 8; i++) joined[block[i]] = 1.2F;
    assert_true(contour_largest(&line, joined, 6, 6, .5F));
    assert_true(area(&line) > 2 * 3.5);
    free(line.at);
}

static void nothing_has_no_line(void **state) {
    (void)state;
    contour line = drawn((const char *const[]){"...", "...", "..."}, 3, 3);
    assert_int_equal(line.count, 0);
    assert_null(line.at);
}

static void memory_can_fail(void **state) {
    (void)state;
    float values[9] = {0, 0, 0, 0, 1, 0, 0, 0, 0};
    contour line;
    for (int n = 0; n < 3; n++) {
        int held = memory.live;
        memory_fails_from(n);
        assert_false(contour_largest(&line, values, 3, 3, .5F));
        assert_true(memory_failed());
        assert_int_equal(memory.live, held);
        assert_int_equal(line.count, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_block_with_its_corners_cut),
        cmocka_unit_test(a_crossing_lies_where_the_level_is),
        cmocka_unit_test(the_largest_is_taken_and_not_its_hole),
        cmocka_unit_test(corners_that_touch),
        cmocka_unit_test(nothing_has_no_line),
        cmocka_unit_test(memory_can_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
