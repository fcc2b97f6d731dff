/* A head of which little is said, its roots and its surface as triangles. After cmocka.h. */
#ifndef LW_TESTS_HEADS_H
#define LW_TESTS_HEADS_H

#include "lengthwise.h"

/* The semi-axes are for a ball, which takes the first, and an ellipsoid. */
static inline lw_head *head_of(lw_head_kind kind, double x, double y, double z) {
    lw_head *head;
    lw_error error = {0};
    lw_head_options options = lw_head_default();
    options.kind = kind;
    options.axes[0] = x, options.axes[1] = y, options.axes[2] = z;
    if (lw_head_new(&head, &options, &error)) fail_msg("%s: %s", error.place, error.message);
    return head;
}

static inline lw_scalp *roots_of(const lw_head *head, int count) {
    lw_scalp *scalp;
    lw_error error = {0};
    lw_scalp_options options = lw_scalp_default();
    options.count = count;
    if (lw_scalp_new(&scalp, head, &options, &error)) fail_msg("%s: %s", error.place, error.message);
    return scalp;
}

static inline lw_mesh mesh_of(const lw_head *head, double cell) {
    lw_mesh mesh;
    lw_error error = {0};
    if (lw_mesh_new(&mesh, head, cell, &error)) fail_msg("%s: %s", error.place, error.message);
    return mesh;
}

#endif
