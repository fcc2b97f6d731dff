/* The tables, as the steps by which they came about. A new book takes all steps, an old one those it lacks,
 * in one transaction; so both are the same, and a test brings a book of every version up.
 *
 * To change the tables: add a step, raise SCHEMA_VERSION, put a book of the version before into the tests. A
 * step that has been released never changes.
 *
 * Strict tables hold what they are said to hold. A plan's own row never changes, its texts are only ever
 * added. `search` is FTS5 without a text of its own: it reads it in `findable`, whose ids are 4 * id +
 * book_kind.
 */
#include "schema.h"

#include "sum.h"

static const char *const steps[SCHEMA_VERSION] = {
    /* 1 */
    "CREATE TABLE person("
    " id INTEGER PRIMARY KEY AUTOINCREMENT, revision INTEGER NOT NULL, name TEXT NOT NULL, tags TEXT NOT "
    "NULL,"
    " measures TEXT, made TEXT NOT NULL, changed TEXT NOT NULL) STRICT;"
    "CREATE TABLE plan("
    " id INTEGER PRIMARY KEY AUTOINCREMENT, person INTEGER REFERENCES person ON DELETE CASCADE,"
    " made TEXT NOT NULL) STRICT;"
    "CREATE INDEX plan_of ON plan(person);"
    "CREATE TABLE plan_text("
    " plan INTEGER NOT NULL REFERENCES plan ON DELETE CASCADE, revision INTEGER NOT NULL, title TEXT NOT "
    "NULL,"
    " tags TEXT NOT NULL, words TEXT NOT NULL, text TEXT NOT NULL, made TEXT NOT NULL) STRICT;"
    "CREATE UNIQUE INDEX plan_text_of ON plan_text(plan, revision);"
    "CREATE TABLE note("
    " id INTEGER PRIMARY KEY AUTOINCREMENT, person INTEGER REFERENCES person ON DELETE CASCADE,"
    " plan INTEGER REFERENCES plan ON DELETE CASCADE, text TEXT NOT NULL, made TEXT NOT NULL,"
    " CHECK((person IS NULL) <> (plan IS NULL))) STRICT;"
    "CREATE INDEX note_of ON note(person);"
    "CREATE INDEX note_on ON note(plan);",
    /* 2: every row has a sum of itself; everything is found by its words */
    "ALTER TABLE person ADD COLUMN sum INTEGER NOT NULL DEFAULT 0;"
    "ALTER TABLE plan ADD COLUMN sum INTEGER NOT NULL DEFAULT 0;"
    "ALTER TABLE plan_text ADD COLUMN sum INTEGER NOT NULL DEFAULT 0;"
    "ALTER TABLE note ADD COLUMN sum INTEGER NOT NULL DEFAULT 0;"
    "UPDATE person SET sum = " PERSON_SUM ";"
    "UPDATE plan SET sum = " PLAN_SUM ";"
    "UPDATE plan_text SET sum = " TEXT_SUM ";"
    "UPDATE note SET sum = " NOTE_SUM ";"
    "CREATE VIEW findable(id, words) AS"
    " SELECT 4 * id, name || char(10) || tags FROM person"
    " UNION ALL SELECT 4 * plan + 1, title || char(10) || tags || char(10) || words FROM plan_text t"
    "  WHERE revision = (SELECT max(revision) FROM plan_text WHERE plan = t.plan)"
    " UNION ALL SELECT 4 * id + 2, text FROM note;"
    "CREATE VIRTUAL TABLE search USING fts5(words, content = 'findable', content_rowid = 'id',"
    " tokenize = 'unicode61 remove_diacritics 2');"
    "INSERT INTO search(search) VALUES('rebuild');",
};

void schema_bring(book *b, int from) {
    char version[64];
    for (int i = from; i < SCHEMA_VERSION && b->trouble == SQLITE_OK; i++)
        b->trouble = sqlite3_exec(b->db, steps[i], NULL, NULL, NULL);
    sqlite3_snprintf((int)sizeof version, version, "PRAGMA user_version = %d", SCHEMA_VERSION);
    db_do(b, version, "");
    sqlite3_snprintf((int)sizeof version, version, "PRAGMA application_id = %d", SCHEMA_APPLICATION);
    db_do(b, version, "");
}
