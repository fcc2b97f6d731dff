/* lengthwise, the command line: finds the command, reads its options, runs it, and makes sure that what was
 * written has arrived. */
#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

#include "command.h"
#include "complain.h"
#include "heap.h"
#include "interrupt.h"

extern const command command_help, command_version;

enum { COMMANDS_MAX = 32 };

static int unknown_command(const char *name) {
    const char *names[COMMANDS_MAX];
    int n = 0;
    for (int i = 0; commands[i] && n < COMMANDS_MAX; i++)
        if (!commands[i]->hidden) names[n++] = commands[i]->name;
    const char *nearest = nearest_word(name, names, n);
    if (nearest)
        return complain(EXIT_USAGE, NULL, "there is no command \"%s\"; the nearest is %s", name, nearest);
    return complain(EXIT_USAGE, "lengthwise --help lists what there is", "there is no command \"%s\"", name);
}

static const command *command_meant(const char *word) {
    if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0) return &command_help;
    if (strcmp(word, "--version") == 0) return &command_version;
    return command_find(word);
}

static int run(int count, char **words) {
    if (count < 2) {
        complain(EXIT_USAGE, "lengthwise --help lists what there is; lengthwise predict PLAN is the main one",
                 "which command?");
        return EXIT_USAGE;
    }
    const command *cmd = command_meant(words[1]);
    if (!cmd) return unknown_command(words[1]);
    arguments args;
    bool help;
    int code = arguments_parse(&args, cmd, count - 2, words + 2, &help);
    if (code) return code;
    if (help) {
        help_command(cmd);
        return EXIT_FINE;
    }
    return cmd->run(&args);
}

/* A full disk or a closed pipe may show only when the last bytes leave. Where a write failed before, errno
 * still says why: each later one failed as well. */
static int finish_stdout(int code) {
    bool failed = ferror(stdout) != 0;
    if (!failed) errno = 0;
    failed = fclose(stdout) != 0 || failed;
    if (failed && code == EXIT_FINE)
        return complain(EXIT_MACHINE, "What was printed is not complete.", "cannot write the output: %s",
                        errno ? strerror(errno) : "write error");
    return code;
}

int main(int count, char **words) {
    signal(SIGPIPE, SIG_IGN);
    heap_ready();
    int code = finish_stdout(run(count, words));
    if (code == EXIT_STOPPED) interrupt_die();
    return code;
}
