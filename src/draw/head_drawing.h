/* The head drawn from a side: outline, ears, hairline, partings, landmarks and names. */
#ifndef LW_DRAW_HEAD_DRAWING_H
#define LW_DRAW_HEAD_DRAWING_H

#include "map.h"
#include "study.h"

/* The stage of the side in `at`: the head and neck, not all of the shoulders, since the cut is on the head.
 * All sides at the same scale: give the smallest of head_stage's scales, or 0. */
stage head_stage(const study *s, view_side side, frame at, double scale);

/* Shading, outline, features and hairline of the bust, clipped to the stage's frame at the shoulders. */
void draw_head(drawing *d, const study *s, view_side side, const stage *on);

/* Partings between sections, hidden parts dashed but for the front, where they would lie on the face;
 * `names`: with the sections' names beside them. */
void draw_sections(drawing *d, const study *s, view_side side, const stage *on, bool names);

/* Named landmarks as dots, `about` the lw_landmark; only those that can be seen. */
void draw_landmarks(drawing *d, const study *s, view_side side, const stage *on, bool names);

/* A curve on the head, the parts that can be seen in `shown` and the others in `hidden` (LINE_ROLES: not at
 * all). */
void draw_curve(drawing *d, const study *s, view_side side, const stage *on, const curves *from, int which,
                line_role shown, line_role hidden, int about);

/* The same from any side: `from` is one of the study's views, or made by study_view_new. */
stage head_stage_from(const study *s, view v, frame at, double scale);
void draw_head_from(drawing *d, const study *s, const study_view *from, const stage *on);
void draw_curve_from(drawing *d, const study *s, const study_view *from, const stage *on, const curves *of,
                     int which, line_role shown, line_role hidden, int about);
bool study_view_shows(const study_view *from, lw_vec3 p);

/* The lines of draw_head alone, all in one role, without hairline and eyes. */
void draw_head_lines(drawing *d, const study *s, const study_view *from, const stage *on, line_role role);

/* What is drawn of the bust on the stage: its box on the page. */
frame head_frame(const study *s, const stage *on);

/* Whether a point of the scalp can be seen: its skin does not face away, and nothing is before it. */
bool study_scalp_shows(const study *s, view_side side, lw_vec3 p);

/* Whether a point on or outside the bust can be seen from the side. */
bool study_shows(const study *s, view_side side, lw_vec3 p);

#endif
