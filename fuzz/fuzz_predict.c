/* The whole way from a plan's text to its readings: whatever the text, it ends, and with an error or with
 * lengths that only shrank. A few hairs are enough, since panels come from the survey. */
#include <stdlib.h>

#include "lengthwise.h"

#define HAIRS 64

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check(const lw_cut *cut) {
    const double *length = lw_cut_lengths(cut), *before = lw_cut_before(cut);
    for (int i = 0; i < HAIRS; i++)
        if (!(length[i] >= 0 && length[i] <= before[i])) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    lw_plan plan;
    lw_error error;
    if (lw_plan_read(&plan, (const char *)data, size, &error) != LW_OK) return 0;
    plan.scalp.count = HAIRS;
    lw_head *head = NULL;
    lw_scalp *scalp = NULL;
    lw_cut *cut = NULL;
    lw_reading reading;
    lw_cut_options options = lw_cut_default();
    options.threads = 1;
    if (lw_head_new(&head, &plan.head, &error) == LW_OK &&
        lw_scalp_new(&scalp, head, &plan.scalp, &error) == LW_OK &&
        lw_cut_new(&cut, head, scalp, &plan, &options, &error) == LW_OK) {
        check(cut);
        if (lw_reading_new(&reading, cut, &error) == LW_OK) lw_reading_clear(&reading);
    }
    lw_cut_free(cut);
    lw_scalp_free(scalp);
    lw_head_free(head);
    lw_plan_clear(&plan);
    return 0;
}
