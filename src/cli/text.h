/* Lengths in the units people hold, and tables that are set in columns. */
#ifndef LW_CLI_TEXT_H
#define LW_CLI_TEXT_H

#include <stdbool.h>

#include "lengthwise.h"

enum { FIGURE_MAX = 32 };
typedef struct figure {
    char s[FIGURE_MAX];
} figure;

/* Centimetres to the millimetre ("12.3") or inches to the eighth ("3 5/8"); "-" where there is none. In a
 * column the eighths have a place of their own. */
figure length_text(double metres, lw_units units);
figure length_column(double metres, lw_units units);
figure difference_column(double metres, lw_units units); /* with its sign */
figure area_text(double square_metres, lw_units units);
figure slope_text(double slope); /* to the hundredth, with its sign */
figure count_text(double count); /* "123,456" */

const char *unit_name(lw_units units); /* "cm", "in" */
const char *unit_square_name(lw_units units);

/* Prints text to stdout in lines of at most SCREEN columns, each but the first after `indent` spaces; the
 * first has `used` columns already. Line breaks in the text stay. */
enum { SCREEN = 78 };
void wrapped(const char *s, int indent, int used);

/* A table: rows of cells, the first row the heading. `align` has one letter a column, l or r. */
typedef struct table {
    const char *align;
    int columns, count, room;
    bool failed; /* memory ran out: nothing is printed */
    struct cell *cells;
} table;

table table_begin(const char *align);
void table_cell(table *t, const char *s);
__attribute__((format(printf, 2, 3))) void table_cellf(table *t, const char *format, ...);

/* Prints to stdout, under a title, and frees it; nothing where it has no rows but the heading. */
bool table_end(table *t, const char *title);

#endif
