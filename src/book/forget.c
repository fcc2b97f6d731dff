/* Forgetting: what is removed is gone from the file, not only from the lists.
 *
 * secure_delete overwrites deleted rows and freed pages with zeros (https://www.sqlite.org/pragma.html,
 * "PRAGMA secure_delete"). Two places it does not reach: the search's index, which keeps words of deleted
 * rows until it is merged, so it is made anew in the same transaction; and the log, which holds pages as they
 * were, so it is emptied afterwards, unless somebody is still reading from it.
 */
#include <string.h>

#include "db.h"
#include "fail.h"
#include "find.h"

#define OF_PERSON " IN (SELECT id FROM plan WHERE person = ?1)"

static bool count_person(book_forgotten *out, book *b, int64_t id) {
    out->people = db_number(b, "SELECT count(*) FROM person WHERE id = ?", "i", id);
    out->measures = db_number(b, "SELECT measures IS NOT NULL FROM person WHERE id = ?", "i", id);
    out->plans = db_number(b, "SELECT count(*) FROM plan WHERE person = ?", "i", id);
    out->revisions = db_number(b, "SELECT count(*) FROM plan_text WHERE plan" OF_PERSON, "i", id);
    out->notes = db_number(b, "SELECT count(*) FROM note WHERE person = ?1 OR plan" OF_PERSON, "i", id);
    return out->people > 0;
}

static bool count_plan(book_forgotten *out, book *b, int64_t id) {
    out->plans = db_number(b, "SELECT count(*) FROM plan WHERE id = ?", "i", id);
    out->revisions = db_number(b, "SELECT count(*) FROM plan_text WHERE plan = ?", "i", id);
    out->notes = db_number(b, "SELECT count(*) FROM note WHERE plan = ?", "i", id);
    return out->plans > 0;
}

static bool count_note(book_forgotten *out, book *b, int64_t id) {
    out->notes = db_number(b, "SELECT count(*) FROM note WHERE id = ?", "i", id);
    return out->notes > 0;
}

lw_status book_person_holds(book_forgotten *out, book *b, int64_t id, lw_error *error) {
    *out = (book_forgotten){0};
    lw_status status = db_read(b, error);
    if (status) return status;
    bool there = count_person(out, b, id);
    return db_end(b, there || b->trouble ? LW_OK : db_missing(error, "person", id), error);
}

typedef struct kind {
    const char *what, *remove;
    const char *revision; /* NULL: it has none */
    bool (*count)(book_forgotten *out, book *b, int64_t id);
} kind;

static const kind person_kind = {"person", "DELETE FROM person WHERE id = ?",
                                 "SELECT revision FROM person WHERE id = ?", count_person};
static const kind plan_kind = {"plan", "DELETE FROM plan WHERE id = ?",
                               "SELECT max(revision) FROM plan_text WHERE plan = ?", count_plan};
static const kind note_kind = {"note", "DELETE FROM note WHERE id = ?", NULL, count_note};

/* Whether the log could be emptied. The change itself is on the disk already, so a failure here is not one of
 * it. */
static bool empty_log(book *b) {
    int in_log = -1;
    if (db_lock(b, NULL) != LW_OK) return false;
    int code = sqlite3_wal_checkpoint_v2(b->db, NULL, SQLITE_CHECKPOINT_TRUNCATE, &in_log, NULL);
    db_unlock(b);
    return code == SQLITE_OK && in_log == 0;
}

/* Whether it is there, as it was looked at. */
static lw_status look(book_forgotten *out, book *b, int64_t id, int64_t revision, const kind *k,
                      lw_error *error) {
    if (!k->count(out, b, id) && !b->trouble) return db_missing(error, k->what, id);
    int64_t is = revision && k->revision ? db_number(b, k->revision, "i", id) : revision;
    if (is == revision || b->trouble) return LW_OK;
    return fail(error, (lw_status)BOOK_CONFLICT, k->what, "Look at what is there now. Nothing was removed.",
                "%s %lld was changed meanwhile: revision %lld was looked at, %lld is there", k->what,
                (long long)id, (long long)revision, (long long)is);
}

static lw_status forget(book_forgotten *out, book *b, int64_t id, int64_t revision, const kind *k,
                        lw_error *error) {
    char name[LW_TITLE_MAX] = "";
    *out = (book_forgotten){0};
    lw_status status = db_write(b, error);
    if (status) return status;
    status = look(out, b, id, revision, k, error);
    if (status) {
        *out = (book_forgotten){0};
        return db_end(b, status, error);
    }
    if (k == &person_kind) {
        sqlite3_stmt *asked = db_ask(b, "SELECT name FROM person WHERE id = ?", "i", id);
        if (db_row(b, asked)) db_text_into(name, sizeof name, asked, 0);
        sqlite3_finalize(asked);
    }
    db_do(b, k->remove, "i", id);
    find_renew(b);
    if (name[0]) out->named = find_phrase(b, name);
    status = db_end(b, LW_OK, error);
    if (status)
        *out = (book_forgotten){0};
    else
        out->traces = !empty_log(b);
    return status;
}

lw_status book_person_forget(book_forgotten *out, book *b, int64_t id, int64_t revision, lw_error *error) {
    return forget(out, b, id, revision, &person_kind, error);
}

lw_status book_plan_forget(book_forgotten *out, book *b, int64_t id, int64_t revision, lw_error *error) {
    return forget(out, b, id, revision, &plan_kind, error);
}

lw_status book_note_forget(book_forgotten *out, book *b, int64_t id, lw_error *error) {
    return forget(out, b, id, 0, &note_kind, error);
}
