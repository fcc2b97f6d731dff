/* The commands that tell about the program: help, version, manual, completion. */
#include <stdio.h>

#include "command.h"
#include "complain.h"
#include "lengthwise.h"
#include "reference.h"

static int run_help(const arguments *args) {
    if (args->operand_count == 0) {
        help_all();
        return EXIT_FINE;
    }
    const command *cmd = command_find(args->operand[0]);
    if (!cmd)
        return complain(EXIT_USAGE,
                        "lengthwise --help lists what there is; lengthwise explain explains words",
                        "there is no command \"%s\"", args->operand[0]);
    help_command(cmd);
    return EXIT_FINE;
}

static int run_version(const arguments *args) {
    (void)args;
    puts("lengthwise " LW_VERSION);
    return EXIT_FINE;
}

static int run_manual(const arguments *args) {
    (void)args;
    manual_print();
    return EXIT_FINE;
}

static int run_completion(const arguments *args) {
    (void)args;
    completion_print();
    return EXIT_FINE;
}

extern const command command_help, command_version, command_manual, command_completion;

const command command_help = {.name = "help",
                              .summary = "Shows what there is, or how a command is used.",
                              .operands = "[COMMAND]",
                              .operands_most = 1,
                              .run = run_help};
const command command_version = {
    .name = "version", .summary = "Prints the version.", .operands = "", .run = run_version};
const command command_manual = {.name = "manual",
                                .summary = "Prints the manual page.",
                                .operands = "",
                                .hidden = true,
                                .run = run_manual};
const command command_completion = {.name = "completion",
                                    .summary = "Prints the completion for bash.",
                                    .operands = "",
                                    .hidden = true,
                                    .run = run_completion};
