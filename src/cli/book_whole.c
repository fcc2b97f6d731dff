/* The whole book: backup, export, import, check, and saving what a damaged one still holds. */
#include <stdio.h>
#include <stdlib.h>

#include "book_use.h"
#include "files.h"

static void say_counts(FILE *to, const char *what, const book_counts *n) {
    fprintf(to, "%s: %lld people, %lld plans of %lld revisions, %lld notes\n", what, (long long)n->people,
            (long long)n->plans, (long long)n->revisions, (long long)n->notes);
}

int book_back_up(const arguments *args) {
    book *b;
    lw_error error = {0};
    int code = book_use(&b, args, false);
    if (code) return code;
    if (book_backup(b, args->operand[1], &error) != LW_OK) code = book_refused(b, &error);
    if (!code) printf("The book as it was now is in %s.\n", args->operand[1]);
    book_close(b);
    return code;
}

static int write_out(const char *text, size_t size, const value *to) {
    if (to->given) return output_write(to->text, text, size);
    fwrite(text, 1, size, stdout);
    return EXIT_FINE;
}

int book_write_out(const arguments *args) {
    book *b;
    char *text = NULL;
    size_t size;
    lw_error error = {0};
    int code = book_use(&b, args, false);
    if (code) return code;
    code = book_export(&text, &size, b, &error) == LW_OK ? write_out(text, size, &args->value[BOOK_OUTPUT])
                                                         : book_refused(b, &error);
    free(text);
    book_close(b);
    return code;
}

int book_read_in(const arguments *args) {
    book *b;
    char *text = NULL;
    size_t size;
    lw_error error = {0};
    book_counts counts;
    int code = file_read_large(&text, &size, args->operand[1]);
    if (!code) code = book_use(&b, args, true);
    if (!code) {
        lw_status status = book_import(b, text, size, &error);
        if (status && error.line > 0)
            code = complain_error(file_name(args->operand[1]), &error);
        else if (status || book_check(&counts, b, &error) != LW_OK)
            code = book_refused(b, &error);
        else
            say_counts(stdout, "In the book now", &counts);
        book_close(b);
    }
    free(text);
    return code;
}

int book_look_over(const arguments *args) {
    book *b;
    lw_error error = {0};
    book_counts counts;
    int code = book_use(&b, args, false);
    if (code) return code;
    if (book_check(&counts, b, &error) != LW_OK)
        code = book_refused(b, &error);
    else
        say_counts(stdout, "The book is sound", &counts);
    book_close(b);
    return code;
}

static void say_saved(const book_saved *saved) {
    say_counts(stderr, "Saved as they were written", &saved->whole);
    say_counts(stderr, "Saved, but not as they were written", &saved->doubtful);
    say_counts(stderr, "Known to be lost", &saved->lost);
    fputs("The damaged book was not touched. lengthwise book import reads what was saved into a new one.\n",
          stderr);
}

int book_rescue(const arguments *args) {
    char *path = NULL, *text = NULL;
    size_t size;
    book_saved saved;
    lw_error error = {0};
    const value *file = &args->value[BOOK_FILE];
    if (!file->given && book_path(&path, &error) != LW_OK) return book_refused(NULL, &error);
    lw_status status = book_salvage(&text, &size, &saved, file->given ? file->text : path, &error);
    int code = status ? book_refused(NULL, &error) : write_out(text, size, &args->value[BOOK_OUTPUT]);
    if (!code) say_saved(&saved);
    free(text);
    free(path);
    return code;
}
