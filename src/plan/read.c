/* Reading a plan: the JSON is walked along the table of fields, and nothing that the table does not know
 * gets through. A fault is told where it is found, with its place, and reading stops; nothing is guessed.
 *
 * Invariant: whatever the text, a failed read leaves the caller an empty plan and frees everything. Recursion
 * follows the table, so its depth is that of the table; objects have few fields and lists a ceiling, so time
 * and memory are linear in the text.
 */
#include "read.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "explain.h"
#include "text.h"

enum { FIELDS_MAX = 32, SHOWN = 60 };

/* ---- faults ------------------------------------------------------------------------------- */

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

/* ---- the path ----------------------------------------------------------------------------- */

static size_t path_key(reader *r, const char *key) {
    size_t before = r->path_size;
    int n = snprintf(r->path + before, sizeof r->path - before, "%s%s", before ? "." : "", key);
    if (n > 0 && before + (size_t)n < sizeof r->path) r->path_size = before + (size_t)n;
    return before;
}

static size_t path_index(reader *r, int i) {
    size_t before = r->path_size;
    int n = snprintf(r->path + before, sizeof r->path - before, "[%d]", i);
    if (n > 0 && before + (size_t)n < sizeof r->path) r->path_size = before + (size_t)n;
    return before;
}

static void path_back(reader *r, size_t before) {
    r->path_size = before;
    r->path[before] = 0;
}

/* ---- what was found and what was expected ------------------------------------------------- */

static bool unlike(reader *r, int token, const shape *s, const field *f, const char *found) {
    text takes = {0};
    plan_takes(&takes, s, r->units);
    char remedy[384], shown[SHOWN];
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

/* ---- values ------------------------------------------------------------------------------- */

static bool read_value(reader *r, int token, const shape *s, const field *f, char *object, char *at);

static bool read_text(reader *r, int token, const shape *s, const field *f, char *at) {
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
    char shown[SHOWN], found[SHOWN + 32];
    json_show(&r->json, token, shown, sizeof shown);
    snprintf(found, sizeof found, "%s%s", shown, unit_suffix(s->unit, r->units));
    return unlike(r, token, s, f, found);
}

static bool read_number(reader *r, int token, const shape *s, const field *f, char *at) {
    double value;
    if (!number_of(r, token, s, &value)) return unlike(r, token, s, f, NULL);
    double in_table = s->unit == UNIT_LENGTH ? value * unit_metre(r->units) / unit_metre(LW_CM) : value;
    double slack = 1e-9 * fabs(in_table); /* a bound written in inches is not quite itself in centimetres */
    if (!(in_table >= s->low - slack && in_table <= s->high + slack)) return out_of_range(r, token, s, f);
    double si = value * unit_si(s->unit, r->units) + 0.0; /* + 0: no negative zero */
    memcpy(at, &si, sizeof si);
    return true;
}

static bool read_whole(reader *r, int token, const shape *s, const field *f, char *at) {
    if (!json_is_number(&r->json, token)) return unlike(r, token, s, f, NULL);
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
        return unlike(r, token, s, f, NULL);
    bool value = c == 't';
    memcpy(at, &value, sizeof value);
    return true;
}

/* Keeps the candidate that the written word is nearest to. */
static void nearer(const char *written, const char *candidate, const char **best, int *least) {
    int distance;
    if (word_near(written, candidate, &distance) && distance < *least) {
        *least = distance;
        *best = candidate;
    }
}

static bool no_such_word(reader *r, int token, const shape *s, const field *f, const char *written,
                         const char *best) {
    char quoted[SHOWN], found[200];
    plan_quote(quoted, sizeof quoted, written);
    if (!best) return unlike(r, token, s, f, NULL);
    snprintf(found, sizeof found, "%s (did you mean \"%s\"?)", quoted, best);
    return unlike(r, token, s, f, found);
}

static bool read_word(reader *r, int token, const shape *s, const field *f, char *at) {
    char written[LW_NAME_MAX];
    const char *best = NULL;
    int least = 1000;
    if (r->json.tokens[token].type != JSMN_STRING || !json_string(&r->json, token, written, sizeof written))
        return unlike(r, token, s, f, NULL);
    for (int i = 0; i < s->word_count; i++) {
        const word *w = &s->words[i];
        nearer(written, w->text, &best, &least);
        if (strcmp(written, w->text) != 0) continue;
        if (s->kind == SHAPE_HEADING) {
            lw_hold *hold = (lw_hold *)(void *)at;
            hold->bearing = w->value * unit_si(UNIT_DEGREES, r->units);
            hold->rise = w->second * unit_si(UNIT_DEGREES, r->units);
        } else {
            int value = (int)w->value;
            memcpy(at, &value, sizeof value);
        }
        return true;
    }
    return no_such_word(r, token, s, f, written, best);
}

static bool read_landmark(reader *r, int token, const shape *s, const field *f, char *at) {
    char written[LW_NAME_MAX];
    if (r->json.tokens[token].type != JSMN_STRING || !json_string(&r->json, token, written, sizeof written))
        return unlike(r, token, s, f, NULL);
    lw_place found = {.from = lw_landmark_find(written), .to = -1};
    memcpy(at, &found, s->room == sizeof found ? sizeof found : sizeof found.from);
    if (found.from >= 0) return true;
    const char *best = NULL;
    int least = 1000;
    for (int i = 0; i < LW_LANDMARK_COUNT; i++)
        nearer(written, lw_landmark_name((lw_landmark)i), &best, &least);
    return no_such_word(r, token, s, f, written, best);
}

static bool fits(const reader *r, int token, const shape *s) {
    jsmntype_t type = r->json.tokens[token].type;
    if (s->kind == SHAPE_OBJECT) return type == JSMN_OBJECT;
    if (s->kind == SHAPE_LIST) return type == JSMN_ARRAY;
    if (s->kind == SHAPE_NUMBER || s->kind == SHAPE_WHOLE) return json_is_number(&r->json, token);
    if (s->kind == SHAPE_FLAG) return type == JSMN_PRIMITIVE;
    return type == JSMN_STRING;
}

static bool read_either(reader *r, int token, const shape *s, const field *f, char *object, char *at) {
    for (int i = 0; i < 3 && s->options[i]; i++)
        if (fits(r, token, s->options[i])) return read_value(r, token, s->options[i], f, object, at);
    return unlike(r, token, s, f, NULL);
}

/* ---- lists -------------------------------------------------------------------------------- */

static bool allocate(reader *r, int token, const shape *s, int count, char *at, char **elements) {
    *elements = count ? calloc((size_t)count, s->stride) : NULL;
    if (count && !*elements)
        return plan_fault(r, token, r->path, LW_ERROR_MEMORY, "Close something and try again.",
                          "there is not enough memory to read the plan");
    void *pointer = *elements;
    memcpy(at, &pointer, sizeof pointer);
    return true;
}

static bool read_list(reader *r, int token, const shape *s, const field *f, char *object, char *at) {
    if (r->json.tokens[token].type != JSMN_ARRAY) return unlike(r, token, s, f, NULL);
    int count = r->json.tokens[token].size;
    if (count < s->least || count > s->most) {
        char found[64];
        snprintf(found, sizeof found, "a list of %d", count);
        unlike(r, token, s, f, found);
        if (count > s->most) r->error->status = LW_ERROR_LIMIT;
        return false;
    }
    char *elements = at;
    if (s->allocated && !allocate(r, token, s, count, at, &elements)) return false;
    if (s->count_at != NOWHERE) memcpy(object + s->count_at, &count, sizeof count);
    int child = token + 1;
    for (int i = 0; i < count; i++, child = json_next(&r->json, child)) {
        char *element = elements + (size_t)i * s->stride;
        if (s->initial)
            memcpy(element, s->initial, s->stride);
        else
            memset(element, 0, s->stride);
        size_t before = path_index(r, i);
        if (!read_value(r, child, s->element, f, element, element)) return false;
        path_back(r, before);
    }
    return true;
}

/* ---- objects ------------------------------------------------------------------------------ */

typedef struct members {
    const shape *shape;
    int value[FIELDS_MAX]; /* token of each field's value, 0 where it is not there */
} members;

static int find_field(const shape *s, const char *key, size_t size) {
    for (int i = 0; i < s->field_count; i++)
        if (strlen(s->fields[i].key) == size && !memcmp(s->fields[i].key, key, size)) return i;
    return -1;
}

static bool unknown_key(reader *r, int token, const shape *s, const char *key) {
    char quoted[SHOWN], remedy[384], elsewhere[LW_NAME_MAX];
    const char *best = NULL;
    int least = 1000;
    size_t used = 0;
    for (int i = 0; i < s->field_count; i++) nearer(key, s->fields[i].key, &best, &least);
    plan_quote(quoted, sizeof quoted, key);
    if (best && least <= 2)
        snprintf(remedy, sizeof remedy, "Did you mean \"%s\"?", best);
    else if (plan_field_elsewhere(key, elsewhere, sizeof elsewhere))
        snprintf(remedy, sizeof remedy, "\"%s\" belongs in %s.", key, elsewhere);
    else if (best)
        snprintf(remedy, sizeof remedy, "Did you mean \"%s\"?", best);
    else {
        used = (size_t)snprintf(remedy, sizeof remedy, "The keys here are ");
        for (int i = 0; i < s->field_count && used < sizeof remedy; i++)
            used += (size_t)snprintf(remedy + used, sizeof remedy - used, "%s%s%s", i ? ", " : "",
                                     s->fields[i].key, i + 1 < s->field_count ? "" : ".");
    }
    path_key(r, key);
    return plan_fault(r, token, r->path, LW_ERROR_PLAN, remedy, "there is no key %s here", quoted);
}

static bool collect(reader *r, int token, members *m) {
    int key = token + 1;
    for (int i = 0; i < r->json.tokens[token].size; i++, key = json_next(&r->json, key + 1)) {
        char written[LW_NAME_MAX];
        bool whole = json_string(&r->json, key, written, sizeof written);
        int f = whole ? find_field(m->shape, written, strlen(written)) : -1;
        for (char *c = written; *c; c++)
            if ((unsigned char)*c < 0x20 || *c == 0x7f) *c = '?';
        if (f < 0) return unknown_key(r, key, m->shape, written);
        if (m->value[f]) {
            int line, column;
            json_where(&r->json, m->value[f] - 1, &line, &column);
            path_key(r, written);
            return plan_fault(r, key, r->path, LW_ERROR_PLAN, "Keep one of them.",
                              "the key \"%s\" stands here twice; the first is on line %d", written, line);
        }
        m->value[f] = key + 1;
    }
    return true;
}

/* Whether the first condition of a list holds; *rest is what follows it, NULL at the end. */
static bool holds(const reader *r, const members *m, const char *conditions, const char **rest) {
    const char *bar = strchr(conditions, '|');
    size_t size = bar ? (size_t)(bar - conditions) : strlen(conditions);
    const char *colon = memchr(conditions, ':', size);
    size_t key_size = colon ? (size_t)(colon - conditions) : size;
    int f = find_field(m->shape, conditions, key_size);
    *rest = bar ? bar + 1 : NULL;
    if (f < 0 || !m->value[f]) return false;
    if (!colon) return true;
    const jsmntok_t *t = &r->json.tokens[m->value[f]];
    char written[LW_NAME_MAX];
    if (t->type == JSMN_OBJECT || t->type == JSMN_ARRAY ||
        !json_string(&r->json, m->value[f], written, sizeof written))
        return false;
    return strlen(written) == size - key_size - 1 && !memcmp(written, colon + 1, size - key_size - 1);
}

static bool any_holds(const reader *r, const members *m, const char *conditions) {
    while (conditions)
        if (holds(r, m, conditions, &conditions)) return true;
    return false;
}

/* "run:radial|start" as people read it: run "radial" or start. */
static void conditions_read(const char *conditions, char *out, size_t room) {
    size_t n = 0;
    bool word_open = false;
    for (const char *c = conditions;; c++) {
        const char *add = *c == '|' || !*c ? (word_open ? "\"" : "") : *c == ':' ? " \"" : NULL;
        if (n + 8 >= room) break;
        if (*c == ':') word_open = true;
        n += (size_t)(add ? snprintf(out + n, room - n, "%s", add) : snprintf(out + n, room - n, "%c", *c));
        if (!*c) break;
        if (*c == '|') {
            n += (size_t)snprintf(out + n, room - n, " or ");
            word_open = false;
        }
    }
}

static bool relations(reader *r, int token, const members *m) {
    const shape *s = m->shape;
    char others[200], remedy[384];
    for (int i = 0; i < s->field_count; i++) {
        const field *f = &s->fields[i];
        bool there = m->value[i] != 0;
        bool barred = any_holds(r, m, f->without);
        snprintf(remedy, sizeof remedy, "Write, for example, \"%s\": %s.", f->key, f->example);
        if (!there && (f->required || (!barred && any_holds(r, m, f->needed_by)))) {
            const char *place = *r->path ? r->path : "the plan";
            if (f->required)
                return plan_fault(r, token, r->path, LW_ERROR_PLAN, remedy, "%s has no \"%s\"", place,
                                  f->key);
            conditions_read(f->needed_by, others, sizeof others);
            return plan_fault(r, token, r->path, LW_ERROR_PLAN, remedy, "%s has no \"%s\", which %s needs",
                              place, f->key, others);
        }
        if (!there) continue;
        bool alone = f->with && !any_holds(r, m, f->with);
        if (!alone && !barred) continue;
        conditions_read(alone ? f->with : f->without, others, sizeof others);
        path_key(r, f->key);
        snprintf(remedy, sizeof remedy, alone ? "Add %s, or take \"%s\" away." : "Take away %s, or \"%s\".",
                 others, f->key);
        return plan_fault(r, m->value[i] - 1, r->path, LW_ERROR_PLAN, remedy,
                          alone ? "\"%s\" goes only with %s" : "\"%s\" does not go with %s", f->key, others);
    }
    return true;
}

static bool one_of(reader *r, int token, const members *m, const field *f) {
    int found = 0, second = 0;
    for (const char *rest = m->shape->exactly_one; rest;) {
        const char *key = rest;
        if (!holds(r, m, key, &rest)) continue;
        int value = m->value[find_field(m->shape, key, strcspn(key, "|"))];
        found++;
        if (found > 1) second = value > second ? value : second;
    }
    if (found == 1) return true;
    char others[200], remedy[384];
    conditions_read(m->shape->exactly_one, others, sizeof others);
    snprintf(remedy, sizeof remedy, "Write, for example, \"%s\": %s.", f->key, f->example);
    if (found == 0) return plan_fault(r, token, r->path, LW_ERROR_PLAN, remedy, "expected one of %s", others);
    return plan_fault(r, second - 1, r->path, LW_ERROR_PLAN, remedy, "expected only one of %s", others);
}

static bool read_object(reader *r, int token, const shape *s, const field *f, char *at) {
    if (r->json.tokens[token].type != JSMN_OBJECT) return unlike(r, token, s, f, NULL);
    members m = {.shape = s};
    if (!collect(r, token, &m)) return false;
    if (s->line_at) {
        int line, column;
        json_where(&r->json, token, &line, &column);
        memcpy(at + s->line_at, &line, sizeof line);
    }
    for (int i = 0; i < s->field_count; i++)
        if (m.value[i] && s->fields[i].tagged)
            memcpy(at + s->fields[i].tag_at, &s->fields[i].tag, sizeof(int));
    for (int i = 0; i < s->field_count; i++) {
        if (!m.value[i]) continue;
        size_t before = path_key(r, s->fields[i].key);
        if (!read_value(r, m.value[i], s->fields[i].shape, &s->fields[i], at, at + s->fields[i].offset))
            return false;
        path_back(r, before);
    }
    return relations(r, token, &m) && (!s->exactly_one || one_of(r, token, &m, f));
}

static bool read_value(reader *r, int token, const shape *s, const field *f, char *object, char *at) {
    switch (s->kind) {
    case SHAPE_TEXT:
        return r->json.tokens[token].type == JSMN_STRING ? read_text(r, token, s, f, at)
                                                         : unlike(r, token, s, f, NULL);
    case SHAPE_NUMBER:
        return read_number(r, token, s, f, at);
    case SHAPE_WHOLE:
        return read_whole(r, token, s, f, at);
    case SHAPE_FLAG:
        return read_flag(r, token, s, f, at);
    case SHAPE_WORD:
    case SHAPE_HEADING:
        return read_word(r, token, s, f, at);
    case SHAPE_LANDMARK:
        return read_landmark(r, token, s, f, at);
    case SHAPE_OBJECT:
        return read_object(r, token, s, f, at);
    case SHAPE_LIST:
        return read_list(r, token, s, f, object, at);
    case SHAPE_EITHER:
        return read_either(r, token, s, f, object, at);
    }
    return false;
}

/* ---- the whole ---------------------------------------------------------------------------- */

static const field plan_field_root = {
    .key = "plan",
    .shape = &plan_shape,
    .example = "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\", \"steps\": []}",
};

/* Format, version and units first: what else stands there depends on them. */
static bool read_heading(reader *r, draft *d) {
    if (r->json.tokens[0].type != JSMN_OBJECT)
        return plan_fault(r, 0, "", LW_ERROR_PLAN,
                          "Begin with {\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\".",
                          "a plan is an object in { }");
    static const char *const keys[] = {"format", "version", "units"};
    for (int i = 0; i < 3; i++) {
        int token = json_member(&r->json, 0, keys[i]);
        const field *f = &plan_shape.fields[find_field(&plan_shape, keys[i], strlen(keys[i]))];
        if (token < 0) {
            char remedy[100];
            snprintf(remedy, sizeof remedy, "Write \"%s\": %s near the top.", f->key, f->example);
            return plan_fault(r, 0, "", LW_ERROR_PLAN, remedy, "the plan has no \"%s\"", f->key);
        }
        if (i == 1 && json_is_number(&r->json, token) && json_number(&r->json, token) > f->shape->high) {
            char shown[SHOWN];
            json_show(&r->json, token, shown, sizeof shown);
            return plan_fault(r, token, "version", LW_ERROR_PLAN,
                              "Use a newer lengthwise, or write the plan in version 1.",
                              "the plan has version %s, but this lengthwise knows versions up to %.0f", shown,
                              f->shape->high);
        }
        path_key(r, f->key);
        if (!read_value(r, token, f->shape, f, (char *)d, (char *)d + f->offset)) return false;
        path_back(r, 0);
    }
    r->units = d->plan.units;
    return true;
}

bool plan_reads(const field *f, const char *json_text, size_t size, lw_error *error) {
    union {
        draft d;
        draft_split split;
        lw_step step;
    } scratch = {0};
    reader r = {.error = error};
    if (json_read(&r.json, json_text, size, error) != LW_OK) return false;
    int token = json_element(&r.json, 0, 0);
    bool good =
        token >= 0 && read_value(&r, token, f->shape, f, (char *)&scratch, (char *)&scratch + f->offset);
    if (f->shape->allocated) {
        void *pointer;
        memcpy(&pointer, (char *)&scratch + f->offset, sizeof pointer);
        free(pointer);
    }
    json_clear(&r.json);
    return good;
}

lw_status lw_plan_read(lw_plan *plan, const char *json_text, size_t size, lw_error *error) {
    lw_error unseen;
    if (!error) error = &unseen;
    *error = (lw_error){0};
    *plan = (lw_plan){0};
    reader r = {.error = error};
    if (json_read(&r.json, json_text ? json_text : "", json_text ? size : 0, error) != LW_OK)
        return error->status;
    draft d = {.plan = lw_plan_default()};
    bool good = read_heading(&r, &d) && read_object(&r, 0, &plan_shape, &plan_field_root, (char *)&d) &&
                plan_check(&r, &d);
    free(d.splits);
    json_clear(&r.json);
    if (!good) {
        lw_plan_clear(&d.plan);
        return error->status;
    }
    *plan = d.plan;
    return LW_OK;
}
