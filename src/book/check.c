/* Reading all of a book, to say that it is sound: SQLite's own check of its pages and indexes, the sum of
 * every row, and every plan and every measure by their readers. */
#include <stdio.h>
#include <string.h>

#include "db.h"
#include "sum.h"

static lw_status check_pages(book *b, lw_error *error) {
    lw_status status = LW_OK;
    sqlite3_stmt *asked = db_ask(b, "PRAGMA integrity_check(1)", "");
    if (db_row(b, asked) && strcmp(db_text(asked, 0), "ok") != 0)
        status = db_damaged(error, db_text(asked, 0));
    sqlite3_finalize(asked);
    asked = db_ask(b, "PRAGMA foreign_key_check", "");
    if (!status && db_row(b, asked))
        status = db_damaged(error, "something belongs to somebody who is not there");
    sqlite3_finalize(asked);
    return status;
}

static lw_status check_sums(book *b, lw_error *error) {
    static const char *const wrong[][2] = {
        {"SELECT id FROM person WHERE sum <> " PERSON_SUM, "person"},
        {"SELECT id FROM plan WHERE sum <> " PLAN_SUM, "plan"},
        {"SELECT plan FROM plan_text WHERE sum <> " TEXT_SUM, "a revision of plan"},
        {"SELECT id FROM note WHERE sum <> " NOTE_SUM, "note"},
        {"SELECT id FROM plan WHERE id NOT IN (SELECT plan FROM plan_text)", "plan without a text"},
    };
    for (int i = 0; i < 5; i++) {
        char message[96];
        int64_t id = db_number(b, wrong[i][0], "");
        if (id == 0) continue;
        snprintf(message, sizeof message, "%s %lld is not as it was written", wrong[i][1], (long long)id);
        return db_damaged(error, message);
    }
    return LW_OK;
}

static lw_status check_texts(book *b, lw_error *error) {
    char place[LW_NAME_MAX];
    lw_status status = LW_OK;
    sqlite3_stmt *asked = db_ask(b, "SELECT text, plan, revision FROM plan_text", "");
    while (!status && db_row(b, asked)) {
        lw_plan plan;
        status = lw_plan_read(&plan, db_text(asked, 0), strlen(db_text(asked, 0)), error);
        lw_plan_clear(&plan);
        snprintf(place, sizeof place, "plan %lld, revision %lld", (long long)sqlite3_column_int64(asked, 1),
                 (long long)sqlite3_column_int64(asked, 2));
    }
    sqlite3_finalize(asked);
    asked = db_ask(b, "SELECT measures, id FROM person WHERE measures IS NOT NULL", "");
    while (!status && db_row(b, asked)) {
        status = book_measures_check(db_text(asked, 0), error);
        snprintf(place, sizeof place, "measures of person %lld", (long long)sqlite3_column_int64(asked, 1));
    }
    sqlite3_finalize(asked);
    if (status && status != LW_ERROR_MEMORY && error)
        snprintf(error->place, sizeof error->place, "%s", place);
    return status;
}

lw_status book_check(book_counts *found, book *b, lw_error *error) {
    book_counts counts;
    if (!found) found = &counts;
    *found = (book_counts){0};
    lw_status status = db_write(b, error); /* FTS5's own check is an insert, which changes nothing */
    if (status) return status;
    status = check_pages(b, error);
    if (!status && !b->trouble) status = check_sums(b, error);
    if (!status && !b->trouble) status = check_texts(b, error);
    if (!status) db_do(b, "INSERT INTO search(search, rank) VALUES('integrity-check', 1)", "");
    found->people = db_number(b, "SELECT count(*) FROM person", "");
    found->plans = db_number(b, "SELECT count(*) FROM plan", "");
    found->revisions = db_number(b, "SELECT count(*) FROM plan_text", "");
    found->notes = db_number(b, "SELECT count(*) FROM note", "");
    return db_end(b, status, error);
}
