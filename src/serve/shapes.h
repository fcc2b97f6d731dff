/* The JSON objects that go in and out: one row a field, from which bodies are read and the OpenAPI document
 * is written. */
#ifndef LW_SERVE_SHAPES_H
#define LW_SERVE_SHAPES_H

#include "lengthwise.h"

typedef enum field_kind {
    FIELD_TEXT,
    FIELD_WHOLE, /* from 0 up */
    FIELD_FLAG,
    FIELD_TAGS,   /* a list of words or phrases */
    FIELD_WORDS,  /* a list of fixed words, going out */
    FIELD_OBJECT, /* measures: an object that is passed on as it stands; null where there are none */
    FIELD_SHAPE,  /* an object, going out */
    FIELD_SHAPES  /* a list of objects, going out */
} field_kind;

typedef struct shape shape;

typedef struct field {
    const char *key, *help;
    field_kind kind;
    bool optional;
    size_t most;     /* bytes of a text */
    const shape *of; /* of FIELD_SHAPE, FIELD_SHAPES */
} field;

enum { FIELDS_MAX = 12 };

struct shape {
    const char *name, *help;
    field fields[FIELDS_MAX]; /* ends with a NULL key */
};

/* Going in. */
extern const shape shape_new_person, shape_changed_person, shape_new_plan, shape_changed_plan, shape_new_note,
    shape_wearing, shape_plan_text;

/* Going out. */
extern const shape shape_about, shape_found, shape_person, shape_plan, shape_revisions, shape_notes,
    shape_note, shape_holds, shape_text, shape_measures, shape_counts, shape_problem;

#endif
