/* Marks set down on a cairo surface, as look.h has them. */
#ifndef LW_DRAW_INK_H
#define LW_DRAW_INK_H

#include <cairo.h>

#include "drawing.h"

/* Pictures become cairo surfaces once a document, however often they are shown. */
typedef struct ink_picture {
    const image *picture;
    cairo_surface_t *surface;
} ink_picture;

typedef struct ink {
    cairo_t *cr;
    bool tagged; /* a PDF: parts become tags, addresses links */
    int picture_count, picture_room;
    ink_picture *pictures;
    bool failed; /* memory ran out */
} ink;

void ink_begin(ink *out, cairo_t *cr, bool tagged);
void ink_clear(ink *with);

/* One page, at the origin of the cairo context. */
void ink_page(ink *with, const drawing *page);

#endif
