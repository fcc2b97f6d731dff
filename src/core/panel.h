/* How a part is cut into panels: a coordinate that is constant along each parting. */
#ifndef LW_CORE_PANEL_H
#define LW_CORE_PANEL_H

#include "head.h"

#define BINS 128
#define MIDLINE_MAX 24

/* The family's coordinate q on the surface, and S(q), the same measured along the scalp.
 * Planes: q = normal . p. Fans: q is the angle about `axis` through `centre`, counted from `zero`. */
typedef struct family {
    bool fan;
    lw_vec3 centre;
    lw_vec3 normal;           /* planes */
    lw_vec3 axis, zero, side; /* fans: a right-handed frame, side = axis x zero */
    double low, high;         /* range of q over the part */
    double climb[BINS + 1];   /* S at low + k (high - low) / BINS, in metres */
    bool from_high;           /* panels are counted from the high end */
    bool from_middle;
} family;

/* One cut of the hand: a panel, or one bite of a panel longer than the hand. */
typedef struct strip {
    double q;   /* of its middle line */
    int slot;   /* the panel it is a bite of */
    int before; /* the strip it follows, -1 for the first */
    lw_vec3 anchor, normal, parting;
    int midline_count;
    lw_vec3 midline[MIDLINE_MAX]; /* along the middle line, in order of s */
    double s_low, s_high;         /* reach of the part's hair along the parting */
    double upto;                  /* upper end of its bite, in the s of its slot */
    double area;                  /* m^2 */
} strip;

/* What lies between two neighbouring partings, with the strips that cut it: first .. first + bites - 1. */
typedef struct panel_slot {
    lw_vec3 anchor, parting; /* s = (p - anchor) . parting tells the bite */
    int first, bites;        /* bites 0: no hair */
} panel_slot;

/* All the panels of one step on one part: slots by position, strips in cutting order. */
typedef struct panel_set {
    family family;
    double thickness; /* metres of S, evened out over the part */
    int slot_count, count;
    panel_slot *slots;
    strip *strips;
} panel_set;

/* Divides the surface points (x, y, z)[count] of a part, each standing for `area`, into panels. span > 0 cuts
 * long lines in bites of that length. An empty part gives no panels. */
lw_status panel_set_make(panel_set *out, const lw_head *head, const lw_step *step, const lw_vec3 *points,
                         int count, double area, double span, lw_error *error);
lw_status panel_set_copy(panel_set *out, const panel_set *from, lw_error *error);
void panel_set_clear(panel_set *set);

/* Index in strips of the panel the surface point p belongs to; -1 if the set is empty. */
int panel_of(const panel_set *set, lw_vec3 p);

/* Index in strips of the bite nearest to p of the nth panel in cutting order, counted from 1; the last panel
 * where there are fewer. */
int panel_nth(const panel_set *set, int n, lw_vec3 p);

/* The surface point on the middle line of strips[k] nearest in its parting to p. */
lw_vec3 panel_counterpart(const panel_set *set, const surface *s, int k, lw_vec3 p);

#endif
