/* Many hairs brought to rest at once: the energy of rod_energy.c, minimised as rod.c does it, with everything
 * laid out for speed.
 *
 * STEP_LANES hairs go side by side through the same arithmetic without branches: a pose, in doubles and so by
 * halves (rods_pose.h), then a step of Newton's method from there, in floats (rods_step.c). What differs from
 * hair to hair is decided here, in numbers: each has its share of its step, and the place of a hair that has
 * come to rest is taken by the next one. A pose is taken only where the energy fell; where it did not, less
 * of the step is tried, and the next steps grow from there.
 *
 * While the hair is far from rest, the second variation leaves out what makes it indefinite: the way is then
 * that of a lever, not of a pendulum. A hair is at rest where a step with the whole of it, positive definite,
 * turns no node by more than the next would show; so rest is a minimum and no saddle. The last step may be
 * found with the second variation of the step before: such rounds need slopes alone, and hairs that need more
 * wait for those that do not. */
#include "rods.h"

#include "rods_pose.h"
#include "vec.h"

#ifdef RODS_EXACT
#define EXACT true
#define RODS_ALL RODS_NAMED(rods_exact)
#else
#define EXACT false
#define RODS_ALL RODS_NAMED(rods_some)
#endif

#define STRIDE .9     /* radians: no node turns by more in a step */
#define RESTED 1e-6   /* radians: what the step after the last would turn a node by, as they shrink */
#define NEARLY 1e-3   /* radians: steps as short as this may be the last */
#define STILL 2e-5    /* radians: steps as short as this end near a minimum or a saddle */
#define NEAR .35      /* radians: steps smaller than this take the whole second variation */
#define SHORTER .3    /* where the energy does not fall, so much of the step is tried next */
#define SHORTEST 1e-7 /* of a step */
#define DELICATE 1e7  /* stiffest over softest, from which on floats would not hold */
#define FLOOR 1e-3    /* least pivot over the fibre's own */
#define PUSHES 4      /* off saddles */
#define SETTLED .03   /* radians: from a step as short as this on friction holds as hard as it did then */
#define FIRMER 8      /* times as firm, where hair presses harder than the ground can push */
#define FIRMINGS 4    /* at most so often */
#define AFRESH 8      /* times that a pose is looked at afresh */
#define PATIENCE 100  /* rounds after which friction holds as hard as it did then, come what may */
#define LEAP .05      /* radians: shorter steps off a saddle grow */
#define GROW 2        /* after a step that led down, the next may be so much longer than it was */
#define CHORD .05     /* radians: after a step as short as this the second variation may serve once more */
#define CURVES .15    /* of a step squared, radians: what the next is on the whole, but for the ground, */
#define MISSES .3     /* and of what ground and friction miss: what it is for them */
#define SURELY 8      /* times such a guess: hardly ever more */

typedef enum lane_state { IDLE, FRESH, GOING, LAST } lane_state;

typedef struct lane_of {
    int hair, rounds, pushes, firmed, afresh, leaps;
    double turned; /* by the whole step, radians */
    double before; /* by the last step, if none of it was left out */
    double guess;  /* and what the one after that was thought to turn a node by */
    lane_state state;
    bool newton; /* the last step was Newton's */
    bool chord;  /* the next step is to be with the second variation that there is */
    bool stuck, unsure, still, push;
    bool lost; /* no step leads on from where it is */
} lane_of;

static void set4(lanes4 *to, int l, const double q[4]) {
    to->w[l] = q[0], to->v.x[l] = q[1], to->v.y[l] = q[2], to->v.z[l] = q[3];
}

static void set3(lanes3 *to, int l, double x, double y, double z) {
    to->x[l] = x, to->y[l] = y, to->z[l] = z;
}

/* A frame, its sign continuing that of the node before, which is in q. */
static void take_frame(double q[4], const float from[4]) {
    double p[4] = {from[0], from[1], from[2], from[3]}, square = 0, with = 0;
    for (int k = 0; k < 4; k++) square += p[k] * p[k], with += p[k] * q[k];
    if (!(square > 1e-12 && square < 1e12)) return; /* no rotation: that of the node before */
    double over = square - 1;
    double one = fabs(over) < 1e-6 ? 1 - (.5 - .375 * over) * over : 1 / sqrt(square);
    if (with < 0) one = -one;
    for (int k = 0; k < 4; k++) q[k] = p[k] * one;
}

static double larger_of(double a, double b) { return a > b ? a : b; }
static double within(double x, double low, double high) { return x >= low ? fmin(x, high) : low; }
static double number(double x, double most) { return isfinite(x) ? within(x, -most, most) : 0; }

/* What a hair is taken for: each value the nearest that lw_rod allows, so that its energy is finite in every
 * pose. */
static rods_hair sound(const rods_hair *r, int nodes) {
    rods_hair s = *r;
    s.length = within(r->length, 1e-4, 10);
    s.weight = within(r->weight, 0, 1e3);
    double stiff = within(fmax(fmax(r->bend[0], r->bend[1]), r->twist), 1e-20, 1e3);
    double limp = s.weight * s.length * s.length * s.length * 1e-9, low = fmax(1e-6 * stiff, limp);
    for (int k = 0; k < 2; k++) s.bend[k] = within(r->bend[k], low, 1e3);
    s.twist = within(r->twist, low, 1e3);
    for (int k = 0; k < 3; k++) s.curl[k] = number(r->curl[k], 2 * (nodes - 1) / s.length);
    s.clear = within(r->clear, 1e-7, 1);
    s.press = within(r->press, 0, 1e3);
    s.friction = within(r->friction, 0, 1e3);
    s.section = within(r->section, 0, 1);
    s.root = v3(number(r->root.x, 1e6), number(r->root.y, 1e6), number(r->root.z, 1e6));
    return s;
}

/* N/m, where a node is as deep as the skin. */
static double ground_stiffness(const rods_hair *r, double edge) {
    double most = fmax(r->bend[0], r->bend[1]);
    return 2 * (r->press * most / (edge * edge) + r->weight * r->length) / r->clear;
}

/* Whether the ground to a hair as a whole, or its section, is too stiff for the softest that it has. */
static bool is_delicate(const rods_hair *r, int nodes) {
    double stiff = fmax(fmax(r->bend[0], r->bend[1]), r->twist),
           soft = fmin(fmin(r->bend[0], r->bend[1]), r->twist);
    double edge = r->length / (nodes - 1), presses = ground_stiffness(r, edge) * r->length * r->length;
    return fmax(stiff, presses * edge) > DELICATE * soft;
}

static void take_rod(hairs *h, int l, const rods_hair *r) {
    double edge = r->length / (h->nodes - 1), one = edge / r->bend[0];
    h->edge[l] = edge, h->unit[l] = r->bend[0] / edge;
    h->bend2[l] = r->bend[1] / r->bend[0], h->twist[l] = r->twist / r->bend[0];
    h->curl1[l] = r->curl[0] * edge, h->curl2[l] = r->curl[1] * edge, h->curl3[l] = r->curl[2] * edge;
    h->load[l] = r->weight * edge * one;
    h->skin[l] = r->clear, h->per_skin[l] = 1 / r->clear;
    h->drag[l] = r->friction;
    h->section[l] = r->section * one;
    h->tied[l] = r->loose ? 0 : 1;
    h->stiff[l] = ground_stiffness(r, edge) * one;
    h->least[l] = FLOOR * fmin(1, fmin(h->bend2[l], h->twist[l]));
    set3(&h->root, l, r->root.x, r->root.y, r->root.z);
}

/* A hair that goes on lies near where it rested: on ground as firm, held by friction as it was. How far it
 * was dragged is known now, what from when its places are. */
static void go_on(hairs *h, lane_of *of, const rods_job *job, int l) {
    int firmed = job->hair[of->hair].firmed;
    h->near[l] = 1;
    while (of->firmed < FIRMINGS && of->firmed < firmed) h->stiff[l] *= FIRMER, of->firmed++;
    for (int i = 1; job->held && i < job->nodes; i++) {
        hairs_node *n = &h->node[i];
        const float *held = job->held[(size_t)of->hair * (size_t)job->nodes + (size_t)i];
        if (!(held[3] >= 0)) continue;
        set3(&n->anchor, l, -held[0], -held[1], -held[2]);
        n->grip[l] = held[3] / h->unit[l], n->down[l] = 1;
        n->held |= held[3] > 0;
    }
}

static void take(hairs *h, lane_of *of, const rods_job *job, int l, int index, const rods_hair *r) {
    take_rod(h, l, r);
    *of = (lane_of){.hair = index, .state = FRESH};
    h->share[l] = h->near[l] = h->lowest[l] = h->settled[l] = 0;
    h->stride[l] = STRIDE;
    h->arrived[l] = -1;
    double q[4] = {1, 0, 0, 0};
    for (int i = 0; i < job->nodes; i++) {
        hairs_node *n = &h->node[i];
        take_frame(q, job->frame[(size_t)index * (size_t)job->nodes + (size_t)i]);
        set4(&n->frame, l, q);
        n->away[l] = NAN; /* never looked up */
        n->grip[l] = n->down[l] = 0;
    }
    if (r->goes_on) go_on(h, of, job, l);
}

static void tell_hold(float held[4], const hairs_node *n, int l, lw_vec3 at, double unit) {
    held[0] = (float)(at.x - n->anchor.x[l]), held[1] = (float)(at.y - n->anchor.y[l]);
    held[2] = (float)(at.z - n->anchor.z[l]);
    held[3] = n->down[l] != 0 || n->grip[l] > 0 ? (float)(n->grip[l] * unit) : -1;
}

/* Where the nodes are after the last step. */
static void land(hairs *h) {
    for (int i = 1; i < h->nodes; i++) {
        const hairs_node *from = &h->node[i - 1];
        hairs_node *to = &h->node[i];
        to->at = along(from->at, tangent_between(from->frame, to->frame), h->edge);
    }
}

static void put(const hairs *h, const lane_of *of, const rods_job *job, int l) {
    rods_hair *r = &job->hair[of->hair];
    r->rounds = (int16_t)of->rounds;
    r->at_rest = !of->stuck;
    r->straightened = of->pushes > 0;
    r->firmed = (int16_t)of->firmed;
    size_t first = (size_t)of->hair * (size_t)job->nodes;
    double moved = 0;
    for (int i = 0; i < job->nodes; i++) {
        const hairs_node *n = &h->node[i];
        const lanes4 *f = &n->frame;
        float *q = job->frame[first + (size_t)i];
        q[0] = (float)f->w[l], q[1] = (float)f->v.x[l], q[2] = (float)f->v.y[l], q[3] = (float)f->v.z[l];
        lw_vec3 at = v3(n->at.x[l], n->at.y[l], n->at.z[l]);
        lw_vec3 *to = &job->at[first + (size_t)i], from = v3_sub(*to, at);
        moved = larger_of(moved, v3_dot(from, from));
        *to = at;
        if (job->held) tell_hold(job->held[first + (size_t)i], n, l, at, h->unit[l]);
    }
    r->moved = (float)sqrt(moved);
}

/* ---- taking poses ---- */

/* Whether lane l has a part in this round. */
static bool takes_part(const hairs *h, const lane_of *of) {
    return of->state != IDLE && h->whole != of->chord;
}

/* The pose is taken where the energy fell. */
static void judge(hairs *h, const lane_of *of) {
    lanes size = either(h->lowest < 0, -h->lowest, h->lowest);
    lanes slack = 1e-13 * (size + h->load * h->edge * ((double)h->nodes * h->nodes));
    h->better = h->energy <= h->lowest + slack;
    for (int l = 0; l < LANES; l++)
        if (!takes_part(h, &of[l]))
            h->better[l] = 0;
        else if (of[l].state == FRESH)
            h->better[l] = -1;
}

/* What touches at the poses that are better is held by friction from now on, as hard as it presses. */
static void take_hold(hairs *h) {
    h->lowest = either(h->better, h->energy, h->lowest);
    for (int i = 1; i < h->nodes; i++) {
        hairs_node *n = &h->node[i];
        if (!n->held && !n->pressed) continue;
        lanes spread = n->held ? n->spread : spread_of(n), far = spread - SLIP;
        lanes_mask touching = n->press > 0, comes = h->better & touching & (n->down == 0);
        lanes grip = either(h->better & (h->settled == 0), h->drag * n->press, n->grip);
        n->anchor = either3(comes, n->at, n->anchor);
        n->spread = either(comes, all(SLIP), spread);
        h->lowest += either(comes, (lanes){0}, grip * far) - n->grip * far;
        n->grip = grip;
        n->down = either(h->better, where(touching, all(1)), n->down);
        n->held = any(grip > 0);
        n->touches |= n->held;
    }
}

/* A frame, turned by twice u. */
INLINE lanes4 turned(lanes4 from, lanes3 u) {
    lanes3 v = along(add(from.v, cross(u, from.v)), u, from.w);
    lanes w = from.w - dot(u, from.v), one = 1 / root_of(w * w + dot(v, v));
    return (lanes4){w * one, times(v, one)};
}

/* The poses that are better are taken, with the steps from them; then goes on by `share` of those. */
static void go(hairs *h, const step *s) {
    lanes3 none = {{0}, {0}, {0}};
    lanes half = .5 * h->share;
    for (int i = 1; i < h->nodes; i++) {
        hairs_node *n = &h->node[i];
        lanes4 from = {either(h->better, n->frame.w, n->taken.w), either3(h->better, n->frame.v, n->taken.v)};
        lanes3 turn =
            either3(h->better, either3(h->steps, half_at3(&s->node[i].turn, h->half), none), n->turn);
        n->taken = from, n->turn = turn;
        n->frame = turned(from, times(turn, half));
    }
}

/* Off a saddle: a little turn to a side that depends on nothing but the node. */
static void push(hairs *h, step *s, int l) {
    int both = h->half * LANES + l;
    for (int i = 1; i < h->nodes; i++) {
        step_lanes3 *turn = &s->node[i].turn;
        turn->x[both] = (step_lane)(1e-3 * i / h->nodes);
        turn->y[both] = (step_lane)2e-4;
        turn->z[both] = (step_lane)(-1.7e-3 * i / h->nodes);
    }
    h->share[l] = 1, h->steps[l] = -1;
    h->lowest[l] += 1e-3 * fabs(h->lowest[l]) + 1e-4;
}

/* ---- what each hair does next ---- */

/* The pose is no better: a shorter step. Where none is short enough, the pose that was taken is looked at
 * afresh, since its energy may not be what it was: ground that is far off is known roughly. */
static void come_back(hairs *h, lane_of *of, int l) {
    h->share[l] *= SHORTER;
    h->stride[l] = of->turned * h->share[l];
    if (h->share[l] < .05) h->near[l] = 0;
    if (h->share[l] >= SHORTEST) return;
    h->share[l] = 0;
    if (of->afresh++ < AFRESH)
        of->state = FRESH;
    else
        of->state = LAST, of->stuck = of->lost = true;
}

/* Whether a node lies inside, where the ground could not push it out. */
static bool sinks(const hairs *h, int l) {
    double most = .5 * h->stiff[l] * h->skin[l];
    for (int i = 1; i < h->nodes; i++)
        if (h->node[i].press[l] > most) return true;
    return false;
}

/* The hair is at rest, or goes on on firmer ground. */
static void end(hairs *h, lane_of *of, int l) {
    if (of->firmed == FIRMINGS || !sinks(h, l)) {
        of->state = LAST;
        return;
    }
    h->stiff[l] *= FIRMER;
    of->firmed++;
    of->still = false;
    of->state = FRESH;
    h->share[l] = 0;
}

/* Near a saddle a step without what makes it indefinite leads down, but hardly: each such step in a row goes
 * twice as far. */
static void leap(hairs *h, lane_of *of, int l, bool unsure, double near) {
    double most = h->most[l];
    if (unsure) return;
    if (near >= 1 || most > LEAP)
        of->leaps = 0;
    else if (of->unsure)
        of->leaps++;
    if (of->leaps > 2) h->share[l] = fmin(h->stride[l] / most, ldexp(1, of->leaps < 12 ? of->leaps - 2 : 10));
}

/* By how much the step after this one would turn a node, this one by Newton's method turning it by `most`.
 * Near rest they shrink by the square of what the last shrank by. Ground and friction can spoil that, so it
 * is no less than what is guessed from them, as far off as the last guess was, twice over. */
static double after_newton(const lane_of *of, double most, double guess) {
    if (!(of->before > 0)) return fmin(most, SURELY * guess);
    double rate = fmin(1, most / of->before), off = of->newton ? 2 * most / of->guess : SURELY;
    return fmin(most, fmax(most * rate * (of->newton ? rate : 1), guess * fmin(SURELY, off)));
}

/* The same after one with an old second variation: the first such misses by twice what Newton's did, those
 * after it evenly. */
static double after_chord(const lane_of *of, double most) {
    double rate = of->before > 0 ? most / of->before : 1;
    return most * fmin(1, of->newton ? 2 * rate : rate);
}

/* Whether after a step by Newton's method one more is enough, with the second variation that there is. */
static bool last_but_one(double most, double guess) {
    return most < CHORD && 2 * guess * guess < RESTED * most;
}

/* Whether the hair is at rest after this step, which is taken. */
static bool rests(const rods_job *job, double most, double next) {
    return most < job->rough || (most < NEARLY && next < RESTED);
}

/* What lane l does next, its pose and the step from there being known. A step whose second variation has a
 * pivot that is not above zero is not taken, nor one that is no number: the next is found without what can
 * make one. Where that step is none, the pose is a saddle; where it is no number, the hair is lost. */
static void decide(hairs *h, lane_of *of, int l, const rods_job *job) {
    double most = h->most[l], near = h->near[l];
    bool over = ++of->rounds >= job->iterations, astray = !isfinite(most), chord = of->chord;
    bool unsure = near > 0 && (astray || h->sure[l] == 0);
    h->steps[l] = 0;
    of->push = of->chord = false;
    if (astray && !unsure && !over && h->better[l]) over = of->lost = true;
    if (over) of->state = LAST, of->stuck = true;
    if (!h->better[l]) {
        if (over)
            h->share[l] = 0;
        else
            come_back(h, of, l);
        return;
    }
    h->steps[l] = -!(unsure || astray);
    h->near[l] = unsure                     ? (near > .2 ? .6 * near : 0)
                 : most >= NEAR             ? 0
                 : of->unsure && most > .01 ? fmin(1, 1.3 * near + .1)
                                            : 1;
    if (of->state == GOING && h->share[l] > 0) h->stride[l] = fmin(STRIDE, GROW * h->stride[l]);
    h->share[l] = unsure ? 0 : most > h->stride[l] ? h->stride[l] / most : 1;
    if ((most < SETTLED && !unsure) || of->rounds > PATIENCE) h->settled[l] = 1;
    leap(h, of, l, unsure, near);
    of->turned = astray ? 0 : most;
    if (over) {
        h->share[l] = 0;
        return;
    }
    of->state = GOING;
    bool sure = near >= 1 && !unsure, all_of_it = h->share[l] == 1;
    double guess = MISSES * h->missed[l] + CURVES * most * most;
    double next = chord ? after_chord(of, most) : after_newton(of, most, guess);
    bool enough = sure && rests(job, most, next), one_more = next < NEARLY && next * next < RESTED * most;
    of->chord = sure && all_of_it && !enough && (chord ? one_more : last_but_one(most, guess));
    of->before = all_of_it ? most : 0;
    of->newton = sure && !chord;
    of->guess = guess;
    if (enough) {
        end(h, of, l);
        return;
    }
    of->push = unsure && of->still && of->pushes++ < PUSHES;
    of->still = !unsure && most < STILL;
    of->unsure |= unsure;
}

typedef struct queue {
    int next, past, going;
    bool delicate; /* some hair is left to be found in doubles */
} queue;

/* The next that is not at rest. Delicate hair is left for the steps in doubles, which take no other. */
static void take_next(hairs *h, lane_of *of, const rods_job *job, int l, queue *q) {
    while (q->next < q->past) {
        int index = q->next++;
        rods_hair *given = &job->hair[index], r = sound(given, job->nodes);
        if (given->goes_on && given->at_rest) continue;
        if (!EXACT) given->exact = is_delicate(&r, job->nodes);
        q->delicate |= given->exact;
        if (given->exact != EXACT) continue;
        take(h, of, job, l, index, &r);
        q->going++;
        return;
    }
}

/* Whether no hair goes on from these poses: then no step need be found. */
static bool all_over(const hairs *h, const lane_of *of, int limit) {
    for (int l = 0; l < LANES; l++)
        if (takes_part(h, &of[l]) && of[l].rounds + 1 < limit) return false;
    return true;
}

/* The hairs of one step: two halves, side by side there. */
enum { HALVES = STEP_LANES / LANES, PLACES = STEP_LANES };

/* Whether the next round is a whole one, in which new hairs take the places of those at rest: while any hair
 * needs slopes alone, the others wait. */
static bool begin_round(hairs *half, lane_of *of, const rods_job *job, queue *q) {
    bool whole = true;
    for (int k = 0; k < PLACES; k++) whole &= of[k].state == IDLE || !of[k].chord;
    for (int k = 0; k < PLACES && whole; k++)
        if (of[k].state == IDLE) take_next(&half[k / LANES], &of[k], job, k % LANES, q);
    for (int k = 0; k < HALVES; k++) half[k].whole = whole;
    return whole;
}

static bool has_part(const hairs *h, const lane_of *of) {
    for (int l = 0; l < LANES; l++)
        if (takes_part(h, &of[l])) return true;
    return false;
}

/* Looks at the poses, and puts down what a step from there needs. */
static void look(hairs *h, step *s, const lane_of *of, const rods_job *job) {
    pose(h, s, job->ground, job->room);
    judge(h, of);
    take_hold(h);
    slopes(s, h);
}

/* Goes on by the step, or lands. */
static void follow(hairs *h, step *s, lane_of *of, const rods_job *job, queue *q) {
    h->most = half_at(&s->most, h->half);
    h->sure = half_at(&s->sure, h->half);
    h->missed = half_at(&s->missed, h->half);
    for (int l = 0; l < LANES; l++)
        if (takes_part(h, &of[l])) decide(h, &of[l], l, job);
    for (int l = 0; l < LANES; l++)
        if (of[l].push) push(h, s, l), of[l].push = false;
    go(h, s);
    bool lands = false;
    for (int l = 0; l < LANES; l++) lands |= of[l].state == LAST;
    if (lands) land(h);
    for (int l = 0; l < LANES; l++) {
        if (of[l].state != LAST) continue;
        if (of[l].lost && !EXACT)
            job->hair[of[l].hair].exact = q->delicate = true;
        else
            put(h, &of[l], job, l);
        of[l].state = IDLE;
        q->going--;
    }
}

static void forget_touch(step *s) {
    for (int i = 1; i < s->nodes; i++) s->node[i].touches = s->node[i].held = false;
}

void RODS_ALL(const rods_job *job, int first, int past) {
    bool grounded = job->ground != NULL, crowded = job->room != NULL;
    hairs half[HALVES];
    for (int k = 0; k < HALVES; k++)
        half[k] = (hairs){.nodes = job->nodes, .half = k, .grounded = grounded, .crowded = crowded};
    step s = {.nodes = job->nodes, .grounded = grounded, .crowded = crowded};
    lane_of of[PLACES] = {0};
    queue q = {.next = first, .past = past};
    for (;;) {
        bool whole = begin_round(half, of, job, &q), part[HALVES], over = true;
        if (!q.going) break;
        if (whole) forget_touch(&s);
        for (int k = 0; k < HALVES; k++) {
            part[k] = has_part(&half[k], of + k * LANES);
            if (!part[k]) continue;
            look(&half[k], &s, of + k * LANES, job);
            over &= all_over(&half[k], of + k * LANES, job->iterations);
        }
        if (!over) RODS_STEP(&s, whole);
        for (int k = 0; k < HALVES; k++)
            if (part[k]) follow(&half[k], &s, of + k * LANES, job, &q);
    }
    if (q.delicate && !EXACT) RODS_NAMED(rods_exact)(job, first, past);
}
