/* How a failure is told in this room. */
#ifndef LW_DRAW_FAULT_H
#define LW_DRAW_FAULT_H

#include "lengthwise.h"

/* Fills *error (may be NULL) and returns `status`. message is a format. */
__attribute__((format(printf, 5, 6))) lw_status fault(lw_error *error, lw_status status, const char *place,
                                                      const char *remedy, const char *message, ...);

/* Here, so that whoever reads the caller sees that it is never LW_OK: clang's analyzer among them. */
static inline lw_status fault_memory(lw_error *error, const char *place) {
    fault(error, LW_ERROR_MEMORY, place, "Close other programs, or ask for a smaller picture.",
          "memory ran out");
    return LW_ERROR_MEMORY;
}

#endif
