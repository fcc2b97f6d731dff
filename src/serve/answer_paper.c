/* Answers that need no book: what answers here, plans on other heads, and the sheet. */
#include <stdlib.h>
#include <string.h>

#include "openapi.h"
#include "work.h"

enum { PLAN, MEASURES, NAME }; /* fields of PlanAndMeasures */

/* ---- about -------------------------------------------------------------------------------- */

static void put_words(json *j, const char *key, const char *const *words) {
    put_open_inline(j, key, '[');
    for (int i = 0; words[i]; i++) put_text(j, NULL, words[i]);
    put_close(j, ']');
}

static void put_limits(json *j) {
    static const struct {
        const char *key;
        int64_t most;
    } limits[] = {{"plan", INT64_C(4) << 20},  {"measures", BOOK_MEASURES_MAX - 1},
                  {"note", BOOK_NOTE_MAX - 1}, {"name", LW_TITLE_MAX - 1},
                  {"tags", BOOK_TAGS_MAX - 1}, {"find", 10000},
                  {"sheet", PAPER_HAIRS}};
    put_open_inline(j, "limits", '{');
    for (size_t i = 0; i < sizeof limits / sizeof *limits; i++) put_whole(j, limits[i].key, limits[i].most);
    put_close(j, '}');
}

lw_status answer_about(work *w) {
    static const char *const units[] = {"cm", "in", NULL};
    const parameter *sheet = routes[ROUTE_SHEET].parameters;
    put_open_inline(w->out, NULL, '{');
    put_text(w->out, "program", "lengthwise");
    put_text(w->out, "version", LW_VERSION);
    put_text(w->out, "book", book_file(w->book));
    put_words(w->out, "units", units);
    put_words(w->out, "papers", sheet[SHEET_PAPER].words);
    put_words(w->out, "kinds", sheet[SHEET_KIND].words);
    put_limits(w->out);
    put_close(w->out, '}');
    return LW_OK;
}

lw_status answer_openapi(work *w) {
    openapi_put(w->out);
    return LW_OK;
}

/* ---- measures ----------------------------------------------------------------------------- */

static void put_one(json *j, const char *key, const char *text, bool is_json) {
    put_open_inline(j, NULL, '{');
    if (is_json)
        put_value(j, key, text);
    else
        put_text(j, key, text);
    put_close(j, '}');
}

lw_status answer_measures_into(work *w) {
    const body_value *value = w->in->value;
    char *text = NULL;
    lw_status status = book_measures_into(&text, value[PLAN].text, strlen(value[PLAN].text),
                                          value[MEASURES].text, value[NAME].text, w->error);
    if (!status) put_one(w->out, "text", text, false);
    free(text);
    return status;
}

lw_status answer_measures_of(work *w) {
    const char *plan = w->in->value[PLAN].text;
    char *measures = NULL;
    lw_status status = book_measures_of(&measures, plan, strlen(plan), w->error);
    if (!status) put_one(w->out, "measures", measures, true);
    free(measures);
    return status;
}

/* ---- the sheet ---------------------------------------------------------------------------- */

lw_status answer_sheet(work *w) {
    const argument *given = w->asked->argument;
    char date[DRAW_DATE_MAX];
    draw_bytes sheet = {0};
    draw_sheet_options how = draw_sheet_default();
    how.paper = (draw_paper)given[SHEET_PAPER].word;
    how.use = (draw_use)given[SHEET_KIND].word;
    how.date = given[SHEET_DATE].given ? given[SHEET_DATE].text : draw_today(date);
    lw_status status = paper_print(&sheet, w->rooms->paper, w->text, w->size, &how, w->error);
    if (status) return status;
    w->reply->data = (char *)sheet.data;
    w->reply->size = sheet.size;
    return LW_OK;
}
