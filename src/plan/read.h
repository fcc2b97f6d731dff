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
    size_t counted, lines; /* line ends before byte `counted` */
} reader;

enum { PLAN_SHOWN = 60 }; /* room for what a message shows of the plan */

/* Says what is wrong with a value (a token) at a place; always false. */
#if defined(__GNUC__)
__attribute__((format(printf, 6, 7)))
#endif
bool plan_fault(reader *r, int token, const char *place, lw_status status, const char *remedy, const char *format, ...);

/* The token of sections[i].key or steps[i].key, of the nearest thing around it where that is not there. */
int plan_token(const reader *r, const char *list, int i, const char *object, const char *key);

/* A word fit to stand in a message: in quotes, shortened where it is long. */
const char *plan_quote(char *out, size_t room, const char *name);

/* Steps of the path; each returns what plan_path_back takes. */
size_t plan_path_key(reader *r, const char *key);
size_t plan_path_index(reader *r, int i);
void plan_path_back(reader *r, size_t before);

/* Says that a value is not what the field takes; `found` NULL: as it stands in the text. Always false. */
bool plan_unlike(reader *r, int token, const shape *s, const field *f, const char *found);

/* A text, number, flag, word or landmark into `at`. */
bool plan_read_scalar(reader *r, int token, const shape *s, const field *f, char *at);

/* Reads the first element of a JSON list as the field of an object in C; lengths are in cm. A list that the
 * table allocates is the caller's to free. The tests hold every example and every default to it. */
bool plan_read_field(void *into, const field *f, const char *list, size_t size, lw_error *error);

/* Everything about a plan that no single field shows: names, guides, mirrors. Moves the splits of the draft
 * into its plan. */
bool plan_check(reader *r, draft *d);

#endif
