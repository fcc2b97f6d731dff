/* Room for labels: what is taken on a page, and where a label can still go. */
#ifndef LW_DRAW_LABEL_H
#define LW_DRAW_LABEL_H

#include "drawing.h"

/* What is taken, as discs: one for a dot, a row of them for a label or a line. */
typedef struct label_disc {
    point at;
    double radius;
    double weight; /* how bad it is to cover it; INFINITY: nothing may */
    int about;     /* labels about the same may cover it; -1: none */
} label_disc;

typedef struct label_set {
    int count, room;
    label_disc *discs;
} label_set;

void label_set_clear(label_set *set);

/* Each returns false where memory ran out. */
bool label_take(label_set *set, point at, double radius, double weight);

/* One disc a step of its radius or more, so that long lines do not weigh more where they have more points. */
bool label_take_line(label_set *set, const point *points, int count, double radius, double weight, int about);

/* A box of that size turned clockwise by `turn` about its middle. */
bool label_take_box(label_set *set, point middle, point size, double turn);

/* All words that are on the page already. */
bool label_take_words(label_set *set, const drawing *d);

/* How much of a box is in the way of others: the weight of all it would cover. */
double label_clash(const label_set *set, point middle, point size, double turn, int about);

/* Puts `text` on the lines of `role` about `about` that were drawn since mark `first`, along the line and
 * never upside down, where the line is straight enough and long enough and nothing else is; at most twice,
 * far apart. Nowhere, where there is no such place. */
void label_along(drawing *d, label_set *set, int first, line_role role, int about, const char *text);

#endif
