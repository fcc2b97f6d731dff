/* The JSON writer (RFC 8259). Text is taken to be UTF-8 and passed on. */
#include "put.h"

#include <math.h>
#include <stdlib.h>

static void escaped(FILE *to, const char *text) {
    fputc('"', to);
    for (; *text; text++) {
        unsigned char c = (unsigned char)*text;
        if (c == '"' || c == '\\')
            fprintf(to, "\\%c", c);
        else if (c == '\n')
            fputs("\\n", to);
        else if (c < 0x20 || c == 0x7f)
            fprintf(to, "\\u%04x", c);
        else
            fputc(c, to);
    }
    fputc('"', to);
}

static void item(json *j, const char *key) {
    if (!j->first) fputs(j->inline_from ? ", " : ",", j->to);
    if (!j->inline_from && j->depth > 0) fprintf(j->to, "\n%*s", 2 * j->depth, "");
    if (key) {
        escaped(j->to, key);
        fputs(": ", j->to);
    }
    j->first = false;
}

void put_open(json *j, const char *key, char bracket) {
    item(j, key);
    fputc(bracket, j->to);
    j->depth++;
    j->first = true;
}

void put_open_inline(json *j, const char *key, char bracket) {
    put_open(j, key, bracket);
    if (!j->inline_from) j->inline_from = j->depth;
}

void put_close(json *j, char bracket) {
    bool last = j->inline_from == j->depth;
    j->depth--;
    if (!j->inline_from && !j->first) fprintf(j->to, "\n%*s", 2 * j->depth, "");
    fputc(bracket, j->to);
    if (last) j->inline_from = 0;
    j->first = false;
    if (j->depth == 0) fputc('\n', j->to);
}

void put_number(json *j, const char *key, double value) {
    char text[40] = "null";
    for (int digits = 15; isfinite(value) && digits <= 17; digits++) {
        snprintf(text, sizeof text, "%.*g", digits, value);
        if (strtod(text, NULL) == value) break;
    }
    item(j, key);
    fputs(text, j->to);
}

void put_text(json *j, const char *key, const char *value) {
    item(j, key);
    escaped(j->to, value);
}

void put_nothing(json *j, const char *key) { put_value(j, key, NULL); }

void put_flag(json *j, const char *key, bool value) {
    item(j, key);
    fputs(value ? "true" : "false", j->to);
}

void put_whole(json *j, const char *key, int64_t value) {
    item(j, key);
    fprintf(j->to, "%lld", (long long)value);
}

void put_value(json *j, const char *key, const char *text) {
    item(j, key);
    fputs(text ? text : "null", j->to);
}

void put_vector(json *j, const char *key, lw_vec3 v) {
    put_open_inline(j, key, '[');
    put_number(j, NULL, v.x);
    put_number(j, NULL, v.y);
    put_number(j, NULL, v.z);
    put_close(j, ']');
}

static void put_field(json *j, const json_field *f, const void *member) {
    switch (f->kind) {
    case JSON_NUMBER:
        put_number(j, f->key, *(const double *)member);
        break;
    case JSON_WHOLE:
        put_number(j, f->key, *(const int *)member);
        break;
    case JSON_LONG:
        put_whole(j, f->key, *(const int64_t *)member);
        break;
    case JSON_FLAG:
        put_flag(j, f->key, *(const bool *)member);
        break;
    case JSON_TEXT:
        put_text(j, f->key, *(const char *const *)member);
        break;
    case JSON_CHARS:
        put_text(j, f->key, member);
        break;
    case JSON_VECTOR:
        put_vector(j, f->key, *(const lw_vec3 *)member);
        break;
    case JSON_NAMED:
        put_text(j, f->key, f->name((int)*(const unsigned *)member));
        break;
    }
}

void put_fields(json *j, const json_field *fields, const void *record) {
    for (const json_field *f = fields; f->key; f++) put_field(j, f, (const char *)record + f->at);
}

void put_rows(json *j, const char *key, const json_field *fields, const void *records, int count,
              size_t size) {
    put_open(j, key, '[');
    for (int i = 0; i < count; i++) {
        put_open_inline(j, NULL, '{');
        put_fields(j, fields, (const char *)records + (size_t)i * size);
        put_close(j, '}');
    }
    put_close(j, ']');
}
