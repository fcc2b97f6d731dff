/* How long taut paths take, many at once against the plain reference, on one core: hair held clear of the
 * head, hair that all bends round it, and the two mixed three to two. Prints CSV:
 * stage,n,min_s,median_s,ratio,worst_m. ratio is the reference's time for a hair over this one's; worst_m the
 * largest difference between the two.
 *
 * Roots are spread over the scalp of a measured head; ends lie up to 0.2 m off places up to about a tenth
 * of the way round from their root.
 *
 * usage: bench_path [runs]
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "head.h"
#include "path.h"
#include "timing.h"

#define HAIRS 120000
#define SAMPLE 4000 /* hairs that the reference is timed on */
#define RUNS_MAX 101

typedef struct hairs {
    double fx[HAIRS], fy[HAIRS], fz[HAIRS], nx[HAIRS], ny[HAIRS], nz[HAIRS], tx[HAIRS], ty[HAIRS], tz[HAIRS];
    double length[HAIRS];
} hairs;

static double uniform(uint64_t *state) {
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) * 0x1p-53;
}

static lw_vec3 direction(uint64_t *state) {
    lw_vec3 v;
    do v = v3(2 * uniform(state) - 1, 2 * uniform(state) - 1, 2 * uniform(state) - 1);
    while (v3_norm(v) > 1 || v3_norm(v) < 0.1);
    return v3_unit(v);
}

/* An end for a root, in front of its tangent plane or behind it. */
static lw_vec3 end_for(const lw_head *head, lw_vec3 root, lw_vec3 normal, int clear, uint64_t *state) {
    lw_vec3 from = v3_unit(v3_sub(root, lw_head_centre(head)));
    for (;;) {
        lw_vec3 out, to = v3_along(from, direction(state), 0.7 * uniform(state));
        lw_vec3 place = lw_head_project(head, v3_add(lw_head_centre(head), v3_scale(to, 0.1)), &out);
        lw_vec3 end =
            v3_along(place, v3_unit(v3_along(out, direction(state), 0.5)), 0.002 + 0.2 * uniform(state));
        if ((v3_dot(v3_sub(end, root), normal) > 0) == clear && lw_head_distance(head, end, NULL) > 1e-3)
            return end;
    }
}

static void lay(hairs *h, const lw_head *head, const lw_scalp *scalp, int clear_of_five) {
    uint64_t state = 5;
    for (int i = 0; i < HAIRS; i++) {
        lw_vec3 f = lw_scalp_root(scalp, i), n = lw_scalp_normal(scalp, i);
        lw_vec3 t = end_for(head, f, n, i * 7 % 5 < clear_of_five, &state);
        h->fx[i] = f.x, h->fy[i] = f.y, h->fz[i] = f.z;
        h->nx[i] = n.x, h->ny[i] = n.y, h->nz[i] = n.z;
        h->tx[i] = t.x, h->ty[i] = t.y, h->tz[i] = t.z;
    }
}

static void row(const char *stage, const surface *s, hairs *h, int runs) {
    double seconds[RUNS_MAX], worst = 0;
    for (int i = 0; i < runs; i++) {
        double start = now();
        path_lengths(s, 1, HAIRS, h->fx, h->fy, h->fz, h->nx, h->ny, h->nz, h->tx, h->ty, h->tz, h->length);
        seconds[i] = now() - start;
    }
    qsort(seconds, (size_t)runs, sizeof *seconds, ascending);
    double start = now();
    for (int i = 0; i < SAMPLE; i++) {
        double plain =
            path_length(s, v3(h->fx[i], h->fy[i], h->fz[i]), v3(h->tx[i], h->ty[i], h->tz[i]), NULL);
        worst = fmax(worst, fabs(plain - h->length[i]));
    }
    double reference = (now() - start) / SAMPLE, median = seconds[runs / 2];
    printf("%s,%d,%.6f,%.6f,%.1f,%.2g\n", stage, HAIRS, seconds[0], median, reference / (median / HAIRS),
           worst);
    fflush(stdout);
}

int main(int argc, char **argv) {
    int runs = argc > 1 ? (int)strtol(argv[1], NULL, 10) : 11;
    if (runs < 1 || runs > RUNS_MAX) return 2;
    lw_head *head;
    lw_scalp *scalp;
    lw_error error;
    lw_head_options options = lw_head_default();
    lw_scalp_options roots = lw_scalp_default();
    roots.count = HAIRS;
    hairs *h = malloc(sizeof *h);
    if (!h || lw_head_new(&head, &options, &error) != LW_OK ||
        lw_scalp_new(&scalp, head, &roots, &error) != LW_OK)
        return 1;
    puts("stage,n,min_s,median_s,ratio,worst_m");
    static const char *const stages[] = {"wrapped", "mixed", "clear"};
    static const int clear_of_five[] = {0, 3, 5};
    for (int i = 0; i < 3; i++) {
        lay(h, head, scalp, clear_of_five[i]);
        row(stages[i], &head->surface, h, runs);
    }
    lw_scalp_free(scalp);
    lw_head_free(head);
    free(h);
    return 0;
}
