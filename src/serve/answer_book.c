/* Answers about the book as a whole. */
#define _XOPEN_SOURCE 700 /* mkdtemp, and open without a name */ // NOLINT(bugprone-reserved-identifier)
#include <errno.h>
#include <fcntl.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "fail.h"
#include "work.h"

lw_status answer_export(work *w) {
    w->reply->file_name = "book.json";
    return book_export(&w->reply->data, &w->reply->size, w->book, w->error);
}

lw_status answer_import(work *w) {
    static const json_field fields[] = {JSON_MEMBER(book_counts, people),
                                        JSON_MEMBER(book_counts, plans),
                                        JSON_MEMBER(book_counts, revisions),
                                        JSON_MEMBER(book_counts, notes),
                                        {0}};
    book_counts found;
    lw_status status = book_import(w->book, w->text, w->size, w->error);
    if (!status) status = book_check(&found, w->book, w->error);
    if (status) return status;
    put_open_inline(w->out, NULL, '{');
    put_fields(w->out, fields, &found);
    put_close(w->out, '}');
    return LW_OK;
}

/* A name beside the book that is nobody's. */
static char *name_aside(const char *path) {
    static atomic_int number;
    size_t room = strlen(path) + 64;
    char *out = malloc(room);
    if (out) snprintf(out, room, "%s.copy-%ld-%d", path, (long)getpid(), atomic_fetch_add(&number, 1));
    return out;
}

/* The copy is sent from its file, which loses its name at once: nothing is left behind, whatever happens. */
lw_status answer_backup(work *w) {
    char *aside = name_aside(book_file(w->book));
    if (!aside) return fail_memory(w->error, "backup");
    lw_status status = book_backup(w->book, aside, w->error);
    if (!status) {
        w->reply->file = open(aside, O_RDONLY | O_CLOEXEC);
        if (w->reply->file < 0)
            status = fail(w->error, (lw_status)BOOK_DISK, "backup", "Is the disk full?",
                          "cannot read the copy: %s", strerror(errno));
        unlink(aside);
    }
    free(aside);
    w->reply->file_name = "book.sqlite";
    return status;
}
