/* The bust as triangles: marching tetrahedra on a body-centred cubic lattice, walked along the surface.
 *
 * The lattice's places are the whole-number triples that are all even or all odd, `unit` apart: two cubic
 * grids, each place of one in the middle of a cube of the other. Two neighbours of the odd grid and the four
 * even places round the middle between them span an octahedron, which falls into four tetrahedra, all alike
 * and close to regular. The walk starts at the top of the head and goes on through every face of an
 * octahedron that the surface passes, so only places near the surface are ever asked for the field, and the
 * mesh is one piece.
 *
 * The bust is its own mirror image, and so is the lattice: the walk keeps to the left half, and what it finds
 * is mirrored. An octahedron on the midplane has its axis across it, and its right place is the left one
 * seen in the mirror. Corners off the midplane are numbered in pairs, each followed by its twin on the right.
 *
 * As in isosurface stuffing (Labelle and Shewchuk 2007, doi 10.1145/1276377.1276448) a place nearer to the
 * surface than `reach` is moved onto it and is itself a corner; it counts as outside. Edges from inside to
 * outside are then cut well away from both ends, which leaves no slivers. Corners are brought onto the
 * surface by the secant method, and take their normals from the field.
 *
 * Without moved places the triangles are a closed surface by construction. Moved places can pinch it where it
 * is thinner than the lattice: places where the triangles are not one ring round every corner, or fall into
 * several pieces, are given back, and the walk is repeated with what is already known. So what is returned is
 * one closed surface. */
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "slots.h"
#include "vec.h"

#define UNIT .665    /* half the lattice's spacing over the length of an edge, measured on a sphere */
#define REACH .55    /* over `unit` */
#define SETTLED 1e-7 /* metres from the surface */
#define CORNERS_MAX 20000000

typedef enum side { INSIDE, OUTSIDE, ON } side;

typedef struct node {
    spot at;
    side side;
    int32_t corner; /* -1: none */
    bool fixed;     /* not to be moved */
    bool moved;
    double field;
    lw_vec3 on, normal; /* moved: where to */
} node;

typedef struct octahedron {
    spot centre; /* its odd places are one step either way along the axis whose coordinate is even */
    int axis;
    int32_t node[6]; /* the odd two, then the even four, counter-clockwise seen against the axis; ~i: node i
                        in the mirror */
    int32_t next[8]; /* across its faces; -1: not looked up */
    int walk;        /* the last that came here */
} octahedron;

typedef struct cut {
    int32_t inside, outside; /* nodes */
    int32_t corner;
} cut;

typedef struct polygon {
    int count;
    int32_t corner[4];
} polygon;

typedef struct walk {
    const lw_head *head;
    double foot; /* height of the lid */
    double unit, reach;
    slots places, octahedra, edges;
    node *nodes;
    octahedron *cells;
    int walks;      /* begun so far */
    int32_t *found; /* the cells of this walk */
    cut *cuts;
    polygon *polygons;
    int32_t *twin; /* per corner */
    int32_t node_count, cell_count, found_count, cut_count, polygon_count, corner_count;
    size_t node_room, cell_room, found_room, cut_room, polygon_room, twin_room;
} walk;

static void walk_clear(walk *w) {
    slots_clear(&w->places);
    slots_clear(&w->octahedra);
    slots_clear(&w->edges);
    free(w->nodes);
    free(w->cells);
    free(w->found);
    free(w->cuts);
    free(w->polygons);
    free(w->twin);
}

/* Room for one more in *array. */
static bool more(void *array, size_t size, int32_t count, size_t *room) {
    if ((size_t)count < *room) return true;
    size_t wanted = *room ? 2 * *room : 1024;
    void *old, *grown;
    memcpy(&old, array, sizeof old);
    grown = realloc(old, wanted * size);
    if (!grown) return false;
    memcpy(array, &grown, sizeof grown);
    *room = wanted;
    return true;
}

/* ---- the field ---- */

/* That of the bust above the lid. */
static double field(const walk *w, lw_vec3 p, lw_vec3 *gradient) {
    double bust = lw_head_bust(w->head, p, gradient), below = w->foot - p.y;
    if (below <= bust) return bust;
    if (gradient) *gradient = v3(0, -1, 0);
    return below;
}

static lw_vec3 place_of(const walk *w, spot at) {
    return v3(w->unit * at.v[0], w->unit * at.v[1], w->unit * at.v[2]);
}

/* From p straight down the gradient there onto the surface, at most `far` away: the secant method, since the
 * field costs less than its gradient. */
static bool settle(const walk *w, lw_vec3 p, double f, double far, lw_vec3 *on, lw_vec3 *normal) {
    lw_vec3 g;
    field(w, p, &g);
    double before = 0, f_before = f, steep = v3_norm(g), t = f / steep;
    lw_vec3 down = v3_scale(g, -1 / steep);
    for (int i = 0; i < 12 && fabs(t) <= far; i++) { /* not where t is NAN */
        *on = v3_along(p, down, t);
        f = field(w, *on, NULL);
        if (fabs(f) <= SETTLED) {
            field(w, *on, normal);
            *normal = v3_unit(*normal);
            return v3_dot(*normal, down) < 0;
        }
        double next = t - f * (t - before) / (f - f_before);
        before = t, f_before = f, t = next;
    }
    return false;
}

static void node_ask(const walk *w, node *n) {
    n->field = field(w, place_of(w, n->at), NULL);
    n->side = fabs(n->field) <= w->reach ? ON : n->field < 0 ? INSIDE : OUTSIDE;
}

/* The place stays where it is. */
static void node_fix(node *n) {
    n->fixed = true;
    n->side = n->field < 0 ? INSIDE : OUTSIDE;
}

/* Moves the places that are ON and have not been moved yet; false where one had to be fixed instead. */
static bool nodes_move(walk *w) {
    int fixed = 0;
#pragma omp parallel for schedule(dynamic, 256) reduction(+ : fixed)
    for (int32_t i = 0; i < w->node_count; i++) {
        node *n = &w->nodes[i];
        if (n->side != ON || n->moved) continue;
        n->moved = settle(w, place_of(w, n->at), n->field, 1.25 * w->reach, &n->on, &n->normal);
        if (!n->moved) node_fix(n), fixed++;
    }
    return fixed == 0;
}

/* Where the edge from a, inside, to b meets the surface: false position, in Dowell and Jarratt's Illinois
 * form (1971). */
static void cross(const walk *w, const node *a, const node *b, lw_vec3 *on, lw_vec3 *normal) {
    lw_vec3 from = place_of(w, a->at), along = v3_sub(place_of(w, b->at), from);
    double low = 0, f_low = a->field, high = 1, f_high = b->field;
    for (int i = 0, kept = 0; i < 80; i++) {
        double t = low + (high - low) * f_low / (f_low - f_high);
        *on = v3_along(from, along, t);
        double f = field(w, *on, NULL);
        if (fabs(f) <= SETTLED) break;
        if (f < 0) {
            low = t, f_low = f;
            if (kept > 0) f_high *= .5;
            kept = 1;
        } else {
            high = t, f_high = f;
            if (kept < 0) f_low *= .5;
            kept = -1;
        }
    }
    field(w, *on, normal);
    *normal = v3_unit(*normal);
}

/* ---- the walk ---- */

static int32_t node_at(walk *w, spot at) {
    int32_t *index = slots_at(&w->places, at);
    if (!index || *index >= 0) return index ? *index : -1;
    if (!more(&w->nodes, sizeof *w->nodes, w->node_count, &w->node_room)) return -1;
    w->nodes[w->node_count] = (node){.at = at, .corner = -1};
    node_ask(w, &w->nodes[w->node_count]);
    return *index = w->node_count++;
}

static spot step(spot at, int axis, int by) {
    at.v[axis] += by;
    return at;
}

/* The index of the octahedron there; -1 where memory fails. */
static int32_t cell_at(walk *w, spot centre) {
    int32_t *index = slots_at(&w->octahedra, centre);
    if (!index || *index >= 0) return index ? *index : -1;
    if (!more(&w->cells, sizeof *w->cells, w->cell_count, &w->cell_room)) return -1;
    octahedron *c = &w->cells[w->cell_count];
    *c = (octahedron){.centre = centre, .next = {-1, -1, -1, -1, -1, -1, -1, -1}};
    c->axis = centre.v[0] % 2 == 0 ? 0 : centre.v[1] % 2 == 0 ? 1 : 2;
    int d = c->axis, i = (d + 1) % 3, j = (d + 2) % 3;
    static const int ring[4][2] = {{1, -1}, {1, 1}, {-1, 1}, {-1, -1}};
    bool astride = centre.v[0] == 0;
    for (int k = astride; k < 6; k++) {
        spot at =
            k < 2 ? step(centre, d, 2 * k - 1) : step(step(centre, i, ring[k - 2][0]), j, ring[k - 2][1]);
        c->node[k] = node_at(w, at);
        if (c->node[k] < 0) return -1;
    }
    if (astride) c->node[0] = ~c->node[1];
    return *index = w->cell_count++;
}

/* Comes to a cell, unless this walk has been there. */
static bool come_to(walk *w, int32_t index) {
    if (index < 0) return false;
    if (w->cells[index].walk == w->walks) return true;
    if (!more(&w->found, sizeof *w->found, w->found_count, &w->found_room)) return false;
    w->cells[index].walk = w->walks;
    w->found[w->found_count++] = index;
    return true;
}

static int32_t left(int32_t i) { return i < 0 ? ~i : i; }

static bool inside(const walk *w, int32_t i) { return w->nodes[left(i)].side == INSIDE; }

/* On through the faces of a cell that the surface passes. Ring places 0, 1 stand at +i, 1, 2 at +j, 2, 3 at
 * -i, 3, 0 at -j. */
static bool go_on(walk *w, int32_t index) {
    for (int face = 0; face < 8; face++) {
        const octahedron *c = &w->cells[index];
        int odd = face / 4, k = face % 4;
        bool in = inside(w, c->node[odd]);
        if (inside(w, c->node[2 + k]) == in && inside(w, c->node[2 + (k + 1) % 4]) == in) continue;
        int32_t next = c->next[face];
        if (next < 0) {
            spot to = step(step(c->centre, c->axis, 2 * odd - 1), (c->axis + 1 + k % 2) % 3, k < 2 ? 1 : -1);
            if (to.v[0] < 0) continue;
            next = cell_at(w, to);
            w->cells[index].next[face] = next;
        }
        if (!come_to(w, next)) return false;
    }
    return true;
}

/* The octahedra round p. */
static bool seed(walk *w, lw_vec3 p) {
    int from[3] = {(int)floor(p.x / w->unit), (int)floor(p.y / w->unit), (int)floor(p.z / w->unit)};
    for (int x = -1; x <= 2; x++)
        for (int y = -1; y <= 2; y++)
            for (int z = -1; z <= 2; z++) {
                spot at = {{from[0] + x, from[1] + y, from[2] + z}};
                int even = (at.v[0] % 2 == 0) + (at.v[1] % 2 == 0) + (at.v[2] % 2 == 0);
                if (even == 1 && at.v[0] >= 0 && !come_to(w, cell_at(w, at))) return false;
            }
    return true;
}

static bool walk_on(walk *w) {
    lw_vec3 top = lw_head_project(w->head, v3_add(lw_head_centre(w->head), v3(0, 1, 0)), NULL);
    if (!seed(w, top)) return false;
    for (int32_t i = 0; i < w->found_count && w->node_count < CORNERS_MAX; i++)
        if (!go_on(w, w->found[i])) return false;
    return true;
}

/* ---- triangles ---- */

/* The next corner, and its twin after it where it lies off the midplane. -1 where memory fails. */
static int32_t corner_new(walk *w, bool off) {
    int32_t corner = w->corner_count;
    for (int32_t k = 0; k <= off; k++) {
        if (!more(&w->twin, sizeof *w->twin, w->corner_count, &w->twin_room)) return -1;
        w->twin[w->corner_count++] = corner + off - k;
    }
    return corner;
}

/* The corner on the edge between two places on the left, from inside to outside. -1 where memory fails. */
static int32_t corner_between(walk *w, int32_t in, int32_t out) {
    node *a = &w->nodes[in], *b = &w->nodes[out];
    if (b->side == ON) {
        if (b->corner < 0) b->corner = corner_new(w, b->at.v[0] > 0);
        return b->corner;
    }
    spot middle = {{a->at.v[0] + b->at.v[0], a->at.v[1] + b->at.v[1], a->at.v[2] + b->at.v[2]}};
    int32_t *index = slots_at(&w->edges, middle);
    if (!index || *index >= 0) return index ? *index : -1;
    if (!more(&w->cuts, sizeof *w->cuts, w->cut_count, &w->cut_room)) return -1;
    int32_t corner = corner_new(w, middle.v[0] > 0);
    w->cuts[w->cut_count++] = (cut){in, out, corner};
    return *index = corner;
}

static bool polygon_keep(walk *w, polygon p) {
    if (!more(&w->polygons, sizeof *w->polygons, w->polygon_count, &w->polygon_room)) return false;
    w->polygons[w->polygon_count++] = p;
    return true;
}

/* The polygon whose corners are on these edges; its mirror image too, unless it is its own. */
static bool polygon_add(walk *w, int count, const int32_t (*edge)[2], bool astride) {
    polygon p = {0}, mirrored = {0};
    for (int k = 0; k < count; k++) {
        int32_t in = edge[k][0], out = edge[k][1], corner = corner_between(w, left(in), left(out));
        if (corner < 0) return false;
        if (in < 0 || out < 0) corner = w->twin[corner];
        if (p.count == 0 || p.corner[p.count - 1] != corner) p.corner[p.count++] = corner;
    }
    if (p.count > 1 && p.corner[p.count - 1] == p.corner[0]) p.count--;
    if (p.count < 3) return true;
    if (!polygon_keep(w, p)) return false;
    mirrored.count = p.count;
    for (int k = 0; k < p.count; k++) mirrored.corner[p.count - 1 - k] = w->twin[p.corner[k]];
    return astride || polygon_keep(w, mirrored);
}

/* What the surface cuts out of a tetrahedron of positive volume. order[mask]: its corners, evenly permuted,
 * those inside first, where one or two are inside; the one outside first where three are. */
static bool tetrahedron(walk *w, const int32_t *at) {
    static const unsigned char order[16][4] = {
        [1] = {0, 1, 2, 3},  [2] = {1, 0, 3, 2},  [4] = {2, 3, 0, 1},  [8] = {3, 2, 1, 0},
        [3] = {0, 1, 2, 3},  [5] = {0, 2, 3, 1},  [9] = {0, 3, 1, 2},  [6] = {1, 2, 0, 3},
        [10] = {1, 3, 2, 0}, [12] = {2, 3, 0, 1}, [14] = {0, 1, 2, 3}, [13] = {1, 0, 3, 2},
        [11] = {2, 3, 0, 1}, [7] = {3, 2, 1, 0},
    };
    int mask = 0, count = 0;
    for (int k = 0; k < 4; k++)
        if (inside(w, at[k])) mask |= 1 << k, count++;
    const unsigned char *o = order[mask];
    int32_t a = at[o[0]], b = at[o[1]], c = at[o[2]], d = at[o[3]];
    bool astride = at[0] < 0;
    switch (count) {
    case 1:
        return polygon_add(w, 3, (const int32_t[][2]){{a, b}, {a, c}, {a, d}}, astride);
    case 2:
        return polygon_add(w, 4, (const int32_t[][2]){{a, c}, {a, d}, {b, d}, {b, c}}, astride);
    case 3:
        return polygon_add(w, 3, (const int32_t[][2]){{b, a}, {d, a}, {c, a}}, astride);
    default:
        return true;
    }
}

static bool polygons_make(walk *w) {
    for (int32_t i = 0; i < w->found_count; i++)
        for (int k = 0; k < 4; k++) {
            const int32_t *n = w->cells[w->found[i]].node;
            if (!tetrahedron(w, (const int32_t[]){n[0], n[1], n[2 + k], n[2 + (k + 1) % 4]})) return false;
        }
    return true;
}

/* ---- is it a surface? ---- */

/* The polygons at each corner: those of corner i are at[first[i]] to at[first[i + 1]]. */
typedef struct fans {
    int32_t *first, *at;
} fans;

static bool fans_make(fans *f, const walk *w) {
    f->first = calloc((size_t)w->corner_count + 2, sizeof *f->first);
    f->at = malloc(((size_t)w->polygon_count * 4 + 1) * sizeof *f->at);
    if (!f->first || !f->at) return false;
    for (int32_t i = 0; i < w->polygon_count; i++)
        for (int k = 0; k < w->polygons[i].count; k++) f->first[w->polygons[i].corner[k] + 2]++;
    for (int32_t i = 0; i < w->corner_count; i++) f->first[i + 2] += f->first[i + 1];
    for (int32_t i = 0; i < w->polygon_count; i++)
        for (int k = 0; k < w->polygons[i].count; k++) f->at[f->first[w->polygons[i].corner[k] + 1]++] = i;
    return true;
}

/* The corners after and before `corner` in polygon p. */
static void beside(const polygon *p, int32_t corner, int32_t *next, int32_t *last) {
    int k = 0;
    while (p->corner[k] != corner) k++;
    *next = p->corner[(k + 1) % p->count];
    *last = p->corner[(k + p->count - 1) % p->count];
}

/* Whether the polygons at a corner go round it once: each goes on where exactly one other ends. */
static bool one_ring(const walk *w, const fans *f, int32_t corner) {
    enum { MOST = 32 };
    int32_t from = f->first[corner], count = f->first[corner + 1] - from, next[MOST], last[MOST];
    if (count < 3 || count > MOST) return count == 0;
    for (int32_t i = 0; i < count; i++) beside(&w->polygons[f->at[from + i]], corner, &next[i], &last[i]);
    int32_t at = last[0];
    for (int32_t turned = 1;; turned++) {
        if (at == next[0]) return turned == count;
        int follow = 0;
        int32_t to = -1;
        for (int32_t i = 0; i < count; i++)
            if (next[i] == at) {
                follow++;
                to = last[i];
            }
        if (follow != 1 || turned >= count) return false;
        at = to;
    }
}

/* Marks the corners of polygons at corners where the polygons are not one ring. */
static void mark_pinched(bool *bad, const walk *w, const fans *f) {
    for (int32_t i = 0; i < w->corner_count; i++) {
        if (one_ring(w, f, i)) continue;
        for (int32_t k = f->first[i]; k < f->first[i + 1]; k++) {
            const polygon *p = &w->polygons[f->at[k]];
            for (int j = 0; j < p->count; j++) bad[p->corner[j]] = true;
        }
    }
}

/* The corners that hang together with `from`, listed in `list`; each gets the number `number`. */
static int32_t flood(int32_t *piece, int32_t *list, int32_t number, int32_t from, const walk *w,
                     const fans *f) {
    int32_t count = 1;
    piece[list[0] = from] = number;
    for (int32_t i = 0; i < count; i++)
        for (int32_t k = f->first[list[i]]; k < f->first[list[i] + 1]; k++) {
            const polygon *p = &w->polygons[f->at[k]];
            for (int j = 0; j < p->count; j++)
                if (piece[p->corner[j]] == 0) piece[list[count++] = p->corner[j]] = number;
        }
    return count;
}

/* Marks the corners of all pieces but the largest: moved places have drawn what joins them to a mere line. */
static bool mark_parted(bool *bad, const walk *w, const fans *f) {
    size_t n = (size_t)w->corner_count + 1;
    int32_t *piece = calloc(n, sizeof *piece), *list = malloc(n * sizeof *list), largest = 0, most = 0;
    bool fine = piece && list;
    for (int32_t i = 0, pieces = 0; fine && i < w->corner_count; i++) {
        if (piece[i]) continue;
        int32_t count = flood(piece, list, ++pieces, i, w, f);
        if (count > most) most = count, largest = pieces;
    }
    for (int32_t i = 0; fine && i < w->corner_count; i++) bad[i] = bad[i] || piece[i] != largest;
    free(piece);
    free(list);
    return fine;
}

/* Gives back the moved places where the polygons are not one closed surface; *given_back: how many. */
static bool unpinch(walk *w, int32_t *given_back) {
    fans f = {0};
    bool *bad = calloc((size_t)w->corner_count + 1, sizeof *bad);
    bool fine = bad && fans_make(&f, w);
    *given_back = 0;
    if (fine) mark_pinched(bad, w, &f);
    fine = fine && mark_parted(bad, w, &f);
    for (int32_t i = 0; fine && i < w->node_count; i++) {
        node *n = &w->nodes[i];
        if (n->corner < 0 || !(bad[n->corner] || bad[w->twin[n->corner]])) continue;
        node_fix(n);
        ++*given_back;
    }
    free(bad);
    free(f.first);
    free(f.at);
    return fine;
}

static void walk_back(walk *w) {
    slots_empty(&w->edges);
    w->walks++;
    w->found_count = w->cut_count = w->polygon_count = w->corner_count = 0;
    for (int32_t i = 0; i < w->node_count; i++) w->nodes[i].corner = -1;
}

/* ---- in all ---- */

/* The walk with every place moved that is to be. */
static lw_status walk_all(walk *w, lw_error *error) {
    do {
        walk_back(w);
        if (!walk_on(w)) return fail_memory(error, "mesh");
        if (w->node_count >= CORNERS_MAX)
            return fail(error, LW_ERROR_LIMIT, "mesh", "take a larger cell", "more than %d places to look at",
                        CORNERS_MAX);
    } while (!nodes_move(w));
    return LW_OK;
}

/* The walk until its polygons are a surface. */
static lw_status walk_surface(walk *w, lw_error *error) {
    for (int32_t given_back = 1; given_back > 0;) {
        lw_status status = walk_all(w, error);
        if (status) return status;
        if (!polygons_make(w) || !unpinch(w, &given_back)) return fail_memory(error, "mesh");
    }
    return LW_OK;
}

static bool corners_room(lw_mesh *mesh, const walk *w) {
    mesh->vertex_count = w->corner_count;
    mesh->position = malloc((size_t)w->corner_count * sizeof *mesh->position);
    mesh->normal = malloc((size_t)w->corner_count * sizeof *mesh->normal);
    return mesh->position && mesh->normal;
}

/* A corner, and its twin. */
static void corner_place(lw_mesh *mesh, const walk *w, int32_t corner, lw_vec3 on, lw_vec3 normal) {
    int32_t twin = w->twin[corner];
    if (twin == corner) on.x = normal.x = 0;
    mesh->position[twin] = v3_mirror(on);
    mesh->normal[twin] = v3_mirror(normal);
    mesh->position[corner] = on;
    mesh->normal[corner] = normal;
}

static void corners_place(lw_mesh *mesh, const walk *w) {
    for (int32_t i = 0; i < w->node_count; i++) {
        const node *n = &w->nodes[i];
        if (n->corner >= 0) corner_place(mesh, w, n->corner, n->on, n->normal);
    }
#pragma omp parallel for schedule(dynamic, 256)
    for (int32_t i = 0; i < w->cut_count; i++) {
        const cut *c = &w->cuts[i];
        lw_vec3 on, normal;
        cross(w, &w->nodes[c->inside], &w->nodes[c->outside], &on, &normal);
        corner_place(mesh, w, c->corner, on, normal);
    }
}

/* Quadrilaterals are split along the shorter diagonal. */
static bool split(walk *w, const lw_vec3 *p) {
    for (int32_t i = 0, count = w->polygon_count; i < count; i++) {
        if (w->polygons[i].count < 4) continue;
        if (!more(&w->polygons, sizeof *w->polygons, w->polygon_count, &w->polygon_room)) return false;
        int32_t *c = w->polygons[i].corner;
        bool turned = v3_norm(v3_sub(p[c[1]], p[c[3]])) < v3_norm(v3_sub(p[c[0]], p[c[2]]));
        w->polygons[w->polygon_count++] = (polygon){3, {c[turned ? 1 : 0], c[2], c[3]}};
        w->polygons[i].count = 3;
        if (turned) c[2] = c[3];
    }
    return true;
}

static bool triangles_copy(lw_mesh *mesh, const walk *w) {
    mesh->triangle_count = w->polygon_count;
    mesh->triangle = malloc((size_t)w->polygon_count * sizeof *mesh->triangle);
    for (int32_t i = 0; mesh->triangle && i < w->polygon_count; i++)
        memcpy(mesh->triangle[i], w->polygons[i].corner, sizeof *mesh->triangle);
    return mesh->triangle != NULL;
}

/* A diagonal can join two corners that an edge elsewhere joins too: then once more. */
static lw_status triangulate(lw_mesh *out, walk *w, lw_error *error) {
    for (int32_t given_back = 1; given_back > 0;) {
        lw_mesh_clear(out);
        lw_status status = walk_surface(w, error);
        if (status) return status;
        if (!corners_room(out, w)) return fail_memory(error, "mesh");
        corners_place(out, w);
        if (!split(w, out->position) || !unpinch(w, &given_back)) return fail_memory(error, "mesh");
    }
    return triangles_copy(out, w) ? LW_OK : fail_memory(error, "mesh");
}

lw_status lw_mesh_above(lw_mesh *out, const lw_head *head, double cell, double foot, lw_error *error) {
    *out = (lw_mesh){0};
    if (!(cell >= .001 && cell <= .02))
        return fail(error, LW_ERROR_ARGUMENT, "cell", "take 1 to 20 mm", "a cell of %g m is out of range",
                    cell);
    if (!(foot < lw_head_centre(head).y))
        return fail(error, LW_ERROR_ARGUMENT, "foot", "take a height below the brow",
                    "a foot at %g m is too high", foot);
    walk w = {.head = head, .foot = foot, .unit = UNIT * cell, .reach = REACH * UNIT * cell};
    lw_status status = triangulate(out, &w, error);
    walk_clear(&w);
    if (status) lw_mesh_clear(out);
    return status;
}

lw_status lw_mesh_new(lw_mesh *out, const lw_head *head, double cell, lw_error *error) {
    return lw_mesh_above(out, head, cell, -INFINITY, error);
}

void lw_mesh_clear(lw_mesh *mesh) {
    free(mesh->position);
    free(mesh->normal);
    free(mesh->triangle);
    *mesh = (lw_mesh){0};
}
