/* Where hair grows on the bust. */
#ifndef LW_DRAW_HAIR_SCALP_H
#define LW_DRAW_HAIR_SCALP_H

#include "hair_fine.h"

/* grown[vertex_count]: 0 bare skin to 1 as dense as hair is on a head. */
lw_status hair_scalp(float *grown, const hair_fine *hair, const view *seen, const lw_mesh *mesh,
                     lw_error *error);

#endif
