/* A body, read as its shape says. See body.c. */
#ifndef LW_SERVE_BODY_H
#define LW_SERVE_BODY_H

#include "shapes.h"

typedef struct body_value {
    bool given;
    char *text;       /* FIELD_TEXT; FIELD_TAGS, as the book has them; FIELD_OBJECT, NULL for null */
    int64_t whole;    /* FIELD_WHOLE */
    int line, column; /* where an object begins */
} body_value;

typedef struct body {
    body_value value[FIELDS_MAX]; /* by field of the shape */
} body;

/* LW_ERROR_SYNTAX, LW_ERROR_PLAN, LW_ERROR_LIMIT, LW_ERROR_MEMORY, with line and column; there is nothing to
 * clear then. */
lw_status body_read(body *out, const shape *s, const char *text, size_t size, lw_error *error);
void body_clear(body *b);

/* Moves what is said of an object's own text to where it stands in the body. */
void body_place(const body_value *object, lw_error *error);

#endif
