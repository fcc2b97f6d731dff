/* Lines that follow one another are set in two passes, first the paper on either side of each (halo), then
 * the lines themselves, as road maps do: a halo then keeps a line clear of what lies under it and never bites
 * into its neighbour. Patterns are lines and dots clipped to their area, in the page's own grid, so that
 * neighbouring areas join and nothing is rasterised in PDF and SVG. */
#include "ink.h"

#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "layout.h"
#include "look.h"

void ink_begin(ink *out, cairo_t *cr, bool tagged) { *out = (ink){.cr = cr, .tagged = tagged}; }

void ink_clear(ink *with) {
    for (int i = 0; i < with->picture_count; i++) cairo_surface_destroy(with->pictures[i].surface);
    free(with->pictures);
    *with = (ink){0};
}

static void set_grey(cairo_t *cr, double grey, double cover) {
    cairo_set_source_rgba(cr, grey, grey, grey, cover);
}

/* ---- lines ---- */

static double length_of(const point *p, int count) {
    double length = 0;
    for (int i = 1; i < count; i++) length += hypot(p[i].x - p[i - 1].x, p[i].y - p[i - 1].y);
    return length;
}

/* The part of a line from `from` to `to`, measured along it, as the current path. Returns its two ends. */
static void trace_between(cairo_t *cr, const point *p, int count, double from, double to, point ends[2]) {
    double along = 0;
    bool begun = false;
    for (int i = 1; i < count; i++) {
        double dx = p[i].x - p[i - 1].x, dy = p[i].y - p[i - 1].y, piece = hypot(dx, dy);
        if (piece > 0 && along + piece > from && along < to) {
            double a = fmax(0, (from - along) / piece), b = fmin(1, (to - along) / piece);
            point first = {p[i - 1].x + a * dx, p[i - 1].y + a * dy},
                  last = {p[i - 1].x + b * dx, p[i - 1].y + b * dy};
            if (!begun) {
                cairo_move_to(cr, first.x, first.y);
                ends[0] = first;
                begun = true;
            }
            cairo_line_to(cr, last.x, last.y);
            ends[1] = last;
        }
        along += piece;
    }
}

/* Whether the points between i and j lie on the straight line from one to the other, to what no printer
 * shows. */
static bool straight_between(const point *p, int i, int j) {
    const double fine = .02;
    double dx = p[j].x - p[i].x, dy = p[j].y - p[i].y, length = hypot(dx, dy);
    for (int k = i + 1; k < j; k++) {
        double x = p[k].x - p[i].x, y = p[k].y - p[i].y, along = dx * x + dy * y;
        if (!(fabs(dx * y - dy * x) <= fine * length) || along < 0 || along > length * length) return false;
    }
    return true;
}

/* Points that a straight line passes through anyway are left out: a curve found on a fine mesh has many. */
static void trace(cairo_t *cr, const point *p, int count, bool closed) {
    enum { AHEAD = 32 };
    cairo_new_path(cr);
    cairo_move_to(cr, p[0].x, p[0].y);
    for (int i = 0, j; i + 1 < count; i = j) {
        j = i + 1;
        while (j + 1 < count && j - i < AHEAD && straight_between(p, i, j + 1)) j++;
        cairo_line_to(cr, p[j].x, p[j].y);
    }
    if (closed) cairo_close_path(cr);
}

/* An arrow head with its tip at `tip`, pointing away from `from`. */
static void set_head(cairo_t *cr, point tip, point from, double width) {
    double dx = tip.x - from.x, dy = tip.y - from.y, length = hypot(dx, dy);
    if (!(length > 0)) return;
    dx *= width / length / 2;
    dy *= width / length / 2;
    cairo_new_path(cr);
    cairo_move_to(cr, tip.x, tip.y);
    cairo_line_to(cr, from.x - dy, from.y + dx);
    cairo_line_to(cr, from.x + dy, from.y - dx);
    cairo_close_path(cr);
    cairo_fill(cr);
}

static void set_stroke(cairo_t *cr, const line_look *look, bool halo) {
    int dashes = 0;
    while (!halo && dashes < LOOK_DASHES && (look->dash[dashes] > 0 || (dashes == 0 && look->dash[1] > 0)))
        dashes++;
    cairo_set_dash(cr, look->dash, dashes, 0);
    cairo_set_line_width(cr, halo ? look->width + 2 * look->halo : look->width);
    cairo_set_line_cap(cr, look->round && !halo ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    set_grey(cr, halo ? 1 : look->grey, halo ? .85 : 1);
}

static void set_line(cairo_t *cr, const drawing *page, const mark *m, bool halo) {
    const line_look *look = look_line((line_role)m->role);
    if (halo && look->halo <= 0) return;
    const point *p = page->points + m->first;
    set_stroke(cr, look, halo);
    if (!look->head && !look->tail) {
        trace(cr, p, m->count, m->closed);
        cairo_stroke(cr);
        return;
    }
    int heads = look->head + look->tail;
    double length = length_of(p, m->count), arrow = fmin(look_arrow_length(look->width), .8 * length / heads);
    double width = look_arrow_width(look->width) * arrow / look_arrow_length(look->width);
    if (!(length > 0)) return;
    point ends[2] = {p[0], p[m->count - 1]};
    cairo_new_path(cr);
    trace_between(cr, p, m->count, look->tail ? arrow : 0, length - (look->head ? arrow : 0), ends);
    cairo_stroke(cr);
    if (halo) return;
    if (look->head) set_head(cr, p[m->count - 1], ends[1], width);
    if (look->tail) set_head(cr, p[0], ends[0], width);
}

/* The run of lines that starts at mark i; returns where it ends. */
static int set_lines(cairo_t *cr, const drawing *page, int i) {
    int end = i;
    while (end < page->mark_count && page->marks[end].kind == MARK_LINE) end++;
    for (int k = i; k < end; k++) set_line(cr, page, &page->marks[k], true);
    for (int k = i; k < end; k++) set_line(cr, page, &page->marks[k], false);
    return end;
}

/* ---- areas ---- */

static void hatch(cairo_t *cr, const area_look *look, double x1, double y1, double x2, double y2) {
    /* Lines x + y = n * step rise to the right at 45 degrees. */
    double step = look->spacing * sqrt(2);
    cairo_set_line_width(cr, look->weight);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
    for (double sum = step * floor((x1 + y1) / step); sum <= x2 + y2; sum += step) {
        cairo_move_to(cr, sum - y1 + 1, y1 - 1);
        cairo_line_to(cr, sum - y2 - 1, y2 + 1);
    }
    cairo_stroke(cr);
}

static void dots(cairo_t *cr, const area_look *look, double x1, double y1, double x2, double y2) {
    double s = look->spacing, rows = s * sqrt(3) / 2, dash[2] = {0, s};
    cairo_set_line_width(cr, look->weight);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
    cairo_set_dash(cr, dash, 2, 0);
    for (double row = floor(y1 / rows); row * rows <= y2; row++) {
        double shift = fmod(row, 2) != 0 ? s / 2 : 0;
        cairo_move_to(cr, s * floor(x1 / s) + shift - s, row * rows);
        cairo_line_to(cr, x2 + s, row * rows);
    }
    cairo_stroke(cr);
}

static void fill_area(cairo_t *cr, const area_look *look) {
    double x1, y1, x2, y2;
    cairo_fill_extents(cr, &x1, &y1, &x2, &y2);
    if (look->cover > 0) {
        set_grey(cr, look->tint, look->cover);
        cairo_fill_preserve(cr);
    }
    if (look->pattern == FILL_PLAIN) return;
    cairo_clip(cr);
    set_grey(cr, look->grey, 1);
    cairo_set_dash(cr, NULL, 0, 0);
    if (look->pattern == FILL_HATCH) hatch(cr, look, x1, y1, x2, y2);
    if (look->pattern == FILL_DOTS) dots(cr, look, x1, y1, x2, y2);
}

/* ---- links ---- */

/* An address as cairo's tag attributes quote it; NULL if memory runs out. */
static char *link_attributes(const char *address, const frame *box) {
    char *text = malloc(2 * strlen(address) + 160), *p = text;
    if (!text) return NULL;
    if (box)
        p += sprintf(p, "rect=[%d %d %d %d] ", (int)floor(box->x), (int)floor(box->y), (int)ceil(box->width),
                     (int)ceil(box->height));
    p += sprintf(p, "uri='");
    for (; *address; address++) {
        if (*address == '\'' || *address == '\\') *p++ = '\\';
        *p++ = *address;
    }
    *p++ = '\'';
    *p = 0;
    return text;
}

static bool begin_link(ink *with, const drawing *page, const mark *m, const frame *box) {
    if (!with->tagged || !m->link) return false;
    char *text = link_attributes(drawing_text(page, m->link), box);
    if (!text) return !(with->failed = true);
    cairo_tag_begin(with->cr, CAIRO_TAG_LINK, text);
    free(text);
    return true;
}

static void set_edge(cairo_t *cr, const drawing *page, const mark *m) {
    double edge = look_area((area_role)m->role)->edge;
    if (!(edge > 0)) return;
    trace(cr, page->points + m->first, m->count, true);
    cairo_set_dash(cr, NULL, 0, 0);
    cairo_set_line_width(cr, edge);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    set_grey(cr, 0, 1);
    cairo_stroke(cr);
}

static void set_area(ink *with, const drawing *page, const mark *m) {
    cairo_t *cr = with->cr;
    cairo_save(cr);
    trace(cr, page->points + m->first, m->count, true);
    double x1, y1, x2, y2;
    cairo_fill_extents(cr, &x1, &y1, &x2, &y2);
    frame box = {x1, y1, x2 - x1, y2 - y1};
    bool linked = begin_link(with, page, m, &box);
    fill_area(cr, look_area((area_role)m->role));
    if (linked) cairo_tag_end(cr, CAIRO_TAG_LINK);
    cairo_restore(cr);
    set_edge(cr, page, m);
}

/* ---- words ---- */

static void set_text(ink *with, const drawing *page, const mark *m) {
    cairo_t *cr = with->cr;
    PangoLayout *layout =
        layout_new((text_role)m->role, m->align, m->wraps ? m->at.width : 0, drawing_text(page, m->text));
    bool linked = begin_link(with, page, m, NULL);
    cairo_save(cr);
    cairo_translate(cr, m->at.x + m->at.width / 2, m->at.y + m->at.height / 2);
    if (m->turn != 0) cairo_rotate(cr, m->turn);
    set_grey(cr, look_text((text_role)m->role)->grey, 1);
    cairo_set_dash(cr, NULL, 0, 0); /* of the box round a character that no font has */
    layout_show(layout, (text_role)m->role, cr, (point){-m->at.width / 2, -m->at.height / 2});
    cairo_restore(cr);
    if (linked) cairo_tag_end(cr, CAIRO_TAG_LINK);
    g_object_unref(layout);
}

/* ---- pictures ---- */

static uint32_t premultiplied(const uint8_t *rgba) {
    uint32_t a = rgba[3], out = a << 24;
    for (int i = 0; i < 3; i++) out |= ((rgba[i] * a + 127) / 255) << (16 - 8 * i);
    return out;
}

static cairo_surface_t *surface_of(const image *picture) {
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_ARGB32, picture->width, picture->height);
    if (cairo_surface_status(surface)) return surface;
    unsigned char *data = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; y < picture->height; y++) {
        uint32_t *row = (uint32_t *)(void *)(data + (size_t)y * (size_t)stride);
        for (int x = 0; x < picture->width; x++)
            row[x] = premultiplied(picture->rgba + 4 * ((size_t)y * (size_t)picture->width + (size_t)x));
    }
    cairo_surface_mark_dirty(surface);
    return surface;
}

static cairo_surface_t *picture_surface(ink *with, const image *picture) {
    for (int i = 0; i < with->picture_count; i++)
        if (with->pictures[i].picture == picture) return with->pictures[i].surface;
    if (with->picture_count == with->picture_room) {
        int room = with->picture_room ? 2 * with->picture_room : 16;
        ink_picture *larger = realloc(with->pictures, (size_t)room * sizeof *larger);
        if (!larger) {
            with->failed = true;
            return NULL;
        }
        with->pictures = larger;
        with->picture_room = room;
    }
    cairo_surface_t *surface = surface_of(picture);
    with->pictures[with->picture_count++] = (ink_picture){picture, surface};
    return surface;
}

static void set_picture(ink *with, const mark *m) {
    if (m->picture->width < 1 || m->picture->height < 1) return;
    cairo_surface_t *surface = picture_surface(with, m->picture);
    if (!surface) return;
    cairo_t *cr = with->cr;
    cairo_save(cr);
    cairo_translate(cr, m->at.x, m->at.y);
    cairo_scale(cr, m->at.width / m->picture->width, m->at.height / m->picture->height);
    cairo_set_source_surface(cr, surface, 0, 0);
    cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_GOOD);
    cairo_rectangle(cr, 0, 0, m->picture->width, m->picture->height);
    cairo_fill(cr);
    cairo_restore(cr);
}

/* ---- pages ---- */

static const char *tag_of(int part) {
    static const char *const tags[] = {
        [PART_TITLE] = "H1",      [PART_HEADING] = "H2",  [PART_PARAGRAPH] = "P",
        [PART_FIGURE] = "Figure", [PART_TABLE] = "Table", [PART_ROW] = "TR",
        [PART_CELL] = "TD",       [PART_NOTE] = "Note",   [PART_HEAD] = "TH"};
    return part >= 0 && part <= PART_HEAD ? tags[part] : "Span";
}

enum { PARTS_DEEP = 32 };

typedef struct parts {
    const char *open[PARTS_DEEP];
    int depth; /* may pass PARTS_DEEP: deeper parts are not told apart */
} parts;

static void open_part(ink *with, parts *of, int kind) {
    if (of->depth < PARTS_DEEP) {
        of->open[of->depth] = tag_of(kind);
        if (with->tagged) cairo_tag_begin(with->cr, of->open[of->depth], NULL);
    }
    of->depth++;
}

static void close_part(ink *with, parts *of) {
    if (!of->depth) return;
    of->depth--;
    if (with->tagged && of->depth < PARTS_DEEP) cairo_tag_end(with->cr, of->open[of->depth]);
}

void ink_page(ink *with, const drawing *page) {
    parts of = {0};
    for (int i = 0; i < page->mark_count;) {
        const mark *m = &page->marks[i];
        if (m->kind == MARK_LINE) {
            i = set_lines(with->cr, page, i);
            continue;
        }
        if (m->kind == MARK_AREA) set_area(with, page, m);
        if (m->kind == MARK_TEXT) set_text(with, page, m);
        if (m->kind == MARK_PICTURE) set_picture(with, m);
        if (m->kind == MARK_OPEN) open_part(with, &of, m->role);
        if (m->kind == MARK_CLOSE) close_part(with, &of);
        i++;
    }
    while (of.depth) close_part(with, &of);
    if (page->failed) with->failed = true;
}
