/* Strands of limp hair, until there are better ones.
 *
 * A limp hair takes no room (lw_scalp_hang), so that all of them would lie in one skin on the head. Each is
 * kept off the bust by as much as what grows below it may fill: hair from higher up lies on hair from further
 * down. */
#include <math.h>
#include <stdlib.h>

#include "draw.h"
#include "fail.h"
#include "vec.h"

enum { NODES = 28 };

#define LEAST .0012 /* metres off the bust: past its mesh */
#define MOST .010   /* metres more, at the top */

static double off(double height, double length) {
    double rise = fmin(1, fmax(0, height));
    return LEAST + fmin(MOST * rise, .06 * length);
}

void draw_strands_clear(lw_strands *s) {
    free(s->at);
    free(s->root);
    free(s->hairs);
    *s = (lw_strands){0};
}

lw_status draw_strands_limp(lw_strands *out, const draw_subject *subject, lw_error *error) {
    int count = lw_scalp_count(subject->scalp);
    size_t n = (size_t)count;
    *out = (lw_strands){.count = count, .nodes = NODES};
    out->at = malloc(n * NODES * sizeof *out->at + 1);
    out->root = malloc(n * sizeof *out->root + 1);
    out->hairs = malloc(n * sizeof *out->hairs + 1);
    if (!out->at || !out->root || !out->hairs) {
        draw_strands_clear(out);
        return fail_memory(error, "hairs");
    }
    double foot = lw_head_landmark(subject->head, LW_NAPE_CENTRE).y,
           head = lw_head_landmark(subject->head, LW_APEX).y;
    const double *length = lw_cut_lengths(subject->cut);
#pragma omp parallel for schedule(dynamic, 64)
    for (int i = 0; i < count; i++) {
        lw_vec3 root = lw_scalp_root(subject->scalp, i);
        double lies = lw_hair_lies(&subject->plan->hair, length[i]);
        lw_scalp_hang(out->at + (size_t)i * NODES, NODES, subject->scalp, root, lies,
                      off((root.y - foot) / (head - foot), lies));
        out->root[i] = i;
        out->hairs[i] = lw_scalp_weight(subject->scalp, i);
    }
    return LW_OK;
}
