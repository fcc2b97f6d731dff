/* Filling an lw_error where a fault is found. */
#ifndef LW_CORE_FAIL_H
#define LW_CORE_FAIL_H

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "lengthwise.h"

/* Sets *error (which may be NULL) and returns status. place, message and remedy are copied; the message is a
 * printf format. */
__attribute__((format(printf, 5, 6))) static inline lw_status
fail(lw_error *error, lw_status status, const char *place, const char *remedy, const char *message, ...) {
    if (error) {
        memset(error, 0, sizeof *error);
        error->status = status;
        snprintf(error->place, sizeof error->place, "%s", place);
        snprintf(error->remedy, sizeof error->remedy, "%s", remedy);
        va_list args;
        va_start(args, message);
        vsnprintf(error->message, sizeof error->message, message, args);
        va_end(args);
    }
    return status;
}

/* Passes on what another *error already says. */
static inline lw_status fail_as(lw_error *error, const lw_error *other) {
    if (error) *error = *other;
    return other->status;
}

static inline lw_status fail_memory(lw_error *error, const char *place) {
    fail(error, LW_ERROR_MEMORY, place, "free some memory, or ask for less: fewer hairs, a coarser picture",
         "out of memory");
    return LW_ERROR_MEMORY; /* said here, so that whoever reads the callers knows that it is not LW_OK */
}

#endif
