/* JSON text as tokens that know their place. See json.c. */
#ifndef LW_PLAN_JSON_H
#define LW_PLAN_JSON_H

#include "lengthwise.h"

#define JSMN_STRICT
#define JSMN_PARENT_LINKS
#ifdef LW_PLAN_JSON_C
#define JSMN_STATIC
#else
#define JSMN_HEADER
#endif
#include <jsmn.h>

#define JSON_SIZE_MAX ((size_t)4 << 20) /* bytes of text */
#define JSON_DEPTH_MAX 32
#define JSON_TOKENS_MAX 65536

typedef struct json {
    const char *text;
    size_t size;
    jsmntok_t *tokens; /* tokens[0] is the whole value; children follow their parent in order */
    int count;
} json;

/* The text must outlive the json. */
lw_status json_read(json *out, const char *text, size_t size, lw_error *error);
void json_clear(json *j);

/* The token after `token` and everything inside it; its next sibling where it has one. */
int json_next(const json *j, int token);

/* The value of `key` in an object, the i-th element of an array; -1 where there is none. */
int json_member(const json *j, int object, const char *key);
int json_element(const json *j, int array, int i);

bool json_is_number(const json *j, int token);

/* The decoded string in at most `room` bytes with its closing zero. False where it does not fit or
 * holds U+0000; out is then what fits, whole characters only. */
bool json_string(const json *j, int token, char *out, size_t room);

/* The nearest double; infinite where it is too large for one. */
double json_number(const json *j, int token);

/* Line and column of a token's first byte (a string's is its quote), or of a byte of the text. */
void json_where(const json *j, int token, int *line, int *column);
void json_where_byte(const char *text, size_t at, int *line, int *column);

/* The start of a token as it stands in the text, made fit to print. */
void json_show(const json *j, int token, char *out, size_t room);

#endif
