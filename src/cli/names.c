/* Names of what core numbers, where core itself has none. */
#include "names.h"

#include <stddef.h>

const char *const head_kinds[] = {"adult", "woman", "man", "sphere", "ellipsoid", NULL};
const char *const hairline_shapes[] = {"rounded", "straight", "receded", "peaked", NULL};

const char *const picture_sides[] = {"front", "back", "left", "right", "above", "three-quarter", NULL};

const char *head_kind_name(lw_head_kind kind) { return head_kinds[kind]; }
const char *hairline_name(lw_hairline_shape shape) { return hairline_shapes[shape]; }

const char *const mesh_details[] = {"coarse", "normal", "fine", NULL};

double mesh_cell(bool given, int detail) {
    static const double cells[] = {.006, .003, .0015};
    return cells[given ? detail : 1];
}

const char *near_name(const lw_head *head, lw_vec3 at) {
    return lw_landmark_name(lw_head_nearest_landmark(head, at));
}
const char *const side_names[LW_SIDE_COUNT] = {"front", "left", "back", "right"};
