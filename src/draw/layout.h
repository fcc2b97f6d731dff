/* Words laid out in lines by pango: one function for measuring and for painting, so that they cannot differ.
 */
#ifndef LW_DRAW_LAYOUT_H
#define LW_DRAW_LAYOUT_H

#include <pango/pangocairo.h>

#include "drawing.h"

/* Lines no wider than `width` points; 0: one line. Free it with
 * g_object_unref. */
PangoLayout *layout_new(text_role role, align by, double width, const char *text);

/* Its size in points: the widest line, and all lines by their leading. */
point layout_size(PangoLayout *layout, text_role role);

/* Sets it on the page, its box's top left corner at `at`. */
void layout_show(PangoLayout *layout, text_role role, cairo_t *cr, point at);

#endif
