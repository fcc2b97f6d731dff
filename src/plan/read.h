/* Between reading (read.c) and checking (check.c) a plan. */
#ifndef LW_PLAN_READ_H
#define LW_PLAN_READ_H

#include "fields.h"
#include "json.h"

typedef struct reader {
    json json;
    lw_units units;
    lw_error *error;
    char path[256]; /* of the value being read: "steps[2].hold" */
    size_t path_size;
} reader;

/* Says what is wrong with a value (a token) at a place; always false. */
#if defined(__GNUC__)
__attribute__((format(printf, 6, 7)))
#endif
bool plan_fault(reader *r, int token, const char *place, lw_status status, const char *remedy, const char *format, ...);

/* The token of sections[i].key or steps[i].key, of the nearest thing around it where that is not there. */
int plan_token(const reader *r, const char *list, int i, const char *object, const char *key);

/* A word fit to stand in a message: in quotes, shortened where it is long. */
const char *plan_quote(char *out, size_t room, const char *name);

/* Whether the first element of a JSON list is a value that the field takes; the tests hold every example to
 * it. */
bool plan_reads(const field *f, const char *text, size_t size, lw_error *error);

/* Everything about a plan that no single field shows: names, guides, mirrors. Moves the splits of the draft
 * into its plan. */
bool plan_check(reader *r, draft *d);

#endif
