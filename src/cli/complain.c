/* The form of every error: where, what, and on the next line what to do about it. */
#include "complain.h"

#include <stdarg.h>
#include <stdio.h>

#include "command.h"

static void say_remedy(const char *remedy) {
    if (remedy && remedy[0]) fprintf(stderr, "  %s\n", remedy);
}

int complain(int code, const char *remedy, const char *message, ...) {
    va_list list;
    fputs("lengthwise: ", stderr);
    va_start(list, message);
    vfprintf(stderr, message, list);
    va_end(list);
    fputc('\n', stderr);
    say_remedy(remedy);
    return code;
}

int complain_error(const char *file, const lw_error *error) {
    fputs(file ? file : "lengthwise", stderr);
    if (error->line > 0) fprintf(stderr, ":%d", error->line);
    if (error->line > 0 && error->column > 0) fprintf(stderr, ":%d", error->column);
    if (error->place[0]) fprintf(stderr, ": %s", error->place);
    fprintf(stderr, ": %s\n", error->message[0] ? error->message : "it did not work");
    say_remedy(error->remedy);
    if (error->status == LW_ERROR_STOPPED) return EXIT_STOPPED;
    return error->status == LW_ERROR_MEMORY ? EXIT_MACHINE : EXIT_INPUT;
}

int complain_memory(void) { return complain(EXIT_MACHINE, NULL, "out of memory"); }
