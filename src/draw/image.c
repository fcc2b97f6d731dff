#include "image.h"

#include <stdlib.h>
#include <string.h>

#include "fault.h"

lw_status image_new(image *out, int width, int height, lw_error *error) {
    *out = (image){.width = width, .height = height};
    out->rgba = calloc((size_t)width * (size_t)height, 4);
    return out->rgba ? LW_OK : fault_memory(error, "picture");
}

void image_clear(image *picture) {
    free(picture->rgba);
    *picture = (image){0};
}
