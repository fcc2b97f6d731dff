/* The JSON writer (RFC 8259). Text is taken to be UTF-8 and passed on. */
#include "put.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void add(json *j, const char *text) { grown_add(&j->text, text, strlen(text)); }
static void add_char(json *j, char c) { grown_add(&j->text, &c, 1); }

static void escaped(json *j, const char *text, size_t size) {
    char code[8];
    add_char(j, '"');
    for (size_t i = 0; i < size; i++) {
        unsigned char c = (unsigned char)text[i];
        if (c == '"' || c == '\\') {
            add_char(j, '\\');
            add_char(j, (char)c);
        } else if (c == '\n') {
            add(j, "\\n");
        } else if (c < 0x20 || c == 0x7f) {
            snprintf(code, sizeof code, "\\u%04x", c);
            add(j, code);
        } else {
            add_char(j, (char)c);
        }
    }
    add_char(j, '"');
}

static void line(json *j) {
    add_char(j, '\n');
    for (int i = 0; i < j->depth; i++) add(j, "  ");
}

static void item(json *j, const char *key) {
    if (j->later) add(j, j->inline_from ? ", " : ",");
    if (!j->inline_from && j->depth > 0) line(j);
    if (key) {
        escaped(j, key, strlen(key));
        add(j, ": ");
    }
    j->later = true;
}

void put_open(json *j, const char *key, char bracket) {
    item(j, key);
    add_char(j, bracket);
    j->depth++;
    j->later = false;
}

void put_open_inline(json *j, const char *key, char bracket) {
    put_open(j, key, bracket);
    if (!j->inline_from) j->inline_from = j->depth;
}

void put_close(json *j, char bracket) {
    bool last = j->inline_from == j->depth;
    j->depth--;
    if (!j->inline_from && j->later) line(j);
    add_char(j, bracket);
    if (last) j->inline_from = 0;
    j->later = true;
    if (j->depth == 0) add_char(j, '\n');
}

/* Of six decimals and no more than a double surely tells apart, written as %.15g would, without asking what
 * it reads as. */
static bool few_decimals(char text[40], double value) {
    double size = fabs(value), parts = round(size * 1e6);
    if (!(size < 1e8) || parts / 1e6 != size || (size < 1e-4 && size > 0)) return false;
    int64_t whole = (int64_t)parts / 1000000, rest = (int64_t)parts % 1000000;
    int end =
        snprintf(text, 40, "%s%lld.%06lld", signbit(value) ? "-" : "", (long long)whole, (long long)rest);
    while (text[end - 1] == '0') text[--end] = '\0';
    if (text[end - 1] == '.') text[end - 1] = '\0';
    return true;
}

void put_number(json *j, const char *key, double value) {
    char text[40] = "null";
    int digits = isfinite(value) && !few_decimals(text, value) ? 15 : 18;
    for (; digits <= 17; digits++) {
        snprintf(text, sizeof text, "%.*g", digits, value);
        if (strtod(text, NULL) == value) break;
    }
    item(j, key);
    add(j, text);
}

void put_some(json *j, const char *key, const char *value, size_t size) {
    item(j, key);
    escaped(j, value, size);
}

void put_text(json *j, const char *key, const char *value) { put_some(j, key, value, strlen(value)); }

void put_nothing(json *j, const char *key) { put_value(j, key, NULL); }

void put_flag(json *j, const char *key, bool value) {
    item(j, key);
    add(j, value ? "true" : "false");
}

void put_whole(json *j, const char *key, int64_t value) {
    char text[24];
    snprintf(text, sizeof text, "%lld", (long long)value);
    put_value(j, key, text);
}

void put_value(json *j, const char *key, const char *text) {
    item(j, key);
    add(j, text ? text : "null");
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
