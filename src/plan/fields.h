/* What a plan file may say: the one table that the reader, the schema, the explanations and the manual use.
 *
 * A shape is a kind of value; a field is a key of an object with the shape of its value, where that goes
 * in the C structs, and its help. Offsets of fields count from the object they stand in; the offset of an
 * object in its parent is its field's.
 */
#ifndef LW_PLAN_FIELDS_H
#define LW_PLAN_FIELDS_H

#include "lengthwise.h"

#define NOWHERE ((size_t)-1)

typedef enum shape_kind {
    SHAPE_TEXT,     /* char[room] */
    SHAPE_NUMBER,   /* double */
    SHAPE_WHOLE,    /* int, or uint64_t where room is 8 */
    SHAPE_FLAG,     /* bool */
    SHAPE_WORD,     /* an enum: one of `words` */
    SHAPE_HEADING,  /* one of `words`: bearing and rise of an lw_hold */
    SHAPE_LANDMARK, /* int, or lw_place where room is its size */
    SHAPE_OBJECT,
    SHAPE_LIST,
    SHAPE_EITHER /* the first of `options` whose JSON type fits */
} shape_kind;

typedef enum unit {
    UNIT_NONE,
    UNIT_LENGTH,  /* the file's unit; metres in C */
    UNIT_DEGREES, /* radians in C */
    UNIT_PER_CM2, /* per m^2 in C */
    UNIT_UM2,     /* um^2; m^2 in C */
    UNIT_GPA,     /* GPa; Pa in C */
    UNIT_COUNT
} unit;

typedef struct word {
    const char *text;
    double value, second; /* enum, number or bearing; rise */
    const char *help;
} word;

typedef struct field field;

typedef struct shape {
    shape_kind kind;
    unit unit;
    double low, high; /* numbers: inclusive, in the unit; lengths in cm */
    size_t room;      /* bytes in C, of a text with its closing zero */
    const char *name; /* of a shape that many fields share: "place" */
    const char *help; /* of such a shape */
    const word *words;
    size_t word_at; /* where the word's enum goes, from the place of the value */
    const field *fields;
    const char *exactly_one;        /* objects: keys of which exactly one stands, "level|upright" */
    size_t line_at;                 /* objects: int that gets the line, or 0 for none */
    const struct shape *element;    /* lists */
    size_t stride;                  /* lists: bytes of an element */
    size_t count_at;                /* lists: int in the object around that gets the count, or NOWHERE */
    const void *initial;            /* lists: what an element is before it is read, or NULL for zeros */
    const struct shape *options[3]; /* either */
    int word_count, field_count;
    int least, most; /* lists: how many elements */
    bool allocated;  /* lists: the place holds a pointer */
    bool fraction;   /* numbers: may also be written "3/8" or "4 1/2" */
    bool lines;      /* texts: may have line breaks */
    bool address;    /* texts: begins with http:// or https:// and holds only ASCII that can be seen */
} shape;

/* Conditions are "key" (the sibling is there) or "key:word" (and says this word), alternatives parted by |. A
 * field is needed where `needed_by` holds and `without` does not. */
struct field {
    const char *key;
    const shape *shape;
    size_t offset;
    size_t tag_at;         /* where `tag`, an int, goes when the key is there and `tagged` */
    const char *with;      /* stands only together with one of these */
    const char *without;   /* never together with one of these */
    const char *needed_by; /* required where one of these holds */
    const char *absent;    /* what happens when it is left out, where the default value does not say it */
    const char *help;
    const char *example; /* JSON of the value */
    int tag;
    bool tagged, required;
};

typedef struct draft_split {
    lw_split split;
    bool mirror;
} draft_split;

/* What the whole file fills. */
typedef struct draft {
    lw_plan plan;
    int format, version;
    int split_count;
    draft_split *splits;
} draft;

extern const shape plan_shape, place_shape;

/* Length of one file unit in metres. */
double unit_metre(lw_units units);

/* One of a number's unit in SI; how it is written after a number (" cm", " degrees", ""). */
double unit_si(unit u, lw_units units);
const char *unit_suffix(unit u, lw_units units);

extern const lw_step step_initial;

#endif
