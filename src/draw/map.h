/* The lengths a cut leaves, as a map on the head. */
#ifndef LW_DRAW_MAP_H
#define LW_DRAW_MAP_H

#include "study.h"

enum { MAP_LEVELS_MAX = 16 };

/* The scale of a map: from `low` to `high` metres, colours by cividis. Contours every `step`, and where the
 * shortest hair is shorter than a step at its fractions too, so that short hair is not left blank. One length
 * everywhere: low and high are equal and there is no level. */
typedef struct map_scale {
    double low, high, step;
    lw_units units;
    int level_count;
    double level[MAP_LEVELS_MAX]; /* metres, strictly between low and high, rising */
} map_scale;

map_scale map_scale_of(const study *s);

/* sRGB, 0 to 1, of a length. */
void map_colour(double rgb[3], const map_scale *scale, double length);

/* A length in the unit without its name: "12.5", "4 7/8". */
void map_number(char out[16], double length, lw_units units);

/* The picture of lengths on the scalp from a side; the image belongs to `keep` and must outlive the drawing.
 * It goes under the head's lines: before draw_head. */
lw_status draw_map(drawing *d, image *keep, const study *s, view_side side, const stage *on,
                   const map_scale *scale, lw_error *error);

/* Contours with their lengths, over the map; in a section that lies between two contours, its length. */
void draw_contours(drawing *d, const study *s, view_side side, const stage *on, const map_scale *scale);

/* The colours with their lengths, along `at`'s longer side. */
lw_status draw_map_scale(drawing *d, image *keep, const map_scale *scale, frame at, lw_error *error);

#endif
