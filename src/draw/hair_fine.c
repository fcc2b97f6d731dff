/* Strands as the many fine hairs they stand for.
 *
 * A few thousand strands are computed, each for a number of real hairs, and a head shows a hundred thousand.
 * A fine hair stands somewhere between its strand and one of the strands that grow next to it, as long as the
 * two go the same way for their whole length: never across a parting, nor from a long layer to a short one.
 * It wavers a little, ends a little early, and lies a little above its strand, in part together with the
 * hairs of its lock, all drawn from hashes of the strand, its own number and its lock: the same strands give
 * the same hairs, and a strand that moves takes them along.
 *
 * How many there are follows from how fine a picture can be: all of them together cover what the real hairs
 * would. Between the nodes of a strand they run as Catmull-Rom splines (1974). */
#include "hair_fine.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "hair_bend.h"
#include "hair_near.h"
#include "vec.h"

#define HAIR_WIDTH 75e-6 /* metres: a section of 4500 um^2 (means of three groups, TRI: 4079 to 5063) */
#define TURN_MOST .25    /* radians from point to point, about; of tight curls, WINDING */
#define WINDING .6
#define LOCK .005    /* metres across, at the roots */
#define FOLLOWS .006 /* metres from its leader, at most */

enum { POINTS_MAX = 512, FINE_MAX = 400000 };

static double length_of(const lw_vec3 *p, int n) {
    double sum = 0;
    for (int k = 1; k < n; k++) sum += v3_norm(v3_sub(p[k], p[k - 1]));
    return sum;
}

/* Whether hairs between the two are like both. */
static bool goes_along(const lw_vec3 *a, const lw_vec3 *b, int n, double apart) {
    double la = length_of(a, n), lb = length_of(b, n);
    if (fabs(la - lb) > .12 * fmax(la, lb) + .002) return false;
    for (int k = 0; k < n; k++)
        if (v3_norm(v3_sub(a[k], b[k])) > 2.2 * apart + .003) return false;
    return true;
}

/* ---- one hair ---- */

typedef struct maker {
    const lw_strands *strands;
    const hair_fine_options *options;
    hair_roots roots;
    double share; /* fine hairs for each real one */
} maker;

static const lw_vec3 *nodes_of(const lw_strands *s, int i) { return s->at + (size_t)i * (size_t)s->nodes; }

/* How many of them a strand becomes: what is left of a whole one is drawn by lot. */
static int children_of(const maker *m, int i) {
    if (m->options->plain) return 1;
    chance c = {stir((uint64_t)m->strands->root[i] * 2 + 1)};
    double wanted = m->strands->hairs[i] * m->share;
    return (int)floor(fmin(fmax(wanted, 0), FINE_MAX) + draw(&c));
}

static double turning(const lw_vec3 *p, int n) {
    double turn = 0;
    for (int k = 1; k + 1 < n; k++)
        turn += v3_norm(v3_sub(v3_unit(v3_sub(p[k + 1], p[k])), v3_unit(v3_sub(p[k], p[k - 1]))));
    return turn;
}

static lw_coil coil_of(const lw_strands *s, int i) { return s->coil ? s->coil[i] : (lw_coil){0}; }

/* 0 straight to 1 in ringlets: a hair that falls and lies turns by no more than half a turn or so. */
static double curl_of(double turn, lw_coil coil) {
    return coil.radius > 0 ? 1 : fmin(1, fmax(0, (turn - 4) / 6));
}

/* Enough for its length, for its bends and for what winds. */
static int points_of(const maker *m, int i) {
    int n = m->strands->nodes;
    const lw_vec3 *p = nodes_of(m->strands, i);
    double length = length_of(p, n), turn = turning(p, n);
    lw_coil coil = m->options->plain ? (lw_coil){0} : coil_of(m->strands, i);
    double each = TURN_MOST + (WINDING - TURN_MOST) * curl_of(turn, coil);
    double winds = coil.radius > 0 ? length * fabs(coil.turn) : 0;
    double wanted = ceil(fmax(length / m->options->step, (turn + winds) / each)) + 1;
    return (int)fmin(fmax(wanted, n < 3 ? 2 : 3), POINTS_MAX);
}

/* Hairs that grow in one cell of space; a few near its edge go with the next. */
static chance lock_of(const chance *c, lw_vec3 root) {
    chance stray = {stir(c->state ^ 0x5bd1e995u)};
    double x = root.x / LOCK + .4 * draw_signed(&stray), y = root.y / LOCK + .4 * draw_signed(&stray),
           z = root.z / LOCK + .4 * draw_signed(&stray);
    uint64_t key = (uint64_t)(long)floor(x) * 73856093u ^ (uint64_t)(long)floor(y) * 19349663u ^
                   (uint64_t)(long)floor(z) * 83492791u;
    return (chance){stir(key)};
}

static uint64_t rank(const lw_strands *s, int i) { return stir((uint64_t)s->root[i] ^ 0x9E3779B9u); }

/* Of a strand and those next to it that go its way, the one drawn by lot. */
static int next_leader(const lw_strands *s, int i, const hair_near *around, const bool *fits) {
    int best = i;
    for (int k = 0; k < around->count; k++)
        if (fits[k] && around->apart[k] < FOLLOWS && rank(s, around->strand[k]) < rank(s, best))
            best = around->strand[k];
    return best;
}

static void find_fits(bool *fits, const lw_strands *s, int i, const hair_near *around) {
    for (int k = 0; k < around->count; k++)
        fits[k] = goes_along(nodes_of(s, i), nodes_of(s, around->strand[k]), s->nodes, around->apart[k]);
}

/* Leaders follow others: curls draw together from farther. */
static int leader_of(const maker *m, int i, int hops, const hair_near *around, const bool *fits) {
    const lw_strands *s = m->strands;
    int at = next_leader(s, i, around, fits);
    for (int k = 1; k < hops; k++) {
        hair_near next_to = hair_near_of(&m->roots, at);
        bool go[NEIGHBOURS];
        find_fits(go, s, at, &next_to);
        int next = next_leader(s, at, &next_to, go);
        double apart = v3_norm(v3_sub(nodes_of(s, next)[0], nodes_of(s, i)[0]));
        if (next == at || apart > FOLLOWS || !goes_along(nodes_of(s, i), nodes_of(s, next), s->nodes, apart))
            break;
        at = next;
    }
    return at;
}

/* All the fine hairs of strand i; node[nodes] is scratch. */
static void make(hair_fine *f, const maker *m, int i, int from, int count, lw_vec3 *node) {
    const lw_strands *s = m->strands;
    const lw_vec3 *own = nodes_of(s, i);
    bool plain = m->options->plain, fits[NEIGHBOURS];
    hair_near around = plain ? (hair_near){0} : hair_near_of(&m->roots, i);
    find_fits(fits, s, i, &around);
    double curl = curl_of(turning(own, s->nodes), coil_of(s, i));
    int leader = plain ? i : leader_of(m, i, curl > .5 ? 3 : 1, &around, fits);
    hair_course course = {.nodes = s->nodes,
                          .own = own,
                          .leader = nodes_of(s, leader),
                          .length = length_of(own, s->nodes),
                          .apart = around.count ? around.apart[around.count / 2] : .001,
                          .curl = curl,
                          .coil = coil_of(s, i),
                          .centre = m->options->centre};
    for (int j = 0; j < count; j++) {
        chance c = {stir(((uint64_t)s->root[i] << 20) + (uint64_t)j)};
        f->tint[from + j] = (float)draw(&c);
        chance lock = curl > .5 ? (chance){rank(s, leader)} : lock_of(&c, own[0]);
        f->lock[from + j] = plain ? .5f : (float)draw(&lock);
        int pick = around.count ? (int)(draw(&c) * around.count) : -1;
        course.other = pick >= 0 && fits[pick] ? nodes_of(s, around.strand[pick]) : own;
        hair_point *to = f->at + f->first[from + j];
        int points = f->first[from + j + 1] - f->first[from + j];
        if (plain)
            hair_bend_plain(to, points, &course, &m->options->seen);
        else
            hair_bend(to, points, &course, c, lock, &m->options->seen, node);
    }
}

/* ---- all of them ---- */

static double all_hairs(const lw_strands *s) {
    double sum = 0;
    for (int i = 0; i < s->count; i++) sum += s->hairs[i];
    return sum;
}

/* Fills begin[count + 1], the first fine hair of each strand, and makes room for them and their points. */
static bool make_room(hair_fine *f, int32_t *begin, const maker *m) {
    const lw_strands *s = m->strands;
    begin[0] = 0;
    for (int i = 0; i < s->count; i++) begin[i + 1] = begin[i] + children_of(m, i);
    f->count = begin[s->count];
    f->first = malloc(((size_t)f->count + 1) * sizeof *f->first);
    f->tint = malloc(((size_t)f->count + 1) * sizeof *f->tint);
    f->lock = malloc(((size_t)f->count + 1) * sizeof *f->lock);
    if (!f->first || !f->tint || !f->lock) return false;
    f->first[0] = 0;
    for (int i = 0; i < s->count; i++) {
        int points = points_of(m, i);
        for (int j = begin[i]; j < begin[i + 1]; j++) f->first[j + 1] = f->first[j] + points;
    }
    f->at = malloc(((size_t)f->first[f->count] + 1) * sizeof *f->at);
    return f->at != NULL;
}

static int fill(hair_fine *f, const maker *m, const int32_t *begin) {
    int failed = 0;
#pragma omp parallel reduction(+ : failed)
    {
        lw_vec3 *node = malloc((size_t)m->strands->nodes * sizeof *node);
        failed = !node;
#pragma omp for schedule(dynamic, 64)
        for (int i = 0; i < m->strands->count; i++)
            if (node) make(f, m, i, begin[i], begin[i + 1] - begin[i], node);
        free(node);
    }
    return failed;
}

void hair_fine_bound(hair_fine *f) {
    int n = f->first[f->count];
    f->low = f->high = n ? f->at[0] : (hair_point){0, 0, 0};
    for (int i = 1; i < n; i++) {
        hair_point p = f->at[i];
        f->low.x = p.x < f->low.x ? p.x : f->low.x, f->high.x = p.x > f->high.x ? p.x : f->high.x;
        f->low.y = p.y < f->low.y ? p.y : f->low.y, f->high.y = p.y > f->high.y ? p.y : f->high.y;
        f->low.z = p.z < f->low.z ? p.z : f->low.z, f->high.z = p.z > f->high.z ? p.z : f->high.z;
    }
}

lw_status hair_fine_new(hair_fine *out, const lw_strands *strands, const hair_fine_options *options,
                        lw_error *error) {
    *out = (hair_fine){0};
    double hairs = all_hairs(strands);
    maker m = {.strands = strands, .options = options};
    m.share = fmin(fmin(1, HAIR_WIDTH / options->sample), FINE_MAX / fmax(hairs, 1));
    out->width = HAIR_WIDTH / m.share;
    int32_t *begin = malloc(((size_t)strands->count + 1) * sizeof *begin);
    bool fine = begin && hair_roots_new(&m.roots, strands) && make_room(out, begin, &m);
    if (fine) fine = !fill(out, &m, begin);
    if (fine) hair_fine_bound(out);
    hair_roots_clear(&m.roots);
    free(begin);
    if (fine) return LW_OK;
    hair_fine_clear(out);
    return fail_memory(error, "hairs");
}

void hair_fine_clear(hair_fine *f) {
    free(f->first);
    free(f->at);
    free(f->tint);
    free(f->lock);
    *f = (hair_fine){0};
}
