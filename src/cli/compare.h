/* Two plans carried out, side by side. Each of these prints one part of what lengthwise compare says, to
 * stdout, and returns false where memory ran out. */
#ifndef LW_CLI_COMPARE_H
#define LW_CLI_COMPARE_H

#include "prediction.h"
#include "text.h"

typedef struct pair {
    prediction a, b;
    lw_units units;
} pair;

/* compare_hairs.c: where on the head they differ. */
bool compare_print_hairs(const pair *p);

/* compare_cut.c: their lengths, shapes and work. */
bool compare_print_cut(const pair *p);
bool compare_print_work(const pair *p);

/* compare_fall.c: how they fall, where both were read. */
bool compare_print_fall(const pair *p);

/* ---- rows ---- */

void compare_heads(table *t, const char *const *names, int count);

/* A's, B's and what B has more. */
void compare_lengths(table *t, double a, double b, lw_units units);

/* The same of other numbers, after their name; format "0" whole, "1" with tenths. */
void compare_number(table *t, const char *name, const char *format, double a, double b);

#endif
