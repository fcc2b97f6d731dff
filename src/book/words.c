/* What names, tags and notes may be: UTF-8 that can be seen, of a bounded size. */
#include "words.h"

#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "utf8.h"

/* Whether it is UTF-8 with no control characters but those of `also`. */
static bool seen(const char *text, const char *also) {
    size_t left = strlen(text);
    while (left > 0) {
        size_t n = utf8_size(text, left);
        unsigned char c = (unsigned char)*text;
        if (n == 0 || ((c < 0x20 || c == 0x7f) && !strchr(also, c))) return false;
        text += n;
        left -= n;
    }
    return true;
}

static lw_status check(const char *text, size_t room, const char *also, const char *what, lw_error *error) {
    if (strspn(text, " \n\t") == strlen(text))
        return fail(error, LW_ERROR_ARGUMENT, what, "Write something.", "the %s is empty", what);
    if (strlen(text) >= room)
        return fail(error, LW_ERROR_ARGUMENT, what, "Shorten it.", "the %s has %zu bytes; up to %zu fit",
                    what, strlen(text), room - 1);
    if (!seen(text, also))
        return fail(error, LW_ERROR_ARGUMENT, what, "Take control characters out, and write it in UTF-8.",
                    "the %s holds what is no text", what);
    return LW_OK;
}

lw_status words_name(const char *name, lw_error *error) {
    return check(name, LW_TITLE_MAX, "", "name", error);
}

lw_status words_note(const char *text, lw_error *error) {
    return check(text, BOOK_NOTE_MAX, "\n\t", "note", error);
}

/* ---- tags --------------------------------------------------------------------------------- */

typedef struct tag {
    const char *at;
    int size;
} tag;

static int by_text(const void *left, const void *right) {
    const tag *a = left, *b = right;
    int least = a->size < b->size ? a->size : b->size, order = memcmp(a->at, b->at, (size_t)least);
    return order ? order : a->size - b->size;
}

lw_status words_tags(char out[BOOK_TAGS_MAX], const char *tags, lw_error *error) {
    tag found[BOOK_TAGS_MAX];
    int count = 0;
    size_t used = 0;
    out[0] = 0;
    if (strspn(tags, " ,") == strlen(tags)) return LW_OK;
    lw_status status = check(tags, BOOK_TAGS_MAX, "", "tags", error);
    if (status) return status;
    for (const char *at = tags; *at; at += *at == ',') {
        at += strspn(at, " ");
        int size = (int)strcspn(at, ",");
        const char *end = at + size;
        while (size > 0 && at[size - 1] == ' ') size--;
        if (size > 0) found[count++] = (tag){at, size};
        at = end;
    }
    qsort(found, (size_t)count, sizeof *found, by_text);
    for (int i = 0; i < count; i++) {
        if (i > 0 && by_text(&found[i - 1], &found[i]) == 0) continue;
        int n = snprintf(out + used, BOOK_TAGS_MAX - used, "%s%.*s", used ? ", " : "", found[i].size,
                         found[i].at);
        used += (size_t)n;
        if (used >= BOOK_TAGS_MAX) {
            out[0] = 0;
            return fail(error, LW_ERROR_ARGUMENT, "tags", "Use fewer or shorter ones.",
                        "the tags are too long");
        }
    }
    return LW_OK;
}

bool words_time(const char *text) {
    static const char form[] = "0000-00-00T00:00:00Z";
    if (strlen(text) != sizeof form - 1) return false;
    for (int i = 0; form[i]; i++)
        if (form[i] == '0' ? text[i] < '0' || text[i] > '9' : text[i] != form[i]) return false;
    return true;
}
