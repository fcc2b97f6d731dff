/* Names of what core numbers, where core itself has none. */
#ifndef LW_CLI_NAMES_H
#define LW_CLI_NAMES_H

#include "lengthwise.h"

extern const char *const head_kinds[];      /* by lw_head_kind; ends with NULL */
extern const char *const hairline_shapes[]; /* by lw_hairline_shape; ends with NULL */
const char *head_kind_name(lw_head_kind kind);
const char *hairline_name(lw_hairline_shape shape);

extern const char *const picture_sides[]; /* by draw_side; ends with NULL */

extern const char *const side_names[LW_SIDE_COUNT]; /* of a fallen cut: "front" … */

/* How fine a mesh of the bust is: "coarse", "normal", "fine"; ends with NULL. Edges of that long, metres, by
 * index into mesh_details; normal where it was not given. */
extern const char *const mesh_details[];
double mesh_cell(bool given, int detail);

/* The landmark nearest to a place, by its name. */
const char *near_name(const lw_head *head, lw_vec3 at);

#endif
