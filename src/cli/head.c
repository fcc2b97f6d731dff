/* lengthwise head: the head that measures make. */
#include <stdio.h>
#include <string.h>

#include "command.h"
#include "complain.h"
#include "draw.h"
#include "measured.h"
#include "mesh.h"
#include "names.h"
#include "prediction.h"
#include "print_json.h"
#include "text.h"

enum {
    KIND,
    HAIRLINE,
    FIRST_MEASURE,
    RADIUS = FIRST_MEASURE + LW_MEASURE_INPUTS,
    AXES,
    PLAN,
    JSON,
    MESH,
    PNG,
    SIDE,
    HEIGHT,
    TRANSPARENT,
    DETAIL
};

static const option options[] = {
    [KIND] = {.name = "kind",
              .kind = OPTION_WORD,
              .argument = "KIND",
              .words = tell_head_kinds,
              .help = "Whose measures fill in what is not given: woman, man or adult; or sphere or "
                      "ellipsoid, for checking."},
    [HAIRLINE] = {.name = "hairline",
                  .kind = OPTION_WORD,
                  .argument = "SHAPE",
                  .words = tell_hairlines,
                  .help = "The front hairline: rounded, straight, receded or peaked."},
    OPTION_MEASURES,
    [RADIUS] = {.name = "radius",
                .kind = OPTION_LENGTH,
                .argument = "LENGTH",
                .low = 1,
                .high = 50,
                .help = "Of a sphere."},
    [AXES] = {.name = "semi-axes",
              .kind = OPTION_LENGTHS,
              .argument = "X,Y,Z",
              .low = 1,
              .high = 50,
              .help = "Half the width, height and depth of an ellipsoid."},
    [PLAN] = {.name = "plan",
              .kind = OPTION_FILE,
              .argument = "PLAN",
              .help = "Takes head, hair and unit from a plan; other options change what it says."},
    [JSON] = {.name = "json", .help = "Prints everything for machines, in metres."},
    [MESH] = {.name = "mesh",
              .kind = OPTION_FILE,
              .argument = "FILE",
              .help = "Also writes the bust to FILE as OBJ, in metres: one closed mesh of triangles."},
    [PNG] = {.name = "png",
             .kind = OPTION_FILE,
             .argument = "FILE",
             .help = "Also writes a picture of the bust to FILE, as PNG."},
    [SIDE] = {.name = "side",
              .kind = OPTION_WORD,
              .argument = "SIDE",
              .words = picture_sides,
              .help = "From where --png looks: front, back, left or right (of the client), above or "
                      "three-quarter. [front]"},
    [HEIGHT] = {.name = "height",
                .kind = OPTION_WHOLE,
                .argument = "PIXELS",
                .low = 16,
                .high = 8192,
                .help = "How high the picture of --png is. [1200]"},
    [TRANSPARENT] = {.name = "transparent", .help = "Leaves the background of --png out."},
    [DETAIL] = {.name = "detail",
                .kind = OPTION_WORD,
                .argument = "DETAIL",
                .words = mesh_details,
                .help = "How fine the triangles are: coarse (6 mm), normal (3 mm) or fine (1.5 mm). [normal "
                        "for --mesh, fine for --png]"},
    {0},
};
_Static_assert(sizeof options / sizeof options[0] <= OPTIONS_MAX + 1, "room for every option's value");

static int check_shape(const arguments *args, const lw_head_options *head) {
    const value *given = args->value;
    bool solid = head->kind == LW_HEAD_SPHERE || head->kind == LW_HEAD_ELLIPSOID;
    if (given[RADIUS].given && head->kind != LW_HEAD_SPHERE)
        return complain(EXIT_USAGE, "Add --kind sphere, or leave --radius out.",
                        "only a sphere has a radius");
    if (given[AXES].given && head->kind != LW_HEAD_ELLIPSOID)
        return complain(EXIT_USAGE, "Add --kind ellipsoid, or leave --semi-axes out.",
                        "only an ellipsoid has semi-axes");
    if (head->kind == LW_HEAD_SPHERE && !(head->axes[0] > 0))
        return complain(EXIT_USAGE, "Such as --radius 9.", "a sphere needs --radius");
    if (head->kind == LW_HEAD_ELLIPSOID && !(head->axes[0] > 0 && head->axes[1] > 0 && head->axes[2] > 0))
        return complain(EXIT_USAGE, "Such as --semi-axes 7.5,9.5,11.", "an ellipsoid needs --semi-axes");
    for (int i = 0; solid && i < LW_MEASURE_INPUTS; i++)
        if (given[FIRST_MEASURE + i].given)
            return complain(EXIT_USAGE, "Leave it out, or choose --kind woman, man or adult.",
                            "a %s has no --%s", tell_head_kind(head->kind), options[FIRST_MEASURE + i].name);
    return EXIT_FINE;
}

/* The plan that the head comes from: a file's or the default one, with what the options change. */
static int read_options(prediction *p, const arguments *args) {
    const value *given = args->value;
    *p = (prediction){.name = NULL, .plan = lw_plan_default()};
    if (given[PLAN].given) {
        int code = prediction_read(p, given[PLAN].text);
        if (code) return code;
    }
    lw_head_options *head = &p->plan.head;
    if (given[KIND].given) head->kind = (lw_head_kind)given[KIND].word;
    if (given[HAIRLINE].given) head->hairline = (lw_hairline_shape)given[HAIRLINE].word;
    for (int i = 0; i < LW_MEASURE_INPUTS; i++)
        if (given[FIRST_MEASURE + i].given) head->measure[i] = given[FIRST_MEASURE + i].length[0];
    if (given[RADIUS].given) head->axes[0] = given[RADIUS].length[0];
    for (int k = 0; given[AXES].given && k < 3; k++) head->axes[k] = given[AXES].length[k];
    return check_shape(args, head);
}

static double total_hairs(const lw_scalp *scalp) {
    double sum = 0;
    for (int i = 0; i < lw_scalp_count(scalp); i++) sum += lw_scalp_weight(scalp, i);
    return sum;
}

static int print_head(const prediction *p) {
    json j = {0};
    put_open(&j, NULL, '{');
    put_text(&j, "format", "lengthwise head");
    put_number(&j, "version", 1);
    put_text(&j, "kind", tell_head_kind(p->plan.head.kind));
    put_text(&j, "hairline", tell_hairline(p->plan.head.hairline));
    put_vector(&j, "centre", lw_head_centre(p->head));
    put_open(&j, "measures", '[');
    for (int i = 0; i < LW_MEASURE_COUNT; i++) {
        put_open_inline(&j, NULL, '{');
        put_text(&j, "name", lw_measure_name((lw_measure)i));
        put_number(&j, "length", lw_head_measure(p->head, (lw_measure)i));
        put_flag(&j, "given", i < LW_MEASURE_INPUTS && p->plan.head.measure[i] > 0);
        put_close(&j, '}');
    }
    put_close(&j, ']');
    put_number(&j, "scalp_area", lw_head_scalp_area(p->head));
    put_number(&j, "hairs", total_hairs(p->scalp));
    put_open(&j, "landmarks", '[');
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        put_open_inline(&j, NULL, '{');
        put_text(&j, "name", lw_landmark_name((lw_landmark)i));
        put_vector(&j, "position", lw_head_landmark(p->head, (lw_landmark)i));
        put_close(&j, '}');
    }
    put_close(&j, ']');
    put_close(&j, '}');
    return print_json(&j);
}

/* "ear_to_top" as people write it. */
static const char *spaced(const char *name, char *room, size_t size) {
    snprintf(room, size, "%s", name);
    for (char *c = room; *c; c++)
        if (*c == '_') *c = ' ';
    return room;
}

static bool print_measures(const prediction *p) {
    lw_units units = p->plan.units;
    char title[80], name[LW_NAME_MAX];
    table t = table_begin("lrl");
    table_cell(&t, "measure"), table_cell(&t, unit_name(units)), table_cell(&t, "");
    for (int i = 0; i < LW_MEASURE_COUNT; i++) {
        bool given = i < LW_MEASURE_INPUTS && p->plan.head.measure[i] > 0;
        table_cell(&t, spaced(lw_measure_name((lw_measure)i), name, sizeof name));
        table_cell(&t, length_column(lw_head_measure(p->head, (lw_measure)i), units).s);
        table_cell(&t, given ? "given" : "");
    }
    snprintf(title, sizeof title, "Measures that the finished surface returns");
    return table_end(&t, title);
}

static bool print_landmarks(const prediction *p) {
    lw_units units = p->plan.units;
    char title[96];
    table t = table_begin("lrrr");
    table_cell(&t, "landmark"), table_cell(&t, "left"), table_cell(&t, "up"), table_cell(&t, "forward");
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        lw_vec3 at = lw_head_landmark(p->head, (lw_landmark)i);
        table_cell(&t, lw_landmark_name((lw_landmark)i));
        table_cell(&t, length_column(at.x, units).s);
        table_cell(&t, length_column(at.y, units).s);
        table_cell(&t, length_column(at.z, units).s);
    }
    snprintf(title, sizeof title, "Landmarks (%s from the middle between the ears, to the client's left)",
             unit_name(units));
    return table_end(&t, title);
}

static int print(const prediction *p) {
    lw_units units = p->plan.units;
    const lw_head_options *head = &p->plan.head;
    bool solid = head->kind == LW_HEAD_SPHERE || head->kind == LW_HEAD_ELLIPSOID;
    printf("Head: %s%s%s%s\n", tell_head_kind(head->kind), solid ? "" : ", ",
           solid ? "" : tell_hairline(head->hairline), solid ? "" : " hairline");
    bool fine = print_measures(p);
    printf("\nScalp  %s %s, %s hairs\n", area_text(lw_head_scalp_area(p->head), units).s,
           unit_square_name(units), count_text(total_hairs(p->scalp)).s);
    fine = print_landmarks(p) && fine;
    return fine ? EXIT_FINE : complain_memory();
}

static int make(prediction *p) {
    lw_error error = {0};
    lw_status status = lw_head_new(&p->head, &p->plan.head, &error);
    if (!status) status = lw_scalp_new(&p->scalp, p->head, &p->plan.scalp, &error);
    return status ? complain_error(p->name, &error) : EXIT_FINE;
}

/* Options that say how, without the one that says what. */
static int check_files(const arguments *args) {
    static const int of_picture[] = {SIDE, HEIGHT, TRANSPARENT};
    const value *given = args->value;
    for (int i = 0; i < 3; i++)
        if (given[of_picture[i]].given && !given[PNG].given)
            return complain(EXIT_USAGE, "Add --png FILE, or leave it out.",
                            "--%s is about a picture, and none is asked for", options[of_picture[i]].name);
    if (given[DETAIL].given && !given[PNG].given && !given[MESH].given)
        return complain(EXIT_USAGE, "Add --png FILE or --mesh FILE, or leave it out.",
                        "--detail is about a picture or a mesh, and neither is asked for");
    return EXIT_FINE;
}

static int write_files(const lw_head *head, const arguments *args) {
    const value *given = args->value;
    draw_bust_options picture = draw_bust_default();
    double cell = mesh_cell(given[DETAIL].given, given[DETAIL].word);
    if (given[DETAIL].given) picture.cell = cell;
    if (given[SIDE].given) picture.side = (draw_side)given[SIDE].word;
    if (given[HEIGHT].given) picture.height = (int)given[HEIGHT].whole;
    picture.transparent = given[TRANSPARENT].given;
    int code = given[MESH].given ? mesh_write(head, cell, given[MESH].text) : EXIT_FINE;
    return !code && given[PNG].given ? picture_write(head, &picture, given[PNG].text) : code;
}

static int run(const arguments *args) {
    prediction p;
    int code = read_options(&p, args);
    if (!code) code = check_files(args);
    if (!code) code = make(&p);
    if (!code) code = write_files(p.head, args);
    if (!code) code = args->value[JSON].given ? print_head(&p) : print(&p);
    prediction_clear(&p);
    return code;
}

extern const command command_head;
const command command_head = {
    .name = "head",
    .summary =
        "Shows the head that measures make: what a tape reads on it, its scalp, its hairs and its landmarks.",
    .operands = "",
    .about =
        (const char *const[]){
            "Measures are in centimetres, or written with their unit, such as 22in. What is left out is what "
            "the "
            "given measures make most likely, by published surveys. Measures that no one head can have are "
            "refused.",
            NULL},
    .options = options,
    .examples =
        (const char *const[]){"lengthwise head --kind woman --circumference 56 --ear-to-ear-over-top 34",
                              "The head of a woman with two measures taken.",
                              "lengthwise head --plan plan.json --mesh head.obj",
                              "The head of a plan, and its bust as a mesh.",
                              "lengthwise head --kind man --png head.png --side three-quarter",
                              "A picture of a man's bust.", NULL},
    .run = run,
};
