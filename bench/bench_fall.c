/* How long hair takes to come to rest, beside the plain reference in the same run, and what one core could do
 * at most, measured there too. Prints CSV:
 * stage,hairs,nodes,threads,rounds,seconds,us_per_hair,ratio,bytes_per_hair,not_at_rest,note. seconds is the
 * least of three runs; rounds the mean of a hair's; ratio how many times longer one hair takes the reference.
 *
 * "level": the strand that solvers of others were measured with: 160 mm, 70 micrometres, 4 GPa, 1.32 g/cm^3,
 * clamped level, in the air; the note is how far its tip lies from the exact elastica's. "on the bust": the
 * same hair as it grows on a woman's head, let go at 45 degrees; "warm": from rest, after all became 2 %
 * longer. "fall": a plan of such hair that nobody cut, from lw_fall_new, ground and all; "fall again": on
 * after a change of 2 %, by lw_fall_again. "memory": what a fall takes at its most beyond the cut it is of.
 *
 * usage: bench_fall [hairs] */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "limit.h"
#include "peak.h"
#include "plan.h"
#include "rod.h"
#include "rods.h"
#include "timing.h"

enum { NODES = 24, RUNS = 3, WARM = 5000 };

static void *room(size_t count, size_t size) {
    void *p = calloc(count, size);
    if (!p) exit(1);
    return p;
}

static void must(lw_status status, const lw_error *error) {
    if (status == LW_OK) return;
    fprintf(stderr, "%s: %s\n", error->place, error->message);
    exit(1);
}

static rods_job job_of(int count) {
    rods_job job = {.count = count, .nodes = NODES, .iterations = 400, .threads = 1};
    job.hair = room((size_t)count, sizeof *job.hair);
    job.frame = room((size_t)count * NODES, sizeof *job.frame);
    job.at = room((size_t)count * NODES, sizeof *job.at);
    return job;
}

/* Hair i leaves `root` along clamp, and all of it past the first node is held along `held`. */
static void grow(rods_job *job, int i, lw_vec3 root, quat clamp, quat held) {
    lw_rod fibre = lw_rod_default();
    job->hair[i] = (rods_hair){.length = fibre.length,
                               .weight = fibre.weight,
                               .bend = {fibre.bend[0], fibre.bend[1]},
                               .twist = fibre.twist,
                               .root = root,
                               .clear = 1e-3,
                               .press = .05,
                               .friction = .47};
    for (int k = 0; k < NODES; k++) {
        quat q = k ? held : clamp;
        float *to = job->frame[(size_t)i * NODES + (size_t)k];
        to[0] = (float)q.w, to[1] = (float)q.v.x, to[2] = (float)q.v.y, to[3] = (float)q.v.z;
    }
}

static rods_job level(int count) {
    rods_job job = job_of(count);
    quat clamp = quat_of_axes(v3(0, 1, 0), v3(0, 0, 1), v3(1, 0, 0));
    for (int i = 0; i < count; i++) grow(&job, i, v3(0, 0, 0), clamp, clamp);
    return job;
}

static rods_job grown(const lw_head *head, int count, const ground *under) {
    lw_scalp_options roots = lw_scalp_default();
    lw_scalp *scalp;
    lw_error error;
    roots.count = count;
    must(lw_scalp_new(&scalp, head, &roots, &error), &error);
    rods_job job = job_of(lw_scalp_count(scalp));
    job.ground = under;
    for (int i = 0; i < job.count; i++) {
        lw_vec3 root = lw_scalp_root(scalp, i), out = lw_scalp_normal(scalp, i);
        lw_vec3 way = lw_scalp_growth(scalp, root), leaves = v3_unit(v3_along(way, out, .5));
        lw_vec3 first = v3_unit(v3_cross(out, leaves));
        quat clamp = quat_of_axes(first, v3_cross(leaves, first), leaves);
        grow(&job, i, root, clamp, quat_times(quat_between(leaves, v3_unit(v3_add(way, out))), clamp));
    }
    lw_scalp_free(scalp);
    return job;
}

static void cut_off(rods_job *job) { free(job->hair), free(job->frame), free(job->at); }

static double from_ground(lw_vec3 *gradient, lw_vec3 p, const void *context) {
    return ground_distance(context, p, gradient);
}

/* Seconds a hair of the reference, from the same pose; of every so many-th. */
static double reference(const rods_job *job) {
    int done = 0;
    double start = now();
    for (int i = 0; i < job->count; i += job->count / 40 + 1) {
        const rods_hair *from = &job->hair[i];
        lw_rod in = lw_rod_default();
        struct rod r;
        quat frame[NODES];
        lw_vec3 at[NODES];
        lw_rod_report report;
        in.root = from->root, in.skin = from->clear, in.press = from->press;
        if (job->ground) in.ground = from_ground, in.context = job->ground;
        if (rod_make(&r, &in, NULL)) continue; /* a root under the ear */
        for (int k = 0; k < NODES; k++) {
            const float *q = job->frame[(size_t)i * NODES + (size_t)k];
            frame[k] = quat_unit((quat){q[0], {q[1], q[2], q[3]}});
        }
        r.clamp = frame[0];
        if (rod_settle(frame, at, &report, &r, NULL)) exit(1);
        done++;
    }
    return (now() - start) / done;
}

/* ---- rows ---- */

static void print_row(const char *stage, int hairs, int threads, double rounds, double seconds, double ratio,
                      double bytes, int left, const char *note) {
    printf("%s,%d,%d,%d,%.2f,%.4f,%.2f,", stage, hairs, NODES, threads, rounds, seconds,
           1e6 * seconds / hairs);
    if (ratio > 0) printf("%.0f", ratio);
    printf(",%.0f,%d,%s\n", bytes, left, note);
    fflush(stdout);
}

/* Times from the pose that the job has, which ends at rest. */
static void row(const char *stage, rods_job *job, double plain, const char *note) {
    size_t poses = (size_t)job->count * NODES * sizeof *job->frame;
    float(*start)[4] = room(1, poses);
    memcpy(start, job->frame, poses);
    double best = INFINITY, rounds = 0;
    int left = 0;
    for (int run = 0; run < RUNS; run++) {
        memcpy(job->frame, start, poses);
        double begun = now();
        rods_rest(job, 0, job->count);
        best = fmin(best, now() - begun);
    }
    for (int i = 0; i < job->count; i++) rounds += job->hair[i].rounds, left += !job->hair[i].at_rest;
    double bytes = sizeof *job->hair + NODES * (sizeof *job->frame + sizeof *job->at);
    print_row(stage, job->count, job->threads, rounds / job->count, best,
              plain * job->count / (best * job->threads), bytes, left, note);
    free(start);
}

static void machine(void) {
    rods_kernel *kernels[3];
#ifdef RODS_WIDE
    double (*flops[])(void) = {limit_flops_narrow, limit_flops_wide, limit_flops_widest};
    double (*reads[])(size_t) = {limit_read_narrow, limit_read_wide, limit_read_widest};
#else
    double (*flops[])(void) = {limit_flops_narrow}, (*reads[])(size_t) = {limit_read_narrow};
#endif
    int widest = rods_kernels(kernels) - 1;
    printf("flops of one core,,,1,,,,,,,%.1f GFLOP/s\n", 1e-9 * flops[widest]());
    for (size_t bytes = 1 << 14; bytes <= 1 << 28; bytes <<= 7)
        printf("reading %zu kB,,,1,,,,,,,%.1f GB/s\n", bytes >> 10, 1e-9 * reads[widest](bytes));
    fflush(stdout);
}

/* ---- strands in the air ---- */

static void in_the_air(int hairs) {
    rods_job job = level(hairs);
    double plain = reference(&job);
    for (job.threads = 1; job.threads <= 2; job.threads++) {
        char note[64];
        rods_job one = level(1);
        rods_rest(&one, 0, 1);
        lw_vec3 tip = one.at[NODES - 1], exact = v3(.0430616, -.1439432, 0);
        snprintf(note, sizeof note, "tip %.4f mm off", 1e3 * v3_norm(v3_sub(tip, exact)));
        cut_off(&one);
        row("level", &job, plain, note);
        cut_off(&job);
        int threads = job.threads;
        job = level(hairs);
        job.threads = threads;
    }
    cut_off(&job);
}

/* ---- on the bust ---- */

static void on_the_bust(const lw_head *head, const ground *bust, int hairs) {
    for (int threads = 1; threads <= 2; threads++) {
        rods_job job = grown(head, hairs, bust);
        double plain = reference(&job);
        job.threads = threads;
        row("on the bust", &job, plain, "");
        for (int i = 0; i < job.count; i++) job.hair[i].length *= 1.02;
        row("on the bust, warm", &job, plain, "");
        cut_off(&job);
    }
    rods_job job = grown(head, WARM, bust);
    double plain = reference(&job);
    job.threads = 2;
    row("on the bust", &job, plain, "");
    for (int i = 0; i < job.count; i++) job.hair[i].length *= 1.02;
    row("on the bust, warm", &job, plain, "");
    cut_off(&job);
}

/* ---- the whole fall ---- */

typedef struct scene {
    lw_plan plan;
    lw_scalp *scalp;
    lw_cut *cut;
} scene;

static scene scene_of(const lw_head *head, int hairs) {
    scene s = {.plan = lw_plan_default()};
    lw_error error;
    s.plan.hair.length = lw_rod_default().length;
    s.plan.scalp.count = hairs;
    must(lw_scalp_new(&s.scalp, head, &s.plan.scalp, &error), &error);
    must(lw_cut_new(&s.cut, head, s.scalp, &s.plan, NULL, &error), &error);
    return s;
}

static void scene_clear(scene *s) {
    lw_cut_free(s->cut);
    lw_scalp_free(s->scalp);
    lw_plan_clear(&s->plan);
}

static lw_fall_report fall_once(const scene *s, int packings, int threads) {
    lw_fall_options options = lw_fall_default();
    lw_fall *fall;
    lw_error error;
    options.packings = packings, options.threads = threads, options.nodes = NODES;
    must(lw_fall_new(&fall, s->scalp, lw_cut_lengths(s->cut), &s->plan, &options, &error), &error);
    lw_fall_report report = lw_fall_tell(fall);
    lw_fall_free(fall);
    return report;
}

static void fall_row(const char *stage, const lw_head *head, int hairs, int packings, int threads) {
    scene s = scene_of(head, hairs);
    lw_fall_report report = {0};
    double best = INFINITY;
    for (int run = 0; run < RUNS; run++) {
        double begun = now();
        report = fall_once(&s, packings, threads);
        best = fmin(best, now() - begun);
    }
    print_row(stage, hairs, threads, (double)report.rounds / hairs, best, 0, 0, report.not_at_rest, "");
    scene_clear(&s);
}

/* Falls on after all became 2 % longer, or that much shorter again. */
static void again_row(const char *stage, const lw_head *head, int hairs, int packings, int threads) {
    scene s = scene_of(head, hairs);
    lw_fall_options options = lw_fall_default();
    lw_fall *fall;
    lw_error error;
    double best = INFINITY;
    options.threads = threads, options.nodes = NODES, options.goes_on = true;
    if (packings == 0) options.packings = 0;
    must(lw_fall_new(&fall, s.scalp, lw_cut_lengths(s.cut), &s.plan, &options, &error), &error);
    options.packings = packings;
    for (int run = 0; run < RUNS + 1; run++) {
        lw_cut_free(s.cut);
        s.plan.hair.length *= run % 2 ? 1 / 1.02 : 1.02;
        must(lw_cut_new(&s.cut, head, s.scalp, &s.plan, NULL, &error), &error);
        double begun = now();
        must(lw_fall_again(fall, lw_cut_lengths(s.cut), &s.plan, &options, &error), &error);
        best = fmin(best, now() - begun);
    }
    lw_fall_report report = lw_fall_tell(fall);
    print_row(stage, hairs, threads, (double)report.rounds / hairs, best, 0, 0, report.not_at_rest, "");
    lw_fall_free(fall);
    scene_clear(&s);
}

static void without_falling(const void *head, int hairs) {
    scene s = scene_of(head, hairs);
    scene_clear(&s);
}

static void with_falling(const void *head, int hairs) {
    scene s = scene_of(head, hairs);
    fall_once(&s, lw_fall_default().packings, 2);
    scene_clear(&s);
}

int main(int argc, char **argv) {
    int hairs = argc > 1 ? (int)strtol(argv[1], NULL, 10) : 100000;
    if (hairs < 100) return 2;
    lw_head_options options = lw_head_default();
    options.kind = LW_HEAD_WOMAN;
    lw_head *head;
    ground *bust;
    lw_error error;
    must(lw_head_new(&head, &options, &error), &error);
    puts("stage,hairs,nodes,threads,rounds,seconds,us_per_hair,ratio,bytes_per_hair,not_at_rest,note");
    fflush(stdout);
    for (int times = 1; times <= 10; times *= 10) {
        double before = peak_of(without_falling, head, times * hairs);
        double most = peak_of(with_falling, head, times * hairs);
        printf("memory,%d,%d,2,,,,,%.0f,,\n", times * hairs, NODES, (most - before) / (times * hairs));
        fflush(stdout);
    }
    machine();
    must(ground_new(&bust, head, &(ground_options){0}, &error), &error);
    in_the_air(hairs);
    on_the_bust(head, bust, hairs);
    ground_free(bust);
    for (int threads = 1; threads <= 2; threads++) {
        fall_row("fall, each hair alone", head, hairs, 0, threads);
        fall_row("fall, with room", head, hairs, lw_fall_default().packings, threads);
        again_row("fall again, each hair alone", head, WARM, 0, threads);
        again_row("fall again, with room once more", head, WARM, 1, threads);
    }
    for (int share = 10; share >= 1; share /= 3)
        fall_row("fall, with room", head, hairs / share, lw_fall_default().packings, 2);
    fall_row("fall, with room", head, 3 * hairs, lw_fall_default().packings, 2);
    fall_row("fall, with room", head, 10 * hairs, lw_fall_default().packings, 2);
    lw_head_free(head);
    return 0;
}
