/* Opening a book, or making one.
 *
 * A new book is made whole under another name and then linked to its own, so that a file of its name is
 * always a book: one that is empty has been emptied by somebody, and is refused. Nothing that is there is
 * ever replaced.
 *
 * WAL with synchronous=FULL: a commit returns when the log is on the disk
 * (https://www.sqlite.org/pragma.html, "PRAGMA synchronous"). secure_delete overwrites what is deleted.
 * Trusted schema off and defensive on, as SQLite advises for files that may come from elsewhere
 * (https://www.sqlite.org/security.html).
 */
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "db.h"
#include "fail.h"
#include "file.h"
#include "place.h"
#include "schema.h"
#include "sum.h"

book_options book_default(void) { return (book_options){.wait = 5000}; }

const char *book_file(const book *b) { return b->path; }

lw_status book_path(char **out, lw_error *error) {
    const char *data = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
    static const char tail[] = "/lengthwise/book.sqlite", local[] = "/.local/share/lengthwise/book.sqlite";
    *out = NULL;
    if (data && data[0] == '/')
        *out = place_beside(data, tail);
    else if (home && home[0] == '/')
        *out = place_beside(home, local);
    else
        return fail(error, LW_ERROR_ARGUMENT, "book",
                    "Say where it is: --book FILE, or set HOME or XDG_DATA_HOME.",
                    "no place for the book: there is no home folder");
    return *out ? LW_OK : fail_memory(error, "book");
}

int file_open(sqlite3 **db, const char *path, const char *vfs, int flags) {
    int code = sqlite3_open_v2(path, db, flags | SQLITE_OPEN_READWRITE | SQLITE_OPEN_FULLMUTEX, vfs);
    if (code == SQLITE_OK) code = sqlite3_extended_result_codes(*db, 1);
    if (code == SQLITE_OK) code = sqlite3_db_config(*db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    if (code == SQLITE_OK) code = sqlite3_db_config(*db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    if (code == SQLITE_OK) code = sum_register(*db);
    if (code == SQLITE_OK)
        code =
            sqlite3_exec(*db,
                         "PRAGMA foreign_keys = ON; PRAGMA secure_delete = ON; PRAGMA cell_size_check = ON;"
                         "PRAGMA mmap_size = 0; PRAGMA synchronous = FULL; PRAGMA temp_store = MEMORY;",
                         NULL, NULL, NULL);
    return code;
}

/* ---- making ------------------------------------------------------------------------------- */

static lw_status make_aside(const char *aside, const char *vfs, lw_error *error) {
    book b = {.lock = -1};
    int code = file_open(&b.db, aside, vfs, 0);
    if (code == SQLITE_OK) {
        db_do(&b, "PRAGMA journal_mode = DELETE", "");
        db_do(&b, "BEGIN IMMEDIATE", "");
        schema_bring(&b, 0);
        db_do(&b, "COMMIT", "");
        code = b.trouble;
    }
    lw_status status = code ? db_fault(b.db, code, error) : LW_OK;
    sqlite3_close(b.db);
    return status;
}

/* A log without its book belongs to a book that was here: SQLite would take the new one for it. */
static lw_status no_leftovers(const char *path, lw_error *error) {
    static const char *const endings[] = {"-wal", "-journal"};
    for (int i = 0; i < 2; i++) {
        char *beside = place_beside(path, endings[i]);
        if (!beside) return fail_memory(error, "book");
        bool there = place_there(beside);
        free(beside);
        if (there)
            return fail(
                error, (lw_status)BOOK_DAMAGED, "book",
                "Put the book back beside it, or put that file away if the book is not wanted any more.",
                "the book is gone, but its log is still there: %s%s", path, endings[i]);
    }
    return LW_OK;
}

static lw_status make(const char *path, const char *vfs, lw_error *error) {
    char ending[32];
    lw_status status = no_leftovers(path, error);
    if (status) return status;
    snprintf(ending, sizeof ending, ".new-%ld", (long)getpid());
    char *aside = place_beside(path, ending);
    if (!aside) return fail_memory(error, "book");
    unlink(aside); /* of a process of the same number that was killed here */
    int reason = place_create(aside);
    if (reason == 0) {
        status = make_aside(aside, vfs, error);
        if (!status) reason = place_sync_file(aside);
        if (!status && !reason && link(aside, path) != 0 && errno != EEXIST) reason = errno;
        unlink(aside);
        if (!status && !reason) reason = place_sync_folder(path);
    }
    free(aside);
    return status || !reason ? status : place_fault(error, path, "cannot make the book", reason);
}

/* ---- opening ------------------------------------------------------------------------------ */

static lw_status refuse_stranger(book *b, int64_t application, lw_error *error) {
    int64_t tables = db_number(b, "SELECT count(*) FROM sqlite_schema", "");
    if (b->trouble) return db_fault(b->db, b->trouble, error);
    if (tables == 0)
        return fail(error, (lw_status)BOOK_DAMAGED, "book",
                    "It has lost what it held, or never was a book. Put it away, and a backup in its place.",
                    "the file is empty");
    return fail(error, LW_ERROR_ARGUMENT, "book", "Give the path of a book.",
                "this is an SQLite file of another program (its mark is %lld)", (long long)application);
}

/* Whether it is a book, and one that this lengthwise knows. Reads only: what is refused is left as it is. */
static lw_status know(book *b, int64_t *version, lw_error *error) {
    int64_t application = db_number(b, "PRAGMA application_id", "");
    *version = db_number(b, "PRAGMA user_version", "");
    if (b->trouble) return db_fault(b->db, b->trouble, error);
    if (application != SCHEMA_APPLICATION) return refuse_stranger(b, application, error);
    if (*version > SCHEMA_VERSION)
        return fail(error, (lw_status)BOOK_NEWER, "book", "Use a newer lengthwise. The book was not touched.",
                    "the book has version %lld; this lengthwise knows versions up to %d", (long long)*version,
                    SCHEMA_VERSION);
    return *version > 0 ? LW_OK : db_damaged(error, "it has no version");
}

static lw_status bring_up(book *b, lw_error *error) {
    lw_status status = db_write(b, error);
    if (status) return status;
    int64_t version = db_number(b, "PRAGMA user_version", ""); /* somebody else may have been faster */
    schema_bring(b, (int)version);
    return db_end(b, LW_OK, error);
}

static lw_status sound(book *b, lw_error *error) {
    sqlite3_stmt *asked = db_ask(b, "PRAGMA integrity_check(1)", "");
    lw_status status = LW_OK;
    if (db_row(b, asked) && strcmp(db_text(asked, 0), "ok") != 0)
        status = db_damaged(error, db_text(asked, 0));
    sqlite3_finalize(asked);
    return status || !b->trouble ? status : db_fault(b->db, b->trouble, error);
}

/* Under the lock: the last one to leave may be copying the log just now. */
static lw_status begin_use(book *b, bool unchecked, int64_t *version, lw_error *error) {
    lw_status status = know(b, version, error);
    if (status) return status;
    db_do(b, "PRAGMA journal_mode = WAL", "");
    if (b->trouble) return db_fault(b->db, b->trouble, error);
    return unchecked ? LW_OK : sound(b, error);
}

static lw_status open_there(book *b, const book_options *options, lw_error *error) {
    char *lock = place_beside(b->path, "-lock");
    if (!lock) return fail_memory(error, "book");
    b->lock = place_lock_open(lock);
    free(lock);
    if (b->lock < 0) return place_fault(error, b->path, "cannot make the lock beside", errno);
    int reason = place_owner_only(b->path);
    if (reason) return place_fault(error, b->path, "cannot keep others from reading", reason);
    int64_t version = 0;
    lw_status status = db_lock(b, error);
    if (status) return status;
    int code = file_open(&b->db, b->path, options->vfs, 0);
    if (code == SQLITE_OK) code = sqlite3_busy_timeout(b->db, b->wait);
    if (code)
        status = db_fault(b->db, code, error);
    else
        status = begin_use(b, options->unchecked, &version, error);
    db_unlock(b);
    return status || version == SCHEMA_VERSION ? status : bring_up(b, error);
}

/* A path that SQLite takes for nothing but a file: ":memory:" and "file:" mean something to it. */
static char *plain(const char *path) { return place_beside(path[0] == '/' ? "" : "./", path); }

lw_status book_open(book **out, const char *path, const book_options *options, lw_error *error) {
    *out = NULL;
    book *b = calloc(1, sizeof *b);
    if (!b) return fail_memory(error, "book");
    *b = (book){.lock = -1, .wait = options->wait, .now = options->now};
    bool own = path == NULL;
    lw_status status = LW_OK;
    if (own)
        status = book_path(&b->path, error);
    else
        b->path = plain(path);
    if (!status && !b->path) status = fail_memory(error, "book");
    if (!status && !place_there(b->path)) {
        int reason = own && options->create ? place_make_folder(b->path) : 0;
        if (reason)
            status = place_fault(error, b->path, "cannot make the folder of", reason);
        else if (options->create)
            status = make(b->path, options->vfs, error);
        else
            status =
                fail(error, (lw_status)BOOK_MISSING, "book",
                     "lengthwise book add NAME begins one; --book FILE names another.", "there is no book");
    }
    if (!status) status = open_there(b, options, error);
    if (status)
        book_close(b);
    else
        *out = b;
    return status;
}

/* The last one to close copies the log into the book, which is why it waits for writers. */
void book_close(book *b) {
    if (!b) return;
    bool locked = b->db && b->lock >= 0 && place_lock(b->lock, b->wait) == 0;
    if (b->db && !locked) sqlite3_db_config(b->db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, NULL);
    sqlite3_close(b->db);
    if (b->lock >= 0) close(b->lock);
    free(b->path);
    free(b);
}
