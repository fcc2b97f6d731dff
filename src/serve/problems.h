/* What can be wrong with a request, as RFC 9457 has it. One row each: its name, its status, its title. */
#ifndef LW_SERVE_PROBLEMS_H
#define LW_SERVE_PROBLEMS_H

#include "put.h"

typedef enum problem {
    PROBLEM_NONE,
    PROBLEM_MALFORMED,
    PROBLEM_SECRET,
    PROBLEM_FOREIGN,
    PROBLEM_MISSING,
    PROBLEM_METHOD,
    PROBLEM_NOT_EMPTY,
    PROBLEM_CONFLICT,
    PROBLEM_TOO_LARGE,
    PROBLEM_MEDIA,
    PROBLEM_MISDIRECTED,
    PROBLEM_UNFIT,
    PROBLEM_UNCONDITIONAL,
    PROBLEM_FAILED,
    PROBLEM_DAMAGED,
    PROBLEM_BUSY,
    PROBLEM_FULL,
    PROBLEM_COUNT
} problem;

typedef struct problem_kind {
    const char *name, *title;
    int status;
} problem_kind;

const problem_kind *problem_of(problem p);

/* Which one an lw_status, or one of the book's, is. */
problem problem_for(lw_status status);

/* Writes the problem as application/problem+json. `current` is JSON, what the book holds now, or NULL. */
void problem_put(json *j, problem p, const lw_error *error, const char *current);

/* The same as a page for somebody who looks at it. */
void problem_page(grown *out, problem p, const lw_error *error);

#endif
