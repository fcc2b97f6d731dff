/* The sheet: a plan carried out, on paper. Pages are drawings (drawing.h) made one after another and painted
 * as one file; what is on them is in sheet_glance.c, sheet_step.c and sheet_key.c. */
#include "sheet.h"

#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "look.h"
#include "paint.h"

draw_sheet_options draw_sheet_default(void) {
    return (draw_sheet_options){.format = DRAW_PDF, .paper = DRAW_A4, .dpi = 150, .date = ""};
}

static bool is_date(const char *s) {
    static const char form[] = "0000-00-00";
    if (strlen(s) != strlen(form)) return false;
    for (int i = 0; form[i]; i++)
        if (form[i] == '0' ? s[i] < '0' || s[i] > '9' : s[i] != form[i]) return false;
    int month = 10 * (s[5] - '0') + s[6] - '0', day = 10 * (s[8] - '0') + s[9] - '0';
    return month >= 1 && month <= 12 && day >= 1 && day <= 31;
}

static lw_status check(const draw_sheet_options *o, lw_error *error) {
    if (o->date && o->date[0] && !is_date(o->date))
        return fail(error, LW_ERROR_ARGUMENT, "date", "Write year, month and day: 2026-03-01.",
                    "\"%.40s\" is not a date", o->date);
    if (!(o->dpi >= 18 && o->dpi <= 1200))
        return fail(error, LW_ERROR_ARGUMENT, "dpi", "150 is enough for a screen, 300 for a printer.",
                    "a picture has 18 to 1200 dots per inch");
    return LW_OK;
}

void sheet_clear(sheet *s) {
    for (int i = 0; i < s->page_count; i++) drawing_clear(&s->pages[i]);
    for (int i = 0; i < s->picture_count; i++) {
        image_clear(s->pictures[i]);
        free(s->pictures[i]);
    }
    free(s->pages);
    free(s->pictures);
    if (!s->lent) study_clear(&s->study);
}

struct draw_ready {
    study study;
};

lw_status draw_ready_new(draw_ready **out, const draw_subject *subject, lw_error *error) {
    draw_ready *ready = *out = calloc(1, sizeof *ready);
    if (!ready) return fail_memory(error, "drawing");
    lw_status status = study_new(&ready->study, subject, error);
    if (!status) return LW_OK;
    free(ready);
    *out = NULL;
    return status;
}

void draw_ready_free(draw_ready *ready) {
    if (ready) study_clear(&ready->study);
    free(ready);
}

static lw_status make_ready(sheet *s) {
    const draw_ready *ready = s->options->ready;
    if (!ready) return study_new(&s->study, s->subject, s->error);
    s->study = ready->study;
    s->study.subject = *s->subject;
    s->lent = true;
    return LW_OK;
}

lw_status sheet_make(sheet *s, const draw_subject *subject, const draw_sheet_options *options,
                     lw_error *error) {
    *s = (sheet){.subject = subject,
                 .options = options,
                 .form = options->use == DRAW_WORKSHEET ? SAY_GAPS
                         : options->use == DRAW_KEY     ? SAY_ANSWERS
                                                        : SAY_PLAIN,
                 .error = error};
    s->status = check(options, error);
    if (s->status) return s->status;
    bool key = s->options->use == DRAW_KEY;
    if (!key || s->subject->fallen) s->status = make_ready(s);
    if (s->status) return s->status;
    if (key) {
        sheet_key(s);
    } else {
        sheet_glance(s);
        if (!s->status) sheet_steps(s);
    }
    if (!s->status) sheet_feet(s);
    return s->status;
}

static lw_status paint_pages(draw_bytes *out, const sheet *s, lw_error *error) {
    const lw_plan *plan = s->subject->plan;
    int page = s->options->page;
    if (page < 0 || page > s->page_count)
        return fail(error, LW_ERROR_ARGUMENT, "page", "Leave it out for all of them.",
                    "the sheet has %d page%s, and no page %d", s->page_count, s->page_count == 1 ? "" : "s",
                    page);
    about_document about = {.title = plan->title[0] ? plan->title : "Haircut",
                            .language = "en",
                            .subject = s->options->use == DRAW_WORKSHEET ? "Worksheet for a haircut"
                                       : s->options->use == DRAW_KEY     ? "Answers to a worksheet"
                                                                         : "Cutting sheet for a haircut",
                            .date = s->options->date ? s->options->date : ""};
    return paint(out, s->pages + (page ? page - 1 : 0), page ? 1 : s->page_count, &about, s->options->format,
                 s->options->dpi, error);
}

lw_status draw_sheet(draw_bytes *out, const draw_subject *subject, const draw_sheet_options *options,
                     lw_error *error) {
    *out = (draw_bytes){0};
    sheet s;
    lw_status status = sheet_make(&s, subject, options, error);
    if (!status) status = paint_pages(out, &s, error);
    sheet_clear(&s);
    return status;
}
