/* Walking through JSON text (RFC 8259) in order, without building anything.
 *
 * The book's own form is flat, and what is deep in it are plans, which have a reader of their own: so they
 * are stepped over by their brackets, handed to it as they stand, and stay as they were written to the byte.
 * Depth is bounded, time linear. A fault stops everything after it.
 */
#include "scan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "utf8.h"

enum { DEPTH_MAX = 64 };

void scan_where(const char *text, size_t at, int *line, int *column) {
    size_t start = 0;
    *line = 1;
    for (const char *c = text; (c = memchr(c, '\n', at - (size_t)(c - text))) != NULL;) {
        ++*line;
        start = (size_t)(++c - text);
    }
    *column = (int)(at - start) + 1;
}

scan scan_begin(const char *text, size_t size, lw_error *error) {
    *error = (lw_error){0};
    scan s = {.text = text, .size = size, .error = error};
    if (size >= 3 && !memcmp(text, "\xEF\xBB\xBF", 3)) s.at = 3; /* some editors begin a file so */
    return s;
}

bool scan_fault(scan *s, lw_status status, const char *message, const char *remedy) {
    lw_error *e = s->error;
    if (e->status != LW_OK) return false;
    e->status = status;
    scan_where(s->text, s->at, &e->line, &e->column);
    snprintf(e->message, sizeof e->message, "%s", message);
    snprintf(e->remedy, sizeof e->remedy, "%s", remedy);
    return false;
}

static bool wrong(scan *s, const char *message, const char *remedy) {
    return scan_fault(s, LW_ERROR_SYNTAX, message, remedy);
}

static int ahead(const scan *s) { return s->at < s->size ? (unsigned char)s->text[s->at] : -1; }

static void skip_space(scan *s) {
    for (int c = ahead(s); c == ' ' || c == '\t' || c == '\r' || c == '\n'; c = ahead(s)) s->at++;
}

size_t scan_here(scan *s) {
    skip_space(s);
    return s->at;
}

static bool expect(scan *s, char wanted) {
    char message[64];
    if (s->error->status != LW_OK) return false;
    skip_space(s);
    if (ahead(s) == wanted) {
        s->at++;
        return true;
    }
    snprintf(message, sizeof message,
             ahead(s) < 0 ? "the text ends where %c was expected" : "expected %c here", wanted);
    return wrong(s, message, "Is the file whole, and is it what it is said to be?");
}

bool scan_open(scan *s, char bracket) { return expect(s, bracket); }

bool scan_more(scan *s, char bracket, bool *first) {
    if (s->error->status != LW_OK) return false;
    skip_space(s);
    if (ahead(s) == bracket) {
        s->at++;
        return false;
    }
    if (*first) {
        *first = false;
        return true;
    }
    return expect(s, ',');
}

/* ---- strings ------------------------------------------------------------------------------ */

static int hex4(const char *p, size_t left) {
    char digits[5] = "";
    if (left < 4) return -1;
    memcpy(digits, p, 4);
    return strspn(digits, "0123456789abcdefABCDEF") == 4 ? (int)strtol(digits, NULL, 16) : -1;
}

/* At a backslash; the bytes it stands for, 0 after a fault. */
static size_t escape(scan *s, char *out) {
    static const char names[] = "\"\\/bfnrt", values[] = "\"\\/\b\f\n\r\t";
    const char *p = s->text + s->at;
    size_t left = s->size - s->at;
    const char *name = left > 1 && p[1] ? strchr(names, p[1]) : NULL;
    if (name) {
        s->at += 2;
        *out = values[name - names];
        return 1;
    }
    int unit = left > 5 && p[1] == 'u' ? hex4(p + 2, left - 2) : -1;
    size_t taken = 6;
    if (unit >= 0xD800 && unit < 0xDC00) {
        int low = left > 11 && p[6] == '\\' && p[7] == 'u' ? hex4(p + 8, left - 8) : -1;
        unit = low >= 0xDC00 && low < 0xE000 ? 0x10000 + ((unit - 0xD800) << 10) + (low - 0xDC00) : -1;
        taken = 12;
    }
    if (unit <= 0 || (unit >= 0xDC00 && unit < 0xE000))
        return wrong(s, "this is no character", "Write the character itself, in UTF-8.");
    s->at += taken;
    return utf8_put(out, (unsigned)unit);
}

/* From after the opening quote to after the closing one. The bytes are at most as many as those of the text.
 */
static bool decode(scan *s, char *out, size_t room) {
    size_t used = 0;
    for (;;) {
        int c = ahead(s);
        if (c == '"') break;
        if (c < 0x20) return wrong(s, "this text has no closing quote on its line", "Close it with \".");
        char bytes[4];
        size_t n = c == '\\' ? escape(s, bytes) : utf8_size(s->text + s->at, s->size - s->at);
        if (n == 0) return wrong(s, "this byte is not UTF-8", "Save the file as UTF-8.");
        if (c != '\\') {
            memcpy(bytes, s->text + s->at, n);
            s->at += n;
        }
        if (used + n >= room) return scan_fault(s, LW_ERROR_LIMIT, "this text is too long", "Shorten it.");
        memcpy(out + used, bytes, n);
        used += n;
    }
    s->at++;
    out[used] = 0;
    return true;
}

bool scan_key(scan *s, char *out, size_t room) {
    out[0] = 0;
    return expect(s, '"') && decode(s, out, room) && expect(s, ':');
}

char *scan_text(scan *s, size_t most) {
    if (!expect(s, '"')) return NULL;
    size_t length = 0;
    while (s->at + length < s->size && s->text[s->at + length] != '"')
        length += s->text[s->at + length] == '\\' ? 2 : 1;
    size_t room = (length < most ? length : most) + 1;
    char *out = malloc(room);
    if (!out) {
        scan_fault(s, LW_ERROR_MEMORY, "out of memory", "Close something and try again.");
        return NULL;
    }
    if (decode(s, out, room)) return out;
    free(out);
    return NULL;
}

/* ---- other values ------------------------------------------------------------------------- */

int64_t scan_whole(scan *s) {
    char digits[24] = "";
    size_t n = 0;
    if (s->error->status != LW_OK) return 0;
    skip_space(s);
    while (n < sizeof digits - 1 && ahead(s) >= '0' && ahead(s) <= '9') digits[n++] = s->text[s->at++];
    int next = ahead(s);
    bool ends = next == ',' || next == '}' || next == ']' || next == ' ' || next == '\n' || next == '\r' ||
                next == '\t';
    if (n == 0 || n > 18 || digits[0] == '0' || !ends) {
        s->at -= n;
        wrong(s, "expected a whole number from 1 up", "Write, for example, 12.");
        return 0;
    }
    return strtoll(digits, NULL, 10);
}

static bool step_over_string(scan *s) {
    for (s->at++; ahead(s) != '"'; s->at++) {
        if (ahead(s) == '\\') s->at++;
        if (ahead(s) < 0) return wrong(s, "the text ends inside quotes", "Is the file whole?");
    }
    s->at++;
    return true;
}

static bool step_over_brackets(scan *s) {
    char open[DEPTH_MAX];
    int depth = 0;
    do {
        int c = ahead(s);
        if (c < 0) return wrong(s, "the text ends inside brackets", "Is the file whole?");
        if (c == '"') {
            if (!step_over_string(s)) return false;
            continue;
        }
        if (c == '{' || c == '[') {
            if (depth == DEPTH_MAX)
                return scan_fault(s, LW_ERROR_LIMIT, "this is nested too deep", "Flatten it.");
            open[depth++] = (char)c;
        } else if (c == '}' || c == ']') {
            if (open[--depth] != (c == '}' ? '{' : '['))
                return wrong(s, "this bracket closes another kind", "Mend it.");
        }
        s->at++;
    } while (depth > 0);
    return true;
}

bool scan_object(scan *s, const char **start, size_t *size) {
    if (!expect(s, '{')) return false;
    size_t begin = --s->at;
    if (!step_over_brackets(s)) return false;
    *start = s->text + begin;
    *size = s->at - begin;
    return true;
}

bool scan_value(scan *s, const char **start, size_t *size) {
    if (s->error->status != LW_OK) return false;
    skip_space(s);
    size_t begin = s->at;
    int c = ahead(s);
    if (c == '"') {
        if (!step_over_string(s)) return false;
    } else if (c == '{' || c == '[') {
        if (!step_over_brackets(s)) return false;
    } else {
        while (ahead(s) > 0x20 && !strchr(",]}", ahead(s))) s->at++;
        if (s->at == begin) return wrong(s, "expected a value here", "Is the file whole?");
    }
    *start = s->text + begin;
    *size = s->at - begin;
    return true;
}

bool scan_end(scan *s) {
    if (s->error->status != LW_OK) return false;
    skip_space(s);
    return s->at == s->size ||
           wrong(s, "expected the end of the text", "Remove what follows the last bracket.");
}
