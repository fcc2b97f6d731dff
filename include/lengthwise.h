/* lengthwise: from a written haircut to the length of every hair, before any hair is on the floor.
 *
 * This is the whole public interface. It runs in one direction:
 *
 *   tape measures -> lw_head -> lw_scalp (roots) -> lw_cut (lengths, panels, warnings) -> lw_reading
 *   hairs as they lie, lw_strands -> lw_fallen (outlines, weight line, perimeter)
 *
 * Frame: right-handed, x to the client's left, y up, z to the front; the origin is midway between
 * the tragions. Units: metres, radians, kilograms, seconds; angles in the plan file and on the
 * command line are degrees, lengths there are centimetres or inches. Every function that can fail returns an
 * lw_status, puts its result in the first argument and says what went wrong in lw_error. There is
 * no global state; objects may be shared between threads once made, as they do not change.
 */
#ifndef LENGTHWISE_H
#define LENGTHWISE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif
#ifdef __GNUC__
#pragma GCC visibility push(default) /* what is declared here is what the shared library exports */
#endif

#define LW_VERSION "0.1.0"
#define LW_NAME_MAX 96   /* bytes of a name, with its closing zero */
#define LW_TITLE_MAX 256 /* of a plan's title and of a person's name */
#define LW_LINK_MAX 501  /* of an address */
#define LW_CHAIN_MAX 16  /* places in a chain parting */
#define LW_SPLITS_MAX 128
#define LW_STEPS_MAX 256
#define LW_PANELS_MAX 4096 /* panels in one step */

/* ---- errors ------------------------------------------------------------------------------- */

typedef enum lw_status {
    LW_OK = 0,
    LW_ERROR_MEMORY = -1,   /* an allocation failed */
    LW_ERROR_ARGUMENT = -2, /* a value out of its range */
    LW_ERROR_MEASURES = -3, /* head measures that contradict each other */
    LW_ERROR_SYNTAX = -4,   /* the text is not JSON */
    LW_ERROR_PLAN = -5,     /* the JSON is not a plan */
    LW_ERROR_LIMIT = -6,    /* larger than lengthwise takes */
    LW_ERROR_STOPPED = -7   /* whoever asked for it has stopped it */
} lw_status;

/* What went wrong. Set once, where the fault is found. line and column count from 1 and are 0 where
 * there is no text; column counts bytes. */
typedef struct lw_error {
    lw_status status;
    int line, column;
    char place[LW_NAME_MAX]; /* which field, step, section or measure */
    char message[384];       /* what is wrong */
    char remedy[384];        /* what to do, with an example where one helps */
} lw_error;

/* ---- geometry ----------------------------------------------------------------------------- */

typedef struct lw_vec3 {
    double x, y, z;
} lw_vec3;

/* ---- landmarks ---------------------------------------------------------------------------- */

/* Named places. The paired ones come left then right, so that id ^ 1 mirrors them; the first six lie on the
 * midline and mirror to themselves. */
typedef enum lw_landmark {
    LW_FRONT_HAIRLINE,
    LW_APEX,
    LW_HIGH_CROWN,
    LW_CROWN,
    LW_OCCIPITAL_BONE,
    LW_NAPE_CENTRE,
    LW_RECESSION_LEFT,
    LW_RECESSION_RIGHT,
    LW_TEMPLE_LEFT,
    LW_TEMPLE_RIGHT,
    LW_SIDEBURN_LEFT,
    LW_SIDEBURN_RIGHT,
    LW_EAR_TOP_LEFT,
    LW_EAR_TOP_RIGHT,
    LW_BEHIND_EAR_LEFT,
    LW_BEHIND_EAR_RIGHT,
    LW_NAPE_CORNER_LEFT,
    LW_NAPE_CORNER_RIGHT,
    LW_PARIETAL_RIDGE_LEFT,
    LW_PARIETAL_RIDGE_RIGHT,
    LW_LANDMARK_COUNT
} lw_landmark;

/* The landmark's name as plans write it ("nape centre", "ear top left"); "" out of range. */
const char *lw_landmark_name(lw_landmark id);

/* The landmark of that name, or -1. */
int lw_landmark_find(const char *name);

/* The landmark on the other side; midline landmarks return themselves. */
lw_landmark lw_landmark_mirror(lw_landmark id);

/* A place on the scalp: a landmark, or a fraction of the way along the scalp from one to another. */
typedef struct lw_place {
    int from;  /* lw_landmark, or -1: not given */
    int to;    /* lw_landmark, or -1: the landmark `from` itself */
    double at; /* 0 at from, 1 at to */
} lw_place;

/* ---- the head ----------------------------------------------------------------------------- */

typedef enum lw_head_kind {
    LW_HEAD_ADULT, /* midway between woman and man */
    LW_HEAD_WOMAN,
    LW_HEAD_MAN,
    LW_HEAD_SPHERE,   /* for verification */
    LW_HEAD_ELLIPSOID /* for verification */
} lw_head_kind;

/* What a tape or a caliper measures. The first nine can be given in a plan; the rest only come back. */
typedef enum lw_measure {
    LW_CIRCUMFERENCE,         /* largest, above the brow and round the back of the head */
    LW_EAR_TO_EAR_OVER_TOP,   /* tragion to tragion over the top of the head (bitragion coronal arc) */
    LW_HAIRLINE_TO_NAPE,      /* front hairline centre over the top to nape centre */
    LW_EAR_TO_EAR_FOREHEAD,   /* tragion to tragion across the narrowest forehead (bitragion frontal arc) */
    LW_TEMPLE_TO_TEMPLE_BACK, /* temple point round the back to temple point */
    LW_NAPE_WIDTH,            /* nape corner to nape corner along the skin */
    LW_HEAD_LENGTH,           /* glabella to the furthest point of the back, caliper */
    LW_HEAD_BREADTH,          /* widest above the ears, caliper */
    LW_EAR_TO_TOP,            /* tragion to the top of the head, upright caliper */
    LW_EAR_TO_EAR_HAIRLINE,   /* tragion to tragion over the front hairline (bitragion crinion arc) */
    LW_MEASURE_COUNT,
    LW_MEASURE_INPUTS = LW_EAR_TO_EAR_HAIRLINE
} lw_measure;

/* The measure's name as plans write it ("ear_to_ear_over_top"); "" out of range. */
const char *lw_measure_name(lw_measure id);

typedef enum lw_hairline_shape {
    LW_HAIRLINE_ROUNDED,
    LW_HAIRLINE_STRAIGHT,
    LW_HAIRLINE_RECEDED,
    LW_HAIRLINE_PEAKED
} lw_hairline_shape;

typedef struct lw_head_options {
    lw_head_kind kind;
    double measure[LW_MEASURE_COUNT]; /* metres; 0 where it was not measured */
    double axes[3];                   /* verification heads: semi-axes along x, y, z; sphere uses axes[0] */
    lw_hairline_shape hairline;
} lw_head_options;

typedef struct lw_head lw_head;

/* An adult head with nothing measured and a rounded hairline. */
lw_head_options lw_head_default(void);

/* Makes the head. Measures left at 0 become their conditional means given the others, from the
 * published means and covariances for the kind. The finished surface returns each given measure
 * within 1 mm; where no head can, LW_ERROR_MEASURES names the figures that contradict each other. */
lw_status lw_head_new(lw_head **out, const lw_head_options *options, lw_error *error);
void lw_head_free(lw_head *head);

/* The options the head was made from. */
const lw_head_options *lw_head_given(const lw_head *head);

/* The measure read back from the finished surface with a virtual tape, metres. */
double lw_head_measure(const lw_head *head, lw_measure id);

/* Where the virtual tape lies when it takes a measure: points on the surface from one end to the other, with
 * straight tape between them over hollows; of a caliper the points it touches, with a corner between where it
 * is upright. Returns how many, 0 out of range. A polyline of them is up to .2 mm shorter than the measure,
 * which counts the tape's curve between them. */
enum { LW_TAPE_POINTS = 128 };
int lw_head_tape(lw_vec3 out[LW_TAPE_POINTS], const lw_head *head, lw_measure id);

/* Position of a landmark on the surface. */
lw_vec3 lw_head_landmark(const lw_head *head, lw_landmark id);

/* A place on the surface; a `to` of -1 gives the landmark itself. */
lw_vec3 lw_head_place(const lw_head *head, lw_place place);

/* The star centre: the surface is met once by every ray from it (the origin for verification heads). */
lw_vec3 lw_head_centre(const lw_head *head);

/* Distance from the star centre to the surface along `direction` (any length > 0), metres. */
double lw_head_radius(const lw_head *head, lw_vec3 direction);

/* The surface point on the ray from the star centre through p, and its outward unit normal
 * (normal may be NULL). */
lw_vec3 lw_head_project(const lw_head *head, lw_vec3 p, lw_vec3 *normal);

/* Signed distance from p to the surface, negative inside, metres, within 1e-6 m for points within
 * 0.3 m of the scalp; gradient (may be NULL) is the unit outward direction. */
double lw_head_distance(const lw_head *head, lw_vec3 p, lw_vec3 *gradient);

/* Above zero inside the hairline (on the scalp), below zero outside; in metres near the hairline. */
double lw_head_hairline(const lw_head *head, lw_vec3 surface_point);

/* Area of the scalp inside the hairline, m^2. */
double lw_head_scalp_area(const lw_head *head);

/* Draws n heads of the population of `kind` (woman or man) from the published means, standard
 * deviations and correlations: out[i * LW_MEASURE_COUNT + measure], metres. Same seed, same heads. */
void lw_head_sample(double *out, int n, lw_head_kind kind, uint64_t seed);

/* The bust's field at p: below zero inside, above zero outside, near the surface about the distance to it in
 * metres. The bust is the head with what hair hangs past: brow, nose, lips, chin, jaw, ears, neck and
 * shoulders. Inside the hairline, but where the ears
 * grow from it, it is the head's own surface, on which the cut is computed. gradient (may be
 * NULL) points outward and need not be a unit vector. Verification heads are their own busts. */
double lw_head_bust(const lw_head *head, lw_vec3 p, lw_vec3 *gradient);

/* Length of the shortest path from `from`, on or outside the surface, to `to`, outside it, that
 * does not enter the head, metres; within 1e-4 m. on_surface (may be NULL) gets the part that lies on the
 * surface. NAN where `to` is inside. */
double lw_head_path(const lw_head *head, lw_vec3 from, lw_vec3 to, double *on_surface);

/* That path as n points from root to end, evenly spaced along it within 5e-4 m, none inside by more than 1e-5
 * m. Returns its length, from which their polyline differs by the arcs that its chords cut off: less than
 * 1e-4 m from 32 points on. NAN, and no points, where `to` is inside. */
double lw_head_path_points(lw_vec3 *out, int n, const lw_head *head, lw_vec3 from, lw_vec3 to);

/* The point at `fraction` (0 to 1) along the shortest way over the surface between two surface
 * points; outside 0..1 it goes on past the end in the same plane. */
lw_vec3 lw_head_between(const lw_head *head, lw_vec3 from, lw_vec3 to, double fraction);

/* ---- the bust as triangles ----------------------------------------------------------------- */

typedef struct lw_mesh {
    int vertex_count, triangle_count;
    lw_vec3 *position, *normal; /* vertex_count each; unit outward normals of the surface itself */
    int32_t (*triangle)[3];     /* counter-clockwise seen from outside */
} lw_mesh;

/* The bust as one closed triangle mesh: every edge has two triangles, every vertex lies on the surface within
 * 1e-6 m and carries the surface's own normal. `cell` is the length of an edge, about, in metres, .001 to
 * .02. Takes time in proportion to the number of triangles. Call lw_mesh_clear when done. */
lw_status lw_mesh_new(lw_mesh *out, const lw_head *head, double cell, lw_error *error);
/* The same of what lies above the height `foot`, metres, below the star centre, closed by a level lid there:
 * for those who look at the head alone. Where the lid meets a slope so flat that the wedge between them is
 * thinner than a cell, the wedge may have a hole. */
lw_status lw_mesh_above(lw_mesh *out, const lw_head *head, double cell, double foot, lw_error *error);
void lw_mesh_clear(lw_mesh *mesh);

/* ---- the scalp ---------------------------------------------------------------------------- */

typedef struct lw_whorl {
    double right; /* metres to the client's right of the midline */
    double back;  /* metres behind the crown landmark along the scalp */
    int sense;    /* +1 clockwise seen from outside, -1 the other way */
} lw_whorl;

typedef struct lw_cowlick {
    lw_place at;
    double turn;   /* radians by which growth turns at its middle, clockwise seen from outside */
    double radius; /* metres over which it fades */
} lw_cowlick;

typedef struct lw_scalp_options {
    int count; /* roots to place, 1 to 5,000,000 */
    uint64_t seed;
    double density;   /* hairs per m^2 */
    double region[5]; /* factors on density: front, top, crown, sides, nape; blended smoothly */
    int whorl_count;  /* 0 to 2 */
    lw_whorl whorl[2];
    int cowlick_count; /* 0 to 8 */
    lw_cowlick cowlick[8];
} lw_scalp_options;

typedef struct lw_scalp lw_scalp;

/* 20,000 roots, seed 1, 2.0e6 hairs/m^2 everywhere, one clockwise whorl right of the crown. */
lw_scalp_options lw_scalp_default(void);

/* Places the roots: equal-area, evenly spread samples inside the hairline, in mirrored pairs (root
 * i and i ^ 1 are mirror images; an odd count leaves the last one without a partner). Takes O(count). The
 * head must outlive the scalp. */
lw_status lw_scalp_new(lw_scalp **out, const lw_head *head, const lw_scalp_options *options, lw_error *error);
void lw_scalp_free(lw_scalp *scalp);

int lw_scalp_count(const lw_scalp *scalp);
lw_vec3 lw_scalp_root(const lw_scalp *scalp, int i);
lw_vec3 lw_scalp_normal(const lw_scalp *scalp, int i);

/* How many real hairs root i stands for. */
double lw_scalp_weight(const lw_scalp *scalp, int i);

/* Unit tangent in which hair grows at a surface point. */
lw_vec3 lw_scalp_growth(const lw_scalp *scalp, lw_vec3 surface_point);

/* How a limp hair of `length` metres rooted under `root` hangs, as n points that are equally far apart, so
 * that their polyline is as long within 1e-6 m. It lies along the bust by natural fall (down the steepest
 * way; by growth where the scalp is level), leaves it where it hangs clear, and lies again on what it meets:
 * ears, shoulders. `clearance` (metres, 0 or more) keeps it off the bust, but for its root. This is the
 * string limit of a fibre, without stiffness, curl or the room that other hair takes: the simplest statement
 * of how a cut lies. Takes time in proportion to length and n. */
void lw_scalp_hang(lw_vec3 *out, int n, const lw_scalp *scalp, lw_vec3 root, double length, double clearance);

/* ---- the plan ----------------------------------------------------------------------------- */

typedef enum lw_parting_kind {
    LW_PARTING_CENTRE,  /* front to back, `offset` metres to the client's left of the midline */
    LW_PARTING_LEVEL,   /* level through places[0], raised by `offset` */
    LW_PARTING_UPRIGHT, /* upright from side to side through places[0], moved forward by `offset` */
    LW_PARTING_THROUGH, /* the plane through places[0..2] */
    LW_PARTING_RIDGE,   /* the parietal ridge */
    LW_PARTING_CHAIN    /* from place to place; open ends run on, or closed into a loop */
} lw_parting_kind;

/* A parting divides a part in two. First part: left of centre; above a level; in front of an
 * upright; inside the ridge; inside a closed chain; for THROUGH and open CHAIN the side `toward` lies on,
 * which must not be the line. What lies on the line, to .1 micrometres, is of the first part; of a CENTRE to
 * the client's right of the midline, of the second: the mirror image of a parting gives it to the mirror
 * image. */
typedef struct lw_parting {
    lw_parting_kind kind;
    double offset;
    int count;
    lw_place places[LW_CHAIN_MAX];
    bool closed;
    lw_place toward;
} lw_parting;

typedef struct lw_split {
    char part[LW_NAME_MAX]; /* what it divides: "all", or a part made by an earlier split */
    lw_parting parting;
    char first[LW_NAME_MAX], second[LW_NAME_MAX];
    int line; /* where it stands in the plan file, 0 if nowhere */
} lw_split;

typedef enum lw_family {
    LW_FAMILY_LEVEL,
    LW_FAMILY_UPRIGHT,          /* through the upright axis of the head, fanning round it */
    LW_FAMILY_DIAGONAL_FORWARD, /* sloping down toward the face by `angle` */
    LW_FAMILY_DIAGONAL_BACK,    /* sloping down toward the back by `angle` */
    LW_FAMILY_ACROSS,           /* from side to side, upright planes */
    LW_FAMILY_ALONG,            /* from front to back, upright planes */
    LW_FAMILY_RADIAL            /* fanning about `pivot` */
} lw_family;

typedef enum lw_edge {
    LW_EDGE_DEFAULT, /* level and diagonal: bottom; upright: back; across: back; along and radial: left */
    LW_EDGE_BOTTOM,
    LW_EDGE_TOP,
    LW_EDGE_FRONT,
    LW_EDGE_BACK,
    LW_EDGE_LEFT,
    LW_EDGE_RIGHT,
    LW_EDGE_CENTRE /* the middle of the section, then outward to both ends */
} lw_edge;

typedef enum lw_order {
    LW_ORDER_IN_TURN,  /* from the middle all of the first side, then all of the second */
    LW_ORDER_ALTERNATE /* from the middle one on each side in turn */
} lw_order;

typedef struct lw_panels {
    lw_family family;
    double angle;     /* diagonal families: slope from level, radians, 0 to pi/2 */
    double thickness; /* metres along the scalp; radial: at the outer edge */
    lw_edge start;
    lw_order order;
    lw_place pivot;
} lw_panels;

/* Where the panels start: `start`, or what it defaults to for the family. */
lw_edge lw_panels_start(const lw_panels *panels);

typedef enum lw_reference {
    LW_FROM_SCALP, /* 0 lies flat in natural fall, pi/2 straight out */
    LW_FROM_PLUMB, /* 0 hangs, pi/2 level, pi straight up */
    LW_FIXED       /* one direction for the whole step: bearing and rise */
} lw_reference;

typedef enum lw_target {
    LW_TOWARD_PREVIOUS, /* the panels before it, counted by `carry` */
    LW_TOWARD_PANEL,    /* panel `panel` of this step */
    LW_TOWARD_PLACE     /* a place on the head */
} lw_target;

typedef struct lw_hold {
    lw_reference reference;
    double elevation; /* radians, 0 to pi */
    double turn;      /* radians about the scalp's normal, clockwise seen from outside */
    double bearing;   /* LW_FIXED: radians round the head from straight to the front, positive to the client's
                         left */
    double rise;      /* LW_FIXED: radians above level, -pi/2 to pi/2 */
    lw_target target;
    double carry; /* 0 own place, 1 all the way to the target; toward previous: panels back */
    int panel;    /* counts from 1 */
    lw_place place;
} lw_hold;

typedef enum lw_line_kind {
    LW_LINE_FOLLOW,   /* follows the head: each hair at its own place in its own direction */
    LW_LINE_STRAIGHT, /* straight, along the parting */
    LW_LINE_TILT      /* straight, turned by `tilt` in the plane of the parting and the held hair */
} lw_line_kind;

typedef struct lw_line {
    lw_line_kind kind;
    double tilt;    /* radians, 0 to pi/2 (exclusive) */
    lw_edge longer; /* the end toward which length grows: bottom, top, front, back, left or right */
} lw_line;

typedef enum lw_guide_kind {
    LW_GUIDE_LENGTH,     /* a measured length for every panel */
    LW_GUIDE_TRAVELLING, /* the panel before; the first from `length` or `step` */
    LW_GUIDE_STATIONARY, /* the first panel for all; the first from `length` or `step` */
    LW_GUIDE_STEP        /* the nearest hair that an earlier step cut */
} lw_guide_kind;

typedef struct lw_guide {
    lw_guide_kind kind;
    double length;          /* metres; 0 none */
    lw_place at;            /* where that length is measured; not given: at each panel's own anchor */
    char step[LW_NAME_MAX]; /* "" none */
} lw_guide;

typedef enum lw_technique_kind {
    LW_BLUNT,
    LW_POINT,     /* `share` of hairs lose up to `depth`, evenly spread */
    LW_SLIDE,     /* every hair loses up to `depth`, evenly spread */
    LW_THIN,      /* `share` of hairs lose `depth` */
    LW_OVER_COMB, /* cut at `distance` from the scalp, growing by `rise` per metre of height above the lowest
                     panel */
    LW_CLIPPER    /* left at the guard's length; with guard_to it changes evenly to it over the step */
} lw_technique_kind;

typedef struct lw_technique {
    lw_technique_kind kind;
    double depth, share;    /* metres; 0 to 1 */
    double distance, rise;  /* metres; metres per metre */
    double guard, guard_to; /* eighths of an inch; guard_to < 0: none */
} lw_technique;

typedef enum lw_state {
    LW_STATE_INHERIT, /* what the hair as a whole says */
    LW_STATE_DRY,     /* dry, held straight under the comb */
    LW_STATE_WET,     /* wet and stretched: dries shorter */
    LW_STATE_CURLED   /* dry, cut where the curl lies */
} lw_state;

typedef struct lw_step {
    char name[LW_NAME_MAX];
    char section[LW_NAME_MAX]; /* any part: a section, or a part that was divided further */
    char mirror[LW_NAME_MAX];  /* the part on the other side that gets the mirror image; "" none */
    lw_panels panels;
    lw_hold hold;
    lw_line line;
    lw_guide guide;
    lw_technique technique;
    lw_state state;
    bool off;        /* left out: read and checked, but not carried out */
    int source_line; /* where it stands in the plan file, 0 if nowhere */
} lw_step;

typedef struct lw_length_at {
    lw_place at;
    double length;
} lw_length_at;

typedef struct lw_hair {
    double length;       /* metres, dry and straightened, before the cut */
    int length_at_count; /* where it differs from place to place: blended between them */
    lw_length_at length_at[LW_LANDMARK_COUNT];
    double section_area;                       /* m^2 of fibre cross-section */
    double coil_diameter, coil_pitch;          /* metres of the free curl's helix; 0 straight */
    double wet_stretch;                        /* how much longer wet hair is under the comb, as a fraction */
    lw_state state;                            /* in which it is cut, unless a step says otherwise */
    double ellipticity;                        /* long axis of the section over the short one, 1 to 3 */
    double modulus;                            /* Pa: Young's modulus of dry hair, 1e8 to 2e10 */
    double root_angle_edge, root_angle_middle; /* radians off the scalp at which it comes out: along the
                                                  hairline, and 6 cm and more inside it; above 0, to pi/2 */
} lw_hair;

/* Which way the finished hair is combed. */
typedef enum lw_worn_way {
    LW_WORN_NONE,   /* as it grows */
    LW_WORN_CENTRE, /* from a parting along the midline, from the front hairline to the crown, to both sides
                     */
    LW_WORN_LEFT,   /* the same from a parting `offset` to the client's left */
    LW_WORN_RIGHT,
    LW_WORN_BACK,   /* away from the front hairline */
    LW_WORN_FORWARD /* away from the crown, toward the face */
} lw_worn_way;

typedef enum lw_dried {
    LW_DRIED_NATURAL,  /* it keeps its own curl */
    LW_DRIED_STRAIGHT, /* its curl drawn straight */
    LW_DRIED_UNDER,    /* curved toward the head round a brush */
    LW_DRIED_OUT       /* curved away from the head */
} lw_dried;

/* What the finished hair has in it and has been through, told by what that does to a fibre. */
typedef struct lw_worn {
    lw_worn_way way;
    double offset;  /* metres from the midline to a side parting, 0 to 0.1 */
    double wetness; /* 0 dry to 1 soaked through */
    /* product */
    double stiffness; /* factor on the stiffness of each hair, 0.1 to 100; 1 without product */
    double load;      /* what it weighs, as a share of the dry hair's own weight, 0 to 5 */
    int bundle;       /* hairs stuck together to one solid strand, 1 to 1000 */
    /* blow-dry: undone by wetness, which is what water does to it */
    lw_dried dried;
    double brush; /* metres: diameter of the curve left by the brush, for UNDER and OUT */
    double ends;  /* metres from the tip that are curved, the rest being straight; 0: the whole length */
    double taken; /* how much of this the hair takes, 0 to 1 */
    double lift;  /* radians off the scalp to which the root is dried, 0 to pi/2; below 0: not lifted */
} lw_worn;

/* The hand. All of it is off (0) by default but the span, which only warns unless `bites` is set. */
typedef struct lw_hands {
    double span;    /* metres of line the fingers hold at once */
    bool bites;     /* longer lines are cut in bites of one span */
    double knuckle; /* metres from the middle of the line to the second knuckle; 0 off */
    double slack;   /* length left per metre beyond the knuckle */
    double error_elevation, error_carry, error_length; /* standard deviations: radians, panels, metres */
    uint64_t seed;
} lw_hands;

typedef enum lw_units { LW_CM, LW_INCH } lw_units;

typedef struct lw_plan {
    char title[LW_TITLE_MAX];
    char person[LW_TITLE_MAX];
    char note[512];
    char link[LW_LINK_MAX]; /* an address of the plan, http or https; "" none */
    lw_units units;         /* of the file it came from, and of what is printed about it */
    lw_head_options head;
    lw_scalp_options scalp;
    lw_hair hair;
    lw_worn worn;
    lw_hands hands;
    int split_count;
    lw_split *splits;
    int step_count;
    lw_step *steps;
} lw_plan;

/* An adult head, 45 cm of straight dry hair, no partings and no steps. */
lw_plan lw_plan_default(void);

/* A panel family with its defaults: level, 2 cm, held straight out, following, travelling guide, blunt. */
lw_step lw_step_default(void);
void lw_plan_clear(lw_plan *plan);

/* Reads a plan from JSON text (not necessarily zero-terminated). On failure error has line, column, what
 * was expected and an example, and *plan is empty. Takes bounded time and memory for any input. */
lw_status lw_plan_read(lw_plan *plan, const char *text, size_t size, lw_error *error);

/* ---- the cut ------------------------------------------------------------------------------ */

typedef enum lw_warning_code {
    LW_WARN_CUTS_NOTHING,   /* a step that shortens no hair */
    LW_WARN_UNTOUCHED,      /* a section no step touches */
    LW_WARN_TOO_SHORT,      /* hair too short for its guide */
    LW_WARN_LINE_TOO_LONG,  /* a line longer than the hand */
    LW_WARN_THROUGH_HEAD,   /* a hold that drags hair through the head */
    LW_WARN_OUT_OF_REACH,   /* a guide that cannot reach the hold */
    LW_WARN_UNEVEN_HALVES,  /* halves of a section, or of a pair, that do not match */
    LW_WARN_EMPTY_SECTION,  /* a part without hair */
    LW_WARN_GUIDE_LEFT_OUT, /* a guide's step that is left out, or has no guide for the same reason */
    LW_WARNING_COUNT
} lw_warning_code;

const char *lw_warning_name(lw_warning_code code); /* "cuts nothing" … as printed; "" out of range */

typedef struct lw_warning {
    lw_warning_code code;
    int step, panel; /* count from 1; 0: none in particular */
    char section[LW_NAME_MAX];
    char message[256], remedy[256];
} lw_warning;

/* One cut of the hand, as docs/model.md defines it. */
typedef struct lw_panel {
    int step, panel;   /* count from 1; a mirrored step's panels go on counting */
    lw_vec3 anchor;    /* a: the panel's own place on the scalp */
    lw_vec3 normal;    /* n: outward normal at the anchor */
    lw_vec3 place;     /* h: where on the scalp it is held */
    lw_vec3 direction; /* d: unit direction of the held hair */
    lw_vec3 parting;   /* f: unit tangent of the parting at the anchor; s = (root - anchor) . f */
    lw_vec3 finger;    /* f': direction of the finger line; unit */
    bool follows;
    int line_first,
        line_count;   /* in lw_cut_lines: t(s), straight between its points; 0 points: it cuts nothing */
    double elevation; /* the angle it is held at, as the step states it (with any error of the hand) */
    double carry;
    double factor;      /* dry, straightened length = factor * held length */
    int section;        /* index of the part the step works on */
    int hairs, cut;     /* roots in it, and those this panel shortened */
    double line_length; /* metres of finger line with hair on it */
    int whole;       /* which of the step's panels this is, or is a bite of: counts from 1, without bites */
    int bite, bites; /* which bite of how many, in cutting order; 1 of 1 where it is cut whole */
    int guide;       /* index into lw_cut_panel of the panel that guides it; -1: a length or another step */
} lw_panel;

typedef struct lw_line_point {
    double s, t; /* metres */
} lw_line_point;

typedef struct lw_section {
    char name[LW_NAME_MAX];
    double area;                    /* m^2 */
    double hairs;                   /* real hairs */
    double hairs_left, hairs_right; /* on each side of the midline */
    bool leaf;                      /* false for a part that was divided further */
    bool touched;                   /* some step worked on it */
} lw_section;

/* Paths that cuts of one scalp have found, and how it was parted, for whoever turns a knob and watches: what
 * the plan has not changed is not worked out again. Owned by the caller, used by one cut at a time, gone
 * before the scalp. */
typedef struct lw_paths lw_paths;

/* 3 MB and some 500 bytes a root; the panels of a plan besides. */
lw_status lw_paths_new(lw_paths **out, const lw_scalp *scalp, lw_error *error);
void lw_paths_free(lw_paths *paths);

typedef struct lw_cut_options {
    int threads;      /* 0: as many as the machine has */
    bool reference;   /* plain scalar path solver instead of the fast one */
    bool check_later; /* warnings are left for lw_cut_check: lengths are there in half the time */
    lw_paths *paths;  /* of this scalp, taken from and added to; NULL: none. Same bits with and without. Not
                         used with  reference. lw_cut_check uses them too */
} lw_cut_options;

typedef struct lw_cut lw_cut;

lw_cut_options lw_cut_default(void);

/* Whether step i of a plan (counted from 0) is carried out: it is neither left out itself nor takes its guide
 * from a step that is not. */
bool lw_step_is_cut(const lw_plan *plan, int i);

/* Carries the plan out. Faults of the plan that a hairdresser can live with become warnings and the rest of
 * the plan runs; only what cannot be understood (a part or step that does not exist, a value out of range) is
 * an error. Same bits for any number of threads. head and scalp must outlive the cut. */
lw_status lw_cut_new(lw_cut **out, const lw_head *head, const lw_scalp *scalp, const lw_plan *plan,
                     const lw_cut_options *options, lw_error *error);
void lw_cut_free(lw_cut *cut);

/* Looks for what a hairdresser should be warned of, as lw_cut_new does by itself unless told to leave it for
 * later. Does nothing where that has been done. */
lw_status lw_cut_check(lw_cut *cut, lw_error *error);

/* Arrays of lw_scalp_count() entries. */
const double *lw_cut_lengths(const lw_cut *cut);   /* metres, dry and straightened */
const double *lw_cut_before(const lw_cut *cut);    /* the same before the cut */
const int16_t *lw_cut_sections(const lw_cut *cut); /* index into lw_cut_section */
const int32_t *lw_cut_set_by(const lw_cut *cut); /* index into lw_cut_panel of the cut that set it, -1 none */

int lw_cut_section_count(const lw_cut *cut);
const lw_section *lw_cut_section(const lw_cut *cut, int i);
int lw_cut_panel_count(const lw_cut *cut);
const lw_panel *lw_cut_panel(const lw_cut *cut, int i);
const lw_line_point *lw_cut_lines(const lw_cut *cut);
int lw_cut_warning_count(const lw_cut *cut); /* 0 before they have been looked for */
const lw_warning *lw_cut_warning(const lw_cut *cut, int i);

/* Where hair i was held when the cut that set its length was made: where the scissors met it, or, under a
 * technique that takes off more, the line they worked to. False, and no point, where no panel shortened it.
 */
bool lw_cut_held_end(lw_vec3 *out, const lw_cut *cut, int i);

/* Hair i as it was held then: n points, evenly spaced along its taut path from its root. Returns their
 * polyline's length, that of the hair in the hand (length / the panel's factor), up to what chords cut off:
 * less than 1e-4 m from 32 points on. 0, and no points, where no panel shortened it. */
double lw_cut_held_points(lw_vec3 *out, int n, const lw_cut *cut, int i);

/* Length the cut leaves on a hair rooted at the surface point under p: what technique does to single hairs
 * (point, slide, thin) is left out. */
double lw_cut_at(const lw_cut *cut, lw_vec3 p);

/* The same at a landmark. */
double lw_cut_landmark(const lw_cut *cut, lw_landmark id);

/* lw_cut_at for n points at once, out[n]. */
void lw_cut_at_points(const lw_cut *cut, int n, const lw_vec3 *p, double *out);

/* Index into lw_cut_section of the section that holds the surface point under p, as if the scalp had no
 * hairline. */
int lw_cut_section_at(const lw_cut *cut, lw_vec3 p);

/* Index into lw_cut_panel of the panel to which step `step` (counted from 1) gives the surface point under p;
 * -1 where it does not work. */
int lw_cut_panel_at(const lw_cut *cut, int step, lw_vec3 p);

/* What a dry, straightened length measures where it lies: shorter for curl. */
double lw_hair_lies(const lw_hair *hair, double length);

/* ---- hairs as they lie --------------------------------------------------------------------- */

/* A helix that a hair winds round its line. */
typedef struct lw_coil {
    double radius; /* metres; 0: the line is the hair itself */
    double turn;   /* radians per metre of the line, right-handed above 0 */
} lw_coil;

/* Hairs as polylines, root first, all with the same number of points. */
typedef struct lw_strands {
    int count, nodes; /* hairs; points of each, 2 or more */
    lw_vec3 *at;      /* count * nodes, metres: hair i begins at i * nodes */
    int32_t *root;    /* count: index of the scalp's root it grows from */
    double *hairs;    /* count: real hairs that it stands for */
    lw_coil *coil;    /* count: curl too tight for the points, which then are its middle line; NULL: none */
} lw_strands;

/* ---- one hair at rest ---------------------------------------------------------------------- */

/* The ground that a hair may lie on: the signed distance from p to it, metres, below zero inside, and its
 * gradient (never NULL), about a unit vector where the distance is small. Must be smooth to the second
 * derivative wherever it is less than the skin away, and give the same answer every time. */
typedef double (*lw_ground)(lw_vec3 *gradient, lw_vec3 p, const void *context);

/* One hair: an inextensible elastic rod, clamped at its root, with its own weight, a load at its tip, natural
 * curl and a ground to lie on. Every value is checked; the range stands in brackets. */
typedef struct lw_rod {
    double length;  /* metres [1e-4, 10] */
    double weight;  /* newtons per metre of hair [0, 1e3] */
    double bend[2]; /* bending stiffness about the first and second axis of the section, N m^2 [1e-20, 1e3] */
    double twist;   /* twisting stiffness, N m^2 [1e-20, 1e3]; no two of the three 1e6 times apart */
    double curl[3]; /* natural curvature about the two axes, and natural twist, 1/m: at rest without loads a
                       helix of radius k/(k^2 + t^2) and pitch 2 pi t/(k^2 + t^2), k^2 = curl[0]^2 +
                       curl[1]^2, t =     curl[2], right-handed where t > 0. At most 2 radians of it between
                       neighbouring nodes */
    double diameter; /* of the fibre, metres: natural curl may not be tighter; 0 not told */
    double tip_load; /* newtons, along `down` [0, 1e3] */
    int nodes;       /* evenly spaced, root and tip among them [3, 256] */
    lw_vec3 root;    /* metres */
    lw_vec3 tangent; /* in which it leaves its root; any length > 0 */
    lw_vec3 section; /* first axis of the section at the root, made square to the tangent; the second is
                        tangent x first */
    lw_vec3 down;    /* in which weight and tip load pull; any length > 0 */
    lw_vec3 lean; /* the side to which a hair goes that stands in balance and cannot stay; any length > 0 */
    const lw_vec3 *start; /* the held pose: nodes - 1 directions, edge by edge, any length > 0; NULL straight
                             out along the tangent */
    lw_ground ground;     /* NULL none */
    const void *context;  /* handed to ground */
    double skin;          /* metres over which the ground takes up its load: nodes lie that far off it or less
                             [1e-7, length / 4] */
    double press;         /* at its surface the ground pushes with the whole load and this share of what bends
                             the hair within one edge [0, 1e3] */
    int iterations;       /* at most so many [1, 100000] */
} lw_rod;

typedef struct lw_rod_report {
    bool at_rest; /* false: ran out of iterations, and the pose is the lowest that was reached */
    int iterations;
    double residual; /* largest moment out of balance at a node, as a share of the largest that stiffness and
                        loads can make */
    double energy;   /* joules; with `start`, that of the held pose less what was given off */
    double started;  /* energy of the held pose, joules */
} lw_rod_report;

/* Axes of a section, unit and square to each other; tangent = first x second. */
typedef struct lw_frame {
    lw_vec3 first, second, tangent;
} lw_frame;

/* A straight round hair of 160 mm, 70 micrometres, 4 GPa, 1320 kg/m^3, leaving the origin along x, its
 * section's first axis along z; 24 nodes, gravity down y, lean to x, no ground, a skin of .1 mm and a press
 * of 1, at most 2000 iterations. */
lw_rod lw_rod_default(void);

/* Stiffness and weight of a fibre: sets bend, twist, weight and diameter. `diameter` is that of the round
 * fibre of the same section area, metres; `ellipticity` (1 or more) the longer semi-axis of the section over
 * the shorter, a / b. The longer lies along the section's first axis, so bend[0] = E pi a b^3 / 4 is the
 * easier way and bend[1] = E pi a^3 b / 4 the stiffer. twist = twist_ratio * sqrt(bend[0] * bend[1]). modulus
 * E in pascals, density in kg/m^3, weight under 9.80665 m/s^2. */
void lw_rod_fibre(lw_rod *out, double modulus, double density, double diameter, double ellipticity,
                  double twist_ratio);

/* Where the hair comes to rest: node[nodes], and unless NULL the section's axes there, frame[nodes], and a
 * report. It is let go from the held pose and its energy only falls, in steps in which no node turns by more
 * than half a radian, until it is least; never at a saddle: from there it goes on downhill, toward `lean`
 * where both ways fall alike. Discretisation, which of several equilibria that is, and accuracy:
 * docs/model.md, "One hair at rest". The discrete equilibrium is found to about 1e-10 of the length; it
 * differs from the rod's by an error of second order in 1 / nodes. LW_ERROR_ARGUMENT where a value is out of
 * range, where the root lies in the ground, and where the ground gives no number. Takes time in proportion to
 * iterations * nodes, cubed where it lies on the ground. */
lw_status lw_rod_rest(lw_vec3 *node, lw_frame *frame, lw_rod_report *report, const lw_rod *rod,
                      lw_error *error);

/* Energy of a pose in joules, frame[nodes], the first of which must be the clamp's: bending, twist, weight,
 * tip load and ground, as docs/model.md defines them. node (may be NULL) gets the places. NAN where the rod
 * would be refused. */
double lw_rod_energy(lw_vec3 *node, const lw_rod *rod, const lw_frame *frame);

/* Moments in the edges of a pose, moment[nodes - 1] in N m along the section's axes: stiffness times what
 * curvature and twist exceed the natural ones by. False, and nothing, where the rod would be refused. */
bool lw_rod_moments(lw_vec3 *moment, const lw_rod *rod, const lw_frame *frame);
typedef struct lw_fall_options {
    int nodes;    /* of each hair, 8 to 32 */
    int rounds;   /* steps after which a hair is left where it is, 1 to 10,000 */
    int hairs;    /* of the scalp\'s so many fall, evenly spread, and stand for all; 0: all fall */
    int packings; /* times, at most, that all hair makes room for all, 0 to 1,000. 0: hair takes no room */
    double still; /* metres: once hairs move by less than that on the mean, the next time is the last */
    int parts;    /* of its parts (hair falls alone; then each time that it makes room) so many at once, for
                     whoever shows each: lw_fall_again does those that are left. 0: all of them */
    bool goes_on; /* lw_fall_again will be asked: keeps what it begins from, 16 bytes a node */
    int threads;  /* 0: all there are */
    bool (*progress)(void *context, double share); /* told what share is done; false stops. NULL: none */
    void *context;
} lw_fall_options;

typedef struct lw_fall_report {
    int not_at_rest; /* hairs that were left where they were */
    int64_t rounds;  /* steps of all hairs together */
    int packings;    /* times that hair made room */
    int left;        /* parts that are still to come, at most; until then hair is near where it will lie */
    double moved,
        moved_most; /* metres by which the last time moved hairs where they moved most: mean, greatest */
} lw_fall_report;

/* So many hairs are enough where a fall is only read: perimeters move by 1 mm from there to all
 * (docs/model.md). */
#define LW_FALL_HAIRS_READ 4000

/* Hair at rest on a head. */
typedef struct lw_fall lw_fall;

/* 24 nodes, all hairs, 1000 rounds; room is made 6 times, or until hairs move by .5 mm. */
lw_fall_options lw_fall_default(void);

/* Lets hair fall as the plan says it is worn: every root's hair, an elastic rod of its length and of the
 * plan's fibre, comes to rest under its own weight on the bust, held by friction where it lies.
 * docs/model.md, "A head of hair at rest". length[lw_scalp_count]: metres by root, 0 to 10, as
 * lw_cut_lengths has them. Same bits for any number of threads. The scalp must outlive the fall; lengths and
 * plan need not. Stopped by progress: LW_ERROR_STOPPED. */
lw_status lw_fall_new(lw_fall **out, const lw_scalp *scalp, const double *length, const lw_plan *plan,
                      const lw_fall_options *options, lw_error *error);

/* Lets the hair fall on after the plan changed, from where it lies: for whoever turns a knob and watches.
 * length[]: as there, of the same scalp. A hair that is shorter has lost its tip, one that is longer has
 * grown there, and what is left lies as it lay, held by friction where it was held; from there its energy
 * only falls, to a minimum as in lw_fall_new. Where a hair could rest in several places it need not be the
 * one it would reach from the comb: docs/model.md, "A fall that goes on". A hair that did not change does not
 * move, unless hair takes room. Where the plan combs hair otherwise (way, parting, lift, root angles), all of
 * it is let go anew. options: nodes and hairs are the fall's own, which has to be one with goes_on; where it
 * had room and has, `packings` more rounds follow at most, each as fine as the last was unless all hair
 * changed much. Where nothing changed but parts are left, it does those, and they come to the bits that all
 * at once have. Same bits for any number of threads. On any error, and when it is stopped, the fall is as it
 * was; otherwise arrays got from it before are gone. Takes memory for the hairs once more while it runs. */
lw_status lw_fall_again(lw_fall *fall, const double *length, const lw_plan *plan,
                        const lw_fall_options *options, lw_error *error);
void lw_fall_free(lw_fall *fall);

/* Hair i of them grows from root i where all fall; otherwise see their `root`. */
const lw_strands *lw_fall_strands(const lw_fall *fall);
lw_fall_report lw_fall_tell(const lw_fall *fall);

/* Cross-section of one hair as it fell, wet or dry, m^2. */
double lw_fall_section(const lw_fall *fall);

/* ---- readings ----------------------------------------------------------------------------- */

typedef enum lw_shape { LW_SHAPE_NONE, LW_ROUND, LW_SQUARE, LW_TRIANGULAR, LW_SHAPE_MIXED } lw_shape;
typedef enum lw_profile {
    LW_PROFILE_NONE,
    LW_ONE_LENGTH,
    LW_GRADUATED,
    LW_UNIFORM_LAYERS,
    LW_INCREASING_LAYERS,
    LW_PROFILE_MIXED
} lw_profile;

const char *lw_shape_name(lw_shape shape);
const char *lw_profile_name(lw_profile profile);

/* What lengths along a line read as, from end to end at even distances, as those of the bands and strips
 * below; NAN where there is no hair. n is at least 8. climb is the way up the scalp to each, metres; slope
 * (may be NULL) gets the length gained per length climbed. */
lw_shape lw_shape_along(const double *length, int n);
lw_profile lw_profile_along(double *slope, const double *climb, const double *length, int n);

typedef struct lw_spread {
    double mean, low, high; /* metres; low and high are the 5th and 95th percentile by hairs */
    double hairs;
} lw_spread;

/* A level band of lengths round one part of the head, from its centre to its corners. */
typedef struct lw_band {
    const char *name; /* "back, at the occipital bone (left to right)" … */
    lw_shape shape;
    double from, centre,
        to; /* mean lengths at one end, in the middle, at the other, metres; NAN where there is no hair */
    double gain; /* mean of the corners less the centre, metres */
} lw_band;

/* An upright band of lengths, from its bottom to its top. */
typedef struct lw_strip {
    const char *name;
    lw_profile profile;
    double bottom, top; /* mean lengths at its ends, metres */
    double slope;       /* length gained per length of scalp climbed */
} lw_strip;

#define LW_BANDS_MAX 16
#define LW_STRIPS_MAX 16

typedef struct lw_reading {
    double landmark[LW_LANDMARK_COUNT]; /* metres */
    int section_count;
    lw_spread *sections; /* one per lw_cut_section */
    double
        *balance; /* per section: mean left length less mean right, metres; NAN where it has one side only */
    lw_spread all;
    int band_count;
    lw_band bands[LW_BANDS_MAX];
    int strip_count;
    lw_strip strips[LW_STRIPS_MAX];
    double balance_all, balance_worst; /* mean and largest |left - right| between mirrored hairs, metres */
    lw_vec3 balance_worst_at;
    double cross_check; /* largest step between neighbouring hairs of one section, metres */
    lw_vec3 cross_check_at;
    double cross_check_between; /* the same across the border of two sections */
    lw_vec3 cross_check_between_at;
    double removed_hairs; /* real hairs shortened */
    double removed_mass;  /* kg */
    int panels, cuts;     /* cuts of the scissors: bites of one span */
    double minutes;       /* an estimate: docs/model.md */
} lw_reading;

/* Reads the cut. Call lw_reading_clear when done. */
lw_status lw_reading_new(lw_reading *out, const lw_cut *cut, lw_error *error);
void lw_reading_clear(lw_reading *reading);

/* The landmark nearest to a point, for telling where something is. */
lw_landmark lw_head_nearest_landmark(const lw_head *head, lw_vec3 p);

/* ---- what the fallen cut reads as ----------------------------------------------------------- */

/* Levels of the bust, from the top, by which the trade tells where ends lie. */
typedef enum lw_level {
    LW_BROW,
    LW_EYE,
    LW_CHEEKBONE,
    LW_LIP, /* where the lips meet */
    LW_CHIN,
    LW_COLLAR, /* where the neck turns out into the shoulder */
    LW_LEVEL_COUNT
} lw_level;

/* "brow" …; "" out of range. */
const char *lw_level_name(lw_level id);

/* The level's height y on this bust, metres, as the face is sculpted; NAN on a verification head, which has
 * no face. */
double lw_head_level(const lw_head *head, lw_level id);

/* A height in words: "at the chin" within 1 cm of a level, else "between lip and chin", "above the brow",
 * "below the collar"; "" on a verification head. Never longer than 31 bytes; cut off at size. */
void lw_level_words(char *out, size_t size, const lw_head *head, double height);

/* From where a shape is looked at. Left and right are the client's. */
typedef enum lw_view {
    LW_VIEW_FRONT,
    LW_VIEW_BACK,
    LW_VIEW_LEFT,
    LW_VIEW_RIGHT,
    LW_VIEW_ABOVE, /* of what lies above the collar: shoulders would hide the rest */
    LW_VIEW_COUNT
} lw_view;

/* A closed line, counter-clockwise as the viewer sees it, in the head's frame: the coordinate along the view
 * is 0. */
typedef struct lw_outline {
    int count;
    lw_vec3 *at;
} lw_outline;

/* The part of the bust that lies on the level way from a point to the axis. */
typedef enum lw_over {
    LW_OVER_NOTHING,
    LW_OVER_SCALP,
    LW_OVER_FACE, /* in front of the tragions and above the chin */
    LW_OVER_EAR,
    LW_OVER_NECK,
    LW_OVER_SHOULDER /* all that is below the collar */
} lw_over;

const char *lw_over_name(lw_over over); /* "scalp" …; "" for nothing and out of range */

/* How sharp a weight line is, in a word: "sharp" where at least .6 of the ends lie at it, "soft" from .3 on,
 * "faint". */
const char *lw_sharpness_name(double sharpness);

#define LW_BEARINGS 72 /* round the upright axis through the star centre, 5 degrees apart */

/* The ends of the hair at one bearing: those within 7.5 degrees of it. Metres; NAN where there is none. */
typedef struct lw_around {
    double bearing;       /* radians from straight to the front, positive to the client's left */
    double hairs;         /* real hairs that end here */
    double perimeter;     /* height of the lowest ends: 2nd percentile by hairs */
    double perimeter_far; /* their distance from the axis */
    lw_over over;         /* what they lie over */
    double weight;        /* height of the weight line */
    double weight_far;    /* its distance from the axis */
    double piled;     /* share of the hairs here that pile up below it, beyond what layers would; 0 none */
    double sharpness; /* share of the hairs here that end within 1 cm of it: 1 all on one line; 0 none */
} lw_around;

typedef enum lw_side { LW_SIDE_FRONT, LW_SIDE_LEFT, LW_SIDE_BACK, LW_SIDE_RIGHT, LW_SIDE_COUNT } lw_side;

/* A quarter of the way round: medians over its bearings. NAN where there is none. */
typedef struct lw_side_reading {
    double hairs;
    double perimeter;
    double weight; /* NAN unless half of the bearings with hair have a weight line */
    double piled, sharpness;
} lw_side_reading;

/* Hair over one patch of the scalp, 10 degrees by 10 as seen from the star centre. */
typedef struct lw_patch {
    double bearing, rise;    /* its middle, radians */
    double hairs;            /* real hairs that grow on it or pass over it */
    double stands_off, mean; /* how far hair stands off: 95th percentile by hairs, and mean; metres */
} lw_patch;

typedef struct lw_fallen {
    lw_outline outline[LW_VIEW_COUNT]; /* of hair and bust together */
    lw_outline bust[LW_VIEW_COUNT];    /* of the bust alone: the same points where no hair stands out */
    double width, width_height; /* largest breadth of the hair above the collar, and at which height y */
    double depth, depth_height; /* the same from front to back */
    int patch_count;
    lw_patch *patches;
    double thickness; /* mean of stands_off over the scalp by area */
    lw_around around[LW_BEARINGS];
    lw_side_reading side[LW_SIDE_COUNT];
    double level[LW_LEVEL_COUNT];    /* lw_head_level */
    double ends[LW_LEVEL_COUNT + 1]; /* share of hairs that end above the brow, between brow and eye … below
                                        the collar; all 0 on a verification head */
    double standing;                 /* share of hairs that stand up */
    double standing_at[LW_LANDMARK_COUNT]; /* the same of those that grow nearest to each landmark */
} lw_fallen;

/* How a shape is read. All zeros: as it is done where nobody says otherwise. */
typedef struct lw_fallen_options {
    const lw_mesh *bust; /* lw_mesh_new of the head with edges of LW_FALLEN_EDGE, for whoever reads more than
                            one shape on it; NULL: it is made here */
    bool (*progress)(void *context, double share); /* told what share is done; false stops. NULL: none */
    void *context;
} lw_fallen_options;

#define LW_FALLEN_EDGE 6e-3 /* metres: chords of the bust lie 1e-4 m under a head's arcs */

/* Reads the shape that hairs have at rest, whoever brought them there; docs/model.md defines each reading.
 * section_area is of one fibre, m^2. options may be NULL. Does not depend on the order of the hairs or the
 * number of threads, to the bit; takes time in proportion to the metres of hair. Points that are not finite
 * or farther than 10 m from the origin are an LW_ERROR_ARGUMENT; stopped by progress: LW_ERROR_STOPPED. Call
 * lw_fallen_clear when done. */
lw_status lw_fallen_new(lw_fallen *out, const lw_head *head, const lw_strands *strands, double section_area,
                        const lw_fallen_options *options, lw_error *error);
void lw_fallen_clear(lw_fallen *fallen);

#ifdef __GNUC__
#pragma GCC visibility pop
#endif
#ifdef __cplusplus
}
#endif
#endif
