/* Where on the page each panel is seen: a grid of labels, areas outlined from it, and room for numbers in
 * them. */
#ifndef LW_DRAW_STEP_MASK_H
#define LW_DRAW_STEP_MASK_H

#include "study.h"

typedef struct mask {
    int width, height;
    double x, y, size; /* points: the first sample's outer corner, a sample's side */
    int *label;        /* [height][width]: index into lw_cut_panel, -1: nothing of the step is seen */
} mask;

/* Labels are exact at every sample's middle: vertex_label[] says what `at` says of each vertex of the mesh.
 */
lw_status mask_new(mask *out, const study *s, const study_view *from, const stage *on, frame within,
                   const int *vertex_label, curve_label *at, const void *context, lw_error *error);
void mask_clear(mask *m);

int mask_at(const mask *m, point p);

/* Samples with a label from `low` to `high`. */
int mask_count(const mask *m, int low, int high);

/* The outlines of where labels from `low` to `high` are seen, one area for each piece, holes left open. */
lw_status mask_area(drawing *d, const mask *m, area_role role, int about, int low, int high, lw_error *error);

/* The place in the labels from `low` to `high` with room about it: of those with most of the room there is,
 * the one nearest to `near`, or nearest to the line through it along the unit vector `line` unless that is 0.
 * room: points to the nearest border. False where they are not seen. */
bool mask_room(const mask *m, int low, int high, point near, point line, point *at, double *room,
               lw_status *status);

#endif
