#include "bytes.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"

static bool make_room(bytes *b, size_t size) {
    if (b->failed || size > BYTES_MAX - b->size) return false;
    if (b->size + size <= b->room) return true;
    size_t room = b->room ? b->room : 4096;
    while (room < b->size + size) room *= 2;
    unsigned char *data = realloc(b->data, room);
    if (!data) return false;
    b->data = data;
    b->room = room;
    return true;
}

void bytes_add(bytes *b, const void *data, size_t size) {
    if (!size) return;
    if (!make_room(b, size)) {
        b->failed = true;
        return;
    }
    memcpy(b->data + b->size, data, size);
    b->size += size;
}

void bytes_text(bytes *b, const char *text) { bytes_add(b, text, strlen(text)); }

void bytes_print(bytes *b, const char *format, ...) {
    char text[512];
    va_list args;
    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    bytes_text(b, text);
}

void bytes_clear(bytes *b) {
    free(b->data);
    *b = (bytes){0};
}

lw_status bytes_take(draw_bytes *out, bytes *b, lw_error *error) {
    *out = (draw_bytes){0};
    if (b->failed) {
        bytes_clear(b);
        return fail_memory(error, "page");
    }
    *out = (draw_bytes){b->data, b->size};
    *b = (bytes){0};
    return LW_OK;
}

void draw_bytes_clear(draw_bytes *all) {
    free(all->data);
    *all = (draw_bytes){0};
}
