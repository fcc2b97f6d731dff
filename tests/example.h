/* Reading one of the examples; LW_SOURCE is the top of the tree. After cmocka.h. */
#ifndef LW_TESTS_EXAMPLE_H
#define LW_TESTS_EXAMPLE_H

#include <stdio.h>
#include <stdlib.h>

#include "lengthwise.h"

static inline void source_path(char *out, size_t size, const char *folder, const char *name) {
    const char *source = getenv("LW_SOURCE");
    snprintf(out, size, "%s/%s/%s", source ? source : ".", folder, name);
}

/* examples/NAME, or the folder itself where name is "". */
static inline void example_path(char *out, size_t size, const char *name) {
    source_path(out, size, "examples", name);
}

/* Reads examples/NAME.json; the test fails where it is not a plan. */
static inline void example_read(lw_plan *plan, const char *name) {
    char path[4096], file_name[LW_NAME_MAX + 8];
    snprintf(file_name, sizeof file_name, "%s.json", name);
    example_path(path, sizeof path, file_name);
    FILE *file = fopen(path, "rb");
    if (!file) fail_msg("%s cannot be opened", path);
    static char text[1 << 16];
    size_t size = fread(text, 1, sizeof text, file);
    fclose(file);
    lw_error error;
    if (lw_plan_read(plan, text, size, &error) != LW_OK)
        fail_msg("%s:%d:%d: %s: %s", path, error.line, error.column, error.place, error.message);
}

#endif
