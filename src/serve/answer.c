/* From a judged request and its body to a reply: reads the body by its shape, lends a handle of the book,
 * lets the route's function write, and makes a problem of whatever went wrong. */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "work.h"

static answerer *const answers[] = {
    [ROUTE_ABOUT] = answer_about,
    [ROUTE_OPENAPI] = answer_openapi,
    [ROUTE_FIND] = answer_find,
    [ROUTE_PERSON_ADD] = answer_person_add,
    [ROUTE_PERSON] = answer_person,
    [ROUTE_PERSON_CHANGE] = answer_person_change,
    [ROUTE_PERSON_FORGET] = answer_person_forget,
    [ROUTE_PERSON_HOLDS] = answer_person_holds,
    [ROUTE_PERSON_NOTES] = answer_person_notes,
    [ROUTE_PERSON_NOTE] = answer_person_note,
    [ROUTE_PLAN_ADD] = answer_plan_add,
    [ROUTE_PLAN] = answer_plan,
    [ROUTE_PLAN_CHANGE] = answer_plan_change,
    [ROUTE_PLAN_FORGET] = answer_plan_forget,
    [ROUTE_PLAN_REVISIONS] = answer_plan_revisions,
    [ROUTE_PLAN_REVISION] = answer_plan,
    [ROUTE_PLAN_NOTES] = answer_plan_notes,
    [ROUTE_PLAN_NOTE] = answer_plan_note,
    [ROUTE_NOTE_FORGET] = answer_note_forget,
    [ROUTE_MEASURES_INTO] = answer_measures_into,
    [ROUTE_MEASURES_OF] = answer_measures_of,
    [ROUTE_SHEET] = answer_sheet,
    [ROUTE_EXPORT] = answer_export,
    [ROUTE_IMPORT] = answer_import,
    [ROUTE_BACKUP] = answer_backup,
};
_Static_assert(sizeof answers / sizeof *answers == ROUTES, "every route has its answer");

void reply_clear(reply *r) {
    free(r->data);
    if (r->file >= 0) close(r->file);
    *r = (reply){.file = -1};
}

/* ---- writing ------------------------------------------------------------------------------ */

/* Whether all of it is there; its text is to be freed in any case. */
static bool whole(json *j) {
    grown *t = &j->text;
    if (!t->failed && t->size > 0 && t->at[t->size - 1] == '\n') t->at[--t->size] = 0;
    return !t->failed;
}

static void keep(reply *out, json *j) {
    out->data = j->text.at;
    out->size = j->text.size;
    j->text = (grown){0};
}

void answer_problem(reply *out, problem p, const lw_error *error, const char *current) {
    json j = {0};
    reply_clear(out);
    out->status = problem_of(p)->status;
    out->media = "application/problem+json";
    problem_put(&j, p, error, current);
    if (whole(&j)) keep(out, &j); /* otherwise its status says the most of it */
    free(j.text.at);
}

static void answer_memory(reply *out) {
    static const lw_error error = {.message = "out of memory", .remedy = "Close something and try again."};
    answer_problem(out, PROBLEM_BUSY, &error, NULL);
}

/* ---- answering ---------------------------------------------------------------------------- */

static bool seen_already(const work *w) {
    return w->reply->etag[0] && routes[w->asked->route].method == METHOD_GET && w->asked->if_none_match &&
           etag_listed(w->asked->if_none_match, w->reply->etag, true);
}

static void refuse(work *w, lw_status status, const char *current) {
    problem p = problem_for(status);
    if (p == PROBLEM_UNFIT && w->asked->route == ROUTE_IMPORT && !w->error->line) p = PROBLEM_NOT_EMPTY;
    answer_problem(w->reply, p, w->error, p == PROBLEM_CONFLICT ? current : NULL);
}

/* A change that is done is done: where only the words for it are missing, the answer has none. */
static void finish(work *w, lw_status status, json *written) {
    const route *way = &routes[w->asked->route];
    bool all = whole(written), changes = way->method != METHOD_GET && !way->no_book;
    if (status)
        refuse(w, status, all ? written->text.at : NULL);
    else if (!all && !changes)
        answer_memory(w->reply);
    else if (seen_already(w))
        w->reply->status = 304;
    else if (all && written->text.size > 0)
        keep(w->reply, written);
    free(written->text.at);
}

static void run(work *w) {
    json written = {0};
    w->out = &written;
    finish(w, answers[w->asked->route](w), &written);
}

static void run_with_book(work *w, const rooms *all) {
    lw_status status = LW_OK;
    bool needs = !routes[w->asked->route].no_book;
    if (needs) status = handles_take(&w->book, all->handles, w->error);
    if (status) {
        answer_problem(w->reply, problem_for(status), w->error, NULL);
        return;
    }
    run(w);
    if (needs) handles_give(all->handles, w->book);
}

void answer(reply *out, const judged *asked, const char *text, size_t size, const rooms *all) {
    const route *way = &routes[asked->route];
    lw_error error = {0};
    body in = {0};
    *out = (reply){.status = way->status, .file = -1, .media = way->out ? "application/json" : way->media};
    work w = {
        .asked = asked, .rooms = all, .text = text, .size = size, .in = &in, .reply = out, .error = &error};
    lw_status status = way->in ? body_read(&in, way->in, text, size, &error) : LW_OK;
    if (status)
        answer_problem(out, problem_for(status), &error, NULL);
    else
        run_with_book(&w, all);
    body_clear(&in);
}
