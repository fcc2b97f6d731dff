/* Numbers in panels, in cutting order.
 *
 * A panel is numbered where a number has room in it. Where fewer than half have room, the first and every
 * other one are if all of these stand clear of each other, else the first, every fifth and the last, and of
 * panels that go outward from the middle the first five, so that the order can still be read off. The panel
 * whose hold is drawn has its number wherever it is seen; the first and the last of a side without room have
 * theirs beside the head. Bites share the number of their panel. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "fail.h"
#include "step_label.h"
#include "step_panels.h"
#include "vec.h"

#define LEAST_ROOM 2. /* points: a number may reach over its partings, not leave its panel */
#define STACKED                                                                                              \
    7.4           /* points from line to line at which the paper of one number leaves the next one whole     \
                   */
#define NUDGE 11. /* points that a number may stand beside its column */
#define ROOM 3.4  /* points from a number's middle to the partings beside it: half of its height */

static int collect(const panels_page *g, whole *out) {
    int n = 0;
    for (int i = g->first; i < g->first + g->count; i++) {
        const lw_panel *p = lw_cut_panel(g->cut, i),
                       *before = n ? lw_cut_panel(g->cut, out[n - 1].first) : NULL;
        if (before && before->whole == p->whole) {
            out[n - 1].last = i;
            continue;
        }
        bool start = !before || before->section != p->section;
        if (n && start) out[n - 1].end = true;
        out[n++] = (whole){.first = i,
                           .last = i,
                           .number = p->whole,
                           .end = start,
                           .held = p->whole == lw_cut_panel(g->cut, g->shown)->whole};
    }
    if (n) out[n - 1].end = true;
    return n;
}

/* The middle of what is seen of the panels from `first` to `last`. */
static point middle_of(const mask *m, int first, int last) {
    double x = 0, y = 0, n = 0;
    for (int j = 0; j < m->height; j++)
        for (int i = 0; i < m->width; i++) {
            int l = m->label[(size_t)j * (size_t)m->width + (size_t)i];
            if (l >= first && l <= last) x += i + .5, y += j + .5, n += 1;
        }
    return n > 0 ? (point){m->x + m->size * x / n, m->y + m->size * y / n} : (point){m->x, m->y};
}

/* Numbers of partings that run side by side stand in a column across them. */
static point column(const panels_page *g, const whole *all, int n) {
    lw_family family = g->step->panels.family;
    if (n < 2 || family == LW_FAMILY_RADIAL) return (point){0, 0};
    point a = middle_of(&g->mask, all[0].first, all[0].last);
    point b = middle_of(&g->mask, all[n - 1].first, all[n - 1].last);
    if (family == LW_FAMILY_LEVEL && fabs(g->on.view.toward.y) < .1) b.x = a.x;
    double length = hypot(b.x - a.x, b.y - a.y);
    return length > 1 ? (point){(b.x - a.x) / length, (b.y - a.y) / length} : (point){0, 0};
}

static lw_status find_room(panels_page *g, whole *all, int n) {
    for (int i = 0; i < n;) {
        int section = lw_cut_panel(g->cut, all[i].first)->section, end = i;
        while (end < n && lw_cut_panel(g->cut, all[end].first)->section == section) end++;
        point middle = middle_of(&g->mask, all[i].first, all[end - 1].last);
        point line = column(g, all + i, end - i);
        for (; i < end; i++) {
            lw_status status;
            all[i].seen = mask_room(&g->mask, all[i].first, all[i].last, middle, line, &all[i].at,
                                    &all[i].room, &status);
            if (status) return fail_memory(g->error, "step");
            all[i].column = line;
            all[i].fits = all[i].seen && all[i].room >= ROOM;
        }
    }
    return LW_OK;
}

static double digits(int number) { return number < 10 ? 1 : number < 100 ? 2 : number < 1000 ? 3 : 4; }

static bool apart(const whole *a, const whole *b) {
    double wide = 2.6 * (digits(a->number) + digits(b->number)) + 3;
    return fabs(a->at.x - b->at.x) >= wide || fabs(a->at.y - b->at.y) >= STACKED;
}

static bool clear_of_others(const whole *all, int n, int which) {
    for (int i = 0; i < n; i++)
        if (i != which && all[i].numbered && !apart(&all[i], &all[which])) return false;
    return true;
}

/* The first, the last, every `by`th between them, and with `start` the first five, so far as they are clear
 * of each other. Returns how many of them stand. */
static int number_by(whole *all, int n, int by, bool start, double least, int *wanted) {
    int stand = 0;
    *wanted = 0;
    for (int i = 0; i < n; i++) all[i].numbered = false;
    for (int pass = 0; pass < 2; pass++)
        for (int i = 0; i < n; i++) {
            bool end = i == 0 || i == n - 1,
                 due = (i + 1) % by == 0 || (start && i < 5) || (by == 2 && i % 2 == 0);
            if (by == 2 && i % 2) due = false;
            if (pass ? end || !due : !end) continue;
            bool room = all[i].seen && (all[i].room >= least || all[i].held);
            *wanted += room;
            all[i].numbered = room && clear_of_others(all, n, i);
            stand += all[i].numbered;
        }
    return stand;
}

/* Beside its column, where it does not stand clear in it. */
static lw_status nudge(panels_page *g, whole *all, int n, int which) {
    whole *w = &all[which];
    point column = w->at;
    double room = w->room;
    for (int side = -1; side <= 1 && (w->column.x != 0 || w->column.y != 0); side += 2) {
        lw_status status;
        point near = {column.x - side * NUDGE * w->column.y, column.y + side * NUDGE * w->column.x};
        mask_room(&g->mask, w->first, w->last, near, w->column, &w->at, &w->room, &status);
        if (status) return fail_memory(g->error, "step");
        w->numbered = w->room >= ROOM && clear_of_others(all, n, which);
        if (w->numbered) return LW_OK;
    }
    w->at = column;
    w->room = room;
    return LW_OK;
}

static lw_status number_all(panels_page *g, whole *all, int n) {
    lw_status status = LW_OK;
    for (int pass = 0; pass < 2; pass++) /* the held one first */
        for (int i = 0; i < n && !status; i++) {
            if (pass ? !all[i].fits || all[i].held : !all[i].seen || !all[i].held) continue;
            all[i].numbered = clear_of_others(all, n, i);
            if (!all[i].numbered) status = nudge(g, all, n, i);
        }
    return status;
}

/* The rule of the opening comment. */
static lw_status choose_numbered(panels_page *g, whole *all, int n) {
    int seen = 0, fit = 0, wanted;
    bool outward = g->step->panels.start == LW_EDGE_CENTRE;
    for (int i = 0; i < n; i++) seen += all[i].seen, fit += all[i].fits;
    if (2 * fit >= seen) return number_all(g, all, n);
    if (g->group > 1)
        number_by(all, n, g->group > 5 ? g->group : 5, false, 0, &wanted);
    else if (outward || number_by(all, n, 2, false, LEAST_ROOM, &wanted) < wanted)
        number_by(all, n, 5, outward, LEAST_ROOM, &wanted);
    return LW_OK;
}

/* Room for a number to be written in. */
static void draw_ring(panels_page *g, int about, point at, double radius) {
    enum { RING_POINTS = 24 };
    point ring[RING_POINTS];
    for (int i = 0; i < RING_POINTS; i++) {
        double turn = 2 * LW_PI * i / RING_POINTS;
        ring[i] = (point){at.x + radius * cos(turn), at.y + radius * sin(turn)};
    }
    draw_disc(g->d, AREA_PAPER, about, at, radius);
    draw_line(g->d, LINE_FEATURE, about, ring, RING_POINTS, true);
}

/* A number in its panel; in a worksheet room for one. */
static void draw_number(panels_page *g, const whole *w) {
    char text[16];
    int about = mask_at(&g->mask, w->at);
    snprintf(text, sizeof text, "%d", lw_cut_panel(g->cut, about)->whole);
    if (g->blank)
        draw_ring(g, about, w->at, fmin(5, fmax(3.5, w->room)));
    else
        draw_label(g->d, TEXT_NUMBER, about, w->at, 0, text);
}

/* The first and the last of a side, where no number fits in them: beside the head. */
static void draw_number_aside(panels_page *g, const whole *w) {
    char text[16];
    int about = mask_at(&g->mask, w->at);
    snprintf(text, sizeof text, "%d", lw_cut_panel(g->cut, about)->whole);
    if (!g->blank) label_near(g->d, g->since, g->at, about, w->at, 12, 60, text);
}

lw_status panels_numbers(panels_page *g) {
    whole *all = malloc(sizeof *all * (size_t)g->count);
    if (!all) return fail_memory(g->error, "step");
    int n = collect(g, all);
    lw_status status = find_room(g, all, n);
    if (!status) status = choose_numbered(g, all, n);
    for (int i = 0; i < n && !status; i++)
        if (all[i].numbered) draw_number(g, &all[i]);
    for (int i = 0; i < n && !status; i++)
        if (all[i].end && all[i].seen && !all[i].numbered) draw_number_aside(g, &all[i]);
    free(all);
    return status;
}
