/* Statements, transactions and faults.
 *
 * Trouble is kept, not passed: the first failure inside a transaction stays in the book, every later call
 * does nothing, and db_end undoes all of it and says what it was. So what stands between begin and end reads
 * as if nothing could fail.
 *
 * Writers and whoever copies the log into the book (a checkpoint) exclude each other by a lock of ours on a
 * file of its own. SQLite's own locks let both go on at once, which SQLite 3.7.0 to 3.51.2 has been found not
 * to bear in a rare race ("The WAL-Reset Bug", https://www.sqlite.org/wal.html). The file is never the book
 * itself: closing any descriptor of a file drops all of a process's POSIX locks on it ("How To Corrupt An
 * SQLite Database File", section 2.2).
 */
#include "db.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "fail.h"
#include "grown.h"
#include "place.h"

static void ran_into(book *b, int code) {
    if (b->trouble == SQLITE_OK) b->trouble = code;
}

static void bind(book *b, sqlite3_stmt *asked, const char *types, va_list values) {
    for (int i = 1; *types; types++, i++) {
        int code, size = -1;
        if (*types == 'i') {
            code = sqlite3_bind_int64(asked, i, va_arg(values, int64_t));
        } else {
            if (*types == 'z') size = va_arg(values, int);
            code = sqlite3_bind_text(asked, i, va_arg(values, const char *), size, SQLITE_STATIC);
        }
        if (code != SQLITE_OK) ran_into(b, code);
    }
}

static sqlite3_stmt *prepare(book *b, const char *sql, const char *types, va_list values) {
    sqlite3_stmt *asked = NULL;
    if (b->trouble != SQLITE_OK) return NULL;
    int code = sqlite3_prepare_v2(b->db, sql, -1, &asked, NULL);
    if (code != SQLITE_OK)
        ran_into(b, code);
    else
        bind(b, asked, types, values);
    return asked;
}

sqlite3_stmt *db_ask(book *b, const char *sql, const char *types, ...) {
    va_list values;
    va_start(values, types);
    sqlite3_stmt *asked = prepare(b, sql, types, values);
    va_end(values);
    return asked;
}

bool db_row(book *b, sqlite3_stmt *asked) {
    if (!asked || b->trouble != SQLITE_OK) return false;
    int code = sqlite3_step(asked);
    if (code != SQLITE_ROW && code != SQLITE_DONE) ran_into(b, code);
    return code == SQLITE_ROW;
}

void db_do(book *b, const char *sql, const char *types, ...) {
    va_list values;
    va_start(values, types);
    sqlite3_stmt *asked = prepare(b, sql, types, values);
    va_end(values);
    while (db_row(b, asked)) continue;
    sqlite3_finalize(asked);
}

int64_t db_number(book *b, const char *sql, const char *types, ...) {
    va_list values;
    va_start(values, types);
    sqlite3_stmt *asked = prepare(b, sql, types, values);
    va_end(values);
    int64_t number = db_row(b, asked) ? sqlite3_column_int64(asked, 0) : 0;
    sqlite3_finalize(asked);
    return number;
}

const char *db_text(sqlite3_stmt *row, int column) {
    const char *text = (const char *)sqlite3_column_text(row, column);
    return text ? text : "";
}

void db_text_into(char *out, size_t room, sqlite3_stmt *row, int column) {
    snprintf(out, room, "%s", db_text(row, column));
}

char *db_text_copy(book *b, sqlite3_stmt *row, int column) {
    if (sqlite3_column_type(row, column) == SQLITE_NULL) return NULL;
    const char *text = (const char *)sqlite3_column_text(row, column);
    char *copy = text ? grown_copy(text, strlen(text)) : NULL;
    if (!copy) ran_into(b, SQLITE_NOMEM);
    return copy;
}

void db_now(const book *b, char out[BOOK_TIME_MAX]) {
    time_t now = b->now ? (time_t)b->now : time(NULL);
    struct tm parts;
    if (!gmtime_r(&now, &parts) || !strftime(out, BOOK_TIME_MAX, "%Y-%m-%dT%H:%M:%SZ", &parts))
        memcpy(out, "1970-01-01T00:00:00Z", BOOK_TIME_MAX);
}

/* ---- transactions ------------------------------------------------------------------------- */

lw_status db_lock(book *b, lw_error *error) {
    int reason = place_lock(b->lock, b->wait);
    if (reason == 0) return LW_OK;
    if (reason == EWOULDBLOCK)
        return fail(error, (lw_status)BOOK_BUSY, "book", "Do it again in a moment; nothing was changed.",
                    "somebody else is writing in the book");
    return fail(error, (lw_status)BOOK_DISK, "book", "Nothing was changed.", "cannot lock the book: %s",
                strerror(reason));
}

void db_unlock(book *b) { place_unlock(b->lock); }

static lw_status begin(book *b, const char *how, lw_error *error) {
    b->trouble = SQLITE_OK;
    db_do(b, how, "");
    return b->trouble ? db_fault(b->db, b->trouble, error) : LW_OK;
}

lw_status db_read(book *b, lw_error *error) { return begin(b, "BEGIN", error); }

lw_status db_write(book *b, lw_error *error) {
    lw_status status = db_lock(b, error);
    if (status) return status;
    status = begin(b, "BEGIN IMMEDIATE", error);
    if (status) db_unlock(b);
    return status;
}

lw_status db_end(book *b, lw_status status, lw_error *error) {
    if (status == LW_OK) db_do(b, "COMMIT", "");
    if (status == LW_OK && b->trouble) status = db_fault(b->db, b->trouble, error);
    if (!sqlite3_get_autocommit(b->db)) {
        b->trouble = SQLITE_OK;
        db_do(b, "ROLLBACK", "");
    }
    b->trouble = SQLITE_OK;
    db_unlock(b);
    return status;
}

/* ---- faults ------------------------------------------------------------------------------- */

static const char *reason_of(sqlite3 *db, int code) {
    int system = db ? sqlite3_system_errno(db) : 0;
    return system ? strerror(system) : sqlite3_errstr(code);
}

lw_status db_fault(sqlite3 *db, int code, lw_error *error) {
    static const char safe[] = "Nothing was changed, and what was kept before is safe.";
    switch (code & 0xff) {
    case SQLITE_NOMEM:
        return fail(error, LW_ERROR_MEMORY, "book", safe, "out of memory");
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        return db_damaged(error, db ? sqlite3_errmsg(db) : sqlite3_errstr(code));
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return fail(error, (lw_status)BOOK_BUSY, "book", "Do it again in a moment; nothing was changed.",
                    "somebody else is using the book");
    case SQLITE_FULL:
        return fail(error, (lw_status)BOOK_DISK, "book",
                    "Make room and do it again. Nothing was changed, and what was kept before is safe.",
                    "the disk is full");
    case SQLITE_IOERR:
        if (code == SQLITE_IOERR_NOMEM) return fail(error, LW_ERROR_MEMORY, "book", safe, "out of memory");
        return fail(error, (lw_status)BOOK_DISK, "book",
                    "Make a backup elsewhere and look after the disk. What was kept before is safe as far as "
                    "the disk is.",
                    "the disk failed: %s", reason_of(db, code));
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
    case SQLITE_AUTH:
        return fail(error, (lw_status)BOOK_DISK, "book",
                    "See that the book, its folder and the files beside it are yours to read and write.",
                    "the book cannot be written: %s", reason_of(db, code));
    default:
        return fail(error, (lw_status)BOOK_DISK, "book", safe, "the book did not take it: %s",
                    db ? sqlite3_errmsg(db) : sqlite3_errstr(code));
    }
}

lw_status db_damaged(lw_error *error, const char *shows) {
    lw_status status =
        fail(error, (lw_status)BOOK_DAMAGED, "book",
             "Change nothing in it. lengthwise book rescue saves what can be read; a backup may hold more.",
             "the book is damaged: %.200s", shows);
    for (char *c = error ? error->message : NULL; c && *c; c++)
        if (*c == '\n') *c = ' ';
    return status;
}

lw_status db_missing(lw_error *error, const char *what, int64_t id) {
    return fail(error, (lw_status)BOOK_MISSING, what,
                "lengthwise book list shows who and what is in the book.", "there is no %s %lld in the book",
                what, (long long)id);
}
