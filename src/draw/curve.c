/* Curves on the bust.
 *
 * A curve crosses edges of the mesh. A crossing is a node; a triangle joins its two nodes by a piece; three
 * labels in one triangle meet in a node of its own with three pieces. Every node has at most three links, and
 * the chains between nodes that do not have exactly two are the curves; what is left closes on itself.
 * Nodes are numbered in the order in which triangles meet them, so the curves come out the same every time.
 *
 * Silhouettes are the zero set of normal . toward, interpolated along edges from the vertices' normals, which
 * gives one smooth chain where the mesh's own folds would give a zigzag (Hertzmann and Zorin, "Illustrating
 * smooth surfaces", SIGGRAPH 2000). */
#include "curve.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "grow.h"
#include "vec.h"

typedef struct node {
    int a, b; /* the edge's vertices, a < b; a triple point: -1 and its triangle */
    int one, other;
    lw_vec3 at;
    int link[3], links;
    bool walked[3];
} node;

typedef struct net {
    int node_count, node_room;
    node *nodes;
    int slot_count, *slots; /* open addressing: node + 1, 0 free */
    bool failed;
} net;

void curves_clear(curves *c) {
    free(c->curves);
    free(c->points);
    *c = (curves){0};
}

double curve_length(const curves *c, int which) {
    const curve *of = &c->curves[which];
    double sum = 0;
    for (int i = 1; i < of->count + of->closed; i++)
        sum += v3_norm(v3_sub(c->points[of->first + i % of->count], c->points[of->first + i - 1]));
    return sum;
}

/* ---- the net of pieces ---- */

static unsigned place_of(const net *n, int a, int b) {
    return ((unsigned)a * 73856093u ^ (unsigned)b * 19349663u) & (unsigned)(n->slot_count - 1);
}

static void put_slot(net *n, int index) {
    unsigned i = place_of(n, n->nodes[index].a, n->nodes[index].b);
    while (n->slots[i]) i = (i + 1) & (unsigned)(n->slot_count - 1);
    n->slots[i] = index + 1;
}

static bool more_slots(net *n) {
    int count = n->slot_count ? 2 * n->slot_count : 1024, *slots = calloc((size_t)count, sizeof *slots);
    if (!slots) return false;
    free(n->slots);
    n->slots = slots;
    n->slot_count = count;
    for (int i = 0; i < n->node_count; i++) put_slot(n, i);
    return true;
}

/* The node on the edge, made where there is none; -1 where memory ran out. */
static int node_on(net *n, int a, int b, int one, int other) {
    if (a > b) return node_on(n, b, a, other, one);
    if (2 * (n->node_count + 1) > n->slot_count && !more_slots(n)) n->failed = true;
    if (n->failed) return -1;
    for (unsigned i = place_of(n, a, b); n->slots[i]; i = (i + 1) & (unsigned)(n->slot_count - 1)) {
        const node *at = &n->nodes[n->slots[i] - 1];
        if (at->a == a && at->b == b) return n->slots[i] - 1;
    }
    node *nodes = grow(n->nodes, &n->node_room, n->node_count + 1, sizeof *nodes);
    if (!nodes) {
        n->failed = true;
        return -1;
    }
    n->nodes = nodes;
    nodes[n->node_count] = (node){.a = a, .b = b, .one = one, .other = other};
    put_slot(n, n->node_count);
    return n->node_count++;
}

static void join(net *n, int a, int b) {
    if (a < 0 || b < 0) return;
    node *p = &n->nodes[a], *q = &n->nodes[b];
    if (p->links == 3 || q->links == 3) return; /* not a surface: more than two triangles on an edge */
    p->link[p->links++] = b;
    q->link[q->links++] = a;
}

/* Pieces of one triangle whose vertices are on the given sides. */
static void cross_triangle(net *n, const int32_t t[3], int index, const int side[3]) {
    int on[3], count = 0;
    for (int i = 0; i < 3; i++) {
        int j = (i + 1) % 3;
        if (side[i] != side[j]) on[count++] = node_on(n, t[i], t[j], side[i], side[j]);
    }
    if (count == 2) join(n, on[0], on[1]);
    if (count != 3) return;
    int middle = node_on(n, -1, index, -1, -1);
    for (int i = 0; i < 3; i++) join(n, middle, on[i]);
}

/* ---- chains ---- */

static void add_point(curves *c, bool *failed, lw_vec3 p) {
    if (*failed) return;
    const curve *now = &c->curves[c->curve_count - 1];
    if (c->point_count > now->first && v3_norm(v3_sub(c->points[c->point_count - 1], p)) < 1e-9) return;
    lw_vec3 *points = grow(c->points, &c->point_room, c->point_count + 1, sizeof *points);
    *failed = !points;
    if (!points) return;
    c->points = points;
    points[c->point_count++] = p;
}

static bool open_curve(curves *c, int one, int other, double level) {
    curve *all = grow(c->curves, &c->curve_room, c->curve_count + 1, sizeof *all);
    if (!all) return false;
    c->curves = all;
    all[c->curve_count++] = (curve){c->point_count, 0, false, one, other, level};
    return true;
}

static int way_back(const node *from, int to) {
    for (int i = 0; i < from->links; i++)
        if (from->link[i] == to && !from->walked[i]) return i;
    return 0;
}

/* Follows the chain that leaves `start` by its link `way`. */
static void walk(net *n, curves *c, int start, int way, double level) {
    int now = start, next = n->nodes[start].link[way];
    const node *names = n->nodes[start].a >= 0 ? &n->nodes[start] : &n->nodes[next];
    if (!open_curve(c, names->one, names->other, level)) {
        n->failed = true;
        return;
    }
    add_point(c, &n->failed, n->nodes[start].at);
    for (;;) {
        n->nodes[now].walked[way] = true;
        int back = way_back(&n->nodes[next], now);
        n->nodes[next].walked[back] = true;
        add_point(c, &n->failed, n->nodes[next].at);
        now = next;
        if (now == start || n->nodes[now].links != 2) break;
        way = 1 - back;
        next = n->nodes[now].link[way];
    }
    curve *made = &c->curves[c->curve_count - 1];
    made->count = c->point_count - made->first;
    made->closed = now == start && n->nodes[now].links == 2 && made->count > 3;
    if (made->closed) { /* the first point is not said twice */
        made->count--;
        c->point_count--;
    }
    if (made->count < 2) {
        c->point_count = made->first;
        c->curve_count--;
    }
}

static void chain(net *n, curves *c, double level) {
    for (int round = 0; round < 2; round++) /* first from ends and triple points, then what closes */
        for (int i = 0; i < n->node_count && !n->failed; i++)
            if (round || n->nodes[i].links != 2)
                for (int k = 0; k < n->nodes[i].links; k++)
                    if (!n->nodes[i].walked[k]) walk(n, c, i, k, level);
}

static lw_status finish(curves *out, net *n, double level, lw_error *error) {
    chain(n, out, level);
    bool failed = n->failed;
    free(n->nodes);
    free(n->slots);
    if (!failed) return LW_OK;
    curves_clear(out);
    return fail_memory(error, "curves");
}

/* ---- borders ---- */

lw_vec3 curve_on_head(const lw_head *head, lw_vec3 p) {
    lw_vec3 on = lw_head_project(head, p, NULL);
    return v3_norm(v3_sub(on, p)) < 2.5e-4 ? on : p;
}

lw_vec3 curve_crossing(const lw_head *head, lw_vec3 a, lw_vec3 b, int label, curve_label *at,
                       const void *context, lw_vec3 *beyond) {
    for (int i = 0; i < 16 && v3_norm(v3_sub(a, b)) > 5e-7; i++) {
        lw_vec3 middle = curve_on_head(head, v3_scale(v3_add(a, b), .5));
        if (at(context, middle) == label)
            a = middle;
        else
            b = middle;
    }
    if (beyond) *beyond = b;
    return a;
}

static void place_nodes(net *n, const lw_head *head, const lw_mesh *mesh, curve_label *at,
                        const void *context) {
#pragma omp parallel for schedule(dynamic, 16)
    for (int i = 0; i < n->node_count; i++) {
        node *at_edge = &n->nodes[i];
        if (at_edge->a >= 0)
            at_edge->at = curve_crossing(head, mesh->position[at_edge->a], mesh->position[at_edge->b],
                                         at_edge->one, at, context, NULL);
    }
    for (int i = 0; i < n->node_count; i++) {
        node *triple = &n->nodes[i];
        if (triple->a >= 0 || !triple->links) continue;
        lw_vec3 sum = {0};
        for (int k = 0; k < triple->links; k++) sum = v3_add(sum, n->nodes[triple->link[k]].at);
        triple->at = curve_on_head(head, v3_scale(sum, 1. / triple->links));
    }
}

lw_status curves_borders(curves *out, const lw_head *head, const lw_mesh *mesh, const int *label,
                         curve_label *at, const void *context, lw_error *error) {
    *out = (curves){0};
    net n = {0};
    for (int i = 0; i < mesh->triangle_count && !n.failed; i++) {
        const int32_t *t = mesh->triangle[i];
        int side[3] = {label[t[0]], label[t[1]], label[t[2]]};
        if (side[0] >= 0 && side[1] >= 0 && side[2] >= 0) cross_triangle(&n, t, i, side);
    }
    if (!n.failed) place_nodes(&n, head, mesh, at, context);
    return finish(out, &n, 0, error);
}

/* ---- levels ---- */

static void add_level(net *n, const lw_mesh *mesh, const double *value, int triangle, double level) {
    const int32_t *t = mesh->triangle[triangle];
    int above[3];
    for (int k = 0; k < 3; k++) {
        if (isnan(value[t[k]])) return;
        above[k] = value[t[k]] >= level;
    }
    cross_triangle(n, t, triangle, above);
}

static void interpolate_nodes(net *n, const lw_mesh *mesh, const double *value, double level) {
    for (int i = 0; i < n->node_count; i++) {
        node *at = &n->nodes[i];
        double a = value[at->a], b = value[at->b];
        at->at = v3_along(mesh->position[at->a], v3_sub(mesh->position[at->b], mesh->position[at->a]),
                          (level - a) / (b - a));
        at->one = at->other = -1;
    }
}

lw_status curves_level(curves *out, const lw_mesh *mesh, const double *value, const int *label, double level,
                       lw_error *error) {
    *out = (curves){0};
    net n = {0};
    for (int i = 0; i < mesh->triangle_count && !n.failed; i++) {
        const int32_t *t = mesh->triangle[i];
        int own = label ? label[t[0]] : 0;
        if (own < 0 || (label && (label[t[1]] != own || label[t[2]] != own))) continue;
        add_level(&n, mesh, value, i, level);
    }
    interpolate_nodes(&n, mesh, value, level);
    return finish(out, &n, level, error);
}

lw_status curves_level_on(curves *out, const lw_mesh *mesh, const double *value, const bool *kept,
                          double level, lw_error *error) {
    *out = (curves){0};
    net n = {0};
    for (int i = 0; i < mesh->triangle_count && !n.failed; i++)
        if (kept[i]) add_level(&n, mesh, value, i, level);
    interpolate_nodes(&n, mesh, value, level);
    return finish(out, &n, level, error);
}

/* Whether the surface turns toward the eye as one goes toward the eye: where it does not, it bulges in front
 * of its own silhouette and hides it. */
static bool turns_to_eye(const lw_mesh *mesh, const double *facing, const int32_t t[3], view v) {
    lw_vec3 a = mesh->position[t[0]], b = v3_sub(mesh->position[t[1]], a),
            c = v3_sub(mesh->position[t[2]], a);
    lw_vec3 n = v3_cross(b, c);
    /* The gradient of what is linear on the triangle, times the square of twice its area. */
    lw_vec3 rise = v3_add(v3_scale(v3_cross(c, n), facing[t[1]] - facing[t[0]]),
                          v3_scale(v3_cross(n, b), facing[t[2]] - facing[t[0]]));
    return v3_dot(rise, v.toward) > 0;
}

lw_status curves_silhouette(curves *out, const lw_mesh *mesh, view v, lw_error *error) {
    *out = (curves){0};
    double *facing = malloc((size_t)mesh->vertex_count * sizeof *facing);
    if (!facing) return fail_memory(error, "silhouette");
    for (int i = 0; i < mesh->vertex_count; i++) facing[i] = v3_dot(mesh->normal[i], v.toward);
    net n = {0};
    for (int i = 0; i < mesh->triangle_count && !n.failed; i++)
        if (turns_to_eye(mesh, facing, mesh->triangle[i], v)) add_level(&n, mesh, facing, i, 0);
    interpolate_nodes(&n, mesh, facing, 0);
    free(facing);
    return finish(out, &n, 0, error);
}
