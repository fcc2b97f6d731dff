/* lengthwise strand: one hair at rest. */
#include <math.h>
#include <stdio.h>

#include "command.h"
#include "complain.h"
#include "lengthwise.h"

enum {
    LENGTH,
    DIAMETER,
    MODULUS,
    DENSITY,
    ELLIPTICITY,
    SECTION,
    CLAMP,
    NODES,
    TWIST,
    COIL_DIAMETER,
    COIL_PITCH,
    TIP_LOAD,
    GROUND,
    RADIUS,
    CENTRE
};
enum { BARE, CYLINDER, SPHERE };
enum { NODES_MAX = 256 };
#define MM 1e-3
#define DEGREE (3.14159265358979323846 / 180)

static const char *const grounds[] = {"none", "cylinder", "sphere", NULL};

#define NUMBER(name_, argument_, from, to, help_)                                                            \
    {                                                                                                        \
        .name = (name_), .kind = OPTION_NUMBER, .argument = (argument_), .low = (from), .high = (to),        \
        .help = (help_)                                                                                      \
    }

static const option options[] = {
    [LENGTH] = NUMBER("length-mm", "MM", 0.1, 10000, "Length of the hair. [160]"),
    [DIAMETER] = NUMBER("diameter-um", "MICROMETRES", 1, 1000,
                        "Diameter of the fibre; of an elliptical one, that of the round fibre of the same "
                        "section area. [70]"),
    [MODULUS] = NUMBER("modulus-gpa", "GPA", 1e-3, 1000, "Young's modulus along the fibre. [4]"),
    [DENSITY] = NUMBER("density", "G/CM3", 0, 100, "Density of the fibre. [1.32]"),
    [ELLIPTICITY] = NUMBER("ellipticity", "RATIO", 1, 10, "Longer axis of the section over the shorter. [1]"),
    [SECTION] = NUMBER("section-deg", "DEGREES", -360, 360,
                       "How far the section is turned about the hair at the root, and natural curl with it. "
                       "At 0 the longer axis lies "
                       "along z, so that the hair bends the easier way in the plane of x and y. [0]"),
    [CLAMP] = NUMBER("clamp-deg", "DEGREES", 0, 180,
                     "The direction in which it leaves its root, from straight up toward x: 0 stands, 90 is "
                     "level, 180 hangs. [90]"),
    [NODES] = {.name = "nodes",
               .kind = OPTION_WHOLE,
               .argument = "N",
               .low = 3,
               .high = NODES_MAX,
               .help = "Points along the hair, root and tip among them. [24]"},
    [TWIST] = NUMBER("twist-ratio", "RATIO", 0.01, 10,
                     "Twisting stiffness over bending stiffness (the mean of both ways). Measured moduli of "
                     "hair give 0.41 to 0.46. [0.43]"),
    [COIL_DIAMETER] = NUMBER("coil-diameter-mm", "MM", 0, 1000,
                             "Of the helix that the hair forms by nature; 0 straight. It begins by bending "
                             "toward straight down. [0]"),
    [COIL_PITCH] = NUMBER("coil-pitch-mm", "MM", -1000, 1000,
                          "How far one turn of that helix advances; 0 a ring, below 0 left-handed. [0]"),
    [TIP_LOAD] =
        NUMBER("tip-load-un", "MICRONEWTONS", 0, 1e6, "Weight hung from the tip; 9.81 are a milligram. [0]"),
    [GROUND] = {.name = "ground",
                .kind = OPTION_WORD,
                .argument = "BODY",
                .words = grounds,
                .help = "What it may lie on: none, a level cylinder along z, or a sphere. [none]"},
    [RADIUS] = NUMBER("radius-mm", "MM", 0.1, 10000, "Of cylinder or sphere. [90]"),
    [CENTRE] =
        {.name = "centre-mm",
         .kind = OPTION_NUMBERS,
         .argument = "X,Y,Z",
         .low = -1e4,
         .high = 1e4,
         .help = "Centre of cylinder or sphere, from the root. [straight below, so that the root is on top]"},
    {0},
};
_Static_assert(sizeof options / sizeof options[0] <= OPTIONS_MAX + 1, "room for every option's value");

typedef struct body {
    lw_vec3 centre;
    double radius;
} body;

/* Distance from a body round the centre, seen along x and y and a share of z: 1 a sphere, 0 a cylinder along
 * z. */
static double from_body(lw_vec3 *gradient, lw_vec3 p, const body *b, double depth) {
    double x = p.x - b->centre.x, y = p.y - b->centre.y, z = depth * (p.z - b->centre.z);
    double d = sqrt(x * x + y * y + z * z), k = d > 0 ? 1 / d : 0;
    *gradient = (lw_vec3){x * k, d > 0 ? y * k : 1, z * k};
    return d - b->radius;
}

static double from_cylinder(lw_vec3 *gradient, lw_vec3 p, const void *b) {
    return from_body(gradient, p, (const body *)b, 0);
}

static double from_sphere(lw_vec3 *gradient, lw_vec3 p, const void *b) {
    return from_body(gradient, p, (const body *)b, 1);
}

static double number(const value *v, double otherwise) { return v->given ? v->number[0] : otherwise; }

static int check(const value *given) {
    if (given[COIL_PITCH].given && !(number(&given[COIL_DIAMETER], 0) > 0))
        return complain(EXIT_USAGE, "Such as --coil-diameter-mm 8.",
                        "--coil-pitch-mm needs --coil-diameter-mm");
    for (int i = RADIUS; i <= CENTRE; i++)
        if (given[i].given && (!given[GROUND].given || given[GROUND].word == BARE))
            return complain(EXIT_USAGE, "Such as --ground cylinder.", "--%s needs --ground", options[i].name);
    return EXIT_FINE;
}

/* Curvature and twist of the free helix: of radius a and pitch 2 pi c they are a/(a^2 + c^2) and c/(a^2 +
 * c^2). The first section axis is along z, so curvature below 0 turns x toward straight down. */
static void set_curl(lw_rod *rod, const value *given) {
    double a = number(&given[COIL_DIAMETER], 0) * MM / 2;
    double c = number(&given[COIL_PITCH], 0) * MM / (360 * DEGREE);
    if (!(a > 0)) return;
    rod->curl[0] = -a / (a * a + c * c);
    rod->curl[2] = c / (a * a + c * c);
}

/* Leaves the origin in the plane of x and y. */
static void set_clamp(lw_rod *rod, const value *given) {
    double clamp = number(&given[CLAMP], 90) * DEGREE, turn = number(&given[SECTION], 0) * DEGREE;
    double out = sin(clamp), up = cos(clamp);
    rod->tangent = (lw_vec3){out, up, 0};
    /* square to both: the tangent turned a quarter toward straight up */
    rod->section = (lw_vec3){up * sin(turn), -out * sin(turn), cos(turn)};
}

static void set_ground(lw_rod *rod, body *b, const value *given) {
    int kind = given[GROUND].given ? given[GROUND].word : BARE;
    b->radius = number(&given[RADIUS], 90) * MM;
    b->centre = (lw_vec3){0, -b->radius, 0};
    const double *at = given[CENTRE].number;
    if (given[CENTRE].given) b->centre = (lw_vec3){at[0] * MM, at[1] * MM, at[2] * MM};
    if (kind == BARE) return;
    rod->ground = kind == CYLINDER ? from_cylinder : from_sphere;
    rod->context = b;
    rod->skin = fmin(rod->skin, rod->length / 100);
}

static lw_rod rod_asked_for(body *b, const value *given) {
    lw_rod rod = lw_rod_default();
    rod.length = number(&given[LENGTH], 160) * MM;
    lw_rod_fibre(&rod, number(&given[MODULUS], 4) * 1e9, number(&given[DENSITY], 1.32) * 1000,
                 number(&given[DIAMETER], 70) * 1e-6, number(&given[ELLIPTICITY], 1),
                 number(&given[TWIST], 0.43));
    if (given[NODES].given) rod.nodes = (int)given[NODES].whole;
    rod.tip_load = number(&given[TIP_LOAD], 0) * 1e-6;
    set_curl(&rod, given);
    set_clamp(&rod, given);
    set_ground(&rod, b, given);
    return rod;
}

/* What is less than a femtometre is rounding. */
static double figure_of(double x) { return fabs(x) < 1e-15 ? 0 : x; }

static int run(const arguments *args) {
    int code = check(args->value);
    if (code) return code;
    body b;
    lw_rod rod = rod_asked_for(&b, args->value);
    lw_vec3 node[NODES_MAX];
    lw_rod_report report;
    lw_error error = {0};
    if (lw_rod_rest(node, NULL, &report, &rod, &error)) return complain_error(NULL, &error);
    if (!report.at_rest)
        return complain(EXIT_INPUT, "Try more or fewer nodes.", "not at rest after %d steps",
                        report.iterations);
    puts("node,x,y,z");
    for (int i = 0; i < rod.nodes; i++)
        printf("%d,%.12g,%.12g,%.12g\n", i, figure_of(node[i].x), figure_of(node[i].y), figure_of(node[i].z));
    return EXIT_FINE;
}

extern const command command_strand;
const command command_strand = {
    .name = "strand",
    .summary = "Prints how one hair comes to rest under its own weight and stiffness, as CSV.",
    .operands = "",
    .about =
        (const char *const[]){
            "One row a node, node,x,y,z in metres: the root is the origin, y is up, and the hair leans to x. "
            "It is an "
            "inextensible elastic rod under 9.80665 m/s^2, let go from straight out; docs/model.md defines "
            "it.",
            "A short hair stands upright by itself (--clamp-deg 0), a long one cannot: it goes over to x.",
            NULL},
    .options = options,
    .examples =
        (const char *const[]){
            "lengthwise strand --length-mm 160 --clamp-deg 90", "A hair of 16 cm that leaves its root level.",
            "lengthwise strand --length-mm 85 --clamp-deg 0", "One short enough to stand.",
            "lengthwise strand --coil-diameter-mm 12 --coil-pitch-mm 8 --nodes 64",
            "One that curls by nature.", "lengthwise strand --ground cylinder --radius-mm 40",
            "One that lies over a cylinder.", NULL},
    .run = run,
};
