/* --help, from the table of commands. */
#include <stdio.h>
#include <string.h>

#include "command.h"
#include "text.h"

static void row(const char *left, const char *right, int column) {
    int used = printf("  %s", left);
    if (used + 2 > column) {
        putchar('\n');
        used = 0;
    }
    printf("%*s", column - used, "");
    wrapped(right, column, column);
}

static void option_row(const option *o, int column) {
    char left[80];
    int used = o->letter ? snprintf(left, sizeof left, "-%c, ", o->letter) : 0;
    snprintf(left + used, sizeof left - (size_t)used, o->argument ? "--%s %s" : "--%s", o->name, o->argument);
    row(left, o->help, column);
}

void help_all(void) {
    puts("lengthwise works out, from a written haircut plan, the length of every hair on a\n"
         "measured head, before any hair is on the floor.\n\n"
         "usage: lengthwise COMMAND ...\n\ncommands:");
    for (int i = 0; commands[i]; i++)
        if (!commands[i]->hidden) row(commands[i]->name, commands[i]->summary, 12);
    puts("\n\"lengthwise COMMAND --help\" says more. A first step:\n"
         "  lengthwise predict examples/graduated-bob.json");
}

void help_command(const command *cmd) {
    printf("usage: lengthwise %s", cmd->name);
    if (cmd->options) printf(" [options]");
    printf("%s%s\n\n", cmd->operands[0] ? " " : "", cmd->operands);
    wrapped(cmd->summary, 0, 0);
    for (int i = 0; cmd->about && cmd->about[i]; i++) {
        putchar('\n');
        wrapped(cmd->about[i], 0, 0);
    }
    if (cmd->verbs) puts("\nverbs:");
    for (const verb *v = cmd->verbs; v && v->name; v++) {
        char left[80];
        snprintf(left, sizeof left, "%s%s%s", v->name, v->operands[0] ? " " : "", v->operands);
        row(left, v->help, 30);
    }
    puts("\noptions:");
    for (const option *o = cmd->options; o && o->name; o++) option_row(o, 30);
    row("--help", "Shows this.", 30);
    if (cmd->examples) puts("\nexamples:");
    for (int i = 0; cmd->examples && cmd->examples[i]; i += 2) {
        printf("  %s\n      ", cmd->examples[i]);
        wrapped(cmd->examples[i + 1], 6, 6);
    }
}
