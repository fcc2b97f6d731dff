/* A text that grows. See grown.c. */
#ifndef LW_TEXT_GROWN_H
#define LW_TEXT_GROWN_H

#include "lengthwise.h"

typedef struct grown {
    char *at; /* zero-terminated once something was added */
    size_t size, room;
    bool failed; /* memory ran out: nothing more is added */
} grown;

void grown_add(grown *t, const char *data, size_t size);
__attribute__((format(printf, 2, 3))) void grown_addf(grown *t, const char *format,
                                                      ...); /* up to 255 bytes */
void grown_quoted(grown *t, const char *value);             /* as a JSON string */

/* A copy, zero-terminated; free() it. NULL where memory ran out. */
char *grown_copy(const char *data, size_t size);

/* Hands it over, or says that memory ran out. size may be NULL. */
lw_status grown_end(grown *t, char **out, size_t *size, lw_error *error);

#endif
