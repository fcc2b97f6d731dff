/* Walking through JSON text that may end anywhere: never a byte read after its end, always a place within it.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "scan.h"

typedef void walk(scan *s);

static void over_value(scan *s) {
    const char *start;
    size_t size;
    if (scan_value(s, &start, &size)) assert_true(start >= s->text && start + size <= s->text + s->size);
}

static void over_object(scan *s) {
    const char *start;
    size_t size;
    if (scan_object(s, &start, &size)) assert_true(start >= s->text && start + size <= s->text + s->size);
}

static void one_text(scan *s) { free(scan_text(s, 64)); }

static void one_number(scan *s) { (void)scan_whole(s); }

/* Keys, and what they say as text. */
static void all_pairs(scan *s) {
    char key[16];
    for (bool first = scan_open(s, '{'); scan_more(s, '}', &first);)
        if (scan_key(s, key, sizeof key)) free(scan_text(s, 64));
    (void)scan_end(s);
}

/* In memory of its exact size, which AddressSanitizer watches: up to that byte, no further. */
static lw_status walked(const char *text, size_t size, walk *how) {
    lw_error error;
    char *exact = malloc(size ? size : 1);
    assert_non_null(exact);
    memcpy(exact, text, size);
    scan s = scan_begin(exact, size, &error);
    how(&s);
    assert_true(s.at <= s.size);
    if (error.status) {
        assert_true(error.message[0] && error.remedy[0]);
        assert_true(error.line >= 1 && error.column >= 1 && error.column <= (int)size + 1);
    }
    free(exact);
    return error.status;
}

/* Whole it is read; cut anywhere before its last byte it is refused. */
static void check_cut(const char *text, walk *how) {
    size_t size = strlen(text);
    assert_int_equal(walked(text, size, how), LW_OK);
    for (size_t cut = 0; cut < size; cut++) assert_int_equal(walked(text, cut, how), LW_ERROR_SYNTAX);
}

static void a_text_that_ends_anywhere_is_refused_at_its_end(void **state) {
    (void)state;
    check_cut("{\"a\\\\\": [\"\\\"]\", {\"b\\u00e9\": \"\\\\\\\\\"}]}", over_value);
    check_cut("{\"a\\\\\": [\"\\\"]\", {\"b\\u00e9\": \"\\\\\\\\\"}]}", over_object);
    check_cut("\"one \\\\ two \\\" \\ud83d\\ude00 \xC3\xA9\"", over_value);
    check_cut("\"one \\\\ two \\\" \\ud83d\\ude00 \xC3\xA9\"", one_text);
    check_cut("{\"a\": \"\\\\\", \"b\": \"\\n\"}", all_pairs);
    check_cut("12,", one_number);
}

static void a_place_counts_lines_and_bytes(void **state) {
    (void)state;
    lw_error error;
    const char text[] = "{\n\n  \"ab\": \"\\";
    const char *start;
    size_t size;
    scan s = scan_begin(text, sizeof text - 1, &error);
    assert_false(scan_object(&s, &start, &size));
    assert_int_equal(error.line, 3);
    assert_int_equal(error.column, 11);
    assert_string_equal(error.message, "the text ends inside quotes");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_text_that_ends_anywhere_is_refused_at_its_end),
        cmocka_unit_test(a_place_counts_lines_and_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
