/* The scalp as triangles each of which lies in one section: the bust's mesh, cut along partings and hairline.
 */
#ifndef LW_DRAW_PATCH_H
#define LW_DRAW_PATCH_H

#include "curve.h"

/* Vertices on a border are there once for every side, so that what is said of a vertex holds on its own side
 * and nothing bleeds over a parting. */
typedef struct patch {
    lw_mesh mesh;
    int *section;   /* per vertex; the three of a triangle agree */
    int32_t *from;  /* per vertex: which of the bust's it is, -1 on a border */
    lw_vec3 *inner; /* per vertex: the same place, or near by inside its own section: to ask about */
} patch;

/* label[vertex_count] and `at` as for curves_borders; labels below 0 are left out. */
lw_status patch_new(patch *out, const lw_head *head, const lw_mesh *mesh, const int *label, curve_label *at,
                    const void *context, lw_error *error);
void patch_clear(patch *p);

#endif
