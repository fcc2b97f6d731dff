/* A plan's sentences as JSON, cut where a field of the plan chose the words: for a page on which they are the
 * controls. */
#include <stdio.h>
#include <string.h>

#include "tell_json.h"

/* A marked text as a list of runs: {"text"} or {"text", "field"}. */
static void put_runs(json *j, const char *key, const char *marked) {
    static const char begins[] = {SAY_MARK, 0}, parts[] = {SAY_MARK_TEXT, 0}, ends[] = {SAY_MARK_END, 0};
    put_open_inline(j, key, '[');
    for (const char *at = marked; *at;) {
        size_t path = 0;
        const char *field = NULL;
        if (*at == SAY_MARK) {
            field = at + 1;
            path = strcspn(field, parts);
            at = field + path + (field[path] != 0);
        }
        size_t n = strcspn(at, field ? ends : begins);
        put_open(j, NULL, '{');
        put_some(j, "text", at, n);
        if (field) put_some(j, "field", field, path);
        put_close(j, '}');
        at += n + (field && at[n]);
    }
    put_close(j, ']');
}

static void put_step(json *j, const tell_subject *of, int step) {
    char said[SAY_MAX], caution[CAUTION_MAX] = "";
    say_step(said, of, step, SAY_MARKED, NULL);
    if (of->cut) caution_of_step(caution, of, step);
    put_open(j, NULL, '{');
    put_text(j, "name", of->plan->steps[step - 1].name);
    put_runs(j, "says", said);
    put_text(j, "caution", caution);
    put_close(j, '}');
}

void put_words(json *j, const tell_subject *of) {
    char said[SAY_MAX];
    put_open(j, NULL, '{');
    put_open(j, "partings", '[');
    for (int i = 0; i < of->plan->split_count; i++) {
        say_parting(said, of->plan, i, SAY_MARKED);
        put_runs(j, NULL, said);
    }
    put_close(j, ']');
    put_open(j, "steps", '[');
    for (int i = 1; i <= of->plan->step_count; i++) put_step(j, of, i);
    put_close(j, ']');
    put_open(j, "cautions", '[');
    for (int i = 0; tell_caution(of->plan, i); i++) put_text(j, NULL, tell_caution(of->plan, i));
    put_close(j, ']');
    put_close(j, '}');
}
