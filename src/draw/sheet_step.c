/* The steps: each its name, its panels, one of them held, what to do and what it leaves. Two share a page
 * where their words leave the drawings enough room.
 *
 * First all are placed, which takes their words alone; then their figures, which take long, are drawn side by
 * side; then the pages are put together. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
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

/* A step, where it stands, and its figures apart from the page. */
typedef struct placed {
    int step, page; /* pages count from 0 */
    bool below;     /* something else, on the same page */
    double y, height;
    words words;
    drawing panels, hold;
    lw_error error;
} placed;

static double doing_width(const sheet *s) { return s->body.width - ASIDE - LOOK_GUTTER; }

/* A step that is left out: its name and a sentence, and nothing to draw. */
static bool out(const sheet *s, const placed *p) { return !lw_step_is_cut(s->subject->plan, p->step - 1); }

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

static void draw_heading(sheet *s, drawing *d, const placed *p) {
    char text[LW_NAME_MAX + 24], fitted[LW_NAME_MAX + 24], about[3 * LW_NAME_MAX + 96],
        shown[3 * LW_NAME_MAX + 96];
    char name[LW_NAME_MAX + 8];
    sheet_apart(name, sizeof name, s->subject->plan->steps[p->step - 1].name);
    say_capital(name);
    snprintf(text, sizeof text, "%d  %s", p->step, name);
    sheet_fitted(fitted, sizeof fitted, TEXT_HEADING, s->body.width, 1, text);
    sheet_words(d, PART_HEADING, TEXT_HEADING, (point){s->body.x, p->y}, 0, fitted);
    facts(s, about, sizeof about, p->step);
    sheet_fitted(shown, sizeof shown, TEXT_SMALL, s->body.width, 1, about);
    sheet_words(d, PART_PARAGRAPH, TEXT_SMALL, (point){s->body.x, p->y + 20}, 0, shown);
}

static void draw_figures(const sheet *s, placed *p) {
    if (out(s, p)) return;
    double wide = (s->body.width - LOOK_GUTTER) * PANELS_SHARE;
    frame left = {s->body.x, p->y + HEADING, wide, p->height}, right = left;
    bool blank = s->form == SAY_GAPS;
    right.x += wide + LOOK_GUTTER;
    right.width = s->body.width - LOOK_GUTTER - wide;
    if (!draw_step_panels(&p->panels, &s->study, p->step, left, blank, &p->error))
        draw_step_hold(&p->hold, &s->study, p->step, right, blank, &p->error);
}

static void put_figure(drawing *d, const placed *p, const char *name, const char *shows,
                       const drawing *figure) {
    char alt[LW_NAME_MAX + 96];
    snprintf(alt, sizeof alt, "Step %d, %s: %s", p->step, name, shows);
    draw_open(d, PART_FIGURE, alt);
    draw_drawing(d, figure);
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

static void draw_step(sheet *s, const placed *p) {
    drawing *d = &s->pages[p->page];
    const char *name = s->subject->plan->steps[p->step - 1].name;
    if (p->below) sheet_rule(d, s->body.x, p->y - BETWEEN / 2.0, s->body.width);
    draw_heading(s, d, p);
    if (out(s, p)) {
        draw_words(s, d, &p->words, p->y + HEADING);
        return;
    }
    put_figure(d, p, name, "its panels on the head, in cutting order.", &p->panels);
    put_figure(d, p, name, "how a panel is held and where it is cut.", &p->hold);
    draw_words(s, d, &p->words, p->y + HEADING + p->height + LOOK_GAP);
}

/* How tall each of `count` drawings may be where the words of that many steps share a page. */
static double drawing_room(const sheet *s, const placed *p, int count) {
    double room = s->body.height - 8 * LOOK_GRID - (count - 1) * BETWEEN;
    for (int i = 0; i < count; i++) room -= p[i].words.tall + HEADING + LOOK_GAP;
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

static void place_step(sheet *s, placed *p, bool below, double height) {
    if (below) s->y += BETWEEN;
    p->page = s->page_count - 1;
    p->below = below;
    p->y = s->y;
    p->height = height;
    s->y += HEADING + height + LOOK_GAP + p->words.tall;
}

/* How tall the drawings of a step may be under what the last page holds already. */
static double room_below(const sheet *s, const placed *p) {
    return s->body.y + s->body.height - s->y - BETWEEN - p->words.tall - HEADING - 2 * LOOK_GAP;
}

/* The steps from the first, whose words are there, that share a page of their own. Returns their number. */
static int place_page(sheet *s, placed *p) {
    int count = 1, gap = s->gap;
    if (p->step < s->subject->plan->step_count && !out(s, &p[1])) {
        say(s, &p[1].words, p->step + 1);
        count = drawing_room(s, p, 2) >= DRAWING_LEAST ? 2 : 1;
        if (count == 1) s->gap = gap;
    }
    if (!sheet_page(s)) return count;
    double height = fmin(drawing_room(s, p, count), count > 1 ? DRAWING_MOST : ALONE_MOST);
    for (int i = 0; i < count; i++) place_step(s, &p[i], i > 0, height);
    return count;
}

static void place_out(sheet *s, placed *p) {
    bool below = s->page_count > 1 && room_below(s, p) >= 0;
    if (below || sheet_page(s)) place_step(s, p, below, 0);
}

static void place_steps(sheet *s, placed *all, int count) {
    for (int i = 0; i < count; i++) all[i].step = i + 1;
    for (int i = 0; i < count && !s->status;) {
        placed *p = &all[i];
        say(s, &p->words, p->step);
        double below = room_below(s, p);
        if (out(s, p)) {
            place_out(s, p);
            i++;
        } else if (i == 0 && s->page_count > 1 &&
                   below >= DRAWING_LEAST) { /* readings that took a second page */
            place_step(s, p, true, fmin(below, DRAWING_MOST));
            i++;
        } else {
            i += place_page(s, p);
        }
    }
}

void sheet_steps(sheet *s) {
    int count = s->subject->plan->step_count;
    if (count == 0) return;
    placed *all = calloc((size_t)count, sizeof *all);
    if (!all) {
        s->status = fail_memory(s->error, "sheet");
        return;
    }
    place_steps(s, all, count);
    if (!s->status) {
#pragma omp parallel for schedule(dynamic, 1)
        for (int i = 0; i < count; i++) draw_figures(s, &all[i]);
    }
    for (int i = 0; i < count; i++) {
        if (!s->status && all[i].error.status) s->status = fail_as(s->error, &all[i].error);
        if (!s->status) draw_step(s, &all[i]);
        drawing_clear(&all[i].panels);
        drawing_clear(&all[i].hold);
    }
    free(all);
    if (!s->status) draw_notes(s);
}
