/* What every page has: its edges, the head, the foot; and words that fit where they are put. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "look.h"
#include "qr.h"
#include "sheet.h"

enum { QR_SIDE = 64, FOOT = 20, LINE_LONG = 170, LINE_SHORT = 90 };

/* ---- pages -------------------------------------------------------------------------------- */

static const char *title_of(const sheet *s) {
    const char *title = s->subject->plan->title;
    return title[0] ? title : "Haircut";
}

const char *sheet_use(const sheet *s) {
    return s->form == SAY_GAPS ? "Worksheet" : s->form == SAY_ANSWERS ? "Answers" : "";
}

/* From the second page on: what the sheet is, small. */
static void running_head(sheet *s, drawing *d) {
    char text[LW_TITLE_MAX + 8], person[LW_TITLE_MAX + 8];
    const char *use = sheet_use(s);
    sheet_fitted(text, sizeof text, TEXT_SMALL, s->body.width * 0.55, 1, title_of(s));
    sheet_fitted(person, sizeof person, TEXT_SMALL, s->body.width * 0.25, 1, s->subject->plan->person);
    point at = {s->body.x, s->body.y};
    draw_open(d, PART_NOTE, "");
    draw_text(d, TEXT_SMALL, ALIGN_START, at, 0, text);
    draw_text(d, TEXT_SMALL, ALIGN_END, (point){s->body.x + s->body.width, at.y}, 0,
              use[0]             ? use
              : s->options->date ? s->options->date
                                 : "");
    draw_text(d, TEXT_SMALL, ALIGN_CENTRE, (point){s->body.x + s->body.width * 0.7, at.y}, 0, person);
    draw_close(d);
    sheet_rule(d, s->body.x, at.y + 4 * LOOK_GRID, s->body.width);
    s->y += 7 * LOOK_GRID;
}

drawing *sheet_page(sheet *s) {
    if (s->status) return NULL;
    if (s->page_count == s->page_room) {
        int room = s->page_room ? 2 * s->page_room : 8;
        drawing *more = realloc(s->pages, (size_t)room * sizeof *more);
        if (!more) {
            s->status = fail_memory(s->error, "sheet");
            return NULL;
        }
        s->pages = more;
        s->page_room = room;
    }
    bool letter = s->options->paper == DRAW_LETTER;
    double width = letter ? 612 : 595.276, height = letter ? 792 : 841.89;
    drawing *d = &s->pages[s->page_count++];
    drawing_begin(d, width, height);
    s->body = (frame){LOOK_MARGIN, LOOK_MARGIN - 2 * LOOK_GRID, width - 2 * LOOK_MARGIN,
                      height - 2 * LOOK_MARGIN + 2 * LOOK_GRID - FOOT + LOOK_MARGIN / 2.0};
    s->y = s->body.y;
    if (s->page_count > 1) running_head(s, d);
    return d;
}

drawing *sheet_last(sheet *s) { return s->page_count ? &s->pages[s->page_count - 1] : NULL; }

void sheet_feet(sheet *s) {
    for (int i = 0; i < s->page_count; i++) {
        char text[64];
        drawing *d = &s->pages[i];
        double y = s->body.y + s->body.height + 2 * LOOK_GRID;
        snprintf(text, sizeof text, "Page %d of %d", i + 1, s->page_count);
        sheet_rule(d, s->body.x, y, s->body.width);
        draw_open(d, PART_NOTE, "");
        draw_text(d, TEXT_SMALL, ALIGN_START, (point){s->body.x, y + LOOK_GRID}, 0,
                  "Local rules and a licensed practitioner's judgement come before this sheet.");
        draw_text(d, TEXT_SMALL, ALIGN_END, (point){s->body.x + s->body.width, y + LOOK_GRID}, 0, text);
        draw_close(d);
    }
}

image *sheet_picture(sheet *s) {
    if (s->picture_count == s->picture_room) {
        int room = s->picture_room ? 2 * s->picture_room : 16;
        image **more = realloc(s->pictures, (size_t)room * sizeof(image *));
        if (!more) {
            s->status = fail_memory(s->error, "sheet");
            return NULL;
        }
        s->pictures = more;
        s->picture_room = room;
    }
    image *picture = calloc(1, sizeof *picture);
    if (!picture) s->status = fail_memory(s->error, "sheet");
    if (picture) s->pictures[s->picture_count++] = picture;
    return picture;
}

/* ---- words -------------------------------------------------------------------------------- */

/* Bytes of the longest beginning of at most `most` bytes that ends between characters. */
static size_t whole_characters(const char *text, size_t most) {
    while (most > 0 && ((unsigned char)text[most] & 0xc0) == 0x80) most--;
    return most;
}

static bool fits(text_role role, double width, int lines, const char *text) {
    if (lines == 1) return text_size(role, 0, text).x <= width;
    return text_size(role, width, text).y <= lines * look_text(role)->leading + 1;
}

void sheet_fitted(char *out, size_t size, text_role role, double width, int lines, const char *text) {
    static const char ellipsis[] = "\xE2\x80\xA6";
    snprintf(out, size, "%s", text);
    if (fits(role, width, lines, out)) return;
    size_t low = 0, high = strlen(text); /* what fits with the ellipsis; what does not */
    if (high > size - sizeof ellipsis) high = size - sizeof ellipsis;
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        snprintf(out, size, "%.*s%s", (int)whole_characters(text, middle), text, ellipsis);
        if (fits(role, width, lines, out))
            low = middle;
        else
            high = middle;
    }
    low = whole_characters(text, low);
    while (low > 0 && text[low - 1] == ' ') low--;
    snprintf(out, size, "%.*s%s", (int)low, text, ellipsis);
}

/* Whether a character that begins with these bytes may run from right to left: U+0590 to 08FF, the
 * presentation forms, the planes' blocks from U+10800 and U+1E800. Setting others apart does no harm. */
static bool leftward(const char *text) {
    for (const unsigned char *c = (const unsigned char *)text; *c; c++) {
        bool two = c[0] >= 0xD6 && c[0] <= 0xDF, three = c[0] == 0xE0 && c[1] >= 0xA0 && c[1] <= 0xA3;
        bool forms = c[0] == 0xEF && c[1] >= 0xAC && c[1] <= 0xBB,
             plane = c[0] == 0xF0 && (c[1] == 0x90 || c[1] == 0x9E);
        if (two || three || forms || plane) return true;
    }
    return false;
}

void sheet_apart(char *out, size_t size, const char *text) {
    snprintf(out, size, leftward(text) ? "\xE2\x81\xA8%s\xE2\x81\xA9" : "%s", text); /* U+2068, U+2069 */
}

double sheet_words(drawing *d, part_kind part, text_role role, point at, double width, const char *text) {
    if (!text[0]) return 0;
    draw_open(d, part, "");
    double height = draw_text(d, role, ALIGN_START, at, width, text);
    draw_close(d);
    return height;
}

void sheet_rule(drawing *d, double x, double y, double width) {
    point ends[2] = {{x, y}, {x + width, y}};
    draw_line(d, LINE_RULE, -1, ends, 2, false);
}

void sheet_blank(drawing *d, double x, double y, double width) {
    point ends[2] = {{x, y}, {x + width, y}};
    draw_line(d, LINE_BLANK, -1, ends, 2, false);
}

double sheet_height(sheet *s, block *draw, double width) {
    drawing scratch;
    int gap = s->gap;
    drawing_begin(&scratch, s->body.width, s->body.height);
    double height = draw(s, &scratch, (point){0, 0}, width);
    drawing_clear(&scratch);
    s->gap = gap;
    return height;
}

/* ---- the first page's head ---------------------------------------------------------------- */

/* "Worksheet · Practice head 3 · 2026-03-01" */
static void subtitle(const sheet *s, char *out, size_t size) {
    const char *date = s->options->date ? s->options->date : "", *use = sheet_use(s);
    const char *dot = " \xC2\xB7 ";
    char person[LW_TITLE_MAX + 8];
    sheet_apart(person, sizeof person, s->subject->plan->person);
    snprintf(out, size, "%s%s%s%s%s", use, use[0] && person[0] ? dot : "", person,
             (use[0] || person[0]) && date[0] ? dot : "", date);
}

/* Where a learner writes who it is. */
static void name_lines(sheet *s, drawing *d) {
    static const char *const labels[] = {"Name", "Date"};
    static const double widths[] = {LINE_LONG, LINE_SHORT};
    double x = s->body.x, y = s->y + 6 * LOOK_GRID;
    draw_open(d, PART_PARAGRAPH, "");
    for (int i = 0; i < 2; i++) {
        double label = text_size(TEXT_BODY, 0, labels[i]).x;
        draw_text(d, TEXT_BODY, ALIGN_START, (point){x, y - 3 * LOOK_GRID}, 0, labels[i]);
        sheet_blank(d, x + label + LOOK_GAP, y, widths[i]);
        x += label + widths[i] + 2 * LOOK_GUTTER;
    }
    draw_close(d);
    s->y = y + 2 * LOOK_GRID;
}

/* The link as a code in the corner; false where it is too long for one, or there is none. */
static bool draw_code(sheet *s, drawing *d) {
    const char *link = s->subject->plan->link;
    point at = {s->body.x + s->body.width - QR_SIDE, s->y};
    lw_status status = link[0] ? draw_qr(d, at, QR_SIDE, link, NULL) : LW_ERROR_ARGUMENT;
    if (status == LW_ERROR_MEMORY) s->status = fail_memory(s->error, "sheet");
    return status == LW_OK;
}

static void draw_address(sheet *s, drawing *d) {
    const char *link = s->subject->plan->link;
    char shown[LW_LINK_MAX + 8];
    sheet_fitted(shown, sizeof shown, TEXT_SMALL, s->body.width, 1, link);
    draw_open(d, PART_PARAGRAPH, "");
    s->y += draw_link(d, TEXT_SMALL, ALIGN_END, (point){s->body.x + s->body.width, s->y}, 0, shown, link);
    draw_close(d);
}

/* The least width in which the text takes no more lines: several lines come out about as long as each other.
 */
static double balanced(text_role role, double width, const char *text) {
    double tall = text_size(role, width, text).y, low = width / 2, high = width;
    while (high - low > 1) {
        double middle = (low + high) / 2;
        point size = text_size(role, middle, text);
        if (size.y > tall + 1 || size.x > middle)
            low = middle;
        else
            high = middle;
    }
    return high;
}

/* The width in which a text of two lines breaks after its mark of punctuation nearest to the middle, where
 * both lines come out at a third of the width or more; otherwise in which it is balanced. */
static double title_width(text_role role, double width, const char *text) {
    double whole = text_size(role, 0, text).x, best = INFINITY, found = 0;
    char first[2 * LW_TITLE_MAX];
    if (leftward(text) || whole <= width) return width;
    for (size_t i = 0; text[i] && i + 1 < sizeof first; i++) {
        if (!strchr(",:;", text[i]) || text[i + 1] != ' ') continue;
        snprintf(first, sizeof first, "%.*s", (int)i + 1, text);
        double upper = text_size(role, 0, first).x, lower = text_size(role, 0, text + i + 2).x;
        size_t next = i + 2 + strcspn(text + i + 2, " ");
        double wide = fmax(upper, lower) + 1;
        snprintf(first, sizeof first, "%.*s", (int)next, text);
        bool breaks = wide <= width && text_size(role, 0, first).x > wide;
        if (!breaks || fmin(upper, lower) < width / 3 || fabs(upper - lower) >= best) continue;
        best = fabs(upper - lower);
        found = wide;
    }
    return found > 0 ? found : balanced(role, width, text);
}

void sheet_title(sheet *s) {
    drawing *d = sheet_last(s);
    char text[2 * LW_TITLE_MAX], under[2 * LW_TITLE_MAX];
    double top = s->y;
    bool code = draw_code(s, d);
    double width = s->body.width - (code ? QR_SIDE + LOOK_GUTTER : 0);
    sheet_fitted(text, sizeof text, TEXT_TITLE, width, 3, title_of(s));
    s->y += sheet_words(d, PART_TITLE, TEXT_TITLE, (point){s->body.x, s->y},
                        title_width(TEXT_TITLE, width, text), text);
    subtitle(s, under, sizeof under);
    sheet_fitted(text, sizeof text, TEXT_SUBTITLE, width, 2, under);
    s->y += sheet_words(d, PART_PARAGRAPH, TEXT_SUBTITLE, (point){s->body.x, s->y}, width, text);
    if (s->form == SAY_GAPS) name_lines(s, d);
    if (code) s->y = fmax(s->y, top + QR_SIDE);
    if (s->subject->plan->link[0]) draw_address(s, d);
    s->y += LOOK_GRID;
    sheet_rule(d, s->body.x, s->y, s->body.width);
    s->y += 2 * LOOK_GRID;
}
