/* A finer mesh where the surface bends much from one vertex to the next: lids, lips, nostrils, ears. */
#ifndef LW_DRAW_REFINE_H
#define LW_DRAW_REFINE_H

#include "lengthwise.h"

/* Halves every edge whose ends' normals differ by more than `bend` radians, and what else must be so that the
 * mesh stays closed. New vertices lie on the bust, with its normals. */
lw_status refine(lw_mesh *mesh, const lw_head *head, double bend, lw_error *error);

#endif
