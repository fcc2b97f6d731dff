/* What the verbs of the book share. */
#ifndef LW_CLI_BOOK_USE_H
#define LW_CLI_BOOK_USE_H

#include "book.h"
#include "command.h"
#include "complain.h"

/* Options of the command, by their place in its table. */
enum {
    BOOK_FILE,
    BOOK_OUTPUT,
    BOOK_FOR,
    BOOK_ON_PLAN,
    BOOK_ON_NOTE,
    BOOK_REVISION,
    BOOK_TAGS,
    BOOK_ON,
    BOOK_YES,
    BOOK_UNITS,
    BOOK_HEAD_KIND,
    BOOK_HAIRLINE,
    BOOK_HAIR,
    BOOK_MEASURES,
    BOOK_OPTIONS = BOOK_MEASURES + LW_MEASURE_INPUTS
};

/* Opens the book that is meant; complains and returns an exit code on failure. */
int book_use(book **out, const arguments *args, bool create);

/* Says what went wrong; the exit code. */
int book_refused(const book *b, const lw_error *error);

/* The person whose number or name this is: the whole name, or words that only one person has. */
int book_who(int64_t *id, book *b, const char *words);

/* A number as an operand: of a plan. */
int book_number(int64_t *out, const char *what, const char *text);

/* "2026-03-01" of a time. */
typedef struct day {
    char s[12];
} day;
day day_of(const char *when);

/* The verbs. */
int book_list(const arguments *args), book_search(const arguments *args), book_show(const arguments *args);
int book_add(const arguments *args), book_rename(const arguments *args), book_measure(const arguments *args);
int book_note_down(const arguments *args), book_tag(const arguments *args),
    book_forget(const arguments *args);
int book_keep(const arguments *args), book_history_of(const arguments *args),
    book_take(const arguments *args);
int book_back_up(const arguments *args), book_write_out(const arguments *args),
    book_read_in(const arguments *args);
int book_look_over(const arguments *args), book_rescue(const arguments *args);

#endif
