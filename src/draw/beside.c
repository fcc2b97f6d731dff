/* What a sheet waits for are two things that do not ask about each other: how hair falls, and the head made
 * ready to be drawn. So they are made beside one another. A parallel region ends when the last of its threads
 * does, and neither fills all processors all the time: two teams, each of as many threads as there are, leave
 * less of them idle than one after the other. */
#include <pthread.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include "draw.h"

typedef struct beside {
    const draw_subject *subject;
    const lw_fall_options *options;
    lw_fallen *fallen;
    lw_error error;
    lw_status status;
} beside;

static lw_status fall_and_read(const beside *b, lw_error *error) {
    lw_fall *fall = NULL;
    lw_status status = lw_fall_new(&fall, b->subject->scalp, lw_cut_lengths(b->subject->cut),
                                   b->subject->plan, b->options, error);
    if (!status)
        status = lw_fallen_new(b->fallen, b->subject->head, lw_fall_strands(fall), lw_fall_section(fall),
                               NULL, error);
    lw_fall_free(fall);
    return status;
}

/* A thread of its own has its own idea of how many there are. */
static void *work(void *context) {
    beside *b = context;
#ifdef _OPENMP
    if (b->options->threads) omp_set_num_threads(b->options->threads);
#endif
    b->status = fall_and_read(b, &b->error);
    return NULL;
}

static bool have_threads(void) {
#ifdef _OPENMP
    return omp_get_max_threads() > 1;
#else
    return false;
#endif
}

lw_status draw_ready_beside_fall(draw_ready **ready, lw_fallen *fallen, const draw_subject *subject,
                                 const lw_fall_options *options, lw_error *error) {
    beside b = {.subject = subject, .options = options, .fallen = fallen};
    pthread_t other;
    *fallen = (lw_fallen){0};
    bool parted = have_threads() && pthread_create(&other, NULL, work, &b) == 0;
    lw_status status = draw_ready_new(ready, subject, error);
    if (parted)
        pthread_join(other, NULL);
    else
        work(&b);
    if (!b.status && !status) return LW_OK;
    if (b.status && error) *error = b.error;
    draw_ready_free(*ready);
    *ready = NULL;
    lw_fallen_clear(fallen);
    return b.status ? b.status : status;
}
