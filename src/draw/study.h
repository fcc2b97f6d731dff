/* A plan carried out, made ready for drawing: the bust's mesh, and what every vertex of it is. Made once,
 * drawn from by every drawing. */
#ifndef LW_DRAW_STUDY_H
#define LW_DRAW_STUDY_H

#include "curve.h"
#include "depth.h"
#include "draw.h"
#include "patch.h"

typedef struct study_view {
    view view;
    depth_map depth;    /* what hides what */
    image shade;        /* soft shading to draw on */
    frame shade_metres; /* where `shade` lies in the view's plane: x along right, y along up, of its top left
                           corner, metres */
    curves outline;     /* of the head: loops */
    curves silhouette;
    curves creases; /* where the surface nearly turns away: lips, lids, folds of the ear */
} study_view;

typedef struct study {
    draw_subject subject;
    lw_mesh mesh;
    lw_vec3 low, high;            /* box round the mesh, metres */
    lw_vec3 head_low, head_high;  /* box round the head and the top of the neck: what drawings show */
    int *section;                 /* per vertex: index into lw_cut_section; -1 off the scalp */
    double *curvature;            /* per vertex: mean, 1/m, above zero where it bulges */
    double *length;               /* per vertex on the scalp: metres; NAN elsewhere */
    patch scalp;                  /* the scalp's triangles, cut along partings and hairline */
    double *scalp_length;         /* per vertex of `scalp`: metres */
    double *scalp_even;           /* the same, evened out from panel to panel, for contours (even.h) */
    curves hairline;              /* the edge of the scalp */
    curves sections;              /* partings between sections */
    study_view views[VIEW_SIDES]; /* front, back, left, right, above: made; the others empty */
} study;

/* From any side; *out is made anew. */
lw_status study_view_new(study_view *out, const study *s, view v, lw_error *error);

/* The same without shading, in less time and room. */
lw_status study_view_lines(study_view *out, const study *s, view v, lw_error *error);
void study_view_clear(study_view *v);

#define STUDY_MARGIN .004 /* metres of what is drawn round the head's box */

/* Whether a place on the bust is drawn from the side: the head and the top of the neck; from above the head
 * only, so that its outline is not that of the shoulders. */
bool study_view_holds(const study *s, const view *v, lw_vec3 p);

lw_status study_new(study *out, const draw_subject *subject, lw_error *error);
void study_clear(study *s);

#endif
