/* What a request asks for: path and query of its first line. */
#ifndef LW_SERVE_TARGET_H
#define LW_SERVE_TARGET_H

#include "lengthwise.h"

enum { TARGET_PAIRS_MAX = 16 };

typedef struct target_pair {
    const char *name, *value;
} target_pair;

typedef struct target {
    const char *path; /* "/people/3": from a slash, no empty part, no part of dots alone; or "*" */
    int count;
    target_pair pair[TARGET_PAIRS_MAX]; /* each name once */
} target;

/* Splits and decodes `raw` where it stands; out points into it. */
lw_status target_read(target *out, char *raw, lw_error *error);

/* NULL where it is not there. */
const char *target_value(const target *t, const char *name);

#endif
