/* A fall that goes on: the cut changed, and the hair with it, under the same comb.
 *
 * The rest of the last cut is where the new one begins. A hair that became shorter has lost its tip, and what
 * is left of it starts as it lay, place by place along it; one that became longer has grown at its tip, by a
 * piece that has its natural shape. The ground is as firm under it as it was, and friction holds it where it
 * held it. From there its energy only falls, as in any fall (rods.c), so it comes to the minimum of the
 * valley that it lay in. A hair of which nothing changed stays where it lies, to the bit.
 *
 * Everything is worked out in hairs of its own; they take the place of the old ones when all of them lie. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "fall_room.h"
#include "quat.h"
#include "threads.h"

#define SMALL 1e-12 /* of a hair: no growth */
#define DEEP 3e-3   /* metres inside the bust, from which hair is not pushed out on the side where it was */
#define CHANGED .08 /* of a hair: longer or shorter by more since it last was loose, it is loose again */
#define CHANGED_ALL .2 /* of all hair: it makes room as if it had made none */

/* Lines to comb from follow from the rest, the head being the same. */
static bool worn_alike(const worn *a, const worn *b) {
    return a->edge == b->edge && a->middle == b->middle && a->combed == b->combed &&
           a->cos_lift == b->cos_lift && a->sin_lift == b->sin_lift && a->grown == b->grown &&
           a->parted == b->parted && a->parting == b->parting && a->arms == b->arms && a->count == b->count;
}

static bool fibres_alike(const fibre *a, const fibre *b) {
    return a->weight == b->weight && a->bend[0] == b->bend[0] && a->bend[1] == b->bend[1] &&
           a->twist == b->twist && a->area == b->area && a->curl == b->curl && a->turn == b->turn &&
           a->curve == b->curve && a->ends == b->ends && a->taken == b->taken;
}

static bool hairs_alike(const rods_hair *a, const rods_hair *b) {
    bool same =
        a->length == b->length && a->weight == b->weight && a->twist == b->twist && a->section == b->section;
    for (int k = 0; k < 2; k++) same = same && a->bend[k] == b->bend[k];
    for (int k = 0; k < 3; k++) same = same && a->curl[k] == b->curl[k];
    return same;
}

/* ---- one hair ---- */

typedef float four __attribute__((vector_size(16)));

static four four_of(const float q[4]) {
    four out;
    memcpy(&out, q, sizeof out);
    return out;
}

/* Of two frames, the short way round; not of unit size. */
static void turn_between(float to[4], const float a[4], const float b[4], float t) {
    four from = four_of(a), past = four_of(b), both = from * past;
    four out = (1 - t) * from + (both[0] + both[1] + both[2] + both[3] < 0 ? -t : t) * past;
    memcpy(to, &out, sizeof out);
}

/* What friction held there; its force in proportion to the hair that is a node's. */
static void hold_between(float to[4], const float a[4], const float b[4], float t, float share) {
    four from = four_of(a), past = four_of(b), out = t < .5f ? from : past;
    if (from[3] >= 0 && past[3] >= 0) out = (1 - t) * from + t * past;
    if (out[3] >= 0) out[3] *= share;
    memcpy(to, &out, sizeof out);
}

/* Past the tip, by as many metres, the hair has its natural shape. */
static lw_vec3 grow(float to[4], const float tip[4], lw_vec3 from, const rods_hair *r, double past) {
    lw_vec3 curl = v3(r->curl[0], r->curl[1], r->curl[2]);
    quat begins = {tip[0], {tip[1], tip[2], tip[3]}}, q = quat_times(begins, quat_turn(v3_scale(curl, past)));
    lw_vec3 half = quat_axis(quat_times(begins, quat_turn(v3_scale(curl, past / 2))));
    to[0] = (float)q.w, to[1] = (float)q.v.x, to[2] = (float)q.v.y, to[3] = (float)q.v.z;
    return v3_along(from, half, past);
}

/* Lays hair i along where it lay, place by place; its edges are `share` times what they were. Returns how
 * many of its nodes lie on what was there. */
static int lay_along(lw_fall *f, const lw_fall *last, int i, double share) {
    int nodes = f->strands.nodes, tip = nodes - 1, on = 1;
    size_t first = (size_t)i * (size_t)nodes;
    float(*from)[4] = last->frame + first, (*to)[4] = f->frame + first;
    float(*held_from)[4] = last->held + first, (*held_to)[4] = f->held + first;
    const lw_vec3 *was = last->strands.at + first;
    lw_vec3 *at = f->strands.at + first;
    memcpy(to[0], from[0], sizeof *to);
    memcpy(held_to[0], held_from[0], sizeof *held_to);
    at[0] = was[0];
    for (; on < nodes && on * share <= tip * (1 + SMALL); on++) {
        int k = on * share < tip ? (int)(on * share) : tip - 1;
        double t = on * share - k;
        turn_between(to[on], from[k], from[k + 1], (float)t);
        hold_between(held_to[on], held_from[k], held_from[k + 1], (float)t, (float)share);
        at[on] = v3_along(was[k], v3_sub(was[k + 1], was[k]), t);
    }
    double edge = last->hair[i].length / tip;
    for (int j = on; j < nodes; j++) {
        at[j] = grow(to[j], from[tip], was[tip], &f->hair[i], (j * share - tip) * edge);
        held_to[j][3] = -1;
    }
    return on;
}

static bool clear_from(const lw_fall *f, int i, int node) {
    const lw_vec3 *at = f->strands.at + (size_t)i * (size_t)f->strands.nodes;
    for (; node < f->strands.nodes; node++)
        if (!(ground_distance(f->ground, at[node], NULL) >= -DEEP)) return false;
    return true;
}

static void stay(lw_fall *f, const lw_fall *last, int i) {
    size_t nodes = (size_t)f->strands.nodes, first = (size_t)i * nodes;
    memcpy(f->strands.at + first, last->strands.at + first, nodes * sizeof *f->strands.at);
    memcpy(f->frame + first, last->frame + first, nodes * sizeof *f->frame);
    memcpy(f->held + first, last->held + first, nodes * sizeof *f->held);
    f->hair[i] = last->hair[i];
    f->hair[i].rounds = 0, f->hair[i].loose = false;
}

/* Whether it is another hair than it was. */
static bool go_on(lw_fall *f, const lw_fall *last, int i, bool other_fibre) {
    rods_hair *r = &f->hair[i];
    const rods_hair *was = &last->hair[i];
    r->root = was->root;
    fall_size_hair(f, i);
    f->loose_at[i] = last->loose_at[i];
    bool same = hairs_alike(r, was);
    if (same) {
        stay(f, last, i);
    } else if (clear_from(f, i, lay_along(f, last, i, r->length / was->length))) {
        r->firmed = was->firmed;
        r->loose = fabs(r->length - f->loose_at[i]) > CHANGED * f->loose_at[i] || other_fibre;
    } else {
        fall_make_hair(f, i);
        r->loose = true;
    }
    if (r->loose) f->loose_at[i] = (float)r->length;
    r->goes_on = true;
    return !same;
}

/* ---- all of them ---- */

static lw_status kept(const lw_fall *f, lw_error *error) {
    if (f->held) return LW_OK;
    return fail(error, LW_ERROR_ARGUMENT, "goes_on", "Set goes_on where it falls first.",
                "what this hair would go on from was not kept");
}

/* Hair as it was, or, where it is combed otherwise, as the comb leaves it. Returns whether any is another. */
static bool begin(lw_fall *f, const lw_fall *last, bool alike) {
    int count = f->strands.count, threads = f->threads;
    (void)threads;
    memcpy(f->strands.root, last->strands.root, sizeof *f->strands.root * (size_t)count);
    memcpy(f->strands.hairs, last->strands.hairs, sizeof *f->strands.hairs * (size_t)count);
    bool changed = !alike, other = !fibres_alike(&f->fibre, &last->fibre);
#pragma omp parallel for schedule(static) num_threads(threads) reduction(|| : changed)
    for (int i = 0; i < count; i++)
        if (!alike)
            fall_make_hair(f, i);
        else if (go_on(f, last, i, other))
            changed = true;
    return changed;
}

/* Share of its length that all hair together was cut or grew by. */
static double changed_by(const lw_fall *f, const lw_fall *last) {
    double by = 0, of = 0;
    for (int i = 0; i < f->strands.count; i++) {
        by += f->strands.hairs[i] * fabs(f->hair[i].length - last->hair[i].length);
        of += f->strands.hairs[i] * last->hair[i].length;
    }
    return by / of;
}

/* Hair that lies with room, or has parts left that make it. */
static lw_status fall_on(lw_fall *f, const lw_fall *last, bool changed, const lw_fall_options *o,
                         const room_options *grid, lw_error *error) {
    f->made = last->made, f->tight = last->tight;
    if (changed_by(f, last) > CHANGED_ALL) f->made = 0, f->tight = false;
    if (changed || last->report.left == 0)
        f->report.left = o->packings;
    else
        f->report = last->report;
    int parts = o->parts ? o->parts : o->packings;
    return fall_make_room(f, changed ? last : NULL, o, parts, grid, fall_let, error);
}

lw_status fall_again_on(lw_fall *fall, const double *length, const lw_plan *plan,
                        const lw_fall_options *options, const room_options *grid, lw_error *error) {
    lw_fall_options own = options ? *options : lw_fall_default();
    own.nodes = fall->strands.nodes, own.hairs = 0, own.goes_on = true;
    lw_fall next = {.length = length, .scalp = fall->scalp, .ground = fall->ground};
    next.threads = threads_of(own.threads);
    lw_status status = fall_check(&own, error);
    if (!status) status = kept(fall, error);
    if (!status) status = fall_check_lengths(length, lw_scalp_count(fall->scalp), error);
    if (!status) status = fibre_of(&next.fibre, &plan->hair, &plan->worn, error);
    if (!status) status = worn_make(&next.worn, next.scalp, &plan->hair, &plan->worn, error);
    if (status) return status;
    bool alike = worn_alike(&next.worn, &fall->worn);
    status = fall_room_for(&next, fall->strands.count, &own, error);
    if (!status) {
        bool changed = begin(&next, fall, alike), begun = fall->made > 0 || fall->report.left > 0;
        if (alike && begun && own.packings > 0) {
            status = fall_on(&next, fall, changed, &own, grid, error);
        } else {
            for (int i = 0; begun && i < next.strands.count; i++) next.hair[i].at_rest = false;
            status = fall_alone(&next, &own, grid, error);
        }
    }
    lw_fall *idle = status ? &next : fall;
    fall_drop_hairs(idle);
    if (!status) *fall = next;
    return status;
}

lw_status lw_fall_again(lw_fall *fall, const double *length, const lw_plan *plan,
                        const lw_fall_options *options, lw_error *error) {
    room_options grid = room_default();
    return fall_again_on(fall, length, plan, options, &grid, error);
}
