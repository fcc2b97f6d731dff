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
#include "vec.h"

#define HAIR_WIDTH 75e-6 /* metres: a section of 4500 um^2 (means of three groups, TRI: 4079 to 5063) */
#define TURN_MOST .2     /* radians from point to point, about */
#define LOCK .005        /* metres across, at the roots */
#define NEAR_MOST .012   /* metres: strands that grow farther apart are not neighbours */

enum { NEIGHBOURS = 5, POINTS_MAX = 512, FINE_MAX = 400000 };

/* ---- chance ---- */

static uint64_t stir(uint64_t x) { /* splitmix64: Steele and others 2014, doi 10.1145/2660193.2660195 */
    x += 0x9E3779B97F4A7C15u;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9u;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBu;
    return x ^ (x >> 31);
}

typedef struct chance {
    uint64_t state;
} chance;

static double draw(chance *c) { /* 0 to 1 */
    c->state = stir(c->state);
    return (double)(c->state >> 11) * 0x1p-53;
}

static double draw_signed(chance *c) { return 2 * draw(c) - 1; }

/* ---- neighbours ---- */

typedef struct roots {
    const lw_strands *strands;
    double cell;
    int buckets;
    int32_t *first, *member; /* strands of bucket b are member[first[b]] to member[first[b + 1]] */
} roots;

static lw_vec3 root_of(const lw_strands *s, int i) { return s->at[(size_t)i * (size_t)s->nodes]; }

static int bucket_of(const roots *r, long x, long y, long z) {
    uint64_t key = (uint64_t)x * 73856093u ^ (uint64_t)y * 19349663u ^ (uint64_t)z * 83492791u;
    return (int)(stir(key) % (uint64_t)r->buckets);
}

static long slot(const roots *r, double at) { return (long)floor(at / r->cell); }

static int home(const roots *r, int i) {
    lw_vec3 p = root_of(r->strands, i);
    return bucket_of(r, slot(r, p.x), slot(r, p.y), slot(r, p.z));
}

static bool roots_new(roots *r, const lw_strands *s) {
    /* A scalp is some 775 cm^2 (J Soc Cosmet Chem 28:222, 1977): a cell holds a handful. */
    *r = (roots){.strands = s, .cell = fmin(NEAR_MOST, 1.6 * sqrt(.0775 / s->count)), .buckets = s->count};
    r->first = calloc((size_t)r->buckets + 2, sizeof *r->first);
    r->member = malloc((size_t)s->count * sizeof *r->member);
    if (!r->first || !r->member) return false;
    for (int i = 0; i < s->count; i++) r->first[home(r, i) + 2]++;
    for (int b = 0; b < r->buckets; b++) r->first[b + 2] += r->first[b + 1];
    for (int i = 0; i < s->count; i++) r->member[r->first[home(r, i) + 1]++] = i;
    return true;
}

static void roots_clear(roots *r) {
    free(r->first);
    free(r->member);
}

typedef struct near {
    int count;
    int32_t strand[NEIGHBOURS];
    double apart[NEIGHBOURS]; /* metres, rising */
} near;

static void keep(near *n, int32_t strand, double apart) {
    int at = n->count < NEIGHBOURS ? n->count++ : NEIGHBOURS;
    for (; at > 0 && n->apart[at - 1] > apart; at--) {
        if (at == NEIGHBOURS) continue;
        n->strand[at] = n->strand[at - 1], n->apart[at] = n->apart[at - 1];
    }
    if (at < NEIGHBOURS) n->strand[at] = strand, n->apart[at] = apart;
}

/* Neighbouring cells may share a bucket: a strand counts once, in its own cell. */
static near neighbours_of(const roots *r, int i) {
    near out = {0};
    lw_vec3 p = root_of(r->strands, i);
    long x = slot(r, p.x), y = slot(r, p.y), z = slot(r, p.z);
    for (int k = 0; k < 27; k++) {
        long cx = x + k % 3 - 1, cy = y + k / 3 % 3 - 1, cz = z + k / 9 - 1;
        int b = bucket_of(r, cx, cy, cz);
        for (int32_t m = r->first[b]; m < r->first[b + 1]; m++) {
            lw_vec3 q = root_of(r->strands, r->member[m]);
            if (r->member[m] == i || slot(r, q.x) != cx || slot(r, q.y) != cy || slot(r, q.z) != cz) continue;
            double apart = v3_norm(v3_sub(p, q));
            if (apart < NEAR_MOST) keep(&out, r->member[m], apart);
        }
    }
    return out;
}

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
    roots roots;
    double share; /* fine hairs for each real one */
} maker;

/* How many of them a strand becomes: what is left of a whole one is drawn by lot. */
static int children_of(const maker *m, int i) {
    if (m->options->plain) return 1;
    chance c = {stir((uint64_t)m->strands->root[i] * 2 + 1)};
    double wanted = m->strands->hairs[i] * m->share;
    return (int)floor(fmin(fmax(wanted, 0), FINE_MAX) + draw(&c));
}

/* Enough for its length, and for its bends. */
static int points_of(const maker *m, const lw_vec3 *p) {
    int n = m->strands->nodes;
    double length = length_of(p, n), turn = 0;
    for (int k = 1; k + 1 < n; k++)
        turn += v3_norm(v3_sub(v3_unit(v3_sub(p[k + 1], p[k])), v3_unit(v3_sub(p[k], p[k - 1]))));
    double wanted = ceil(fmax(length / m->options->step, turn / TURN_MOST)) + 1;
    return (int)fmin(fmax(wanted, n < 3 ? 2 : 3), POINTS_MAX);
}

static lw_vec3 spline(const lw_vec3 *p, int n, double at) {
    int k = at < n - 1 ? (int)at : n - 2;
    double t = at - k;
    lw_vec3 b = p[k], c = p[k + 1];
    lw_vec3 a = k > 0 ? p[k - 1] : v3_along(b, v3_sub(b, c), 1),
            d = k + 2 < n ? p[k + 2] : v3_along(c, v3_sub(c, b), 1);
    double wa = .5 * t * (t * (2 - t) - 1), wb = 1 + .5 * t * t * (3 * t - 5),
           wc = .5 * t * (1 + t * (4 - 3 * t)), wd = .5 * t * t * (t - 1);
    return v3_along(v3_along(v3_along(v3_scale(a, wa), b, wb), c, wc), d, wd);
}

/* Away from the middle of the head, and from the neck's axis below it. */
static lw_vec3 outward(lw_vec3 p, lw_vec3 centre) {
    lw_vec3 d = v3_sub(p, centre);
    if (d.y < 0) d.y = 0;
    double n = v3_norm(d);
    return n > 1e-9 ? v3_scale(d, 1 / n) : v3(0, 1, 0);
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

typedef struct wave {
    double size, phase, pitch; /* metres, radians, metres of one wave */
} wave;

static double wave_at(const wave *w, double s) {
    return w->size * fmin(1, s / .05) * sin(2 * LW_PI * s / w->pitch + w->phase);
}

typedef struct drift {
    lw_vec3 aside[2]; /* along the scalp */
    double offset[2]; /* metres */
    double lift;      /* metres */
    wave own, lock;   /* along aside[0] */
    double toward;    /* of the way to the neighbour */
    double kept;      /* of the length */
} drift;

static wave wave_of(chance *c, double most) {
    wave w = {.size = most * draw_signed(c), .phase = 2 * LW_PI * draw(c)};
    w.pitch = .05 + .06 * draw(c);
    return w;
}

static drift drift_of(chance *c, chance *lock, lw_vec3 root, lw_vec3 centre, double apart, double length) {
    view v = view_from(outward(root, centre));
    double turn = 2 * LW_PI * draw(c), r = .42 * apart * sqrt(draw(c));
    drift d = {.aside = {v.right, v.up}, .offset = {r * cos(turn), r * sin(turn)}};
    d.toward = .55 * draw(c);
    d.lift = fmin(.0009 * draw(c) * draw(c) + .0008 * draw(lock), .1 * length);
    d.own = wave_of(c, .0009);
    d.lock = wave_of(lock, .0012);
    double trim = draw(c);
    d.kept = 1 - fmin(.035 * trim * trim, .004 / fmax(length, 1e-6));
    return d;
}

static void bend(lw_vec3 *out, const maker *m, int i, int other, const drift *d, double length) {
    int n = m->strands->nodes;
    const lw_vec3 *a = m->strands->at + (size_t)i * (size_t)n,
                  *b = m->strands->at + (size_t)(other < 0 ? i : other) * (size_t)n;
    for (int k = 0; k < n; k++) {
        double s = length * k / (n - 1), rise = fmin(1, s / .012);
        lw_vec3 p = v3_along(a[k], v3_sub(b[k], a[k]), d->toward);
        lw_vec3 o = outward(p, m->options->centre);
        double swing = wave_at(&d->own, s) + wave_at(&d->lock, s);
        p = v3_along(p, d->aside[0], d->offset[0] + swing);
        p = v3_along(p, d->aside[1], d->offset[1]);
        out[k] = v3_along(p, o, d->lift * rise + .3 * fabs(swing));
    }
}

static void place(hair_point *out, int points, const lw_vec3 *node, int n, double kept, const view *v) {
    for (int k = 0; k < points; k++) {
        lw_vec3 p = spline(node, n, kept * (n - 1) * k / (points - 1));
        out[k] =
            (hair_point){(float)v3_dot(p, v->right), (float)v3_dot(p, v->up), (float)v3_dot(p, v->toward)};
    }
}

/* All the fine hairs of strand i; node[nodes] is scratch. */
static void make(hair_fine *f, const maker *m, int i, int from, int count, lw_vec3 *node) {
    int n = m->strands->nodes;
    const lw_vec3 *own = m->strands->at + (size_t)i * (size_t)n;
    double length = length_of(own, n);
    near around = m->options->plain ? (near){0} : neighbours_of(&m->roots, i);
    bool fits[NEIGHBOURS];
    for (int k = 0; k < around.count; k++)
        fits[k] = goes_along(own, m->strands->at + (size_t)around.strand[k] * (size_t)n, n, around.apart[k]);
    double apart = around.count ? around.apart[around.count / 2] : .001;
    for (int j = 0; j < count; j++) {
        chance c = {stir(((uint64_t)m->strands->root[i] << 20) + (uint64_t)j)};
        f->tint[from + j] = (float)draw(&c);
        chance lock = lock_of(&c, own[0]);
        f->lock[from + j] = m->options->plain ? .5f : (float)draw(&lock);
        drift d = drift_of(&c, &lock, own[0], m->options->centre, apart, length);
        int pick = around.count ? (int)(draw(&c) * around.count) : -1;
        int other = pick >= 0 && fits[pick] ? around.strand[pick] : -1;
        if (m->options->plain) d = (drift){.kept = 1, .own.pitch = 1, .lock.pitch = 1};
        bend(node, m, i, other, &d, length);
        int first = f->first[from + j];
        place(f->at + first, f->first[from + j + 1] - first, node, n, d.kept, &m->options->seen);
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
        int points = points_of(m, s->at + (size_t)i * (size_t)s->nodes);
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
    bool fine = begin && roots_new(&m.roots, strands) && make_room(out, begin, &m);
    if (fine) fine = !fill(out, &m, begin);
    if (fine) hair_fine_bound(out);
    roots_clear(&m.roots);
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
