/* People: name, tags, measures. Each has a revision number, by which two who change the same one are told. */
#include <stdlib.h>
#include <string.h>

#include "db.h"
#include "fail.h"
#include "find.h"
#include "sum.h"
#include "words.h"

void book_person_clear(book_person *person) {
    free(person->measures);
    *person = (book_person){0};
    person->measures = NULL;
}

static bool get(book_person *out, book *b, int64_t id) {
    sqlite3_stmt *asked = db_ask(b,
                                 "SELECT revision, name, tags, measures, made, changed, sum = " PERSON_SUM
                                 " FROM person WHERE id = ?",
                                 "i", id);
    bool found = db_row(b, asked);
    if (found) {
        out->id = id;
        out->revision = sqlite3_column_int64(asked, 0);
        db_text_into(out->name, sizeof out->name, asked, 1);
        db_text_into(out->tags, sizeof out->tags, asked, 2);
        out->measures = db_text_copy(b, asked, 3);
        db_text_into(out->made, sizeof out->made, asked, 4);
        db_text_into(out->changed, sizeof out->changed, asked, 5);
        if (!sqlite3_column_int(asked, 6)) b->trouble = SQLITE_CORRUPT;
    }
    sqlite3_finalize(asked);
    return found;
}

static lw_status get_or_missing(book_person *out, book *b, int64_t id, lw_error *error) {
    bool found = get(out, b, id);
    return found || b->trouble ? LW_OK : db_missing(error, "person", id);
}

lw_status book_person_get(book_person *out, book *b, int64_t id, lw_error *error) {
    *out = (book_person){0};
    lw_status status = db_read(b, error);
    if (status) return status;
    status = db_end(b, get_or_missing(out, b, id, error), error);
    if (status) book_person_clear(out);
    return status;
}

static bool same(const book_person *is, const book_person *wanted, const char *tags) {
    const char *before = is->measures ? is->measures : "", *after = wanted->measures ? wanted->measures : "";
    return !strcmp(is->name, wanted->name) && !strcmp(is->tags, tags) && !strcmp(before, after);
}

/* Writes the row as it is to be, with its sum and its words. */
static void write_row(book *b, int64_t id, const book_person *wanted, const char *tags) {
    char now[BOOK_TIME_MAX];
    db_now(b, now);
    find_forget(b, 4 * id + BOOK_PERSON);
    db_do(b,
          "UPDATE person SET revision = revision + 1, name = ?, tags = ?, measures = ?, changed = ? WHERE id "
          "= ?",
          "tttti", wanted->name, tags, wanted->measures, now, id);
    db_do(b, "UPDATE person SET sum = " PERSON_SUM " WHERE id = ?", "i", id);
    find_learn(b, 4 * id + BOOK_PERSON);
}

static int64_t make_row(book *b, const book_person *wanted, const char *tags) {
    char now[BOOK_TIME_MAX];
    db_now(b, now);
    db_do(b, "INSERT INTO person(revision, name, tags, measures, made, changed) VALUES(1, ?, ?, ?, ?, ?)",
          "ttttt", wanted->name, tags, wanted->measures, now, now);
    int64_t id = sqlite3_last_insert_rowid(b->db);
    db_do(b, "UPDATE person SET sum = " PERSON_SUM " WHERE id = ?", "i", id);
    find_learn(b, 4 * id + BOOK_PERSON);
    return id;
}

static lw_status put(book_person *kept, book *b, const book_person *wanted, const char *tags,
                     lw_error *error) {
    int64_t id = wanted->id;
    if (id == 0) {
        id = make_row(b, wanted, tags);
    } else {
        lw_status status = get_or_missing(kept, b, id, error);
        if (status || b->trouble) return status;
        if (kept->revision != wanted->revision)
            return fail(error, (lw_status)BOOK_CONFLICT, "person",
                        "Look at what is there now, and change that. Nothing was overwritten.",
                        "%.100s was changed meanwhile: revision %lld was looked at, %lld is there",
                        kept->name, (long long)wanted->revision, (long long)kept->revision);
        if (same(kept, wanted, tags)) return LW_OK;
        book_person_clear(kept);
        write_row(b, id, wanted, tags);
    }
    get(kept, b, id);
    return LW_OK;
}

lw_status book_person_put(book_person *kept, book *b, const book_person *wanted, lw_error *error) {
    char tags[BOOK_TAGS_MAX];
    *kept = (book_person){0};
    lw_status status = words_name(wanted->name, error);
    if (!status) status = words_tags(tags, wanted->tags, error);
    if (!status && wanted->measures) status = book_measures_check(wanted->measures, error);
    if (!status) status = db_write(b, error);
    if (status) return status;
    status = db_end(b, put(kept, b, wanted, tags, error), error);
    if (status && (int)status != BOOK_CONFLICT) book_person_clear(kept);
    return status;
}
