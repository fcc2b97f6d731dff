/* The book's tables and their versions. See schema.c. */
#ifndef LW_BOOK_SCHEMA_H
#define LW_BOOK_SCHEMA_H

#include "db.h"

enum { SCHEMA_VERSION = 2, SCHEMA_APPLICATION = 0x6c776b62 }; /* "lwkb" */

/* Inside a transaction: brings tables of version `from` (0: none yet) up to SCHEMA_VERSION. */
void schema_bring(book *b, int from);

#endif
