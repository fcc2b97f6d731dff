/* The steps: each its name, its panels, one of them held, what to do and what it leaves. Two share a page
 * where their words leave the drawings enough room. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "caution.h"
#include "look.h"
#include "sheet.h"
#include "step_drawing.h"

/* Of the width: the head with the panels; the rest shows the hold. */
static const double PANELS_SHARE = 0.4;

enum { HEADING = 36, DRAWING_LEAST = 168, DRAWING_MOST = 250, ALONE_MOST = 320, ASIDE = 184, BETWEEN = 20 };

static const char *state_name(lw_state state) {
    return state == LW_STATE_WET ? "wet" : state == LW_STATE_CURLED ? "dry, where the curl lies" : "dry";
}

/* "“left back”, and “right back” mirrored · 14 panels in 42 bites · cut wet" */
static void facts(const sheet *s, char *out, size_t size, int step) {
    const lw_plan *plan = s->subject->plan;
    const lw_step *does = &plan->steps[step - 1];
    const char *dot = " \xC2\xB7 ";
    int panels = 0, bites = 0;
    for (int i = 0; i < lw_cut_panel_count(s->subject->cut); i++) {
        const lw_panel *p = lw_cut_panel(s->subject->cut, i);
        if (p->step != step) continue;
        bites++;
        panels += p->bite == 1;
    }
    size_t n =
        (size_t)snprintf(out, size, "%s%s%s%s", strcmp(does->section, "all") ? does->section : "whole head",
                         does->mirror[0] ? ", then " : "", does->mirror, does->mirror[0] ? " mirrored" : "");
    if (s->form == SAY_PLAIN && n < size) {
        n += (size_t)snprintf(out + n, size - n, "%s%d panel%s", dot, panels, panels == 1 ? "" : "s");
        if (bites > panels && n < size) n += (size_t)snprintf(out + n, size - n, " in %d bites", bites);
    }
    lw_state state = does->state == LW_STATE_INHERIT ? plan->hair.state : does->state;
    if (n < size) snprintf(out + n, size - n, "%scut %s", dot, state_name(state));
}

/* The words of a step, and how tall they come out. */
typedef struct words {
    char step[SAY_MAX], result[SAY_MAX], warnings[SAY_MAX], caution[CAUTION_MAX];
    double tall;
} words;

static double doing_width(const sheet *s) { return s->body.width - ASIDE - LOOK_GUTTER; }

static double tall_of(text_role role, double width, const char *text) {
    return text[0] ? text_size(role, width, text).y : 0;
}

static void say(sheet *s, words *w, int step) {
    const draw_subject *of = s->subject;
    say_step(w->step, of, step, s->form, &s->gap);
    say_result(w->result, of, step, s->form, &s->gap);
    w->warnings[0] = 0;
    if (s->form == SAY_PLAIN) say_warnings(w->warnings, of, step, s->form, &s->gap);
    caution_of_step(w->caution, of, step);
    double aside = tall_of(TEXT_BODY, ASIDE, w->result) + tall_of(TEXT_SMALL, ASIDE, w->warnings) +
                   tall_of(TEXT_SMALL, ASIDE, w->caution);
    aside += (w->warnings[0] ? LOOK_GRID : 0) + (w->caution[0] ? LOOK_GRID : 0);
    w->tall = fmax(tall_of(TEXT_BODY, doing_width(s), w->step), aside);
}

static void draw_heading(sheet *s, drawing *d, int step) {
    char text[LW_NAME_MAX + 24], fitted[LW_NAME_MAX + 24], about[3 * LW_NAME_MAX + 96],
        shown[3 * LW_NAME_MAX + 96];
    char name[LW_NAME_MAX + 8];
    sheet_apart(name, sizeof name, s->subject->plan->steps[step - 1].name);
    say_capital(name);
    snprintf(text, sizeof text, "%d  %s", step, name);
    sheet_fitted(fitted, sizeof fitted, TEXT_HEADING, s->body.width, 1, text);
    sheet_words(d, PART_HEADING, TEXT_HEADING, (point){s->body.x, s->y}, 0, fitted);
    facts(s, about, sizeof about, step);
    sheet_fitted(shown, sizeof shown, TEXT_SMALL, s->body.width, 1, about);
    sheet_words(d, PART_PARAGRAPH, TEXT_SMALL, (point){s->body.x, s->y + 20}, 0, shown);
}

static void draw_figures(sheet *s, drawing *d, int step, double height) {
    double wide = (s->body.width - LOOK_GUTTER) * PANELS_SHARE;
    frame left = {s->body.x, s->y + HEADING, wide, height}, right = left;
    bool blank = s->form == SAY_GAPS;
    char alt[LW_NAME_MAX + 96];
    const char *name = s->subject->plan->steps[step - 1].name;
    right.x += wide + LOOK_GUTTER;
    right.width = s->body.width - LOOK_GUTTER - wide;
    snprintf(alt, sizeof alt, "Step %d, %s: its panels on the head, in cutting order.", step, name);
    draw_open(d, PART_FIGURE, alt);
    s->status = draw_step_panels(d, &s->study, step, left, blank, s->error);
    draw_close(d);
    if (s->status) return;
    snprintf(alt, sizeof alt, "Step %d, %s: how a panel is held and where it is cut.", step, name);
    draw_open(d, PART_FIGURE, alt);
    s->status = draw_step_hold(d, &s->study, step, right, blank, s->error);
    draw_close(d);
}

static void draw_words(sheet *s, drawing *d, const words *w, double y) {
    double x = s->body.x + doing_width(s) + LOOK_GUTTER, aside = y;
    sheet_words(d, PART_PARAGRAPH, TEXT_BODY, (point){s->body.x, y}, doing_width(s), w->step);
    aside += sheet_words(d, PART_PARAGRAPH, TEXT_BODY, (point){x, aside}, ASIDE, w->result);
    if (w->warnings[0]) aside += LOOK_GRID;
    aside += sheet_words(d, PART_PARAGRAPH, TEXT_SMALL, (point){x, aside}, ASIDE, w->warnings);
    if (w->caution[0]) aside += LOOK_GRID;
    sheet_words(d, PART_NOTE, TEXT_SMALL, (point){x, aside}, ASIDE, w->caution);
}

static void draw_step(sheet *s, int step, const words *w, double height) {
    drawing *d = sheet_last(s);
    draw_heading(s, d, step);
    draw_figures(s, d, step, height);
    if (s->status) return;
    s->y += HEADING + height + LOOK_GAP;
    draw_words(s, d, w, s->y);
    s->y += w->tall;
}

/* How tall each of `count` drawings may be where the words of that many steps share a page. */
static double drawing_room(const sheet *s, const words *w, int count) {
    double room = s->body.height - 8 * LOOK_GRID - (count - 1) * BETWEEN;
    for (int i = 0; i < count; i++) room -= w[i].tall + HEADING + LOOK_GAP;
    return room / count;
}

/* What is left of the last page, to write on. */
static void draw_notes(sheet *s) {
    enum { LEAST = 150, LINE = 24 };
    drawing *d = sheet_last(s);
    double y = s->y + BETWEEN, bottom = s->body.y + s->body.height;
    if (bottom - y < LEAST) return;
    sheet_rule(d, s->body.x, s->y + BETWEEN / 2.0, s->body.width);
    y += sheet_words(d, PART_HEADING, TEXT_STRONG, (point){s->body.x, y}, 0, "Notes");
    for (y += LINE; y < bottom; y += LINE) sheet_blank(d, s->body.x, y, s->body.width);
}

static void rule_between(sheet *s) {
    sheet_rule(sheet_last(s), s->body.x, s->y + BETWEEN / 2.0, s->body.width);
    s->y += BETWEEN;
}

/* How tall the drawings of a step may be under what the last page holds already. */
static double room_below(const sheet *s, const words *w) {
    return s->body.y + s->body.height - s->y - BETWEEN - w->tall - HEADING - 2 * LOOK_GAP;
}

/* The steps from `step` on that share a page of their own, `w` the words of the first. Returns their number.
 */
static int draw_page(sheet *s, int step, words *w) {
    int count = 1, gap = s->gap;
    if (step < s->subject->plan->step_count) {
        say(s, &w[1], step + 1);
        count = drawing_room(s, w, 2) >= DRAWING_LEAST ? 2 : 1;
        if (count == 1) s->gap = gap;
    }
    if (!sheet_page(s)) return count;
    double height = fmin(drawing_room(s, w, count), count > 1 ? DRAWING_MOST : ALONE_MOST);
    for (int i = 0; i < count && !s->status; i++) {
        if (i) rule_between(s);
        draw_step(s, step + i, &w[i], height);
    }
    return count;
}

void sheet_steps(sheet *s) {
    int steps = s->subject->plan->step_count;
    for (int step = 1; step <= steps && !s->status;) {
        words w[2];
        say(s, &w[0], step);
        double below = room_below(s, &w[0]);
        if (step == 1 && s->page_count > 1 && below >= DRAWING_LEAST) { /* readings that took a second page */
            rule_between(s);
            draw_step(s, step++, &w[0], fmin(below, DRAWING_MOST));
        } else {
            step += draw_page(s, step, w);
        }
    }
    if (steps && !s->status) draw_notes(s);
}
