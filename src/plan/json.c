/* JSON text as tokens that know their place.
 *
 * jsmn finds the tokens, but even its strict mode lets through text that is not JSON ("{1 2}", "[1,]",
 * trailing words, 01, bare control characters, half surrogates, broken UTF-8). So the text is first held
 * against RFC 8259 byte by byte, which finds the exact place of the first fault and says it in plain
 * words, and counts the tokens, so that one allocation of known size is enough. What reaches jsmn is JSON.
 *
 * Invariant: nesting is at most JSON_DEPTH_MAX, tokens at most JSON_TOKENS_MAX; every step is linear in
 * the text.
 */
#define LW_PLAN_JSON_C
#include "json.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "utf8.h"

typedef struct scan {
    const char *text;
    size_t size, at;
    int depth, tokens;
    lw_error *error;
} scan;

void json_where_byte(const char *text, size_t at, int *line, int *column) {
    *line = 1;
    size_t start = 0;
    for (size_t i = 0; i < at; i++)
        if (text[i] == '\n') {
            ++*line;
            start = i + 1;
        }
    *column = (int)(at - start) + 1;
}

static bool fault(scan *s, size_t at, lw_status status, const char *message, const char *remedy) {
    lw_error *e = s->error;
    e->status = status;
    json_where_byte(s->text, at, &e->line, &e->column);
    e->place[0] = 0;
    snprintf(e->message, sizeof e->message, "%s", message);
    snprintf(e->remedy, sizeof e->remedy, "%s", remedy);
    return false;
}

static bool wrong(scan *s, const char *message, const char *remedy) {
    return fault(s, s->at, LW_ERROR_SYNTAX, message, remedy);
}

/* The byte ahead, or -1 at the end of the text. */
static int ahead(const scan *s) { return s->at < s->size ? (unsigned char)s->text[s->at] : -1; }

static void skip_space(scan *s) {
    for (int c = ahead(s); c == ' ' || c == '\t' || c == '\r' || c == '\n'; c = ahead(s)) s->at++;
}

/* What stands where something else was expected. */
static bool unexpected(scan *s, const char *expected, const char *remedy) {
    char message[200];
    int c = ahead(s);
    if (c < 0)
        snprintf(message, sizeof message, "the text ends where %s was expected", expected);
    else if (c == 0)
        snprintf(message, sizeof message, "found a zero byte where %s was expected", expected);
    else if (c < 0x20 || c >= 0x7f)
        snprintf(message, sizeof message, "found the byte 0x%02X where %s was expected", (unsigned)c,
                 expected);
    else
        snprintf(message, sizeof message, "found %c where %s was expected", c, expected);
    return wrong(s, message, remedy);
}

static bool count_token(scan *s) {
    if (++s->tokens <= JSON_TOKENS_MAX) return true;
    return fault(s, s->at, LW_ERROR_LIMIT, "the plan holds more than 65536 values",
                 "A plan of a few hundred steps is far smaller; check that this is the right file.");
}

/* Four hexadecimal digits as a number, -1 where they are not. */
static int hex4(const char *p, size_t left) {
    int value = 0;
    if (left < 4) return -1;
    for (int i = 0; i < 4; i++) {
        char c = p[i];
        int digit = c >= '0' && c <= '9'   ? c - '0'
                    : c >= 'a' && c <= 'f' ? c - 'a' + 10
                    : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                           : -1;
        if (digit < 0) return -1;
        value = value * 16 + digit;
    }
    return value;
}

static bool high_surrogate(int unit) { return unit >= 0xD800 && unit < 0xDC00; }
static bool low_surrogate(int unit) { return unit >= 0xDC00 && unit < 0xE000; }

/* After the backslash. */
static bool escape(scan *s) {
    int c = ahead(s);
    if (c > 0 && strchr("\"\\/bfnrt", c)) {
        s->at++;
        return true;
    }
    if (c != 'u')
        return unexpected(s, "an escape such as \\n or \\\"", "Write a backslash itself as two: \\\\.");
    int unit = hex4(s->text + s->at + 1, s->size - s->at - 1);
    if (unit < 0)
        return wrong(s, "\\u is not followed by four hexadecimal digits", "Write, for example, \\u00e9.");
    bool paired = !high_surrogate(unit) && !low_surrogate(unit);
    if (high_surrogate(unit) && s->size - s->at > 10 && !memcmp(s->text + s->at + 5, "\\u", 2) &&
        low_surrogate(hex4(s->text + s->at + 7, s->size - s->at - 7))) {
        paired = true;
        s->at += 6;
    }
    if (!paired)
        return wrong(s, "half of a surrogate pair stands alone, so it is no character",
                     "Write the character itself in UTF-8, or both halves, such as \\ud83d\\ude00.");
    s->at += 5;
    return true;
}

static bool string(scan *s) {
    size_t start = s->at++;
    if (!count_token(s)) return false;
    for (;;) {
        int c = ahead(s);
        if (c < 0)
            return fault(s, start, LW_ERROR_SYNTAX, "this text in quotes has no closing quote",
                         "Close it with \".");
        if (c == '"') break;
        if (c == '\n' || c == '\r')
            return fault(s, start, LW_ERROR_SYNTAX, "this text in quotes has no closing quote on its line",
                         "Close it with \"; write a new line inside a text as \\n.");
        if (c < 0x20)
            return wrong(s, "a control character stands in a text", "Take it out; a tab is written \\t.");
        if (c == '\\') {
            s->at++;
            if (!escape(s)) return false;
            continue;
        }
        size_t n = utf8_size(s->text + s->at, s->size - s->at);
        if (n == 0) return wrong(s, "this byte is not UTF-8", "Save the file as UTF-8.");
        s->at += n;
    }
    s->at++;
    return true;
}

static bool digit(int c) { return c >= '0' && c <= '9'; }

static bool digits(scan *s) {
    if (!digit(ahead(s))) return unexpected(s, "a digit", "Write numbers like 12, -3 or 0.5.");
    while (digit(ahead(s))) s->at++;
    return true;
}

static bool number(scan *s) {
    if (!count_token(s)) return false;
    if (ahead(s) == '-') s->at++;
    if (ahead(s) == '0') {
        s->at++;
        if (digit(ahead(s))) return wrong(s, "a number begins with a needless 0", "Write 5, not 05.");
    } else if (!digits(s)) {
        return false;
    }
    if (ahead(s) == '.') {
        s->at++;
        if (!digits(s)) return false;
    }
    if (ahead(s) == 'e' || ahead(s) == 'E') {
        s->at++;
        if (ahead(s) == '+' || ahead(s) == '-') s->at++;
        if (!digits(s)) return false;
    }
    return true;
}

static bool literal(scan *s, const char *word) {
    size_t n = strlen(word);
    if (s->size - s->at < n || memcmp(s->text + s->at, word, n) != 0)
        return wrong(s, "found a word without quotes",
                     "Write texts in double quotes; only true, false and null go without.");
    s->at += n;
    return count_token(s);
}

static bool value(scan *s);

static bool deeper(scan *s) {
    if (++s->depth <= JSON_DEPTH_MAX) return count_token(s);
    return fault(s, s->at, LW_ERROR_LIMIT, "the plan is nested more than 32 deep",
                 "No field of a plan is nested more than 8 deep; take the extra brackets away.");
}

/* After an element: true with *more where a comma leads to another, true without at the closing bracket. */
static bool comma(scan *s, int close, bool *more) {
    skip_space(s);
    *more = ahead(s) == ',';
    if (!*more && ahead(s) != close)
        return unexpected(s, close == '}' ? "a comma or }" : "a comma or ]",
                          "Put a comma between two entries and close the bracket after the last.");
    size_t at = s->at++;
    skip_space(s);
    if (*more && ahead(s) == close)
        return fault(s, at, LW_ERROR_SYNTAX, "a comma stands after the last entry", "Take the comma away.");
    return true;
}

static bool object(scan *s) {
    if (!deeper(s)) return false;
    s->at++;
    skip_space(s);
    bool more = ahead(s) != '}';
    if (!more) s->at++;
    while (more) {
        if (ahead(s) != '"')
            return unexpected(s, "a key in double quotes", "Write keys like \"length\": 12.");
        if (!string(s)) return false;
        skip_space(s);
        if (ahead(s) != ':')
            return unexpected(s, "a colon after the key", "Write, for example, \"length\": 12.");
        s->at++;
        skip_space(s);
        if (!value(s) || !comma(s, '}', &more)) return false;
    }
    s->depth--;
    return true;
}

static bool array(scan *s) {
    if (!deeper(s)) return false;
    s->at++;
    skip_space(s);
    bool more = ahead(s) != ']';
    if (!more) s->at++;
    while (more)
        if (!value(s) || !comma(s, ']', &more)) return false;
    s->depth--;
    return true;
}

static bool value(scan *s) {
    int c = ahead(s);
    if (c == '{') return object(s);
    if (c == '[') return array(s);
    if (c == '"') return string(s);
    if (c == '-' || digit(c)) return number(s);
    if (c == 't') return literal(s, "true");
    if (c == 'f') return literal(s, "false");
    if (c == 'n') return literal(s, "null");
    if (c == '\'') return wrong(s, "found a single quote", "Write texts in double quotes, such as \"nape\".");
    if (c == '/' || c == '#')
        return wrong(s, "found what looks like a comment", "Plans have no comments; use \"note\".");
    if (c == '+' || c == '.')
        return wrong(s, "a number begins with + or a point", "Write 0.5, not .5, and no + before it.");
    if (c == 'N' || c == 'I')
        return wrong(s, "found a word without quotes",
                     "NaN and Infinity are no numbers here; write a number such as 12.");
    if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'))
        return wrong(s, "found a word without quotes", "Write texts in double quotes, such as \"nape\".");
    return unexpected(s, "a value", "Write a number, a text in double quotes, true, false, [ ] or { }.");
}

static bool check(scan *s) {
    if (s->size > JSON_SIZE_MAX)
        return fault(s, 0, LW_ERROR_LIMIT, "the plan is larger than 4 MiB",
                     "A plan of a few hundred steps is far smaller; check that this is the right file.");
    skip_space(s);
    if (s->at == s->size)
        return wrong(s, "the text is empty",
                     "Begin with {\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\", ...}.");
    if (!value(s)) return false;
    skip_space(s);
    if (s->at < s->size) return unexpected(s, "the end of the text", "Remove what follows the last bracket.");
    return true;
}

lw_status json_read(json *out, const char *text, size_t size, lw_error *error) {
    *out = (json){0};
    if (size >= 3 && !memcmp(text, "\xEF\xBB\xBF", 3)) { /* some editors begin a file so */
        text += 3;
        size -= 3;
    }
    scan s = {.text = text, .size = size, .error = error};
    if (!check(&s)) return error->status;
    jsmntok_t *tokens = malloc((size_t)s.tokens * sizeof *tokens);
    if (!tokens) {
        fault(&s, 0, LW_ERROR_MEMORY, "there is not enough memory to read the plan",
              "Close something and try again.");
        return error->status;
    }
    jsmn_parser parser;
    jsmn_init(&parser);
    /* Strict jsmn wants something after a number: only a plan that is nothing but a number has none. */
    int count = jsmn_parse(&parser, text, size, tokens, (unsigned)s.tokens);
    if (count != s.tokens) {
        free(tokens);
        fault(&s, 0, LW_ERROR_SYNTAX, "the text is not an object", "Begin with { and end with }.");
        return error->status;
    }
    *out = (json){.text = text, .size = size, .tokens = tokens, .count = count};
    return LW_OK;
}

void json_clear(json *j) {
    free(j->tokens);
    *j = (json){0};
}

int json_next(const json *j, int token) {
    int end = j->tokens[token].end;
    int next = token + 1;
    while (next < j->count && j->tokens[next].start < end) next++;
    return next;
}

int json_member(const json *j, int object_token, const char *key) {
    const jsmntok_t *t = &j->tokens[object_token];
    if (t->type != JSMN_OBJECT) return -1;
    int at = object_token + 1;
    for (int i = 0; i < t->size; i++, at = json_next(j, at + 1)) {
        char text[LW_NAME_MAX];
        if (json_string(j, at, text, sizeof text) && !strcmp(text, key)) return at + 1;
    }
    return -1;
}

int json_element(const json *j, int array_token, int i) {
    const jsmntok_t *t = &j->tokens[array_token];
    if (t->type != JSMN_ARRAY || i < 0 || i >= t->size) return -1;
    int at = array_token + 1;
    while (i-- > 0) at = json_next(j, at);
    return at;
}

bool json_is_number(const json *j, int token) {
    char c = j->text[j->tokens[token].start];
    return j->tokens[token].type == JSMN_PRIMITIVE && (c == '-' || digit(c));
}

/* One character of a checked string: its bytes in out, how many in *n; returns the bytes of text it took. */
static size_t decode(const char *p, size_t left, char out[4], size_t *n) {
    if (*p != '\\') {
        *n = utf8_size(p, left);
        memcpy(out, p, *n);
        return *n;
    }
    static const char names[] = "bfnrt", codes[] = "\b\f\n\r\t";
    const char *simple = strchr(names, p[1]);
    *n = 1;
    if (p[1] != 'u') {
        out[0] = simple ? codes[simple - names] : p[1];
        return 2;
    }
    int unit = hex4(p + 2, left - 2);
    if (!high_surrogate(unit)) {
        *n = utf8_put(out, (unsigned)unit);
        return 6;
    }
    int low = hex4(p + 8, left - 8);
    *n = utf8_put(out, 0x10000u + ((unsigned)(unit - 0xD800) << 10) + (unsigned)(low - 0xDC00));
    return 12;
}

bool json_string(const json *j, int token, char *out, size_t room) {
    size_t at = (size_t)j->tokens[token].start, end = (size_t)j->tokens[token].end, size = 0;
    bool whole = true;
    while (at < end && whole) {
        char c[4];
        size_t n;
        at += decode(j->text + at, end - at, c, &n);
        whole = size + n < room && c[0] != 0;
        if (!whole) break;
        memcpy(out + size, c, n);
        size += n;
    }
    out[size] = 0;
    return whole;
}

/* The exponent that starts at p, or 0 where the number ends without one; held to 100,000,000 either way. */
static long written_exponent(const char *p, const char *end) {
    if (p == end) return 0;
    p++;
    bool minus = p < end && *p == '-';
    if (p < end && (*p == '-' || *p == '+')) p++;
    long size = 0;
    for (; p < end; p++) size = size < 10000000 ? 10 * size + (*p - '0') : 100000000;
    return minus ? -size : size;
}

/* Rewritten as a whole number with an exponent, so that strtod rounds correctly and no locale's
 * decimal comma can enter. Digits beyond 800 cannot change a double by more than its last bit: dropped. */
double json_number(const json *j, int token) {
    enum { KEEP = 800 };
    char digits_only[KEEP + 32];
    const char *p = j->text + j->tokens[token].start, *end = j->text + j->tokens[token].end;
    size_t n = 0;
    long exponent = 0;
    bool fraction = false, significant = false;
    if (*p == '-') digits_only[n++] = *p++;
    for (; p < end && *p != 'e' && *p != 'E'; p++) {
        if (*p == '.') {
            fraction = true;
            continue;
        }
        significant = significant || *p != '0';
        bool kept = significant && n < KEEP;
        if (kept) digits_only[n++] = *p;
        if (fraction && (kept || !significant)) exponent--;
        if (!fraction && significant && !kept) exponent++;
    }
    if (!significant) return 0;
    exponent += written_exponent(p, end);
    snprintf(digits_only + n, sizeof digits_only - n, "e%ld", exponent);
    return strtod(digits_only, NULL);
}

void json_where(const json *j, int token, int *line, int *column) {
    const jsmntok_t *t = &j->tokens[token];
    json_where_byte(j->text, (size_t)(t->start - (t->type == JSMN_STRING)), line, column);
}

void json_show(const json *j, int token, char *out, size_t room) {
    const jsmntok_t *t = &j->tokens[token];
    size_t at = (size_t)t->start, end = (size_t)t->end, size = 0;
    bool quoted = t->type == JSMN_STRING;
    if (t->type == JSMN_OBJECT || t->type == JSMN_ARRAY) {
        snprintf(out, room, "%s", t->type == JSMN_OBJECT ? "an object { }" : "a list [ ]");
        return;
    }
    if (quoted) out[size++] = '"';
    while (at < end) {
        size_t n = utf8_size(j->text + at, end - at);
        if (size + n + 5 > room) {
            memcpy(out + size, "...", 3);
            size += 3;
            break;
        }
        memcpy(out + size, j->text + at, n);
        size += n;
        at += n;
    }
    if (quoted) out[size++] = '"';
    out[size] = 0;
}
