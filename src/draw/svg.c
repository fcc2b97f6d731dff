/* Cairo writes words as shapes, so nothing depends on the reader's fonts; but then nobody who listens hears
 * them, and a window has no title. Both are put in as text. Cairo also numbers pictures and groups by how
 * many it has made since the program started; they are numbered again from the top of the file, so that the
 * same pages are the same bytes.
 *
 * What is changed is found by what cannot stand elsewhere: an id or a reference to one begins after a quote
 * or a #, which the shapes and the pictures' base64 do not contain. */
#include "svg.h"

#include <glib.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "printable.h"

/* ---- text of XML ---- */

static void add_escaped(bytes *out, const char *text) {
    char *valid = printable(text);
    for (const char *p = valid; *p; p = g_utf8_next_char(p)) {
        const char *name = *p == '&'   ? "&amp;"
                           : *p == '<' ? "&lt;"
                           : *p == '>' ? "&gt;"
                           : *p == '"' ? "&quot;"
                                       : NULL;
        if (name)
            bytes_text(out, name);
        else
            bytes_add(out, p, (size_t)(g_utf8_next_char(p) - p));
    }
    g_free(valid);
}

/* Everything that is said on the pages, in order. */
static void add_words(bytes *out, const drawing *pages, int count) {
    for (int k = 0; k < count; k++)
        for (int i = 0; i < pages[k].mark_count; i++) {
            const mark *m = &pages[k].marks[i];
            if ((m->kind != MARK_TEXT && m->kind != MARK_OPEN) || !m->text) continue;
            add_escaped(out, drawing_text(&pages[k], m->text));
            bytes_text(out, "\n");
        }
}

/* ---- numbers ---- */

typedef struct numbering {
    unsigned *seen; /* cairo's numbers, in order of appearance */
    int count, room;
} numbering;

static int number_again(numbering *n, unsigned number, bool *failed) {
    for (int i = 0; i < n->count; i++)
        if (n->seen[i] == number) return i;
    if (n->count == n->room) {
        int room = n->room ? 2 * n->room : 64;
        unsigned *larger = realloc(n->seen, (size_t)room * sizeof *larger);
        if (!larger) {
            *failed = true;
            return 0;
        }
        n->seen = larger;
        n->room = room;
    }
    n->seen[n->count] = number;
    return n->count++;
}

/* The length of a name that cairo numbers by its own count, if one starts at p and digits follow. */
static size_t counted_name(const char *p, const char *end) {
    static const char *const names[] = {"image", "surface"};
    for (int i = 0; i < 2; i++) {
        size_t length = strlen(names[i]);
        if ((size_t)(end - p) > length && memcmp(p, names[i], length) == 0 && g_ascii_isdigit(p[length]))
            return length;
    }
    return 0;
}

static void add_numbered_again(bytes *out, const char *p, const char *end) {
    numbering n = {0};
    const char *kept = p;
    while (p < end) {
        size_t length = *p == '"' || *p == '#' ? counted_name(p + 1, end) : 0;
        p++;
        if (!length) continue;
        p += length;
        bytes_add(out, kept, (size_t)(p - kept));
        unsigned number = 0;
        for (; p < end && g_ascii_isdigit(*p); p++) number = 10 * number + (unsigned)(*p - '0');
        bytes_print(out, "%d", number_again(&n, number, &out->failed));
        kept = p;
    }
    bytes_add(out, kept, (size_t)(end - kept));
    free(n.seen);
}

/* ---- the file ---- */

static const char *after(const char *text, const char *end, const char *what) {
    size_t length = strlen(what);
    for (; (size_t)(end - text) >= length; text++)
        if (memcmp(text, what, length) == 0) return text + length;
    return NULL;
}

lw_status svg_finish(bytes *file, const drawing *pages, int count, const about_document *about,
                     lw_error *error) {
    const char *text = (const char *)file->data, *end = text + file->size;
    const char *element = after(text, end, "<svg "), *content = element ? after(element, end, ">") : NULL;
    if (!content)
        return fail(error, LW_ERROR_ARGUMENT, "page", "Report this, with the version of cairo.",
                    "the SVG could not be finished: it has no svg element");
    bytes finished = {0};
    bytes_add(&finished, text, (size_t)(element - text));
    bytes_text(&finished, "xml:lang=\"");
    add_escaped(&finished, about->language ? about->language : "en");
    bytes_text(&finished, "\" role=\"img\" ");
    bytes_add(&finished, element, (size_t)(content - element));
    bytes_text(&finished, "\n<title>");
    add_escaped(&finished, about->title ? about->title : "");
    bytes_text(&finished, "</title>\n<desc>");
    add_words(&finished, pages, count);
    bytes_text(&finished, "</desc>");
    add_numbered_again(&finished, content, end);
    bytes_clear(file);
    *file = finished;
    return file->failed ? fail_memory(error, "page") : LW_OK;
}
