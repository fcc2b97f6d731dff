/* Names of what core numbers, where core itself has none. */
#ifndef LW_CLI_NAMES_H
#define LW_CLI_NAMES_H

#include "tell.h"

extern const char *const picture_sides[]; /* by draw_side; ends with NULL */

/* How fine a mesh of the bust is: "coarse", "normal", "fine"; ends with NULL. Edges of that long, metres, by
 * index into mesh_details; normal where it was not given. */
extern const char *const mesh_details[];
double mesh_cell(bool given, int detail);

#endif
