/* The table of everything a plan file may say. Only data: what it means is in docs/plan-file.md and
 * docs/model.md.
 *
 * To add a field: one row here, and its default in default.c or in the `initial` of its list. Reader, schema,
 * explanations and manual follow; tests hold that every example is accepted and every default is true.
 */
#include "fields.h"

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))
#define FIELDS(array) .fields = (array), .field_count = COUNT(array)
#define WORDS(array) .words = (array), .word_count = COUNT(array)
#define TAG(type, member, value) .tagged = true, .tag_at = offsetof(type, member), .tag = (value)
#define SHAPE(...) (&(const shape){__VA_ARGS__})

#define LENGTH(from, to)                                                                                     \
    SHAPE(.kind = SHAPE_NUMBER, .unit = UNIT_LENGTH, .low = (from), .high = (to), .fraction = true)
#define DEGREES(from, to) SHAPE(.kind = SHAPE_NUMBER, .unit = UNIT_DEGREES, .low = (from), .high = (to))
#define NUMBER(from, to) SHAPE(.kind = SHAPE_NUMBER, .low = (from), .high = (to))
#define WHOLE(from, to) SHAPE(.kind = SHAPE_WHOLE, .room = sizeof(int), .low = (from), .high = (to))
#define ONE_OF(array) SHAPE(.kind = SHAPE_WORD, WORDS(array))

_Static_assert(sizeof(lw_family) == sizeof(int), "enums are read as int");
_Static_assert(offsetof(lw_split, second) - offsetof(lw_split, first) == LW_NAME_MAX,
               "a split's parts are a list");

double unit_metre(lw_units units) { return units == LW_INCH ? 0.0254 : 0.01; }

double unit_si(unit u, lw_units units) {
    static const double si[UNIT_COUNT] = {1, 0, 3.14159265358979323846 / 180, 1e4, 1e-12, 1e9};
    return u == UNIT_LENGTH ? unit_metre(units) : si[u];
}

const char *unit_suffix(unit u, lw_units units) {
    static const char *const suffix[UNIT_COUNT] = {
        "", "", " degrees", " per square cm", " square micrometres", " GPa"};
    return u == UNIT_LENGTH ? (units == LW_INCH ? " in" : " cm") : suffix[u];
}

/* ---- shared ------------------------------------------------------------------------------- */

static const shape landmark = {.kind = SHAPE_LANDMARK, .room = sizeof(int)};
static const shape flag = {.kind = SHAPE_FLAG};
static const shape name = {.kind = SHAPE_TEXT, .room = LW_NAME_MAX};
static const shape title = {.kind = SHAPE_TEXT, .room = LW_TITLE_MAX};

static const word part_words[] = {{"half", 0.5, 0, "one half"}, {"whole", 1, 0, "all of it"}};
static const shape share = {.kind = SHAPE_NUMBER, .low = 0, .high = 1, .fraction = true, WORDS(part_words)};

static const field place_fields[] = {
    {.key = "from",
     .shape = &landmark,
     .offset = offsetof(lw_place, from),
     .required = true,
     .help = "The landmark at which the way begins.",
     .example = "\"crown\""},
    {.key = "to",
     .shape = &landmark,
     .offset = offsetof(lw_place, to),
     .required = true,
     .help = "The landmark to which it leads along the scalp.",
     .example = "\"occipital bone\""},
    {.key = "at",
     .shape = &share,
     .offset = offsetof(lw_place, at),
     .required = true,
     .help = "How far along the place is: 0 at the first landmark, 1 at the second.",
     .example = "\"half\""},
};
const shape place_shape = {
    .kind = SHAPE_EITHER,
    .name = "place",
    .help = "A place on the scalp: a landmark, or a part of the way along the scalp from one to another.",
    .options = {SHAPE(.kind = SHAPE_LANDMARK, .room = sizeof(lw_place)),
                SHAPE(.kind = SHAPE_OBJECT, FIELDS(place_fields))},
};

static const word state_words[] = {
    {"dry", LW_STATE_DRY, 0, "dry, held straight under the comb"},
    {"wet", LW_STATE_WET, 0, "wet and stretched, so it dries shorter"},
    {"curled", LW_STATE_CURLED, 0, "dry, cut where the curl lies"},
};

/* ---- head --------------------------------------------------------------------------------- */

static const word head_words[] = {
    {"adult", LW_HEAD_ADULT, 0, "midway between woman and man"},
    {"woman", LW_HEAD_WOMAN, 0, "an adult woman"},
    {"man", LW_HEAD_MAN, 0, "an adult man"},
    {"sphere", LW_HEAD_SPHERE, 0, "a ball, for checking the model"},
    {"ellipsoid", LW_HEAD_ELLIPSOID, 0, "an ellipsoid, for checking the model"},
};
static const word hairline_words[] = {
    {"rounded", LW_HAIRLINE_ROUNDED, 0, "an arch"},
    {"straight", LW_HAIRLINE_STRAIGHT, 0, "nearly level across the forehead"},
    {"receded", LW_HAIRLINE_RECEDED, 0, "drawn back at both recessions"},
    {"peaked", LW_HAIRLINE_PEAKED, 0, "with a point at its middle"},
};

#define MEASURE(key_, id, from, to, help_, example_)                                                         \
    {                                                                                                        \
        .key = (key_), .shape = LENGTH((from), (to)),                                                        \
        .offset = offsetof(lw_head_options, measure) + (id) * sizeof(double),                                \
        .without = "kind:sphere|kind:ellipsoid",                                                             \
        .absent = "what the measures that are given make most likely", .help = (help_),                      \
        .example = (example_)                                                                                \
    }

static const field head_fields[] = {
    {.key = "kind",
     .shape = ONE_OF(head_words),
     .offset = offsetof(lw_head_options, kind),
     .help = "Whose measures fill in what was not measured.",
     .example = "\"woman\""},
    MEASURE("circumference", LW_CIRCUMFERENCE, 30, 80,
            "The largest round measure, above the brow and round the back of the head.", "56"),
    MEASURE("ear_to_ear_over_top", LW_EAR_TO_EAR_OVER_TOP, 15, 60,
            "Over the top of the head, from the small flap in front of one ear hole to the other.", "34"),
    MEASURE("hairline_to_nape", LW_HAIRLINE_TO_NAPE, 15, 60,
            "From the middle of the front hairline over the top to the middle of the nape hairline.", "36"),
    MEASURE("ear_to_ear_forehead", LW_EAR_TO_EAR_FOREHEAD, 15, 60,
            "Across the narrowest forehead, from the small flap in front of one ear hole to the other.",
            "29"),
    MEASURE("temple_to_temple_back", LW_TEMPLE_TO_TEMPLE_BACK, 15, 70,
            "Round the back of the head from one temple point to the other.", "40"),
    MEASURE("nape_width", LW_NAPE_WIDTH, 3, 30,
            "Along the skin from one corner of the nape hairline to the other.", "11"),
    MEASURE("head_length", LW_HEAD_LENGTH, 10, 30,
            "With a caliper, from between the brows to the furthest point of the back.", "19"),
    MEASURE("head_breadth", LW_HEAD_BREADTH, 8, 25, "With a caliper, at the widest place above the ears.",
            "14.8"),
    MEASURE("ear_to_top", LW_EAR_TO_TOP, 6, 20,
            "With an upright caliper, from the small flap in front of the ear hole to the top of the head.",
            "12.7"),
    {.key = "radius",
     .shape = LENGTH(1, 50),
     .offset = offsetof(lw_head_options, axes),
     .with = "kind:sphere",
     .needed_by = "kind:sphere",
     .absent = "nothing: only a sphere has one",
     .help = "The radius of a sphere.",
     .example = "9"},
    {.key = "semi_axes",
     .shape = SHAPE(.kind = SHAPE_LIST, .element = LENGTH(1, 50), .least = 3, .most = 3,
                    .stride = sizeof(double), .count_at = NOWHERE),
     .offset = offsetof(lw_head_options, axes),
     .with = "kind:ellipsoid",
     .needed_by = "kind:ellipsoid",
     .absent = "nothing: only an ellipsoid has them",
     .help = "Half the width, height and depth of an ellipsoid.",
     .example = "[7.5, 9.5, 11]"},
    {.key = "hairline",
     .shape = ONE_OF(hairline_words),
     .offset = offsetof(lw_head_options, hairline),
     .help = "The shape of the front hairline.",
     .example = "\"peaked\""},
};

/* ---- hair --------------------------------------------------------------------------------- */

static const field length_fields[] = {
    {.key = "at",
     .shape = &place_shape,
     .offset = offsetof(lw_length_at, at),
     .required = true,
     .help = "Where it was measured.",
     .example = "\"nape centre\""},
    {.key = "length",
     .shape = LENGTH(0, 300),
     .offset = offsetof(lw_length_at, length),
     .required = true,
     .help = "The length there before the cut.",
     .example = "12"},
};
static const lw_length_at length_initial = {.at = {-1, -1, 0}};

#define REGION(key_, index, help_)                                                                           \
    {                                                                                                        \
        .key = (key_), .shape = NUMBER(0, 4),                                                                \
        .offset = offsetof(draft, plan.scalp.region) + (index) * sizeof(double), .help = (help_),            \
        .example = "0.8"                                                                                     \
    }

static const field region_fields[] = {
    REGION("front", 0, "At the front, as a multiple of `density`."),
    REGION("top", 1, "On the top."),
    REGION("crown", 2, "At the crown."),
    REGION("sides", 3, "At the sides."),
    REGION("nape", 4, "At the nape."),
};

static const field curl_fields[] = {
    {.key = "diameter",
     .shape = LENGTH(0.05, 20),
     .offset = offsetof(draft, plan.hair.coil_diameter),
     .required = true,
     .help = "How wide a free curl is, from outside to outside.",
     .example = "1.2"},
    {.key = "pitch",
     .shape = LENGTH(0.01, 50),
     .offset = offsetof(draft, plan.hair.coil_pitch),
     .required = true,
     .help = "How far a free curl moves on in one full turn.",
     .example = "1.5"},
};

static const field root_angle_fields[] = {
    {.key = "edge",
     .shape = DEGREES(1, 90),
     .offset = offsetof(draft, plan.hair.root_angle_edge),
     .help = "Along the hairline, where hair lies flattest.",
     .example = "15"},
    {.key = "middle",
     .shape = DEGREES(1, 90),
     .offset = offsetof(draft, plan.hair.root_angle_middle),
     .help = "In the middle of the scalp, from 6 cm (2 3/8 in) inside the hairline on.",
     .example = "35"},
};

static const word sense_words[] = {
    {"clockwise", 1, 0, "clockwise as you look at the head"},
    {"anticlockwise", -1, 0, "the other way"},
};
static const field whorl_fields[] = {
    {.key = "right",
     .shape = LENGTH(-10, 10),
     .offset = offsetof(lw_whorl, right),
     .help = "How far its middle lies to the client's right of the midline; below 0 to the left.",
     .example = "1"},
    {.key = "back",
     .shape = LENGTH(-10, 10),
     .offset = offsetof(lw_whorl, back),
     .help = "How far its middle lies behind the crown, along the scalp.",
     .example = "0.5"},
    {.key = "sense",
     .shape = ONE_OF(sense_words),
     .offset = offsetof(lw_whorl, sense),
     .help = "Which way the hair turns round it.",
     .example = "\"clockwise\""},
};
static const lw_whorl whorl_initial = {.sense = 1};

static const field cowlick_fields[] = {
    {.key = "at",
     .shape = &place_shape,
     .offset = offsetof(lw_cowlick, at),
     .required = true,
     .help = "Its middle.",
     .example = "\"front hairline\""},
    {.key = "turn",
     .shape = DEGREES(-180, 180),
     .offset = offsetof(lw_cowlick, turn),
     .required = true,
     .help = "How far growth is turned at its middle, clockwise as you look at the head.",
     .example = "60"},
    {.key = "radius",
     .shape = LENGTH(0.1, 15),
     .offset = offsetof(lw_cowlick, radius),
     .help = "How far out it has faded away.",
     .example = "2"},
};
static const lw_cowlick cowlick_initial = {.at = {-1, -1, 0}, .radius = 0.02};

static const field hair_fields[] = {
    {.key = "length",
     .shape = LENGTH(0, 300),
     .offset = offsetof(draft, plan.hair.length),
     .help = "The length of the hair before the cut, dry and straightened.",
     .example = "45"},
    {.key = "lengths",
     .shape = SHAPE(.kind = SHAPE_LIST, .element = SHAPE(.kind = SHAPE_OBJECT, FIELDS(length_fields)),
                    .most = LW_LANDMARK_COUNT, .stride = sizeof(lw_length_at), .initial = &length_initial,
                    .count_at = offsetof(draft, plan.hair.length_at_count)),
     .offset = offsetof(draft, plan.hair.length_at),
     .absent = "the same length everywhere",
     .help = "Lengths before the cut where they differ from place to place; blended between them.",
     .example = "[{\"at\": \"crown\", \"length\": 20}, {\"at\": \"nape centre\", \"length\": 12}]"},
    {.key = "density",
     .shape = SHAPE(.kind = SHAPE_NUMBER, .unit = UNIT_PER_CM2, .low = 1, .high = 600),
     .offset = offsetof(draft, plan.scalp.density),
     .help = "Hairs per square centimetre, in files of either unit.",
     .example = "180"},
    {.key = "density_by_region",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(region_fields)),
     .help = "Where hair stands thicker or thinner than `density`, as multiples of it; blended between the "
             "regions.",
     .example = "{\"front\": 0.7, \"crown\": 0.8}"},
    {.key = "fibre_area",
     .shape = SHAPE(.kind = SHAPE_NUMBER, .unit = UNIT_UM2, .low = 200, .high = 20000),
     .offset = offsetof(draft, plan.hair.section_area),
     .help = "Cross-section of one hair in square micrometres; a round hair of 0.07 mm has 3848.",
     .example = "4000"},
    {.key = "ellipticity",
     .shape = NUMBER(1, 3),
     .offset = offsetof(draft, plan.hair.ellipticity),
     .help =
         "How many times as wide as thick one hair is: 1 is round. Measured means are 1.29 for Asian, 1.41 "
         "for Caucasian and 1.66 for African American hair.",
     .example = "1.3"},
    {.key = "modulus",
     .shape = SHAPE(.kind = SHAPE_NUMBER, .unit = UNIT_GPA, .low = 0.1, .high = 20),
     .offset = offsetof(draft, plan.hair.modulus),
     .help = "Young's modulus of dry hair in gigapascals: how hard it is to stretch, and so to bend.",
     .example = "3.9"},
    {.key = "root_angle",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(root_angle_fields)),
     .help = "The angle off the scalp at which hair comes out of the skin.",
     .example = "{\"edge\": 15, \"middle\": 35}"},
    {.key = "curl",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(curl_fields)),
     .absent = "straight hair",
     .help = "The curl as it hangs free: the helix a single hair makes.",
     .example = "{\"diameter\": 1.2, \"pitch\": 1.5}"},
    {.key = "wet_stretch",
     .shape = SHAPE(.kind = SHAPE_NUMBER, .low = 0, .high = 1, .fraction = true),
     .offset = offsetof(draft, plan.hair.wet_stretch),
     .help = "How much longer wet hair is under the comb, as a fraction of its dry length.",
     .example = "0.02"},
    {.key = "cut",
     .shape = ONE_OF(state_words),
     .offset = offsetof(draft, plan.hair.state),
     .help = "The state in which the hair is cut, unless a step says otherwise.",
     .example = "\"wet\""},
    {.key = "whorls",
     .shape = SHAPE(.kind = SHAPE_LIST, .element = SHAPE(.kind = SHAPE_OBJECT, FIELDS(whorl_fields)),
                    .most = 2, .stride = sizeof(lw_whorl), .initial = &whorl_initial,
                    .count_at = offsetof(draft, plan.scalp.whorl_count)),
     .offset = offsetof(draft, plan.scalp.whorl),
     .absent = "one clockwise whorl a little right of the crown",
     .help = "The whorls of the crown: none, one or two.",
     .example = "[{\"right\": 1, \"sense\": \"anticlockwise\"}]"},
    {.key = "cowlicks",
     .shape = SHAPE(.kind = SHAPE_LIST, .element = SHAPE(.kind = SHAPE_OBJECT, FIELDS(cowlick_fields)),
                    .most = 8, .stride = sizeof(lw_cowlick), .initial = &cowlick_initial,
                    .count_at = offsetof(draft, plan.scalp.cowlick_count)),
     .offset = offsetof(draft, plan.scalp.cowlick),
     .absent = "none",
     .help = "Places where hair grows another way than around it.",
     .example = "[{\"at\": \"front hairline\", \"turn\": 60, \"radius\": 2}]"},
};

/* ---- as it is worn ------------------------------------------------------------------------ */

static const word worn_parting_words[] = {
    {"none", LW_WORN_NONE, 0, "it falls as it grows"},
    {"centre", LW_WORN_CENTRE, 0, "along the midline"},
    {"left", LW_WORN_LEFT, 0, "on the client's left"},
    {"right", LW_WORN_RIGHT, 0, "on the client's right"},
};
static const word brushed_words[] = {
    {"back", LW_WORN_BACK, 0, "away from the front hairline"},
    {"forward", LW_WORN_FORWARD, 0, "away from the crown, toward the face"},
};
static const field product_fields[] = {
    {.key = "stiffness",
     .shape = NUMBER(0.1, 100),
     .offset = offsetof(draft, plan.worn.stiffness),
     .help = "How many times as stiff it makes each hair.",
     .example = "3"},
    {.key = "weight",
     .shape = SHAPE(.kind = SHAPE_NUMBER, .low = 0, .high = 5, .fraction = true),
     .offset = offsetof(draft, plan.worn.load),
     .help = "What it weighs, as a share of the weight of the dry hair.",
     .example = "0.1"},
    {.key = "bundle",
     .shape = WHOLE(1, 1000),
     .offset = offsetof(draft, plan.worn.bundle),
     .help = "How many hairs it sticks together to one strand.",
     .example = "7"},
};
static const word dried_words[] = {
    {"natural", LW_DRIED_NATURAL, 0, "it keeps its own curl"},
    {"straight", LW_DRIED_STRAIGHT, 0, "drawn straight"},
    {"under", LW_DRIED_UNDER, 0, "round a brush, toward the head"},
    {"out", LW_DRIED_OUT, 0, "round a brush, away from the head"},
};
static const field blow_dry_fields[] = {
    {.key = "shape",
     .shape = ONE_OF(dried_words),
     .offset = offsetof(draft, plan.worn.dried),
     .help = "What it is dried to.",
     .example = "\"straight\""},
    {.key = "brush",
     .shape = LENGTH(0.5, 30),
     .offset = offsetof(draft, plan.worn.brush),
     .with = "shape:under|shape:out",
     .needed_by = "shape:under|shape:out",
     .absent = "nothing: only a curve needs a brush",
     .help = "How wide the curve is that the brush leaves: the diameter of its circle.",
     .example = "6"},
    {.key = "ends",
     .shape = LENGTH(0.1, 300),
     .offset = offsetof(draft, plan.worn.ends),
     .with = "shape:under|shape:out",
     .absent = "the whole length",
     .help = "How much of the length, from the tip, is curved; the rest is dried straight.",
     .example = "5"},
    {.key = "taken",
     .shape = &share,
     .offset = offsetof(draft, plan.worn.taken),
     .with = "shape",
     .help = "How much of this shape the hair takes, the rest staying its own curl.",
     .example = "\"half\""},
    {.key = "lift",
     .shape = DEGREES(0, 90),
     .offset = offsetof(draft, plan.worn.lift),
     .absent = "the roots are not lifted",
     .help = "The angle off the scalp to which the roots are dried.",
     .example = "45"},
};
static const field worn_fields[] = {
    {.key = "parting",
     .shape = ONE_OF(worn_parting_words),
     .offset = offsetof(draft, plan.worn.way),
     .help = "The parting that the client wears, from the front hairline to the crown.",
     .example = "\"centre\""},
    {.key = "offset",
     .shape = LENGTH(0.1, 9),
     .offset = offsetof(draft, plan.worn.offset),
     .with = "parting:left|parting:right",
     .help = "How far a parting on the left or right lies from the midline.",
     .example = "3"},
    {.key = "brushed",
     .shape = ONE_OF(brushed_words),
     .offset = offsetof(draft, plan.worn.way),
     .without = "parting",
     .absent = "it falls from the parting",
     .help = "Hair that is brushed one way instead of parted.",
     .example = "\"back\""},
    {.key = "wetness",
     .shape = &share,
     .offset = offsetof(draft, plan.worn.wetness),
     .help = "How wet it is: 0 dry, 1 soaked through. Water softens hair, makes it heavier and undoes a "
             "blow-dry.",
     .example = "0.3"},
    {.key = "product",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(product_fields)),
     .help = "What is in the hair, by what it does to it.",
     .example = "{\"stiffness\": 3, \"weight\": 0.1}"},
    {.key = "blow_dry",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(blow_dry_fields)),
     .help = "How it is dried.",
     .example = "{\"shape\": \"under\", \"brush\": 6, \"ends\": 5}"},
};

/* ---- hands -------------------------------------------------------------------------------- */

static const field error_fields[] = {
    {.key = "elevation",
     .shape = DEGREES(0, 45),
     .offset = offsetof(lw_hands, error_elevation),
     .help = "Standard deviation of the angle at which a panel is held.",
     .example = "3"},
    {.key = "carry",
     .shape = NUMBER(0, 2),
     .offset = offsetof(lw_hands, error_carry),
     .help = "Standard deviation of the carry, in panels.",
     .example = "0.1"},
    {.key = "length",
     .shape = LENGTH(0, 5),
     .offset = offsetof(lw_hands, error_length),
     .help = "Standard deviation of the length at which a panel is cut.",
     .example = "0.2"},
};
static const field hands_fields[] = {
    {.key = "span",
     .shape = LENGTH(0.5, 30),
     .offset = offsetof(lw_hands, span),
     .help = "The length of line the fingers hold at once.",
     .example = "7"},
    {.key = "bites",
     .shape = &flag,
     .offset = offsetof(lw_hands, bites),
     .help = "Cut lines longer than the span in bites of one span, each with its own straight line.",
     .example = "true"},
    {.key = "knuckle",
     .shape = LENGTH(0, 15),
     .offset = offsetof(lw_hands, knuckle),
     .absent = "no slack anywhere",
     .help = "From the middle of the finger line to the second knuckle, past which hair goes slack.",
     .example = "4"},
    {.key = "slack",
     .shape = &share,
     .offset = offsetof(lw_hands, slack),
     .help = "How much longer hair is left for each length beyond the second knuckle.",
     .example = "0.1"},
    {.key = "error",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(error_fields)),
     .help = "Random error of the hand, drawn anew for each panel.",
     .example = "{\"elevation\": 3, \"length\": 0.2}"},
    {.key = "seed",
     .shape = SHAPE(.kind = SHAPE_WHOLE, .room = sizeof(uint64_t), .low = 0, .high = 9007199254740991.0),
     .offset = offsetof(lw_hands, seed),
     .help = "The same seed gives the same errors.",
     .example = "7"},
};

/* ---- sections ----------------------------------------------------------------------------- */

static const field parting_fields[] = {
    {.key = "centre",
     .shape = LENGTH(-12, 12),
     .offset = offsetof(lw_parting, offset),
     TAG(lw_parting, kind, LW_PARTING_CENTRE),
     .help = "From front to back, so far to the client's left of the midline (below 0: to the right). The "
             "first part is the left one.",
     .example = "0"},
    {.key = "level",
     .shape = &place_shape,
     .offset = offsetof(lw_parting, places),
     TAG(lw_parting, kind, LW_PARTING_LEVEL),
     .help = "Level, at the height of this place. The first part is above.",
     .example = "\"occipital bone\""},
    {.key = "raise",
     .shape = LENGTH(-20, 20),
     .offset = offsetof(lw_parting, offset),
     .with = "level",
     .absent = "0",
     .help = "Lifts a level parting.",
     .example = "1.5"},
    {.key = "upright",
     .shape = &place_shape,
     .offset = offsetof(lw_parting, places),
     TAG(lw_parting, kind, LW_PARTING_UPRIGHT),
     .help = "Straight up and over from side to side through this place. The first part is in front.",
     .example = "\"ear top left\""},
    {.key = "forward",
     .shape = LENGTH(-20, 20),
     .offset = offsetof(lw_parting, offset),
     .with = "upright",
     .absent = "0",
     .help = "Moves an upright parting toward the face.",
     .example = "2"},
    {.key = "through",
     .shape = SHAPE(.kind = SHAPE_LIST, .element = &place_shape, .least = 3, .most = 3,
                    .stride = sizeof(lw_place), .count_at = offsetof(lw_parting, count)),
     .offset = offsetof(lw_parting, places),
     TAG(lw_parting, kind, LW_PARTING_THROUGH),
     .help = "Flat through three places. The first part is the one with the place in `toward`.",
     .example = "[\"apex\", \"behind ear left\", \"behind ear right\"]"},
    {.key = "chain",
     .shape = SHAPE(.kind = SHAPE_LIST, .element = &place_shape, .least = 2, .most = LW_CHAIN_MAX,
                    .stride = sizeof(lw_place), .count_at = offsetof(lw_parting, count)),
     .offset = offsetof(lw_parting, places),
     TAG(lw_parting, kind, LW_PARTING_CHAIN),
     .help = "From place to place along the scalp. The first part is inside a closed chain, or the one with "
             "the place in `toward`.",
     .example = "[\"recession left\", \"apex\", \"recession right\"]"},
    {.key = "closed",
     .shape = &flag,
     .offset = offsetof(lw_parting, closed),
     .with = "chain",
     .absent = "false",
     .help = "Joins the end of a chain to its beginning.",
     .example = "true"},
    {.key = "toward",
     .shape = &place_shape,
     .offset = offsetof(lw_parting, toward),
     .with = "through|chain",
     .without = "closed:true",
     .needed_by = "through|chain",
     .absent = "nothing: only a closed chain goes without",
     .help = "A place in the first part, since neither side of the line is named by the line itself.",
     .example = "\"front hairline\""},
};
static const word ridge_words[] = {
    {"parietal ridge", LW_PARTING_RIDGE, 0, "round the top where the head turns over"}};

static const field split_fields[] = {
    {.key = "split",
     .shape = &name,
     .offset = offsetof(draft_split, split.part),
     .required = true,
     .help = "The part to divide: \"all\", or a part that an earlier entry made.",
     .example = "\"all\""},
    {.key = "parting",
     .shape =
         SHAPE(.kind = SHAPE_EITHER,
               .options = {ONE_OF(ridge_words), SHAPE(.kind = SHAPE_OBJECT, FIELDS(parting_fields),
                                                      .exactly_one = "centre|level|upright|through|chain")}),
     .offset = offsetof(draft_split, split.parting),
     .required = true,
     .help = "The line that divides it. \"parietal ridge\" goes round the top; the first part is inside.",
     .example = "{\"level\": \"occipital bone\", \"raise\": 1}"},
    {.key = "into",
     .shape = SHAPE(.kind = SHAPE_LIST, .element = &name, .least = 2, .most = 2, .stride = LW_NAME_MAX,
                    .count_at = NOWHERE),
     .offset = offsetof(draft_split, split.first),
     .required = true,
     .help = "The names of the two parts, the first part of the parting first.",
     .example = "[\"left\", \"right\"]"},
    {.key = "mirror",
     .shape = &flag,
     .offset = offsetof(draft_split, mirror),
     .help = "Divides the part on the other side as well, along the mirrored line. All three names must hold "
             "\"left\", or all \"right\"; on the other side the word is exchanged.",
     .example = "true"},
};
static const draft_split split_initial = {.split = {.parting = {.toward = {-1, -1, 0}}}};

/* ---- steps -------------------------------------------------------------------------------- */

static const word family_words[] = {
    {"level", LW_FAMILY_LEVEL, 0, "level partings"},
    {"upright", LW_FAMILY_UPRIGHT, 0, "upright partings that fan round the upright axis of the head"},
    {"diagonal forward", LW_FAMILY_DIAGONAL_FORWARD, 0, "sloping down toward the face"},
    {"diagonal back", LW_FAMILY_DIAGONAL_BACK, 0, "sloping down toward the back"},
    {"across", LW_FAMILY_ACROSS, 0, "upright, from side to side"},
    {"along", LW_FAMILY_ALONG, 0, "upright, from front to back"},
    {"radial", LW_FAMILY_RADIAL, 0, "fanning about a pivot"},
};
static const word start_words[] = {
    {"bottom", LW_EDGE_BOTTOM, 0, "the lowest panel first"},
    {"top", LW_EDGE_TOP, 0, "the highest first"},
    {"front", LW_EDGE_FRONT, 0, "the foremost first"},
    {"back", LW_EDGE_BACK, 0, "the rearmost first"},
    {"left", LW_EDGE_LEFT, 0, "the client's left first"},
    {"right", LW_EDGE_RIGHT, 0, "the client's right first"},
    {"centre", LW_EDGE_CENTRE, 0, "the middle first, then outward"},
};
static const word longer_words[] = {
    {"bottom", LW_EDGE_BOTTOM, 0, "longer downward"},
    {"top", LW_EDGE_TOP, 0, "longer upward"},
    {"front", LW_EDGE_FRONT, 0, "longer to the face"},
    {"back", LW_EDGE_BACK, 0, "longer to the back"},
    {"left", LW_EDGE_LEFT, 0, "longer to the client's left"},
    {"right", LW_EDGE_RIGHT, 0, "longer to the client's right"},
};
static const word order_words[] = {
    {"in turn", LW_ORDER_IN_TURN, 0, "from the middle all of one side, then all of the other"},
    {"alternate", LW_ORDER_ALTERNATE, 0, "from the middle one on each side in turn"},
};
static const field panels_fields[] = {
    {.key = "run",
     .shape = ONE_OF(family_words),
     .offset = offsetof(lw_panels, family),
     .help = "How the partings between the panels run.",
     .example = "\"diagonal back\""},
    {.key = "angle",
     .shape = DEGREES(0, 90),
     .offset = offsetof(lw_panels, angle),
     .with = "run:diagonal forward|run:diagonal back",
     .help = "How steeply a diagonal parting slopes from level.",
     .example = "30"},
    {.key = "thickness",
     .shape = LENGTH(0.1, 40),
     .offset = offsetof(lw_panels, thickness),
     .help = "From one parting to the next along the scalp; for radial panels at their outer edge.",
     .example = "1.5"},
    {.key = "start",
     .shape = ONE_OF(start_words),
     .offset = offsetof(lw_panels, start),
     .absent = "level and diagonal: bottom; upright and across: back; along and radial: left",
     .help = "The edge of the section at which the first panel lies.",
     .example = "\"centre\""},
    {.key = "order",
     .shape = ONE_OF(order_words),
     .offset = offsetof(lw_panels, order),
     .with = "start:centre",
     .help = "From the middle outward: one side after the other, or both in turn.",
     .example = "\"alternate\""},
    {.key = "pivot",
     .shape = &place_shape,
     .offset = offsetof(lw_panels, pivot),
     .with = "run:radial",
     .needed_by = "run:radial",
     .absent = "nothing: only radial panels have one",
     .help = "The place about which radial panels fan.",
     .example = "\"crown\""},
};

static const word from_words[] = {
    {"scalp", LW_FROM_SCALP, 0, "0 lies flat in natural fall, 90 straight out"},
    {"plumb", LW_FROM_PLUMB, 0, "0 hangs, 90 level, 180 straight up"},
};
static const word heading_words[] = {
    {"front", 0, 0, "straight to the front"},
    {"left", 90, 0, "straight out to the client's left"},
    {"back", 180, 0, "straight back"},
    {"right", -90, 0, "straight out to the client's right"},
    {"up", 0, 90, "straight up"},
    {"down", 0, -90, "straight down"},
};
static const field heading_fields[] = {
    {.key = "bearing",
     .shape = DEGREES(-180, 180),
     .offset = offsetof(lw_hold, bearing),
     .required = true,
     .help = "Round the head from straight to the front: 90 to the client's left, 180 to the back, -90 to "
             "the right.",
     .example = "135"},
    {.key = "rise",
     .shape = DEGREES(-90, 90),
     .offset = offsetof(lw_hold, rise),
     .required = true,
     .help = "Above level; below 0 downward.",
     .example = "0"},
};
static const word carry_words[] = {
    {"own", 0, 0, "at its own place"},
    {"half", 0.5, 0, "meet halfway"},
    {"whole", 1, 0, "all the way"},
};
static const word previous_words[] = {
    {"previous", LW_TOWARD_PREVIOUS, 0, "the panels before it, counted by `carry`"}};
static const field toward_fields[] = {
    {.key = "panel",
     .shape = WHOLE(1, LW_PANELS_MAX),
     .offset = offsetof(lw_hold, panel),
     TAG(lw_hold, target, LW_TOWARD_PANEL),
     .help = "A panel of this step by its number.",
     .example = "1"},
    {.key = "place",
     .shape = &place_shape,
     .offset = offsetof(lw_hold, place),
     TAG(lw_hold, target, LW_TOWARD_PLACE),
     .help = "A place on the head.",
     .example = "\"ear top left\""},
};
static const shape toward = {
    .kind = SHAPE_EITHER,
    .options = {SHAPE(.kind = SHAPE_WORD, WORDS(previous_words), .word_at = offsetof(lw_hold, target)),
                SHAPE(.kind = SHAPE_OBJECT, FIELDS(toward_fields), .exactly_one = "panel|place")},
};
static const field hold_fields[] = {
    {.key = "elevation",
     .shape = DEGREES(0, 180),
     .offset = offsetof(lw_hold, elevation),
     .without = "direction",
     .help = "The angle of the held hair, counted from `from`.",
     .example = "45"},
    {.key = "from",
     .shape = ONE_OF(from_words),
     .offset = offsetof(lw_hold, reference),
     .without = "direction",
     .help = "What the elevation is counted from.",
     .example = "\"plumb\""},
    {.key = "turn",
     .shape = DEGREES(-180, 180),
     .offset = offsetof(lw_hold, turn),
     .without = "direction",
     .help = "Turns the held hair about straight out, clockwise as you look at the head.",
     .example = "15"},
    {.key = "direction",
     .shape = SHAPE(.kind = SHAPE_EITHER, .options = {SHAPE(.kind = SHAPE_HEADING, WORDS(heading_words)),
                                                      SHAPE(.kind = SHAPE_OBJECT, FIELDS(heading_fields))}),
     TAG(lw_hold, reference, LW_FIXED),
     .absent = "each panel is held by its elevation",
     .help = "One direction for the whole step instead of an elevation at each panel's own place.",
     .example = "\"back\""},
    {.key = "carry",
     .shape = SHAPE(.kind = SHAPE_NUMBER, .low = 0, .high = 50, .fraction = true, WORDS(carry_words)),
     .offset = offsetof(lw_hold, carry),
     .help = "How far a panel is taken from its own place toward the one before it; 2 is two panels back. "
             "Toward a panel or place at most 1, all the way.",
     .example = "\"half\""},
    {.key = "toward",
     .shape = &toward,
     .offset = 0,
     .with = "carry",
     .absent = "\"previous\"",
     .help = "What a carried panel is taken to.",
     .example = "{\"panel\": 1}"},
};

static const word line_words[] = {
    {"follow", LW_LINE_FOLLOW, 0, "follows the head: each hair in its own place and direction"},
    {"straight", LW_LINE_STRAIGHT, 0, "straight, along the parting"},
};
static const field tilt_fields[] = {
    {.key = "tilt",
     .shape = DEGREES(0.1, 89),
     .offset = offsetof(lw_line, tilt),
     .required = true,
     TAG(lw_line, kind, LW_LINE_TILT),
     .help = "How far a straight line is turned from the parting.",
     .example = "30"},
    {.key = "longer",
     .shape = ONE_OF(longer_words),
     .offset = offsetof(lw_line, longer),
     .required = true,
     .help = "The end toward which length grows.",
     .example = "\"front\""},
};

static const word guide_words[] = {
    {"travelling", LW_GUIDE_TRAVELLING, 0, "the panel before it"},
    {"stationary", LW_GUIDE_STATIONARY, 0, "the first panel for all"},
};
static const field guide_fields[] = {
    {.key = "kind",
     .shape = ONE_OF(guide_words),
     .offset = offsetof(lw_guide, kind),
     .absent = "the length or the step alone sets every panel",
     .help = "Which cut hair sets the length of the panels after the first.",
     .example = "\"travelling\""},
    {.key = "length",
     .shape = LENGTH(0.01, 300),
     .offset = offsetof(lw_guide, length),
     TAG(lw_guide, kind, LW_GUIDE_LENGTH),
     .help = "A measured length: of every panel, or of the first where `kind` is given.",
     .example = "12"},
    {.key = "at",
     .shape = &place_shape,
     .offset = offsetof(lw_guide, at),
     .with = "length",
     .absent = "at each panel's own middle",
     .help = "Where that length is measured.",
     .example = "\"nape centre\""},
    {.key = "step",
     .shape = &name,
     .offset = offsetof(lw_guide, step),
     TAG(lw_guide, kind, LW_GUIDE_STEP),
     .help = "The name of an earlier step, the nearest hair of which is the guide.",
     .example = "\"nape\""},
};

static const word blunt_words[] = {{"blunt", LW_BLUNT, 0, "cut straight through"}};
#define TECHNIQUE_DEPTH(help_)                                                                               \
    {                                                                                                        \
        .key = "depth", .shape = LENGTH(0.01, 50), .offset = offsetof(lw_technique, depth),                  \
        .required = true, .help = (help_), .example = "1"                                                    \
    }
#define TECHNIQUE_SHARE(help_)                                                                               \
    {                                                                                                        \
        .key = "share", .shape = &share, .offset = offsetof(lw_technique, share), .required = true,          \
        .help = (help_), .example = "\"half\""                                                               \
    }
static const field point_fields[] = {TECHNIQUE_DEPTH("The most that a hair loses."),
                                     TECHNIQUE_SHARE("The share of hairs that lose anything.")};
static const field slide_fields[] = {TECHNIQUE_DEPTH("The most that a hair loses.")};
static const field thin_fields[] = {TECHNIQUE_SHARE("The share of hairs that are shortened."),
                                    TECHNIQUE_DEPTH("How much those lose.")};
static const field comb_fields[] = {
    {.key = "distance",
     .shape = LENGTH(0, 15),
     .offset = offsetof(lw_technique, distance),
     .required = true,
     .help = "From the scalp to the comb at the lowest panel.",
     .example = "1"},
    {.key = "rise",
     .shape = SHAPE(.kind = SHAPE_NUMBER, .low = 0, .high = 5, .fraction = true),
     .offset = offsetof(lw_technique, rise),
     .help = "How much further out the comb is for each length it has climbed.",
     .example = "\"1/4\""},
};
static const field clipper_fields[] = {
    {.key = "guard",
     .shape = SHAPE(.kind = SHAPE_NUMBER, .low = 0, .high = 16, .fraction = true),
     .offset = offsetof(lw_technique, guard),
     .required = true,
     .help = "The guard by its number: eighths of an inch.",
     .example = "4"},
    {.key = "to",
     .shape = SHAPE(.kind = SHAPE_NUMBER, .low = 0, .high = 16, .fraction = true),
     .offset = offsetof(lw_technique, guard_to),
     .absent = "the same guard throughout",
     .help = "The guard at the last panel; the length changes evenly on the way, as in a fade.",
     .example = "1"},
};
#define TECHNIQUE(key_, kind_, array, help_, example_)                                                       \
    {                                                                                                        \
        .key = (key_), .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(array)),                                  \
        TAG(lw_technique, kind, (kind_)), .help = (help_), .example = (example_)                             \
    }
static const field technique_fields[] = {
    TECHNIQUE("point", LW_POINT, point_fields, "Cuts into the ends: some hairs lose up to a depth.",
              "{\"depth\": 1, \"share\": \"half\"}"),
    TECHNIQUE("slide", LW_SLIDE, slide_fields, "Lets the blades slide: every hair loses up to a depth.",
              "{\"depth\": 2}"),
    TECHNIQUE("thin", LW_THIN, thin_fields, "Shortens a share of the hairs by one depth.",
              "{\"share\": 0.3, \"depth\": 4}"),
    TECHNIQUE("over_comb", LW_OVER_COMB, comb_fields,
              "Cuts over a comb at a distance from the scalp. Needs no guide.",
              "{\"distance\": 1, \"rise\": \"1/4\"}"),
    TECHNIQUE("clipper", LW_CLIPPER, clipper_fields, "Clips to the length of a guard. Needs no guide.",
              "{\"guard\": 4, \"to\": 1}"),
};

static const field step_fields[] = {
    {.key = "name",
     .shape = &name,
     .offset = offsetof(lw_step, name),
     .absent = "\"step 1\", \"step 2\" and so on by its place in the list",
     .help = "What the step is called in readings and in the guides of later steps.",
     .example = "\"nape\""},
    {.key = "section",
     .shape = &name,
     .offset = offsetof(lw_step, section),
     .required = true,
     .help = "The part it works on: \"all\", or any part made under `sections`, divided further or not.",
     .example = "\"nape\""},
    {.key = "mirror",
     .shape = &name,
     .offset = offsetof(lw_step, mirror),
     .absent = "only the section itself",
     .help = "The part on the other side, which gets the mirror image of the step.",
     .example = "\"right side\""},
    {.key = "panels",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(panels_fields)),
     .offset = offsetof(lw_step, panels),
     .help = "How the section is divided into panels.",
     .example = "{\"run\": \"level\", \"thickness\": 2}"},
    {.key = "hold",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(hold_fields)),
     .offset = offsetof(lw_step, hold),
     .help = "Where each panel is carried and the direction it is combed in.",
     .example = "{\"elevation\": 45, \"carry\": \"half\"}"},
    {.key = "line",
     .shape = SHAPE(.kind = SHAPE_EITHER,
                    .options = {ONE_OF(line_words), SHAPE(.kind = SHAPE_OBJECT, FIELDS(tilt_fields))}),
     .offset = offsetof(lw_step, line),
     .help = "Where the fingers lie and the scissors cut.",
     .example = "{\"tilt\": 30, \"longer\": \"front\"}"},
    {.key = "guide",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(guide_fields), .exactly_one = "length|step"),
     .offset = offsetof(lw_step, guide),
     .absent = "nothing: only over_comb and clipper need none",
     .help = "The hair that sets the length.",
     .example = "{\"kind\": \"travelling\", \"length\": 12}"},
    {.key = "technique",
     .shape =
         SHAPE(.kind = SHAPE_EITHER,
               .options = {ONE_OF(blunt_words), SHAPE(.kind = SHAPE_OBJECT, FIELDS(technique_fields),
                                                      .exactly_one = "point|slide|thin|over_comb|clipper")}),
     .offset = offsetof(lw_step, technique),
     .help = "How the ends are cut.",
     .example = "{\"point\": {\"depth\": 1, \"share\": \"half\"}}"},
    {.key = "cut",
     .shape = ONE_OF(state_words),
     .offset = offsetof(lw_step, state),
     .absent = "what `hair` says",
     .help = "The state in which the hair is cut.",
     .example = "\"wet\""},
    {.key = "off",
     .shape = &flag,
     .offset = offsetof(lw_step, off),
     .help = "Leaves the step out: it stays in the plan, but is not carried out.",
     .example = "true"},
};

/* ---- the whole ---------------------------------------------------------------------------- */

static const word format_words[] = {{"lengthwise plan", 1, 0, "a plan for lengthwise"}};
static const word units_words[] = {{"cm", LW_CM, 0, "centimetres"}, {"in", LW_INCH, 0, "inches"}};

static const field plan_fields[] = {
    {.key = "format",
     .shape = ONE_OF(format_words),
     .offset = offsetof(draft, format),
     .required = true,
     .help = "Says what the file is.",
     .example = "\"lengthwise plan\""},
    {.key = "version",
     .shape = WHOLE(1, 1),
     .offset = offsetof(draft, version),
     .required = true,
     .help = "The version of the format.",
     .example = "1"},
    {.key = "title",
     .shape = &title,
     .offset = offsetof(draft, plan.title),
     .absent = "no title",
     .help = "What the cut is called.",
     .example = "\"Bob to the chin\""},
    {.key = "person",
     .shape = &title,
     .offset = offsetof(draft, plan.person),
     .absent = "nobody",
     .help = "Whose head it is.",
     .example = "\"Practice head 3\""},
    {.key = "note",
     .shape = SHAPE(.kind = SHAPE_TEXT, .room = sizeof(((lw_plan *)0)->note), .lines = true),
     .offset = offsetof(draft, plan.note),
     .absent = "no note",
     .help = "Anything worth remembering.",
     .example = "\"First lesson in graduation.\""},
    {.key = "link",
     .shape = SHAPE(.kind = SHAPE_TEXT, .room = LW_LINK_MAX, .address = true),
     .offset = offsetof(draft, plan.link),
     .absent = "no link",
     .help = "An address at which the plan is found. A printed sheet shows it, also for a camera.",
     .example = "\"https://example.org/bob.json\""},
    {.key = "units",
     .shape = ONE_OF(units_words),
     .offset = offsetof(draft, plan.units),
     .required = true,
     .help = "The unit of every length in the file.",
     .example = "\"cm\""},
    {.key = "head",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(head_fields)),
     .offset = offsetof(draft, plan.head),
     .help = "The head: what a tape or a caliper measured, each of it optional.",
     .example = "{\"kind\": \"woman\", \"circumference\": 56}"},
    {.key = "hair",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(hair_fields)),
     .help = "The hair before the cut.",
     .example = "{\"length\": 30}"},
    {.key = "worn",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(worn_fields)),
     .help = "How the client wears the finished hair. It changes how hair falls, not what is cut.",
     .example = "{\"parting\": \"left\", \"offset\": 3}"},
    {.key = "hands",
     .shape = SHAPE(.kind = SHAPE_OBJECT, FIELDS(hands_fields)),
     .offset = offsetof(draft, plan.hands),
     .help = "The hands that cut. All of it is off unless it is given, but for the span.",
     .example = "{\"span\": 7, \"bites\": true}"},
    {.key = "sections",
     .shape = SHAPE(.kind = SHAPE_LIST,
                    .element = SHAPE(.kind = SHAPE_OBJECT, FIELDS(split_fields),
                                     .line_at = offsetof(draft_split, split.line)),
                    .most = LW_SPLITS_MAX, .stride = sizeof(draft_split), .initial = &split_initial,
                    .allocated = true, .count_at = offsetof(draft, split_count)),
     .offset = offsetof(draft, splits),
     .absent = "the whole scalp is one section, \"all\"",
     .help = "The partings, in order: each divides one part in two.",
     .example = "[{\"split\": \"all\", \"parting\": {\"centre\": 0}, \"into\": [\"left\", \"right\"]}]"},
    {.key = "steps",
     .shape = SHAPE(.kind = SHAPE_LIST,
                    .element = SHAPE(.kind = SHAPE_OBJECT, FIELDS(step_fields),
                                     .line_at = offsetof(lw_step, source_line)),
                    .most = LW_STEPS_MAX, .stride = sizeof(lw_step), .initial = &step_initial,
                    .allocated = true, .count_at = offsetof(draft, plan.step_count)),
     .offset = offsetof(draft, plan.steps),
     .absent = "nothing is cut",
     .help = "The steps of the cut, in order.",
     .example = "[{\"section\": \"all\", \"guide\": {\"length\": 10}}]"},
};
const shape plan_shape = {.kind = SHAPE_OBJECT, FIELDS(plan_fields)};
