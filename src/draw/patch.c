/* The scalp cut along its partings.
 *
 * A triangle whose vertices have one label is kept. One that a border crosses is divided at the crossings of
 * its edges (two labels: a triangle and a quadrilateral; three: three quadrilaterals round a middle point),
 * and each piece goes to its label. A crossing has a vertex on either side. Then what is worked out at
 * vertices can be interpolated inside a section and stays sharp at its edge. */
#include "patch.h"

#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "grow.h"
#include "vec.h"

typedef struct making {
    patch *out;
    const lw_head *head;
    const lw_mesh *mesh;
    const int *label;
    curve_label *at;
    const void *context;
    int vertex_room, normal_room, section_room, inner_room, from_room, triangle_room;
    int32_t *own;          /* per vertex of the mesh: its own in the patch, -1 none yet */
    int slot_count, *slot; /* edges: crossing + 1, 0 free */
    int crossing_count, crossing_room;
    struct crossing {
        int from, to;   /* the mesh's vertices; the crossing is on the side of `from` */
        int32_t vertex; /* in the patch */
    } * crossing;
    bool failed;
} making;

static int32_t add_vertex(making *m, lw_vec3 at, lw_vec3 normal, int section) {
    patch *p = m->out;
    int count = p->mesh.vertex_count + 1;
    lw_vec3 *positions = grow(p->mesh.position, &m->vertex_room, count, sizeof *positions);
    if (positions) p->mesh.position = positions;
    lw_vec3 *normals = grow(p->mesh.normal, &m->normal_room, count, sizeof *normals);
    if (normals) p->mesh.normal = normals;
    lw_vec3 *inners = grow(p->inner, &m->inner_room, count, sizeof *inners);
    if (inners) p->inner = inners;
    int32_t *froms = grow(p->from, &m->from_room, count, sizeof *froms);
    if (froms) p->from = froms;
    int *sections = grow(p->section, &m->section_room, count, sizeof *sections);
    if (sections) p->section = sections;
    m->failed |= !positions || !normals || !inners || !froms || !sections;
    if (m->failed) return 0;
    positions[count - 1] = inners[count - 1] = at;
    normals[count - 1] = normal;
    froms[count - 1] = -1;
    sections[count - 1] = section;
    p->mesh.vertex_count = count;
    return count - 1;
}

static void add_triangle(making *m, int32_t a, int32_t b, int32_t c) {
    lw_mesh *mesh = &m->out->mesh;
    int32_t(*all)[3] = grow(mesh->triangle, &m->triangle_room, mesh->triangle_count + 1, sizeof *all);
    if (all) mesh->triangle = all;
    m->failed |= !all;
    if (m->failed) return;
    int32_t *t = all[mesh->triangle_count++];
    t[0] = a, t[1] = b, t[2] = c;
}

static int32_t own_vertex(making *m, int32_t v) {
    if (m->own[v] >= 0) return m->own[v];
    int32_t made = add_vertex(m, m->mesh->position[v], m->mesh->normal[v], m->label[v]);
    if (!m->failed) m->out->from[made] = v;
    return m->own[v] = made;
}

static unsigned place_of(const making *m, int from, int to) {
    return ((unsigned)from * 73856093u ^ (unsigned)to * 19349663u) & (unsigned)(m->slot_count - 1);
}

static bool more_slots(making *m) {
    int count = m->slot_count ? 2 * m->slot_count : 1024, *slot = calloc((size_t)count, sizeof *slot);
    if (!slot) return false;
    free(m->slot);
    m->slot = slot;
    m->slot_count = count;
    for (int k = 0; k < m->crossing_count; k++) {
        unsigned i = place_of(m, m->crossing[k].from, m->crossing[k].to);
        while (slot[i]) i = (i + 1) & (unsigned)(count - 1);
        slot[i] = k + 1;
    }
    return true;
}

/* The vertex on the side of `from` where the border crosses the edge. Its place is filled in later. */
static int32_t crossing_of(making *m, int from, int to) {
    if (2 * (m->crossing_count + 1) > m->slot_count && !more_slots(m)) m->failed = true;
    if (m->failed) return 0;
    unsigned i = place_of(m, from, to);
    for (; m->slot[i]; i = (i + 1) & (unsigned)(m->slot_count - 1)) {
        const struct crossing *c = &m->crossing[m->slot[i] - 1];
        if (c->from == from && c->to == to) return c->vertex;
    }
    struct crossing *all = grow(m->crossing, &m->crossing_room, m->crossing_count + 1, sizeof *all);
    m->failed |= !all;
    if (m->failed) return 0;
    m->crossing = all;
    int32_t vertex = add_vertex(m, m->mesh->position[from], m->mesh->normal[from], m->label[from]);
    all[m->crossing_count++] = (struct crossing){from, to, vertex};
    m->slot[i] = m->crossing_count;
    return vertex;
}

static void divide_in_two(making *m, const int32_t t[3], int odd) {
    int32_t a = t[odd], b = t[(odd + 1) % 3], c = t[(odd + 2) % 3];
    if (m->label[a] >= 0) add_triangle(m, own_vertex(m, a), crossing_of(m, a, b), crossing_of(m, a, c));
    if (m->label[b] < 0) return;
    int32_t p = crossing_of(m, b, a), q = crossing_of(m, c, a), r = own_vertex(m, b), s = own_vertex(m, c);
    add_triangle(m, p, r, s);
    add_triangle(m, p, s, q);
}

/* Three labels meet in the middle of the three crossings. */
static void divide_in_three(making *m, const int32_t t[3]) {
    lw_vec3 at[3], sum = {0};
    for (int i = 0; i < 3; i++) {
        int32_t a = t[i], b = t[(i + 1) % 3];
        at[i] = curve_crossing(m->head, m->mesh->position[a], m->mesh->position[b], m->label[a], m->at,
                               m->context, NULL);
        sum = v3_add(sum, at[i]);
    }
    lw_vec3 middle = curve_on_head(m->head, v3_scale(sum, 1. / 3));
    for (int i = 0; i < 3; i++) {
        int32_t a = t[i], b = t[(i + 1) % 3], c = t[(i + 2) % 3];
        if (m->label[a] < 0) continue;
        int32_t p = crossing_of(m, a, b), q = crossing_of(m, a, c), r = own_vertex(m, a),
                s = add_vertex(m, middle, m->mesh->normal[a], m->label[a]);
        if (m->failed) return;
        /* What the middle is asked about is its own section's side. */
        m->out->inner[s] = v3_scale(v3_add(at[i], at[(i + 2) % 3]), .5);
        add_triangle(m, r, p, s);
        add_triangle(m, r, s, q);
    }
}

static void divide(making *m, const int32_t t[3]) {
    int a = m->label[t[0]], b = m->label[t[1]], c = m->label[t[2]];
    if (a == b && b == c) {
        if (a >= 0) add_triangle(m, own_vertex(m, t[0]), own_vertex(m, t[1]), own_vertex(m, t[2]));
    } else if (a != b && b != c && c != a) {
        divide_in_three(m, t);
    } else {
        divide_in_two(m, t, b == c ? 0 : a == c ? 1 : 2);
    }
}

static void place_crossings(making *m) {
    patch *p = m->out;
#pragma omp parallel for schedule(dynamic, 16)
    for (int i = 0; i < m->crossing_count; i++) {
        const struct crossing *c = &m->crossing[i];
        lw_vec3 a = m->mesh->position[c->from], b = m->mesh->position[c->to];
        lw_vec3 at = curve_crossing(m->head, a, b, m->label[c->from], m->at, m->context, NULL);
        double way = v3_norm(v3_sub(at, a)) / v3_norm(v3_sub(b, a));
        p->mesh.position[c->vertex] = p->inner[c->vertex] = at;
        p->mesh.normal[c->vertex] =
            v3_unit(v3_along(v3_scale(m->mesh->normal[c->from], 1 - way), m->mesh->normal[c->to], way));
    }
}

lw_status patch_new(patch *out, const lw_head *head, const lw_mesh *mesh, const int *label, curve_label *at,
                    const void *context, lw_error *error) {
    *out = (patch){0};
    making m = {.out = out, .head = head, .mesh = mesh, .label = label, .at = at, .context = context};
    m.own = malloc((size_t)mesh->vertex_count * sizeof *m.own);
    m.failed = !m.own;
    if (m.own) memset(m.own, -1, (size_t)mesh->vertex_count * sizeof *m.own);
    for (int i = 0; i < mesh->triangle_count && !m.failed; i++) divide(&m, mesh->triangle[i]);
    if (!m.failed) place_crossings(&m);
    free(m.own);
    free(m.slot);
    free(m.crossing);
    if (!m.failed) return LW_OK;
    patch_clear(out);
    return fail_memory(error, "scalp");
}

void patch_clear(patch *p) {
    lw_mesh_clear(&p->mesh);
    free(p->from);
    free(p->section);
    free(p->inner);
    *p = (patch){0};
}
