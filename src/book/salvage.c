/* Reading what can be read of a damaged book.
 *
 * A copy of the file and its log is read, row by row, around what cannot be read: from the first row up, from
 * the last one down, and one by one between. What is read is held against its sum and against what it must
 * be, and put into a new book in memory, which is then exported. Nothing is made up: whose name is lost is
 * called so, a plan whose text is no plan any more is counted as lost.
 */
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "db.h"
#include "export.h"
#include "fail.h"
#include "file.h"
#include "notes.h"
#include "place.h"
#include "plans.h"
#include "schema.h"
#include "sum.h"
#include "words.h"

enum { GAP_MAX = 100000 };

static const char no_time[] = "1970-01-01T00:00:00Z";

typedef struct rescue {
    sqlite3 *from;
    bool sums; /* its rows have them */
    book to;
    book_saved *saved;
} rescue;

/* ---- rows --------------------------------------------------------------------------------- */

static const char *time_or_none(const char *found, bool *as_written) {
    if (words_time(found)) return found;
    *as_written = false;
    return no_time;
}

static void count_it(rescue *r, int64_t *whole, int64_t *doubtful, bool as_written) {
    if (r->to.trouble == SQLITE_OK) ++*(as_written ? whole : doubtful);
}

static void add_person(rescue *r, int64_t id, int64_t revision, const char *name, const char *tags,
                       const char *measures, const char *made, const char *changed) {
    db_do(&r->to,
          "INSERT INTO person(id, revision, name, tags, measures, made, changed) VALUES(?, ?, ?, ?, ?, ?, ?)",
          "iittttt", id, revision, name, tags, measures, made, changed);
    db_do(&r->to, "UPDATE person SET sum = " PERSON_SUM " WHERE id = ?", "i", id);
}

static void save_person(rescue *r, sqlite3_stmt *row) {
    int64_t id = sqlite3_column_int64(row, 0), revision = sqlite3_column_int64(row, 1);
    bool as_written = sqlite3_column_int(row, 7) == 1;
    char lost[64], tags[BOOK_TAGS_MAX];
    const char *name = db_text(row, 2), *measures = (const char *)sqlite3_column_text(row, 4);
    if (id < 1) return;
    if (revision < 1) revision = 1;
    if (words_name(name, NULL) != LW_OK) {
        snprintf(lost, sizeof lost, "(name lost) %lld", (long long)id);
        name = lost;
        as_written = false;
    }
    if (words_tags(tags, db_text(row, 3), NULL) != LW_OK) as_written = false;
    if (measures && book_measures_check(measures, NULL) != LW_OK) {
        measures = NULL;
        as_written = false;
    }
    const char *made = time_or_none(db_text(row, 5), &as_written);
    const char *changed = time_or_none(db_text(row, 6), &as_written);
    add_person(r, id, revision, name, tags, measures, made, changed);
    count_it(r, &r->saved->whole.people, &r->saved->doubtful.people, as_written);
}

/* Somebody or some plan that others belong to and that could not be read. */
static int64_t person_there(rescue *r, int64_t id) {
    char lost[64];
    if (id < 1) return 0;
    if (db_number(&r->to, "SELECT count(*) FROM person WHERE id = ?", "i", id) > 0) return id;
    snprintf(lost, sizeof lost, "(name lost) %lld", (long long)id);
    add_person(r, id, 1, lost, "", NULL, no_time, no_time);
    r->saved->lost.people++;
    return id;
}

static void plan_there(rescue *r, int64_t id) {
    if (db_number(&r->to, "SELECT count(*) FROM plan WHERE id = ?", "i", id) > 0) return;
    plans_add_row(&r->to, id, 0, no_time);
    r->saved->lost.plans++;
}

static void save_plan(rescue *r, sqlite3_stmt *row) {
    int64_t id = sqlite3_column_int64(row, 0);
    bool as_written = sqlite3_column_int(row, 3) == 1;
    if (id < 1) return;
    const char *made = time_or_none(db_text(row, 2), &as_written);
    plans_add_row(&r->to, id, person_there(r, sqlite3_column_int64(row, 1)), made);
    count_it(r, &r->saved->whole.plans, &r->saved->doubtful.plans, as_written);
}

static void save_text(rescue *r, sqlite3_stmt *row) {
    int64_t plan = sqlite3_column_int64(row, 1), revision = sqlite3_column_int64(row, 2);
    bool as_written = sqlite3_column_int(row, 6) == 1;
    char tags[BOOK_TAGS_MAX];
    plans_text t;
    if (plan < 1 || revision < 1) return;
    if (words_tags(tags, db_text(row, 3), NULL) != LW_OK) as_written = false;
    if (plans_text_read(&t, db_text(row, 4), strlen(db_text(row, 4)), tags, NULL) != LW_OK) return;
    if (db_number(&r->to, "SELECT count(*) FROM plan_text WHERE plan = ? AND revision = ?", "ii", plan,
                  revision) > 0)
        return;
    snprintf(t.made, sizeof t.made, "%s", time_or_none(db_text(row, 5), &as_written));
    plan_there(r, plan);
    plans_add_text(&r->to, plan, revision, &t);
    count_it(r, &r->saved->whole.revisions, &r->saved->doubtful.revisions, as_written);
}

static void save_note(rescue *r, sqlite3_stmt *row) {
    int64_t id = sqlite3_column_int64(row, 0), person = sqlite3_column_int64(row, 1);
    int64_t plan = sqlite3_column_int64(row, 2);
    bool as_written = sqlite3_column_int(row, 5) == 1;
    if (id < 1 || (person > 0) == (plan > 0) || words_note(db_text(row, 3), NULL) != LW_OK) {
        r->saved->lost.notes++;
        return;
    }
    if (person > 0) person_there(r, person);
    if (plan > 0 && db_number(&r->to, "SELECT count(*) FROM plan_text WHERE plan = ?", "i", plan) == 0) {
        r->saved->lost.notes++; /* on a plan of which no text is left */
        return;
    }
    const char *made = time_or_none(db_text(row, 4), &as_written);
    notes_add_row(&r->to, id, person > 0 ? person : 0, plan > 0 ? plan : 0, db_text(row, 3), made);
    count_it(r, &r->saved->whole.notes, &r->saved->doubtful.notes, as_written);
}

/* ---- tables ------------------------------------------------------------------------------- */

typedef struct table {
    const char *columns, *sum, *name;
    void (*save)(rescue *r, sqlite3_stmt *row);
} table;

static const table tables[] = {
    {"rowid, revision, name, tags, measures, made, changed", PERSON_SUM, "person", save_person},
    {"rowid, person, made", PLAN_SUM, "plan", save_plan},
    {"rowid, plan, revision, tags, text, made", TEXT_SUM, "plan_text", save_text},
    {"rowid, person, plan, text, made", NOTE_SUM, "note", save_note},
};

static sqlite3_stmt *ask(rescue *r, const table *t, const char *where, int64_t bound) {
    char sql[512];
    sqlite3_stmt *asked = NULL;
    snprintf(sql, sizeof sql, "SELECT %s, %s%s FROM %s NOT INDEXED WHERE %s", t->columns,
             r->sums ? "sum = " : "0", r->sums ? t->sum : "", t->name, where);
    if (sqlite3_prepare_v2(r->from, sql, -1, &asked, NULL) == SQLITE_OK) sqlite3_bind_int64(asked, 1, bound);
    return asked;
}

/* Saves rows until the end (true) or until one cannot be read; *last is the row id of the last that could. */
static bool walk(rescue *r, const table *t, const char *where, int64_t bound, int64_t *last) {
    sqlite3_stmt *asked = ask(r, t, where, bound);
    int code = asked ? sqlite3_step(asked) : SQLITE_CORRUPT;
    for (; code == SQLITE_ROW && r->to.trouble == SQLITE_OK; code = sqlite3_step(asked)) {
        *last = sqlite3_column_int64(asked, 0);
        t->save(r, asked);
    }
    sqlite3_finalize(asked);
    return code == SQLITE_DONE;
}

static void save_table(rescue *r, const table *t) {
    int64_t low = 0, high = INT64_MAX;
    if (walk(r, t, "rowid > ? ORDER BY rowid", 0, &low)) return;
    walk(r, t, "rowid > ? ORDER BY rowid DESC", low, &high);
    if (high == INT64_MAX) high = low + GAP_MAX;
    if (high - low > GAP_MAX) high = low + GAP_MAX;
    sqlite3_stmt *asked = ask(r, t, "rowid = ?", low);
    for (int64_t id = low + 1; asked && id < high && r->to.trouble == SQLITE_OK; id++) {
        sqlite3_reset(asked);
        sqlite3_bind_int64(asked, 1, id);
        if (sqlite3_step(asked) == SQLITE_ROW) t->save(r, asked);
    }
    sqlite3_finalize(asked);
}

/* Plans of which no text is left say nothing; revisions that are missing in a row were there. */
static void count_lost(rescue *r) {
    r->saved->lost.revisions =
        db_number(&r->to,
                  "SELECT coalesce(sum(most - number), 0) FROM (SELECT max(revision) most, count(*) number"
                  " FROM plan_text GROUP BY plan)",
                  "");
    int64_t bare =
        db_number(&r->to, "SELECT count(*) FROM plan WHERE id NOT IN (SELECT plan FROM plan_text)", "");
    r->saved->lost.plans += bare;
    r->saved->whole.plans -= bare < r->saved->whole.plans ? bare : r->saved->whole.plans;
    db_do(&r->to, "DELETE FROM plan WHERE id NOT IN (SELECT plan FROM plan_text)", "");
}

/* ---- the file ----------------------------------------------------------------------------- */

/* What every book has in its first bytes ("Database File Format", section 1.3). */
static void mend_heading(unsigned char *page) {
    memcpy(page, "SQLite format 3", 16);
    static const unsigned char sizes[] = {0x10, 0x00, 2, 2, 0, 64, 32, 32};
    memcpy(page + 16, sizes, sizeof sizes);
    memset(page + 28, 0, 4); /* pages: as many as there are */
    page[47] = 4;
    memset(page + 56, 0, 4);
    page[59] = 1; /* UTF-8 */
}

static int copy_stream(int from, int to, bool heading) {
    static const char magic[] = "SQLite format 3";
    unsigned char data[65536];
    for (bool first = true;; first = false) {
        ssize_t n = read(from, data, sizeof data);
        if (n < 0) return errno;
        if (n == 0) return 0;
        if (first && heading && n >= 100 && memcmp(data, magic, sizeof magic) != 0) mend_heading(data);
        for (ssize_t done = 0; done < n;) {
            ssize_t put = write(to, data + done, (size_t)(n - done));
            if (put < 0) return errno;
            done += put;
        }
    }
}

static int copy_file(const char *from, const char *to, bool heading) {
    int in = open(from, O_RDONLY | O_CLOEXEC);
    if (in < 0) return errno;
    int out = open(to, O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0600);
    int reason = out < 0 ? errno : copy_stream(in, out, heading);
    if (out >= 0) close(out);
    close(in);
    return reason;
}

static void remove_beside(const char *path) {
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    for (int i = 0; i < 4; i++) {
        char *name = place_beside(path, endings[i]);
        if (name) unlink(name);
        free(name);
    }
}

/* The book and its log, under another name. */
static int copy_book(const char *path, const char *aside) {
    char *log = place_beside(path, "-wal"), *log_aside = place_beside(aside, "-wal");
    int reason = log && log_aside ? copy_file(path, aside, true) : ENOMEM;
    if (!reason && place_there(log)) reason = copy_file(log, log_aside, false);
    free(log);
    free(log_aside);
    return reason;
}

static int open_copy(rescue *r, const char *aside) {
    sqlite3_stmt *asked = NULL;
    int code = sqlite3_open_v2(aside, &r->from, SQLITE_OPEN_READWRITE, NULL);
    if (code == SQLITE_OK) code = sum_register(r->from);
    if (code == SQLITE_OK) /* goes on past tables and indexes that make no sense */
        code = sqlite3_exec(r->from, "PRAGMA writable_schema = ON; PRAGMA mmap_size = 0", NULL, NULL, NULL);
    if (code == SQLITE_OK) code = sqlite3_prepare_v2(r->from, "SELECT sum FROM person", -1, &asked, NULL);
    sqlite3_finalize(asked);
    r->sums = code == SQLITE_OK;
    code = sqlite3_prepare_v2(r->from, "SELECT name FROM person", -1, &asked, NULL);
    sqlite3_finalize(asked);
    return code == SQLITE_OK || code == SQLITE_NOMEM ? code : SQLITE_CORRUPT;
}

static lw_status read_copy(char **out, size_t *size, rescue *r, lw_error *error) {
    int code = file_open(&r->to.db, ":memory:", NULL, SQLITE_OPEN_MEMORY);
    if (code) return db_fault(r->to.db, code, error);
    lw_status status = db_read(&r->to, error);
    if (status) return status;
    schema_bring(&r->to, 0);
    for (int i = 0; i < 4; i++) save_table(r, &tables[i]);
    count_lost(r);
    if (!r->to.trouble) status = export_all(out, size, &r->to, error);
    return db_end(&r->to, status, error);
}

lw_status book_salvage(char **out, size_t *size, book_saved *saved, const char *path, lw_error *error) {
    char ending[40];
    book_saved unseen;
    *out = NULL;
    *size = 0;
    rescue r = {.to.lock = -1, .saved = saved ? saved : &unseen};
    *r.saved = (book_saved){0};
    snprintf(ending, sizeof ending, ".rescue-%ld", (long)getpid());
    char *plain = place_beside(path[0] == '/' ? "" : "./", path),
         *aside = plain ? place_beside(plain, ending) : NULL;
    if (!aside) {
        free(plain);
        return fail_memory(error, "book");
    }
    remove_beside(aside);
    int reason = copy_book(plain, aside);
    lw_status status = reason ? place_fault(error, path, "cannot copy the book", reason) : LW_OK;
    int code = status ? SQLITE_OK : open_copy(&r, aside);
    if (code == SQLITE_NOMEM) status = fail_memory(error, "book");
    if (code == SQLITE_CORRUPT)
        status = fail(error, (lw_status)BOOK_DAMAGED, "book",
                      "Keep the file, and go on from a backup or an export.",
                      "nothing in it can be read any more, or it never was a book");
    if (!status) status = read_copy(out, size, &r, error);
    if (status) {
        free(*out);
        *out = NULL;
        *size = 0;
    }
    sqlite3_close(r.from);
    sqlite3_close(r.to.db);
    remove_beside(aside);
    free(aside);
    free(plain);
    return status;
}
