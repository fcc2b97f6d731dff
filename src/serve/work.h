/* What a request is answered with, and what answering one has at hand. */
#ifndef LW_SERVE_WORK_H
#define LW_SERVE_WORK_H

#include <stdio.h>

#include "body.h"
#include "book.h"
#include "etag.h"
#include "handles.h"
#include "judge.h"
#include "paper.h"
#include "put.h"

typedef struct reply {
    int status;
    const char *media;
    char *data; /* free() it; NULL where there is none */
    size_t size;
    int file;              /* its bytes instead of data; -1 none */
    const char *file_name; /* to keep it under; NULL: it is shown */
    char etag[ETAG_MAX], location[96];
} reply;

/* The rooms that answer. */
typedef struct rooms {
    handles *handles;
    paper *paper;
} rooms;

typedef struct work {
    const judged *asked;
    const rooms *rooms;
    book *book; /* NULL where the route needs none */
    const char *text;
    size_t size;    /* of the body */
    const body *in; /* the body by its shape */
    json *out;      /* what goes out in the route's shape; on BOOK_CONFLICT what the book holds now */
    reply *reply;
    lw_error *error;
} work;

/* Answers one route. */
typedef lw_status answerer(work *w);

answerer answer_about, answer_openapi, answer_find;
answerer answer_person_add, answer_person, answer_person_change, answer_person_forget, answer_person_holds;
answerer answer_plan_add, answer_plan, answer_plan_change, answer_plan_forget, answer_plan_revisions;
answerer answer_person_notes, answer_plan_notes, answer_person_note, answer_plan_note, answer_note_forget;
answerer answer_measures_into, answer_measures_of, answer_sheet;
answerer answer_export, answer_import, answer_backup;

/* What several of them write. */
void put_tags(json *j, const char *tags); /* under "tags", as a list */
void put_holds(json *j, const book_forgotten *held);

/* Which revision a change is of: the one that is there where If-Match names it, otherwise one that never is.
 */
int64_t revision_looked_at(const work *w, int64_t is);

/* Reads what the request is about: its revision, and where `tells` the whole of it, into the answer. */
typedef lw_status looker(work *w, int64_t *revision, bool tells);

/* Removes it where it still is what was looked at, and says what went; otherwise it tells what is there now.
 */
typedef lw_status forgetter(book_forgotten *gone, book *b, int64_t id, int64_t revision, lw_error *error);
lw_status forget(work *w, looker *look, forgetter *removes);

/* answer.c: the whole of it, whatever comes. */
void answer(reply *out, const judged *asked, const char *text, size_t size, const rooms *all);
void answer_problem(reply *out, problem p, const lw_error *error, const char *current);
void reply_clear(reply *r);

#endif
