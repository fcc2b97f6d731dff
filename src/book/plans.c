/* Plans: each text that is put becomes the next revision, and none is ever changed or dropped while the plan
 * is there.
 *
 * A text is kept as it was written, from its first brace to its last, once lw_plan_read has taken it; title,
 * person and note are what that reader read, so that they can be listed and found.
 */
#include "plans.h"

#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "find.h"
#include "sum.h"
#include "words.h"

void book_plan_clear(book_plan *plan) {
    free(plan->text);
    *plan = (book_plan){0};
    plan->text = NULL;
}

static bool get(book_plan *out, book *b, int64_t id, int64_t revision) {
    sqlite3_stmt *asked = db_ask(
        b,
        "SELECT p.person, t.revision, t.title, t.tags, t.text, t.made,"
        " p.sum = lw_sum(p.id, p.person, p.made) AND"
        " t.sum = lw_sum(t.plan, t.revision, t.title, t.tags, t.words, t.text, t.made)"
        " FROM plan p JOIN plan_text t ON t.plan = p.id WHERE p.id = ?1 AND (?2 = 0 OR t.revision = ?2)"
        " ORDER BY t.revision DESC LIMIT 1",
        "ii", id, revision);
    bool found = db_row(b, asked);
    if (found) {
        out->id = id;
        out->person = sqlite3_column_int64(asked, 0);
        out->revision = sqlite3_column_int64(asked, 1);
        db_text_into(out->title, sizeof out->title, asked, 2);
        db_text_into(out->tags, sizeof out->tags, asked, 3);
        out->text = db_text_copy(b, asked, 4);
        out->size = out->text ? strlen(out->text) : 0;
        db_text_into(out->made, sizeof out->made, asked, 5);
        if (!sqlite3_column_int(asked, 6)) b->trouble = SQLITE_CORRUPT;
    }
    sqlite3_finalize(asked);
    return found;
}

static lw_status get_or_missing(book_plan *out, book *b, int64_t id, int64_t revision, lw_error *error) {
    bool found = get(out, b, id, revision);
    if (found || b->trouble) return LW_OK;
    bool there = revision > 0 && db_number(b, "SELECT count(*) FROM plan WHERE id = ?", "i", id) > 0;
    if (!there) return db_missing(error, "plan", id);
    return fail(error, (lw_status)BOOK_MISSING, "revision",
                "lengthwise book history lists those that are there.", "plan %lld has no revision %lld",
                (long long)id, (long long)revision);
}

lw_status book_plan_get(book_plan *out, book *b, int64_t id, int64_t revision, lw_error *error) {
    *out = (book_plan){0};
    lw_status status = db_read(b, error);
    if (status) return status;
    status = db_end(b, get_or_missing(out, b, id, revision, error), error);
    if (status) book_plan_clear(out);
    return status;
}

/* ---- keeping ------------------------------------------------------------------------------ */

void plans_add_row(book *b, int64_t id, int64_t person, const char *made) {
    if (id > 0)
        db_do(b, "INSERT INTO plan(id, person, made) VALUES(?, nullif(?, 0), ?)", "iit", id, person, made);
    else
        db_do(b, "INSERT INTO plan(person, made) VALUES(nullif(?, 0), ?)", "it", person, made);
    db_do(b, "UPDATE plan SET sum = " PLAN_SUM " WHERE id = last_insert_rowid()", "");
}

void plans_add_text(book *b, int64_t id, int64_t revision, const plans_text *t) {
    db_do(b,
          "INSERT INTO plan_text(plan, revision, title, tags, words, text, made) VALUES(?, ?, ?, ?, ?, ?, ?)",
          "iitttzt", id, revision, t->title, t->tags, t->words, (int)t->size, t->text, t->made);
    db_do(b, "UPDATE plan_text SET sum = " TEXT_SUM " WHERE rowid = last_insert_rowid()", "");
}

lw_status plans_text_read(plans_text *out, const char *text, size_t size, const char *tags, lw_error *error) {
    lw_plan plan;
    *out = (plans_text){0};
    lw_status status = lw_plan_read(&plan, text, size, error);
    if (!status) status = words_tags(out->tags, tags, error);
    if (status) {
        lw_plan_clear(&plan);
        return status;
    }
    memcpy(out->title, plan.title, sizeof out->title);
    snprintf(out->words, sizeof out->words, "%s\n%s", plan.person, plan.note);
    lw_plan_clear(&plan);
    const char *end = text + size;
    while (*text != '{') text++;
    while (end[-1] != '}') end--;
    out->text = text;
    out->size = (size_t)(end - text);
    return LW_OK;
}

static lw_status put_new(book *b, const book_plan *wanted, const plans_text *t, int64_t *id,
                         lw_error *error) {
    if (wanted->person &&
        db_number(b, "SELECT count(*) FROM person WHERE id = ?", "i", wanted->person) == 0 && !b->trouble)
        return db_missing(error, "person", wanted->person);
    plans_add_row(b, 0, wanted->person, t->made);
    *id = db_number(b, "SELECT max(id) FROM plan", "");
    plans_add_text(b, *id, 1, t);
    return LW_OK;
}

static lw_status put(book_plan *kept, book *b, const book_plan *wanted, const plans_text *t,
                     lw_error *error) {
    int64_t id = wanted->id;
    if (id == 0) {
        lw_status status = put_new(b, wanted, t, &id, error);
        if (status) return status;
    } else {
        lw_status status = get_or_missing(kept, b, id, 0, error);
        if (status || b->trouble) return status;
        if (kept->revision != wanted->revision)
            return fail(error, (lw_status)BOOK_CONFLICT, "plan",
                        "Look at what is there now, and change that. Nothing was overwritten.",
                        "plan %lld was changed meanwhile: revision %lld was looked at, %lld is there",
                        (long long)id, (long long)wanted->revision, (long long)kept->revision);
        bool same =
            kept->size == t->size && !memcmp(kept->text, t->text, t->size) && !strcmp(kept->tags, t->tags);
        if (same) return LW_OK;
        book_plan_clear(kept);
        find_forget(b, 4 * id + BOOK_PLAN);
        plans_add_text(b, id, wanted->revision + 1, t);
    }
    find_learn(b, 4 * id + BOOK_PLAN);
    get(kept, b, id, 0);
    return LW_OK;
}

lw_status book_plan_put(book_plan *kept, book *b, const book_plan *wanted, lw_error *error) {
    plans_text t;
    *kept = (book_plan){0};
    lw_status status = plans_text_read(&t, wanted->text ? wanted->text : "", wanted->text ? wanted->size : 0,
                                       wanted->tags, error);
    if (!status) status = db_write(b, error);
    if (status) return status;
    db_now(b, t.made);
    status = db_end(b, put(kept, b, wanted, &t, error), error);
    if (status && (int)status != BOOK_CONFLICT) book_plan_clear(kept);
    return status;
}

/* ---- history ------------------------------------------------------------------------------ */

void book_history_clear(book_history *history) {
    free(history->revision);
    *history = (book_history){0};
}

static void read_history(book_history *out, book *b, int64_t id) {
    sqlite3_stmt *asked =
        db_ask(b,
               "SELECT revision, made, title, tags, length(CAST(text AS BLOB)) FROM plan_text"
               " WHERE plan = ? ORDER BY revision DESC",
               "i", id);
    for (int room = 0; db_row(b, asked); out->count++) {
        if (out->count == room) {
            room = 2 * room + 16;
            book_revision *more = realloc(out->revision, (size_t)room * sizeof *more);
            if (!more) {
                b->trouble = SQLITE_NOMEM;
                break;
            }
            out->revision = more;
        }
        book_revision *r = &out->revision[out->count];
        r->revision = sqlite3_column_int64(asked, 0);
        db_text_into(r->made, sizeof r->made, asked, 1);
        db_text_into(r->title, sizeof r->title, asked, 2);
        db_text_into(r->tags, sizeof r->tags, asked, 3);
        r->size = (size_t)sqlite3_column_int64(asked, 4);
    }
    sqlite3_finalize(asked);
}

lw_status book_plan_history(book_history *out, book *b, int64_t id, lw_error *error) {
    *out = (book_history){0};
    lw_status status = db_read(b, error);
    if (status) return status;
    read_history(out, b, id);
    if (out->count == 0 && !b->trouble) status = db_missing(error, "plan", id);
    status = db_end(b, status, error);
    if (status) book_history_clear(out);
    return status;
}
