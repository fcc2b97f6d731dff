/* The whole book as one JSON text: people, then plans, by their numbers. Measures and plans stand in it as
 * they were written, to the byte, which is what makes a round trip exact. docs/book.md describes the form.
 */
#include "export.h"

#include <stdlib.h>
#include <string.h>

#include "grown.h"
#include "notes.h"
#include "sum.h"

static void put_text(grown *t, const char *key, const char *value) {
    grown_addf(t, ", \"%s\": ", key);
    grown_quoted(t, value);
}

static void put_notes(grown *t, book *b, int64_t person, int64_t plan) {
    book_notes notes = {0};
    notes_read(&notes, b, person, plan);
    if (notes.count > 0) grown_addf(t, ",\n     \"notes\": [");
    for (int i = 0; i < notes.count; i++) {
        grown_addf(t, "%s\n       {\"id\": %lld", i ? "," : "", (long long)notes.note[i].id);
        put_text(t, "made", notes.note[i].made);
        put_text(t, "text", notes.note[i].text ? notes.note[i].text : "");
        grown_addf(t, "}");
    }
    if (notes.count > 0) grown_addf(t, "]");
    book_notes_clear(&notes);
}

static void put_people(grown *t, book *b) {
    sqlite3_stmt *asked = db_ask(b,
                                 "SELECT id, revision, name, tags, made, changed, measures, sum = " PERSON_SUM
                                 " FROM person ORDER BY id",
                                 "");
    for (bool first = true; db_row(b, asked); first = false) {
        int64_t id = sqlite3_column_int64(asked, 0);
        grown_addf(t, "%s\n    {\"id\": %lld, \"revision\": %lld", first ? "" : ",", (long long)id,
                   (long long)sqlite3_column_int64(asked, 1));
        put_text(t, "name", db_text(asked, 2));
        put_text(t, "tags", db_text(asked, 3));
        put_text(t, "made", db_text(asked, 4));
        put_text(t, "changed", db_text(asked, 5));
        const char *measures = db_text(asked, 6);
        if (measures[0]) {
            grown_addf(t, ",\n     \"measures\": ");
            grown_add(t, measures, strlen(measures));
        }
        put_notes(t, b, id, 0);
        grown_addf(t, "}");
        if (!sqlite3_column_int(asked, 7)) b->trouble = SQLITE_CORRUPT;
    }
    sqlite3_finalize(asked);
}

static void put_revisions(grown *t, book *b, int64_t id) {
    sqlite3_stmt *asked = db_ask(b,
                                 "SELECT revision, tags, made, text, sum = " TEXT_SUM
                                 " FROM plan_text WHERE plan = ? ORDER BY revision",
                                 "i", id);
    for (bool first = true; db_row(b, asked); first = false) {
        grown_addf(t, "%s\n       {\"revision\": %lld", first ? "" : ",",
                   (long long)sqlite3_column_int64(asked, 0));
        put_text(t, "tags", db_text(asked, 1));
        put_text(t, "made", db_text(asked, 2));
        grown_addf(t, ", \"plan\":\n");
        grown_add(t, db_text(asked, 3), strlen(db_text(asked, 3)));
        grown_addf(t, "}");
        if (!sqlite3_column_int(asked, 4)) b->trouble = SQLITE_CORRUPT;
    }
    sqlite3_finalize(asked);
}

static void put_plans(grown *t, book *b) {
    sqlite3_stmt *asked = db_ask(b, "SELECT id, person, made, sum = " PLAN_SUM " FROM plan ORDER BY id", "");
    for (bool first = true; db_row(b, asked); first = false) {
        int64_t id = sqlite3_column_int64(asked, 0), person = sqlite3_column_int64(asked, 1);
        grown_addf(t, "%s\n    {\"id\": %lld", first ? "" : ",", (long long)id);
        if (person) grown_addf(t, ", \"person\": %lld", (long long)person);
        put_text(t, "made", db_text(asked, 2));
        grown_addf(t, ",\n     \"revisions\": [");
        put_revisions(t, b, id);
        grown_addf(t, "]");
        put_notes(t, b, 0, id);
        grown_addf(t, "}");
        if (!sqlite3_column_int(asked, 3)) b->trouble = SQLITE_CORRUPT;
    }
    sqlite3_finalize(asked);
}

lw_status export_all(char **out, size_t *size, book *b, lw_error *error) {
    grown t = {0};
    grown_addf(&t, "{\n  \"format\": \"lengthwise book\",\n  \"version\": 1,\n  \"people\": [");
    put_people(&t, b);
    grown_addf(&t, "],\n  \"plans\": [");
    put_plans(&t, b);
    grown_addf(&t, "]\n}\n");
    return grown_end(&t, out, size, error);
}

lw_status book_export(char **out, size_t *size, book *b, lw_error *error) {
    *out = NULL;
    *size = 0;
    lw_status status = db_read(b, error);
    if (status) return status;
    status = db_end(b, export_all(out, size, b, error), error);
    if (status) {
        free(*out);
        *out = NULL;
        *size = 0;
    }
    return status;
}
