/* Each format is a surface of cairo's that writes into memory. PDF has a page for each page and is finished
 * with what cairo cannot say (pdf.h); SVG and PNG have one picture in which pages stand below one another on
 * a grey ground (svg.h for what an SVG's reader is told). A failure of cairo's, whatever it was, is an
 * lw_error, and then there are no bytes at all. */
#include "paint.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <glib.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bytes.h"
#include "fail.h"
#include "ink.h"
#include "pdf.h"
#include "printable.h"
#include "svg.h"

/* Cairo 1.16 reads what it has not made when a PDF's stream fails before the fonts are written, so it is
 * never told: what comes after a failure is dropped, and bytes.failed says so at the end. */
static cairo_status_t write_bytes(void *closure, const unsigned char *data, unsigned size) {
    bytes_add(closure, data, size);
    return CAIRO_STATUS_SUCCESS;
}

static lw_status told(cairo_status_t status, bool no_memory, lw_error *error) {
    if (no_memory || status == CAIRO_STATUS_NO_MEMORY) return fail_memory(error, "page");
    if (!status) return LW_OK;
    return fail(error, LW_ERROR_ARGUMENT, "page", "Report this, with the plan that it happened with.",
                "the page could not be painted: %s", cairo_status_to_string(status));
}

/* Closes everything, and says whether all went well. */
static lw_status finish(ink *with, cairo_surface_t *surface, const bytes *out, lw_error *error) {
    cairo_status_t status = cairo_status(with->cr);
    for (int i = 0; i < with->picture_count && !status; i++)
        status = cairo_surface_status(with->pictures[i].surface);
    bool failed = with->failed;
    cairo_destroy(with->cr);
    cairo_surface_finish(surface);
    if (!status) status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    ink_clear(with);
    return told(status, failed || out->failed, error);
}

/* ---- PDF ---- */

/* The words of the part that opens at mark i, in one line; NULL if memory runs out. */
static char *words_of(const drawing *page, int i) {
    bytes all = {0};
    for (int depth = 0; i < page->mark_count; i++) {
        const mark *m = &page->marks[i];
        depth += (m->kind == MARK_OPEN) - (m->kind == MARK_CLOSE);
        if (depth <= 0) break;
        if (m->kind != MARK_TEXT) continue;
        if (all.size) bytes_text(&all, " ");
        bytes_text(&all, drawing_text(page, m->text));
    }
    bytes_add(&all, "", 1);
    if (all.failed) {
        bytes_clear(&all);
        return NULL;
    }
    for (char *p = (char *)all.data; *p; p++)
        if (*p == '\n') *p = ' ';
    return (char *)all.data;
}

static const mark *first_text(const drawing *page, int i) {
    while (i < page->mark_count && page->marks[i].kind != MARK_TEXT) i++;
    return i < page->mark_count ? &page->marks[i] : NULL;
}

/* A reader's list of headings, those after a title under it. */
static bool add_outline(cairo_surface_t *surface, const drawing *page, int number, int *title) {
    for (int i = 0; i < page->mark_count; i++) {
        const mark *m = &page->marks[i];
        if (m->kind != MARK_OPEN || (m->role != PART_TITLE && m->role != PART_HEADING)) continue;
        const mark *text = first_text(page, i);
        char *words = words_of(page, i), at[96];
        if (!words) return false;
        snprintf(at, sizeof at, "page=%d pos=[%d %d]", number, text ? (int)text->at.x : 0,
                 text ? (int)text->at.y : 0);
        int parent = m->role == PART_TITLE ? CAIRO_PDF_OUTLINE_ROOT : *title;
        int id = *words
                     ? cairo_pdf_surface_add_outline(surface, parent, words, at, CAIRO_PDF_OUTLINE_FLAG_OPEN)
                     : *title;
        if (m->role == PART_TITLE) *title = id;
        free(words);
    }
    return true;
}

static void tell_one(cairo_surface_t *surface, cairo_pdf_metadata_t what, const char *text) {
    if (!text) return;
    char *words = printable(text);
    cairo_pdf_surface_set_metadata(surface, what, words);
    g_free(words);
}

static void tell(cairo_surface_t *surface, const about_document *about) {
    tell_one(surface, CAIRO_PDF_METADATA_TITLE, about->title);
    tell_one(surface, CAIRO_PDF_METADATA_SUBJECT, about->subject);
    tell_one(surface, CAIRO_PDF_METADATA_CREATOR, "lengthwise " LW_VERSION);
    tell_one(surface, CAIRO_PDF_METADATA_CREATE_DATE, about->date);
}

static lw_status paint_pdf(bytes *out, const drawing *pages, int count, const about_document *about,
                           lw_error *error) {
    cairo_surface_t *surface =
        cairo_pdf_surface_create_for_stream(write_bytes, out, pages[0].width, pages[0].height);
    cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_5);
    tell(surface, about);
    ink with;
    ink_begin(&with, cairo_create(surface), true);
    int title = CAIRO_PDF_OUTLINE_ROOT;
    for (int i = 0; i < count; i++) {
        cairo_pdf_surface_set_size(surface, pages[i].width, pages[i].height);
        ink_page(&with, &pages[i]);
        if (!add_outline(surface, &pages[i], i + 1, &title)) with.failed = true;
        cairo_show_page(with.cr);
    }
    lw_status status = finish(&with, surface, out, error);
    return status ? status : pdf_finish(out, pages, count, about, error);
}

/* ---- pages below one another ---- */

static const double gap = 12, ground = .78;

static point stack_size(const drawing *pages, int count) {
    point size = {0, gap * (count - 1)};
    for (int i = 0; i < count; i++) {
        size.x = fmax(size.x, pages[i].width);
        size.y += pages[i].height;
    }
    return size;
}

static void paint_stack(ink *with, const drawing *pages, int count) {
    cairo_t *cr = with->cr;
    if (count > 1) {
        cairo_set_source_rgb(cr, ground, ground, ground);
        cairo_paint(cr);
    }
    for (int i = 0; i < count; i++) {
        cairo_set_source_rgb(cr, 1, 1, 1);
        cairo_rectangle(cr, 0, 0, pages[i].width, pages[i].height);
        cairo_fill(cr);
        ink_page(with, &pages[i]);
        cairo_translate(cr, 0, pages[i].height + gap);
    }
}

static lw_status paint_svg(bytes *out, const drawing *pages, int count, const about_document *about,
                           lw_error *error) {
    point size = stack_size(pages, count);
    cairo_surface_t *surface = cairo_svg_surface_create_for_stream(write_bytes, out, size.x, size.y);
    ink with;
    ink_begin(&with, cairo_create(surface), false);
    paint_stack(&with, pages, count);
    lw_status status = finish(&with, surface, out, error);
    return status ? status : svg_finish(out, pages, count, about, error);
}

enum { PNG_SIDE_MAX = 32767 }; /* pixels; cairo's own limit */

static lw_status paint_png(bytes *out, const drawing *pages, int count, double dpi, lw_error *error) {
    point size = stack_size(pages, count);
    double scale = dpi / 72, width = ceil(size.x * scale - 1e-6), height = ceil(size.y * scale - 1e-6);
    if (!(dpi > 0) || !(width <= PNG_SIDE_MAX) || !(height <= PNG_SIDE_MAX))
        return fail(error, LW_ERROR_LIMIT, "picture",
                    "Ask for one page at a time or for fewer dots per inch, or take PDF.",
                    "a picture of %.0f by %.0f dots is more than the %d a side that PNG takes here", width,
                    height, PNG_SIDE_MAX);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)width, (int)height);
    ink with;
    ink_begin(&with, cairo_create(surface), false);
    cairo_scale(with.cr, scale, scale);
    paint_stack(&with, pages, count);
    cairo_surface_flush(surface);
    cairo_status_t wrote = cairo_status(with.cr)
                               ? CAIRO_STATUS_SUCCESS
                               : cairo_surface_write_to_png_stream(surface, write_bytes, out);
    lw_status status = finish(&with, surface, out, error);
    return status ? status : told(wrote, false, error);
}

lw_status paint(draw_bytes *out, const drawing *pages, int count, const about_document *about,
                draw_format format, double dpi, lw_error *error) {
    *out = (draw_bytes){0};
    if (count < 1)
        return fail(error, LW_ERROR_ARGUMENT, "page", "Ask for a page that is there.",
                    "there is no page to paint");
    for (int i = 0; i < count; i++)
        if (pages[i].failed) return fail_memory(error, "page");
    bytes all = {0};
    lw_status status = format == DRAW_PDF   ? paint_pdf(&all, pages, count, about, error)
                       : format == DRAW_SVG ? paint_svg(&all, pages, count, about, error)
                                            : paint_png(&all, pages, count, dpi, error);
    if (status) {
        bytes_clear(&all);
        return status;
    }
    return bytes_take(out, &all, error);
}
