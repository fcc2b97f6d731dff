/* What the shape at rest reads as: takes the hairs in, and puts the readings together.
 *
 * It asks nothing of how the hairs came to rest. What cannot be read (a point that is no number, a strand
 * that stands for less than nothing) is refused here, so the readings need not look again. */
#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "fallen.h"
#include "vec.h"

#define FAR 10        /* metres: nothing lies farther from the origin */
#define STEPS 65536.0 /* of hairs, in the heaviest strand at most */

int fallen_bearing(const lw_head *head, lw_vec3 p, int count) {
    double turn = arc_tangent(p.x, p.z - lw_head_centre(head).z) / (2 * LW_PI);
    return ((int)lround(turn * count) + count) % count;
}

static bool within_reach(lw_vec3 p) { return fabs(p.x) <= FAR && fabs(p.y) <= FAR && fabs(p.z) <= FAR; }

static lw_status check(const lw_strands *s, lw_error *error) {
    const char *remedy = "give finite points within 10 m of the head, and 0 or more hairs a strand";
    if (s->count < 0 || s->count > 1 << 23 || s->nodes < 2)
        return fail(error, LW_ERROR_ARGUMENT, "strands", "give up to 8,388,608 strands of 2 points or more",
                    "%d strands of %d points cannot be read", s->count, s->nodes);
    for (int i = 0; i < s->count; i++) {
        if (!(s->hairs[i] >= 0 && s->hairs[i] < 1e12))
            return fail(error, LW_ERROR_ARGUMENT, "strands", remedy, "strand %d stands for %g hairs", i,
                        s->hairs[i]);
        for (int k = 0; k < s->nodes; k++)
            if (!within_reach(s->at[(size_t)i * (size_t)s->nodes + (size_t)k]))
                return fail(error, LW_ERROR_ARGUMENT, "strands", remedy, "point %d of strand %d is nowhere",
                            k, i);
    }
    return LW_OK;
}

static double polyline_length(const lw_vec3 *at, int nodes) {
    double length = 0;
    for (int k = 1; k < nodes; k++) length += v3_norm(v3_sub(at[k], at[k - 1]));
    return length;
}

/* The least that is not below x, which is above 0. */
static double power_of_two(double x) {
    int n;
    double m = frexp(x, &n);
    return ldexp(1, m > 0.5 ? n : n - 1);
}

static void weigh(fallen_hairs *h) {
    const lw_strands *s = h->strands;
    double most = 0;
    for (int i = 0; i < s->count; i++) most = fmax(most, s->hairs[i]);
    h->step = most > 0 ? power_of_two(most) / STEPS : 1;
    for (int i = 0; i < s->count; i++) {
        h->weight[i] = llround(s->hairs[i] / h->step);
        h->total += h->weight[i];
        h->length[i] = polyline_length(fallen_strand(h, i), s->nodes);
    }
}

static double share(int64_t part, int64_t of) { return of > 0 ? (double)part / (double)of : 0; }

/* Its tip is higher than its root, and farther off the head than half its length. */
static bool stands_up(const fallen_hairs *h, int i) {
    lw_vec3 root = fallen_strand(h, i)[0], tip = fallen_end(h, i), n;
    lw_vec3 on = lw_head_project(h->head, tip, &n);
    return tip.y > root.y && v3_dot(v3_sub(tip, on), n) > .5 * h->length[i];
}

static void read_standing(lw_fallen *out, const fallen_hairs *h) {
    int64_t up[LW_LANDMARK_COUNT] = {0}, near[LW_LANDMARK_COUNT] = {0}, all = 0;
    for (int i = 0; i < h->strands->count; i++) {
        lw_landmark at = lw_head_nearest_landmark(h->head, fallen_strand(h, i)[0]);
        int64_t standing = stands_up(h, i) ? h->weight[i] : 0;
        near[at] += h->weight[i];
        up[at] += standing;
        all += standing;
    }
    out->standing = share(all, h->total);
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) out->standing_at[i] = share(up[i], near[i]);
}

static void read_levels(lw_fallen *out, const fallen_hairs *h) {
    int64_t between[LW_LEVEL_COUNT + 1] = {0};
    for (int i = 0; i < LW_LEVEL_COUNT; i++) out->level[i] = lw_head_level(h->head, (lw_level)i);
    if (isnan(out->level[0])) return;
    for (int i = 0; i < h->strands->count; i++) {
        int below = 0;
        while (below < LW_LEVEL_COUNT && fallen_end(h, i).y < out->level[below]) below++;
        between[below] += h->weight[i];
    }
    for (int i = 0; i <= LW_LEVEL_COUNT; i++) out->ends[i] = share(between[i], h->total);
}

bool fallen_goes_on(const fallen_hairs *h, double share) {
    const lw_fallen_options *o = h->options;
    if (!o->progress) return true;
    if (!*h->stopped) *h->stopped = !o->progress(o->context, share);
    return !*h->stopped;
}

static lw_status read_all(lw_fallen *out, const fallen_hairs *h, lw_error *error) {
    read_levels(out, h);
    read_standing(out, h);
    lw_status status = fallen_read_ends(out, h, error);
    if (!status && fallen_goes_on(h, .1)) status = fallen_read_patches(out, h, error);
    if (!status && fallen_goes_on(h, FALLEN_OUTLINES)) status = fallen_read_outlines(out, h, error);
    if (*h->stopped)
        return fail(error, LW_ERROR_STOPPED, "fallen", "Read it again.", "stopped while it was read");
    return status;
}

lw_status lw_fallen_new(lw_fallen *out, const lw_head *head, const lw_strands *strands, double section_area,
                        const lw_fallen_options *options, lw_error *error) {
    lw_fallen_options own = options ? *options : (lw_fallen_options){0};
    *out = (lw_fallen){0};
    if (!(section_area > 0 && section_area < 1))
        return fail(error, LW_ERROR_ARGUMENT, "section_area",
                    "give the cross-section of one hair, such as 4.6e-9", "a fibre of %g m^2 is out of range",
                    section_area);
    lw_status status = check(strands, error);
    if (status) return status;
    size_t room = (size_t)strands->count + 1;
    bool stopped = false;
    fallen_hairs h = {.head = head, .strands = strands, .options = &own, .stopped = &stopped};
    h.thickness = 2 * sqrt(section_area / LW_PI);
    h.weight = malloc(sizeof *h.weight * room);
    h.length = malloc(sizeof *h.length * room);
    if (!h.weight || !h.length) {
        status = fail_memory(error, "fallen cut");
    } else {
        weigh(&h);
        status = read_all(out, &h, error);
    }
    free(h.weight);
    free(h.length);
    if (status) lw_fallen_clear(out);
    return status;
}

void lw_fallen_clear(lw_fallen *fallen) {
    for (int i = 0; i < LW_VIEW_COUNT; i++) {
        free(fallen->outline[i].at);
        free(fallen->bust[i].at);
    }
    free(fallen->patches);
    *fallen = (lw_fallen){0};
}
