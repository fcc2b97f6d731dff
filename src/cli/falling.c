/* The one thing that may take long: it says on a terminal how far it is, on a line that is wiped at the end,
 * and asks between whiles whether somebody pressed Ctrl-C. */
#define _XOPEN_SOURCE 700 /* isatty */ // NOLINT(bugprone-reserved-identifier)
#include "falling.h"

#include <stdio.h>
#include <unistd.h>

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

/* Until end_watch. */
static lw_fall_options watch(showing *on, manner how, int hairs) {
    lw_fall_options options = lw_fall_default();
    *on = (showing){.terminal = isatty(STDERR_FILENO) != 0, .percent = -1};
    options.threads = how.threads;
    options.hairs = hairs;
    options.progress = show;
    options.context = on;
    interrupt_watch();
    return options;
}

static int end_watch(const showing *on, const prediction *p, lw_status status, const lw_error *error) {
    interrupt_end();
    wipe(on);
    return status             ? complain_error(p->name, error)
           : interrupt_came() ? complain(EXIT_STOPPED, NULL, "stopped")
                              : EXIT_FINE;
}

static int let_fall(prediction *p, manner how, int hairs) {
    showing on;
    lw_error error = {0};
    lw_fall_options options = watch(&on, how, hairs);
    lw_status status = lw_fall_new(&p->fall, p->scalp, lw_cut_lengths(p->cut), &p->plan, &options, &error);
    return end_watch(&on, p, status, &error);
}

int prediction_let_fall(prediction *p, manner how) {
    int code = let_fall(p, how, 0);
    if (code)
        prediction_clear(p);
    else
        tell(p);
    return code;
}

int prediction_read_fall(prediction *p, manner how) {
    int code = p->fall ? EXIT_FINE : let_fall(p, how, LW_FALL_HAIRS_READ);
    lw_error error = {0};
    if (!code &&
        lw_fallen_new(&p->fallen, p->head, lw_fall_strands(p->fall), lw_fall_section(p->fall), NULL, &error))
        code = complain_error(p->name, &error);
    if (code) prediction_clear(p);
    return code;
}

int prediction_read_fall_ready(draw_ready **ready, prediction *p, manner how) {
    showing on;
    lw_error error = {0};
    draw_subject subject = prediction_subject(p);
    lw_fall_options options = watch(&on, how, LW_FALL_HAIRS_READ);
    lw_status status = draw_ready_beside_fall(ready, &p->fallen, &subject, &options, &error);
    int code = end_watch(&on, p, status, &error);
    if (code) prediction_clear(p);
    return code;
}

/* Patches of the scalp are there whatever the hair. */
bool fall_is_read(const prediction *p) { return p->fallen.patches != NULL; }

draw_subject prediction_subject(const prediction *p) {
    return (draw_subject){&p->plan, p->head,     p->scalp,
                          p->cut,   &p->reading, fall_is_read(p) ? &p->fallen : NULL};
}
