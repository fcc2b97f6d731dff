#include "fault.h"

#include <stdarg.h>
#include <stdio.h>

lw_status fault(lw_error *error, lw_status status, const char *place, const char *remedy, const char *message,
                ...) {
    if (!error) return status;
    *error = (lw_error){.status = status};
    snprintf(error->place, sizeof error->place, "%s", place);
    snprintf(error->remedy, sizeof error->remedy, "%s", remedy);
    va_list args;
    va_start(args, message);
    vsnprintf(error->message, sizeof error->message, message, args);
    va_end(args);
    return status;
}
