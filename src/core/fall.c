/* A head of hair let fall.
 *
 * Every hair leaves the scalp as it is worn and is let go as the comb leaves it: held out between straight
 * off the scalp and the way it is combed. From there its energy only falls, until it rests (rods.c). */
#include "fall.h"

#include "fail.h"
#include "fall_ear.h"
#include "fall_room.h"
#include "quat.h"
#include "scalp.h"
#include "threads.h"
#include <stdlib.h>
#include <string.h>

#define SKIN 1e-3    /* metres over which the ground takes up its load */
#define PRESS .05    /* of what bends a hair within one edge, with which the ground pushes */
#define FRICTION .47 /* straight hair against a probe: J. Oleo Sci. 73(5), 2024 */
#define LEAST 1e-3   /* metres: shorter hair counts as this long */
#define LONGEST 10   /* metres */
#define TURN 1.5     /* radians of its own curl from node to node that still are followed */
#define FLATTEST .1  /* sine of a coil's pitch angle: rings that would lie in one plane lie side by side */
#define HELD .7853981634 /* radians off the scalp at which hair is let go */

#define EAR_TRIES 5   /* times that a root beside the ear is looked for, */
#define EAR_STEP 2e-3 /* metres farther from the hairline each time */

#define ROUGH .01 /* radians: near enough to rest for other hair to come */

enum { BLOCK = 1024 }; /* hairs after which whoever asked is told */

lw_fall_options lw_fall_default(void) {
    return (lw_fall_options){.nodes = 24, .rounds = 1000, .packings = 6, .still = 5e-4};
}

lw_status fall_check(const lw_fall_options *o, lw_error *error) {
    if (o->nodes < 8 || o->nodes > RODS_NODES_MAX)
        return fail(error, LW_ERROR_ARGUMENT, "nodes", "Give 8 to 32.", "%d nodes a hair", o->nodes);
    if (o->rounds < 1 || o->rounds > 10000)
        return fail(error, LW_ERROR_ARGUMENT, "rounds", "Give 1 to 10,000.", "%d rounds", o->rounds);
    if (o->hairs < 0)
        return fail(error, LW_ERROR_ARGUMENT, "hairs", "Give how many fall, or 0 for all.", "%d hairs",
                    o->hairs);
    if (o->parts < 0)
        return fail(error, LW_ERROR_ARGUMENT, "parts", "Give how many at once, or 0 for all.", "%d parts",
                    o->parts);
    if (o->packings < 0 || o->packings > 1000 || !(o->still >= 0))
        return fail(error, LW_ERROR_ARGUMENT, "packings", "Give 0 to 1,000, and a length.",
                    "%d packings until hair moves by less than %g m", o->packings, o->still);
    return LW_OK;
}

lw_status fall_check_lengths(const double *length, int count, lw_error *error) {
    for (int i = 0; i < count; i++)
        if (!(length[i] >= 0 && length[i] <= LONGEST))
            return fail(error, LW_ERROR_ARGUMENT, "length", "Give 0 to 10 m.", "hair %d is %g m long", i,
                        length[i]);
    return LW_OK;
}

/* ---- one hair ---- */

/* A coil too tight to be followed, as the soft straight rod that it is on the whole (S. Timoshenko, Strength
 * of Materials, part II, helical springs): rise is the sine of the coil's pitch angle. */
static void as_spring(rods_hair *r, double rise) {
    double square = rise * rise, bend = 2 / (1 / r->bend[0] + 1 / r->bend[1]);
    double soft = rise * 2 / ((1 + square) / bend + (1 - square) / r->twist);
    r->twist = rise / ((1 - square) / bend + square / r->twist);
    r->bend[0] = r->bend[1] = soft;
    r->length *= rise;
    r->weight /= rise;
    r->section /= rise;
    r->curl[0] = r->curl[1] = r->curl[2] = 0;
}

static void store(float *q, quat f) {
    q[0] = (float)f.w, q[1] = (float)f.v.x, q[2] = (float)f.v.y, q[3] = (float)f.v.z;
}

static double length_of(const lw_fall *f, int root) { return fmax(LEAST, f->length[root]); }

/* How a hair is let go. */
typedef struct start {
    lw_vec3 root, normal, held;
    worn_root worn;
} start;

/* As the comb leaves it: out, and along the way it is combed; never lower than level. */
static lw_vec3 held_out(const worn_root *w, lw_vec3 normal) {
    lw_vec3 out = v3_add(v3_scale(w->combed, cosine(HELD)), v3_scale(normal, sine(HELD)));
    out.y = fmax(0, out.y);
    return v3_unit(out);
}

static start start_of(const lw_fall *f, int at, double length) {
    const lw_scalp *s = f->scalp;
    start b = {.root = lw_scalp_root(s, at), .normal = lw_scalp_normal(s, at)};
    if (!ear_near(f->scalp->head, b.root)) {
        b.worn = worn_at_root(&f->worn, at);
        b.held = held_out(&b.worn, b.normal);
        return b;
    }
    lw_vec3 root = b.root;
    bool gently = false;
    for (int i = 0; !gently && i < EAR_TRIES; i++) {
        b.root = ear_root(f->scalp->head, f->ground, root, i * EAR_STEP, &b.normal);
        b.worn = worn_at(&f->worn, b.root);
        b.held = held_out(&b.worn, b.normal);
        gently = ear_comb(f->ground, b.root, b.normal, length, &b.worn.direction, &b.held);
    }
    return b;
}

/* The pose it is let go from. */
static void hold_up(float (*frame)[4], int nodes, const start *b) {
    lw_vec3 way = b->worn.direction, first = v3_unit(v3_tangent(b->worn.axis, way));
    quat root = quat_of_axes(first, v3_cross(way, first), way);
    quat rest = quat_times(quat_between(way, b->held), root);
    store(frame[0], root);
    for (int i = 1; i < nodes; i++) store(frame[i], rest);
}

void fall_size_hair(lw_fall *f, int i) {
    int at = f->strands.root[i];
    rods_hair *r = &f->hair[i];
    const fibre *of = &f->fibre;
    double length = length_of(f, at), edge = length / (f->strands.nodes - 1);
    *r = (rods_hair){.length = length,
                     .weight = of->weight,
                     .bend = {of->bend[0], of->bend[1]},
                     .twist = of->twist,
                     .root = r->root,
                     .clear = SKIN,
                     .press = PRESS,
                     .friction = FRICTION,
                     .section = of->area};
    double curl = 0, turn = 0;
    fibre_shape(&curl, &turn, of, 0, length, length);
    double all = hypotenuse(curl, turn);
    double hand = lw_scalp_root(f->scalp, at).x >= 0 ? 1 : -1;
    f->strands.coil[i] = (lw_coil){0};
    if (all * edge > TURN) {
        double rise = fmax(FLATTEST, fabs(turn) / all);
        as_spring(r, rise);
        f->strands.coil[i] = (lw_coil){sqrt(1 - rise * rise) / all, copysign(all / rise, hand * turn)};
    } else {
        r->curl[0] = curl, r->curl[2] = hand * turn;
    }
}

void fall_make_hair(lw_fall *f, int i) {
    int at = f->strands.root[i];
    start b = start_of(f, at, length_of(f, at));
    f->hair[i].root = b.root;
    fall_size_hair(f, i);
    f->loose_at[i] = (float)f->hair[i].length;
    size_t nodes = (size_t)f->strands.nodes, first = (size_t)i * nodes;
    hold_up(f->frame + first, f->strands.nodes, &b);
    for (size_t j = 0; j < nodes; j++) f->strands.at[first + j] = b.root;
}

/* ---- all of them ---- */

/* Of all roots, evenly spread over their order: they stand in the order of a lattice, pair by pair of left
 * and right (roots.c), so that some of them lie about as evenly as all do. */
static int spread_root(int i, int some, int all) {
    int64_t pairs = (all + 1) / 2, kept = (some + 1) / 2;
    return some == all ? i : (int)(2 * (i / 2 * pairs / kept)) + i % 2;
}

lw_status fall_room_for(lw_fall *f, int count, const lw_fall_options *o, lw_error *error) {
    size_t n = (size_t)count, points = n * (size_t)o->nodes;
    f->strands = (lw_strands){.count = count, .nodes = o->nodes};
    f->strands.at = malloc(points * sizeof *f->strands.at);
    f->strands.root = malloc(sizeof *f->strands.root * n);
    f->strands.hairs = malloc(sizeof *f->strands.hairs * n);
    f->strands.coil = malloc(sizeof *f->strands.coil * n);
    f->hair = malloc(sizeof *f->hair * n);
    f->frame = malloc(sizeof *f->frame * points);
    f->held = o->goes_on ? malloc(sizeof *f->held * points) : NULL;
    f->loose_at = malloc(sizeof *f->loose_at * n);
    return f->strands.at && f->strands.root && f->strands.hairs && f->strands.coil && f->hair && f->frame &&
                   f->loose_at && (f->held || !o->goes_on)
               ? LW_OK
               : fail_memory(error, "fall");
}

void fall_drop_hairs(lw_fall *f) {
    free(f->strands.at);
    free(f->strands.root);
    free(f->strands.hairs);
    free(f->strands.coil);
    free(f->hair);
    free(f->frame);
    free(f->held);
    free(f->loose_at);
}

static void report(lw_fall *f) {
    f->report.not_at_rest = 0;
    for (int i = 0; i < f->strands.count; i++) {
        f->report.rounds += f->hair[i].rounds;
        f->report.not_at_rest += !f->hair[i].at_rest;
    }
}

lw_status fall_let(lw_fall *f, const lw_fall_options *o, const room *filled, int rounds, lw_error *error) {
    int count = f->strands.count;
    rods_job job = {.count = count,
                    .nodes = f->strands.nodes,
                    .hair = f->hair,
                    .frame = f->frame,
                    .at = f->strands.at,
                    .ground = f->ground,
                    .room = filled,
                    .held = f->held,
                    .iterations = rounds,
                    .rough = !filled && o->packings > 0 ? ROUGH : 0,
                    .threads = f->threads};
    for (int first = 0; first < count; first += BLOCK) {
        int past = count - first < BLOCK ? count : first + BLOCK;
        rods_rest(&job, first, past);
        if (o->progress && !o->progress(o->context, (f->passes + (double)past / count) / (1 + o->packings)))
            return fail(error, LW_ERROR_STOPPED, "fall", "Start it again.", "stopped after %d of %d hairs",
                        past, count);
    }
    f->passes++;
    report(f);
    return LW_OK;
}

lw_status fall_alone(lw_fall *f, const lw_fall_options *o, const room_options *grid, lw_error *error) {
    f->made = 0, f->tight = false, f->report.left = o->packings;
    lw_status status = fall_let(f, o, NULL, o->rounds, error);
    int parts = o->parts ? o->parts - 1 : o->packings;
    return status ? status : fall_make_room(f, NULL, o, parts, grid, fall_let, error);
}

lw_status fall_new_on(lw_fall **out, const lw_scalp *scalp, const double *length, const lw_plan *plan,
                      const lw_fall_options *options, const room_options *grid, lw_error *error) {
    *out = NULL;
    lw_fall_options own = options ? *options : lw_fall_default();
    lw_status status = fall_check(&own, error);
    if (!status) status = fall_check_lengths(length, lw_scalp_count(scalp), error);
    if (status) return status;
    lw_fall *f = calloc(1, sizeof *f);
    if (!f) return fail_memory(error, "fall");
    f->length = length, f->scalp = scalp;
    f->threads = threads_of(own.threads);
    status = fibre_of(&f->fibre, &plan->hair, &plan->worn, error);
    if (!status) status = worn_make(&f->worn, f->scalp, &plan->hair, &plan->worn, error);
    ground_options spacing = ground_default();
    if (!status) status = ground_new(&f->ground, scalp->head, &spacing, error);
    int all = lw_scalp_count(f->scalp), some = own.hairs && own.hairs < all ? own.hairs : all;
    if (!status) status = fall_room_for(f, some, &own, error);
    if (!status) {
        int count = f->strands.count, threads = f->threads;
        (void)threads;
#pragma omp parallel for schedule(static) num_threads(threads)
        for (int i = 0; i < count; i++) {
            f->strands.root[i] = spread_root(i, some, all);
            f->strands.hairs[i] = lw_scalp_weight(f->scalp, f->strands.root[i]) * all / some;
            fall_make_hair(f, i);
        }
        status = fall_alone(f, &own, grid, error);
    }
    if (status) {
        lw_fall_free(f);
        return status;
    }
    *out = f;
    return LW_OK;
}

lw_status lw_fall_new(lw_fall **out, const lw_scalp *scalp, const double *length, const lw_plan *plan,
                      const lw_fall_options *options, lw_error *error) {
    room_options grid = room_default();
    return fall_new_on(out, scalp, length, plan, options, &grid, error);
}

void lw_fall_free(lw_fall *f) {
    if (!f) return;
    fall_drop_hairs(f);
    ground_free(f->ground);
    free(f);
}

const lw_strands *lw_fall_strands(const lw_fall *fall) { return &fall->strands; }
lw_fall_report lw_fall_tell(const lw_fall *fall) { return fall->report; }
double lw_fall_section(const lw_fall *fall) { return fall->fibre.area / fall->fibre.hairs; }
