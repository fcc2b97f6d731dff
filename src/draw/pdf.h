/* What cairo leaves out of a PDF. */
#ifndef LW_DRAW_PDF_H
#define LW_DRAW_PDF_H

#include "bytes.h"
#include "paint.h"

/* Replaces the bytes of a PDF of these pages by the finished file. */
lw_status pdf_finish(bytes *file, const drawing *pages, int count, const about_document *about,
                     lw_error *error);

#endif
