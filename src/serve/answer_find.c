/* Finding in the book. */
#include "work.h"

static void put_entry(json *j, const book_entry *e) {
    static const char *const kinds[BOOK_KIND_COUNT] = {"person", "plan", "note"};
    static const json_field start[] = {JSON_MEMBER(book_entry, id),
                                       JSON_MEMBER(book_entry, person),
                                       JSON_MEMBER(book_entry, plan),
                                       JSON_MEMBER(book_entry, revision),
                                       JSON_MEMBER(book_entry, name),
                                       JSON_MEMBER(book_entry, who),
                                       {0}};
    static const json_field end[] = {JSON_MEMBER(book_entry, changed), JSON_MEMBER(book_entry, excerpt), {0}};
    put_open_inline(j, NULL, '{');
    put_text(j, "kind", kinds[e->kind]);
    put_fields(j, start, e);
    put_tags(j, e->tags);
    put_fields(j, end, e);
    put_close(j, '}');
}

static book_query query_of(const argument *given) {
    book_query q = book_query_default();
    q.words = given[FIND_WORDS].text;
    q.tag = given[FIND_TAG].given && given[FIND_TAG].text[0] ? given[FIND_TAG].text : NULL;
    if (given[FIND_KIND].given) q.kinds = 1u << given[FIND_KIND].word;
    q.person = given[FIND_PERSON].whole;
    q.skip = given[FIND_SKIP].whole;
    if (given[FIND_MOST].given) q.most = (int)given[FIND_MOST].whole;
    return q;
}

lw_status answer_find(work *w) {
    book_query query = query_of(w->asked->argument);
    book_entries found;
    lw_status status = book_find(&found, w->book, &query, w->error);
    if (status) return status;
    put_open_inline(w->out, NULL, '{');
    put_whole(w->out, "all", found.all);
    put_open_inline(w->out, "entries", '[');
    for (int i = 0; i < found.count; i++) put_entry(w->out, &found.entry[i]);
    put_close(w->out, ']');
    put_close(w->out, '}');
    book_entries_clear(&found);
    return LW_OK;
}
