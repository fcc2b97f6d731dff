/* Opening the book, saying what it refuses, and knowing who is meant. */
#include "book_use.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static int refused(const char *path, const lw_error *error) {
    int code = complain_error(path, error), status = (int)error->status;
    return status == BOOK_DISK || status == BOOK_BUSY ? EXIT_MACHINE : code;
}

int book_refused(const book *b, const lw_error *error) { return refused(b ? book_file(b) : NULL, error); }

int book_use(book **out, const arguments *args, bool create) {
    const value *file = &args->value[BOOK_FILE];
    book_options how = book_default();
    lw_error error = {0};
    how.create = create;
    char *own = NULL;
    if (!file->given && book_path(&own, &error) != LW_OK) return refused(NULL, &error);
    const char *path = file->given ? file->text : own;
    /* the user's own book has its folder made as well */
    lw_status status = book_open(out, file->given ? path : NULL, &how, &error);
    int code = status ? refused(path, &error) : EXIT_FINE;
    free(own);
    return code;
}

day day_of(const char *when) {
    day out;
    snprintf(out.s, sizeof out.s, "%.10s", when);
    return out;
}

int book_number(int64_t *out, const char *what, const char *text) {
    size_t digits = strspn(text, "0123456789");
    *out = digits > 0 && digits <= 18 && !text[digits] ? strtoll(text, NULL, 10) : 0;
    if (*out > 0) return EXIT_FINE;
    return complain(EXIT_USAGE, "lengthwise book list plans shows the numbers.",
                    "\"%s\" is not the number of a %s", text, what);
}

static int nobody(const char *words) {
    return complain(EXIT_INPUT,
                    "lengthwise book list shows who is there; lengthwise book add NAME adds somebody.",
                    "nobody in the book is called \"%s\"", words);
}

static int several(const char *words, const book_entries *found) {
    char remedy[600] = "Say which, by number or by the whole name:";
    for (int i = 0; i < found->count && i < 5; i++) {
        size_t used = strlen(remedy);
        snprintf(remedy + used, sizeof remedy - used, "%s %lld %.80s", i ? "," : "",
                 (long long)found->entry[i].id, found->entry[i].name);
    }
    return complain(EXIT_INPUT, remedy, "%lld people in the book are called \"%s\"", (long long)found->all,
                    words);
}

static int choose(int64_t *id, const char *words, const book_entries *found) {
    int whole = 0, at = 0;
    for (int i = 0; i < found->count; i++)
        if (strcasecmp(found->entry[i].name, words) == 0) {
            whole++;
            at = i;
        }
    if (found->count == 0) return nobody(words);
    if (whole != 1 && found->count > 1) return several(words, found);
    *id = found->entry[whole == 1 ? at : 0].id;
    return EXIT_FINE;
}

int book_who(int64_t *id, book *b, const char *words) {
    book_query query = book_query_default();
    book_entries found;
    lw_error error = {0};
    size_t digits = strspn(words, "0123456789");
    if (digits > 0 && digits <= 18 && !words[digits]) {
        *id = strtoll(words, NULL, 10);
        return EXIT_FINE;
    }
    if (words[strspn(words, " ")] == 0) return nobody(words);
    query.words = words;
    query.kinds = 1u << BOOK_PERSON;
    if (book_find(&found, b, &query, &error) != LW_OK) return book_refused(b, &error);
    int code = choose(id, words, &found);
    book_entries_clear(&found);
    return code;
}
