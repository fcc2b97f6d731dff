/* Answers about plans and their revisions. */
#include <string.h>

#include "work.h"

enum { NEW_PERSON, NEW_TAGS, NEW_TEXT }; /* fields of NewPlan */
enum { TAGS, TEXT };                     /* fields of ChangedPlan */

static const json_field plan_start[] = {JSON_MEMBER(book_plan, id),
                                        JSON_MEMBER(book_plan, person),
                                        JSON_MEMBER(book_plan, revision),
                                        JSON_MEMBER(book_plan, title),
                                        {0}};

static void put_plan(work *w, const book_plan *p) {
    put_open_inline(w->out, NULL, '{');
    put_fields(w->out, plan_start, p);
    put_tags(w->out, p->tags);
    put_text(w->out, "text", p->text);
    put_text(w->out, "made", p->made);
    put_close(w->out, '}');
    etag_revision(w->reply->etag, p->revision);
}

static lw_status change(work *w, book_plan *wanted, const body_value *tags, const body_value *text) {
    book_plan kept = {0};
    snprintf(wanted->tags, sizeof wanted->tags, "%s", tags->text ? tags->text : "");
    wanted->text = text->text;
    wanted->size = strlen(text->text);
    lw_status status = book_plan_put(&kept, w->book, wanted, w->error);
    if (kept.id) put_plan(w, &kept);
    if (kept.id && w->reply->status == 201)
        snprintf(w->reply->location, sizeof w->reply->location, API "/plans/%lld", (long long)kept.id);
    book_plan_clear(&kept);
    return status;
}

lw_status answer_plan_add(work *w) {
    const body_value *value = w->in->value;
    book_plan wanted = {.person = value[NEW_PERSON].whole};
    return change(w, &wanted, &value[NEW_TAGS], &value[NEW_TEXT]);
}

static lw_status get(book_plan *out, const work *w) {
    return book_plan_get(out, w->book, w->asked->number[0], w->asked->number[1], w->error);
}

static lw_status look(work *w, int64_t *revision, bool tells) {
    book_plan p;
    lw_status status = get(&p, w);
    *revision = p.revision;
    if (!status && tells) put_plan(w, &p);
    book_plan_clear(&p);
    return status;
}

lw_status answer_plan(work *w) {
    int64_t revision;
    return look(w, &revision, true);
}

lw_status answer_plan_change(work *w) {
    book_plan is;
    lw_status status = get(&is, w);
    book_plan wanted = {.id = is.id, .person = is.person, .revision = revision_looked_at(w, is.revision)};
    book_plan_clear(&is);
    return status ? status : change(w, &wanted, &w->in->value[TAGS], &w->in->value[TEXT]);
}

lw_status answer_plan_forget(work *w) { return forget(w, look, book_plan_forget); }

static void put_revision(json *j, const book_revision *r) {
    put_open_inline(j, NULL, '{');
    put_whole(j, "revision", r->revision);
    put_text(j, "made", r->made);
    put_text(j, "title", r->title);
    put_tags(j, r->tags);
    put_whole(j, "size", (int64_t)r->size);
    put_close(j, '}');
}

lw_status answer_plan_revisions(work *w) {
    book_history history;
    lw_status status = book_plan_history(&history, w->book, w->asked->number[0], w->error);
    if (status) return status;
    put_open_inline(w->out, NULL, '{');
    put_open_inline(w->out, "revisions", '[');
    for (int i = 0; i < history.count; i++) put_revision(w->out, &history.revision[i]);
    put_close(w->out, ']');
    put_close(w->out, '}');
    book_history_clear(&history);
    return LW_OK;
}
