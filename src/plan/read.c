/* Reading a plan: the JSON is walked along the table of fields, and nothing that the table does not know
 * gets through. A fault is told where it is found, with its place, and reading stops; nothing is guessed.
 *
 * Invariant: whatever the text, a failed read leaves the caller an empty plan and frees everything. Recursion
 * follows the table, so its depth is that of the table; objects have few fields and lists a ceiling, so time
 * and memory are linear in the text.
 */
#include "read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "explain.h"
#include "text.h"

enum { FIELDS_MAX = 32 };

static bool read_value(reader *r, int token, const shape *s, const field *f, char *object, char *at);

/* ---- values and lists ---------------------------------------------------------------------- */

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
    return plan_unlike(r, token, s, f, NULL);
}

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
    if (r->json.tokens[token].type != JSMN_ARRAY) return plan_unlike(r, token, s, f, NULL);
    int count = r->json.tokens[token].size;
    if (count < s->least || count > s->most) {
        char found[64];
        snprintf(found, sizeof found, "a list of %d", count);
        plan_unlike(r, token, s, f, found);
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
        size_t before = plan_path_index(r, i);
        if (!read_value(r, child, s->element, f, element, element)) return false;
        plan_path_back(r, before);
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

static void list_keys(const shape *s, char *out, size_t room) {
    size_t n = (size_t)snprintf(out, room, "The keys here are ");
    for (int i = 0; i < s->field_count && n < room; i++)
        n += (size_t)snprintf(out + n, room - n, "%s%s%s", i ? ", " : "", s->fields[i].key,
                              i + 1 < s->field_count ? "" : ".");
}

static bool unknown_key(reader *r, int token, const shape *s, const char *key) {
    char quoted[PLAN_SHOWN], remedy[384], elsewhere[LW_NAME_MAX];
    const char *best = NULL;
    int least = WORD_FAR;
    size_t used = 0;
    for (int i = 0; i < s->field_count; i++) word_nearer(key, s->fields[i].key, &best, &least);
    plan_quote(quoted, sizeof quoted, key);
    bool known = plan_field_elsewhere(key, r->path, elsewhere, sizeof elsewhere);
    if (best) used = (size_t)snprintf(remedy, sizeof remedy, "Did you mean \"%s\"?", best);
    if (known && least > 2)
        snprintf(remedy + used, sizeof remedy - used, "%s\"%s\" belongs in %s.", used ? " " : "", key,
                 elsewhere);
    else if (!best)
        list_keys(s, remedy, sizeof remedy);
    plan_path_key(r, key);
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
            plan_path_key(r, written);
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
        plan_path_key(r, f->key);
        snprintf(remedy, sizeof remedy, alone ? "Add %s, or take \"%s\" away." : "Take away %s, or \"%s\".",
                 others, f->key);
        return plan_fault(r, m->value[i] - 1, r->path, LW_ERROR_PLAN, remedy,
                          alone ? "\"%s\" goes only with %s" : "\"%s\" does not go with %s", f->key, others);
    }
    return true;
}

static bool one_of(reader *r, int token, const members *m, const field *f) {
    int found = 0, last = 0;
    for (const char *rest = m->shape->exactly_one; rest;) {
        const char *key = rest;
        if (!holds(r, m, key, &rest)) continue;
        int value = m->value[find_field(m->shape, key, strcspn(key, "|"))];
        found++;
        last = value > last ? value : last;
    }
    if (found == 1) return true;
    char others[200], remedy[384];
    conditions_read(m->shape->exactly_one, others, sizeof others);
    snprintf(remedy, sizeof remedy, "Write, for example, \"%s\": %s.", f->key, f->example);
    if (found == 0) return plan_fault(r, token, r->path, LW_ERROR_PLAN, remedy, "expected one of %s", others);
    return plan_fault(r, last - 1, r->path, LW_ERROR_PLAN, remedy, "expected only one of %s", others);
}

/* The line of an object; counted on from the last one asked for, so that many do not cost the text each. */
static int line_of(reader *r, int token) {
    size_t at = (size_t)r->json.tokens[token].start;
    if (at < r->counted) r->counted = r->lines = 0;
    for (; r->counted < at; r->counted++) r->lines += r->json.text[r->counted] == '\n';
    return (int)r->lines + 1;
}

static bool read_object(reader *r, int token, const shape *s, const field *f, char *at) {
    if (r->json.tokens[token].type != JSMN_OBJECT) return plan_unlike(r, token, s, f, NULL);
    members m = {.shape = s};
    if (!collect(r, token, &m)) return false;
    if (s->line_at) {
        int line = line_of(r, token);
        memcpy(at + s->line_at, &line, sizeof line);
    }
    for (int i = 0; i < s->field_count; i++)
        if (m.value[i] && s->fields[i].tagged)
            memcpy(at + s->fields[i].tag_at, &s->fields[i].tag, sizeof(int));
    for (int i = 0; i < s->field_count; i++) {
        if (!m.value[i]) continue;
        size_t before = plan_path_key(r, s->fields[i].key);
        if (!read_value(r, m.value[i], s->fields[i].shape, &s->fields[i], at, at + s->fields[i].offset))
            return false;
        plan_path_back(r, before);
    }
    return relations(r, token, &m) && (!s->exactly_one || one_of(r, token, &m, f));
}

static bool read_value(reader *r, int token, const shape *s, const field *f, char *object, char *at) {
    switch (s->kind) {
    case SHAPE_OBJECT:
        return read_object(r, token, s, f, at);
    case SHAPE_LIST:
        return read_list(r, token, s, f, object, at);
    case SHAPE_EITHER:
        return read_either(r, token, s, f, object, at);
    default:
        return plan_read_scalar(r, token, s, f, at);
    }
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
            char shown[PLAN_SHOWN];
            json_show(&r->json, token, shown, sizeof shown);
            return plan_fault(r, token, "version", LW_ERROR_PLAN,
                              "Use a newer lengthwise, or write the plan in version 1.",
                              "the plan has version %s, but this lengthwise knows versions up to %.0f", shown,
                              f->shape->high);
        }
        plan_path_key(r, f->key);
        if (!read_value(r, token, f->shape, f, (char *)d, (char *)d + f->offset)) return false;
        plan_path_back(r, 0);
    }
    r->units = d->plan.units;
    return true;
}

bool plan_read_field(void *into, const field *f, const char *list, size_t size, lw_error *error) {
    reader r = {.error = error};
    if (json_read(&r.json, list, size, error) != LW_OK) return false;
    int token = json_element(&r.json, 0, 0);
    bool good = token >= 0 && read_value(&r, token, f->shape, f, into, (char *)into + f->offset);
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
