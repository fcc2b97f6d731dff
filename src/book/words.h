/* What names, tags and notes may be. See words.c. */
#ifndef LW_BOOK_WORDS_H
#define LW_BOOK_WORDS_H

#include "book.h"

lw_status words_name(const char *name, lw_error *error);
lw_status words_note(const char *text, lw_error *error);

/* Tags as they are kept: sorted, each once, ", " between. */
lw_status words_tags(char out[BOOK_TAGS_MAX], const char *tags, lw_error *error);

/* "2026-03-01T09:30:00Z" and nothing else. */
bool words_time(const char *text);

#endif
