/* The table in words. Explanations, the manual's tables and the "expected ..." of every message come from
 * here, and the defaults they tell are read from the default structs themselves, so none of them can disagree
 * with the reader.
 */
#include "explain.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- what a shape takes ------------------------------------------------------------------- */

static void takes_words(textbuf *t, const shape *s, const char *before) {
    for (int i = 0; i < s->word_count; i++)
        text_add(t, "%s\"%s\"", i == 0 ? before : i + 1 < s->word_count ? ", " : " or ", s->words[i].text);
}

static void takes_number(textbuf *t, const shape *s, lw_units units) {
    double k = s->unit == UNIT_LENGTH ? unit_metre(LW_CM) / unit_metre(units) : 1;
    int figures = k == 1 ? 16 : 4;
    const char *noun = s->kind == SHAPE_WHOLE   ? "a whole number"
                       : s->unit == UNIT_LENGTH ? "a length"
                                                : "a number";
    if (s->low == s->high)
        text_add(t, "the number %g", s->low);
    else
        text_add(t, "%s from %.*g to %.*g%s", noun, figures, s->low * k, figures, s->high * k,
                 unit_suffix(s->unit, units));
    if (s->fraction) text_add(t, s->unit == UNIT_LENGTH ? " (also as \"4 1/2\")" : " (also as \"1/2\")");
    takes_words(t, s, ", ");
}

static void takes_object(textbuf *t, const shape *s) {
    if (s->field_count > 6 || s->exactly_one) {
        text_add(t, "an object { }");
        if (!s->exactly_one) return;
        text_add(t, " with one of ");
        for (const char *c = s->exactly_one; *c; c++) *c == '|' ? text_add(t, ", ") : text_add(t, "%c", *c);
        return;
    }
    text_add(t, "an object { } with ");
    for (int i = 0; i < s->field_count; i++) text_add(t, "%s%s", i ? ", " : "", s->fields[i].key);
}

void plan_takes(textbuf *t, const shape *s, lw_units units) {
    switch (s->kind) {
    case SHAPE_TEXT:
        text_add(t, "%s of at most %d bytes",
                 s->address ? "an address that begins with http:// or https://, without spaces," : "a text",
                 (int)s->room - 1);
        break;
    case SHAPE_NUMBER:
    case SHAPE_WHOLE:
        takes_number(t, s, units);
        break;
    case SHAPE_FLAG:
        text_add(t, "true or false");
        break;
    case SHAPE_WORD:
    case SHAPE_HEADING:
        takes_words(t, s, "");
        break;
    case SHAPE_LANDMARK:
        text_add(t, "the name of a landmark, such as \"%s\"", lw_landmark_name(LW_CROWN));
        break;
    case SHAPE_OBJECT:
        takes_object(t, s);
        break;
    case SHAPE_LIST:
        text_add(t, "a list of ");
        if (s->least == s->most)
            text_add(t, "%d", s->most);
        else
            text_add(t,
                     s->least ? "%d to %d"
                              : "%.0d"
                                "at most %d",
                     s->least, s->most);
        break;
    case SHAPE_EITHER:
        for (int i = 0; i < 3 && s->options[i]; i++) {
            if (i) text_add(t, ", or ");
            plan_takes(t, s->options[i], units);
        }
        break;
    }
}

/* ---- defaults ----------------------------------------------------------------------------- */

static const word *word_of(const shape *s, double value) {
    for (int i = 0; i < s->word_count; i++)
        if (s->words[i].value == value) return &s->words[i];
    return NULL;
}

static bool word_value(char *out, size_t room, const shape *s, const char *at) {
    int value;
    memcpy(&value, at, sizeof value);
    const word *w = word_of(s, value);
    if (w) snprintf(out, room, "\"%s\"", w->text);
    return w != NULL;
}

bool plan_value(char *out, size_t room, const field *f, const void *object) {
    const char *at = (const char *)object + f->offset;
    const shape *s = f->shape;
    if (s->kind == SHAPE_EITHER) s = s->options[0];
    if (s->kind == SHAPE_NUMBER) {
        double value;
        memcpy(&value, at, sizeof value);
        snprintf(out, room, "%.6g", value / unit_si(s->unit, LW_CM));
    } else if (s->kind == SHAPE_WHOLE && s->room == sizeof(uint64_t)) {
        uint64_t value;
        memcpy(&value, at, sizeof value);
        snprintf(out, room, "%llu", (unsigned long long)value);
    } else if (s->kind == SHAPE_WHOLE) {
        int value;
        memcpy(&value, at, sizeof value);
        snprintf(out, room, "%d", value);
    } else if (s->kind == SHAPE_FLAG) {
        bool value;
        memcpy(&value, at, sizeof value);
        snprintf(out, room, "%s", value ? "true" : "false");
    } else {
        return s->kind == SHAPE_WORD && word_value(out, room, s, at);
    }
    return true;
}

/* Whether the key is one of several of which exactly one stands. */
static bool alternative(const shape *object, const char *key) {
    size_t n = strlen(key);
    for (const char *c = object->exactly_one; c; c = strchr(c, '|') ? strchr(c, '|') + 1 : NULL)
        if (strcspn(c, "|") == n && !memcmp(c, key, n)) return true;
    return false;
}

static void listed(textbuf *t, const char *conditions) {
    for (const char *c = conditions; *c; c++)
        if (*c == '|')
            text_add(t, " or ");
        else
            text_add(t, "%c", *c == ':' ? ' ' : *c);
}

void plan_left_out(textbuf *t, const shape *object, const field *f, const char *initial) {
    char value[64];
    const char *suffix = f->shape->kind == SHAPE_NUMBER ? unit_suffix(f->shape->unit, LW_CM) : "";
    if (f->required)
        text_add(t, "required");
    else if (f->absent)
        text_add(t, "%s", f->absent);
    else if (alternative(object, f->key)) {
        text_add(t, "another of ");
        listed(t, object->exactly_one);
        text_add(t, " stands in its place");
    } else if (initial && plan_value(value, sizeof value, f, initial))
        text_add(t, "%s%s", value, suffix);
    else
        text_add(t, "as if each of its keys were");
}

/* ---- walking ------------------------------------------------------------------------------ */

/* A key below a path; false where it does not fit, which no row of the table comes near. */
static bool path_below(char out[LW_NAME_MAX], const char *path, const char *key) {
    return snprintf(out, LW_NAME_MAX, "%s%s%s", path, *path && *key != '[' ? "." : "", key) < LW_NAME_MAX;
}

static void walk(plan_visit *visit, void *context, const char *path, const shape *s, const char *initial) {
    char below[LW_NAME_MAX];
    if (s->name) return; /* shared: explained once, at the end */
    if (s->kind == SHAPE_LIST && path_below(below, path, "[]"))
        walk(visit, context, below, s->element, s->initial);
    for (int i = 0; s->kind == SHAPE_EITHER && i < 3 && s->options[i]; i++)
        walk(visit, context, path, s->options[i], initial);
    if (s->kind != SHAPE_OBJECT) return;
    visit(context, path, s, initial);
    for (int i = 0; i < s->field_count; i++) {
        const field *f = &s->fields[i];
        if (path_below(below, path, f->key))
            walk(visit, context, below, f->shape, initial ? initial + f->offset : NULL);
    }
}

void plan_walk(plan_visit *visit, void *context) {
    draft d = {.plan = lw_plan_default()};
    walk(visit, context, "", &plan_shape, (const char *)&d);
    visit(context, "PLACE", place_shape.options[1], NULL);
}

typedef struct search {
    int left;
    bool found;
    plan_field *out;
} search;

static void visit_search(void *context, const char *path, const shape *object, const char *initial) {
    (void)initial;
    search *s = context;
    for (int i = 0; i < object->field_count; i++) {
        if (s->left-- != 0) continue;
        const field *f = &object->fields[i];
        *s->out = (plan_field){.key = f->key, .help = f->help, .example = f->example};
        s->found = path_below(s->out->path, path, f->key);
    }
}

bool plan_field_at(int i, plan_field *out) {
    search s = {.left = i, .out = out};
    if (i >= 0) plan_walk(visit_search, &s);
    return s.found;
}

/* How many bytes two paths share, the numbers in "steps[2]" aside. */
static size_t shared(const char *path, const char *here) {
    size_t n = 0;
    while (*path && *path == *here) {
        n++;
        path++;
        here++;
        while (*here >= '0' && *here <= '9') here++;
    }
    return n;
}

typedef struct elsewhere {
    const char *key, *here;
    char *out;
    size_t room, most;
    bool found;
} elsewhere;

static void visit_elsewhere(void *context, const char *path, const shape *object, const char *initial) {
    (void)initial;
    elsewhere *e = context;
    size_t common = shared(path, e->here);
    if (e->found && common <= e->most) return;
    for (int i = 0; i < object->field_count; i++) {
        if (strcmp(object->fields[i].key, e->key) != 0) continue;
        snprintf(e->out, e->room, "%s", *path ? path : "the plan itself");
        e->found = true;
        e->most = common;
    }
}

bool plan_field_elsewhere(const char *key, const char *here, char *out, size_t room) {
    elsewhere e = {.key = key, .here = here, .room = room};
    e.out = out;
    plan_walk(visit_elsewhere, &e);
    return e.found;
}

/* ---- explanations ------------------------------------------------------------------------- */

static void conditions(textbuf *t, const char *label, const char *list) {
    if (!list) return;
    text_add(t, "  %s", label);
    listed(t, list);
    text_add(t, "\n");
}

static void explain_words(textbuf *t, const shape *s) {
    if (s->kind == SHAPE_WORD || s->kind == SHAPE_HEADING || s->kind == SHAPE_NUMBER)
        for (int i = 0; i < s->word_count; i++)
            text_add(t, "    \"%s\": %s\n", s->words[i].text, s->words[i].help);
    for (int i = 0; s->kind == SHAPE_EITHER && i < 3 && s->options[i]; i++) explain_words(t, s->options[i]);
}

static void explain_field(textbuf *t, const char *path, const shape *object, const field *f,
                          const char *initial) {
    text_add(t, "%s%s%s%s\n  %s\n  Takes: ", t->size ? "\n" : "", path, *path ? "." : "", f->key, f->help);
    plan_takes(t, f->shape, LW_CM);
    text_add(t, "\n");
    explain_words(t, f->shape);
    if (f->required) {
        text_add(t, "  Required\n");
    } else {
        text_add(t, "  When left out: ");
        plan_left_out(t, object, f, initial);
        text_add(t, "\n");
    }
    conditions(t, "Only with: ", f->with);
    conditions(t, "Not with: ", f->without);
    text_add(t, "  Example: \"%s\": %s\n", f->key, f->example);
}

/* "steps[2].hold.ear_to_top" and "steps.hold.ear to top" to one form. */
static void plain_path(char *out, size_t room, const char *path) {
    size_t n = 0;
    bool inside = false;
    for (const char *c = path; *c && n + 1 < room; c++) {
        if (*c == '[') inside = true;
        if (!inside) out[n++] = *c == ' ' || *c == '-' ? '_' : *c;
        if (*c == ']') inside = false;
    }
    out[n] = 0;
}

typedef struct explaining {
    textbuf text;
    char wanted[LW_NAME_MAX];
} explaining;

static void visit_explain(void *context, const char *path, const shape *object, const char *initial) {
    explaining *e = context;
    for (int i = 0; i < object->field_count; i++) {
        char whole[LW_NAME_MAX], plain[LW_NAME_MAX];
        if (!path_below(whole, path, object->fields[i].key)) continue;
        plain_path(plain, sizeof plain, whole);
        size_t n = strlen(plain), m = strlen(e->wanted);
        bool ends =
            m > 0 && n >= m && !strcmp(plain + n - m, e->wanted) && (n == m || plain[n - m - 1] == '.');
        if (ends) explain_field(&e->text, path, object, &object->fields[i], initial);
    }
}

static lw_status finish(char **out, textbuf *t, lw_error *error) {
    if (t->failed || !t->data) {
        free(t->data);
        if (error) {
            *error = (lw_error){.status = LW_ERROR_MEMORY};
            snprintf(error->message, sizeof error->message,
                     "there is not enough memory to explain the plan file");
            snprintf(error->remedy, sizeof error->remedy, "Close something and try again.");
        }
        return LW_ERROR_MEMORY;
    }
    *out = t->data;
    return LW_OK;
}

static lw_status no_field(const char *what, const char *wanted, lw_error *error) {
    plan_field f;
    const char *best = NULL;
    int least = WORD_FAR;
    for (int i = 0; plan_field_at(i, &f); i++) word_nearer(wanted, f.key, &best, &least);
    if (!error) return LW_ERROR_ARGUMENT;
    *error = (lw_error){.status = LW_ERROR_ARGUMENT};
    snprintf(error->place, sizeof error->place, "%.90s", what);
    snprintf(error->message, sizeof error->message, "the plan file has no field \"%.90s\"", what);
    if (best)
        snprintf(error->remedy, sizeof error->remedy, "Did you mean \"%s\"?", best);
    else
        snprintf(error->remedy, sizeof error->remedy,
                 "Ask for a key of the plan file, such as \"elevation\".");
    return LW_ERROR_ARGUMENT;
}

lw_status plan_explain(char **out, const char *what, lw_error *error) {
    explaining e = {0};
    *out = NULL;
    plain_path(e.wanted, sizeof e.wanted, what);
    plan_walk(visit_explain, &e);
    if (!e.text.data && !e.text.failed) return no_field(what, e.wanted, error);
    return finish(out, &e.text, error);
}

/* ---- the manual's tables ------------------------------------------------------------------ */

static void cell_end(textbuf *t) { text_add(t, " | "); }

static void meanings(textbuf *t, const shape *s) {
    for (int i = 0; i < s->word_count; i++)
        text_add(t, "%s\"%s\": %s%s", i ? "; " : " ", s->words[i].text, s->words[i].help,
                 i + 1 < s->word_count ? "" : ".");
    for (int i = 0; s->kind == SHAPE_EITHER && i < 3 && s->options[i]; i++) meanings(t, s->options[i]);
}

static void meaning(textbuf *t, const field *f) {
    text_add(t, "%s", f->help);
    if (!f->shape->name) meanings(t, f->shape);
    if (f->with) text_add(t, " Only with ");
    if (f->with) listed(t, f->with);
    if (f->without) text_add(t, f->with ? ", not with " : " Not with ");
    if (f->without) listed(t, f->without);
    if (f->with || f->without) text_add(t, ".");
}

static void visit_reference(void *context, const char *path, const shape *object, const char *initial) {
    textbuf *t = context;
    text_add(t, "\n## %s%s%s\n", *path ? "`" : "", *path ? path : "The plan", *path ? "`" : "");
    text_add(t, "\n| key | takes | when left out | meaning | example |\n|---|---|---|---|---|\n");
    for (int i = 0; i < object->field_count; i++) {
        const field *f = &object->fields[i];
        text_add(t, "| `%s` | ", f->key);
        if (f->shape->name)
            text_add(t, "a %s", f->shape->name);
        else
            plan_takes(t, f->shape, LW_CM);
        cell_end(t);
        plan_left_out(t, object, f, initial);
        cell_end(t);
        meaning(t, f);
        cell_end(t);
        text_add(t, "`%s` |\n", f->example);
    }
}

lw_status plan_reference(char **out, lw_error *error) {
    textbuf t = {0};
    *out = NULL;
    text_add(&t, "# Every key of the plan file\n\nWritten by `lengthwise fields` from src/plan/fields.c; "
                 "lengths are in "
                 "centimetres here.\nHow a plan is put together is told in [plan-file.md](plan-file.md).\n");
    plan_walk(visit_reference, &t);
    return finish(out, &t, error);
}
