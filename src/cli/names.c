/* Names of what core numbers, where core itself has none. */
#include "names.h"

#include <stddef.h>

const char *const picture_sides[] = {"front", "back", "left", "right", "above", "three-quarter", NULL};

const char *const mesh_details[] = {"coarse", "normal", "fine", NULL};

double mesh_cell(bool given, int detail) {
    static const double cells[] = {.006, .003, .0015};
    return cells[given ? detail : 1];
}
