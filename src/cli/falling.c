/* The one thing that may take long: it says on a terminal how far it is, on a line that is wiped at the end,
 * and asks between whiles whether somebody pressed Ctrl-C. */
#define _XOPEN_SOURCE 700 /* isatty */ // NOLINT(bugprone-reserved-identifier)
#include "falling.h"

#include <pthread.h>
#include <stdio.h>
#include <unistd.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include "complain.h"
#include "interrupt.h"

typedef struct showing {
    bool terminal;
    int percent; /* on the line; -1 nothing is */
} showing;

static bool show(void *context, double share) {
    showing *s = context;
    int percent = (int)(100 * share);
    if (s->terminal && share < 1 && percent != s->percent) {
        fprintf(stderr, "\rHair falls: %d %%", percent);
        fflush(stderr);
        s->percent = percent;
    }
    return !interrupt_came();
}

static void wipe(const showing *s) {
    if (s->percent < 0) return;
    fprintf(stderr, "\r%20s\r", "");
    fflush(stderr);
}

static void tell(const prediction *p) {
    int moving = lw_fall_tell(p->fall).not_at_rest, count = lw_scalp_count(p->scalp);
    if (moving)
        complain(EXIT_FINE, "They are taken as they lay when it gave up.",
                 "%d of %d hairs did not come to rest", moving, count);
}

static int let_fall(prediction *p, manner how, int hairs) {
    showing on = {.terminal = isatty(STDERR_FILENO) != 0, .percent = -1};
    lw_fall_options options = lw_fall_default();
    options.threads = how.threads;
    options.hairs = hairs;
    options.progress = show;
    options.context = &on;
    lw_error error = {0};
    interrupt_watch();
    lw_status status = lw_fall_new(&p->fall, p->cut, &p->plan, &options, &error);
    interrupt_end();
    wipe(&on);
    int code = status             ? complain_error(p->name, &error)
               : interrupt_came() ? complain(EXIT_STOPPED, NULL, "stopped")
                                  : EXIT_FINE;
    return code;
}

int prediction_let_fall(prediction *p, manner how) {
    int code = let_fall(p, how, 0);
    if (code)
        prediction_clear(p);
    else
        tell(p);
    return code;
}

static int read_fall(prediction *p, manner how, int hairs) {
    int code = p->fall ? EXIT_FINE : let_fall(p, how, hairs);
    lw_error error = {0};
    if (!code &&
        lw_fallen_new(&p->fallen, p->head, lw_fall_strands(p->fall), lw_fall_section(p->fall), &error))
        code = complain_error(p->name, &error);
    return code;
}

int prediction_read_fall(prediction *p, manner how, int hairs) {
    int code = read_fall(p, how, hairs);
    if (code) prediction_clear(p);
    return code;
}

typedef struct beside {
    prediction *p;
    manner how;
    int hairs, code;
} beside;

/* A thread of its own has its own idea of how many there are. */
static void *fall_beside(void *context) {
    beside *b = context;
#ifdef _OPENMP
    if (b->how.threads) omp_set_num_threads(b->how.threads);
#endif
    b->code = read_fall(b->p, b->how, b->hairs);
    return NULL;
}

static bool have_threads(void) {
#ifdef _OPENMP
    return omp_get_max_threads() > 1;
#else
    return false;
#endif
}

int prediction_read_fall_beside(prediction *p, manner how, int hairs, void (*work)(void *context),
                                void *context) {
    beside b = {p, how, hairs, EXIT_FINE};
    pthread_t other;
    bool parted = have_threads() && pthread_create(&other, NULL, fall_beside, &b) == 0;
    work(context);
    if (parted)
        pthread_join(other, NULL);
    else
        fall_beside(&b);
    if (b.code) prediction_clear(p);
    return b.code;
}

/* Patches of the scalp are there whatever the hair. */
bool fall_is_read(const prediction *p) { return p->fallen.patches != NULL; }
