/* The list of marks, its look, and the three formats it is painted on. What other programs make of the files
 * is examined by test_paper.py. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "failing.h"
#include "look.h"
#include "near.h"
#include "paint.h"
#include "qr.h"

/* ---- helpers ---- */

static const about_document about = {"A page", "en", "for a test", "2026-03-01"};
static const draw_format formats[] = {DRAW_PDF, DRAW_SVG, DRAW_PNG};
enum { FORMATS = 3 };

static const point square[4] = {{20, 20}, {60, 20}, {60, 60}, {20, 60}};

static draw_bytes painted(const drawing *pages, int count, draw_format format) {
    draw_bytes out;
    lw_error error = {0};
    if (paint(&out, pages, count, &about, format, 72, &error)) fail_msg("%s", error.message);
    assert_true(out.size > 0);
    return out;
}

static bool same(const draw_bytes *a, const draw_bytes *b) {
    return a->size == b->size && memcmp(a->data, b->data, a->size) == 0;
}

/* Whether the bytes hold the text. */
static bool holds(const draw_bytes *all, const char *text) {
    size_t length = strlen(text);
    for (size_t i = 0; i + length <= all->size; i++)
        if (memcmp(all->data + i, text, length) == 0) return true;
    return false;
}

static const mark *last(const drawing *d) {
    assert_true(d->mark_count > 0);
    return &d->marks[d->mark_count - 1];
}

static image grey_picture(void) {
    image out;
    assert_int_equal(image_new(&out, 4, 4, NULL), LW_OK);
    for (int i = 0; i < 64; i++) out.rgba[i] = (uint8_t)(4 * i);
    return out;
}

/* One of everything. */
static void draw_all(drawing *d, const image *picture) {
    draw_open(d, PART_TITLE, "");
    draw_text(d, TEXT_TITLE, ALIGN_START, (point){10, 10}, 180, "A title\nin two lines");
    draw_close(d);
    draw_open(d, PART_FIGURE, "What it shows");
    draw_picture(d, picture, (frame){10, 40, 30, 30});
    draw_line(d, LINE_CARRY, 1, square, 4, false);
    draw_area(d, AREA_GUIDE, 1, square, 4);
    draw_label(d, TEXT_LABEL, 1, (point){40, 40}, .5, "12 cm");
    draw_close(d);
    draw_link(d, TEXT_BODY, ALIGN_START, (point){10, 100}, 0, "a link", "https://example.org/it's");
    lw_error error;
    if (draw_qr(d, (point){100, 100}, 80, "https://example.org/", &error)) d->failed = true;
}

/* ---- the list ---- */

static void marks_say_what_they_are(void **state) {
    (void)state;
    drawing d;
    drawing_begin(&d, 200, 100);
    assert_near(d.width, 200, 0);
    assert_near(d.height, 100, 0);
    draw_line(&d, LINE_PANEL, 7, square, 4, true);
    const mark *m = last(&d);
    assert_int_equal(m->kind, MARK_LINE);
    assert_int_equal(m->role, LINE_PANEL);
    assert_int_equal(m->about, 7);
    assert_int_equal(m->count, 4);
    assert_true(m->closed);
    assert_memory_equal(d.points + m->first, square, sizeof square);
    draw_area(&d, AREA_GUIDE, 3, square, 3);
    m = last(&d);
    assert_int_equal(m->kind, MARK_AREA);
    assert_int_equal(m->about, 3);
    assert_int_equal(m->first, 4);
    assert_int_equal(m->link, 0);
    draw_disc(&d, AREA_DOT, LW_CROWN, (point){50, 40}, 3);
    m = last(&d);
    for (int i = 0; i < m->count; i++)
        assert_near(hypot(d.points[m->first + i].x - 50, d.points[m->first + i].y - 40), 3, 1e-12);
    draw_open(&d, PART_FIGURE, "In words");
    assert_int_equal(last(&d)->role, PART_FIGURE);
    assert_string_equal(drawing_text(&d, last(&d)->text), "In words");
    draw_close(&d);
    assert_int_equal(last(&d)->kind, MARK_CLOSE);
    assert_string_equal(drawing_text(&d, 0), "");
    assert_string_equal(drawing_text(&d, 99999), "");
    drawing_clear(&d);
}

static void what_is_nothing_adds_nothing(void **state) {
    (void)state;
    drawing d;
    drawing_begin(&d, 100, 100);
    draw_line(&d, LINE_PANEL, 0, square, 1, false);
    draw_area(&d, AREA_PANEL, 0, square, 2);
    assert_near(draw_text(&d, TEXT_BODY, ALIGN_START, square[0], 0, ""), 0, 0);
    draw_label(&d, TEXT_LABEL, 0, square[0], 0, "");
    assert_int_equal(d.mark_count, 0);
    assert_int_equal(d.point_count, 0);
    drawing_clear(&d);
}

static void a_line_of_text_stands_where_it_is_aligned(void **state) {
    (void)state;
    drawing d;
    drawing_begin(&d, 300, 100);
    point size = text_size(TEXT_BODY, 0, "eight words");
    assert_true(size.x > 20 && size.x < 100);
    const align sides[] = {ALIGN_START, ALIGN_CENTRE, ALIGN_END};
    for (int i = 0; i < 3; i++) {
        double taken = draw_text(&d, TEXT_BODY, sides[i], (point){150, 20}, 0, "eight words");
        const mark *m = last(&d);
        assert_near(taken, size.y, 0);
        assert_near(m->at.x, 150 - size.x * i / 2, 1e-12);
        assert_near(m->at.width, size.x, 0);
        assert_near(m->at.y, 20, 0);
    }
    drawing_clear(&d);
}

static void text_keeps_its_width_and_its_leading(void **state) {
    (void)state;
    static const char words[] =
        "Take level panels from the hairline up and hold each straight out from the scalp. "
        "العربية 日本語 averyveryveryveryveryverylongwordwithoutanyplacetobreak";
    for (int role = 0; role < TEXT_ROLES; role++) {
        double leading = look_text((text_role)role)->leading;
        point one = text_size((text_role)role, 0, "one"), many = text_size((text_role)role, 90, words);
        assert_near(one.y, leading, 1. / 1024);
        assert_true(many.x <= 90 + 1. / 1024);
        double lines = many.y / leading;
        assert_true(lines > 3);
        assert_near(lines, round(lines), 1e-9);
    }
    assert_near(text_size(TEXT_BODY, 0, "a\nb").y, look_text(TEXT_BODY)->leading, 1. / 1024);
    assert_near(text_size(TEXT_BODY, 90, "a\nb").y, 2 * look_text(TEXT_BODY)->leading, 1. / 1024);
}

static void figures_of_a_column_have_one_width(void **state) {
    (void)state;
    double zero = text_size(TEXT_FIGURE, 0, "0000").x;
    assert_near(text_size(TEXT_FIGURE, 0, "1111").x, zero, .01);
    assert_near(text_size(TEXT_FIGURE, 0, "7777").x, zero, .01);
    assert_true(fabs(text_size(TEXT_BODY, 0, "1111").x - text_size(TEXT_BODY, 0, "0000").x) > 1);
}

static void a_label_lies_on_paper_and_turns_about_its_middle(void **state) {
    (void)state;
    drawing d;
    drawing_begin(&d, 100, 100);
    draw_label(&d, TEXT_LABEL, 5, (point){50, 40}, .7, "12 cm");
    assert_int_equal(d.mark_count, 2);
    const mark *paper = &d.marks[0], *text = &d.marks[1];
    assert_int_equal(paper->role, AREA_PAPER);
    assert_int_equal(text->about, 5);
    assert_near(text->turn, .7, 0);
    assert_near(text->at.x + text->at.width / 2, 50, 1e-12);
    assert_near(text->at.y + text->at.height / 2, 40, 1e-12);
    point middle = {0, 0};
    for (int i = 0; i < 4; i++) {
        middle.x += d.points[paper->first + i].x / 4;
        middle.y += d.points[paper->first + i].y / 4;
    }
    assert_near(middle.x, 50, 1e-12);
    assert_near(middle.y, 40, 1e-12);
    point a = d.points[paper->first], b = d.points[paper->first + 1];
    assert_near(atan2(b.y - a.y, b.x - a.x), .7, 1e-12);
    assert_near(hypot(b.x - a.x, b.y - a.y), text->at.width + 2 * look_label_inset().x, 1e-9);
    drawing_clear(&d);
}

static void what_is_no_character_is_replaced(void **state) {
    (void)state;
    drawing d;
    drawing_begin(&d, 100, 100);
    draw_text(&d, TEXT_BODY, ALIGN_START, square[0], 0,
              "a\xff\x01\x7f\xef\xbf\xbf\xef\xb7\x90\xf4\x8f\xbf\xbf\r\nb");
    assert_string_equal(drawing_text(&d, last(&d)->text), "a\ufffd\ufffd\ufffd\ufffd\ufffd\ufffd\nb");
    for (int f = 0; f < FORMATS; f++) {
        draw_bytes out = painted(&d, 1, formats[f]);
        draw_bytes_clear(&out);
    }
    drawing_clear(&d);
}

/* ---- the look ---- */

/* The technical pens of ISO 128, from memory: each is the square root of two times the one before, rounded.
 */
static void weights_are_those_of_the_scale(void **state) {
    (void)state;
    static const double pens[] = {.35, .5, .7, 1, 1.4, 2};
    for (int role = 0; role < LINE_ROLES; role++) {
        bool found = false;
        for (int i = 0; i < 6; i++) found = found || look_line((line_role)role)->width == pens[i];
        assert_true(found);
        assert_true(look_line((line_role)role)->grey <= .3); /* dark enough for a copier: our own rule */
    }
}

static bool look_alike(const line_look *a, const line_look *b) {
    return a->width == b->width && memcmp(a->dash, b->dash, sizeof a->dash) == 0 && a->head == b->head &&
           a->tail == b->tail;
}

/* Those of a map, of a step and of the fall do not meet. */
static void lines_that_meet_are_told_apart_without_grey(void **state) {
    (void)state;
    static const line_role map[] = {LINE_OUTLINE,        LINE_FEATURE, LINE_HAIRLINE, LINE_SECTION,
                                    LINE_SECTION_HIDDEN, LINE_CONTOUR, LINE_LEADER};
    static const line_role step[] = {LINE_OUTLINE,        LINE_FEATURE, LINE_HAIRLINE,     LINE_SECTION,
                                     LINE_SECTION_HIDDEN, LINE_PANEL,   LINE_PANEL_HIDDEN, LINE_HAIR,
                                     LINE_FINGER,         LINE_ANGLE,   LINE_FROM,         LINE_CARRY,
                                     LINE_LEADER};
    for (int i = 0; i < 7; i++)
        for (int j = 0; j < i; j++)
            if (look_alike(look_line(map[i]), look_line(map[j])))
                fail_msg("%s, %s", look_line(map[i])->name, look_line(map[j])->name);
    static const line_role fall[] = {LINE_BUST, LINE_FALLEN, LINE_ENDS, LINE_WEIGHT, LINE_ANGLE};
    for (int i = 0; i < 5; i++)
        for (int j = 0; j < i; j++)
            if (look_alike(look_line(fall[i]), look_line(fall[j])))
                fail_msg("%s, %s", look_line(fall[i])->name, look_line(fall[j])->name);
    for (int i = 0; i < 13; i++)
        for (int j = 0; j < i; j++)
            if (look_alike(look_line(step[i]), look_line(step[j])))
                fail_msg("%s, %s", look_line(step[i])->name, look_line(step[j])->name);
}

/* ---- painting ---- */

static void add_mark(drawing *d, mark_kind kind, int role, const image *picture) {
    if (kind == MARK_LINE) draw_line(d, (line_role)role, 0, square, 4, false);
    if (kind == MARK_AREA) draw_area(d, (area_role)role, 0, square, 4);
    if (kind == MARK_TEXT) draw_text(d, (text_role)role, ALIGN_START, square[0], 0, "Words");
    if (kind == MARK_PICTURE) draw_picture(d, picture, (frame){20, 20, 40, 40});
}

/* Each mark changes the page, in every format, over black ink where it is paper. */
static void every_mark_is_seen_in_every_format(void **state) {
    (void)state;
    static const int roles[] = {
        [MARK_LINE] = LINE_ROLES, [MARK_AREA] = AREA_ROLES, [MARK_TEXT] = TEXT_ROLES, [MARK_PICTURE] = 1};
    image picture = grey_picture();
    for (int f = 0; f < FORMATS; f++)
        for (int kind = MARK_LINE; kind <= MARK_PICTURE; kind++)
            for (int role = 0; role < roles[kind]; role++) {
                drawing without, with;
                drawing_begin(&without, 100, 100);
                drawing_begin(&with, 100, 100);
                if (kind == MARK_AREA && role == AREA_PAPER) {
                    add_mark(&without, MARK_AREA, AREA_INK, NULL);
                    add_mark(&with, MARK_AREA, AREA_INK, NULL);
                }
                add_mark(&with, (mark_kind)kind, role, &picture);
                draw_bytes a = painted(&without, 1, formats[f]), b = painted(&with, 1, formats[f]);
                if (same(&a, &b)) fail_msg("format %d: kind %d, role %d is not seen", f, kind, role);
                draw_bytes_clear(&a);
                draw_bytes_clear(&b);
                drawing_clear(&without);
                drawing_clear(&with);
            }
    image_clear(&picture);
}

static void formats_are_what_they_say(void **state) {
    (void)state;
    image picture = grey_picture();
    drawing d[2];
    for (int i = 0; i < 2; i++) {
        drawing_begin(&d[i], 200, 200);
        draw_all(&d[i], &picture);
        assert_false(d[i].failed);
    }
    draw_bytes pdf = painted(d, 2, DRAW_PDF), svg = painted(d, 2, DRAW_SVG), png = painted(d, 2, DRAW_PNG);
    assert_memory_equal(pdf.data, "%PDF-1.", 7);
    assert_true(holds(&svg, "xml:lang=\"en\""));
    assert_true(holds(&svg, "<title>A page</title>"));
    assert_true(holds(&svg, "A title\nin two lines\nWhat it shows\n12 cm\n"));
    assert_memory_equal(png.data, "\x89PNG\r\n\x1a\n", 8);
    /* 200 dots wide; two pages and the gap of 12 high */
    assert_memory_equal(png.data + 16, "\0\0\0\xc8\0\0\1\x9c", 8);
    draw_bytes_clear(&pdf);
    draw_bytes_clear(&svg);
    draw_bytes_clear(&png);
    for (int i = 0; i < 2; i++) drawing_clear(&d[i]);
    image_clear(&picture);
}

static void the_same_pages_are_the_same_bytes(void **state) {
    (void)state;
    image picture = grey_picture();
    drawing d;
    drawing_begin(&d, 200, 200);
    draw_all(&d, &picture);
    draw_picture(&d, &picture, (frame){90, 10, 10, 10});
    for (int f = 0; f < FORMATS; f++) {
        draw_bytes a = painted(&d, 1, formats[f]), b = painted(&d, 1, formats[f]);
        assert_true(same(&a, &b));
        draw_bytes_clear(&a);
        draw_bytes_clear(&b);
    }
    drawing_clear(&d);
    image_clear(&picture);
}

static void a_document_may_have_no_title(void **state) {
    (void)state;
    const about_document nothing = {0};
    drawing d;
    drawing_begin(&d, 100, 100);
    draw_open(&d, PART_FIGURE, "");
    draw_open(&d, PART_HEADING, "");
    draw_close(&d);
    draw_close(&d);
    for (int f = 0; f < FORMATS; f++) {
        draw_bytes out;
        lw_error error = {0};
        if (paint(&out, &d, 1, &nothing, formats[f], 72, &error)) fail_msg("%s", error.message);
        assert_true(out.size > 0);
        draw_bytes_clear(&out);
    }
    drawing_clear(&d);
}

/* A picture shown twenty times takes the room of one. */
static void a_picture_is_kept_once(void **state) {
    (void)state;
    image picture;
    assert_int_equal(image_new(&picture, 100, 100, NULL), LW_OK);
    uint32_t noise = 1;
    for (int i = 0; i < 40000; i++) {
        noise = noise * 1664525 +
                1013904223; /* incompressible enough; Numerical Recipes' generator, from memory */
        picture.rgba[i] = i % 4 == 3 ? 255 : (uint8_t)(noise >> 24);
    }
    size_t once[2];
    for (int times = 1; times <= 20; times += 19) {
        drawing d[2];
        for (int i = 0; i < 2; i++) drawing_begin(&d[i], 200, 200);
        for (int i = 0; i < times; i++) draw_picture(&d[i % 2], &picture, (frame){8 * i, 8 * i, 50, 50});
        for (int f = DRAW_PDF; f <= DRAW_SVG; f++) {
            draw_bytes out = painted(d, 2, formats[f]);
            assert_true(out.size > 29000); /* the picture is there: 30,000 bytes of noise */
            if (times == 1)
                once[f] = out.size;
            else
                assert_true(out.size < once[f] + 10000);
            draw_bytes_clear(&out);
        }
        for (int i = 0; i < 2; i++) drawing_clear(&d[i]);
    }
    image_clear(&picture);
}

/* A point is left out only where nobody could see that it was there. */
static void points_on_a_straight_line_are_left_out(void **state) {
    (void)state;
    enum { POINTS = 25 };
    draw_bytes out[3];
    const double bends[3] = {0, .001, .2}; /* points */
    for (int i = 0; i < 3; i++) {
        point p[POINTS];
        for (int k = 0; k < POINTS; k++) p[k] = (point){10 + 3 * k, 20 + k};
        p[12].y += bends[i];
        drawing d;
        drawing_begin(&d, 100, 100);
        draw_line(&d, LINE_PANEL, 0, p, POINTS, false);
        out[i] = painted(&d, 1, DRAW_SVG);
        drawing_clear(&d);
    }
    drawing two;
    drawing_begin(&two, 100, 100);
    draw_line(&two, LINE_PANEL, 0, (point[]){{10, 20}, {10 + 3 * (POINTS - 1), 20 + POINTS - 1}}, 2, false);
    draw_bytes straight = painted(&two, 1, DRAW_SVG);
    assert_true(same(&out[0], &straight));
    assert_true(same(&out[1], &straight));
    assert_false(same(&out[2], &straight));
    for (int i = 0; i < 3; i++) draw_bytes_clear(&out[i]);
    draw_bytes_clear(&straight);
    drawing_clear(&two);
}

static void parts_may_be_left_open_or_closed_twice(void **state) {
    (void)state;
    drawing d;
    drawing_begin(&d, 100, 100);
    draw_close(&d);
    for (int i = 0; i < 40; i++) draw_open(&d, PART_TABLE, "");
    draw_text(&d, TEXT_BODY, ALIGN_START, square[0], 0, "deep");
    for (int i = 0; i < 20; i++) draw_close(&d);
    for (int f = 0; f < FORMATS; f++) {
        draw_bytes out = painted(&d, 1, formats[f]);
        draw_bytes_clear(&out);
    }
    drawing_clear(&d);
}

static void a_page_too_large_is_refused(void **state) {
    (void)state;
    drawing d;
    draw_bytes out;
    lw_error error = {0};
    drawing_begin(&d, 100, 100);
    assert_int_equal(paint(&out, &d, 1, &about, DRAW_PNG, 50000, &error), LW_ERROR_LIMIT);
    assert_non_null(strstr(error.message, "69445 by 69445"));
    assert_true(*error.remedy);
    assert_null(out.data);
    assert_int_equal(paint(&out, &d, 1, &about, DRAW_PNG, NAN, &error), LW_ERROR_LIMIT);
    assert_int_equal(paint(&out, &d, 0, &about, DRAW_PDF, 72, &error), LW_ERROR_ARGUMENT);
    drawing_clear(&d);
}

/* ---- memory and streams ---- */

static void a_drawing_remembers_that_memory_ran_out(void **state) {
    (void)state;
    image picture = grey_picture();
    int before = memory.live;
    for (int n = 0;; n++) {
        drawing d;
        drawing_begin(&d, 200, 200);
        memory_fails_from(n);
        for (int i = 0; i < 40; i++) draw_all(&d, &picture);
        bool enough = !memory_failed();
        assert_int_equal(d.failed, !enough);
        int marks = d.mark_count;
        draw_line(&d, LINE_PANEL, 0, square, 4, false);
        assert_int_equal(d.mark_count, marks + enough);
        draw_bytes out;
        lw_error error = {0};
        if (!enough) assert_int_equal(paint(&out, &d, 1, &about, DRAW_SVG, 72, &error), LW_ERROR_MEMORY);
        drawing_clear(&d);
        assert_int_equal(memory.live, before);
        if (enough) break;
        assert_true(n < 1000);
    }
    image_clear(&picture);
}

/* The bytes go through a stream that asks for memory as they come: a failure at any of its calls stops cairo
 * in the middle of a page. */
static void painting_survives_memory_and_streams_that_fail(void **state) {
    (void)state;
    image picture = grey_picture();
    drawing d;
    drawing_begin(&d, 200, 200);
    draw_all(&d, &picture);
    for (int f = 0; f < FORMATS; f++) {
        draw_bytes whole = painted(&d, 1, formats[f]);
        int before = memory.live;
        for (int n = 0;; n++) {
            draw_bytes out = {0};
            lw_error error = {0};
            memory_fails_from(n);
            lw_status status = paint(&out, &d, 1, &about, formats[f], 72, &error);
            if (!memory_failed()) {
                assert_int_equal(status, LW_OK);
                assert_true(n > 1);
                assert_true(same(&out, &whole));
                draw_bytes_clear(&out);
                break;
            }
            assert_int_equal(status, LW_ERROR_MEMORY);
            assert_int_equal(error.status, LW_ERROR_MEMORY);
            assert_null(out.data);
            assert_int_equal(memory.live, before);
            assert_true(n < 1000);
        }
        draw_bytes_clear(&whole);
    }
    drawing_clear(&d);
    image_clear(&picture);
}

/* ---- the QR code ---- */

static void a_code_has_paper_round_it_and_leads_to_its_address(void **state) {
    (void)state;
    drawing d;
    lw_error error = {0};
    drawing_begin(&d, 100, 100);
    assert_int_equal(draw_qr(&d, (point){10, 20}, 80, "https://example.org/", &error), LW_OK);
    assert_int_equal(d.marks[0].role, AREA_PAPER);
    assert_string_equal(drawing_text(&d, d.marks[0].link), "https://example.org/");
    double module =
        80. / (25 + 2 * 4); /* 20 bytes at level M are version 2, 25 modules: ISO/IEC 18004, from memory */
    for (int i = 1; i < d.mark_count; i++) {
        const mark *m = &d.marks[i];
        assert_int_equal(m->role, AREA_INK);
        for (int k = 0; k < 4; k++) {
            point p = d.points[m->first + k];
            assert_true(p.x >= 10 + 4 * module - 1e-9 && p.x <= 90 - 4 * module + 1e-9);
            assert_true(p.y >= 20 + 4 * module - 1e-9 && p.y <= 100 - 3.9 * module);
        }
    }
    /* The first row: a finder of seven modules at either end. */
    point a = d.points[d.marks[1].first], b = d.points[d.marks[1].first + 1];
    assert_near(b.x - a.x, 7 * module, 1e-9);
    drawing_clear(&d);
}

static void a_link_too_long_for_a_code_is_an_error(void **state) {
    (void)state;
    static const size_t lengths[] = {300, 5000}; /* unreadable at this size; more than any code holds */
    char address[5001];
    for (int i = 0; i < 2; i++) {
        drawing d;
        lw_error error = {0};
        memset(address, 'a', lengths[i]);
        address[lengths[i]] = 0;
        drawing_begin(&d, 100, 100);
        assert_int_equal(draw_qr(&d, (point){0, 0}, 60, address, &error), LW_ERROR_LIMIT);
        assert_string_equal(error.place, "link");
        assert_true(*error.remedy);
        assert_int_equal(d.mark_count, 0);
        assert_int_equal(draw_qr(&d, (point){0, 0}, 60, "", &error), LW_ERROR_ARGUMENT);
        drawing_clear(&d);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(marks_say_what_they_are),
        cmocka_unit_test(what_is_nothing_adds_nothing),
        cmocka_unit_test(a_line_of_text_stands_where_it_is_aligned),
        cmocka_unit_test(text_keeps_its_width_and_its_leading),
        cmocka_unit_test(figures_of_a_column_have_one_width),
        cmocka_unit_test(a_label_lies_on_paper_and_turns_about_its_middle),
        cmocka_unit_test(what_is_no_character_is_replaced),
        cmocka_unit_test(weights_are_those_of_the_scale),
        cmocka_unit_test(lines_that_meet_are_told_apart_without_grey),
        cmocka_unit_test(every_mark_is_seen_in_every_format),
        cmocka_unit_test(formats_are_what_they_say),
        cmocka_unit_test(the_same_pages_are_the_same_bytes),
        cmocka_unit_test(a_document_may_have_no_title),
        cmocka_unit_test(a_picture_is_kept_once),
        cmocka_unit_test(points_on_a_straight_line_are_left_out),
        cmocka_unit_test(parts_may_be_left_open_or_closed_twice),
        cmocka_unit_test(a_page_too_large_is_refused),
        cmocka_unit_test(a_drawing_remembers_that_memory_ran_out),
        cmocka_unit_test(painting_survives_memory_and_streams_that_fail),
        cmocka_unit_test(a_code_has_paper_round_it_and_leads_to_its_address),
        cmocka_unit_test(a_link_too_long_for_a_code_is_an_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
