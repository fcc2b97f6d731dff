/* A handler can be told nothing and may do next to nothing: a flag and a path are all that is shared with it
 * (POSIX.1-2017, 2.4.3: unlink, signal and raise are safe there). */
#define _XOPEN_SOURCE 700 /* sigaction */ // NOLINT(bugprone-reserved-identifier)
#include "interrupt.h"

#include <signal.h>
#include <stdatomic.h>
#include <stddef.h>
#include <unistd.h>

static volatile sig_atomic_t came;
static const char *_Atomic unfinished;

static const int deadly[] = {SIGINT, SIGTERM, SIGHUP};
enum { DEADLY = sizeof deadly / sizeof deadly[0] };

static void note(int number) {
    (void)number;
    came = 1;
}

static void remove_and_die(int number) {
    const char *path = atomic_load(&unfinished);
    if (path) unlink(path);
    raise(number); /* which by now does what it does by itself */
}

/* `by` handles the first one. */
static void handle(int number, void (*by)(int)) {
    struct sigaction now;
    if (sigaction(number, NULL, &now) != 0 || now.sa_handler == SIG_IGN) return;
    struct sigaction once = {.sa_handler = by, .sa_flags = by == SIG_DFL ? 0 : (int)SA_RESETHAND};
    sigemptyset(&once.sa_mask);
    sigaction(number, &once, NULL);
}

void interrupt_watch(void) {
    came = 0;
    handle(SIGINT, note);
}

bool interrupt_came(void) { return came != 0; }

void interrupt_removes(const char *path) {
    atomic_store(&unfinished, path);
    for (int i = 0; i < DEADLY; i++) handle(deadly[i], remove_and_die);
}

void interrupt_end(void) {
    for (int i = 0; i < DEADLY; i++) handle(deadly[i], SIG_DFL);
    atomic_store(&unfinished, NULL);
}

void interrupt_die(void) {
    interrupt_end();
    raise(SIGINT);
}
