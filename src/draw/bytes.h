/* Bytes that grow, with a ceiling. */
#ifndef LW_DRAW_BYTES_H
#define LW_DRAW_BYTES_H

#include "draw.h"

enum { BYTES_MAX = 512 * 1024 * 1024 };

typedef struct bytes {
    unsigned char *data;
    size_t size, room;
    bool failed; /* memory ran out, or the ceiling was reached: later bytes are dropped */
} bytes;

void bytes_add(bytes *b, const void *data, size_t size);
void bytes_text(bytes *b, const char *text);
__attribute__((format(printf, 2, 3))) void bytes_print(bytes *b, const char *format,
                                                       ...); /* up to 511 bytes */
void bytes_clear(bytes *b);

/* Hands the bytes over; *b is empty after. */
lw_status bytes_take(draw_bytes *out, bytes *b, lw_error *error);

#endif
