/* What a page says: the table of fields, and a plan's sentences. Each text is written when it is asked for
 * and kept until the next; NULL without memory. */
#include <stdlib.h>

#include "plan.h"
#include "state.h"
#include "tell_json.h"

const char *page_error_place(const page *p) { return p->error.place; }
const char *page_error_message(const page *p) { return p->error.message; }
const char *page_error_remedy(const page *p) { return p->error.remedy; }

static const char *keep(page *p, char *text) {
    free(p->words);
    return p->words = text;
}

const char *page_fields(page *p) {
    char *text = NULL;
    lw_error error;
    if (plan_table(&text, &error) != LW_OK) text = NULL;
    return keep(p, text);
}

static const char *keep_json(page *p, json *j) {
    if (j->text.failed) {
        free(j->text.at);
        j->text.at = NULL;
    }
    return keep(p, j->text.at);
}

const char *page_sentences(page *p) {
    lw_plan plan = p->plan;
    json j = {0};
    if (!p->cut) { /* what was refused may still be a plan */
        lw_error error;
        if (lw_plan_read(&plan, p->text ? p->text : "", p->size, &error) != LW_OK) return keep(p, NULL);
    }
    tell_subject of = {.plan = &plan, .head = p->head, .scalp = p->scalp, .cut = p->cut};
    put_words(&j, &of);
    if (!p->cut) lw_plan_clear(&plan);
    return keep_json(p, &j);
}
