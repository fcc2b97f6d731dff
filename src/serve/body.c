/* Reading a JSON object by its shape: every key must be one of the shape's, once, and of its kind; what is
 * not optional must be there. Nothing is guessed or ignored. */
#include "body.h"

#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "grown.h"
#include "scan.h"

enum { KEY_MAX = 64 };

static bool wrong(scan *s, const char *place, const char *message, const char *remedy) {
    if (s->error->status == LW_OK) {
        scan_fault(s, LW_ERROR_PLAN, message, remedy);
        snprintf(s->error->place, sizeof s->error->place, "%s", place);
    }
    return false;
}

static bool no_memory(scan *s) {
    return scan_fault(s, LW_ERROR_MEMORY, "out of memory", "Close something and try again.");
}

/* The next byte after white space; 0 at the end. */
static char next(scan *s) {
    size_t at = scan_here(s);
    return at < s->size ? s->text[at] : 0;
}

static bool add_tag(grown *all, const char *tag) {
    if (!tag[0] || strchr(tag, ',')) return false;
    if (all->size) grown_add(all, ", ", 2);
    grown_add(all, tag, strlen(tag));
    return true;
}

static bool read_tags(body_value *out, scan *s, const field *f) {
    grown all = {0};
    bool first = true, fine = scan_open(s, '[');
    while (fine && scan_more(s, ']', &first)) {
        char *tag = scan_text(s, f->most);
        fine = tag != NULL &&
               (add_tag(&all, tag) || wrong(s, f->key, "a tag is empty, or has a comma", f->help));
        free(tag);
    }
    if (grown_end(&all, &out->text, NULL, NULL)) return no_memory(s);
    return s->error->status == LW_OK;
}

static bool read_object(body_value *out, scan *s, const field *f) {
    const char *start;
    size_t size, at = scan_here(s);
    if (next(s) != '{' && (!scan_value(s, &start, &size) || size != 4 || memcmp(start, "null", 4) != 0))
        return wrong(s, f->key, "expected an object here, or null", f->help);
    if (s->text[at] != '{') return true;
    scan_where(s->text, at, &out->line, &out->column);
    if (!scan_object(s, &start, &size)) return false;
    out->text = grown_copy(start, size);
    return out->text || no_memory(s);
}

static bool read_whole(body_value *out, scan *s) {
    if (next(s) == '0') {
        const char *start;
        size_t size;
        return scan_value(s, &start, &size) &&
               (size == 1 || wrong(s, "", "expected a whole number", "Write, for example, 12."));
    }
    out->whole = scan_whole(s);
    return out->whole > 0;
}

static bool read_value(body_value *out, scan *s, const field *f) {
    out->given = true;
    switch (f->kind) {
    case FIELD_TEXT:
        out->text = scan_text(s, f->most);
        return out->text != NULL;
    case FIELD_TAGS:
        return read_tags(out, s, f);
    case FIELD_OBJECT:
        return read_object(out, s, f);
    case FIELD_WHOLE:
        return read_whole(out, s);
    default: /* only goes out */
        return false;
    }
}

static int field_called(const shape *s, const char *key) {
    for (int i = 0; s->fields[i].key; i++)
        if (strcmp(s->fields[i].key, key) == 0) return i;
    return -1;
}

static bool read_field(body *out, scan *s, const shape *as) {
    char key[KEY_MAX];
    size_t at = scan_here(s);
    if (!scan_key(s, key, sizeof key)) return false;
    int i = field_called(as, key);
    if (i < 0 || out->value[i].given) {
        s->at = at;
        return wrong(s, key, i < 0 ? "there is no such key here" : "this key is here twice", as->help);
    }
    if (read_value(&out->value[i], s, &as->fields[i])) return true;
    if (!s->error->place[0]) snprintf(s->error->place, sizeof s->error->place, "%s", key);
    return false;
}

static bool is_all_there(const body *b, scan *s, const shape *as) {
    for (int i = 0; as->fields[i].key; i++)
        if (!as->fields[i].optional && !b->value[i].given)
            return wrong(s, as->fields[i].key, "this key is missing", as->fields[i].help);
    return true;
}

lw_status body_read(body *out, const shape *as, const char *text, size_t size, lw_error *error) {
    lw_error own;
    scan s = scan_begin(text, size, error ? error : &own);
    bool first = true;
    *out = (body){0};
    scan_open(&s, '{');
    while (scan_more(&s, '}', &first) && read_field(out, &s, as)) {
    }
    if (scan_end(&s)) is_all_there(out, &s, as);
    if (s.error->status && !s.error->place[0]) snprintf(s.error->place, sizeof s.error->place, "body");
    if (s.error->status) body_clear(out);
    return s.error->status;
}

void body_clear(body *b) {
    for (int i = 0; i < FIELDS_MAX; i++) free(b->value[i].text);
    *b = (body){0};
}

void body_place(const body_value *object, lw_error *error) {
    if (!error->line || !object->line) return;
    if (error->line == 1) error->column += object->column - 1;
    error->line += object->line - 1;
}
