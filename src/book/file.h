/* Opening the SQLite file itself, for whoever opens a book or a copy of one. See open.c. */
#ifndef LW_BOOK_FILE_H
#define LW_BOOK_FILE_H

#include <sqlite3.h>

/* Opens with all that holds for every book; SQLite's code. *db is to be closed in any case. */
int file_open(sqlite3 **db, const char *path, const char *vfs, int flags);

#endif
