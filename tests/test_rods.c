/* Many hairs at once against one at a time: rods_rest against rod_settle, the plain reference, from the same
 * poses. Then what no reference is needed for: the exact elastica, mirror images, the same bits whatever the
 * company, and hair that cannot be. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "elastica.h"
#include "example.h"
#include "heads.h"
#include "near.h"
#include "rod.h"
#include "rods.h"

#define DEGREE (LW_PI / 180)
enum { NODES = 24, ROUNDS = 400 };

static double random_share(void) { return 2.0 * rand() / RAND_MAX - 1; }
static lw_vec3 random_vector(void) { return v3(random_share(), random_share(), random_share()); }

/* ---- hairs side by side ---- */

typedef struct hairs {
    rods_job job;
    float (*start)[4];
} hairs;

static void *room(size_t count, size_t size) {
    void *p = calloc(count, size);
    if (!p) fail_msg("no memory");
    return p;
}

static hairs hairs_new(int count, int nodes) {
    hairs h = {.job = {.count = count, .nodes = nodes, .iterations = ROUNDS, .threads = 1}};
    size_t n = (size_t)count * (size_t)nodes;
    h.job.hair = room((size_t)count, sizeof *h.job.hair);
    h.job.frame = room(n, sizeof *h.job.frame);
    h.job.at = room(n, sizeof *h.job.at);
    h.start = room(n, sizeof *h.start);
    return h;
}

static void hairs_free(hairs *h) { free(h->job.hair), free(h->job.frame), free(h->job.at), free(h->start); }

static void let_go(hairs *h) {
    memcpy(h->job.frame, h->start, sizeof *h->start * (size_t)(h->job.count * h->job.nodes));
    rods_rest(&h->job, 0, h->job.count);
}

static void store(float *q, quat f) {
    q[0] = (float)f.w, q[1] = (float)f.v.x, q[2] = (float)f.v.y, q[3] = (float)f.v.z;
}

static quat stored(const float *q) { return quat_unit((quat){q[0], {q[1], q[2], q[3]}}); }

/* A round straight hair of 70 micrometres and 4 GPa. */
static rods_hair fibre(double length) {
    lw_rod rod;
    lw_rod_fibre(&rod, 4e9, 1320, 70e-6, 1, 0.43);
    return (rods_hair){.length = length,
                       .weight = rod.weight,
                       .bend = {rod.bend[0], rod.bend[1]},
                       .twist = rod.twist,
                       .clear = 1e-3,
                       .press = .05};
}

static quat clamp_along(lw_vec3 tangent, lw_vec3 section) {
    lw_vec3 t = v3_unit(tangent), first = v3_unit(v3_tangent(v3_unit(section), t));
    return quat_of_axes(first, v3_cross(t, first), t);
}

/* Held straight along `out`, the root along its clamp. */
static void hold(hairs *h, int i, quat clamp, lw_vec3 out) {
    mat3 m = quat_matrix(clamp);
    lw_vec3 tangent = {m.m[0][2], m.m[1][2], m.m[2][2]};
    quat rest = quat_times(quat_between(tangent, v3_unit(out)), clamp);
    for (int k = 0; k < h->job.nodes; k++) store(h->start[i * h->job.nodes + k], k ? rest : clamp);
}

/* ---- the reference ---- */

static double from_ground(lw_vec3 *gradient, lw_vec3 p, const void *context) {
    return ground_distance(context, p, gradient);
}

typedef struct reference {
    struct rod rod;
    quat frame[RODS_NODES_MAX];
    lw_vec3 at[RODS_NODES_MAX];
    lw_rod_report report;
} reference;

static void reference_make(reference *r, const hairs *h, int i) {
    const rods_hair *from = &h->job.hair[i];
    lw_rod in = lw_rod_default();
    in.length = from->length, in.weight = from->weight, in.twist = from->twist, in.root = from->root;
    memcpy(in.bend, from->bend, sizeof in.bend);
    memcpy(in.curl, from->curl, sizeof in.curl);
    in.diameter = 0;
    in.nodes = h->job.nodes;
    in.skin = from->clear, in.press = from->press;
    if (h->job.ground) in.ground = from_ground, in.context = h->job.ground;
    lw_error error = {0};
    if (rod_make(&r->rod, &in, &error)) fail_msg("%s: %s", error.place, error.message);
}

/* The reference let go from frames[nodes]. */
static void reference_rest(reference *r, const hairs *h, int i, float (*frames)[4]) {
    lw_error error = {0};
    reference_make(r, h, i);
    for (int k = 0; k < h->job.nodes; k++) r->frame[k] = stored(frames[i * h->job.nodes + k]);
    r->rod.clamp = r->frame[0];
    if (rod_settle(r->frame, r->at, &r->report, &r->rod, &error))
        fail_msg("%s: %s", error.place, error.message);
}

static double energy_of(const reference *r, const float (*frame)[4]) {
    quat q[RODS_NODES_MAX];
    lw_vec3 at[RODS_NODES_MAX];
    for (int k = 0; k < r->rod.in.nodes; k++) q[k] = stored(frame[k]);
    return rod_energy(at, &r->rod, q);
}

static double farthest(const lw_vec3 *a, const lw_vec3 *b, int nodes) {
    double most = 0;
    for (int k = 0; k < nodes; k++) most = fmax(most, v3_norm(v3_sub(a[k], b[k])));
    return most;
}

/* ---- without ground ---- */

/* Clamps all round, q L^3 / EI from .1 to 1000, oval sections, and curl and twist up to a radian an edge. */
static void random_hair(hairs *h, int i, bool curled) {
    double length = .02 + .3 * fabs(random_share()), weight = pow(10, 1 + 2 * random_share());
    rods_hair *r = &h->job.hair[i];
    *r = fibre(length);
    r->bend[0] = r->weight * length * length * length / weight;
    r->bend[1] = r->bend[0] * (1 + 2 * fabs(random_share()));
    r->twist = .43 * sqrt(r->bend[0] * r->bend[1]);
    r->root = v3_scale(random_vector(), .1);
    if (curled)
        for (int k = 0; k < 3; k++) r->curl[k] = .6 * random_share() * (h->job.nodes - 1) / length;
    quat clamp = clamp_along(random_vector(), random_vector());
    mat3 m = quat_matrix(clamp);
    hold(h, i, clamp, v3(m.m[0][2], m.m[1][2], m.m[2][2]));
}

/* Long soft hair with curl has several minima, and rounding, which is the compiler's, may decide at a ridge
 * between two of them: at most one hair in two hundred. */
static void free_hairs_agree_with_the_reference(void **state) {
    (void)state;
    int all = 0, elsewhere = 0;
    static const int nodes[] = {8, 16, NODES, RODS_NODES_MAX};
    srand(1);
    for (int n = 0; n < 8; n++) {
        enum { COUNT = 100 };
        hairs h = hairs_new(COUNT, nodes[n / 2]);
        for (int i = 0; i < COUNT; i++) random_hair(&h, i, n % 2);
        let_go(&h);
        for (int i = 0; i < COUNT; i++) {
            reference r;
            reference_rest(&r, &h, i, h.start);
            lw_vec3 *at = h.job.at + (size_t)i * (size_t)h.job.nodes;
            double miss = farthest(at, r.at, h.job.nodes) / h.job.hair[i].length;
            assert_true(h.job.hair[i].at_rest && r.report.at_rest);
            all++, elsewhere += miss > 1e-6;
        }
        hairs_free(&h);
    }
    if (200 * elsewhere > all) fail_msg("%d of %d hairs rest elsewhere", elsewhere, all);
}

/* The job of 160 mm, level, 24 nodes; exact tip by shooting. The limit is the project's own: .05 mm. */
static void the_tip_is_where_the_elastica_ends(void **state) {
    (void)state;
    static double root[ELASTICA_SCAN];
    hairs h = hairs_new(1, NODES);
    rods_hair *r = h.job.hair;
    *r = fibre(.16);
    int count;
    double weight = r->weight * r->length * r->length * r->length / r->bend[0];
    elastica_scan(root, weight, 0);
    elastica exact = elastica_least(root, weight, 0, LW_PI / 2, &count);
    assert_near(exact.out * r->length, 43.0616e-3, 2e-5);
    assert_near(-exact.up * r->length, 143.9432e-3, 2e-5);
    hold(&h, 0, clamp_along(v3(1, 0, 0), v3(0, 0, 1)), v3(1, 0, 0));
    let_go(&h);
    lw_vec3 tip = h.job.at[NODES - 1];
    assert_true(r->at_rest);
    assert_near(hypot(tip.x - exact.out * r->length, tip.y - exact.up * r->length), 0, 5e-5);
    assert_near(tip.z, 0, 1e-12);
    hairs_free(&h);
}

/* ---- a head of hair ---- */

typedef struct head_of_hair {
    lw_head *head;
    lw_scalp *scalp;
    ground *ground;
    hairs hairs;
} head_of_hair;

/* Straight round hair of one length, growing as it grows, held halfway between that and straight off. */
static head_of_hair grown(int count, double length, double friction) {
    head_of_hair g;
    lw_error error = {0};
    g.head = head_of(LW_HEAD_WOMAN, 0, 0, 0);
    g.scalp = roots_of(g.head, count);
    if (ground_new(&g.ground, g.head, &(ground_options){0}, &error)) fail_msg("%s", error.message);
    g.hairs = hairs_new(lw_scalp_count(g.scalp), NODES);
    g.hairs.job.ground = g.ground;
    for (int i = 0; i < g.hairs.job.count; i++) {
        rods_hair *r = &g.hairs.job.hair[i];
        lw_vec3 out = lw_scalp_normal(g.scalp, i), way = lw_scalp_growth(g.scalp, lw_scalp_root(g.scalp, i));
        *r = fibre(length);
        r->root = lw_scalp_root(g.scalp, i);
        r->friction = friction;
        lw_vec3 leaves = v3_unit(v3_along(way, out, .5));
        hold(&g.hairs, i, clamp_along(leaves, v3_cross(out, leaves)), v3_add(way, out));
    }
    return g;
}

static void shorn(head_of_hair *g) {
    hairs_free(&g->hairs);
    ground_free(g->ground);
    lw_scalp_free(g->scalp);
    lw_head_free(g->head);
}

/* Without friction, which the reference has not, from the same pose. Where there are several minima, a step
 * more or less may lead to another: then both must be at rest. */
static void hairs_on_the_bust_agree_with_the_reference(void **state) {
    (void)state;
    static const double lengths[] = {.03, .1, .16};
    int same = 0, all = 0;
    for (int n = 0; n < 3; n++) {
        head_of_hair g = grown(120, lengths[n], 0);
        rods_job *job = &g.hairs.job;
        let_go(&g.hairs);
        for (int i = 0; i < job->count; i++) {
            reference r;
            if (ground_distance(g.ground, job->hair[i].root, NULL) < -1e-4) continue; /* under the ear */
            reference_rest(&r, &g.hairs, i, g.hairs.start);
            double energy = energy_of(&r, (const float(*)[4])job->frame + (size_t)i * NODES);
            double scale = fabs(r.report.energy) + job->hair[i].weight * lengths[n] * lengths[n];
            double miss = farthest(job->at + (size_t)i * NODES, r.at, NODES);
            bool agrees = fabs(energy - r.report.energy) <= 1e-6 * scale && miss < 1e-4;
            all++, same += agrees;
        }
        shorn(&g);
    }
    assert_true(same >= .95 * all);
}

/* Every kernel that this machine can run, on the same hairs: what is left to turn at rest depends on the last
 * bits. Friction remembers where a hair first came down, and whether that is now or a step later hangs on
 * them, too: of some hairs in a hundred. */
static void narrow_and_wide_agree(void **state) {
    (void)state;
    rods_kernel *kernels[3];
    int count = rods_kernels(kernels);
    for (int friction = 0; friction < 2; friction++) {
        head_of_hair g = grown(200, .12, friction ? .4 : 0);
        rods_job *job = &g.hairs.job;
        size_t nodes = (size_t)job->count * NODES;
        lw_vec3 *first = room(nodes, sizeof *first);
        for (int k = 0; k < count; k++) {
            int apart = 0;
            memcpy(job->frame, g.hairs.start, sizeof *g.hairs.start * nodes);
            kernels[k](job, 0, job->count);
            if (k == 0) memcpy(first, job->at, sizeof *first * nodes);
            for (int i = 0; i < job->count; i++)
                apart += farthest(job->at + (size_t)i * NODES, first + (size_t)i * NODES, NODES) >
                         (friction ? 1e-6 : 1e-7) * .12;
            assert_true(apart <= (friction ? .02 * job->count : 0));
        }
        free(first);
        shorn(&g);
    }
}

static bool same(const rods_job *a, const rods_job *b, int i, int j) {
    return memcmp(a->at + (size_t)i * NODES, b->at + (size_t)j * NODES, sizeof *a->at * NODES) == 0 &&
           memcmp(a->frame + (size_t)i * NODES, b->frame + (size_t)j * NODES, sizeof *a->frame * NODES) ==
               0 &&
           a->hair[i].rounds == b->hair[j].rounds && a->hair[i].at_rest == b->hair[j].at_rest;
}

static void again(hairs *h, const rods_hair *asked) {
    memcpy(h->job.frame, h->start, sizeof *h->start * (size_t)h->job.count * NODES);
    memcpy(h->job.hair, asked, sizeof *asked * (size_t)h->job.count);
}

/* All at once, on three threads, in reverse, and each alone. */
static void assert_company_changes_no_bit(hairs *h, rods_kernel *kernel) {
    rods_job *job = &h->job;
    int count = job->count;
    size_t nodes = NODES * sizeof *h->start;
    rods_kernel *kernels[3];
    bool widest = kernel == kernels[rods_kernels(kernels) - 1];
    hairs other = hairs_new(count, NODES);
    other.job.ground = job->ground, other.job.threads = 3;
    rods_hair *asked = room((size_t)count, sizeof *asked), *turned = room((size_t)count, sizeof *asked);
    for (int i = 0; i < count; i++) asked[i] = job->hair[i], asked[i].at_rest = false;
    memcpy(other.start, h->start, nodes * (size_t)count);
    again(h, asked);
    kernel(job, 0, count);
    again(&other, asked);
    if (widest) rods_rest(&other.job, 0, count);
    for (int i = 0; widest && i < count; i++) assert_true(same(job, &other.job, i, i));
    for (int i = 0; i < count; i++) {
        turned[i] = asked[count - 1 - i];
        memcpy(other.start + (size_t)i * NODES, h->start + (size_t)(count - 1 - i) * NODES, nodes);
    }
    again(&other, turned);
    kernel(&other.job, 0, count);
    for (int i = 0; i < count; i++) assert_true(same(job, &other.job, i, count - 1 - i));
    again(&other, turned);
    for (int i = 0; i < count; i++) kernel(&other.job, i, i + 1);
    for (int i = 0; i < count; i++) assert_true(same(job, &other.job, i, count - 1 - i));
    free(asked), free(turned), hairs_free(&other);
}

/* Hairs that go on from the rest they are at, each somewhat longer or shorter. */
static void change(hairs *h) {
    memcpy(h->start, h->job.frame, sizeof *h->start * (size_t)h->job.count * NODES);
    for (int i = 0; i < h->job.count; i++) {
        rods_hair *r = &h->job.hair[i];
        r->length *= 1 + .02 * random_share();
        r->goes_on = true, r->at_rest = false;
    }
}

static void company_changes_no_bit(void **state) {
    (void)state;
    rods_kernel *kernels[3];
    int count = rods_kernels(kernels);
    head_of_hair g = grown(300, .15, .4);
    for (int k = 0; k < count; k++) assert_company_changes_no_bit(&g.hairs, kernels[k]);
    change(&g.hairs);
    for (int k = 0; k < count; k++) assert_company_changes_no_bit(&g.hairs, kernels[k]);
    shorn(&g);
}

/* Where hair that went on came to rest, there it stays: as a rule a millionth of its length is not left to
 * go. That is foreseen, not proved, and hangs on the way a hair took. (With friction, that catches up with
 * the press and moves it on.) */
static void hair_that_went_on_is_at_rest(void **state) {
    (void)state;
    rods_kernel *kernels[3];
    int count = rods_kernels(kernels);
    head_of_hair g = grown(400, .12, 0);
    rods_job *job = &g.hairs.job;
    size_t points = (size_t)job->count * NODES;
    lw_vec3 *first = room(points, sizeof *first);
    rods_hair *asked = room((size_t)job->count, sizeof *asked);
    let_go(&g.hairs);
    change(&g.hairs);
    memcpy(asked, job->hair, sizeof *asked * (size_t)job->count);
    for (int k = 0; k < count; k++) {
        again(&g.hairs, asked);
        kernels[k](job, 0, job->count);
        memcpy(first, job->at, sizeof *first * points);
        for (int i = 0; i < job->count; i++) {
            assert_true(job->hair[i].at_rest);
            job->hair[i].at_rest = false;
        }
        kernels[k](job, 0, job->count);
        int far = 0;
        for (int i = 0; i < job->count; i++) {
            double left = farthest(job->at + (size_t)i * NODES, first + (size_t)i * NODES, NODES);
            far += left > 1e-6 * job->hair[i].length;
            if (left > 2e-5 * job->hair[i].length)
                fail_msg("hair %d goes on by %.3g of its length", i, left / job->hair[i].length);
        }
        if (far > .01 * job->count) fail_msg("%d of %d hairs go on", far, job->count);
    }
    free(first), free(asked);
    shorn(&g);
}

/* ---- what must hold of every hair ---- */

/* In the mirror x changes sign: of the root, of frames (w, x, -y, -z) and of curl (x, -y, -z). */
static void a_mirrored_head_falls_as_the_mirror_image(void **state) {
    (void)state;
    head_of_hair g = grown(100, .12, .4);
    rods_job *job = &g.hairs.job;
    hairs seen = hairs_new(job->count, NODES);
    seen.job.ground = g.ground;
    for (int i = 0; i < job->count; i++) {
        double edge = job->hair[i].length / (NODES - 1);
        job->hair[i].curl[0] = .2 / edge, job->hair[i].curl[1] = -.1 / edge, job->hair[i].curl[2] = .1 / edge;
        seen.job.hair[i] = job->hair[i];
        seen.job.hair[i].root = v3_mirror(job->hair[i].root);
        seen.job.hair[i].curl[1] *= -1, seen.job.hair[i].curl[2] *= -1;
        for (int k = i * NODES; k < (i + 1) * NODES; k++) {
            const float *q = g.hairs.start[k];
            memcpy(seen.start[k], (float[]){q[0], q[1], -q[2], -q[3]}, sizeof seen.start[k]);
        }
    }
    let_go(&g.hairs), let_go(&seen);
    for (int k = 0; k < job->count * NODES; k++)
        assert_near(v3_norm(v3_sub(job->at[k], v3_mirror(seen.job.at[k]))), 0, 1e-9);
    hairs_free(&seen);
    shorn(&g);
}

static void energy_falls_and_rounds_are_bounded(void **state) {
    (void)state;
    head_of_hair g = grown(150, .16, 0);
    rods_job *job = &g.hairs.job;
    double *before = room((size_t)job->count, sizeof *before);
    int left = 0;
    for (int rounds = 1; rounds <= 1024; rounds *= 2) {
        job->iterations = rounds;
        let_go(&g.hairs);
        left = 0;
        for (int i = 0; i < job->count; i++) {
            if (ground_distance(g.ground, job->hair[i].root, NULL) < -1e-4) continue; /* under the ear */
            reference r;
            reference_make(&r, &g.hairs, i);
            double energy = energy_of(&r, (const float(*)[4])job->frame + (size_t)i * NODES);
            double start = energy_of(&r, (const float(*)[4])g.hairs.start + (size_t)i * NODES);
            double slack = 1e-7 * (fabs(start) + job->hair[i].weight * .16 * .16); /* of floats */
            assert_true(energy <= (rounds > 1 ? before[i] : start) + slack);
            assert_true(job->hair[i].rounds <= rounds);
            before[i] = energy;
            left += !job->hair[i].at_rest;
        }
        if (rounds == 1) assert_true(left > 0);
    }
    assert_int_equal(left, 0);
    free(before);
    shorn(&g);
}

/* Each value that cannot be, in the company of sound hair, which it does not disturb. */
static void absurd_hair_ends_in_numbers(void **state) {
    (void)state;
    static const double bad[] = {0, -1, 1e30, NAN, INFINITY, -INFINITY, 1e-30};
    enum { BAD = 7, FIELDS = 13 };
    head_of_hair g = grown(2, .1, .4);
    hairs h = hairs_new(BAD * FIELDS * 2, NODES);
    h.job.ground = g.ground;
    for (int i = 0; i < h.job.count; i++) {
        h.job.hair[i] = g.hairs.job.hair[0];
        memcpy(h.start + (size_t)i * NODES, g.hairs.start, sizeof *h.start * NODES);
        if (i % 2) continue;
        rods_hair *r = &h.job.hair[i];
        double *field[] = {&r->length,  &r->weight, &r->bend[0], &r->bend[1], &r->twist, &r->curl[0],
                           &r->curl[2], &r->root.x, &r->root.y,  &r->clear,   &r->press, &r->friction};
        int k = i / 2 / BAD;
        double value = bad[i / 2 % BAD];
        if (k < FIELDS - 1)
            *field[k] = value;
        else
            for (int j = 0; j < 4; j++) h.start[i * NODES + i / 2 % NODES][j] = (float)value;
    }
    let_go(&h);
    for (int i = 0; i < h.job.count; i++) {
        for (int k = 0; k < NODES; k++) {
            lw_vec3 p = h.job.at[i * NODES + k];
            const float *q = h.job.frame[i * NODES + k];
            if (!(v3_norm(p) < 3e6)) fail_msg("hair %d is nowhere", i);
            assert_near(q[0] * q[0] + q[1] * q[1] + q[2] * q[2] + q[3] * q[3], 1, 1e-5);
        }
        assert_true(h.job.hair[i].rounds <= ROUNDS);
        if (i % 2) assert_true(same(&h.job, &h.job, i, 1));
    }
    hairs_free(&h);
    shorn(&g);
}

/* The project's own limit at 24 nodes: 1.5 KB; with what a fall keeps besides, the root's index and the count
 * of hairs it stands for. */
/* Between a and b, evenly by its logarithm. */
static double between(double a, double b) { return a * pow(b / a, (double)rand() / RAND_MAX); }

static void make_extreme(rods_hair *r) {
    r->bend[0] *= between(1e-6, 1e3);
    r->bend[1] = r->bend[0] * between(1e-4, 1e4), r->twist = r->bend[0] * between(1e-4, 1e4);
    r->length = between(2e-3, 2), r->weight *= between(1e-2, 1e2), r->press *= between(1e-2, 1e2);
}

/* Values that may be, all together as they never are: a thousand times limper than any hair, or with a
 * section like a ribbon. No place is lost, whatever way their steps are found; neither does it change others.
 */
static void extreme_hair_ends_in_numbers(void **state) {
    (void)state;
    head_of_hair g = grown(600, .12, .4);
    rods_job *job = &g.hairs.job;
    rods_kernel *kernels[3];
    int count = rods_kernels(kernels), exact = 0;
    srand(12);
    for (int i = 0; i < job->count; i += 2) make_extreme(&job->hair[i]);
    let_go(&g.hairs);
    for (int i = 0; i < job->count; i++) {
        exact += job->hair[i].exact;
        if (i % 2) assert_true(job->hair[i].at_rest && !job->hair[i].exact);
        for (int k = 0; k < NODES; k++) {
            lw_vec3 p = job->at[(size_t)i * NODES + k];
            assert_true(isfinite(p.x) && isfinite(p.y) && isfinite(p.z));
        }
    }
    assert_true(exact > 60 && exact < 240);
    for (int k = 0; k < count; k++) assert_company_changes_no_bit(&g.hairs, kernels[k]);
    shorn(&g);
}

/* What steps in floats lead to and what steps in doubles do: the same rest, but for a few hairs in a thousand
 * that a step more or less leads to another minimum. Common hair to very soft and long. */
static void floats_lead_where_doubles_do(void **state) {
    (void)state;
    static const double lengths[] = {.03, .16, .4}, softer[] = {1, .1};
    int apart = 0, lost = 0, all = 0;
    for (int n = 0; n < 3; n++)
        for (int k = 0; k < 2; k++) {
            head_of_hair g = grown(600, lengths[n], 0);
            rods_job *job = &g.hairs.job;
            size_t nodes = (size_t)job->count * NODES;
            lw_vec3 *first = room(nodes, sizeof *first);
            for (int i = 0; i < job->count; i++)
                for (int j = 0; j < 3; j++)
                    *(j < 2 ? &job->hair[i].bend[j] : &job->hair[i].twist) *= softer[k];
            let_go(&g.hairs);
            memcpy(first, job->at, sizeof *first * nodes);
            for (int i = 0; i < job->count; i++) {
                lost += job->hair[i].exact;
                job->hair[i].exact = true;
            }
            memcpy(job->frame, g.hairs.start, sizeof *g.hairs.start * nodes);
            rods_exact_narrow(job, 0, job->count);
            for (int i = 0; i < job->count; i++)
                apart += farthest(job->at + (size_t)i * NODES, first + (size_t)i * NODES, NODES) >
                         1e-6 * lengths[n];
            all += job->count;
            free(first);
            shorn(&g);
        }
    assert_true(apart <= .005 * all && lost <= .005 * all);
}

static void a_hair_takes_little_memory(void **state) {
    (void)state;
    rods_job job = {0};
    size_t size =
        sizeof *job.hair + NODES * (sizeof *job.frame + sizeof *job.at) + sizeof(int32_t) + sizeof(double);
    assert_true(size <= 1536);
}

/* Metres by which the deepest node of hair i lies inside the bust. */
static double depth_of(const lw_head *head, const lw_strands *s, int i) {
    double deepest = 0;
    for (int k = 1; k < s->nodes; k++) {
        lw_vec3 out;
        double away = lw_head_bust(head, s->at[i * s->nodes + k], &out);
        deepest = fmax(deepest, -away / fmax(.2, v3_norm(out)));
    }
    return deepest;
}

/* Whole heads as the examples have them: hair at rest, and no node more than .2 mm inside, the project's own
 * limit. */
static void whole_heads_come_to_rest_outside(void **state) {
    (void)state;
    static const char *const names[] = {"fringe", "one-length-bob", "graduated-bob", "tight-curls",
                                        "clipper-fade"};
    int caught = 0, left = 0, all = 0;
    for (int n = 0; n < 5; n++) {
        lw_plan plan;
        lw_error error = {0};
        lw_scalp *scalp;
        lw_cut *cut;
        lw_fall *fall;
        lw_head *head;
        example_read(&plan, names[n]);
        plan.scalp.count = 500;
        if (lw_head_new(&head, &plan.head, &error) || lw_scalp_new(&scalp, head, &plan.scalp, &error) ||
            lw_cut_new(&cut, head, scalp, &plan, NULL, &error) ||
            lw_fall_new(&fall, scalp, lw_cut_lengths(cut), &plan, NULL, &error))
            fail_msg("%s: %s", error.place, error.message);
        const lw_strands *s = lw_fall_strands(fall);
        left += lw_fall_tell(fall).not_at_rest;
        for (int i = 0; i < s->count; i++) caught += depth_of(head, s, i) > 2e-4;
        all += s->count;
        lw_fall_free(fall);
        lw_cut_free(cut);
        lw_scalp_free(scalp);
        lw_head_free(head);
        lw_plan_clear(&plan);
    }
    if (left > 0) fail_msg("%d of %d hairs are not at rest", left, all);
    if (caught > 0) fail_msg("%d of %d hairs lie inside", caught, all);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(free_hairs_agree_with_the_reference),
        cmocka_unit_test(the_tip_is_where_the_elastica_ends),
        cmocka_unit_test(hairs_on_the_bust_agree_with_the_reference),
        cmocka_unit_test(narrow_and_wide_agree),
        cmocka_unit_test(company_changes_no_bit),
        cmocka_unit_test(hair_that_went_on_is_at_rest),
        cmocka_unit_test(a_mirrored_head_falls_as_the_mirror_image),
        cmocka_unit_test(energy_falls_and_rounds_are_bounded),
        cmocka_unit_test(absurd_hair_ends_in_numbers),
        cmocka_unit_test(extreme_hair_ends_in_numbers),
        cmocka_unit_test(floats_lead_where_doubles_do),
        cmocka_unit_test(a_hair_takes_little_memory),
        cmocka_unit_test(whole_heads_come_to_rest_outside),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
