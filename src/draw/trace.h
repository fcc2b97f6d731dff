/* A curve in space as it is seen from a side: cut where it goes out of sight. */
#ifndef LW_DRAW_TRACE_H
#define LW_DRAW_TRACE_H

#include "drawing.h"
#include "view.h"

typedef enum sight {
    SIGHT_OUT,    /* beyond what is drawn */
    SIGHT_HIDDEN, /* behind the bust */
    SIGHT_SHOWN,
    SIGHT_EDGE, /* shown, and nothing behind it */
    SIGHTS
} sight;

/* How p, where the curve runs along `tangent`, is seen. */
typedef sight trace_sight(const void *context, lw_vec3 p, lw_vec3 tangent);

typedef struct trace_how {
    trace_sight *sight;
    const void *context;
    int smooth;           /* rounds in which a point moves to its neighbours' mean; ends stay */
    double bridge, speck; /* metres: a gap as short as the one is closed, a stroke as short as the other left
                             out */
    int role[SIGHTS];     /* line_role, or LINE_ROLES: not drawn */
    int about;
} trace_how;

/* Draws it. Where it passes out of sight is found within 1e-5 m. */
void trace_draw(drawing *d, const stage *on, const lw_vec3 *points, int count, bool closed,
                const trace_how *how);

#endif
