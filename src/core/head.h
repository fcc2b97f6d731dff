/* What the rooms inside core see of a head: its options, its surface, its landmarks and its hairline. */
#ifndef LW_CORE_HEAD_H
#define LW_CORE_HEAD_H

#include "lengthwise.h"
#include "surface.h"

#define HAIRLINE_KNOTS 9

/* Rise above level, as seen from the star centre, by bearing from the nape (-pi/2) over the side (0) to
 * the front (pi/2); both sides alike. Knots at the landmarks, monotone cubics between them. */
typedef struct hairline {
    double bearing[HAIRLINE_KNOTS], rise[HAIRLINE_KNOTS], slope[HAIRLINE_KNOTS];
} hairline;

struct lw_head {
    lw_head_options given;
    surface surface;
    double measured[LW_MEASURE_COUNT];
    lw_vec3 landmark[LW_LANDMARK_COUNT];
    hairline hairline;
    double scalp_area;
};

/* What the figures of a head ask of its surface, beyond the figures themselves. */
typedef struct head_form {
    double breadth, length, top; /* of the skull, metres */
    double neck;                 /* factor on the neck of the mean man */
    double shape[SHAPE_TERMS];
} head_form;

/* fit.c */
head_form form_mean(lw_head_kind kind);
void surface_from_form(surface *out, const head_form *form);
void surface_from_axes(surface *out, lw_vec3 axes);
lw_status head_fit(lw_head *head, lw_error *error);

/* head.c */
lw_vec3 surface_point(const surface *s, lw_vec3 direction, lw_vec3 *normal); /* direction of any length */

/* landmark.c */
void landmarks_place(lw_head *head);

/* hairline.c */
void hairline_lay(lw_head *head);
double hairline_area(const lw_head *head);

/* tape.c */
double tape_measure(const lw_head *head, lw_measure id);

#endif
