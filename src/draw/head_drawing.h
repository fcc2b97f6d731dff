/* The head drawn from a side: outline, ears, hairline, landmarks, partings, and the lengths on it. */
#ifndef LW_DRAW_HEAD_DRAWING_H
#define LW_DRAW_HEAD_DRAWING_H

#include "study.h"

/* The stage of the side in `at`: the head and neck, not all of the shoulders, since the cut is on the head.
 * All sides at the same scale: give the smallest of head_stage's scales, or 0. */
stage head_stage(const study *s, view_side side, frame at, double scale);

/* Shading, outline, features and hairline of the bust, clipped to the stage's frame at the shoulders. */
void draw_head(drawing *d, const study *s, view_side side, const stage *on);

/* Partings between sections, hidden parts dashed; `names`: with the sections' names beside them. */
void draw_sections(drawing *d, const study *s, view_side side, const stage *on, bool names);

/* Named landmarks as dots, `about` the lw_landmark; only those that can be seen. */
void draw_landmarks(drawing *d, const study *s, view_side side, const stage *on, bool names);

/* A curve on the head, the parts that can be seen in `shown` and the others in `hidden` (LINE_ROLES: not at
 * all). */
void draw_curve(drawing *d, const study *s, view_side side, const stage *on, const curves *from, int which,
                line_role shown, line_role hidden, int about);

/* Whether a point on or outside the bust can be seen from the side. */
bool study_shows(const study *s, view_side side, lw_vec3 p);

/* ---- the length map ---- */

/* The scale of a map: from `low` to `high` metres, contours every `step`; colours by cividis (map.c). */
typedef struct map_scale {
    double low, high, step;
    lw_units units;
} map_scale;

map_scale map_scale_of(const study *s);

/* The picture of lengths on the scalp from a side; the image belongs to `keep` and must outlive the drawing.
 */
lw_status draw_map(drawing *d, image *keep, const study *s, view_side side, const stage *on,
                   const map_scale *scale, lw_error *error);

/* Contours with their lengths, over the map. */
void draw_contours(drawing *d, const study *s, view_side side, const stage *on, const map_scale *scale);

/* The colours with their lengths, along `at`'s longer side. */
lw_status draw_map_scale(drawing *d, image *keep, const map_scale *scale, frame at, lw_error *error);

#endif
