/* Writing JSON: the caller opens, fills and closes; commas, indentation and escapes are done here. */
#ifndef LW_CLI_JSON_H
#define LW_CLI_JSON_H

#include <stdbool.h>
#include <stdio.h>

#include "lengthwise.h"

typedef struct json {
    FILE *to;
    int depth;
    bool first;      /* nothing yet at this depth */
    int inline_from; /* depth of the outermost value that is written on one line; 0 for none */
} json;

/* key is NULL in a list and for the whole. An inline list or object stays on one line with all it holds. */
void put_open(json *j, const char *key, char bracket);
void put_open_inline(json *j, const char *key, char bracket);
void put_close(json *j, char bracket);

/* 17 significant digits or as few as give the same double back; NaN and infinity are null. */
void put_number(json *j, const char *key, double value);
void put_text(json *j, const char *key, const char *value);
void put_nothing(json *j, const char *key); /* null */
void put_flag(json *j, const char *key, bool value);
void put_vector(json *j, const char *key, lw_vec3 v); /* [x, y, z] */

#endif
