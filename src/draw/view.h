/* From where the head is looked at, and where on the page a place on it comes.
 *
 * All views are orthographic. From the front the client's left is on the right of the page; from above the
 * face is at the top of the page and the client's left on its left, as they are for someone who stands behind
 * the chair. */
#ifndef LW_DRAW_VIEW_H
#define LW_DRAW_VIEW_H

#include "drawing.h"

typedef enum view_side {
    VIEW_FRONT,
    VIEW_BACK,
    VIEW_LEFT, /* the client's left side: the nose points to the left of the page */
    VIEW_RIGHT,
    VIEW_ABOVE,
    VIEW_THREE_QUARTER_LEFT, /* from the front and the client's left */
    VIEW_THREE_QUARTER_RIGHT,
    VIEW_SIDES
} view_side;

/* "front", "back", "left" …; "" out of range. */
const char *view_name(view_side side);

typedef struct view {
    lw_vec3 right, up, toward; /* unit; toward the eye */
} view;

view view_of(view_side side);

/* The view from any direction, y up on the page where that can be. */
view view_from(lw_vec3 toward);

/* A view set on a page. */
typedef struct stage {
    view view;
    lw_vec3 centre; /* shown at `middle` */
    point middle;
    double scale; /* points per metre */
} stage;

/* The stage that shows all of [low, high] in `at`, at no more than `scale` points per metre (0: as large as
 * fits). */
stage stage_fit(view v, lw_vec3 low, lw_vec3 high, frame at, double scale);

point stage_point(const stage *s, lw_vec3 p);
double stage_depth(const stage *s, lw_vec3 p); /* metres toward the eye from `centre` */

#endif
