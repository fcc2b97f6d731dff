/* lengthwise schema and lengthwise fields: the plan file, as the table in plan describes it. */
#include <stdio.h>
#include <stdlib.h>

#include "command.h"
#include "complain.h"
#include "plan.h"

static int print(lw_status (*make)(char **out, lw_error *error)) {
    char *text;
    lw_error error = {0};
    if (make(&text, &error)) return complain_error(NULL, &error);
    fputs(text, stdout);
    free(text);
    return EXIT_FINE;
}

static int run_schema(const arguments *args) {
    (void)args;
    return print(plan_schema);
}

enum { JSON };
static const option field_options[] = {
    [JSON] = {.name = "json", .help = "Prints the table that a form is made from, as JSON."}, {0}};

static int run_fields(const arguments *args) {
    return print(args->value[JSON].given ? plan_table : plan_reference);
}

extern const command command_schema, command_fields;
const command command_schema = {
    .name = "schema",
    .summary = "Prints the JSON Schema (2020-12) of the plan file.",
    .operands = "",
    .about =
        (const char *const[]){
            "An editor that knows JSON Schema can use it to complete and check plans as they are written.",
            NULL},
    .examples =
        (const char *const[]){"lengthwise schema > plan.schema.json", "Keeps the schema in a file.", NULL},
    .run = run_schema};
const command command_fields = {.name = "fields",
                                .summary = "Prints every field of the plan file as Markdown tables.",
                                .operands = "",
                                .options = field_options,
                                .hidden = true,
                                .run = run_fields};
