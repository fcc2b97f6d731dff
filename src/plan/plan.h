/* What the rooms above plan may ask about the plan file beyond reading one. */
#ifndef LW_PLAN_PLAN_H
#define LW_PLAN_PLAN_H

#include "lengthwise.h"

/* The JSON Schema (2020-12) of the plan file, zero-terminated; free() it. */
lw_status plan_schema(char **out, lw_error *error);

/* Every field of the plan file as Markdown tables; free() it. */
lw_status plan_reference(char **out, lw_error *error);

/* What a field means, takes and does when left out, with an example, as plain text; free() it. The field is
 * written as its key ("elevation", "ear to top") or as its path ("steps.hold.elevation",
 * "steps[2].hold.elevation"); one key in several places explains them all. LW_ERROR_ARGUMENT where there is
 * none, with the nearest as remedy. */
lw_status plan_explain(char **out, const char *what, lw_error *error);

/* The fields one by one, in the order of the file; false past the last. */
typedef struct plan_field {
    char path[LW_NAME_MAX]; /* "steps[].hold.elevation" */
    const char *key, *help, *example;
} plan_field;
bool plan_field_at(int i, plan_field *out);

#endif
