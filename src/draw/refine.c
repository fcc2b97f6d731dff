/* A finer mesh where the surface bends much.
 *
 * An edge is halved where the normals at its ends differ by too much. A triangle with two halved edges has
 * the third halved too; then every triangle has none, one or three, and falls into one, two or four, so the
 * mesh stays closed (Bank, Sherman and Weiser, "Refinement algorithms and data structures for regular local
 * mesh refinement", 1983). A new vertex is the edge's middle, brought onto the bust by Newton's method; where
 * that does not settle near by it stays in the middle. */
#include "refine.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "vec.h"

#define SETTLED 1e-5 /* metres from the surface */

/* An edge of one triangle; the two of a pair come next to each other when sorted. */
typedef struct half {
    int32_t low, high, index; /* index: 3 * triangle + which of its edges */
} half;

typedef struct refining {
    lw_mesh *mesh;
    const lw_head *head;
    int edge_count;
    int32_t *edge_of; /* per half: its edge */
    half *edge;       /* per edge */
    int32_t *middle;  /* per edge: 0 not halved, otherwise its vertex */
} refining;

static bool before(half a, half b) { return a.high != b.high ? a.high < b.high : a.index < b.index; }

/* Halves by their lower end (counted out), then by the other (few to each, inserted). */
static bool sort_halves(half *out, const lw_mesh *m) {
    int32_t *next = calloc((size_t)m->vertex_count + 1, sizeof *next);
    if (!next) return false;
    int halves = 3 * m->triangle_count;
    for (int i = 0; i < halves; i++) {
        int32_t a = m->triangle[i / 3][i % 3], b = m->triangle[i / 3][(i + 1) % 3];
        next[(a < b ? a : b) + 1]++;
    }
    for (int v = 0; v < m->vertex_count; v++) next[v + 1] += next[v];
    for (int i = 0; i < halves; i++) {
        int32_t a = m->triangle[i / 3][i % 3], b = m->triangle[i / 3][(i + 1) % 3];
        out[next[a < b ? a : b]++] = (half){a < b ? a : b, a < b ? b : a, i};
    }
    for (int i = 1; i < halves; i++)
        for (int k = i; k > 0 && out[k - 1].low == out[k].low && before(out[k], out[k - 1]); k--) {
            half other = out[k];
            out[k] = out[k - 1], out[k - 1] = other;
        }
    free(next);
    return true;
}

static bool gather_edges(refining *r) {
    size_t halves = 3 * (size_t)r->mesh->triangle_count;
    r->edge = malloc((halves + 1) * sizeof *r->edge);
    r->edge_of = malloc((halves + 1) * sizeof *r->edge_of);
    r->middle = calloc(halves + 1, sizeof *r->middle);
    if (!r->edge || !r->edge_of || !r->middle || !sort_halves(r->edge, r->mesh)) return false;
    for (size_t i = 0; i < halves; i++) {
        half now = r->edge[i];
        const half *last = r->edge_count ? &r->edge[r->edge_count - 1] : NULL;
        if (!last || last->low != now.low || last->high != now.high) r->edge[r->edge_count++] = now;
        r->edge_of[now.index] = r->edge_count - 1;
    }
    return true;
}

static void mark_bent(refining *r, double bend) {
    double least = cos(bend);
    for (int i = 0; i < r->edge_count; i++) {
        const lw_vec3 *n = r->mesh->normal;
        r->middle[i] = v3_dot(n[r->edge[i].low], n[r->edge[i].high]) < least;
    }
}

static int marked(const refining *r, int triangle) {
    const int32_t *e = &r->edge_of[3 * triangle];
    return (r->middle[e[0]] != 0) + (r->middle[e[1]] != 0) + (r->middle[e[2]] != 0);
}

/* Until no triangle has two. */
static void mark_thirds(refining *r) {
    for (bool again = true; again;) {
        again = false;
        for (int i = 0; i < r->mesh->triangle_count; i++) {
            if (marked(r, i) != 2) continue;
            for (int k = 0; k < 3; k++) r->middle[r->edge_of[3 * i + k]] = 1;
            again = true;
        }
    }
}

static void place(const refining *r, int edge) {
    lw_mesh *m = r->mesh;
    lw_vec3 a = m->position[r->edge[edge].low], b = m->position[r->edge[edge].high];
    lw_vec3 p = v3_scale(v3_add(a, b), .5), middle = p, gradient = {0};
    double field = 1;
    for (int i = 0; i < 5; i++) {
        field = lw_head_bust(r->head, p, &gradient);
        double steep = v3_dot(gradient, gradient);
        if (fabs(field) < SETTLED || !(steep > 1e-6)) break;
        p = v3_along(p, gradient, -field / steep);
    }
    bool settled = fabs(field) < SETTLED && v3_norm(v3_sub(p, middle)) < .5 * v3_norm(v3_sub(b, a));
    int32_t vertex = r->middle[edge];
    m->position[vertex] = settled ? p : middle;
    m->normal[vertex] =
        v3_unit(settled ? gradient : v3_add(m->normal[r->edge[edge].low], m->normal[r->edge[edge].high]));
}

static bool add_vertices(refining *r) {
    lw_mesh *m = r->mesh;
    int count = m->vertex_count;
    for (int i = 0; i < r->edge_count; i++)
        if (r->middle[i]) r->middle[i] = count++;
    lw_vec3 *positions = realloc(m->position, (size_t)count * sizeof *positions);
    if (positions) m->position = positions;
    lw_vec3 *normals = realloc(m->normal, (size_t)count * sizeof *normals);
    if (normals) m->normal = normals;
    if (!positions || !normals) return false;
    m->vertex_count = count;
#pragma omp parallel for schedule(dynamic, 64)
    for (int i = 0; i < r->edge_count; i++)
        if (r->middle[i]) place(r, i);
    return true;
}

static void put(lw_mesh *m, int32_t a, int32_t b, int32_t c) {
    int32_t *t = m->triangle[m->triangle_count++];
    t[0] = a, t[1] = b, t[2] = c;
}

static bool divide(refining *r) {
    lw_mesh *m = r->mesh;
    int old = m->triangle_count, more = 0;
    for (int i = 0; i < old; i++) more += marked(r, i);
    int32_t(*all)[3] = realloc(m->triangle, (size_t)(old + more) * sizeof *all);
    if (!all) return false;
    m->triangle = all;
    for (int i = 0; i < old; i++) {
        int32_t t[3] = {all[i][0], all[i][1], all[i][2]}, h[3];
        for (int k = 0; k < 3; k++) h[k] = r->middle[r->edge_of[3 * i + k]]; /* between t[k] and t[k + 1] */
        if (marked(r, i) == 3) {
            for (int k = 0; k < 3; k++) all[i][k] = h[k];
            for (int k = 0; k < 3; k++) put(m, t[k], h[k], h[(k + 2) % 3]);
        }
        for (int k = 0; k < 3 && marked(r, i) == 1; k++)
            if (h[k]) {
                all[i][0] = t[k], all[i][1] = h[k], all[i][2] = t[(k + 2) % 3];
                put(m, h[k], t[(k + 1) % 3], t[(k + 2) % 3]);
            }
    }
    return true;
}

lw_status refine(lw_mesh *mesh, const lw_head *head, double bend, lw_error *error) {
    refining r = {.mesh = mesh, .head = head};
    bool made = gather_edges(&r);
    if (made) {
        mark_bent(&r, bend);
        mark_thirds(&r);
        made = add_vertices(&r) && divide(&r);
    }
    free(r.edge);
    free(r.edge_of);
    free(r.middle);
    return made ? LW_OK : fail_memory(error, "drawing");
}
