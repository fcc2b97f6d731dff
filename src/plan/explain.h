/* The table in words, for messages, the schema and the manual. */
#ifndef LW_PLAN_EXPLAIN_H
#define LW_PLAN_EXPLAIN_H

#include "fields.h"
#include "plan.h"
#include "text.h"

/* What a shape takes, to stand after "expected": "a number from 0 to 180 degrees". */
void plan_takes(textbuf *t, const shape *s, lw_units units);

/* What happens when a field of `object` is left out; `initial` is the object before it is read, or NULL. */
void plan_left_out(textbuf *t, const shape *object, const field *f, const char *initial);

/* The field's value in `object` as JSON in file units; false where it cannot be written so. */
bool plan_value(char *out, size_t room, const field *f, const void *object);

/* One object of the file: its path ("steps[].hold"), its shape and what it is before it is read. */
typedef void plan_visit(void *context, const char *path, const shape *object, const char *initial);
void plan_walk(plan_visit *visit, void *context);

/* Where a key that is out of place belongs: "steps[].hold", the nearest to the path `here`; false where
 * nothing has such a key. */
bool plan_field_elsewhere(const char *key, const char *here, char *out, size_t room);

#endif
