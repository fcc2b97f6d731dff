/* Names of what core numbers, where core itself has none. */
#include <stddef.h>

#include "tell.h"

const char *const tell_head_kinds[] = {"adult", "woman", "man", "sphere", "ellipsoid", NULL};
const char *const tell_hairlines[] = {"rounded", "straight", "receded", "peaked", NULL};
const char *const tell_sides[LW_SIDE_COUNT] = {"front", "left", "back", "right"};

const char *tell_head_kind(lw_head_kind kind) { return tell_head_kinds[kind]; }
const char *tell_hairline(lw_hairline_shape shape) { return tell_hairlines[shape]; }

const char *tell_near(const lw_head *head, lw_vec3 at) {
    return lw_landmark_name(lw_head_nearest_landmark(head, at));
}
