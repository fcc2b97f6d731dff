/* Bringing the ground onto the bust where it bends more sharply than the samples lie apart.
 *
 * A spline through samples swings beside a crease, and most where the other face of a thin shell is near: in
 * the ear. What counts is where it is zero. So the edges of the grid are cut with the bust itself, and the
 * coefficients changed as little as makes the spline zero at those places, one after another and several
 * times over (S. Kaczmarz, Bulletin de l'Académie Polonaise des Sciences A35:355, 1937). That happens in one
 * order, whatever the number of threads. */
#include <stdlib.h>

#include "ground_fill.h"
#include "vec.h"

#define SHARP .3   /* second differences of the field, over the spacing */
#define ROUNDS 6   /* through all places */
#define RELAX .7   /* of a correction that is made */
#define EDGE 3     /* nodes from the faces of the box that are left alone */
#define FOUND 1e-6 /* metres from the bust */

static bool is_sharp(const float *f, size_t row, size_t plane, float least) {
    size_t apart[3] = {1, row, plane};
    float bend = 0;
    for (int a = 0; a < 3; a++) bend += fabsf(f[apart[a]] - 2 * f[0] + f[-(ptrdiff_t)apart[a]]);
    return bend > least;
}

static bool is_free(int i, int n) { return i >= EDGE && i < n - EDGE; }

/* Which of the three edges from a node on pass through the surface where it is sharp: bit by axis. */
static int edges_from(const level *l, int i, int j, int k) {
    if (!is_free(i, l->nx) || !is_free(j, l->ny) || !is_free(k, l->nz)) return 0;
    size_t apart[3] = {1, l->row, (size_t)l->row * l->ny};
    const float *f = &l->f[at(l, i, j, k)];
    int edges = 0;
    for (int a = 0; a < 3; a++) {
        const float *g = f + apart[a];
        float least = (float)(SHARP * l->spacing);
        if ((*f < 0) != (*g < 0) &&
            (is_sharp(f, apart[1], apart[2], least) || is_sharp(g, apart[1], apart[2], least)))
            edges |= 1 << a;
    }
    return edges;
}

/* All such edges, as their first node and axis; counts only where out is NULL. */
static int edges_find(int32_t (*out)[4], const level *l, const level *coarse) {
    int count = 0;
    for (int k = 0; k < coarse->nz - 1; k++)
        for (int j = 0; j < coarse->ny - 1; j++)
            for (int i = 0; i < coarse->nx - 1; i++) {
                if (!coarse->open[at(coarse, i, j, k)]) continue;
                for (int n = 0; n < 8; n++) {
                    int32_t v[3] = {2 * i + (n & 1), 2 * j + (n >> 1 & 1), 2 * k + (n >> 2)};
                    int edges = edges_from(l, v[0], v[1], v[2]);
                    for (int a = 0; a < 3; a++) {
                        if (!(edges & 1 << a)) continue;
                        if (out)
                            out[count][0] = v[0], out[count][1] = v[1], out[count][2] = v[2],
                            out[count][3] = a;
                        count++;
                    }
                }
            }
    return count;
}

/* Where an edge passes through the bust: false position, in the Illinois form. */
static lw_vec3 meet(const ground *g, const lw_head *head, const level *l, const int32_t *edge) {
    size_t apart[3] = {1, l->row, (size_t)l->row * l->ny};
    const float *f = &l->f[at(l, edge[0], edge[1], edge[2])];
    lw_vec3 from = v3_along(g->low, v3(edge[0] - .5, edge[1] - .5, edge[2] - .5), g->spacing), p = from;
    lw_vec3 along = v3_scale(v3(edge[3] == 0, edge[3] == 1, edge[3] == 2), g->spacing);
    double a = 0, fa = f[0], b = 1, fb = f[apart[edge[3]]];
    for (int n = 0; n < 4; n++) {
        double t = a + (b - a) * fa / (fa - fb);
        p = v3_along(from, along, t);
        double here = lw_head_bust(head, p, NULL);
        if (fabs(here) < FOUND) break;
        if ((here < 0) == (fa < 0)) {
            a = t, fa = here, fb *= .5;
        } else {
            b = t, fb = here, fa *= .5;
        }
    }
    return p;
}

bool snaps_find(snaps *out, const ground *g, const lw_head *head, const level *finest, const level *coarse) {
    out->count = edges_find(NULL, finest, coarse);
    size_t n = (size_t)out->count + 1;
    int32_t(*edge)[4] = malloc(n * sizeof *edge);
    out->at = malloc(n * sizeof *out->at);
    bool done = edge && out->at;
    if (done) {
        edges_find(edge, finest, coarse);
#pragma omp parallel for schedule(dynamic, 64)
        for (int i = 0; i < out->count; i++) out->at[i] = meet(g, head, finest, edge[i]);
    }
    free(edge);
    return done;
}

/* Changes the coefficients round p as little as makes the spline RELAX nearer to zero there. */
static void snap(ground *g, lw_vec3 p) {
    double u[3] = {p.x / g->spacing, (p.y - g->low.y) / g->spacing, (p.z - g->low.z) / g->spacing}, b[3][3],
           square = 1;
    int to[3];
    for (int a = 0; a < 3; a++) {
        to[a] = (int)u[a];
        double t = u[a] - to[a];
        b[a][0] = .5 * (1 - t) * (1 - t), b[a][1] = .5 + t * (1 - t), b[a][2] = .5 * t * t;
        square *= b[a][0] * b[a][0] + b[a][1] * b[a][1] + b[a][2] * b[a][2];
    }
    double by = RELAX * ground_distance(g, p, NULL) / square;
    for (int k = 0; k < 3; k++)
        for (int j = 0; j < 3; j++) {
            float *c = g->at + ((size_t)(to[2] + k) * g->ny + to[1] + j) * g->row + to[0];
            for (int i = 0; i < 3; i++) c[i] -= (float)(by * b[0][i] * b[1][j] * b[2][k]);
        }
}

void snaps_apply(ground *g, const snaps *s) {
    for (int round = 0; round < ROUNDS; round++)
        for (int i = 0; i < s->count; i++) snap(g, s->at[i]);
}
