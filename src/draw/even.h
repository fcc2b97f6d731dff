/* Values on the scalp evened out, so that a contour runs on from panel to panel. */
#ifndef LW_DRAW_EVEN_H
#define LW_DRAW_EVEN_H

#include "patch.h"

/* out[vertex]: what the values of the vertex's own section are there by and large, over about `spread`
 * metres. Values that are linear over the scalp stay as they are, up to the section's edge. */
lw_status even_out(double *out, const patch *p, const double *value, double spread, lw_error *error);

#endif
