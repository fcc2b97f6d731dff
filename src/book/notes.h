/* Rows of notes. See notes.c. */
#ifndef LW_BOOK_NOTES_H
#define LW_BOOK_NOTES_H

#include "db.h"

/* id 0: the next one. One of person and plan is 0. */
void notes_add_row(book *b, int64_t id, int64_t person, int64_t plan, const char *text, const char *made);

/* Inside a transaction: those of a person or a plan, the oldest first. */
void notes_read(book_notes *out, book *b, int64_t person, int64_t plan);

#endif
