/* lengthwise export: the cut for other programs. */
#include <stdio.h>
#include <string.h>

#include "complain.h"
#include "draw.h"
#include "falling.h"
#include "files.h"
#include "hairs.h"
#include "names.h"

enum { OUTPUT, FORMAT, HAIR, COLOUR, DETAIL, HAIRS_COUNT, SEED, THREADS };
enum { GLB, GLTF, CSV };

static const char *const formats[] = {"glb", "gltf", "csv", NULL};
static const char *const hairs[] = {"fallen", "held", "none", NULL}; /* by draw_hair */
static const char *const colours[] = {"plain", "length", NULL};

static const option options[] = {
    [OUTPUT] = {.name = "output",
                .letter = 'o',
                .kind = OPTION_FILE,
                .argument = "FILE",
                .help = "Where it goes. Always needed."},
    [FORMAT] = {.name = "format",
                .kind = OPTION_WORD,
                .argument = "FORMAT",
                .words = formats,
                .help = "glb, gltf or csv; taken from the ending of FILE if left out."},
    [HAIR] = {.name = "hair",
              .kind = OPTION_WORD,
              .argument = "HOW",
              .words = hairs,
              .help = "The hair of a model: fallen, at rest after the cut, which it is if left out; "
                      "held, each where it was held when it was cut; or none."},
    [COLOUR] =
        {.name = "colour",
         .kind = OPTION_WORD,
         .argument = "HOW",
         .words = colours,
         .help = "Of the hair of a model: plain, which it is if left out, or length, in the colours of the "
                 "length map."},
    [DETAIL] = {.name = "detail",
                .kind = OPTION_WORD,
                .argument = "DETAIL",
                .words = mesh_details,
                .help = "How fine the bust of a model is: coarse, normal or fine; normal if left out."},
    [HAIRS_COUNT] = OPTION_HAIRS_COUNT,
    [SEED] = OPTION_SEED,
    [THREADS] = OPTION_THREADS,
    {0},
};

static int check(int *format, const value *given) {
    if (!given[OUTPUT].given)
        return complain(EXIT_USAGE, "Such as -o cut.glb.", "export needs --output FILE");
    int code = output_format(format, &given[FORMAT], given[OUTPUT].text, formats);
    for (int i = HAIR; !code && *format == CSV && i <= DETAIL; i++)
        if (given[i].given)
            code = complain(EXIT_USAGE, "Leave it out, or choose --format glb or gltf.", "csv has no --%s",
                            options[i].name);
    return code;
}

static int write_model(const prediction *p, int format, const value *given) {
    draw_subject subject = {&p->plan, p->head, p->scalp, p->cut, &p->reading, NULL};
    draw_model_options how = draw_model_default();
    how.binary = format == GLB;
    if (given[HAIR].given) how.hair = (draw_hair)given[HAIR].word;
    how.map = given[COLOUR].given && given[COLOUR].word == 1;
    how.cell = mesh_cell(given[DETAIL].given, given[DETAIL].word);
    lw_error error = {0};
    draw_bytes model;
    const lw_strands *fallen = p->fall ? lw_fall_strands(p->fall) : NULL;
    if (draw_model(&model, &subject, fallen, &how, &error)) return complain_error(p->name, &error);
    int code = output_write(given[OUTPUT].text, model.data, model.size);
    draw_bytes_clear(&model);
    return code;
}

static int run(const arguments *args) {
    const value *given = args->value;
    int format, code = check(&format, given);
    if (code) return code;
    prediction p;
    code = prediction_read(&p, args->operand[0]);
    if (code) return code;
    manner how = manner_of(&given[HAIRS_COUNT], &given[SEED], &given[THREADS]);
    code = prediction_run(&p, how);
    bool falls = !(given[HAIR].given && (draw_hair)given[HAIR].word == DRAW_HAIR_NONE);
    if (!code && falls) code = prediction_let_fall(&p, how);
    if (code) return code;
    code = format == CSV ? hairs_write(&p, given[OUTPUT].text) : write_model(&p, format, given);
    prediction_clear(&p);
    return code;
}

extern const command command_export;
const command command_export = {
    .name = "export",
    .summary = "Writes the cut for other programs: bust and hair as a glTF model, or every hair as CSV.",
    .operands = "PLAN",
    .operands_least = 1,
    .operands_most = 1,
    .operands_are_plans = true,
    .about =
        (const char *const[]){
            "PLAN is a plan file, or - for standard input. A model (.glb, or .gltf with "
            "everything in one file) holds the bust as triangles and the hairs as lines, in "
            "metres, y up; CSV has one row a hair, in metres. docs/export.md describes both.",
            "Fallen hair is at rest as the plan says it is worn, by its weight, stiffness and curl, on the "
            "head, ears, neck and shoulders.",
            NULL},
    .options = options,
    .examples =
        (const char *const[]){"lengthwise export examples/graduated-bob.json -o bob.glb",
                              "The bust and its hair at rest after the cut.",
                              "lengthwise export --hair held --hairs-count 2000 -o held.gltf plan.json",
                              "Two thousand hairs, each where it was held when it was cut.",
                              "lengthwise export plan.json -o hairs.csv", "Every hair as a row of a table.",
                              NULL},
    .run = run,
};
