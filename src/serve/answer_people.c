/* Answers about people. */
#include "work.h"

enum { NAME, TAGS, MEASURES }; /* fields of NewPerson and ChangedPerson */

static const json_field person_start[] = {
    JSON_MEMBER(book_person, id), JSON_MEMBER(book_person, revision), JSON_MEMBER(book_person, name), {0}};
static const json_field person_end[] = {
    JSON_MEMBER(book_person, made), JSON_MEMBER(book_person, changed), {0}};

static void put_person(work *w, const book_person *p) {
    put_open_inline(w->out, NULL, '{');
    put_fields(w->out, person_start, p);
    put_tags(w->out, p->tags);
    put_value(w->out, "measures", p->measures);
    put_fields(w->out, person_end, p);
    put_close(w->out, '}');
    etag_revision(w->reply->etag, p->revision);
}

static lw_status change(work *w, book_person *wanted) {
    const body_value *value = w->in->value;
    book_person kept = {0};
    snprintf(wanted->name, sizeof wanted->name, "%s", value[NAME].text);
    snprintf(wanted->tags, sizeof wanted->tags, "%s", value[TAGS].text ? value[TAGS].text : "");
    wanted->measures = value[MEASURES].text;
    lw_status status = book_person_put(&kept, w->book, wanted, w->error);
    if (kept.id) put_person(w, &kept);
    if (kept.id && w->reply->status == 201)
        snprintf(w->reply->location, sizeof w->reply->location, API "/people/%lld", (long long)kept.id);
    if (status) body_place(&value[MEASURES], w->error);
    book_person_clear(&kept);
    return status;
}

lw_status answer_person_add(work *w) {
    book_person wanted = {0};
    return change(w, &wanted);
}

static lw_status get(book_person *out, const work *w) {
    return book_person_get(out, w->book, w->asked->number[0], w->error);
}

static lw_status look(work *w, int64_t *revision, bool tells) {
    book_person p;
    lw_status status = get(&p, w);
    *revision = p.revision;
    if (!status && tells) put_person(w, &p);
    book_person_clear(&p);
    return status;
}

lw_status answer_person(work *w) {
    int64_t revision;
    return look(w, &revision, true);
}

lw_status answer_person_change(work *w) {
    book_person is;
    lw_status status = get(&is, w);
    book_person wanted = {.id = is.id, .revision = revision_looked_at(w, is.revision)};
    book_person_clear(&is);
    return status ? status : change(w, &wanted);
}

lw_status answer_person_forget(work *w) { return forget(w, look, book_person_forget); }

lw_status answer_person_holds(work *w) {
    book_forgotten held;
    lw_status status = book_person_holds(&held, w->book, w->asked->number[0], w->error);
    if (!status) put_holds(w->out, &held);
    return status;
}
