/* Lengths and tables as people read them. */
#include "text.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CELL_MAX = LW_NAME_MAX + 16 };
struct cell {
    char s[CELL_MAX];
};

const char *unit_name(lw_units units) { return units == LW_INCH ? "in" : "cm"; }
const char *unit_square_name(lw_units units) { return units == LW_INCH ? "sq in" : "sq cm"; }

static figure none(const char *s) {
    figure out;
    snprintf(out.s, sizeof out.s, "%s", s);
    return out;
}

/* Eighths in lowest terms: "5/8", "3/4", "1/2"; spaces of the same width for none. */
static const char *eighths(long n) {
    static const char *const names[] = {"", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"};
    return names[n];
}

static figure inches(double metres, bool column, const char *sign) {
    figure out;
    long all = lround(fabs(metres) / 0.0254 * 8), whole = all / 8, part = all % 8;
    if (all == 0) sign = "";
    if (part && whole)
        snprintf(out.s, sizeof out.s, "%s%ld %s", sign, whole, eighths(part));
    else if (part)
        snprintf(out.s, sizeof out.s, "%s%s", sign, eighths(part));
    else
        snprintf(out.s, sizeof out.s, column ? "%s%ld    " : "%s%ld", sign, whole);
    return out;
}

static figure centimetres(double metres, const char *sign) {
    figure out;
    double tenths = round(fabs(metres) * 1000);
    snprintf(out.s, sizeof out.s, "%s%.1f", tenths > 0 ? sign : "", tenths / 10);
    return out;
}

static figure length(double metres, lw_units units, bool column, bool always) {
    const char *sign = metres < 0 ? "-" : always ? "+" : "";
    if (!isfinite(metres)) return none(units == LW_INCH && column ? "-    " : "-");
    return units == LW_INCH ? inches(metres, column, sign) : centimetres(metres, sign);
}

figure length_text(double metres, lw_units units) { return length(metres, units, false, false); }
figure length_column(double metres, lw_units units) { return length(metres, units, true, false); }
figure difference_column(double metres, lw_units units) { return length(metres, units, true, true); }

figure area_text(double square_metres, lw_units units) {
    figure out;
    double metre = units == LW_INCH ? 0.0254 : 0.01;
    snprintf(out.s, sizeof out.s, "%.0f", square_metres / (metre * metre));
    return out;
}

figure slope_text(double slope) {
    figure out;
    if (!isfinite(slope)) return none("-");
    snprintf(out.s, sizeof out.s, fabs(slope) < 0.005 ? "%.2f" : "%+.2f", fabs(slope) < 0.005 ? 0 : slope);
    return out;
}

figure count_text(double count) {
    char digits[FIGURE_MAX];
    figure out = none("");
    int n = snprintf(digits, sizeof digits, "%.0f", fmin(fabs(count), 1e15)), at = 0;
    for (int i = 0; i < n; i++) {
        if (i > 0 && (n - i) % 3 == 0) out.s[at++] = ',';
        out.s[at++] = digits[i];
    }
    out.s[at] = '\0';
    return out;
}

/* Columns on the screen: UTF-8's continuation bytes take none. */
static int shown(const char *s, size_t bytes) {
    int n = 0;
    for (size_t i = 0; i < bytes; i++) n += ((unsigned char)s[i] & 0xc0) != 0x80;
    return n;
}

void wrapped(const char *s, int indent, int used) {
    bool first = true; /* of its line */
    while (*s) {
        size_t bytes = strcspn(s, " \n");
        int width = shown(s, bytes);
        if (!first && used + 1 + width > SCREEN) {
            printf("\n%*s", indent, "");
            used = indent;
            first = true;
        }
        printf("%s%.*s", first ? "" : " ", (int)bytes, s);
        used += width + !first;
        first = false;
        s += bytes;
        while (*s == ' ') s++;
        if (*s != '\n') continue;
        printf("\n%*s", indent, "");
        used = indent;
        first = true;
        s++;
    }
    putchar('\n');
}

table table_begin(const char *align) { return (table){.align = align, .columns = (int)strlen(align)}; }

void table_cell(table *t, const char *s) {
    if (t->count == t->room && !t->failed) {
        int room = t->room ? 2 * t->room : 64;
        struct cell *more = realloc(t->cells, (size_t)room * sizeof *more);
        t->failed = !more;
        if (more) t->cells = more, t->room = room;
    }
    if (t->failed) return;
    snprintf(t->cells[t->count++].s, CELL_MAX, "%s", s);
}

void table_cellf(table *t, const char *format, ...) {
    char s[CELL_MAX];
    va_list list;
    va_start(list, format);
    vsnprintf(s, sizeof s, format, list);
    va_end(list);
    table_cell(t, s);
}

static void print_row(const table *t, int row, const int *width) {
    int due = 2; /* spaces that are printed only if something follows */
    for (int k = 0; k < t->columns; k++) {
        const char *s = t->cells[row * t->columns + k].s;
        int pad = width[k] - shown(s, strlen(s)), kept = (int)strlen(s);
        while (kept > 0 && s[kept - 1] == ' ') kept--;
        if (t->align[k] == 'r') due += pad;
        if (kept > 0) {
            printf("%*s%.*s", due, "", kept, s);
            due = 0;
        }
        due += (kept > 0 ? (int)strlen(s) - kept : shown(s, strlen(s))) + (t->align[k] == 'l' ? pad : 0) + 2;
    }
    putchar('\n');
}

bool table_end(table *t, const char *title) {
    enum { COLUMNS_MAX = 16 };
    int width[COLUMNS_MAX] = {0}, rows = t->count / t->columns;
    for (int i = 0; i < rows * t->columns; i++) {
        int w = shown(t->cells[i].s, strlen(t->cells[i].s)), k = i % t->columns;
        if (w > width[k]) width[k] = w;
    }
    bool fine = !t->failed;
    if (fine && rows > 1) {
        printf("\n%s\n", title);
        for (int i = 0; i < rows; i++) print_row(t, i, width);
    }
    free(t->cells);
    *t = (table){0};
    return fine;
}
