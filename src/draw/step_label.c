/* Words in a drawing, put where they hide nothing.
 *
 * Places are tried on rings round what is named; each costs by what its box would lie on, read from the
 * drawing's own list of marks, so whatever has been drawn is known to be in the way. */
#include "step_label.h"

#include <math.h>
#include <stdlib.h>

#include "grow.h"
#include "look.h"
#include "vec.h"

enum { WAYS = 24 };
#define RING 5. /* points from ring to ring */
#define BLANK_WIDTH 24.
#define CLOSE 9. /* points: farther labels get a leader */

static double line_cost(int role) {
    switch (role) {
    case LINE_FINGER:
        return 9;
    case LINE_ANGLE:
    case LINE_CARRY:
        return 7;
    case LINE_FROM:
    case LINE_LEADER:
        return 4;
    case LINE_OUTLINE:
    case LINE_SECTION:
        return 3;
    case LINE_HAIR:
        return 1.6;
    case LINE_BLANK:
        return 50;
    default:
        return 1.2;
    }
}

/* Length of the segment from a to b inside the box (Liang and Barsky 1984). */
static double inside(point a, point b, frame box) {
    double from = 0, to = 1, d[2] = {b.x - a.x, b.y - a.y}, p[2] = {a.x, a.y};
    double low[2] = {box.x, box.y}, high[2] = {box.x + box.width, box.y + box.height};
    for (int i = 0; i < 2; i++) {
        if (d[i] == 0) {
            if (p[i] < low[i] || p[i] > high[i]) return 0;
            continue;
        }
        double t = (low[i] - p[i]) / d[i], u = (high[i] - p[i]) / d[i];
        from = fmax(from, fmin(t, u));
        to = fmin(to, fmax(t, u));
    }
    return to > from ? (to - from) * hypot(d[0], d[1]) : 0;
}

static double overlap(frame a, frame b) {
    double w = fmin(a.x + a.width, b.x + b.width) - fmax(a.x, b.x);
    double h = fmin(a.y + a.height, b.y + b.height) - fmax(a.y, b.y);
    return w > 0 && h > 0 ? w * h : 0;
}

/* What is in the way round one place: pieces of lines and boxes of text. */
typedef struct obstacle {
    point a, b;  /* a piece of a line */
    frame text;  /* or, with cost 0, words */
    double cost; /* per point of line under a label */
} obstacle;

/* The outline of a pattern that words had better not cover: of what is worked on, lest a word seem to belong
 * where it stands. */
typedef struct patch_outline {
    const point *points;
    int count;
    double cost; /* of each corner of a label on it */
} patch_outline;

enum { OUTLINES_MAX = 16 };

typedef struct obstacles {
    int outline_count;
    patch_outline outlines[OUTLINES_MAX];
    int count, room;
    bool failed; /* memory ran out */
    obstacle *all;
} obstacles;

static frame box_round(point a, point b) {
    return (frame){fmin(a.x, b.x), fmin(a.y, b.y), fabs(a.x - b.x) + 1e-9, fabs(a.y - b.y) + 1e-9};
}

static void add(obstacles *o, obstacle one) {
    obstacle *more = grow(o->all, &o->room, o->count + 1, sizeof *more);
    o->failed |= !more;
    if (!more) return;
    o->all = more;
    o->all[o->count++] = one;
}

static void gather(obstacles *o, const drawing *d, int since, frame reach) {
    for (int i = since; i < d->mark_count; i++) {
        const mark *m = &d->marks[i];
        if (m->kind == MARK_TEXT && overlap(m->at, reach) > 0) add(o, (obstacle){.text = m->at});
        bool pattern = m->kind == MARK_AREA && (m->role == AREA_GUIDE || m->role == AREA_WORK);
        if (pattern && o->outline_count < OUTLINES_MAX)
            o->outlines[o->outline_count++] =
                (patch_outline){d->points + m->first, m->count, m->role == AREA_WORK ? 25 : 8};
        if (m->kind != MARK_LINE) continue;
        const point *p = d->points + m->first;
        for (int k = 1; k < m->count; k++)
            if (overlap(box_round(p[k - 1], p[k]), reach) > 0)
                add(o, (obstacle){.a = p[k - 1], .b = p[k], .cost = line_cost(m->role)});
    }
}

static bool within_outline(const patch_outline *o, point p) {
    bool in = false;
    for (int i = 0, j = o->count - 1; i < o->count; j = i++) {
        point a = o->points[i], b = o->points[j];
        if ((a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) in = !in;
    }
    return in;
}

static double cost_of_patterns(const obstacles *o, frame box) {
    double cost = 0;
    for (int i = 0; i < o->outline_count; i++)
        for (int corner = 0; corner < 4; corner++) {
            point at = {box.x + (corner & 1 ? box.width : 0), box.y + (corner & 2 ? box.height : 0)};
            cost += within_outline(&o->outlines[i], at) ? o->outlines[i].cost : 0;
        }
    return cost;
}

/* What a box costs; more than `most` is not counted out. */
static double cost_of(const obstacles *o, frame within, frame box, double cost, double most) {
    double shown = overlap(box, within), whole = box.width * box.height;
    if (cost < most) cost += cost_of_patterns(o, box);
    if (shown < whole - 1e-6) cost += 500 + 10 * (whole - shown);
    for (int i = 0; i < o->count && cost < most; i++) {
        const obstacle *one = &o->all[i];
        if (one->cost == 0) {
            double under = overlap(one->text, box);
            cost += under > 0 ? 200 + under : 0;
        } else {
            double length = inside(one->a, one->b, box);
            cost += length > 0 ? one->cost * (.3 + length) : 0;
        }
    }
    return cost;
}

static frame box_at(point middle, point size) {
    return (frame){middle.x - size.x / 2, middle.y - size.y / 2, size.x, size.y};
}

/* The way of a leader from `of` to a box; false where they are so close that none is drawn. */
static bool leader_of(point leader[2], point of, frame box) {
    leader[0] = of;
    leader[1] =
        (point){fmax(box.x, fmin(of.x, box.x + box.width)), fmax(box.y, fmin(of.y, box.y + box.height))};
    return hypot(leader[1].x - of.x, leader[1].y - of.y) > CLOSE;
}

/* A leader through the letters of other words. */
static double cost_of_leader(const obstacles *o, point of, frame box) {
    point leader[2];
    double cost = 0;
    if (!leader_of(leader, of, box)) return 0;
    for (int i = 0; i < o->count; i++) {
        frame t = o->all[i].text, core = {t.x, t.y + t.height / 4, t.width, t.height / 2};
        if (o->all[i].cost == 0 && inside(leader[0], leader[1], core) > 0) cost += 6;
    }
    return cost;
}

/* Where a box of that size costs least. */
static point best_place(drawing *d, int since, frame within, point of, double near, double far, point size) {
    point best = of;
    double least = INFINITY, wide = far + size.x, tall = far + size.y;
    obstacles o = {0};
    gather(&o, d, since, (frame){of.x - wide, of.y - tall, 2 * wide, 2 * tall});
    for (double ring = near; ring <= far + 1e-9 && .25 * (ring - near) < least; ring += RING)
        for (int i = 0; i < WAYS; i++) {
            double turn = 2 * LW_PI * i / WAYS, c = cos(turn), s = sin(turn);
            /* the box's near edge, not its middle, keeps the distance */
            double reach = ring + fmin(fabs(c) > 1e-9 ? size.x / 2 / fabs(c) : INFINITY,
                                       fabs(s) > 1e-9 ? size.y / 2 / fabs(s) : INFINITY);
            point p = {of.x + reach * c, of.y + reach * s};
            double away = .25 * (ring - near) + .5 * fabs(s);
            frame box = box_at(p, size);
            double cost = cost_of(&o, within, box, away + cost_of_leader(&o, of, box), least);
            if (cost < least - 1e-9) least = cost, best = p;
        }
    free(o.all);
    d->failed |= o.failed;
    return best;
}

static void lead(drawing *d, int about, point of, point middle, point size) {
    point leader[2];
    if (leader_of(leader, of, box_at(middle, size))) draw_line(d, LINE_LEADER, about, leader, 2, false);
}

void label_near(drawing *d, int since, frame within, int about, point of, double near, double far,
                const char *text) {
    point size = text_size(TEXT_LABEL, 0, text), inset = look_label_inset();
    size.x += 2 * inset.x;
    size.y += 2 * inset.y;
    point at = best_place(d, since, within, of, near, far, size);
    lead(d, about, of, at, size);
    draw_label(d, TEXT_LABEL, about, at, 0, text);
}

void blank_near(drawing *d, int since, frame within, int about, point of, double near, double far,
                const char *before, const char *unit) {
    point words = text_size(TEXT_LABEL, 0, before), size = text_size(TEXT_LABEL, 0, unit);
    if (*before) words.x += 3;
    point whole = {words.x + BLANK_WIDTH + 2 + size.x, 14};
    point at = best_place(d, since, within, of, near, far, whole);
    lead(d, about, of, at, whole);
    double left = at.x - whole.x / 2, base = at.y + whole.y / 2 - 3, line = left + words.x;
    point paper[] = {{left - 1, at.y - whole.y / 2},
                     {left + whole.x + 1, at.y - whole.y / 2},
                     {left + whole.x + 1, at.y + whole.y / 2},
                     {left - 1, at.y + whole.y / 2}};
    draw_area(d, AREA_PAPER, -1, paper, 4);
    draw_text(d, TEXT_LABEL, ALIGN_START, (point){left, base - size.y + 2}, 0, before);
    draw_line(d, LINE_BLANK, about, (point[]){{line, base}, {line + BLANK_WIDTH, base}}, 2, false);
    draw_text(d, TEXT_LABEL, ALIGN_START, (point){line + BLANK_WIDTH + 2, base - size.y + 2}, 0, unit);
}
