/* Printing sheets. A sheet takes seconds on all processors, so they come one after another, and whoever asks
 * waits in a row that is not long. One thread for all of them: it keeps its fonts and its team of threads,
 * and whoever else uses the server never waits for it. */
#include "paper.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <time.h>

#include "fail.h"

enum { WAITING_MOST = 8, SECONDS_MOST = 120 };

typedef struct job {
    const char *text;
    size_t size;
    const draw_sheet_options *how;
    draw_bytes *out;
    lw_error *error;
    lw_status status;
    bool done;
    struct job *next;
} job;

struct paper {
    pthread_t thread;
    pthread_mutex_t lock;
    pthread_cond_t changed;
    job *first; /* the one that is printed, then those that wait */
    atomic_bool stopping;
    time_t until; /* of the one that is printed, on the monotonic clock */
};

/* ---- one sheet ---------------------------------------------------------------------------- */

typedef struct carried {
    lw_plan plan;
    lw_head *head;
    lw_scalp *scalp;
    lw_cut *cut;
    lw_reading reading;
    lw_fallen fallen;
    draw_ready *ready;
} carried;

static time_t seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec;
}

static bool goes_on(void *context, double share) {
    paper *p = context;
    (void)share;
    return !p->stopping && seconds() < p->until;
}

static lw_status stopped(const paper *p, lw_error *error) {
    if (p->stopping)
        return fail(error, LW_ERROR_STOPPED, "sheet", "Start it again, and print then.",
                    "lengthwise serve was stopped");
    return fail(error, LW_ERROR_STOPPED, "sheet", "Print it with: lengthwise sheet PLAN -o sheet.pdf",
                "the sheet takes longer than %d s", SECONDS_MOST);
}

static draw_subject subject_of(const carried *c) {
    return (draw_subject){&c->plan, c->head, c->scalp, c->cut, &c->reading, &c->fallen};
}

static lw_status let_fall(carried *c, paper *p, lw_error *error) {
    lw_fall_options how = lw_fall_default();
    how.hairs = LW_FALL_HAIRS_READ;
    how.progress = goes_on;
    how.context = p;
    draw_subject subject = subject_of(c);
    lw_status status = draw_ready_beside_fall(&c->ready, &c->fallen, &subject, &how, error);
    bool in_vain = status == LW_ERROR_STOPPED || (!status && !goes_on(p, 1));
    return in_vain ? stopped(p, error) : status;
}

static lw_status carry_out(carried *c, paper *p, const job *j) {
    lw_status status = lw_plan_read(&c->plan, j->text, j->size, j->error);
    if (!status && c->plan.scalp.count > PAPER_HAIRS)
        return fail(j->error, LW_ERROR_LIMIT, "hairs", "Print it with: lengthwise sheet PLAN -o sheet.pdf",
                    "%d hairs are more than the %d that are printed from here", c->plan.scalp.count,
                    PAPER_HAIRS);
    if (!status) status = lw_head_new(&c->head, &c->plan.head, j->error);
    if (!status) status = lw_scalp_new(&c->scalp, c->head, &c->plan.scalp, j->error);
    if (!status) status = lw_cut_new(&c->cut, c->head, c->scalp, &c->plan, NULL, j->error);
    if (!status) status = lw_reading_new(&c->reading, c->cut, j->error);
    return status ? status : let_fall(c, p, j->error);
}

static void carried_clear(carried *c) {
    draw_ready_free(c->ready);
    lw_reading_clear(&c->reading);
    lw_fallen_clear(&c->fallen);
    lw_cut_free(c->cut);
    lw_scalp_free(c->scalp);
    lw_head_free(c->head);
    lw_plan_clear(&c->plan);
}

static void print(paper *p, job *j) {
    carried c = {0};
    p->until = seconds() + SECONDS_MOST;
    j->status = carry_out(&c, p, j);
    draw_subject subject = subject_of(&c);
    draw_sheet_options how = *j->how;
    how.ready = c.ready;
    if (!j->status) j->status = draw_sheet(j->out, &subject, &how, j->error);
    carried_clear(&c);
}

/* ---- one after another -------------------------------------------------------------------- */

static void *work(void *context) {
    paper *p = context;
    pthread_mutex_lock(&p->lock);
    for (;;) {
        while (!p->first && !p->stopping) pthread_cond_wait(&p->changed, &p->lock);
        if (!p->first) break;
        job *j = p->first;
        pthread_mutex_unlock(&p->lock);
        print(p, j);
        pthread_mutex_lock(&p->lock);
        p->first = j->next;
        j->done = true;
        pthread_cond_broadcast(&p->changed);
    }
    pthread_mutex_unlock(&p->lock);
    return NULL;
}

lw_status paper_start(paper **out, lw_error *error) {
    paper *p = *out = calloc(1, sizeof *p);
    if (!p) return fail_memory(error, "sheet");
    pthread_mutex_init(&p->lock, NULL);
    pthread_cond_init(&p->changed, NULL);
    if (pthread_create(&p->thread, NULL, work, p) == 0) return LW_OK;
    free(p);
    *out = NULL;
    return fail(error, LW_ERROR_MEMORY, "sheet", "Close something and try again.",
                "no thread can be started");
}

/* Whether there is room in the row. */
static bool stand_in(paper *p, job *j) {
    int waiting = 0;
    job **last = &p->first;
    for (; *last; last = &(*last)->next) waiting++;
    if (waiting > WAITING_MOST || p->stopping) return false;
    *last = j;
    pthread_cond_broadcast(&p->changed);
    return true;
}

lw_status paper_print(draw_bytes *out, paper *p, const char *text, size_t size, const draw_sheet_options *how,
                      lw_error *error) {
    job j = {.text = text, .size = size, .how = how, .out = out, .error = error};
    pthread_mutex_lock(&p->lock);
    bool stands = stand_in(p, &j);
    while (stands && !j.done) pthread_cond_wait(&p->changed, &p->lock);
    pthread_mutex_unlock(&p->lock);
    if (stands) return j.status;
    return fail(error, LW_ERROR_STOPPED, "sheet", "Try again in a moment.",
                "too many sheets are being printed");
}

void paper_stop(paper *p) {
    if (!p) return;
    pthread_mutex_lock(&p->lock);
    p->stopping = true;
    pthread_cond_broadcast(&p->changed);
    pthread_mutex_unlock(&p->lock);
    pthread_join(p->thread, NULL);
    pthread_cond_destroy(&p->changed);
    pthread_mutex_destroy(&p->lock);
    free(p);
}
