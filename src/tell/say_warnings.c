/* The cut's warnings in the plan's own unit. */
#include "saying.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The cut's own words, in which lengths are in mm and areas in cm2, with numbers as gaps where gaps are
 * wanted.
 */
static void retell(saying *s, const char *message) {
    for (const char *c = message; *c;) {
        char *after;
        if (*c == '"') {
            say_words(s, c == message || c[-1] == ' ' ? "\xE2\x80\x9C" : "\xE2\x80\x9D");
            c++;
            continue;
        }
        if (*c < '0' || *c > '9') {
            say_words(s, "%c", *c++);
            continue;
        }
        double value = strtod(c, &after);
        char text[32];
        if (strncmp(after, " mm", 3) == 0) {
            say_metres(s, value / 1000);
            after += 3;
        } else if (strncmp(after, " cm2", 4) == 0) {
            bool inches = s->units == LW_INCH;
            snprintf(text, sizeof text, "%.0f", inches ? value / (2.54 * 2.54) : value);
            say_number(s, NULL, text, inches ? " sq in" : " sq cm");
            after += 4;
        } else {
            snprintf(text, sizeof text, "%.*s", (int)(after - c < 31 ? after - c : 31), c);
            say_number(s, NULL, text, "");
        }
        c = after;
    }
}

void say_capital(char *text) {
    if (*text >= 'a' && *text <= 'z') *text = (char)(*text - 'a' + 'A');
}

void say_message(char *out, size_t size, const char *message, lw_units units) {
    saying s = say_begin(out, size, units, SAY_PLAIN, NULL);
    retell(&s, message);
}

void say_warnings(char out[SAY_MAX], const tell_subject *of, int step, say_form form, int *gap) {
    saying s = say_begin(out, SAY_MAX, of->plan->units, form, gap);
    for (int i = 0; i < lw_cut_warning_count(of->cut); i++) {
        const lw_warning *w = lw_cut_warning(of->cut, i);
        if (w->step != step) continue;
        say_words(&s, "%sWatch out: ", s.size ? " " : "");
        retell(&s, w->message);
        char remedy[sizeof w->remedy];
        snprintf(remedy, sizeof remedy, "%s", w->remedy);
        say_capital(remedy);
        say_words(&s, ". %s.", remedy);
    }
    say_end(&s, gap);
}
