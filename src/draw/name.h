/* Names of places and sections on a drawing of the head. */
#ifndef LW_DRAW_NAME_H
#define LW_DRAW_NAME_H

#include "label.h"
#include "study.h"

/* Names of the sections seen from the side, each in its own section where there is room. */
void draw_section_names(drawing *d, const study *s, view_side side, const stage *on);

/* What is to be said of a section, written to out; false: nothing. */
typedef bool section_text(char out[LW_NAME_MAX], const void *context, int section);

/* Puts it in each section seen where there is room, away from what is taken. */
void draw_in_sections(drawing *d, label_set *taken, const study *s, const stage *on, section_text *text,
                      const void *context);

#endif
