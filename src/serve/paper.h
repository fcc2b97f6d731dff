/* The paper: sheets, one at a time, in a thread of its own. */
#ifndef LW_SERVE_PAPER_H
#define LW_SERVE_PAPER_H

#include "draw.h"

#define PAPER_HAIRS 200000 /* of a plan that is printed from here */

typedef struct paper paper;

lw_status paper_start(paper **out, lw_error *error);

/* Carries a plan's text out, lets its hair fall and draws the sheet. Waits for its turn. LW_ERROR_STOPPED:
 * too many wait already, it takes too long, or the paper stops. */
lw_status paper_print(draw_bytes *out, paper *p, const char *text, size_t size, const draw_sheet_options *how,
                      lw_error *error);

/* Stops what is being printed, when nobody asks any more. NULL is fine. */
void paper_stop(paper *p);

#endif
