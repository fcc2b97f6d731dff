/* What several answers are made of. */
#include <stdlib.h>
#include <string.h>

#include "work.h"

int64_t revision_looked_at(const work *w, int64_t is) {
    char tag[ETAG_MAX];
    etag_revision(tag, is);
    if (etag_listed(w->asked->if_match, tag, false)) return is;
    const char *digits = strpbrk(w->asked->if_match, "0123456789");
    long long named = digits ? strtoll(digits, NULL, 10) : 0;
    return named > 0 && named != is ? named : -1;
}

void put_tags(json *j, const char *tags) {
    char tag[BOOK_TAGS_MAX];
    put_open_inline(j, "tags", '[');
    while (*tags) {
        size_t size = strcspn(tags, ",");
        snprintf(tag, sizeof tag, "%.*s", (int)size, tags);
        put_text(j, NULL, tag);
        tags += size;
        tags += strspn(tags, ", ");
    }
    put_close(j, ']');
}

void put_holds(json *j, const book_forgotten *held) {
    static const json_field fields[] = {
        JSON_MEMBER(book_forgotten, people), JSON_MEMBER(book_forgotten, measures),
        JSON_MEMBER(book_forgotten, plans),  JSON_MEMBER(book_forgotten, revisions),
        JSON_MEMBER(book_forgotten, notes),  JSON_MEMBER(book_forgotten, named),
        JSON_MEMBER(book_forgotten, traces), {0}};
    put_open_inline(j, NULL, '{');
    put_fields(j, fields, held);
    put_close(j, '}');
}

lw_status forget(work *w, looker *look, forgetter *removes) {
    int64_t revision;
    book_forgotten gone;
    lw_status status = look(w, &revision, false);
    if (!status)
        status = removes(&gone, w->book, w->asked->number[0], revision_looked_at(w, revision), w->error);
    if (!status) put_holds(w->out, &gone);
    if ((int)status == BOOK_CONFLICT) look(w, &revision, true);
    return status;
}
