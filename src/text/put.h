/* Writing JSON into memory: the caller opens, fills and closes; commas, indentation and escapes are done
 * here. */
#ifndef LW_TEXT_PUT_H
#define LW_TEXT_PUT_H

#include <stdbool.h>
#include <stddef.h>

#include "grown.h"

typedef struct json {
    grown text; /* its `failed` says that memory ran out */
    int depth;
    bool later;      /* something stands at this depth already */
    int inline_from; /* depth of the outermost value that is written on one line; 0 for none */
} json;

/* Begins as (json){0}. key is NULL in a list and for the whole. An inline list or object stays on one line
 * with all it holds. */
void put_open(json *j, const char *key, char bracket);
void put_open_inline(json *j, const char *key, char bracket);
void put_close(json *j, char bracket);

/* 17 significant digits or as few as give the same double back; NaN and infinity are null. */
void put_number(json *j, const char *key, double value);
void put_text(json *j, const char *key, const char *value);
void put_some(json *j, const char *key, const char *value, size_t size); /* a text's first bytes */
void put_nothing(json *j, const char *key);                              /* null */
void put_flag(json *j, const char *key, bool value);
void put_whole(json *j, const char *key, int64_t value);
void put_value(json *j, const char *key, const char *text); /* JSON as it stands; NULL is null */
void put_vector(json *j, const char *key, lw_vec3 v);       /* [x, y, z] */

/* A member of a struct and the key it is written under. A kind is what the member is. */
typedef enum json_kind {
    JSON_NUMBER, /* double */
    JSON_WHOLE,  /* int */
    JSON_LONG,   /* int64_t */
    JSON_FLAG,   /* bool */
    JSON_TEXT,   /* const char * */
    JSON_CHARS,  /* char[] */
    JSON_VECTOR, /* lw_vec3 */
    JSON_NAMED   /* an enumeration, by what `name` calls it */
} json_kind;

typedef struct json_field {
    const char *key; /* NULL ends a list of them */
    json_kind kind;
    size_t at;
    const char *(*name)(int);
} json_field;

/* A member by its own name; the compiler knows its kind. */
#define JSON_MEMBER(type, member) JSON_OF(#member, JSON_KIND(((type *)NULL)->member), offsetof(type, member))
#define JSON_OF(key, kind, at)                                                                               \
    { key, kind, at, NULL }
#define JSON_KIND(x)                                                                                         \
    _Generic((x), double : JSON_NUMBER, int : JSON_WHOLE, int64_t : JSON_LONG, bool : JSON_FLAG, const char * : JSON_TEXT,        \
             char * : JSON_CHARS, lw_vec3 : JSON_VECTOR)

void put_fields(json *j, const json_field *fields, const void *record);

/* A list of `count` records one after another, each on a line of its own. */
void put_rows(json *j, const char *key, const json_field *fields, const void *records, int count,
              size_t size);

#endif
