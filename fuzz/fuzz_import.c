/* Fuzzes filling a book from a text that somebody may have written by hand. Whatever the bytes: a refusal
 * that says why and where and leaves the book empty; or a book in which everything is found to be in order,
 * and whose export fills another book with the same to the byte.
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "book.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static char folder[64], path[96];

static void require(bool condition) {
    if (!condition) abort();
}

static void take_away(void) {
    static const char *const endings[] = {"", "-wal", "-shm", "-lock"};
    char name[128];
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        snprintf(name, sizeof name, "%s%s", path, endings[i]);
        unlink(name);
    }
}

static void leave(void) {
    take_away();
    rmdir(folder);
}

/* In memory where the system keeps files there. */
static void settle(void) {
    const char *places[] = {"/dev/shm", getenv("TMPDIR"), "/tmp"};
    for (int i = 0; i < 3 && !path[0]; i++) {
        if (!places[i] || strlen(places[i]) > 40) continue;
        snprintf(folder, sizeof folder, "%s/lengthwise-XXXXXX", places[i]);
        if (mkdtemp(folder)) snprintf(path, sizeof path, "%s/book", folder);
    }
    require(path[0] != 0);
    (void)atexit(leave);
}

static book *empty_book(void) {
    book *b;
    lw_error error;
    book_options options = book_default();
    options.create = options.unchecked = true;
    options.now = 1772000000;
    if (!path[0]) settle();
    require(book_open(&b, path, &options, &error) == LW_OK);
    return b;
}

static char *exported(book *b, size_t *size) {
    char *text;
    lw_error error;
    require(book_export(&text, size, b, &error) == LW_OK);
    return text;
}

/* What an empty book exports, and what a full one does, is read again. */
static void check_filled(book *b) {
    book_counts found;
    lw_error error;
    size_t size, again_size;
    require(book_check(&found, b, &error) == LW_OK);
    char *text = exported(b, &size);
    book_close(b);
    take_away();
    b = empty_book();
    require(book_import(b, text, size, &error) == LW_OK);
    char *again = exported(b, &again_size);
    require(size == again_size && memcmp(text, again, size) == 0);
    free(text);
    free(again);
    book_close(b);
    take_away();
}

static void check_refused(book *b, lw_status status, const lw_error *error) {
    book_counts found;
    lw_error fault;
    require(error->status == status && error->message[0] && error->remedy[0]);
    require(error->line > 0 && error->column > 0);
    require(book_check(&found, b, &fault) == LW_OK);
    require(found.people == 0 && found.plans == 0 && found.revisions == 0 && found.notes == 0);
}

/* A book that refused is empty, and serves the next input as well. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static book *b;
    lw_error error = {0};
    if (!b) b = empty_book();
    lw_status status = book_import(b, (const char *)data, size, &error);
    if (status) {
        check_refused(b, status, &error);
        return 0;
    }
    check_filled(b);
    b = NULL;
    return 0;
}
