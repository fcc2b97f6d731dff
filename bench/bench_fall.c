/* How long hair takes to come to rest, beside the plain reference in the same run, and what the machine could
 * do at most, measured there too. Prints CSV:
 * stage,hairs,nodes,threads,rounds,seconds,us_per_hair,ratio,bytes_per_hair. rounds is the mean of a hair's;
 * ratio is how many times longer one hair takes the reference. Of "multiply and add" seconds is what 1e9 of
 * them take one core, of "read memory" what 1e9 bytes take it.
 *
 * The job: straight round hair of 160 mm, 70 micrometres, 4 GPa, 1.32 g/cm^3, growing as it grows on a
 * woman's head, let go at 45 degrees. Free: without the bust. Warm: from rest, after all became 2 % longer.
 *
 * usage: bench_fall [hairs] */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rod.h"
#include "rods.h"
#include "timing.h"

enum { NODES = 24 };

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

static rods_job grown(const lw_head *head, int count, const ground *under) {
    lw_scalp_options roots = lw_scalp_default();
    lw_scalp *scalp;
    lw_error error;
    lw_rod fibre = lw_rod_default();
    roots.count = count;
    must(lw_scalp_new(&scalp, head, &roots, &error), &error);
    rods_job job = {.count = lw_scalp_count(scalp), .nodes = NODES, .iterations = 400, .threads = 1};
    job.hair = room((size_t)job.count, sizeof *job.hair);
    job.frame = room((size_t)job.count * NODES, sizeof *job.frame);
    job.at = room((size_t)job.count * NODES, sizeof *job.at);
    job.ground = under;
    for (int i = 0; i < job.count; i++) {
        lw_vec3 root = lw_scalp_root(scalp, i), out = lw_scalp_normal(scalp, i);
        lw_vec3 way = lw_scalp_growth(scalp, root), leaves = v3_unit(v3_along(way, out, .5));
        lw_vec3 first = v3_unit(v3_cross(out, leaves));
        quat clamp = quat_of_axes(first, v3_cross(leaves, first), leaves);
        quat held = quat_times(quat_between(leaves, v3_unit(v3_add(way, out))), clamp);
        job.hair[i] = (rods_hair){.length = fibre.length,
                                  .weight = fibre.weight,
                                  .bend = {fibre.bend[0], fibre.bend[1]},
                                  .twist = fibre.twist,
                                  .root = root,
                                  .clear = 1e-3,
                                  .press = .05,
                                  .friction = .47};
        for (int k = 0; k < NODES; k++) {
            quat q = k ? held : clamp;
            float *to = job.frame[(size_t)i * NODES + (size_t)k];
            to[0] = (float)q.w, to[1] = (float)q.v.x, to[2] = (float)q.v.y, to[3] = (float)q.v.z;
        }
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

static void row(const char *stage, rods_job *job, double plain) {
    int64_t rounds = 0;
    int left = 0;
    double start = now();
    rods_rest(job, 0, job->count);
    double seconds = now() - start;
    for (int i = 0; i < job->count; i++) rounds += job->hair[i].rounds, left += !job->hair[i].at_rest;
    size_t bytes = sizeof *job->hair + NODES * (sizeof *job->frame + sizeof *job->at);
    printf("%s,%d,%d,%d,%.2f,%.4f,%.2f,%.0f,%zu\n", stage, job->count, NODES, job->threads,
           (double)rounds / job->count, seconds, 1e6 * seconds / job->count,
           plain * job->count / (seconds * job->threads), bytes);
    if (left) fprintf(stderr, "%s: %d not at rest\n", stage, left);
    fflush(stdout);
}

static void machine(void) {
    enum { N = 1 << 24 };
    double a[64], start = now(), sum = 0;
    for (int k = 0; k < 64; k++) a[k] = k;
    for (int i = 0; i < 1 << 20; i++)
        for (int k = 0; k < 64; k++) a[k] = a[k] * .999 + .001;
    for (int k = 0; k < 64; k++) sum += a[k];
    printf("multiply and add,,,1,,%.4f,,,\n", (now() - start) * 1e9 / (64.0 * (1 << 20)));
    double *long_row = room(N, sizeof *long_row);
    for (int i = 0; i < N; i++) long_row[i] = sum;
    start = now();
    for (int i = 0; i < N; i += 8)
        for (int k = 0; k < 8; k++) a[k] += long_row[i + k];
    double seconds = now() - start;
    for (int k = 0; k < 8; k++) sum += a[k];
    printf("read memory,,,1,,%.4f,,,\n", seconds * 1e9 / (8.0 * N));
    free(long_row);
    if (sum == .5) puts("");
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
    must(ground_new(&bust, head, &(ground_options){0}, &error), &error);
    puts("stage,hairs,nodes,threads,rounds,seconds,us_per_hair,ratio,bytes_per_hair");
    machine();
    for (int contact = 0; contact < 2; contact++)
        for (int threads = 1; threads <= 2; threads++) {
            rods_job job = grown(head, hairs, contact ? bust : NULL);
            double plain = reference(&job);
            job.threads = threads;
            row(contact ? "on the bust" : "free", &job, plain);
            for (int i = 0; i < job.count; i++) job.hair[i].length *= 1.02;
            if (contact) row("on the bust, warm", &job, plain);
            cut_off(&job);
        }
    ground_free(bust);
    lw_head_free(head);
    return 0;
}
