/* lengthwise compare: two plans' readings side by side, and where on the head they differ most. */
#include "compare.h"

#include <stdio.h>
#include <string.h>

#include "complain.h"
#include "falling.h"

enum { NO_FALL, HAIRS_COUNT, SEED, THREADS };
static const option options[] = {
    [NO_FALL] = OPTION_NO_FALL,
    [HAIRS_COUNT] = OPTION_HAIRS_COUNT,
    [SEED] = OPTION_SEED,
    [THREADS] = OPTION_THREADS,
    {0},
};

static int print(const pair *p) {
    printf("A  %s (%s)\nB  %s (%s)\n", p->a.plan.title, p->a.name, p->b.plan.title, p->b.name);
    bool fine = compare_print_hairs(p);
    fine = compare_print_cut(p) && fine;
    fine = compare_print_fall(p) && fine;
    fine = compare_print_work(p) && fine;
    return fine ? EXIT_FINE : complain_memory();
}

static int make(prediction *p, const char *path, manner how, bool falls) {
    int code = prediction_read(p, path);
    if (!code) code = prediction_run(p, how);
    return !code && falls ? prediction_read_fall(p, how) : code;
}

static int run(const arguments *args) {
    manner how = manner_of(&args->value[HAIRS_COUNT], &args->value[SEED], &args->value[THREADS]);
    bool falls = !args->value[NO_FALL].given;
    if (strcmp(args->operand[0], "-") == 0 && strcmp(args->operand[1], "-") == 0)
        return complain(EXIT_USAGE, "Give at least one of them as a file.",
                        "standard input can be read only once");
    pair p;
    int code = make(&p.a, args->operand[0], how, falls);
    if (code) return code;
    code = make(&p.b, args->operand[1], how, falls);
    if (!code) {
        p.units = p.a.plan.units;
        code = print(&p);
        prediction_clear(&p.b);
    }
    prediction_clear(&p.a);
    return code;
}

extern const command command_compare;
const command command_compare = {
    .name = "compare",
    .summary = "Shows the readings of two plans side by side, and where on the head they differ most.",
    .operands = "A B",
    .operands_least = 2,
    .operands_most = 2,
    .operands_are_plans = true,
    .about =
        (const char *const[]){"A and B are plan files; one of them may be - for standard input. Everything "
                              "is in the unit of A.",
                              "Plans for the same head are compared hair by hair, others at the landmarks.",
                              NULL},
    .options = options,
    .examples =
        (const char *const[]){"lengthwise compare today.json next.json", "Shows what would change.", NULL},
    .run = run,
};
