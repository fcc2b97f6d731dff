/* What of a step is shown, before anything is drawn: from which side, which panel, from where its hold is
 * seen. Pure geometry. */
#ifndef LW_DRAW_STEP_SHOW_H
#define LW_DRAW_STEP_SHOW_H

#include "study.h"

/* Whether a step cuts at a set distance (over comb, clipper), not with fingers. */
bool step_sets_distance(const lw_step *step);

/* The step of that name, counted from 1; 0: none. */
int step_named(const lw_plan *plan, const char *name);

/* The panel whose hold is drawn: of those on the side as written that cut hair, the middle one in cutting
 * order, and its middle bite; index into lw_cut_panel, -1 where the step has no panel. */
int step_shown(const draw_subject *of, int step);

/* Panels of a step, by index into lw_cut_panel: first .. first + count - 1; none: count 0. */
void step_range(const lw_cut *cut, int step, int *first, int *count);

/* How many panels without bites a step has, both sides together. */
int step_wholes(const lw_cut *cut, int step);

/* The panel of each vertex of the mesh in a step, index into lw_cut_panel; -1 where it does not work. The
 * array is the caller's to free. */
lw_status step_labels(int **out, const study *s, int step, lw_error *error);

/* The same of any point, for those who ask by curve_label. */
typedef struct step_ask {
    const lw_cut *cut;
    int step;
} step_ask;
int step_label_at(const void *ask, lw_vec3 p);

/* Area, in square metres at the head's own size, on which scalp with labels from `low` to `high` is seen. */
double step_seen(const study *s, view_side side, const int *label, int low, int high);

/* The side of the five that shows most of the step's panels on the side as written; one that shows as good as
 * that and the mirror image too is better. */
view_side step_side(const study *s, const int *label, int step);

/* The angle of a hold, in the plane in which it has its true size. */
typedef struct hold_angle {
    lw_vec3 from;  /* unit, at the place it is held: what the angle is measured from */
    lw_vec3 axis;  /* unit, at right angles to `from` and to the held hair: the eye looks along it */
    double angle;  /* radians */
    double stated; /* as the plan says it */
    bool free;     /* the hair is held as stated; false where the head itself keeps it off that angle */
} hold_angle;

hold_angle hold_angle_of(const draw_subject *of, int panel);

/* Both ways of an axis show the same; this is the one a hairdresser would stand on. The face is up where the
 * head is seen from above. */
view view_along(const lw_head *head, lw_vec3 axis, lw_vec3 at);

/* The view in which the finger line and the held hair both have their true size. */
view line_view(const draw_subject *of, int panel);

/* "from the back", "from above left": a view in words. */
void view_words(char out[64], view v);

/* A line on the scalp. */
enum { LINE_POINTS_MAX = 256 };
typedef struct scalp_line {
    int count, start; /* start: which of the points is the anchor */
    lw_vec3 points[LINE_POINTS_MAX];
} scalp_line;

/* Through the panel's anchor: along its middle parting, end to end of its hair, toward growing s; and across
 * it from the parting on one side to the other. */
void line_along(scalp_line *out, const draw_subject *of, int panel);
void line_across(scalp_line *out, const draw_subject *of, int panel);

/* The same line across all panels of the step on this side of the head. */
void line_over_step(scalp_line *out, const draw_subject *of, int panel);

/* t(s) of a panel that cuts. */
double panel_reach(const lw_cut *cut, const lw_panel *p, double s);

/* Where a hair rooted at a point of the panel ends, and where it is held: for a line that does not follow the
 * head as docs/model.md says; for one that follows, at its own place, turned as the scalp turns from the
 * anchor. */
lw_vec3 panel_end(const draw_subject *of, int panel, lw_vec3 root, lw_vec3 *place);

#endif
