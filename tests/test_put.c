/* How numbers are written: as few digits as read as the same double, whichever way they are found. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "put.h"

static void as_written(char text[40], double value) {
    json j = {0};
    put_open_inline(&j, NULL, '[');
    put_number(&j, NULL, value);
    put_close(&j, ']');
    assert_false(j.text.failed);
    memcpy(text, j.text.at + 1, j.text.size - 3); /* "[", "]" and the line's end */
    text[j.text.size - 3] = '\0';
    free(j.text.at);
}

/* By trial, which is the definition. */
static void as_few_as_read_the_same(char text[40], double value) {
    for (int digits = 15; digits <= 17; digits++) {
        snprintf(text, 40, "%.*g", digits, value);
        if (strtod(text, NULL) == value) return;
    }
}

static void one(double value) {
    char text[40], wanted[40];
    as_written(text, value), as_few_as_read_the_same(wanted, value);
    if (strcmp(text, wanted) != 0) fail_msg("%s instead of %s", text, wanted);
}

static void numbers_are_as_short_as_they_can_be(void **state) {
    (void)state;
    static const double EDGES[] = {
        0,       -0.0,    1,           -1,        1e-4,          1e-5,       -1e-6,      1e-7,
        .1,      .3,      .1 + .2,     10,        1200,          1e6 - 1e-6, 99999999.5, 99999999.999999,
        1e8,     1e15,    1e16,        1e22,      123456.789012, 1 / 3.,     5e-324,     1.7e308,
        1000000, .000123, .0001000001, 2.0000004, 2.0000005};
    for (size_t i = 0; i < sizeof EDGES / sizeof *EDGES; i++) one(EDGES[i]), one(-EDGES[i]);
    srand(7);
    for (int i = 0; i < 100000; i++) {
        double any = (rand() / (RAND_MAX + 1.) + rand()) / (1 << rand() % 31);
        one(any), one((double)(rand() % 2000000 - 1000000) / 1e6), one((double)rand() / 1e6), one(any / 1e7);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(numbers_are_as_short_as_they_can_be)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
