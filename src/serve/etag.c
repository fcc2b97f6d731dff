/* Reading a list of entity tags, one after another. */
#include "etag.h"

#include <stdio.h>
#include <string.h>

void etag_revision(char out[ETAG_MAX], int64_t revision) {
    snprintf(out, ETAG_MAX, "\"%lld\"", (long long)revision);
}

typedef struct tag {
    const char *at; /* its quote */
    size_t size;
    bool weak;
} tag;

static const char *past_space(const char *p) { return p + strspn(p, " \t"); }

/* The tag at *p, which moves past it and a comma; false where there is none. */
static bool next(tag *out, const char **p) {
    const char *at = past_space(*p);
    out->weak = strncmp(at, "W/", 2) == 0;
    if (out->weak) at += 2;
    if (*at != '"') return false;
    size_t length = strcspn(at + 1, "\"");
    if (at[length + 1] != '"') return false;
    out->at = at;
    out->size = length + 2;
    at = past_space(at + out->size);
    if (*at && *at != ',') return false;
    *p = *at ? at + 1 : at;
    return true;
}

static bool any(const char *condition) {
    const char *p = past_space(condition);
    return *p == '*' && *past_space(p + 1) == 0;
}

bool etag_well_formed(const char *condition) {
    tag t;
    const char *p = condition;
    if (any(condition)) return true;
    do
        if (!next(&t, &p)) return false;
    while (*p);
    return true;
}

bool etag_listed(const char *condition, const char *wanted, bool weak) {
    tag t;
    if (any(condition)) return true;
    for (const char *p = condition; *p && next(&t, &p);)
        if ((weak || !t.weak) && t.size == strlen(wanted) && memcmp(t.at, wanted, t.size) == 0) return true;
    return false;
}
