/* How far hair stands off the scalp, patch by patch; over patches that are not on the scalp nobody asks.
 *
 * A hair counts once for every patch it passes over, with the most that it stands off there: what stands off
 * is the thickness of the hair, however many hairs or points of them there are. How far is counted in bins of
 * half a millimetre, so a percentile costs no sorting and is exact to a bin. */
#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "fallen.h"
#include "vec.h"

#define AROUND 36  /* patches round the axis, the first straight to the front */
#define UPWARD 18  /* from straight down to straight up */
#define PIECE 4e-3 /* metres: a hair is looked at this often at least */
#define BIN 5e-4   /* metres */
#define HIGH .95   /* the percentile */

enum {
    PATCHES = AROUND * UPWARD,
    BINS = 600,  /* and what stands off more in the last */
    BLOCK = 2048 /* hairs */
};

typedef struct patch {
    int64_t hairs, metres; /* steps; steps times steps of length */
    int64_t bin[BINS];
} patch;

/* The patches that are on the scalp. */
typedef struct scalp_patches {
    bool is[PATCHES];
    lw_vec3 direction[PATCHES];
    double lowest; /* sine of the rise from which on there are any */
} scalp_patches;

typedef struct passage {
    const scalp_patches *scalp;
    double most[PATCHES]; /* how far the hair stands off over each; -1: it does not pass */
    int passed[PATCHES], count;
} passage;

static void look(passage *on, const lw_head *head, lw_vec3 p) {
    lw_vec3 n, u = v3_sub(p, lw_head_centre(head));
    double far = v3_norm(u);
    if (!(far > 0) || u.y < on->scalp->lowest * far) return;
    double rise = arc_sine(fmin(fmax(u.y / far, -1), 1));
    int up = (int)fmin(floor((rise / LW_PI + .5) * UPWARD), UPWARD - 1);
    int k = up * AROUND + fallen_bearing(head, p, AROUND);
    if (!on->scalp->is[k]) return;
    double off = fmax(v3_dot(v3_sub(p, lw_head_project(head, p, &n)), n), 0);
    if (on->most[k] < 0) on->passed[on->count++] = k;
    on->most[k] = fmax(on->most[k], off);
}

static void follow(passage *on, const fallen_hairs *h, int i) {
    const lw_vec3 *at = fallen_strand(h, i);
    look(on, h->head, at[0]);
    for (int k = 1; k < h->strands->nodes; k++) {
        lw_vec3 way = v3_sub(at[k], at[k - 1]);
        int pieces = (int)ceil(v3_norm(way) / PIECE);
        for (int j = 1; j <= pieces; j++) look(on, h->head, v3_along(at[k - 1], way, (double)j / pieces));
    }
}

static void count(patch *patches, passage *on, int64_t weight) {
    for (int j = 0; j < on->count; j++) {
        int k = on->passed[j], bin = (int)fmin(on->most[k] / BIN, BINS - 1);
        int64_t metres = weight * llround(on->most[k] * FALLEN_METRE);
#pragma omp atomic
        patches[k].hairs += weight;
#pragma omp atomic
        patches[k].metres += metres;
#pragma omp atomic
        patches[k].bin[bin] += weight;
        on->most[k] = -1;
    }
    on->count = 0;
}

static void pass_over(patch *patches, const scalp_patches *scalp, const fallen_hairs *h, int first,
                      int past) {
#pragma omp parallel
    {
        passage on = {.scalp = scalp};
        for (int k = 0; k < PATCHES; k++) on.most[k] = -1;
#pragma omp for schedule(dynamic, 64)
        for (int i = first; i < past; i++) {
            follow(&on, h, i);
            count(patches, &on, h->weight[i]);
        }
    }
}

/* Evenly within the bin in which it lies. */
static double percentile(const patch *p) {
    double wanted = HIGH * (double)p->hairs, below = 0;
    for (int i = 0; i < BINS; i++) {
        double here = (double)p->bin[i];
        if (below + here >= wanted) return BIN * (i + (wanted - below) / here);
        below += here;
    }
    return BIN * BINS;
}

static bool on_scalp(lw_vec3 *direction, const lw_head *head, int k) {
    double rise = (k / AROUND + .5) * LW_PI / UPWARD - .5 * LW_PI,
           bearing = 2 * LW_PI * (k % AROUND) / AROUND;
    if (2 * (k % AROUND) > AROUND) bearing -= 2 * LW_PI;
    *direction = v3(cosine(rise) * sine(bearing), sine(rise), cosine(rise) * cosine(bearing));
    lw_vec3 at = lw_head_project(head, v3_add(lw_head_centre(head), *direction), NULL);
    return lw_head_hairline(head, at) > 0;
}

/* A degree of slack for rounding. */
static void find_scalp(scalp_patches *out, const lw_head *head) {
    int first = UPWARD;
#pragma omp parallel for schedule(dynamic, 16)
    for (int k = 0; k < PATCHES; k++) out->is[k] = on_scalp(&out->direction[k], head, k);
    for (int k = PATCHES - 1; k >= 0; k--)
        if (out->is[k]) first = k / AROUND;
    out->lowest = sine(fmax(LW_PI * ((double)first / UPWARD - .5) - LW_PI / 180, -.5 * LW_PI));
}

static lw_patch read(const patch *p, lw_vec3 direction, double step) {
    lw_patch out = {.bearing = arc_tangent(direction.x, direction.z), .rise = arc_sine(direction.y)};
    if (!p->hairs) return out;
    out.hairs = (double)p->hairs * step;
    out.stands_off = percentile(p);
    out.mean = (double)p->metres / (double)p->hairs / FALLEN_METRE;
    return out;
}

/* The patch's area on the scalp is taken for that of its solid angle. */
static void read_all(lw_fallen *out, const patch *patches, const scalp_patches *scalp, double step) {
    double area = 0, sum = 0;
    for (int k = 0; k < PATCHES; k++) {
        if (!scalp->is[k]) continue;
        lw_patch *p = &out->patches[out->patch_count++];
        *p = read(&patches[k], scalp->direction[k], step);
        area += cosine(p->rise);
        sum += cosine(p->rise) * p->stands_off;
    }
    out->thickness = area > 0 ? sum / area : 0;
}

lw_status fallen_read_patches(lw_fallen *out, const fallen_hairs *hairs, lw_error *error) {
    patch *patches = calloc(PATCHES, sizeof *patches);
    out->patches = malloc(sizeof *out->patches * PATCHES);
    if (!patches || !out->patches) {
        free(patches);
        return fail_memory(error, "fallen cut");
    }
    scalp_patches scalp;
    find_scalp(&scalp, hairs->head);
    int all = hairs->strands->count;
    for (int i = 0; i < all && fallen_goes_on(hairs, .1 + .3 * i / all); i += BLOCK)
        pass_over(patches, &scalp, hairs, i, all - i < BLOCK ? all : i + BLOCK);
    read_all(out, patches, &scalp, hairs->step);
    free(patches);
    return LW_OK;
}
