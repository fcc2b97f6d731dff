/* Names of places and sections on a drawing of the head. */
#ifndef LW_DRAW_NAME_H
#define LW_DRAW_NAME_H

#include "study.h"

/* Names of the sections seen from the side, each in its own section where there is room. */
void draw_section_names(drawing *d, const study *s, view_side side, const stage *on);

#endif
