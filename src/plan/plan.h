/* What the rooms above plan may ask about the plan file beyond reading one. */
#ifndef LW_PLAN_PLAN_H
#define LW_PLAN_PLAN_H

#include "lengthwise.h"

/* The JSON Schema (2020-12) of the plan file, zero-terminated; free() it. */
lw_status plan_schema(char **out, lw_error *error);

/* Every field of the plan file as Markdown tables; free() it. */
lw_status plan_reference(char **out, lw_error *error);

/* The table of fields as JSON, for a page that lets people fill one in; free() it. A shape is one of
 *   {"kind": "text", "most": BYTES, "lines": true, "address": true}
 *   {"kind": "number" or "whole", "unit": "length", "degrees" ..., "low", "high", "fraction": true, "words"}
 *   {"kind": "flag"}   {"kind": "word", "words": [{"text", "help"}]}   {"kind": "landmark"}
 *   {"kind": "object", "exactly_one": [keys], "fields": [{"key", "help", "example", "shape", "required",
 * "default", "absent", "takes", "with", "without", "needed_by"}]}
 *   {"kind": "list", "least", "most", "element"}   {"kind": "either", "options"}   {"kind": "place"}
 * where what does not hold is left out. Lengths are in centimetres, as ranges and defaults. The whole is
 * {"plan": shape, "place": shape, "landmarks": [names]}. */
lw_status plan_table(char **out, lw_error *error);

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
