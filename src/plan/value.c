/* Reading one value that is neither a list nor an object: into SI, held against its row of the table. */
#include "read.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "text.h"

/* "http://" or "https://", then ASCII that can be seen. */
static bool is_address(const char *s) {
    bool secure = strncmp(s, "https://", 8) == 0;
    if (!secure && strncmp(s, "http://", 7) != 0) return false;
    s += secure ? 8 : 7;
    if (*s == 0 || *s == '/') return false;
    while (*s > ' ' && *s < 0x7f) s++;
    return *s == 0;
}

static bool read_text(reader *r, int token, const shape *s, const field *f, char *at) {
    if (r->json.tokens[token].type != JSMN_STRING) return plan_unlike(r, token, s, f, NULL);
    bool whole = json_string(&r->json, token, at, s->room);
    char remedy[200], found[96];
    snprintf(remedy, sizeof remedy, "Write, for example, \"%s\": %s.", f->key, f->example);
    for (const char *c = at; *c; c++) {
        bool control = (unsigned char)*c < 0x20 || *c == 0x7f;
        if (control && !(s->lines && (*c == '\n' || *c == '\t')))
            return plan_fault(r, token, r->path, LW_ERROR_PLAN, remedy, "the text has a control character");
    }
    if (!whole && strlen(at) + 5 < s->room)
        return plan_fault(r, token, r->path, LW_ERROR_PLAN, remedy, "the text has a control character");
    if (!whole) {
        plan_quote(found, 40, at);
        return plan_fault(r, token, r->path, LW_ERROR_LIMIT, "Shorten it.",
                          "the text %s is longer than the %d bytes there is room for", found,
                          (int)s->room - 1);
    }
    if (s->address && !is_address(at)) return plan_unlike(r, token, s, f, NULL);
    if (*at == 0 && !s->lines)
        return plan_fault(r, token, r->path, LW_ERROR_PLAN, remedy, "the text is empty");
    return true;
}

/* "3/8" or "4 1/2"; at most four digits each. */
static bool fraction(const char *p, double *value) {
    int n[3] = {0}, parts = 0;
    bool slash = false, space = false;
    while (*p >= '0' && *p <= '9' && parts < 3) {
        int digits = 0;
        for (; *p >= '0' && *p <= '9'; p++, digits++) {
            if (digits == 4) return false;
            n[parts] = n[parts] * 10 + (*p - '0');
        }
        parts++;
        if (*p == ' ' && parts == 1) {
            space = true;
            p++;
        } else if (*p == '/' && !slash && parts == (space ? 2 : 1)) {
            slash = true;
            p++;
        } else {
            break;
        }
    }
    if (*p || !slash || parts != (space ? 3 : 2) || n[parts - 1] == 0) return false;
    *value = (space ? n[0] : 0) + (double)n[parts - 2] / n[parts - 1];
    return true;
}

static bool number_of(reader *r, int token, const shape *s, double *value) {
    if (json_is_number(&r->json, token)) {
        *value = json_number(&r->json, token);
        return true;
    }
    char written[LW_NAME_MAX];
    if (r->json.tokens[token].type != JSMN_STRING || !json_string(&r->json, token, written, sizeof written))
        return false;
    for (int i = 0; i < s->word_count; i++)
        if (!strcmp(written, s->words[i].text)) {
            *value = s->words[i].value;
            return true;
        }
    return s->fraction && fraction(written, value);
}

static bool out_of_range(reader *r, int token, const shape *s, const field *f) {
    char shown[PLAN_SHOWN], found[PLAN_SHOWN + 32];
    json_show(&r->json, token, shown, sizeof shown);
    snprintf(found, sizeof found, "%s%s", shown, unit_suffix(s->unit, r->units));
    return plan_unlike(r, token, s, f, found);
}

static bool read_number(reader *r, int token, const shape *s, const field *f, char *at) {
    double value;
    if (!number_of(r, token, s, &value)) return plan_unlike(r, token, s, f, NULL);
    double in_table = s->unit == UNIT_LENGTH ? value * unit_metre(r->units) / unit_metre(LW_CM) : value;
    /* A bound written in inches is not quite itself in centimetres. */
    double low = s->low - 1e-9 * fabs(s->low), high = s->high + 1e-9 * fabs(s->high);
    if (!(in_table >= low && in_table <= high)) return out_of_range(r, token, s, f);
    double si = value * unit_si(s->unit, r->units) + 0.0; /* + 0: no negative zero */
    memcpy(at, &si, sizeof si);
    return true;
}

static bool read_whole(reader *r, int token, const shape *s, const field *f, char *at) {
    if (!json_is_number(&r->json, token)) return plan_unlike(r, token, s, f, NULL);
    double value = json_number(&r->json, token);
    if (!(value >= s->low && value <= s->high) || value != floor(value)) return out_of_range(r, token, s, f);
    if (s->room == sizeof(uint64_t)) {
        uint64_t n = (uint64_t)value;
        memcpy(at, &n, sizeof n);
    } else {
        int n = (int)value;
        memcpy(at, &n, sizeof n);
    }
    return true;
}

static bool read_flag(reader *r, int token, const shape *s, const field *f, char *at) {
    char c = r->json.text[r->json.tokens[token].start];
    if (r->json.tokens[token].type != JSMN_PRIMITIVE || (c != 't' && c != 'f'))
        return plan_unlike(r, token, s, f, NULL);
    bool value = c == 't';
    memcpy(at, &value, sizeof value);
    return true;
}

static bool no_such_word(reader *r, int token, const shape *s, const field *f, const char *written,
                         const char *best) {
    char quoted[PLAN_SHOWN], found[200];
    plan_quote(quoted, sizeof quoted, written);
    if (!best) return plan_unlike(r, token, s, f, NULL);
    snprintf(found, sizeof found, "%s (did you mean \"%s\"?)", quoted, best);
    return plan_unlike(r, token, s, f, found);
}

static bool read_word(reader *r, int token, const shape *s, const field *f, char *at) {
    char written[LW_NAME_MAX];
    const char *best = NULL;
    int least = WORD_FAR;
    if (r->json.tokens[token].type != JSMN_STRING || !json_string(&r->json, token, written, sizeof written))
        return plan_unlike(r, token, s, f, NULL);
    for (int i = 0; i < s->word_count; i++) {
        const word *w = &s->words[i];
        word_nearer(written, w->text, &best, &least);
        if (strcmp(written, w->text) != 0) continue;
        if (s->kind == SHAPE_HEADING) {
            lw_hold *hold = (lw_hold *)(void *)at;
            hold->bearing = w->value * unit_si(UNIT_DEGREES, r->units);
            hold->rise = w->second * unit_si(UNIT_DEGREES, r->units);
        } else {
            int value = (int)w->value;
            memcpy(at + s->word_at, &value, sizeof value);
        }
        return true;
    }
    return no_such_word(r, token, s, f, written, best);
}

static bool read_landmark(reader *r, int token, const shape *s, const field *f, char *at) {
    char written[LW_NAME_MAX];
    if (r->json.tokens[token].type != JSMN_STRING || !json_string(&r->json, token, written, sizeof written))
        return plan_unlike(r, token, s, f, NULL);
    lw_place found = {.from = lw_landmark_find(written), .to = -1};
    memcpy(at, &found, s->room == sizeof found ? sizeof found : sizeof found.from);
    if (found.from >= 0) return true;
    const char *best = NULL;
    int least = WORD_FAR;
    for (int i = 0; i < LW_LANDMARK_COUNT; i++)
        word_nearer(written, lw_landmark_name((lw_landmark)i), &best, &least);
    return no_such_word(r, token, s, f, written, best);
}

bool plan_read_scalar(reader *r, int token, const shape *s, const field *f, char *at) {
    switch (s->kind) {
    case SHAPE_TEXT:
        return read_text(r, token, s, f, at);
    case SHAPE_NUMBER:
        return read_number(r, token, s, f, at);
    case SHAPE_WHOLE:
        return read_whole(r, token, s, f, at);
    case SHAPE_FLAG:
        return read_flag(r, token, s, f, at);
    case SHAPE_WORD:
    case SHAPE_HEADING:
        return read_word(r, token, s, f, at);
    default:
        return read_landmark(r, token, s, f, at);
    }
}
