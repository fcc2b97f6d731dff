/* Marching squares (Lorensen and Cline's cubes in the plane, Computer Graphics 21:163, 1987, cited from
 * memory).
 *
 * A line crosses the grid's edges where the values pass the level. In every square each crossing from inside
 * to outside, going round counter-clockwise, leads to one from outside to inside: so every crossed edge leads
 * on to just one other, with the inside on the left, and following them gives closed lines. Where two
 * opposite corners lie inside, the mean of the four tells whether they are joined. */
#include "contour.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>

typedef struct grid {
    const float *values;
    int wide, high;
    float level;
    int32_t *next; /* by edge: 2 i from point i to the right, 2 i + 1 upward; -1 the line does not cross it */
} grid;

/* The edge from corner c of the square whose lower left point is i, counter-clockwise. */
static int32_t edge(const grid *g, int32_t i, int c) {
    switch (c) {
    case 0:
        return 2 * i;
    case 1:
        return 2 * (i + 1) + 1;
    case 2:
        return 2 * (i + g->wide);
    default:
        return 2 * i + 1;
    }
}

static void lead_through(grid *g, int32_t i) {
    const float *v = &g->values[i];
    float corner[4] = {v[0], v[1], v[g->wide + 1], v[g->wide]};
    bool in[4], joined = (corner[0] + corner[1] + corner[2] + corner[3]) / 4 > g->level;
    for (int c = 0; c < 4; c++) in[c] = corner[c] > g->level;
    for (int c = 0; c < 4; c++) {
        if (!in[c] || in[(c + 1) % 4]) continue;
        int step = joined ? 1 : 3, to = (c + step) % 4;
        while (in[to] || !in[(to + 1) % 4]) to = (to + step) % 4;
        g->next[edge(g, i, c)] = edge(g, i, to);
    }
}

static void place(double out[2], const grid *g, int32_t e) {
    int32_t i = e / 2, j = e % 2 ? i + g->wide : i + 1;
    double a = (double)g->values[i], b = (double)g->values[j], t = ((double)g->level - a) / (b - a);
    out[0] = i % g->wide + (e % 2 ? 0 : t);
    out[1] = (double)(i / g->wide) + (e % 2 ? t : 0);
}

/* Twice the area inside the line that begins at an edge; its points are counted and, where there is room,
 * written. */
static double follow(contour *out, const grid *g, int32_t start) {
    double twice = 0, p[2], q[2];
    int32_t e = start;
    out->count = 0;
    place(p, g, e);
    do {
        if (out->at) out->at[out->count][0] = p[0], out->at[out->count][1] = p[1];
        out->count++;
        e = g->next[e];
        place(q, g, e);
        twice += p[0] * q[1] - p[1] * q[0];
        p[0] = q[0], p[1] = q[1];
    } while (e != start);
    return twice;
}

/* An edge of the line round the largest area, -1 none. Every line is measured once: at its lowest edge. */
static int32_t largest(const grid *g, bool *seen) {
    double most = 0;
    int32_t best = -1, edges = 2 * g->wide * g->high;
    for (int32_t e = 0; e < edges; e++) {
        if (g->next[e] < 0 || seen[e]) continue;
        contour line = {0, NULL};
        double area = follow(&line, g, e);
        for (int32_t k = e; !seen[k]; k = g->next[k]) seen[k] = true;
        if (area > most) most = area, best = e;
    }
    return best;
}

bool contour_largest(contour *out, const float *values, int wide, int high, float level) {
    *out = (contour){0, NULL};
    size_t edges = 2 * (size_t)wide * (size_t)high;
    grid g = {values, wide, high, level, malloc(sizeof *g.next * edges)};
    bool *seen = calloc(edges, sizeof *seen);
    bool fine = g.next && seen;
    for (size_t e = 0; fine && e < edges; e++) g.next[e] = -1;
    for (int32_t i = 0; fine && i < wide * (high - 1); i++)
        if (i % wide < wide - 1) lead_through(&g, i);
    int32_t start = fine ? largest(&g, seen) : -1;
    if (start >= 0) {
        follow(out, &g, start);
        out->at = malloc(sizeof *out->at * (size_t)out->count);
        if (out->at) follow(out, &g, start);
        fine = out->at;
    }
    if (!fine) out->count = 0;
    free(seen);
    free(g.next);
    return fine;
}
