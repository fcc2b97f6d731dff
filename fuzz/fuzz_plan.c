/* Fuzzes the plan reader. Whatever the bytes: a plan that keeps its promises, or an error that says where and
 * what. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "lengthwise.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(bool condition) {
    if (!condition) abort();
}

static void check_plan(const lw_plan *plan) {
    require(plan->split_count >= 0 && plan->split_count <= LW_SPLITS_MAX);
    require(plan->step_count >= 0 && plan->step_count <= LW_STEPS_MAX);
    for (int i = 0; i < plan->step_count; i++) {
        const lw_step *s = &plan->steps[i];
        require(memchr(s->name, 0, sizeof s->name) && s->name[0] && s->section[0]);
        require(s->panels.thickness >= 0.00099 && s->panels.thickness <= 0.41);
        require(s->guide.length >= 0 && s->guide.length <= 3.01);
        require(s->source_line >= 1);
    }
    for (int i = 0; i < plan->split_count; i++) {
        const lw_parting *p = &plan->splits[i].parting;
        require(p->count >= 0 && p->count <= LW_CHAIN_MAX);
        for (int k = 0; k < p->count; k++)
            require(p->places[k].from >= 0 && p->places[k].from < LW_LANDMARK_COUNT &&
                    p->places[k].to >= -1 && p->places[k].to < LW_LANDMARK_COUNT);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    lw_plan plan;
    lw_error error;
    lw_status status = lw_plan_read(&plan, (const char *)data, size, &error);
    if (status == LW_OK) {
        check_plan(&plan);
    } else {
        require(error.status == status && error.line >= 1 && error.column >= 1);
        require(error.message[0] && error.remedy[0]);
        require(plan.step_count == 0 && plan.split_count == 0 && !plan.steps && !plan.splits);
    }
    lw_plan_clear(&plan);
    return 0;
}
