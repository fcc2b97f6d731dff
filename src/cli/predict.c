/* lengthwise predict: what a plan leaves. */
#include "predict.h"

#include "falling.h"
#include "hairs.h"
#include "print_json.h"
#include "tell_json.h"

enum { JSON, HAIRS, NO_FALL, HAIRS_COUNT, SEED, THREADS };

static const option options[] = {
    [JSON] = {.name = "json", .help = "Prints everything for machines, in metres, instead of tables."},
    [HAIRS] = {.name = "hairs",
               .kind = OPTION_FILE,
               .argument = "FILE",
               .help = "Also writes every hair's root, section, step, panel, length and tip at rest to FILE "
                       "as CSV, in metres."},
    [NO_FALL] = OPTION_NO_FALL,
    [HAIRS_COUNT] = OPTION_HAIRS_COUNT,
    [SEED] = OPTION_SEED,
    [THREADS] = OPTION_THREADS,
    {0},
};

static int print_for_machines(const prediction *p) {
    json j = {0};
    tell_subject of = prediction_subject(p);
    put_prediction(&j, &of, p->fall);
    return print_json(&j);
}

static int run(const arguments *args) {
    const value *given = args->value;
    prediction p;
    int code = prediction_read(&p, args->operand[0]);
    if (code) return code;
    manner how = manner_of(&given[HAIRS_COUNT], &given[SEED], &given[THREADS]);
    code = prediction_run(&p, how);
    if (!code && given[HAIRS].given) code = prediction_let_fall(&p, how);
    if (!code && !given[NO_FALL].given) code = prediction_read_fall(&p, how);
    if (code) return code;
    if (given[HAIRS].given) code = hairs_write(&p, given[HAIRS].text);
    if (!code) code = given[JSON].given ? print_for_machines(&p) : prediction_print(&p);
    prediction_clear(&p);
    return code;
}

extern const command command_predict;
const command command_predict = {
    .name = "predict",
    .summary = "Works out what a plan leaves at every place of the head, and what the lengths read as.",
    .operands = "PLAN",
    .operands_least = 1,
    .operands_most = 1,
    .operands_are_plans = true,
    .about = (const char *const[]){"PLAN is a plan file, or - for standard input. The tables are in the "
                                   "plan's own unit: centimetres, or inches to "
                                   "the eighth. Lengths are of dry hair drawn straight.",
                                   "How the cut falls is read from 4,000 of the computed hairs, brought to "
                                   "rest as the plan says that they are worn; with --hairs, from all.",
                                   "What the plan cannot do is listed at the end, with the step, the place "
                                   "and a remedy; the rest of the plan is "
                                   "carried out all the same.",
                                   NULL},
    .options = options,
    .examples =
        (const char *const[]){"lengthwise predict examples/graduated-bob.json", "Prints the readings.",
                              "lengthwise predict --json --hairs hairs.csv plan.json",
                              "Prints everything for machines and writes every hair to a file.", NULL},
    .run = run,
};
