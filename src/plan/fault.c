/* Saying what is wrong with a plan, and where: the token gives line and column, the path the field.
 *
 * Invariant: what is said fits its buffers and is whole UTF-8 characters, whatever the plan holds.
 */
#include "read.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "explain.h"

/* Cuts text that overran its buffer at a whole UTF-8 character. */
static void whole_characters(char *s, size_t room) {
    size_t n = strlen(s);
    if (n + 1 < room) return;
    size_t at = n;
    while (at > 0 && ((unsigned char)s[at - 1] & 0xC0) == 0x80) at--;
    if (at == 0) return;
    unsigned char lead = (unsigned char)s[at - 1];
    size_t needs = lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    if (n - (at - 1) < needs) s[at - 1] = 0;
}

bool plan_fault(reader *r, int token, const char *place, lw_status status, const char *remedy,
                const char *format, ...) {
    lw_error *e = r->error;
    e->status = status;
    json_where(&r->json, token, &e->line, &e->column);
    snprintf(e->place, sizeof e->place, "%s", place && *place ? place : "plan");
    va_list list;
    va_start(list, format);
    vsnprintf(e->message, sizeof e->message, format, list);
    va_end(list);
    snprintf(e->remedy, sizeof e->remedy, "%s", remedy);
    whole_characters(e->place, sizeof e->place);
    whole_characters(e->message, sizeof e->message);
    whole_characters(e->remedy, sizeof e->remedy);
    return false;
}

const char *plan_quote(char *out, size_t room, const char *name) {
    size_t n = strlen(name), keep = n + 3 <= room ? n : room - 6;
    while (keep < n && keep > 0 && ((unsigned char)name[keep] & 0xC0) == 0x80) keep--;
    snprintf(out, room, "\"%.*s%s\"", (int)keep, name, keep < n ? "..." : "");
    return out;
}

int plan_token(const reader *r, const char *list, int i, const char *object, const char *key) {
    int token = 0;
    int next = json_member(&r->json, token, list);
    if (next >= 0) token = next;
    if (next >= 0 && (next = json_element(&r->json, token, i)) >= 0) token = next;
    if (next >= 0 && object && (next = json_member(&r->json, token, object)) >= 0) token = next;
    if (next >= 0 && key && (next = json_member(&r->json, token, key)) >= 0) token = next;
    return token;
}

size_t plan_path_key(reader *r, const char *key) {
    size_t before = r->path_size;
    int n = snprintf(r->path + before, sizeof r->path - before, "%s%s", before ? "." : "", key);
    if (n > 0 && before + (size_t)n < sizeof r->path) r->path_size = before + (size_t)n;
    return before;
}

size_t plan_path_index(reader *r, int i) {
    size_t before = r->path_size;
    int n = snprintf(r->path + before, sizeof r->path - before, "[%d]", i);
    if (n > 0 && before + (size_t)n < sizeof r->path) r->path_size = before + (size_t)n;
    return before;
}

void plan_path_back(reader *r, size_t before) {
    r->path_size = before;
    r->path[before] = 0;
}

/* The whole of what a field takes, where `s` is only one of its options. */
static const shape *whole_shape(const shape *s, const field *f) {
    const shape *outer = f->shape->kind == SHAPE_LIST ? f->shape->element : f->shape;
    for (int i = 0; outer->kind == SHAPE_EITHER && i < 3; i++)
        if (outer->options[i] == s) return outer;
    return s;
}

bool plan_unlike(reader *r, int token, const shape *s, const field *f, const char *found) {
    textbuf takes = {0};
    plan_takes(&takes, whole_shape(s, f), r->units);
    char remedy[384], shown[PLAN_SHOWN];
    if (!found) json_show(&r->json, token, shown, sizeof shown);
    snprintf(remedy, sizeof remedy, "Write, for example, \"%s\": %s.", f->key, f->example);
    if (takes.data)
        plan_fault(r, token, r->path, LW_ERROR_PLAN, remedy, "found %s, but expected %s",
                   found ? found : shown, takes.data);
    else
        plan_fault(r, token, r->path, LW_ERROR_MEMORY, "Close something and try again.",
                   "there is not enough memory to read the plan");
    free(takes.data);
    return false;
}
