/* The manual page, in man(7). */
#include <stdio.h>
#include <string.h>

#include "command.h"
#include "lengthwise.h"
#include "reference.h"
#include "text.h"

/* Of the last change to what is written here. */
#define DATE "2026-11-25"

/* Text for troff: backslashes, dashes and dots at the start of a line mean something there. */
static void troff(const char *text) {
    if (*text == '.' || *text == '\'') fputs("\\&", stdout);
    for (; *text; text++) {
        if (*text == '\\')
            fputs("\\e", stdout);
        else if (*text == '-')
            fputs("\\-", stdout);
        else
            putchar(*text);
    }
}

/* A paragraph, in source lines that an editor shows whole. */
static void line(const char *text) {
    char word[128];
    for (int used = 0; *text;) {
        int n = (int)strcspn(text, " ");
        if (n >= (int)sizeof word) n = (int)sizeof word - 1;
        snprintf(word, sizeof word, "%.*s", n, text);
        if (used > 0) putchar(used + n >= SCREEN - 8 ? '\n' : ' ');
        used = used + n >= SCREEN - 8 ? n : used + 1 + n;
        troff(word);
        text += n;
        while (*text == ' ') text++;
    }
    putchar('\n');
}

static void manual_option(const option *o) {
    fputs(".TP\n.B ", stdout);
    if (o->letter) printf("\\-%c, ", o->letter);
    troff("--");
    troff(o->name);
    if (o->argument) {
        fputs(" \\fI", stdout);
        troff(o->argument);
        fputs("\\fR", stdout);
    }
    putchar('\n');
    line(o->help);
}

static void manual_verb(const verb *v) {
    fputs(".TP\n.B ", stdout);
    troff(v->name);
    if (v->operands[0]) {
        fputs(" \\fI", stdout);
        troff(v->operands);
        fputs("\\fR", stdout);
    }
    putchar('\n');
    line(v->help);
}

static void manual_command(const command *cmd) {
    fputs(".SS \"lengthwise ", stdout);
    troff(cmd->name);
    if (cmd->options) fputs(" [options]", stdout);
    if (cmd->operands[0]) putchar(' ');
    troff(cmd->operands);
    puts("\"");
    line(cmd->summary);
    for (int i = 0; cmd->about && cmd->about[i]; i++) {
        puts(".PP");
        line(cmd->about[i]);
    }
    for (const verb *v = cmd->verbs; v && v->name; v++) manual_verb(v);
    for (const option *o = cmd->options; o && o->name; o++) manual_option(o);
}

static void manual_examples(const command *cmd) {
    for (int i = 0; cmd->examples && cmd->examples[i]; i += 2) {
        fputs(".TP\n.B ", stdout);
        line(cmd->examples[i]);
        line(cmd->examples[i + 1]);
    }
}

void manual_print(void) {
    puts(".TH LENGTHWISE 1 " DATE " \"lengthwise " LW_VERSION "\"\n"
         ".SH NAME\nlengthwise \\- the length of every hair from a written haircut plan\n"
         ".SH SYNOPSIS\n.B lengthwise\n.I command\n[options] [operands]\n"
         ".SH DESCRIPTION");
    line("A haircut plan says how a head is parted, where each panel of hair is held, how the fingers lie "
         "and what the "
         "guide is. lengthwise works out what that leaves at every place of a measured head, what the "
         "lengths read as, "
         "and what the plan cannot do.");
    puts(".PP");
    line("Results go to standard output and errors to standard error. A file that is asked for is written "
         "aside and put "
         "in place when it is whole. What is written for machines is in metres, radians and kilograms.");
    puts(".SH COMMANDS");
    for (int i = 0; commands[i]; i++)
        if (!commands[i]->hidden) manual_command(commands[i]);
    puts(".SH EXIT STATUS\n.TP\n.B 0\nFine. Warnings about the plan do not change this.\n"
         ".TP\n.B 1\nWhat was given is wrong: the plan, the measures, or a word nobody knows.\n"
         ".TP\n.B 2\nThe command line cannot be understood.\n"
         ".TP\n.B 3\nMemory or the disk ran out or failed, the book is in use, or the output was closed.\n"
         ".SH EXAMPLES");
    for (int i = 0; commands[i]; i++) manual_examples(commands[i]);
}
