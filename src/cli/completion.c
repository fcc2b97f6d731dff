/* The completion for bash. */
#include <stdio.h>
#include <string.h>

#include "command.h"
#include "reference.h"

static bool takes_file(const option *o) { return o->kind == OPTION_FILE; }

static void option_cases(const command *cmd) {
    for (const option *o = cmd->options; o && o->name; o++) {
        if (o->kind == OPTION_FLAG) continue;
        printf("        %s:--%s", cmd->name, o->name);
        if (o->letter) printf("|%s:-%c", cmd->name, o->letter);
        fputs(") ", stdout);
        if (takes_file(o)) fputs("files=1", stdout);
        if (o->kind == OPTION_WORD) {
            fputs("words='", stdout);
            for (int k = 0; o->words[k]; k++) printf(k ? " %s" : "%s", o->words[k]);
            putchar('\'');
        }
        if (!takes_file(o) && o->kind != OPTION_WORD) fputs("return 0", stdout);
        puts(" ;;");
    }
}

static void command_case(const command *cmd) {
    printf("        %s) words='", cmd->name);
    for (const verb *v = cmd->verbs; v && v->name; v++) printf("%s ", v->name);
    for (const option *o = cmd->options; o && o->name; o++) printf("--%s ", o->name);
    printf("--help'%s ;;\n", cmd->operands_are_plans ? " files=1" : "");
}

static void command_names(void) {
    for (int i = 0; commands[i]; i++)
        if (!commands[i]->hidden) printf(i ? " %s" : "%s", commands[i]->name);
}

void completion_print(void) {
    puts("# bash completion for lengthwise; written by \"lengthwise completion\"\n"
         "_lengthwise() {\n"
         "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} "
         "command=${COMP_WORDS[1]} words='' files=''\n"
         "    COMPREPLY=()\n"
         "    if ((COMP_CWORD == 1)); then");
    fputs("        words='", stdout);
    command_names();
    puts(" --help --version'\n    else\n        case $command:$before in");
    for (int i = 0; commands[i]; i++)
        if (!commands[i]->hidden) option_cases(commands[i]);
    fputs("        help:*) words='", stdout);
    command_names();
    puts("' ;;\n        *) case $command in");
    for (int i = 0; commands[i]; i++)
        if (!commands[i]->hidden && strcmp(commands[i]->name, "help") != 0) command_case(commands[i]);
    puts("        esac ;;\n"
         "        esac\n"
         "    fi\n"
         "    if [[ $words ]]; then mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$word\"); fi\n"
         "    if [[ $files && $word != -* ]]; then\n"
         "        compopt -o filenames 2>/dev/null\n"
         "        mapfile -t -O ${#COMPREPLY[@]} COMPREPLY < <(compgen -f -- \"$word\")\n"
         "    fi\n"
         "    return 0\n"
         "}\n"
         "complete -F _lengthwise lengthwise");
}
