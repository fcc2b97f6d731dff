/* Rows of plans, for whoever adds them: keeping and import. See plans.c. */
#ifndef LW_BOOK_PLANS_H
#define LW_BOOK_PLANS_H

#include "db.h"

/* A text that lw_plan_read has taken, from its first brace to its last. */
typedef struct plans_text {
    const char *text; /* in the caller's */
    size_t size;
    char title[LW_TITLE_MAX], words[LW_TITLE_MAX + 512], tags[BOOK_TAGS_MAX], made[BOOK_TIME_MAX];
} plans_text;

/* Fills all but made. */
lw_status plans_text_read(plans_text *out, const char *text, size_t size, const char *tags, lw_error *error);

/* id 0: the next one. person 0: nobody's. */
void plans_add_row(book *b, int64_t id, int64_t person, const char *made);
void plans_add_text(book *b, int64_t id, int64_t revision, const plans_text *t);

#endif
