/* The book's handles: a few, of which each is lent to one thread at a time. */
#ifndef LW_SERVE_HANDLES_H
#define LW_SERVE_HANDLES_H

#include "book.h"

typedef struct handles handles;

/* Opens the book, checked whole, and makes it where there is none. */
lw_status handles_open(handles **out, const char *path, lw_error *error);

/* Waits for a handle that nobody has, or opens another. handles_give must follow. */
lw_status handles_take(book **out, handles *s, lw_error *error);
void handles_give(handles *s, book *b);

/* The file. */
const char *handles_path(const handles *s);

/* When all are given back. NULL is fine. */
void handles_close(handles *s);

#endif
