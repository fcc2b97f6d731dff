/* Names on a drawing of the head.
 *
 * A section's name goes where its box lies wholly inside what is seen of the section, as near to its middle
 * as that can be; in two lines where one does not fit; beside the head with a leader where neither does. For
 * that the head is looked at in squares of SQUARE points, and a table of sums tells of any box how many of
 * its squares belong to the section.
 *
 * Landmarks' names stand in a column on either side of the head, about in the order of their dots; two whose
 * leaders would cross change places. */
#include "name.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "head_drawing.h"
#include "label.h"
#include "look.h"
#include "sample.h"
#include "vec.h"

#define SQUARE 1.5
#define DOT 1.7       /* points */
#define COLUMN_GAP 7. /* points from the head to the names beside it */
#define AIR 1.5       /* points between labels */
#define LONG_NAME 50. /* points: beside the head a longer one takes two lines */
#define LINE 9.5      /* points from one name to the next */

enum { NAMES_MAX = LW_LANDMARK_COUNT };

/* ---- sections ---- */

typedef struct squares {
    frame at;
    int width, height;
    int *section; /* [height][width], -1 no scalp */
    int *sum;     /* [height + 1][width + 1]: of those of one section above and to the left */
} squares;

static bool squares_make(squares *q, const study *s, const stage *on) {
    q->at = head_frame(s, on);
    q->width = (int)ceil(q->at.width / SQUARE);
    q->height = (int)ceil(q->at.height / SQUARE);
    q->at.width = q->width * SQUARE, q->at.height = q->height * SQUARE;
    size_t count = (size_t)q->width * (size_t)q->height;
    q->section = malloc(count * sizeof *q->section);
    q->sum = calloc((size_t)(q->width + 1) * (size_t)(q->height + 1), sizeof *q->sum);
    scalp_samples seen;
    lw_error ignored;
    if (!q->section || !q->sum || scalp_samples_new(&seen, s, on, q->at, q->width, q->height, &ignored))
        return false;
    for (size_t i = 0; i < count; i++) {
        int32_t t = seen.seen.triangle[i];
        q->section[i] = t < 0 ? -1 : s->scalp.section[s->scalp.mesh.triangle[t][0]];
    }
    scalp_samples_clear(&seen);
    return true;
}

static int *sum_at(const squares *q, int column, int row) { return &q->sum[row * (q->width + 1) + column]; }

static void add_up(squares *q, int section) {
    for (int y = 0; y < q->height; y++)
        for (int x = 0; x < q->width; x++)
            *sum_at(q, x + 1, y + 1) = (q->section[y * q->width + x] == section) + *sum_at(q, x, y + 1) +
                                       *sum_at(q, x + 1, y) - *sum_at(q, x, y);
}

static point square_middle(const squares *q, double column, double row) {
    return (point){q->at.x + column * SQUARE, q->at.y + row * SQUARE};
}

/* A label and the air it keeps from others. */
static point around(point size) { return (point){size.x + 2 * AIR, size.y + 2 * AIR}; }

/* Where a box of that size fits inside the section added up, nearest to `middle`; false: nowhere. */
static bool find_room(point *out, const squares *q, const label_set *taken, point size, point middle) {
    int wide = (int)ceil(size.x / SQUARE), high = (int)ceil(size.y / SQUARE);
    double best = INFINITY;
    for (int y = 0; y + high <= q->height; y++)
        for (int x = 0; x + wide <= q->width; x++) {
            int inside = *sum_at(q, x + wide, y + high) - *sum_at(q, x, y + high) - *sum_at(q, x + wide, y) +
                         *sum_at(q, x, y);
            if (inside != wide * high) continue;
            point at = square_middle(q, x + wide / 2., y + high / 2.);
            double away = (at.x - middle.x) * (at.x - middle.x) + (at.y - middle.y) * (at.y - middle.y);
            if (away >= best || label_clash(taken, at, around(size), 0, -1) == INFINITY) continue;
            best = away;
            *out = at;
        }
    return best < INFINITY;
}

static point section_middle(const squares *q, int section, int *count) {
    point sum = {0, 0};
    *count = 0;
    for (int y = 0; y < q->height; y++)
        for (int x = 0; x < q->width; x++) {
            if (q->section[y * q->width + x] != section) continue;
            sum.x += x + .5, sum.y += y + .5;
            (*count)++;
        }
    return *count ? square_middle(q, sum.x / *count, sum.y / *count) : sum;
}

/* The name in two lines about as long as each other; false where it has no space. */
static bool halves(char first[LW_NAME_MAX], char second[LW_NAME_MAX], const char *name) {
    size_t size = strlen(name), best = 0;
    for (size_t i = 1; i + 1 < size; i++)
        if (name[i] == ' ' &&
            (!best || labs((long)(2 * i) - (long)size) < labs((long)(2 * best) - (long)size)))
            best = i;
    if (!best || size >= LW_NAME_MAX) return false;
    memcpy(first, name, best);
    first[best] = 0;
    memcpy(second, name + best + 1, size - best);
    return true;
}

static point label_size(const char *text) {
    point size = text_size(TEXT_LABEL, 0, text), inset = look_label_inset();
    return (point){size.x + 2 * inset.x + 1, size.y + 2 * inset.y};
}

static bool name_inside(drawing *d, const squares *q, label_set *taken, int about, const char *name,
                        point middle) {
    point at, size = label_size(name);
    if (find_room(&at, q, taken, size, middle)) {
        draw_label(d, TEXT_LABEL, about, at, 0, name);
        d->failed |= !label_take_box(taken, at, size, 0);
        return true;
    }
    char first[LW_NAME_MAX], second[LW_NAME_MAX];
    if (!halves(first, second, name)) return false;
    point a = label_size(first), b = label_size(second);
    double line = look_text(TEXT_LABEL)->leading;
    size = (point){fmax(a.x, b.x), line + fmax(a.y, b.y)};
    if (!find_room(&at, q, taken, size, middle)) return false;
    draw_label(d, TEXT_LABEL, about, (point){at.x, at.y - line / 2}, 0, first);
    draw_label(d, TEXT_LABEL, about, (point){at.x, at.y + line / 2}, 0, second);
    d->failed |= !label_take_box(taken, at, size, 0);
    return true;
}

/* The square of the section with most of it round about. */
static point heart(const squares *q, point middle) {
    point at = middle;
    for (int size = 9; size > 0; size -= 2)
        if (find_room(&at, q, &(label_set){0}, (point){size * SQUARE, size * SQUARE}, middle)) return at;
    return at;
}

static void name_beside(drawing *d, const squares *q, label_set *taken, int section, const char *name,
                        point middle) {
    char first[LW_NAME_MAX], second[LW_NAME_MAX];
    point to = heart(q, middle), size = label_size(name);
    double line = look_text(TEXT_LABEL)->leading;
    bool two = size.x > LONG_NAME && halves(first, second, name);
    if (two) size = (point){fmax(label_size(first).x, label_size(second).x), size.y + line};
    bool left = to.x < q->at.x + q->at.width / 2;
    double x = left ? q->at.x - COLUMN_GAP - size.x / 2 : q->at.x + q->at.width + COLUMN_GAP + size.x / 2;
    for (int k = 0; k < 40; k++) { /* level with it, or the next free place above or below */
        point at = {x, to.y + (k % 2 ? -1 : 1) * ((k + 1) / 2) * LINE / 2};
        if (label_clash(taken, at, size, 0, -1) == INFINITY) continue;
        point leader[2] = {{at.x + (left ? 1 : -1) * size.x / 2, at.y}, to};
        draw_line(d, LINE_LEADER, section, leader, 2, false);
        draw_disc(d, AREA_INK, section, to, .9);
        draw_label(d, TEXT_LABEL, section, (point){at.x, at.y - (two ? line / 2 : 0)}, 0, two ? first : name);
        if (two) draw_label(d, TEXT_LABEL, section, (point){at.x, at.y + line / 2}, 0, second);
        d->failed |= !label_take_box(taken, at, size, 0);
        return;
    }
}

/* Area of the section that faces the side, whatever lies before it. */
static double faces(const study *s, view_side side, int section) {
    const lw_mesh *m = &s->scalp.mesh;
    double sum = 0;
    for (int i = 0; i < m->triangle_count; i++) {
        const int32_t *t = m->triangle[i];
        if (s->scalp.section[t[0]] != section) continue;
        lw_vec3 a = m->position[t[0]],
                n = v3_cross(v3_sub(m->position[t[1]], a), v3_sub(m->position[t[2]], a));
        sum += fmax(0, v3_dot(n, s->views[side].view.toward)) / 2;
    }
    return sum;
}

/* Whether no other of the five sides shows the section better. */
static bool best_seen(const study *s, view_side side, int section) {
    double own = faces(s, side, section);
    for (int other = 0; other <= VIEW_ABOVE; other++)
        if (faces(s, (view_side)other, section) > 1.02 * own) return false;
    return true;
}

enum { SMALL = 60 /* square points of a section that are too few to name */ };

static void squares_clear(squares *q) {
    free(q->section);
    free(q->sum);
}

/* false: no room for it inside, or too little is seen. */
static bool say_inside(drawing *d, squares *q, label_set *taken, int section, int about, const char *text,
                       point *middle, bool *small) {
    int count;
    *middle = section_middle(q, section, &count);
    *small = count * SQUARE * SQUARE < SMALL;
    if (*small) return false;
    add_up(q, section);
    return name_inside(d, q, taken, about, text, *middle);
}

void draw_in_sections(drawing *d, label_set *taken, const study *s, const stage *on, section_text *text,
                      const void *context) {
    squares q = {0};
    d->failed |= !squares_make(&q, s, on);
    for (int i = 0; i < lw_cut_section_count(s->subject.cut) && !d->failed; i++) {
        char words[LW_NAME_MAX];
        point middle;
        bool small;
        if (text(words, context, i)) say_inside(d, &q, taken, i, -1, words, &middle, &small);
    }
    squares_clear(&q);
}

void draw_section_names(drawing *d, const study *s, view_side side, const stage *on) {
    squares q = {0};
    label_set taken = {0};
    const lw_cut *cut = s->subject.cut;
    d->failed |= !squares_make(&q, s, on) || !label_take_words(&taken, d);
    for (int i = 0; i < lw_cut_section_count(cut) && !d->failed; i++) {
        const char *name = lw_cut_section(cut, i)->name;
        point middle;
        bool small;
        if (!say_inside(d, &q, &taken, i, i, name, &middle, &small) && !small && best_seen(s, side, i))
            name_beside(d, &q, &taken, i, name, middle);
    }
    label_set_clear(&taken);
    squares_clear(&q);
}

/* ---- landmarks ---- */

typedef struct name {
    int id;
    point dot;
    double y;
    char text[LW_NAME_MAX];
} name;

/* Seen from a side, "left" and "right" need not be said. */
static void short_name(char out[LW_NAME_MAX], int id, view_side side) {
    const char *full = lw_landmark_name((lw_landmark)id);
    size_t size = strlen(full);
    memcpy(out, full, size + 1);
    const char *ending = side == VIEW_LEFT ? " left" : side == VIEW_RIGHT ? " right" : "";
    size_t less = strlen(ending);
    if (less && size > less && !strcmp(full + size - less, ending)) out[size - less] = 0;
}

static int by_height(const void *a, const void *b) {
    const name *p = a, *q = b;
    return p->dot.y != q->dot.y ? (p->dot.y > q->dot.y) - (p->dot.y < q->dot.y) : p->id - q->id;
}

/* Names level with their dots, pushed apart where they would touch. */
static void spread(name *column, int count, double top, double bottom) {
    for (int i = 0; i < count; i++)
        column[i].y = fmax(column[i].dot.y, i ? column[i - 1].y + LINE : top + LINE / 2);
    double limit = bottom - LINE / 2;
    for (int i = count - 1; i >= 0 && column[i].y > limit; i--, limit -= LINE) column[i].y = limit;
}

static point inner_end(const name *n, frame head, bool left) {
    return (point){left ? head.x - COLUMN_GAP + 2 : head.x + head.width + COLUMN_GAP - 2, n->y};
}

static double side_of(point a, point b, point p) {
    return (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
}

static bool cross(point a, point b, point c, point d) {
    return side_of(a, b, c) * side_of(a, b, d) < 0 && side_of(c, d, a) * side_of(c, d, b) < 0;
}

/* Two names whose leaders cross change places. */
static void untangle(name *column, int count, frame head, bool left) {
    for (int round = 0; round < count; round++)
        for (int i = 1; i < count; i++) {
            name *a = &column[i - 1], *b = &column[i];
            if (!cross(inner_end(a, head, left), a->dot, inner_end(b, head, left), b->dot)) continue;
            name other = *a;
            double upper = a->y, lower = b->y;
            *a = *b, *b = other;
            a->y = upper, b->y = lower;
        }
}

static void draw_column(drawing *d, name *column, int count, frame head, bool left) {
    qsort(column, (size_t)count, sizeof *column, by_height);
    spread(column, count, head.y, head.y + head.height);
    untangle(column, count, head, left);
    for (int i = 0; i < count; i++) {
        const name *n = &column[i];
        double x = left ? head.x - COLUMN_GAP : head.x + head.width + COLUMN_GAP;
        double height = text_size(TEXT_LABEL, 0, n->text).y;
        point leader[2] = {inner_end(n, head, left), n->dot};
        draw_line(d, LINE_LEADER, n->id, leader, 2, false);
        draw_text(d, TEXT_LABEL, left ? ALIGN_END : ALIGN_START, (point){x, n->y - height / 2}, 0, n->text);
        if (d->mark_count) d->marks[d->mark_count - 1].about = n->id;
    }
}

void draw_landmarks(drawing *d, const study *s, view_side side, const stage *on, bool names) {
    name column[2][NAMES_MAX];
    int count[2] = {0, 0};
    frame head = head_frame(s, on);
    double middle = head.x + head.width / 2;
    for (int id = 0; id < LW_LANDMARK_COUNT; id++) {
        lw_vec3 p = lw_head_landmark(s->subject.head, (lw_landmark)id);
        if (!study_scalp_shows(s, side, p)) continue;
        name n = {.id = id, .dot = stage_point(on, p)};
        short_name(n.text, id, side);
        bool right = fabs(n.dot.x - middle) < 2 ? count[1] < count[0] : n.dot.x > middle;
        column[right][count[right]++] = n;
    }
    for (int k = 0; k < 2 && names; k++) draw_column(d, column[k], count[k], head, k == 0);
    for (int k = 0; k < 2; k++)
        for (int i = 0; i < count[k]; i++) draw_disc(d, AREA_DOT, column[k][i].id, column[k][i].dot, DOT);
}
