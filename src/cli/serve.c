/* lengthwise serve: the page, the book and the paper, until Ctrl-C.
 *
 * The link holds the secret of this run. The words of a command can be read by everybody on the machine, so
 * the browser is not given the link itself but a file that only its owner can read, which leads there.
 */
#define _XOPEN_SOURCE 700 /* mkdtemp */ // NOLINT(bugprone-reserved-identifier)
#include "serve.h"

#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "command.h"
#include "complain.h"

enum { BOOK, PORT, NO_OPEN, PATIENCE, OPENAPI };

static const option options[] = {
    [BOOK] = {.name = "book",
              .kind = OPTION_FILE,
              .argument = "FILE",
              .help = "The book; made where there is none. Your own, in ~/.local/share, if left out."},
    [PORT] = {.name = "port",
              .kind = OPTION_WHOLE,
              .argument = "N",
              .low = 1024,
              .high = 65535,
              .help = "Answers at this port, or at the next that is free; 7370 if left out."},
    [NO_OPEN] = {.name = "no-open", .help = "Opens no browser; the link is printed in any case."},
    [PATIENCE] = {.name = "patience",
                  .kind = OPTION_WHOLE,
                  .argument = "SECONDS",
                  .low = 1,
                  .high = 600,
                  .help = "So long may a request take to come in; 20 if left out."},
    [OPENAPI] = {.name = "openapi", .help = "Prints what can be asked for, as OpenAPI 3.1, and ends."},
    {0},
};

static int print_openapi(void) {
    char *text;
    lw_error error = {0};
    if (serve_openapi(&text, &error) != LW_OK) return complain_error(NULL, &error);
    fputs(text, stdout);
    free(text);
    return EXIT_FINE;
}

/* ---- the browser -------------------------------------------------------------------------- */

typedef struct way_in {
    char folder[256], file[280];
} way_in;

static bool write_way_in(const way_in *way, const char *link) {
    int file = open(way->file, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (file < 0) return false;
    int size =
        dprintf(file,
                "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>lengthwise</title>"
                "<meta http-equiv=\"refresh\" content=\"0; url=%s\"><a href=\"%s\">lengthwise</a></html>\n",
                link, link);
    return close(file) == 0 && size > 0;
}

static bool make_way_in(way_in *way, const char *link) {
    const char *own = getenv("XDG_RUNTIME_DIR");
    if (!own || own[0] != '/' || strlen(own) > 200) own = "/tmp";
    snprintf(way->folder, sizeof way->folder, "%s/lengthwise-XXXXXX", own);
    if (!mkdtemp(way->folder)) return way->folder[0] = 0, false;
    snprintf(way->file, sizeof way->file, "%s/open.html", way->folder);
    return write_way_in(way, link);
}

static void remove_way_in(const way_in *way) {
    if (!way->folder[0]) return;
    unlink(way->file);
    rmdir(way->folder);
}

/* In a group of its own, so that Ctrl-C is not for it, and with the signals that we hold back. 0 where it
 * cannot be started. */
static pid_t start_browser(char *file) {
    extern char **environ;
    char opener[] = "xdg-open", *words[] = {opener, file, NULL};
    posix_spawn_file_actions_t files;
    posix_spawnattr_t how;
    sigset_t none;
    pid_t child = 0;
    sigemptyset(&none);
    if (posix_spawn_file_actions_init(&files) != 0) return 0;
    if (posix_spawnattr_init(&how) == 0) {
        for (int i = 0; i < 3; i++) posix_spawn_file_actions_addopen(&files, i, "/dev/null", O_RDWR, 0);
        posix_spawnattr_setflags(&how, POSIX_SPAWN_SETPGROUP | POSIX_SPAWN_SETSIGMASK);
        posix_spawnattr_setsigmask(&how, &none);
        if (posix_spawnp(&child, opener, &files, &how, words, environ) != 0) child = 0;
        posix_spawnattr_destroy(&how);
    }
    posix_spawn_file_actions_destroy(&files);
    return child;
}

static bool has_a_screen(void) { return getenv("DISPLAY") || getenv("WAYLAND_DISPLAY"); }

static pid_t open_page(way_in *way, const char *link) {
    if (!has_a_screen() || !make_way_in(way, link)) return 0;
    return start_browser(way->file);
}

/* ---- running ------------------------------------------------------------------------------ */

static void tell(const server *s, int wanted) {
    if (serve_port(s) != wanted) printf("Port %d is taken; this is port %d.\n", wanted, serve_port(s));
    if (!serve_has_page()) printf("This build carries no page.\n");
    printf("Book: %s\nOpen: %s\nWhoever has this link can read the book, until this ends. Ctrl-C ends it.\n",
           serve_book(s), serve_link(s));
    fflush(stdout);
}

/* Held back everywhere, so that they come only where they are waited for. */
static sigset_t hold_signals(void) {
    sigset_t ending;
    sigemptyset(&ending);
    sigaddset(&ending, SIGINT);
    sigaddset(&ending, SIGTERM);
    sigaddset(&ending, SIGHUP);
    pthread_sigmask(SIG_BLOCK, &ending, NULL);
    return ending;
}

static void serve_until_told(server *s, const value *given, int wanted, const sigset_t *ending) {
    way_in way = {{0}, {0}};
    int which;
    tell(s, wanted);
    pid_t browser = given[NO_OPEN].given ? 0 : open_page(&way, serve_link(s));
    sigwait(ending, &which);
    pthread_sigmask(SIG_UNBLOCK, ending, NULL); /* a second one ends it at once */
    printf("Stopping; Ctrl-C again ends it at once.\n");
    fflush(stdout);
    remove_way_in(&way);
    if (browser) waitpid(browser, NULL, WNOHANG);
    serve_stop(s);
}

static int run(const arguments *args) {
    const value *given = args->value;
    serve_options how = serve_default();
    server *s;
    lw_error error = {0};
    if (given[OPENAPI].given) return print_openapi();
    how.book = given[BOOK].text;
    if (given[PORT].given) how.port = (int)given[PORT].whole;
    if (given[PATIENCE].given) how.patience = (int)given[PATIENCE].whole;
    sigset_t ending = hold_signals();
    umask(077);
    if (serve_start(&s, &how, &error) != LW_OK) return complain_error(how.book, &error);
    serve_until_told(s, given, how.port, &ending);
    return EXIT_FINE;
}

extern const command command_serve;
const command command_serve = {
    .name = "serve",
    .summary = "Opens the page in your browser, with your book behind it.",
    .operands = "",
    .about =
        (const char *const[]){
            "Answers to this machine alone, and there only to whoever has the link that it prints. The page "
            "plans and computes; what is kept is in the book, and what is printed comes from here. The "
            "browser is "
            "opened where there is a screen.",
            "A script may ask as well: --openapi says for what.", NULL},
    .options = options,
    .examples = (const char *const[]){"lengthwise serve", "Opens the page with your own book.",
                                      "lengthwise serve --book demo.sqlite --no-open",
                                      "Serves another book and only prints the link.", NULL},
    .run = run,
};
