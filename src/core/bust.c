/* The bust: the head's own surface, and what hangs below and stands out of it. */
#include "head.h"

double lw_head_bust(const lw_head *head, lw_vec3 p, lw_vec3 *gradient) {
    lw_vec3 normal, on = lw_head_project(head, p, &normal);
    if (gradient) *gradient = normal;
    return v3_dot(v3_sub(p, on), normal);
}
