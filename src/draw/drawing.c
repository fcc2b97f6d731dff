/* The list of marks. Three arrays that grow: marks, their points, their words. What does not fit into memory
 * sets `failed` once and for all; whoever paints the page reports it, so those who draw need not ask. */
#include "drawing.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "layout.h"
#include "look.h"
#include "printable.h"

static const double pi = 3.14159265358979323846;

void drawing_begin(drawing *out, double width, double height) {
    *out = (drawing){.width = width, .height = height};
}

void drawing_clear(drawing *d) {
    free(d->marks);
    free(d->points);
    free(d->text);
    *d = (drawing){0};
}

/* Makes room for `more` items after the first `count`; the items stay where they are if it cannot. */
static bool grow(drawing *d, void **items, int *room, int count, int more, size_t size) {
    if (d->failed) return false;
    if (more <= *room - count) return true;
    int wanted = *room ? *room : 64;
    while (wanted - count < more) {
        if (wanted > INT_MAX / 2) return !(d->failed = true);
        wanted *= 2;
    }
    void *larger = realloc(*items, (size_t)wanted * size);
    if (!larger) return !(d->failed = true);
    *items = larger;
    *room = wanted;
    return true;
}

static mark *add_mark(drawing *d, mark_kind kind, int role, int about) {
    void *marks = d->marks;
    if (!grow(d, &marks, &d->mark_room, d->mark_count, 1, sizeof *d->marks)) return NULL;
    d->marks = marks;
    mark *m = &d->marks[d->mark_count++];
    *m = (mark){.kind = kind, .role = role, .about = about};
    return m;
}

static bool add_points(drawing *d, const point *points, int count) {
    void *all = d->points;
    if (!grow(d, &all, &d->point_room, d->point_count, count, sizeof *d->points)) return false;
    d->points = all;
    memcpy(d->points + d->point_count, points, (size_t)count * sizeof *points);
    d->point_count += count;
    return true;
}

static bool make_text_room(drawing *d, size_t wanted) {
    if (wanted <= d->text_room) return true;
    size_t room = d->text_room ? d->text_room : 1024;
    while (room < wanted) room *= 2;
    char *larger = realloc(d->text, room);
    if (!larger) return !(d->failed = true);
    d->text = larger;
    d->text_room = room;
    return true;
}

/* Keeps a string, as it can be printed, and says where; 0, where "" is, if it cannot. */
static size_t add_text(drawing *d, const char *text) {
    if (d->failed || !*text) return 0;
    char *words = printable(text);
    size_t size = strlen(words) + 1, before = d->text_size ? d->text_size : 1;
    bool fits = make_text_room(d, before + size);
    if (fits) {
        d->text[0] = 0;
        memcpy(d->text + before, words, size);
        d->text_size = before + size;
    }
    g_free(words);
    return fits ? before : 0;
}

const char *drawing_text(const drawing *d, size_t offset) {
    return offset < d->text_size ? d->text + offset : "";
}

static mark *add_shape(drawing *d, mark_kind kind, int role, int about, const point *points, int count) {
    int first = d->point_count;
    if (!add_points(d, points, count)) return NULL;
    mark *m = add_mark(d, kind, role, about);
    if (m) m->first = first, m->count = count;
    return m;
}

void draw_line(drawing *d, line_role role, int about, const point *points, int count, bool closed) {
    if (count < 2) return;
    mark *m = add_shape(d, MARK_LINE, role, about, points, count);
    if (m) m->closed = closed;
}

void draw_area(drawing *d, area_role role, int about, const point *points, int count) {
    draw_area_link(d, role, about, points, count, "");
}

void draw_area_link(drawing *d, area_role role, int about, const point *points, int count,
                    const char *address) {
    if (count < 3) return;
    size_t link = add_text(d, address);
    mark *m = add_shape(d, MARK_AREA, role, about, points, count);
    if (m) m->closed = true, m->link = link;
}

enum { DISC_POINTS = 48 };

void draw_disc(drawing *d, area_role role, int about, point middle, double radius) {
    point edge[DISC_POINTS];
    for (int i = 0; i < DISC_POINTS; i++) {
        double angle = 2 * pi * i / DISC_POINTS;
        edge[i] = (point){middle.x + radius * cos(angle), middle.y + radius * sin(angle)};
    }
    draw_area(d, role, about, edge, DISC_POINTS);
}

void draw_picture(drawing *d, const image *picture, frame at) {
    mark *m = add_mark(d, MARK_PICTURE, 0, -1);
    if (m) m->picture = picture, m->at = at;
}

point text_size(text_role role, double width, const char *text) {
    PangoLayout *layout = layout_new(role, ALIGN_START, width, text);
    point size = layout_size(layout, role);
    g_object_unref(layout);
    return size;
}

static mark *add_words(drawing *d, text_role role, int about, frame at, const char *text) {
    size_t words = add_text(d, text);
    mark *m = add_mark(d, MARK_TEXT, role, about);
    if (m) m->text = words, m->at = at;
    return m;
}

double draw_link(drawing *d, text_role role, align by, point at, double width, const char *text,
                 const char *address) {
    if (!*text) return 0;
    point size = text_size(role, width, text);
    frame box = {at.x, at.y, width > 0 ? width : size.x, size.y};
    if (width <= 0) box.x -= by == ALIGN_CENTRE ? size.x / 2 : by == ALIGN_END ? size.x : 0;
    size_t link = add_text(d, address);
    mark *m = add_words(d, role, -1, box, text);
    if (m) m->align = by, m->wraps = width > 0, m->link = link;
    return size.y;
}

double draw_text(drawing *d, text_role role, align by, point at, double width, const char *text) {
    return draw_link(d, role, by, at, width, text, "");
}

static point turned(point p, point middle, double turn) {
    double c = cos(turn), s = sin(turn);
    return (point){middle.x + c * p.x - s * p.y, middle.y + s * p.x + c * p.y};
}

void draw_label(drawing *d, text_role role, int about, point middle, double turn, const char *text) {
    if (!*text) return;
    point size = text_size(role, 0, text), inset = look_label_inset();
    double x = size.x / 2 + inset.x, y = size.y / 2 + inset.y;
    point paper[4] = {{-x, -y}, {x, -y}, {x, y}, {-x, y}};
    for (int i = 0; i < 4; i++) paper[i] = turned(paper[i], middle, turn);
    draw_area(d, AREA_PAPER, about, paper, 4);
    mark *m = add_words(d, role, about, (frame){middle.x - size.x / 2, middle.y - size.y / 2, size.x, size.y},
                        text);
    if (m) m->align = ALIGN_CENTRE, m->turn = turn;
}

void draw_open(drawing *d, part_kind kind, const char *alt) {
    size_t words = add_text(d, alt);
    mark *m = add_mark(d, MARK_OPEN, kind, -1);
    if (m) m->text = words;
}

void draw_close(drawing *d) { add_mark(d, MARK_CLOSE, 0, -1); }

void draw_drawing(drawing *d, const drawing *of) {
    size_t words = d->text_size ? d->text_size : 1;
    int points = d->point_count, marks = d->mark_count;
    d->failed |= of->failed;
    if (d->failed || !add_points(d, of->points, of->point_count)) return;
    if (of->text_size) {
        if (!make_text_room(d, words + of->text_size)) return;
        d->text[0] = 0;
        memcpy(d->text + words, of->text, of->text_size);
        d->text_size = words + of->text_size;
    }
    void *all = d->marks;
    if (!grow(d, &all, &d->mark_room, marks, of->mark_count, sizeof *d->marks)) return;
    d->marks = all;
    d->mark_count += of->mark_count;
    for (int i = 0; i < of->mark_count; i++) {
        mark m = of->marks[i];
        m.first += points;
        m.text += m.text ? words : 0;
        m.link += m.link ? words : 0;
        d->marks[marks + i] = m;
    }
}
