/* A sentence in one of its forms, and the numbers in it.
 *
 * Each sentence is written once, as a row of words, numbers and choices. A saying writes it in one of four
 * forms: whole; with a numbered gap for every number; as the list of what belongs in the gaps; or whole with
 * a mark around each number and choice that says which field of the plan it is. So a worksheet, its key and
 * a page on which the numbers can be changed cannot disagree with the sheet, or with each other. */
#include "saying.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double DEGREE = 3.14159265358979323846 / 180;
static const char *const GAP = "______", *const NO_BREAK = "\xC2\xA0";

static void add(saying *s, const char *format, va_list list) {
    int n = vsnprintf(s->out + s->size, s->room - s->size, format, list);
    if (n > 0) s->size = s->size + (size_t)n < s->room ? s->size + (size_t)n : s->room - 1;
}

__attribute__((format(printf, 2, 3))) static void put(saying *s, const char *format, ...) {
    va_list list;
    va_start(list, format);
    add(s, format, list);
    va_end(list);
}

void say_words(saying *s, const char *format, ...) {
    if (s->form == SAY_ANSWERS) return;
    va_list list;
    va_start(list, format);
    add(s, format, list);
    va_end(list);
}

/* A number's own spaces, as in 4 7/8, are no place for a line to end either. */
static void put_figure(saying *s, const char *text) {
    for (; *text; text++)
        if (*text == ' ' && text[1] >= '0' && text[1] <= '9')
            put(s, "%s", NO_BREAK);
        else
            put(s, "%c", *text);
}

/* A unit after its number, which no line may end between. */
static void put_unit(saying *s, const char *unit) {
    bool space = unit[0] == ' ';
    put(s, "%s%s", space ? NO_BREAK : "", unit + space);
}

bool say_in_full(const saying *s) { return s->form == SAY_PLAIN || s->form == SAY_MARKED; }

/* Where a field's own words begin and end. path: as in the table of fields; NULL: of no field. */
static void mark(saying *s, const char *path) {
    if (s->form == SAY_MARKED && path) put(s, "%c%s%c", SAY_MARK, path, SAY_MARK_TEXT);
}

static void unmark(saying *s, const char *path) {
    if (s->form == SAY_MARKED && path) put(s, "%c", SAY_MARK_END);
}

void say_choice(saying *s, const char *path, const char *format, ...) {
    if (s->form == SAY_ANSWERS) return;
    mark(s, path);
    va_list list;
    va_start(list, format);
    add(s, format, list);
    va_end(list);
    unmark(s, path);
}

void say_number(saying *s, const char *path, const char *text, const char *unit) {
    mark(s, path);
    s->gap += !say_in_full(s);
    if (s->form == SAY_GAPS)
        put(s, "(%d)%s%s", s->gap, NO_BREAK, GAP);
    else if (s->form == SAY_ANSWERS)
        put(s, "%s(%d)%s", s->size ? "   " : "", s->gap, NO_BREAK);
    if (s->form != SAY_GAPS) put_figure(s, text);
    put_unit(s, unit);
    unmark(s, path);
}

saying say_begin(char *out, size_t room, lw_units units, say_form form, const int *gap) {
    out[0] = 0;
    return (saying){.out = out, .room = room, .form = form, .gap = gap ? *gap : 0, .units = units};
}

void say_end(const saying *s, int *gap) {
    if (gap) *gap = s->gap;
}

/* ---- numbers ---- */

/* "4 7/8": to the eighth. */
static void eighths(char out[32], double value) {
    static const char *const parts[] = {"", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"};
    long all = lround(fabs(value) * 8), whole = all / 8, part = all % 8;
    const char *sign = value < 0 && all ? "-" : "";
    if (part && whole)
        snprintf(out, 32, "%s%ld %s", sign, whole, parts[part]);
    else if (part)
        snprintf(out, 32, "%s%s", sign, parts[part]);
    else
        snprintf(out, 32, "%s%ld", sign, whole);
}

/* Without noughts at its end. */
static void decimals(char out[32], double value, int most) {
    double unit = pow(10, most), rounded = round(value * unit) / unit;
    snprintf(out, 32, "%.*f", most, rounded == 0 ? 0 : rounded);
    if (!strchr(out, '.')) return;
    size_t n = strlen(out);
    while (out[n - 1] == '0') out[--n] = 0;
    if (out[n - 1] == '.') out[n - 1] = 0;
}

static void bare_length(char out[32], double metres, lw_units units, int most) {
    if (!isfinite(metres))
        snprintf(out, 32, "-");
    else if (units == LW_INCH)
        eighths(out, metres / 0.0254);
    else
        decimals(out, metres * 100, most);
}

static const char *unit_after(lw_units units) { return units == LW_INCH ? " in" : " cm"; }

static void with_unit(char out[32], double metres, lw_units units, int most) {
    char bare[32];
    bare_length(bare, metres, units, most);
    snprintf(out, 32, "%.24s%s", bare, unit_after(units));
}

void say_length(char out[32], double metres, lw_units units) { with_unit(out, metres, units, 1); }
void say_plan_length(char out[32], double metres, lw_units units) { with_unit(out, metres, units, 2); }

static void length_of(saying *s, const char *path, double metres, int most) {
    char text[32];
    bare_length(text, metres, s->units, most);
    say_number(s, path, text, unit_after(s->units));
}

void say_plan_metres(saying *s, const char *path, double metres) { length_of(s, path, metres, 2); }
void say_metres(saying *s, double metres) { length_of(s, NULL, metres, 1); }

void say_degrees(saying *s, const char *path, double radians) {
    char text[32];
    long whole = lround(radians / DEGREE);
    snprintf(text, sizeof text, "%ld", whole);
    say_number(s, path, text, s->form != SAY_GAPS && labs(whole) == 1 ? " degree" : " degrees");
}

void say_fraction(char out[32], double value) {
    static const int below[] = {2, 3, 4, 5, 6, 8};
    double whole = floor(value + 1e-6), rest = value - whole;
    if (fabs(rest) < 1e-3) {
        snprintf(out, 32, "%.0f", whole);
        return;
    }
    for (size_t i = 0; i < sizeof below / sizeof *below; i++) {
        double over = round(rest * below[i]);
        if (over < 1 || fabs(rest - over / below[i]) > 1e-3) continue;
        if (whole > 0)
            snprintf(out, 32, "%.0f %.0f/%d", whole, over, below[i]);
        else
            snprintf(out, 32, "%.0f/%d", over, below[i]);
        return;
    }
    decimals(out, value, 2);
}
