/* A picture of a step seen from any side: what its parts share. */
#ifndef LW_DRAW_STEP_PICTURE_H
#define LW_DRAW_STEP_PICTURE_H

#include "head_drawing.h"
#include "step_show.h"

/* One step being drawn; `at`, `from` and `on` are those of one picture. */
typedef struct picture {
    drawing *d;
    const study *s;
    const draw_subject *of;
    const lw_step *step;
    const lw_panel *p; /* the panel shown, and its index */
    int panel;
    bool blank;
    int since; /* the drawing's marks before it */
    frame at;
    study_view from;
    stage on;
    lw_error *error;
} picture;

#define PICTURE_CAPTION 12. /* points below a picture for its caption */

/* What is to be seen, metres in the view's plane. */
typedef struct bounds {
    double left, right, bottom, top;
} bounds;

bounds bounds_none(void);
void bounds_include(bounds *b, const view *v, lw_vec3 p);
bounds bounds_of_head(const study *s, const view *v);

/* The stage that shows it as large as fits, with room for words round it. */
stage bounds_stage(const bounds *b, const view *v, frame at);

/* Below the picture: `before`, or where that is too wide `shorter`, and from where it is seen. */
void picture_caption(const picture *g, const char *before, const char *shorter);

/* A direction on the page: unit, y down. */
point page_way(const stage *on, lw_vec3 v);
point page_off(point p, double x, double y);

/* Over comb and clipper: what is left standing, on the head in `far` and closer in `near`. */
lw_status draw_step_distance(picture *g, frame far, frame near);

#endif
