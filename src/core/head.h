/* What the rooms inside core see of a head: its options, its surface, its landmarks and its hairline. */
#ifndef LW_CORE_HEAD_H
#define LW_CORE_HEAD_H

#include "lengthwise.h"
#include "surface.h"

#define HAIRLINE_KNOTS 9
#define HAIRLINE_EDGE 48
#define HEAD_NET 600

/* Rise above level, as seen from the star centre, by bearing from the nape (-pi/2) over the side (0) to
 * the front (pi/2); both sides alike. Knots at the landmarks, monotone cubics between them. */
typedef struct hairline {
    double bearing[HAIRLINE_KNOTS], rise[HAIRLINE_KNOTS], slope[HAIRLINE_KNOTS];
    lw_vec3 edge[HAIRLINE_EDGE]; /* points along it on the left, evenly by bearing and height */
} hairline;

struct lw_head {
    lw_head_options given;
    surface surface;
    double measured[LW_MEASURE_COUNT];
    lw_vec3 landmark[LW_LANDMARK_COUNT];
    hairline hairline;
    double scalp_area;
    lw_vec3 net[HEAD_NET]; /* surface points, where a search for the nearest one starts */
};

/* Means and covariances of the measures of a kind of head, metres and square metres. */
typedef struct population {
    double mean[LW_MEASURE_COUNT], covariance[LW_MEASURE_COUNT][LW_MEASURE_COUNT];
} population;

/* measures.c */
void measure_range(lw_measure id, double *low, double *high); /* what is taken at all, metres */
void population_of(population *out, lw_head_kind kind);

/* What the measure `id` is expected to be, given the others that are above zero; sd may be NULL. */
double population_expect(const population *of, const double *given, lw_measure id, double *sd);

/* build.c */
typedef struct head_form {
    double breadth, length,
        top;     /* metres: twice the skull's semi-axes across and along; its top above the tragions */
    double neck; /* girth of the neck over the mean man's */
    double shape[SHAPE_TERMS];
} head_form;

void surface_from_axes(surface *out, lw_vec3 axes);
void surface_from_form(surface *out, const head_form *form);

/* fit.c */
lw_status head_fit(lw_head *head, lw_error *error);

/* head.c */
lw_vec3 surface_point(const surface *s, lw_vec3 direction, lw_vec3 *normal); /* direction of any length */

/* landmark.c: each on the surface, the left one of a pair */
void landmarks_by_direction(const surface *s, lw_hairline_shape shape, lw_vec3 *landmark);
void landmarks_on_top(const surface *s, lw_vec3 *landmark); /* apex, crowns, parietal ridge */
void landmarks_mirror(lw_vec3 *landmark);                   /* the right ones from the left */
lw_vec3 landmark_direction(const surface *s, lw_hairline_shape shape, lw_landmark id);
lw_vec3 landmark_tipped(const surface *s, lw_hairline_shape shape, lw_landmark id,
                        double up);                            /* turned up, radians */
lw_vec3 landmark_front(const surface *s, double arc);          /* up the midline from the glabella */
lw_vec3 landmark_beside(const surface *s, double y, double z); /* at the side, near the star centre's level */
lw_vec3 landmark_below(const surface *s, lw_vec3 toward,
                       double y); /* below the centre, toward a level direction */

/* hairline.c */
void hairline_lay(lw_head *head);
double hairline_area(const lw_head *head);

/* About how far p, with x >= 0, is from the left half of the line, metres: smooth, and 0 to .003 on the line.
 */
double hairline_away(const lw_head *head, lw_vec3 p);

/* bust.c */
void bust_reach(const lw_head *head, lw_vec3 *low,
                lw_vec3 *high); /* a box that holds the bust; low->y is where it stands */

/* tape.c */
double tape_measure(const surface *s, const lw_vec3 *landmark, lw_measure id);
double tape_midline(const surface *s, lw_vec3 from, lw_vec3 to);
double tape_temples(const surface *s, lw_vec3 temple, lw_vec3 occiput);
double tape_nape(const surface *s, lw_vec3 corner, lw_vec3 centre);

/* Where the tape runs, or the caliper's ends are (lw_head_tape); how many points. */
enum { TAPE_POINTS = LW_TAPE_POINTS };
int tape_line(lw_vec3 out[TAPE_POINTS], const surface *s, const lw_vec3 *landmark, lw_measure id);

#endif
