/* Room for labels.
 *
 * Everything taken is a set of discs, so that a turned label, a bent line and a dot are all the same
 * question. A place along a line is judged by how straight the line is under the words, by what they would
 * cover, and by how near they are to the line's own end; the best one wins, so the same drawing always gets
 * the same labels. */
#include "label.h"

#include <math.h>
#include <stdlib.h>

#include "grow.h"
#include "look.h"
#include "vec.h"

#define APART 90.    /* points between two labels of one line */
#define TOO_MUCH 14. /* cost of a place that is worse than no label */
#define CROOKED .35  /* radians by which a line may turn under its label */

void label_set_clear(label_set *set) {
    free(set->discs);
    *set = (label_set){0};
}

static double apart(point a, point b) { return sqrt((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y)); }

static bool take(label_set *set, label_disc disc) {
    label_disc *discs = grow(set->discs, &set->room, set->count + 1, sizeof *discs);
    if (!discs) return false;
    set->discs = discs;
    discs[set->count++] = disc;
    return true;
}

bool label_take(label_set *set, point at, double radius, double weight) {
    return take(set, (label_disc){at, radius, weight, -1});
}

bool label_take_line(label_set *set, const point *p, int count, double radius, double weight, int about) {
    bool taken = true;
    point last = {INFINITY, INFINITY};
    for (int i = 0; i < count && taken; i++) {
        if (!(apart(last, p[i]) >= radius)) continue;
        taken = take(set, (label_disc){p[i], radius, weight, about});
        last = p[i];
    }
    return taken;
}

/* Discs along the middle of a box, as high as it. */
static int discs_of(point size) { return 1 + (int)ceil(fmax(0, size.x - size.y) / (size.y / 2)); }

static point disc_at(point middle, point size, double turn, int i, int count) {
    double along = count > 1 ? (size.x - size.y) * ((double)i / (count - 1) - .5) : 0;
    return (point){middle.x + along * cos(turn), middle.y + along * sin(turn)};
}

bool label_take_box(label_set *set, point middle, point size, double turn) {
    int count = discs_of(size);
    bool taken = true;
    for (int i = 0; i < count; i++)
        taken &= label_take(set, disc_at(middle, size, turn, i, count), size.y / 2, INFINITY);
    return taken;
}

bool label_take_words(label_set *set, const drawing *d) {
    bool taken = true;
    for (int i = 0; i < d->mark_count; i++) {
        const mark *m = &d->marks[i];
        point middle = {m->at.x + m->at.width / 2, m->at.y + m->at.height / 2};
        if (m->kind == MARK_TEXT)
            taken &= label_take_box(set, middle, (point){m->at.width, m->at.height}, m->turn);
    }
    return taken;
}

double label_clash(const label_set *set, point middle, point size, double turn, int about) {
    double clash = 0, c = cos(turn), s = sin(turn);
    for (int i = 0; i < set->count; i++) {
        const label_disc *disc = &set->discs[i];
        if (about >= 0 && disc->about == about) continue;
        double x = disc->at.x - middle.x, y = disc->at.y - middle.y;
        double across = fabs(c * x + s * y) - size.x / 2, down = fabs(c * y - s * x) - size.y / 2;
        if (across > disc->radius || down > disc->radius) continue;
        clash += disc->weight;
    }
    return clash;
}

/* ---- along a line ---- */

typedef struct place {
    point middle;
    double turn, cost;
} place;

/* The point `along` points from the start, and the line's length. */
static point walk(const point *p, int count, bool closed, double along, double *length) {
    double gone = 0;
    point at = p[0];
    for (int i = 1; i < count + closed; i++) {
        point a = p[i - 1], b = p[i % count];
        double step = apart(a, b);
        if (gone <= along && along <= gone + step && step > 0) {
            double t = (along - gone) / step;
            at = (point){a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
        }
        gone += step;
    }
    if (length) *length = gone;
    return at;
}

static double heading(point a, point b) { return atan2(b.y - a.y, b.x - a.x); }

static double turn_between(double a, double b) { return fabs(remainder(b - a, 2 * LW_PI)); }

/* Upright: between a quarter turn left and right. */
static double upright(double turn) { return remainder(turn, LW_PI); }

static void judge(place *best, const label_set *set, const drawing *d, const mark *line, point size,
                  const place *other) {
    const point *p = d->points + line->first;
    double length;
    walk(p, line->count, line->closed, 0, &length);
    double margin = size.x / 2 + (line->closed ? 0 : size.y * .6);
    for (double at = margin; at <= length - margin; at += 3) {
        point a = walk(p, line->count, line->closed, at - size.x / 2, NULL);
        point m = walk(p, line->count, line->closed, at, NULL);
        point b = walk(p, line->count, line->closed, at + size.x / 2, NULL);
        double bend = turn_between(heading(a, m), heading(m, b));
        if (bend > CROOKED || (other && apart(other->middle, m) < APART)) continue;
        place here = {m, upright(heading(a, b)), 0};
        here.cost = 4 * bend + 3 * fabs(at / length - .5) + .8 * fabs(here.turn) +
                    label_clash(set, m, (point){size.x + 3, size.y}, here.turn, line->about);
        if (here.cost < best->cost) *best = here;
    }
}

void label_along(drawing *d, label_set *set, int first, line_role role, int about, const char *text) {
    point size = text_size(TEXT_LABEL, 0, text), inset = look_label_inset();
    size = (point){size.x + 2 * inset.x, size.y + 2 * inset.y};
    place found[2];
    for (int n = 0; n < 2; n++) {
        found[n] = (place){{0, 0}, 0, INFINITY};
        for (int i = first; i < d->mark_count; i++) {
            const mark *m = &d->marks[i];
            if (m->kind == MARK_LINE && m->role == (int)role && m->about == about)
                judge(&found[n], set, d, m, size, n ? &found[0] : NULL);
        }
        if (!(found[n].cost < TOO_MUCH)) return;
        draw_label(d, TEXT_LABEL, about, found[n].middle, found[n].turn, text);
        d->failed |= !label_take_box(set, found[n].middle, size, found[n].turn);
    }
}
