/* The table of problems, and which of them a status of the library or of the book is. */
#include "problems.h"

#include <stdio.h>

#include "book.h"
#include "routes.h"

#include <string.h>

static const problem_kind kinds[PROBLEM_COUNT] = {
    [PROBLEM_NONE] = {"none", "Nothing is wrong", 200},
    [PROBLEM_MALFORMED] = {"malformed", "The request is not well formed", 400},
    [PROBLEM_SECRET] = {"secret", "The secret of this run is missing", 401},
    [PROBLEM_FOREIGN] = {"foreign", "The request comes from another site", 403},
    [PROBLEM_MISSING] = {"missing", "There is no such thing here", 404},
    [PROBLEM_METHOD] = {"method", "This cannot be done with it", 405},
    [PROBLEM_NOT_EMPTY] = {"not-empty", "The book holds something already", 409},
    [PROBLEM_CONFLICT] = {"conflict", "Somebody else changed it since", 412},
    [PROBLEM_TOO_LARGE] = {"too-large", "The request is too large", 413},
    [PROBLEM_MEDIA] = {"media", "The content is of another type", 415},
    [PROBLEM_MISDIRECTED] = {"misdirected", "This server is not called so", 421},
    [PROBLEM_UNFIT] = {"unfit", "What was sent is not what it should be", 422},
    [PROBLEM_UNCONDITIONAL] = {"unconditional", "Which revision was looked at is not said", 428},
    [PROBLEM_FAILED] = {"failed", "The server failed", 500},
    [PROBLEM_DAMAGED] = {"damaged", "The book cannot be read", 500},
    [PROBLEM_BUSY] = {"busy", "Too much to do just now", 503},
    [PROBLEM_FULL] = {"full", "The disk is full or fails", 507},
};

static const struct {
    int status;
    problem problem;
} meanings[] = {
    {LW_OK, PROBLEM_NONE},
    {LW_ERROR_MEMORY, PROBLEM_BUSY},
    {LW_ERROR_STOPPED, PROBLEM_BUSY},
    {LW_ERROR_ARGUMENT, PROBLEM_UNFIT},
    {LW_ERROR_MEASURES, PROBLEM_UNFIT},
    {LW_ERROR_SYNTAX, PROBLEM_UNFIT},
    {LW_ERROR_PLAN, PROBLEM_UNFIT},
    {LW_ERROR_LIMIT, PROBLEM_UNFIT},
    {BOOK_MISSING, PROBLEM_MISSING},
    {BOOK_CONFLICT, PROBLEM_CONFLICT},
    {BOOK_DAMAGED, PROBLEM_DAMAGED},
    {BOOK_NEWER, PROBLEM_DAMAGED},
    {BOOK_BUSY, PROBLEM_BUSY},
    {BOOK_DISK, PROBLEM_FULL},
};

const problem_kind *problem_of(problem p) { return &kinds[p]; }

problem problem_for(lw_status status) {
    for (size_t i = 0; i < sizeof meanings / sizeof *meanings; i++)
        if (meanings[i].status == (int)status) return meanings[i].problem;
    return PROBLEM_FAILED;
}

void problem_put(json *j, problem p, const lw_error *error, const char *current) {
    const problem_kind *kind = problem_of(p);
    char type[96];
    snprintf(type, sizeof type, API "/openapi.json#/components/responses/%s", kind->name);
    put_open_inline(j, NULL, '{');
    put_text(j, "type", type);
    put_text(j, "title", kind->title);
    put_whole(j, "status", kind->status);
    put_text(j, "detail", error->message);
    if (error->place[0]) put_text(j, "place", error->place);
    if (error->remedy[0]) put_text(j, "remedy", error->remedy);
    if (error->line) put_whole(j, "line", error->line);
    if (error->column) put_whole(j, "column", error->column);
    if (current) put_value(j, "current", current);
    put_close(j, '}');
}

static void add_plain(grown *out, const char *text) {
    for (; *text; text++) {
        const char *safe = *text == '<' ? "&lt;" : *text == '&' ? "&amp;" : NULL;
        grown_add(out, safe ? safe : text, safe ? strlen(safe) : 1);
    }
}

void problem_page(grown *out, problem p, const lw_error *error) {
    const char *const parts[] = {problem_of(p)->title, error->message, error->remedy};
    grown_addf(out, "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>lengthwise</title>");
    for (int i = 0; i < 3; i++) {
        grown_addf(out, i ? "<p>" : "<h1>");
        add_plain(out, parts[i]);
        grown_addf(out, i ? "</p>" : "</h1>");
    }
    grown_addf(out, "</html>\n");
}
