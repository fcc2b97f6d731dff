/* Splitting and decoding a request's target (RFC 9112, 3.2; RFC 3986), once and strictly.
 *
 * A path decoded twice, or differently by two readers, is how files get out that were never offered. So there
 * is one decoder; what two readers could take differently is refused: an encoded slash, backslashes, control
 * characters, "..", empty parts, bytes that are not UTF-8, a name given twice.
 */
#include "target.h"

#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "utf8.h"

static lw_status wrong(lw_error *error, const char *what) {
    return fail(error, LW_ERROR_SYNTAX, "address", "Write the address as docs/serve.md has it.", "%s", what);
}

static int digit(char c) {
    const char *all = "0123456789abcdef", *found = c ? strchr(all, c | 0x20) : NULL;
    return found && (c < 'G' || c > 'Z') ? (int)(found - all) : -1;
}

/* One character of what is encoded at *from; -1 where it is none. */
static int decoded(const char **from, bool query) {
    const char *p = *from;
    if (*p == '%') {
        int high = digit(p[1]), low = high < 0 ? -1 : digit(p[2]);
        *from = p + 3;
        return low < 0 ? -1 : 16 * high + low;
    }
    *from = p + 1;
    return query && *p == '+' ? ' ' : (unsigned char)*p;
}

static bool decode(char *text, bool query) {
    const char *from = text;
    char *to = text;
    while (*from) {
        bool encoded = *from == '%';
        int c = decoded(&from, query);
        bool line = query && (c == '\n' || c == '\t' || c == '\r');
        if (c < 0 || (c < 0x20 && !line) || c == 0x7f) return false;
        if (!query && (c == '\\' || (encoded && c == '/'))) return false;
        *to++ = (char)c;
    }
    *to = 0;
    return true;
}

static bool is_utf8(const char *text) {
    for (size_t left = strlen(text), n; left > 0; text += n, left -= n)
        if ((n = utf8_size(text, left)) == 0) return false;
    return true;
}

/* No part is empty or made of dots alone, but the last may be empty. */
static bool plain_parts(const char *path) {
    for (const char *part = path; *part == '/';) {
        size_t length = strcspn(++part, "/"), dots = strspn(part, ".");
        bool last = part[length] == 0;
        if (length == 0 && !last) return false;
        if (length > 0 && dots == length) return false;
        part += length;
    }
    return true;
}

static lw_status read_pair(target *out, char *text, lw_error *error) {
    char *equals = strchr(text, '=');
    if (equals) *equals = 0;
    char *value = equals ? equals + 1 : text + strlen(text);
    if (!decode(text, true) || !decode(value, true) || !is_utf8(text) || !is_utf8(value))
        return wrong(error, "what follows the ? is not well encoded");
    if (target_value(out, text)) return wrong(error, "something is asked for twice");
    if (out->count == TARGET_PAIRS_MAX) return wrong(error, "too much follows the ?");
    out->pair[out->count++] = (target_pair){text, value};
    return LW_OK;
}

static lw_status read_query(target *out, char *query, lw_error *error) {
    while (query && *query) {
        char *next = strchr(query, '&');
        if (next) *next++ = 0;
        lw_status status = *query ? read_pair(out, query, error) : LW_OK;
        if (status) return status;
        query = next;
    }
    return LW_OK;
}

lw_status target_read(target *out, char *raw, lw_error *error) {
    *out = (target){.path = raw};
    if (strcmp(raw, "*") == 0) return LW_OK;
    char *query = strchr(raw, '?');
    if (query) *query++ = 0;
    if (raw[0] != '/' || strchr(raw, '#')) return wrong(error, "the address does not begin with a slash");
    if (!decode(raw, false) || !is_utf8(raw) || !plain_parts(raw))
        return wrong(error, "the address is not well formed");
    return read_query(out, query, error);
}

const char *target_value(const target *t, const char *name) {
    for (int i = 0; i < t->count; i++)
        if (strcmp(t->pair[i].name, name) == 0) return t->pair[i].value;
    return NULL;
}
