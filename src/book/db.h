/* SQLite as the rest of the room uses it. See db.c. */
#ifndef LW_BOOK_DB_H
#define LW_BOOK_DB_H

#include <sqlite3.h>
#include <stdarg.h>

#include "book.h"

struct book {
    sqlite3 *db;
    int trouble; /* SQLite's first failure since the transaction began; SQLITE_OK none */
    int lock;    /* of FILE-lock; -1 before it is open */
    int wait;
    int64_t now;
    char *path;
};

/* Prepares a statement with its values: one letter of `types` each, i an int64_t, z an int (size) and its
 * text, t a text or NULL. Never NULL-checked by callers: the functions below do nothing for NULL, and trouble
 * then says why. */
sqlite3_stmt *db_ask(book *b, const char *sql, const char *types, ...);

/* Steps to the next row; false at the end and once there is trouble. */
bool db_row(book *b, sqlite3_stmt *asked);

/* Carries a statement out to its end. */
void db_do(book *b, const char *sql, const char *types, ...);

/* The first column of its first row; 0 where there is none. */
int64_t db_number(book *b, const char *sql, const char *types, ...);

/* A text column, "" for NULL; into an array that it fits, or as a copy to free (NULL for NULL, and where
 * memory ran out, which is then trouble). */
const char *db_text(sqlite3_stmt *row, int column);
void db_text_into(char *out, size_t room, sqlite3_stmt *row, int column);
char *db_text_copy(book *b, sqlite3_stmt *row, int column);

/* The moment that a change gets. */
void db_now(const book *b, char out[BOOK_TIME_MAX]);

/* A transaction that writes, or one that reads from one moment. db_end commits it where status is LW_OK and
 * there was no trouble, undoes it otherwise, and returns what came of it; it follows every begin that
 * returned LW_OK. */
lw_status db_write(book *b, lw_error *error);
lw_status db_read(book *b, lw_error *error);
lw_status db_end(book *b, lw_status status, lw_error *error);

/* Writers' lock: nobody else writes or copies the log into the book while it is held. */
lw_status db_lock(book *b, lw_error *error);
void db_unlock(book *b);

/* What one of SQLite's codes means; db may be NULL. */
lw_status db_fault(sqlite3 *db, int code, lw_error *error);

/* The book is damaged, as this shows; SQLite's words for it may have lines. */
lw_status db_damaged(lw_error *error, const char *shows);

lw_status db_missing(lw_error *error, const char *what, int64_t id);

#endif
