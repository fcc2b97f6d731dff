#include "printable.h"

#include <glib.h>
#include <stdbool.h>

static bool is_printed(gunichar c) {
    if (c < 0x20) return c == '\n' || c == '\t';
    return !(c >= 0x7f && c < 0xa0) && !(c >= 0xfdd0 && c <= 0xfdef) && (c & 0xfffe) != 0xfffe;
}

char *printable(const char *text) {
    char *valid = g_utf8_make_valid(text, -1);
    GString *out = g_string_sized_new(64);
    for (const char *p = valid; *p; p = g_utf8_next_char(p)) {
        gunichar c = g_utf8_get_char(p);
        if (c == 0x0d) continue; /* of a line break on some systems */
        g_string_append_unichar(out, is_printed(c) ? c : 0xfffd);
    }
    g_free(valid);
    return g_string_free(out, FALSE);
}
