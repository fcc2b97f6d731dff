/* Names of what core numbers, where core itself has none. */
#ifndef LW_CLI_NAMES_H
#define LW_CLI_NAMES_H

#include "lengthwise.h"

extern const char *const head_kinds[];      /* by lw_head_kind; ends with NULL */
extern const char *const hairline_shapes[]; /* by lw_hairline_shape; ends with NULL */
const char *head_kind_name(lw_head_kind kind);
const char *hairline_name(lw_hairline_shape shape);

/* The landmark nearest to a place, by its name. */
const char *near_name(const lw_head *head, lw_vec3 at);

#endif
