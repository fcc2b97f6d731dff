/* What cairo leaves out of an SVG. */
#ifndef LW_DRAW_SVG_H
#define LW_DRAW_SVG_H

#include "bytes.h"
#include "paint.h"

/* Replaces the bytes of an SVG of these pages by the finished file. */
lw_status svg_finish(bytes *file, const drawing *pages, int count, const about_document *about,
                     lw_error *error);

#endif
