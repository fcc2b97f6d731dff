/* The book's own form as JSON text, for export and salvage. See export.c. */
#ifndef LW_BOOK_EXPORT_H
#define LW_BOOK_EXPORT_H

#include "db.h"

/* Inside a transaction: everything. */
lw_status export_all(char **out, size_t *size, book *b, lw_error *error);

#endif
