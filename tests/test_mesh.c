/* The bust as triangles: that they are one closed surface, that they lie on it, and what shape they have. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include <cmocka.h>

#include "failing.h"
#include "heads.h"
#include "near.h"
#include "vec.h"

static atomic_long questions; /* to the field */

/* NOLINTBEGIN(bugprone-reserved-identifier): the linker's names */
double __real_lw_head_bust(const lw_head *head, lw_vec3 p, lw_vec3 *gradient);
double __wrap_lw_head_bust(const lw_head *head, lw_vec3 p, lw_vec3 *gradient);
double __wrap_lw_head_bust(const lw_head *head, lw_vec3 p, lw_vec3 *gradient) {
    atomic_fetch_add(&questions, 1);
    return __real_lw_head_bust(head, p, gradient);
}
/* NOLINTEND(bugprone-reserved-identifier) */

/* ---- one closed surface ---- */

typedef struct edge {
    int32_t from, to;
} edge;

static int by_ends(const void *a, const void *b) {
    const edge *x = a, *y = b;
    if (x->from != y->from) return x->from < y->from ? -1 : 1;
    return (x->to > y->to) - (x->to < y->to);
}

/* Every directed edge, sorted. */
static edge *edges_of(const lw_mesh *mesh) {
    size_t n = (size_t)mesh->triangle_count * 3;
    edge *edges = malloc(n * sizeof *edges);
    assert_non_null(edges);
    for (int i = 0; i < mesh->triangle_count; i++)
        for (int k = 0; k < 3; k++)
            edges[3 * i + k] = (edge){mesh->triangle[i][k], mesh->triangle[i][(k + 1) % 3]};
    qsort(edges, n, sizeof *edges, by_ends);
    return edges;
}

/* Root of a corner's piece; `parent` is a forest (Galler and Fischer 1964). */
static int32_t root(int32_t *parent, int32_t i) {
    while (parent[i] != i) i = parent[i] = parent[parent[i]];
    return i;
}

static int pieces(const lw_mesh *mesh) {
    int32_t *parent = malloc((size_t)mesh->vertex_count * sizeof *parent);
    assert_non_null(parent);
    for (int i = 0; i < mesh->vertex_count; i++) parent[i] = i;
    for (int i = 0; i < mesh->triangle_count; i++)
        for (int k = 0; k < 2; k++)
            parent[root(parent, mesh->triangle[i][k])] = root(parent, mesh->triangle[i][k + 1]);
    int count = 0;
    for (int i = 0; i < mesh->vertex_count; i++) count += parent[i] == i;
    free(parent);
    return count;
}

/* Each directed edge once, and its opposite too. */
static void check_edges(const edge *edges, size_t n) {
    for (size_t i = 0; i < n; i++) {
        edge back = {edges[i].to, edges[i].from};
        if (i > 0 && by_ends(&edges[i - 1], &edges[i]) == 0)
            fail_msg("two triangles pass edge %d-%d the same way", edges[i].from, edges[i].to);
        if (!bsearch(&back, edges, n, sizeof *edges, by_ends))
            fail_msg("edge %d-%d has one triangle", edges[i].from, edges[i].to);
    }
}

/* The triangles at a corner are one ring: walking from neighbour to neighbour comes round after all of them.
 */
static void check_rings(const lw_mesh *mesh, const edge *edges, size_t n) {
    edge *across = malloc(n * sizeof *across); /* beside each of `edges`, the next round its first corner */
    assert_non_null(across);
    for (int i = 0; i < mesh->triangle_count; i++)
        for (int k = 0; k < 3; k++) {
            const int32_t *t = mesh->triangle[i];
            edge key = {t[k], t[(k + 1) % 3]};
            const edge *at = bsearch(&key, edges, n, sizeof *edges, by_ends);
            across[at - edges] = (edge){t[k], t[(k + 2) % 3]};
        }
    for (size_t i = 0; i < n;) {
        size_t end = i, steps = 0;
        while (end < n && edges[end].from == edges[i].from) end++;
        edge at = edges[i];
        do {
            at = across[(const edge *)bsearch(&at, edges, n, sizeof *edges, by_ends) - edges];
            steps++;
        } while (by_ends(&at, &edges[i]) != 0 && steps <= end - i);
        if (steps != end - i) fail_msg("corner %d has more than one ring", edges[i].from);
        i = end;
    }
    free(across);
}

static double volume(const lw_mesh *mesh) {
    double sum = 0;
    for (int i = 0; i < mesh->triangle_count; i++) {
        const int32_t *t = mesh->triangle[i];
        sum += v3_dot(mesh->position[t[0]], v3_cross(mesh->position[t[1]], mesh->position[t[2]])) / 6;
    }
    return sum;
}

static double area(const lw_mesh *mesh) {
    double sum = 0;
    for (int i = 0; i < mesh->triangle_count; i++) {
        const int32_t *t = mesh->triangle[i];
        lw_vec3 a = mesh->position[t[0]];
        sum += .5 * v3_norm(v3_cross(v3_sub(mesh->position[t[1]], a), v3_sub(mesh->position[t[2]], a)));
    }
    return sum;
}

static void check_closed(const lw_mesh *mesh) {
    size_t n = (size_t)mesh->triangle_count * 3;
    edge *edges = edges_of(mesh);
    check_edges(edges, n);
    check_rings(mesh, edges, n);
    assert_int_equal(pieces(mesh), 1);
    assert_true(volume(mesh) > 0);
    free(edges);
}

static int euler(const lw_mesh *mesh) {
    return mesh->vertex_count - mesh->triangle_count * 3 / 2 + mesh->triangle_count;
}

static void a_bust_is_one_closed_surface(void **state) {
    (void)state;
    for (int kind = LW_HEAD_ADULT; kind <= LW_HEAD_MAN; kind++) {
        lw_head *head = head_of((lw_head_kind)kind, 0, 0, 0);
        /* An ear is thinner than larger triangles are wide: of those only closedness is asked. */
        static const double cells[] = {.0015, .003, .006, .012, .02};
        for (int i = 0; i < 5; i++) {
            lw_mesh mesh = mesh_of(head, cells[i]);
            check_closed(&mesh);
            if (cells[i] < .002) assert_int_equal(euler(&mesh), 2); /* no hole through it */
            lw_mesh_clear(&mesh);
        }
        lw_head_free(head);
    }
}

/* ---- on the surface ---- */

static bool by_the_ear(const lw_head *head, lw_vec3 p) {
    lw_vec3 left = v3(fabs(p.x), p.y, p.z);
    return v3_norm(v3_sub(left, lw_head_landmark(head, LW_EAR_TOP_LEFT))) < .04 ||
           v3_norm(v3_sub(left, lw_head_landmark(head, LW_BEHIND_EAR_LEFT))) < .04;
}

static void corners_lie_on_the_surface(void **state) {
    (void)state;
    for (int kind = LW_HEAD_ADULT; kind <= LW_HEAD_ELLIPSOID; kind++) {
        lw_head *head = head_of((lw_head_kind)kind, .09, .11, .1);
        lw_mesh mesh = mesh_of(head, .004);
        int scalp = 0;
        for (int i = 0; i < mesh.vertex_count; i++) {
            lw_vec3 g, p = mesh.position[i], n, on = lw_head_project(head, p, &n);
            double f = lw_head_bust(head, p, &g);
            assert_near(f / v3_norm(g), 0, 1e-6);
            assert_near(v3_norm(v3_sub(mesh.normal[i], v3_unit(g))), 0, 1e-9);
            double off = v3_norm(v3_sub(p, on));
            /* The ear grows out of the edge of the scalp and stands over it. */
            if (lw_head_hairline(head, p) < .001 || by_the_ear(head, p) || off > .001) continue;
            scalp++;
            assert_near(off, 0, 1e-6);
            assert_near(v3_norm(v3_sub(mesh.normal[i], n)), 0, 1e-6);
        }
        assert_true(scalp > 1000);
        lw_mesh_clear(&mesh);
        lw_head_free(head);
    }
}

/* A triangle inscribed in a sphere of radius R lies e^2 / 8R below it in the mean, for even edges e. Those of
 * the mesh differ by up to 1.5 times, whence a third more. */
static void spheres_have_their_area_and_volume(void **state) {
    (void)state;
    double r = .1;
    static const double cells[] = {.02, .01, .004, .002};
    lw_head *ball = head_of(LW_HEAD_SPHERE, r, 0, 0), *egg = head_of(LW_HEAD_ELLIPSOID, .075, .095, .11);
    for (int i = 0; i < 4; i++) {
        double e2 = cells[i] * cells[i], below = e2 / (8 * r) * 4 / 3;
        lw_mesh mesh = mesh_of(ball, cells[i]);
        check_closed(&mesh);
        assert_int_equal(euler(&mesh), 2);
        double full = 4 * LW_PI * r * r * r / 3, skin = 4 * LW_PI * r * r;
        assert_true(volume(&mesh) < full && area(&mesh) < skin);
        assert_near(volume(&mesh) / full, 1, 3 * below / r);
        assert_near(area(&mesh) / skin, 1, 2 * below / r);
        lw_mesh_clear(&mesh);
        mesh = mesh_of(egg, cells[i]);
        check_closed(&mesh);
        assert_int_equal(euler(&mesh), 2);
        full = 4 * LW_PI * .075 * .095 * .11 / 3;
        assert_near(volume(&mesh) / full, 1, 3 * e2 / (8 * .075) * 4 / 3 / .075); /* its smallest semi-axis */
        lw_mesh_clear(&mesh);
    }
    lw_head_free(ball);
    lw_head_free(egg);
}

/* ---- the shape of triangles ---- */

static double degrees_between(lw_vec3 a, lw_vec3 b) {
    return atan2(v3_norm(v3_cross(a, b)), v3_dot(a, b)) * 180 / LW_PI;
}

static double smallest_angle(const lw_mesh *mesh, int32_t triangle) {
    double least = 180;
    for (int k = 0; k < 3; k++) {
        const int32_t *t = mesh->triangle[triangle];
        lw_vec3 a = mesh->position[t[k]];
        least = fmin(least, degrees_between(v3_sub(mesh->position[t[(k + 1) % 3]], a),
                                            v3_sub(mesh->position[t[(k + 2) % 3]], a)));
    }
    return least;
}

static void check_edge_length(const lw_mesh *mesh, double cell) {
    double sum = 0;
    for (int i = 0; i < mesh->triangle_count; i++)
        for (int k = 0; k < 3; k++)
            sum += v3_norm(
                v3_sub(mesh->position[mesh->triangle[i][k]], mesh->position[mesh->triangle[i][(k + 1) % 3]]));
    assert_near(sum / (3 * mesh->triangle_count), cell, .1 * cell);
}

/* Measured: 20.4 degrees is the smallest on smooth heads. On a bust, creases leave a few worse ones. */
static void triangles_are_well_shaped(void **state) {
    (void)state;
    for (int kind = LW_HEAD_ADULT; kind <= LW_HEAD_ELLIPSOID; kind++) {
        lw_head *head = head_of((lw_head_kind)kind, .09, .11, .1);
        lw_mesh mesh = mesh_of(head, .003);
        int slivers = 0;
        for (int i = 0; i < mesh.triangle_count; i++) slivers += smallest_angle(&mesh, i) < 18;
        if (kind >= LW_HEAD_SPHERE)
            assert_int_equal(slivers, 0);
        else
            assert_true(slivers < mesh.triangle_count / 100);
        check_edge_length(&mesh, .003);
        lw_mesh_clear(&mesh);
        lw_head_free(head);
    }
}

/* ---- the same whoever asks ---- */

static int by_height(const void *a, const void *b) {
    const lw_vec3 *p = a, *q = b;
    return (p->y > q->y) - (p->y < q->y);
}

/* To the bit. */
static void left_mirrors_right(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_WOMAN, 0, 0, 0);
    lw_mesh mesh = mesh_of(head, .005);
    qsort(mesh.position, (size_t)mesh.vertex_count, sizeof *mesh.position, by_height);
    for (int i = 0, low = 0; i < mesh.vertex_count; i++) {
        lw_vec3 wanted = v3_mirror(mesh.position[i]);
        while (mesh.position[low].y < wanted.y) low++;
        int k = low;
        while (k < mesh.vertex_count && mesh.position[k].y == wanted.y &&
               v3_norm(v3_sub(mesh.position[k], wanted)) > 0)
            k++;
        if (k == mesh.vertex_count || mesh.position[k].y != wanted.y)
            fail_msg("no corner mirrors %g %g %g", wanted.x, wanted.y, wanted.z);
    }
    lw_mesh_clear(&mesh);
    lw_head_free(head);
}

static void same_bits_for_any_number_of_threads(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_MAN, 0, 0, 0);
    lw_mesh first = mesh_of(head, .005);
    for (int threads = 1; threads <= 5; threads += 2) {
#ifdef _OPENMP
        omp_set_num_threads(threads);
#endif
        lw_mesh mesh = mesh_of(head, .005);
        assert_int_equal(mesh.vertex_count, first.vertex_count);
        assert_int_equal(mesh.triangle_count, first.triangle_count);
        size_t corners = (size_t)mesh.vertex_count, triangles = (size_t)mesh.triangle_count;
        assert_memory_equal(mesh.position, first.position, corners * sizeof *mesh.position);
        assert_memory_equal(mesh.normal, first.normal, corners * sizeof *mesh.normal);
        assert_memory_equal(mesh.triangle, first.triangle, triangles * sizeof *mesh.triangle);
        lw_mesh_clear(&mesh);
    }
    lw_mesh_clear(&first);
    lw_head_free(head);
}

/* Questions to the field for each corner: they do not grow as the cells shrink, as they would if the volume
 * were asked. */
static void work_grows_with_the_triangles(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_ADULT, 0, 0, 0);
    static const double cells[] = {.012, .006, .003};
    for (int i = 0; i < 3; i++) {
        atomic_store(&questions, 0);
        lw_mesh mesh = mesh_of(head, cells[i]);
        long asked = atomic_load(&questions);
        assert_true(asked > mesh.vertex_count && asked < 9L * mesh.vertex_count);
        lw_mesh_clear(&mesh);
    }
    lw_head_free(head);
}

/* Above the lid it is the bust's own surface, and the lid is flat. */
static void the_bust_above_a_height_is_closed_by_a_lid(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_WOMAN, 0, 0, 0);
    static const double feet[] = {-.2, -.12, -.05};
    for (int i = 0; i < 3; i++) {
        lw_mesh mesh;
        lw_error error = {0};
        int lid = 0;
        assert_int_equal(lw_mesh_above(&mesh, head, .003, feet[i], &error), LW_OK);
        check_closed(&mesh);
        assert_int_equal(euler(&mesh), 2);
        for (int k = 0; k < mesh.vertex_count; k++) {
            lw_vec3 p = mesh.position[k];
            double bust = fabs(lw_head_bust(head, p, NULL));
            assert_true(p.y > feet[i] - 1e-6);
            if (p.y < feet[i] + 1e-6)
                lid++;
            else
                assert_true(bust < 1e-6);
        }
        assert_true(lid > 500); /* a neck of 10 cm across, corners 3 mm apart */
        lw_mesh_clear(&mesh);
    }
    lw_head_free(head);
}

/* ---- what is refused ---- */

static void cells_out_of_range_are_refused(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, .1, 0, 0);
    static const double cells[] = {0, .0009, .021, -1, NAN, INFINITY};
    for (int i = 0; i < 6; i++) {
        lw_mesh mesh;
        lw_error error = {0};
        assert_int_equal(lw_mesh_new(&mesh, head, cells[i], &error), LW_ERROR_ARGUMENT);
        assert_string_equal(error.place, "cell");
        assert_true(error.message[0] && error.remedy[0]);
        assert_null(mesh.position);
    }
    lw_head_free(head);
}

static void a_foot_above_the_head_is_refused(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_ADULT, 0, 0, 0);
    const double feet[] = {lw_head_centre(head).y, .2, NAN};
    for (int i = 0; i < 3; i++) {
        lw_mesh mesh;
        lw_error error = {0};
        assert_int_equal(lw_mesh_above(&mesh, head, .003, feet[i], &error), LW_ERROR_ARGUMENT);
        assert_string_equal(error.place, "foot");
        assert_true(error.message[0] && error.remedy[0]);
        assert_null(mesh.position);
    }
    lw_head_free(head);
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, .05, 0, 0);
    int before = memory.live, n = 0;
    for (bool refused = true; refused; n++) {
        lw_mesh mesh;
        lw_error error = {0};
        memory_fails_from(n);
        lw_status status = lw_mesh_new(&mesh, head, .02, &error);
        refused = memory_failed();
        assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
        assert_int_equal(error.status, status);
        if (refused) assert_null(mesh.position);
        lw_mesh_clear(&mesh);
        assert_int_equal(memory.live, before);
    }
    assert_true(n > 10);
    lw_head_free(head);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bust_is_one_closed_surface),
        cmocka_unit_test(corners_lie_on_the_surface),
        cmocka_unit_test(spheres_have_their_area_and_volume),
        cmocka_unit_test(triangles_are_well_shaped),
        cmocka_unit_test(left_mirrors_right),
        cmocka_unit_test(same_bits_for_any_number_of_threads),
        cmocka_unit_test(work_grows_with_the_triangles),
        cmocka_unit_test(the_bust_above_a_height_is_closed_by_a_lid),
        cmocka_unit_test(cells_out_of_range_are_refused),
        cmocka_unit_test(a_foot_above_the_head_is_refused),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
