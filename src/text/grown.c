/* A text that grows by doubling; a failure is kept until the end, so that nothing between has to ask. */
#include "grown.h"

#include <stdlib.h>

#include "fail.h"

char *grown_copy(const char *data, size_t size) {
    char *out = malloc(size + 1);
    if (!out) return NULL;
    memcpy(out, data, size);
    out[size] = 0;
    return out;
}

void grown_add(grown *t, const char *data, size_t size) {
    if (t->failed) return;
    if (!t->at || t->size + size + 1 > t->room) {
        size_t room = (t->size + size + 1) * 2;
        char *more = realloc(t->at, room);
        if (!more) {
            t->failed = true;
            return;
        }
        t->at = more;
        t->room = room;
    }
    memcpy(t->at + t->size, data, size);
    t->size += size;
    t->at[t->size] = 0;
}

void grown_addf(grown *t, const char *format, ...) {
    char line[256];
    va_list values;
    va_start(values, format);
    int n = vsnprintf(line, sizeof line, format, values);
    va_end(values);
    grown_add(t, line, n < 0 ? 0 : n < (int)sizeof line ? (size_t)n : sizeof line - 1);
}

void grown_quoted(grown *t, const char *value) {
    grown_add(t, "\"", 1);
    for (const char *c = value; *c; c++) {
        size_t plain = 0;
        while ((unsigned char)c[plain] >= 0x20 && c[plain] != '"' && c[plain] != '\\') plain++;
        grown_add(t, c, plain);
        c += plain;
        if (!*c) break;
        if (*c == '"' || *c == '\\')
            grown_addf(t, "\\%c", *c);
        else if (*c == '\n')
            grown_add(t, "\\n", 2);
        else
            grown_addf(t, "\\u%04x", (unsigned)(unsigned char)*c);
    }
    grown_add(t, "\"", 1);
}

lw_status grown_end(grown *t, char **out, size_t *size, lw_error *error) {
    if (!t->failed && !t->at) grown_add(t, "", 0);
    if (t->failed) {
        free(t->at);
        *t = (grown){0};
        *out = NULL;
        return fail_memory(error, "book");
    }
    *out = t->at;
    if (size) *size = t->size;
    *t = (grown){0};
    return LW_OK;
}
