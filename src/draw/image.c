#include "image.h"

#include <cairo.h>
#include <stdlib.h>
#include <string.h>

#include "bytes.h"
#include "fail.h"

lw_status image_new(image *out, int width, int height, lw_error *error) {
    *out = (image){.width = width, .height = height};
    out->rgba = calloc((size_t)width * (size_t)height, 4);
    return out->rgba ? LW_OK : fail_memory(error, "picture");
}

void image_clear(image *picture) {
    free(picture->rgba);
    *picture = (image){0};
}

/* Straight colours as cairo keeps them: each multiplied by its opacity, in a word of the machine's own order.
 */
static lw_status to_surface(cairo_surface_t *surface, const image *picture) {
    cairo_surface_flush(surface);
    unsigned char *data = cairo_image_surface_get_data(surface);
    if (!data) return LW_ERROR_MEMORY;
    int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; y < picture->height; y++)
        for (int x = 0; x < picture->width; x++) {
            const uint8_t *p = picture->rgba + 4 * ((size_t)y * (size_t)picture->width + (size_t)x);
            uint32_t a = p[3], word = a << 24;
            for (int k = 0; k < 3; k++) word |= (p[k] * a + 127) / 255 << (16 - 8 * k);
            memcpy(data + (size_t)y * (size_t)stride + 4 * (size_t)x, &word, sizeof word);
        }
    cairo_surface_mark_dirty(surface);
    return LW_OK;
}

static cairo_status_t append(void *closure, const unsigned char *data, unsigned length) {
    bytes *to = closure;
    bytes_add(to, data, length);
    return to->failed ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

lw_status image_png(draw_bytes *out, const image *picture, lw_error *error) {
    bytes file = {0};
    *out = (draw_bytes){0};
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_ARGB32, picture->width, picture->height);
    lw_status status = to_surface(surface, picture);
    if (!status && cairo_surface_write_to_png_stream(surface, append, &file) != CAIRO_STATUS_SUCCESS)
        status = LW_ERROR_MEMORY;
    cairo_surface_destroy(surface);
    if (!status) return bytes_take(out, &file, error);
    bytes_clear(&file);
    return fail_memory(error, "picture");
}
