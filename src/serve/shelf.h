/* The book's handles: a few, of which each is lent to one thread at a time. */
#ifndef LW_SERVE_SHELF_H
#define LW_SERVE_SHELF_H

#include "book.h"

typedef struct shelf shelf;

/* Opens the book, checked whole, and makes it where there is none. */
lw_status shelf_open(shelf **out, const char *path, lw_error *error);

/* Waits for a handle that nobody has, or opens another. shelf_give must follow. */
lw_status shelf_take(book **out, shelf *s, lw_error *error);
void shelf_give(shelf *s, book *b);

/* The file. */
const char *shelf_path(const shelf *s);

/* When all are given back. NULL is fine. */
void shelf_close(shelf *s);

#endif
