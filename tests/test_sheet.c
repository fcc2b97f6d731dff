/* The sheet's pages as lists of marks: nothing leaves the page, no words lie on others, every figure says in
 * words what it shows, and every part that is opened is closed. And memory that runs out anywhere leaves
 * nothing behind. */
#include <glob.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "carried_out.h"
#include "failing.h"
#include "sheet.h"

/* One step on a ball as small as a fist: a sheet of all its parts, drawn soon. */
static void carry_out_ball(carried_out *c) {
    static const char text[] =
        "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\", \"title\": \"Ball\",\n"
        "\"head\": {\"kind\": \"sphere\", \"radius\": 5}, \"hair\": {\"length\": 30},\n"
        "\"steps\": [{\"name\": \"a\", \"section\": \"all\", \"panels\": {\"thickness\": 3},\n"
        "\"guide\": {\"kind\": \"travelling\", \"length\": 9}}]}";
    carried_out_read(c, text, 200);
    carry_out(c);
}

/* ---- pages ---- */

/* The box of words as they are set, which may be narrower than the box they are given. */
static frame words_box(const drawing *d, const mark *m) {
    frame box = m->at;
    point size = text_size((text_role)m->role, m->wraps ? m->at.width : 0, drawing_text(d, m->text));
    if (m->turn != 0) return box;
    if (m->align == ALIGN_CENTRE) box.x += (box.width - size.x) / 2;
    if (m->align == ALIGN_END) box.x += box.width - size.x;
    box.width = size.x;
    return box;
}

static bool on_the_page(const drawing *d, frame box) {
    const double edge = 18; /* a quarter of an inch, which most printers leave white: common practice */
    return box.x >= edge && box.y >= edge && box.x + box.width <= d->width - edge &&
           box.y + box.height <= d->height - edge;
}

/* Words of the page itself; those in drawings keep clear of each other by their own rules. */
static bool of_the_page(const mark *m) {
    return m->kind == MARK_TEXT && m->role != TEXT_LABEL && m->role != TEXT_NUMBER;
}

static bool overlap(frame a, frame b) {
    const double beside = 1, above = 2.5; /* lines are set with more than that above and below the letters */
    return a.x + beside < b.x + b.width && b.x + beside < a.x + a.width && a.y + above < b.y + b.height &&
           b.y + above < a.y + a.height;
}

static void check_words(const char *name, int page, const drawing *d) {
    frame *boxes = calloc((size_t)d->mark_count + 1, sizeof *boxes);
    assert_non_null(boxes);
    for (int i = 0; i < d->mark_count; i++) {
        const mark *m = &d->marks[i];
        if (m->kind != MARK_TEXT) continue;
        boxes[i] = words_box(d, m);
        if (!on_the_page(d, boxes[i]))
            fail_msg("%s, page %d: \"%s\" leaves the page", name, page, drawing_text(d, m->text));
        for (int k = 0; k < i && of_the_page(m); k++)
            if (of_the_page(&d->marks[k]) && overlap(boxes[i], boxes[k]))
                fail_msg("%s, page %d: \"%s\" lies on \"%s\"", name, page, drawing_text(d, m->text),
                         drawing_text(d, d->marks[k].text));
    }
    free(boxes);
}

static void check_lines(const char *name, int page, const drawing *d) {
    for (int i = 0; i < d->point_count; i++)
        if (!(d->points[i].x >= 0 && d->points[i].y >= 0 && d->points[i].x <= d->width &&
              d->points[i].y <= d->height))
            fail_msg("%s, page %d: a point at %g, %g", name, page, d->points[i].x, d->points[i].y);
}

/* Parts nest, and every figure says what it shows. Returns the number of figures. */
static int check_parts(const char *name, int page, const drawing *d) {
    int depth = 0, figures = 0;
    for (int i = 0; i < d->mark_count; i++) {
        const mark *m = &d->marks[i];
        if (m->kind == MARK_CLOSE) depth--;
        if (depth < 0) fail_msg("%s, page %d: more parts closed than opened", name, page);
        if (m->kind != MARK_OPEN) continue;
        depth++;
        if (m->role != PART_FIGURE) continue;
        figures++;
        if (strlen(drawing_text(d, m->text)) < 10)
            fail_msg("%s, page %d: a figure without words", name, page);
    }
    if (depth) fail_msg("%s, page %d: a part left open", name, page);
    return figures;
}

static void check_sheet(const carried_out *c, const char *name, draw_use use, draw_paper paper) {
    draw_sheet_options options = draw_sheet_default();
    lw_error error = {0};
    sheet s;
    options.use = use, options.paper = paper, options.date = "2026-03-01";
    if (sheet_make(&s, &c->subject, &options, &error)) fail_msg("%s: %s", name, error.message);
    int figures = 0;
    for (int i = 0; i < s.page_count; i++) {
        assert_false(s.pages[i].failed);
        check_words(name, i + 1, &s.pages[i]);
        check_lines(name, i + 1, &s.pages[i]);
        figures += check_parts(name, i + 1, &s.pages[i]);
    }
    /* Five heads and the map's scale; two for a step; three views of the fall. */
    int wanted = use == DRAW_KEY ? 0 : 5 + (use == DRAW_SHEET) + 2 * c->plan.step_count;
    if (c->subject.fallen) wanted += 3;
    assert_int_equal(figures, wanted);
    sheet_clear(&s);
}

/* Each example on one of the papers, that which test_sheet.py does not print it on, and every third as a
 * worksheet as well, before its hair falls and after. */
static void test_pages(void **state) {
    (void)state;
    char pattern[4096];
    const char *few = getenv("LW_EXAMPLES"); /* see meson.build */
    glob_t found;
    example_path(pattern, sizeof pattern, "*.json");
    assert_int_equal(glob(pattern, 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        char name[LW_NAME_MAX];
        carried_out c;
        snprintf(name, sizeof name, "%s", strrchr(found.gl_pathv[i], '/') + 1);
        *strrchr(name, '.') = 0;
        if (few && !strstr(few, name)) continue;
        carry_out_example(&c, name, 3000);
        check_sheet(&c, name, DRAW_SHEET, i % 2 ? DRAW_A4 : DRAW_LETTER);
        check_sheet(&c, name, DRAW_KEY, DRAW_A4);
        for (int fallen = 0; i % 3 == 0 && fallen < 2; fallen++) {
            if (fallen) let_it_fall(&c, 1000, 1);
            if (fallen) check_sheet(&c, name, DRAW_SHEET, DRAW_LETTER);
            if (fallen) check_sheet(&c, name, DRAW_KEY, DRAW_LETTER);
            check_sheet(&c, name, DRAW_WORKSHEET, i % 2 ? DRAW_LETTER : DRAW_A4);
        }
        put_away(&c);
    }
    globfree(&found);
}

/* ---- words that have to fit ---- */

static void test_fitted(void **state) {
    (void)state;
    char out[300];
    const char *text = "Ünïcödé ünïcödé ünïcödé";
    sheet_fitted(out, sizeof out, TEXT_BODY, 500, 1, text);
    assert_string_equal(out, text);
    for (int width = 12; width < 120; width++) {
        sheet_fitted(out, sizeof out, TEXT_BODY, width, 1, text);
        size_t n = strlen(out);
        assert_true(n >= 3 && strcmp(out + n - 3, "\xE2\x80\xA6") == 0);
        assert_memory_equal(out, text, n - 3);                    /* a beginning of it, */
        assert_true(((unsigned char)text[n - 3] & 0xc0) != 0x80); /* between characters, */
        assert_true(text_size(TEXT_BODY, 0, out).x <= width);     /* that fits, */
        char more[300];
        size_t next = n - 3 + (text[n - 3] == ' '); /* and no longer one does. */
        do next++;
        while (((unsigned char)text[next] & 0xc0) == 0x80);
        snprintf(more, sizeof more, "%.*s\xE2\x80\xA6", (int)next, text);
        assert_true(text_size(TEXT_BODY, 0, more).x > width);
    }
}

static void test_refused(void **state) {
    (void)state;
    carried_out c;
    carry_out_example(&c, "fringe", 200);
    static const char *const dates[] = {"2026-13-01", "2026-00-01", "2026-1-1", "today", "2026-03-011"};
    for (size_t i = 0; i < sizeof dates / sizeof *dates; i++) {
        draw_sheet_options options = draw_sheet_default();
        draw_bytes out;
        lw_error error = {0};
        options.date = dates[i];
        assert_int_equal(draw_sheet(&out, &c.subject, &options, &error), LW_ERROR_ARGUMENT);
        assert_string_equal(error.place, "date");
        assert_null(out.data);
    }
    draw_sheet_options options = draw_sheet_default();
    draw_bytes out;
    lw_error error = {0};
    options.use = DRAW_KEY, options.page = 2;
    assert_int_equal(draw_sheet(&out, &c.subject, &options, &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.message, "the sheet has 1 page, and no page 2");
    options.page = 0, options.dpi = 0;
    assert_int_equal(draw_sheet(&out, &c.subject, &options, &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "dpi");
    put_away(&c);
}

/* ---- made ready while hair falls ---- */

static draw_bytes on_paper(const draw_subject *subject, draw_use use, const draw_ready *ready) {
    draw_sheet_options options = draw_sheet_default();
    draw_bytes out;
    lw_error error = {0};
    options.format = DRAW_SVG, options.use = use, options.ready = ready;
    if (draw_sheet(&out, subject, &options, &error)) fail_msg("%s: %s", error.place, error.message);
    return out;
}

/* Made before hair fell, drawn from more than once: the same bytes as without. */
static void test_ready(void **state) {
    (void)state;
    carried_out c;
    carry_out_ball(&c);
    draw_subject early = c.subject;
    draw_ready *ready;
    lw_error error = {0};
    assert_int_equal(draw_ready_new(&ready, &early, &error), LW_OK);
    let_it_fall(&c, 200, 1);
    for (draw_use use = DRAW_SHEET; use <= DRAW_KEY; use++) {
        draw_bytes with = on_paper(&c.subject, use, ready), without = on_paper(&c.subject, use, NULL);
        assert_int_equal(with.size, without.size);
        assert_memory_equal(with.data, without.data, with.size);
        draw_bytes_clear(&with);
        draw_bytes_clear(&without);
    }
    draw_ready_free(ready);
    draw_ready_free(NULL);
    put_away(&c);
}

static bool stop(void *context, double share) {
    (void)context, (void)share;
    return false;
}

static lw_fall_options few(void) {
    lw_fall_options options = lw_fall_default();
    options.hairs = 200, options.packings = 1, options.threads = 2;
    return options;
}

/* Beside one another: the same bytes as one after the other; and a fall that is stopped leaves nothing. */
static void test_beside(void **state) {
    (void)state;
    carried_out c;
    carry_out_ball(&c);
    lw_fall_options options = few();
    draw_ready *ready;
    lw_fallen fallen;
    lw_error error = {0};
    assert_int_equal(draw_ready_beside_fall(&ready, &fallen, &c.subject, &options, &error), LW_OK);
    let_it_fall(&c, options.hairs, options.packings);
    draw_subject beside = c.subject;
    beside.fallen = &fallen;
    draw_bytes one = on_paper(&beside, DRAW_SHEET, ready), other = on_paper(&c.subject, DRAW_SHEET, NULL);
    assert_int_equal(one.size, other.size);
    assert_memory_equal(one.data, other.data, one.size);
    draw_bytes_clear(&one);
    draw_bytes_clear(&other);
    draw_ready_free(ready);
    lw_fallen_clear(&fallen);
    put_away(&c);

    carry_out_ball(&c);
    int before = memory.live;
    options.progress = stop;
    assert_int_equal(draw_ready_beside_fall(&ready, &fallen, &c.subject, &options, &error), LW_ERROR_STOPPED);
    assert_int_equal(error.status, LW_ERROR_STOPPED);
    assert_null(ready);
    assert_null(fallen.patches);
    assert_int_equal(memory.live, before);
    put_away(&c);
}

/* ---- memory ---- */

/* The sheet with the n-th allocation and all after it refused. */
static lw_status starved(const carried_out *c, draw_use use, int n) {
    draw_sheet_options options = draw_sheet_default();
    draw_bytes out;
    lw_error error = {0};
    options.use = use;
    int before = memory.live;
    memory_fails_from(n);
    lw_status status = draw_sheet(&out, &c->subject, &options, &error);
    assert_int_equal(status, memory_failed() ? LW_ERROR_MEMORY : LW_OK);
    if (status) assert_null(out.data);
    draw_bytes_clear(&out);
    assert_int_equal(memory.live, before);
    return status;
}

/* One allocation refused, wherever it is: whichever of the two asked for it, neither leaves anything. */
static void beside_starved(const carried_out *c) {
    lw_fall_options options = few();
    int before = memory.live, asked = 0, failures = 0;
    for (int n = -1; n < asked; n += 1 + asked / 30) {
        draw_ready *ready;
        lw_fallen fallen;
        lw_error error = {0};
        memory_fails_at(n);
        lw_status status = draw_ready_beside_fall(&ready, &fallen, &c->subject, &options, &error);
        if (n < 0) asked = memory.asked;
        assert_int_equal(status, memory_failed() ? LW_ERROR_MEMORY : LW_OK);
        assert_int_equal(error.status, status);
        assert_true(status ? !ready && !fallen.patches : ready && fallen.patches);
        failures += status != LW_OK;
        draw_ready_free(ready);
        lw_fallen_clear(&fallen);
        assert_int_equal(memory.live, before);
    }
    assert_true(failures > 20);
}

/* Every allocation of a key but one in a tenth once they are many, and a score of those of a sheet. */
static void test_no_memory(void **state) {
    (void)state;
    carried_out c;
    carry_out_ball(&c);
    assert_int_equal(starved(&c, DRAW_KEY, -1), LW_OK);
    int all = memory.asked;
    for (int n = 0; n < all; n += 1 + n / 10) assert_int_equal(starved(&c, DRAW_KEY, n), LW_ERROR_MEMORY);
    assert_int_equal(starved(&c, DRAW_SHEET, -1), LW_OK);
    all = memory.asked;
    for (int n = 3; n < all; n += 1 + all / 20) assert_int_equal(starved(&c, DRAW_SHEET, n), LW_ERROR_MEMORY);
    memory_fails_from(-1);
    int before = memory.live, tries = 0;
    for (lw_status status = LW_ERROR_MEMORY; status; tries++) {
        lw_error error = {0};
        draw_ready *ready;
        memory_fails_from(tries * (1 + tries / 10));
        status = draw_ready_new(&ready, &c.subject, &error);
        assert_int_equal(status, memory_failed() ? LW_ERROR_MEMORY : LW_OK);
        assert_true(status ? !ready : ready != NULL);
        draw_ready_free(ready);
        assert_int_equal(memory.live, before);
    }
    assert_true(tries > 10);
    beside_starved(&c);
    let_it_fall(&c, 200, 1);
    assert_int_equal(starved(&c, DRAW_KEY, -1), LW_OK);
    all = memory.asked;
    for (int n = 3; n < all; n += 1 + all / 40) assert_int_equal(starved(&c, DRAW_KEY, n), LW_ERROR_MEMORY);
    put_away(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pages), cmocka_unit_test(test_fitted), cmocka_unit_test(test_refused),
        cmocka_unit_test(test_ready), cmocka_unit_test(test_beside), cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
