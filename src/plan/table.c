/* The table of fields as JSON: what a form needs to ask for any field, and to know when it may. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "explain.h"

static void string(textbuf *t, const char *s) {
    text_add(t, "\"");
    for (; *s; s++) text_add(t, *s == '"' || *s == '\\' ? "\\%c" : "%c", *s);
    text_add(t, "\"");
}

static void member(textbuf *t, const char *key, const char *value) {
    if (!value) return;
    text_add(t, ", \"%s\": ", key);
    string(t, value);
}

static void flag(textbuf *t, const char *key, bool value) {
    if (value) text_add(t, ", \"%s\": true", key);
}

/* "level|upright" as a list. */
static void alternatives(textbuf *t, const char *key, const char *list) {
    if (!list) return;
    text_add(t, ", \"%s\": [", key);
    for (const char *c = list; c; c = strchr(c, '|') ? strchr(c, '|') + 1 : NULL)
        text_add(t, "%s\"%.*s\"", c == list ? "" : ", ", (int)strcspn(c, "|"), c);
    text_add(t, "]");
}

static void words(textbuf *t, const shape *s) {
    if (!s->word_count) return;
    text_add(t, ", \"words\": [");
    for (int i = 0; i < s->word_count; i++) {
        text_add(t, "%s{\"text\": ", i ? ", " : "");
        string(t, s->words[i].text);
        text_add(t, ", \"help\": ");
        string(t, s->words[i].help);
        text_add(t, "}");
    }
    text_add(t, "]");
}

static void number(textbuf *t, const shape *s) {
    static const char *const units[UNIT_COUNT] = {NULL, "length", "degrees", "per_cm2", "um2", "GPa"};
    member(t, "unit", units[s->unit]);
    text_add(t, ", \"low\": %.17g, \"high\": %.17g", s->low, s->high);
    flag(t, "fraction", s->fraction);
    words(t, s);
}

static void write_shape(textbuf *t, const shape *s, const char *initial, bool by_name);

static void takes(textbuf *t, const shape *s) {
    textbuf said = {0};
    plan_takes(&said, s, LW_CM);
    member(t, "takes", said.data);
    t->failed = t->failed || said.failed;
    free(said.data);
}

static void left_out(textbuf *t, const shape *object, const field *f, const char *initial) {
    char value[64];
    if (!f->required && !f->absent && initial && plan_value(value, sizeof value, f, initial)) {
        text_add(t, ", \"default\": %s", value);
        return;
    }
    textbuf said = {0};
    plan_left_out(&said, object, f, initial);
    if (!f->required) member(t, "absent", said.data);
    t->failed = t->failed || said.failed;
    free(said.data);
}

static void write_field(textbuf *t, const shape *object, const field *f, const char *initial) {
    text_add(t, "{\"key\": \"%s\"", f->key);
    member(t, "help", f->help);
    text_add(t, ", \"example\": %s", f->example);
    flag(t, "required", f->required);
    left_out(t, object, f, initial);
    takes(t, f->shape);
    alternatives(t, "with", f->with);
    alternatives(t, "without", f->without);
    alternatives(t, "needed_by", f->needed_by);
    text_add(t, ", \"shape\": ");
    write_shape(t, f->shape, initial ? initial + f->offset : NULL, true);
    text_add(t, "}");
}

static void object(textbuf *t, const shape *s, const char *initial) {
    alternatives(t, "exactly_one", s->exactly_one);
    text_add(t, ", \"fields\": [");
    for (int i = 0; i < s->field_count; i++) {
        if (i) text_add(t, ",\n");
        write_field(t, s, &s->fields[i], initial);
    }
    text_add(t, "]");
}

static void either(textbuf *t, const shape *s, const char *initial) {
    text_add(t, ", \"options\": [");
    for (int i = 0; i < 3 && s->options[i]; i++) {
        if (i) text_add(t, ", ");
        write_shape(t, s->options[i], initial, true);
    }
    text_add(t, "]");
}

static void write_shape(textbuf *t, const shape *s, const char *initial, bool by_name) {
    static const char *const kinds[] = {
        [SHAPE_TEXT] = "text",         [SHAPE_NUMBER] = "number", [SHAPE_WHOLE] = "whole",
        [SHAPE_FLAG] = "flag",         [SHAPE_WORD] = "word",     [SHAPE_HEADING] = "word",
        [SHAPE_LANDMARK] = "landmark", [SHAPE_OBJECT] = "object", [SHAPE_LIST] = "list",
        [SHAPE_EITHER] = "either"};
    if (s->name && by_name) {
        text_add(t, "{\"kind\": \"%s\"}", s->name);
        return;
    }
    text_add(t, "{\"kind\": \"%s\"", kinds[s->kind]);
    if (s->kind == SHAPE_TEXT) {
        text_add(t, ", \"most\": %d", (int)s->room - 1);
        flag(t, "lines", s->lines);
        flag(t, "address", s->address);
    } else if (s->kind == SHAPE_NUMBER || s->kind == SHAPE_WHOLE) {
        number(t, s);
    } else if (s->kind == SHAPE_WORD || s->kind == SHAPE_HEADING) {
        words(t, s);
    } else if (s->kind == SHAPE_OBJECT) {
        object(t, s, initial);
    } else if (s->kind == SHAPE_EITHER) {
        either(t, s, initial);
    } else if (s->kind == SHAPE_LIST) {
        text_add(t, ", \"least\": %d, \"most\": %d, \"element\": ", s->least, s->most);
        write_shape(t, s->element, s->initial, true);
    }
    text_add(t, "}");
}

lw_status plan_table(char **out, lw_error *error) {
    textbuf t = {0};
    draft d = {.plan = lw_plan_default()};
    text_add(&t, "{\"landmarks\": [");
    for (int i = 0; i < LW_LANDMARK_COUNT; i++)
        text_add(&t, "%s\"%s\"", i ? ", " : "", lw_landmark_name((lw_landmark)i));
    text_add(&t, "],\n\"place\": ");
    write_shape(&t, &place_shape, NULL, false);
    text_add(&t, ",\n\"plan\": ");
    write_shape(&t, &plan_shape, (const char *)&d, false);
    text_add(&t, "}\n");
    *out = t.failed ? NULL : t.data;
    if (*out) return LW_OK;
    free(t.data);
    if (error) {
        *error = (lw_error){.status = LW_ERROR_MEMORY};
        snprintf(error->message, sizeof error->message,
                 "there is not enough memory to write the table of fields");
        snprintf(error->remedy, sizeof error->remedy, "Close something and try again.");
    }
    return LW_ERROR_MEMORY;
}
