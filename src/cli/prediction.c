/* From a plan's file to its readings. Whatever fails says so with the file's name, and everything made until
 * then is freed. */
#include "prediction.h"

#include <stdlib.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include "complain.h"
#include "files.h"

manner manner_of(const value *hairs, const value *seed, const value *threads) {
    return (manner){.hairs = hairs->given ? (int)hairs->whole : 0,
                    .threads = threads->given ? (int)threads->whole : 0,
                    .seeded = seed->given,
                    .seed = seed->whole};
}

int prediction_read(prediction *out, const char *path) {
    *out = (prediction){.name = file_name(path)};
    char *text;
    size_t size;
    int code = file_read(&text, &size, path);
    if (code) return code;
    lw_error error = {0};
    lw_status status = lw_plan_read(&out->plan, text, size, &error);
    free(text);
    return status ? complain_error(out->name, &error) : EXIT_FINE;
}

static lw_status carry_out(prediction *p, manner how, lw_error *error) {
    lw_cut_options options = lw_cut_default();
    options.threads = how.threads;
    lw_status status = lw_head_new(&p->head, &p->plan.head, error);
    if (!status) status = lw_scalp_new(&p->scalp, p->head, &p->plan.scalp, error);
    if (!status) status = lw_cut_new(&p->cut, p->head, p->scalp, &p->plan, &options, error);
    if (!status) status = lw_reading_new(&p->reading, p->cut, error);
    return status;
}

int prediction_run(prediction *p, manner how) {
    if (how.hairs) p->plan.scalp.count = how.hairs;
    if (how.seeded) p->plan.scalp.seed = p->plan.hands.seed = how.seed;
#ifdef _OPENMP
    if (how.threads) omp_set_num_threads(how.threads);
#endif
    lw_error error = {0};
    if (!carry_out(p, how, &error)) return EXIT_FINE;
    prediction_clear(p);
    return complain_error(p->name, &error);
}

void prediction_clear(prediction *p) {
    lw_reading_clear(&p->reading);
    lw_fallen_clear(&p->fallen);
    lw_fall_free(p->fall);
    lw_cut_free(p->cut);
    lw_scalp_free(p->scalp);
    lw_head_free(p->head);
    lw_plan_clear(&p->plan);
    p->fall = NULL;
    p->cut = NULL;
    p->scalp = NULL;
    p->head = NULL;
}
