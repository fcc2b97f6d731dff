/* Dated notes, of a person or of a plan. A note is added and may be removed; it is not changed. */
#include "notes.h"

#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "find.h"
#include "sum.h"
#include "words.h"

void book_notes_clear(book_notes *notes) {
    for (int i = 0; i < notes->count; i++) free(notes->note[i].text);
    free(notes->note);
    *notes = (book_notes){0};
}

void notes_add_row(book *b, int64_t id, int64_t person, int64_t plan, const char *text, const char *made) {
    db_do(b,
          "INSERT INTO note(id, person, plan, text, made) VALUES(nullif(?, 0), nullif(?, 0), nullif(?, 0), "
          "?, ?)",
          "iiitt", id, person, plan, text, made);
    db_do(b, "UPDATE note SET sum = " NOTE_SUM " WHERE id = last_insert_rowid()", "");
}

static lw_status add(int64_t *id, char now[BOOK_TIME_MAX], book *b, int64_t person, int64_t plan,
                     const char *text, lw_error *error) {
    const char *sql =
        person ? "SELECT count(*) FROM person WHERE id = ?" : "SELECT count(*) FROM plan WHERE id = ?";
    if (db_number(b, sql, "i", person ? person : plan) == 0 && !b->trouble)
        return db_missing(error, person ? "person" : "plan", person ? person : plan);
    db_now(b, now);
    notes_add_row(b, 0, person, plan, text, now);
    *id = db_number(b, "SELECT max(id) FROM note", "");
    find_learn(b, 4 * *id + BOOK_NOTE);
    return LW_OK;
}

static lw_status one_of(int64_t person, int64_t plan, lw_error *error) {
    if ((person == 0) != (plan == 0)) return LW_OK;
    return fail(error, LW_ERROR_ARGUMENT, "note", "Name one of them.",
                "a note belongs to a person or to a plan");
}

lw_status book_note_add(int64_t *id, char *made, book *b, int64_t person, int64_t plan, const char *text,
                        lw_error *error) {
    char now[BOOK_TIME_MAX];
    *id = 0;
    lw_status status = one_of(person, plan, error);
    if (!status) status = words_note(text, error);
    if (!status) status = db_write(b, error);
    if (status) return status;
    status = db_end(b, add(id, now, b, person, plan, text, error), error);
    if (status) *id = 0;
    if (!status && made) memcpy(made, now, sizeof now);
    return status;
}

void notes_read(book_notes *out, book *b, int64_t person, int64_t plan) {
    sqlite3_stmt *asked = db_ask(b,
                                 "SELECT id, text, made, sum = " NOTE_SUM
                                 " FROM note WHERE person = nullif(?, 0) OR plan = nullif(?, 0) ORDER BY id",
                                 "ii", person, plan);
    for (int room = 0; db_row(b, asked); out->count++) {
        if (out->count == room) {
            room = 2 * room + 16;
            book_note *more = realloc(out->note, (size_t)room * sizeof *more);
            if (!more) {
                b->trouble = SQLITE_NOMEM;
                break;
            }
            out->note = more;
        }
        book_note *n = &out->note[out->count];
        *n = (book_note){.id = sqlite3_column_int64(asked, 0), .person = person, .plan = plan};
        n->text = db_text_copy(b, asked, 1);
        db_text_into(n->made, sizeof n->made, asked, 2);
        if (!sqlite3_column_int(asked, 3)) b->trouble = SQLITE_CORRUPT;
    }
    sqlite3_finalize(asked);
}

lw_status book_note_list(book_notes *out, book *b, int64_t person, int64_t plan, lw_error *error) {
    *out = (book_notes){0};
    lw_status status = one_of(person, plan, error);
    if (!status) status = db_read(b, error);
    if (status) return status;
    const char *sql =
        person ? "SELECT count(*) FROM person WHERE id = ?" : "SELECT count(*) FROM plan WHERE id = ?";
    if (db_number(b, sql, "i", person ? person : plan) == 0 && !b->trouble)
        status = db_missing(error, person ? "person" : "plan", person ? person : plan);
    else
        notes_read(out, b, person, plan);
    status = db_end(b, status, error);
    if (status) book_notes_clear(out);
    return status;
}
