/* The answers of a worksheet: by the numbers of its gaps, in its order. */
#include <stdio.h>

#include "look.h"
#include "sheet.h"

static double answers(sheet *s, drawing *d, point at, double width, int step) {
    char text[LW_NAME_MAX + 16], name[LW_NAME_MAX], said[2 * SAY_MAX];
    double y = at.y;
    snprintf(name, sizeof name, "%s", s->subject->plan->steps[step - 1].name);
    say_capital(name);
    snprintf(text, sizeof text, "%d  %s", step, name);
    char fitted[LW_NAME_MAX + 16];
    sheet_fitted(fitted, sizeof fitted, TEXT_STRONG, width, 1, text);
    y += sheet_words(d, PART_HEADING, TEXT_STRONG, (point){at.x, y}, 0, fitted);
    say_step(said, s->subject, step, s->form, &s->gap);
    y += sheet_words(d, PART_PARAGRAPH, TEXT_BODY, (point){at.x, y}, width, said);
    say_result(said, s->subject, step, s->form, &s->gap);
    y += sheet_words(d, PART_PARAGRAPH, TEXT_BODY, (point){at.x, y}, width, said);
    return y - at.y;
}

/* Three columns, as the tables below have. */
static void draw_falls(sheet *s, drawing *d) {
    enum { TALL = 170 };
    double column = (s->body.width - 2 * LOOK_GUTTER) / SHEET_FALLS;
    s->y += sheet_words(d, PART_HEADING, TEXT_STRONG, (point){s->body.x, s->y}, 0, "How it falls");
    sheet_falls(s, d, (frame){s->body.x, s->y, column, TALL}, column + LOOK_GUTTER);
    s->y += TALL + sheet_falls_below(s, column) + LOOK_GUTTER;
}

void sheet_key(sheet *s) {
    drawing *d = sheet_page(s);
    if (!d) return;
    sheet_title(s);
    if (s->subject->fallen) draw_falls(s, d);
    s->y += glance_tables(s, d, (point){s->body.x, s->y}, s->body.width) + LOOK_GUTTER;
    double bottom = s->body.y + s->body.height;
    for (int step = 1; step <= s->subject->plan->step_count; step++) {
        drawing scratch;
        int gap = s->gap;
        drawing_begin(&scratch, s->body.width, s->body.height);
        double tall = answers(s, &scratch, (point){0, 0}, s->body.width, step);
        drawing_clear(&scratch);
        s->gap = gap;
        if (s->y + tall > bottom) d = sheet_page(s);
        if (!d) return;
        s->y += answers(s, d, (point){s->body.x, s->y}, s->body.width, step) + LOOK_GAP;
    }
}
