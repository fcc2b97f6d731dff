/* The routes: one row each, from which requests are judged, read and answered, and the OpenAPI document is
 * written. */
#ifndef LW_SERVE_ROUTES_H
#define LW_SERVE_ROUTES_H

#include "shapes.h"

#define API "/api/v1"

typedef enum method { METHOD_GET, METHOD_POST, METHOD_PUT, METHOD_DELETE, METHODS } method;

const char *method_name(method m);

/* HEAD is GET whose answer has no body. Whether there is such a method. */
bool method_find(method *out, const char *name);

typedef enum parameter_kind {
    PARAMETER_TEXT,
    PARAMETER_WHOLE, /* low to high */
    PARAMETER_WORD,  /* one of `words` */
    PARAMETER_DATE   /* 2026-03-01 */
} parameter_kind;

typedef struct parameter {
    const char *name, *help;
    parameter_kind kind;
    int64_t low, high;
    const char *const *words; /* ends with NULL */
} parameter;

enum { PARAMETERS_MAX = 8, NUMBERS_MAX = 2 };

/* Their places in a row's parameters. */
enum { FIND_WORDS, FIND_KIND, FIND_TAG, FIND_PERSON, FIND_SKIP, FIND_MOST };
enum { SHEET_PAPER, SHEET_KIND, SHEET_DATE };

typedef enum route_id {
    ROUTE_ABOUT,
    ROUTE_OPENAPI,
    ROUTE_FIND,
    ROUTE_PERSON_ADD,
    ROUTE_PERSON,
    ROUTE_PERSON_CHANGE,
    ROUTE_PERSON_FORGET,
    ROUTE_PERSON_HOLDS,
    ROUTE_PERSON_NOTES,
    ROUTE_PERSON_NOTE,
    ROUTE_PLAN_ADD,
    ROUTE_PLAN,
    ROUTE_PLAN_CHANGE,
    ROUTE_PLAN_FORGET,
    ROUTE_PLAN_REVISIONS,
    ROUTE_PLAN_REVISION,
    ROUTE_PLAN_NOTES,
    ROUTE_PLAN_NOTE,
    ROUTE_NOTE_FORGET,
    ROUTE_MEASURES_INTO,
    ROUTE_MEASURES_OF,
    ROUTE_SHEET,
    ROUTE_EXPORT,
    ROUTE_IMPORT,
    ROUTE_BACKUP,
    ROUTES
} route_id;

/* What a body is. */
typedef enum takes { TAKES_NOTHING, TAKES_SHAPE, TAKES_PLAN, TAKES_BOOK } takes;

typedef struct route {
    method method;
    int status;       /* of the answer where nothing is wrong */
    const char *path; /* below API; {id} and {revision} are whole numbers from 1 up */
    const char *name, *help;
    const parameter *parameters; /* ends with a NULL name; NULL none */
    const shape *in;             /* of TAKES_SHAPE */
    size_t most;                 /* bytes of the body */
    const shape *out;
    const char *media; /* of what goes out where that is no shape */
    takes takes;
    bool tagged;      /* the answer has an ETag */
    bool conditional; /* wants If-Match */
    bool no_book;     /* needs no book to be answered */
} route;

extern const route routes[ROUTES];

/* The routes of a path below API as bits, 1 << route_id, with the numbers in it. */
uint32_t routes_at(const char *path, int64_t numbers[NUMBERS_MAX]);

#endif
