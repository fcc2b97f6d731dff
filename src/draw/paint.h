/* Painting pages: one list of marks (drawing.h) on PDF, SVG or PNG, through cairo and pango. */
#ifndef LW_DRAW_PAINT_H
#define LW_DRAW_PAINT_H

#include "draw.h"
#include "drawing.h"

/* What a reader of the file is told about it. Strings are UTF-8. */
typedef struct about_document {
    const char *title, *language; /* "en" */
    const char *subject;
    const char
        *date; /* ISO 8601, "2026-03-01"; also the date of creation, so the same input gives the same bytes */
} about_document;

/* All pages as one file of `format`. PDF: tagged, with title, language and alternative text of figures, fonts
 * embedded. SVG and PNG show one picture: pages stand below one another. `dpi` is for PNG. */
lw_status paint(draw_bytes *out, const drawing *pages, int count, const about_document *about,
                draw_format format, double dpi, lw_error *error);

#endif
