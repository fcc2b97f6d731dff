/* Words in a drawing, put where they hide nothing. */
#ifndef LW_DRAW_STEP_LABEL_H
#define LW_DRAW_STEP_LABEL_H

#include "drawing.h"

/* A label for what is at `of`, at most `far` points from it, clear of everything drawn since mark `since` as
 * far as can be and inside `within`; with a leader where it does not stand close by. blank: `before`, a
 * line to write on, and `unit`. */
void label_near(drawing *d, int since, frame within, int about, point of, double near, double far,
                const char *text);
void blank_near(drawing *d, int since, frame within, int about, point of, double near, double far,
                const char *before, const char *unit);

#endif
