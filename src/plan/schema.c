/* The JSON Schema (2020-12) of the plan file, for editors that check as one types.
 *
 * It is written from the reader's own table. Where the two differ the schema is the looser one, never the
 * stricter: it takes the range of a length in either unit, and leaves names, guides and the text's size in
 * bytes to the reader.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "explain.h"

static void string(textbuf *t, const char *s) {
    text_add(t, "\"");
    for (; *s; s++)
        if (*s == '"' || *s == '\\')
            text_add(t, "\\%c", *s);
        else
            text_add(t, "%c", *s);
    text_add(t, "\"");
}

static void line(textbuf *t, int depth) { text_add(t, "\n%*s", 2 * depth, ""); }

static void enumerate(textbuf *t, const shape *s) {
    text_add(t, "\"enum\": [");
    for (int i = 0; i < s->word_count; i++) text_add(t, "%s\"%s\"", i ? ", " : "", s->words[i].text);
    text_add(t, "]");
}

static void number(textbuf *t, const shape *s) {
    bool length = s->unit == UNIT_LENGTH;
    double inch = unit_metre(LW_CM) / unit_metre(LW_INCH);
    double low = length && s->low > 0 ? s->low * inch : s->low;
    bool several = s->fraction || s->word_count;
    if (several) text_add(t, "\"anyOf\": [{");
    text_add(t, "\"type\": \"%s\", \"minimum\": %.17g, \"maximum\": %.17g",
             s->kind == SHAPE_WHOLE ? "integer" : "number", length ? (double)(float)(low * 0.999999) : low,
             s->high);
    if (several) text_add(t, "}");
    if (s->fraction)
        text_add(
            t, ", {\"type\": \"string\", \"pattern\": \"^([0-9]{1,4} )?[0-9]{1,4}/0{0,3}[1-9][0-9]{0,3}$\"}");
    if (s->word_count) {
        text_add(t, ", {");
        enumerate(t, s);
        text_add(t, "}");
    }
    if (several) text_add(t, "]");
}

/* A schema that holds where any of the conditions does. */
static void condition(textbuf *t, const char *list) {
    text_add(t, "{\"anyOf\": [");
    for (const char *c = list; c; c = strchr(c, '|') ? strchr(c, '|') + 1 : NULL) {
        int size = (int)strcspn(c, "|"), key = (int)strcspn(c, ":|");
        const char *value = c + key + 1;
        int rest = size - key - 1;
        bool literal = rest == 4 && !strncmp(value, "true", 4);
        text_add(t, "%s{\"required\": [\"%.*s\"]", c == list ? "" : ", ", key, c);
        if (key < size)
            text_add(t, ", \"properties\": {\"%.*s\": {\"const\": %s%.*s%s}}", key, c, literal ? "" : "\"",
                     rest, value, literal ? "" : "\"");
        text_add(t, "}");
    }
    text_add(t, "]}");
}

/* One rule between siblings; *count of them so far. */
static void rule_begin(textbuf *t, int *count, int depth) {
    text_add(t, ",");
    if ((*count)++ == 0) {
        line(t, depth);
        text_add(t, "\"allOf\": [");
    }
    line(t, depth + 1);
    text_add(t, "{\"if\": ");
}

static void rules(textbuf *t, const shape *s, int depth) {
    int count = 0;
    for (int i = 0; i < s->field_count; i++) {
        const field *f = &s->fields[i];
        if (f->with) {
            rule_begin(t, &count, depth);
            text_add(t, "{\"required\": [\"%s\"]}, \"then\": ", f->key);
            condition(t, f->with);
            text_add(t, "}");
        }
        if (f->without) {
            rule_begin(t, &count, depth);
            text_add(t, "{\"required\": [\"%s\"]}, \"then\": {\"not\": ", f->key);
            condition(t, f->without);
            text_add(t, "}}");
        }
        if (f->needed_by) {
            rule_begin(t, &count, depth);
            text_add(t, "{\"allOf\": [");
            condition(t, f->needed_by);
            if (f->without) {
                text_add(t, ", {\"not\": ");
                condition(t, f->without);
                text_add(t, "}");
            }
            text_add(t, "]}, \"then\": {\"required\": [\"%s\"]}}", f->key);
        }
    }
    if (count) text_add(t, "]");
}

static void members(textbuf *t, const shape *s, const char *initial, int depth);

static void describe(textbuf *t, const shape *object, const field *f, const char *initial) {
    char value[64];
    bool length = f->shape->kind == SHAPE_NUMBER && f->shape->unit == UNIT_LENGTH;
    bool plain =
        !f->required && !f->absent && !length && initial && plan_value(value, sizeof value, f, initial);
    textbuf description = {0};
    text_add(&description, "%s", f->help);
    if (!f->required && !plain) {
        text_add(&description, " When left out: ");
        plan_left_out(&description, object, f, initial);
        text_add(&description, ".");
    }
    text_add(t, "\"description\": ");
    if (description.data) string(t, description.data);
    t->failed = t->failed || description.failed;
    free(description.data);
    if (plain) text_add(t, ", \"default\": %s", value);
    text_add(t, ", \"examples\": [%s], ", f->example);
}

static void object(textbuf *t, const shape *s, const char *initial, int depth) {
    text_add(t, "\"type\": \"object\",");
    line(t, depth);
    text_add(t, "\"properties\": {");
    for (int i = 0; i < s->field_count; i++) {
        const field *f = &s->fields[i];
        line(t, depth + 1);
        text_add(t, "\"%s\": {", f->key);
        describe(t, s, f, initial);
        members(t, f->shape, initial ? initial + f->offset : NULL, depth + 2);
        text_add(t, "}%s", i + 1 < s->field_count ? "," : "");
    }
    line(t, depth);
    text_add(t, "},");
    line(t, depth);
    int required = 0;
    for (int i = 0; i < s->field_count; i++)
        if (s->fields[i].required)
            text_add(t, "%s\"%s\"", required++ ? ", " : "\"required\": [", s->fields[i].key);
    if (required) text_add(t, "], ");
    text_add(t, "\"additionalProperties\": false");
    if (s->exactly_one) {
        text_add(t, ",");
        line(t, depth);
        text_add(t, "\"oneOf\": [");
        for (const char *c = s->exactly_one; c; c = strchr(c, '|') ? strchr(c, '|') + 1 : NULL)
            text_add(t, "%s{\"required\": [\"%.*s\"]}", c == s->exactly_one ? "" : ", ", (int)strcspn(c, "|"),
                     c);
        text_add(t, "]");
    }
    rules(t, s, depth);
}

static void list(textbuf *t, const shape *s, int depth) {
    text_add(t, "\"type\": \"array\", \"minItems\": %d, \"maxItems\": %d,", s->least, s->most);
    line(t, depth);
    text_add(t, "\"items\": {");
    members(t, s->element, s->initial, depth + 1);
    text_add(t, "}");
}

static void either(textbuf *t, const shape *s, const char *initial, int depth) {
    text_add(t, "\"anyOf\": [");
    for (int i = 0; i < 3 && s->options[i]; i++) {
        text_add(t, "%s{", i ? ", " : "");
        members(t, s->options[i], initial, depth + 1);
        text_add(t, "}");
    }
    text_add(t, "]");
}

static void landmarks(textbuf *t) {
    text_add(t, "\"enum\": [");
    for (int i = 0; i < LW_LANDMARK_COUNT; i++)
        text_add(t, "%s\"%s\"", i ? ", " : "", lw_landmark_name((lw_landmark)i));
    text_add(t, "]");
}

/* A shape as the members of a schema object, without its braces. */
static void members(textbuf *t, const shape *s, const char *initial, int depth) {
    if (s->name && depth > 2) {
        text_add(t, "\"$ref\": \"#/$defs/%s\"", s->name);
        return;
    }
    switch (s->kind) {
    case SHAPE_TEXT:
        text_add(t, "\"type\": \"string\", \"minLength\": %d, \"maxLength\": %d", !s->lines,
                 (int)s->room - 1);
        if (s->address) text_add(t, ", \"pattern\": \"^https?://[!-.0-~][!-~]*$\"");
        break;
    case SHAPE_NUMBER:
    case SHAPE_WHOLE:
        number(t, s);
        break;
    case SHAPE_FLAG:
        text_add(t, "\"type\": \"boolean\"");
        break;
    case SHAPE_WORD:
    case SHAPE_HEADING:
        enumerate(t, s);
        break;
    case SHAPE_LANDMARK:
        landmarks(t);
        break;
    case SHAPE_OBJECT:
        object(t, s, initial, depth);
        break;
    case SHAPE_LIST:
        list(t, s, depth);
        break;
    case SHAPE_EITHER:
        either(t, s, initial, depth);
        break;
    }
}

lw_status plan_schema(char **out, lw_error *error) {
    textbuf t = {0};
    draft d = {.plan = lw_plan_default()};
    *out = NULL;
    text_add(&t,
             "{\n  \"$schema\": \"https://json-schema.org/draft/2020-12/schema\",\n"
             "  \"$id\": \"urn:lengthwise:plan:1\",\n  \"title\": \"lengthwise plan, version 1\",\n"
             "  \"$comment\": \"Written by lengthwise schema from src/plan/fields.c\",\n"
             "  \"$defs\": {\n    \"%s\": {\"description\": ",
             place_shape.name);
    string(&t, place_shape.help);
    text_add(&t, ", ");
    members(&t, &place_shape, NULL, 2);
    text_add(&t, "}\n  },\n  ");
    members(&t, &plan_shape, (const char *)&d, 1);
    text_add(&t, "\n}\n");
    if (!t.failed) {
        *out = t.data;
        return LW_OK;
    }
    free(t.data);
    if (error) {
        *error = (lw_error){.status = LW_ERROR_MEMORY};
        snprintf(error->message, sizeof error->message, "there is not enough memory to write the schema");
        snprintf(error->remedy, sizeof error->remedy, "Close something and try again.");
    }
    return LW_ERROR_MEMORY;
}
