/* Curves on a mesh and what is made of them, held against shapes whose answers are known. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "curve.h"
#include "even.h"
#include "failing.h"
#include "heads.h"
#include "near.h"
#include "outline.h"
#include "patch.h"
#include "refine.h"
#include "relief.h"
#include "vec.h"

#define RADIUS .1
#define CELL .003

/* A sphere of RADIUS about its star centre, which is the origin. */
typedef struct ball {
    lw_head *head;
    lw_mesh mesh;
    int *label;
} ball;

static int set_up(void **state) {
    ball *b = calloc(1, sizeof *b);
    if (!b) return -1;
    b->head = head_of(LW_HEAD_SPHERE, RADIUS, 0, 0);
    b->mesh = mesh_of(b->head, CELL);
    b->label = calloc((size_t)b->mesh.vertex_count, sizeof *b->label);
    *state = b;
    return b->label ? 0 : -1;
}

static int tear_down(void **state) {
    ball *b = *state;
    lw_mesh_clear(&b->mesh);
    lw_head_free(b->head);
    free(b->label);
    free(b);
    return 0;
}

static void set_labels(ball *b, curve_label *at, const void *context) {
    for (int i = 0; i < b->mesh.vertex_count; i++) b->label[i] = at(context, b->mesh.position[i]);
}

static double length_of_all(const curves *c) {
    double sum = 0;
    for (int i = 0; i < c->curve_count; i++) sum += curve_length(c, i);
    return sum;
}

/* ---- silhouettes ---- */

static void silhouette_of_a_sphere_is_the_circle(void **state) {
    const ball *b = *state;
    for (int side = 0; side < VIEW_SIDES; side++) {
        view v = view_of((view_side)side);
        curves c;
        assert_int_equal(curves_silhouette(&c, &b->mesh, v, NULL), LW_OK);
        assert_int_equal(c.curve_count, 1);
        assert_true(c.curves[0].closed);
        for (int i = 0; i < c.point_count; i++) {
            /* a chord of one edge lies at most CELL^2 / 8 R = 11 um inside, edges are up to half again CELL
             */
            assert_near(v3_norm(c.points[i]), RADIUS, 3e-5);
            assert_near(v3_dot(c.points[i], v.toward), 0, 1e-5);
        }
        assert_near(curve_length(&c, 0), 2 * LW_PI * RADIUS, 1e-3 * RADIUS);
        curves_clear(&c);
    }
}

static bool all(const void *context, lw_vec3 p) {
    (void)context, (void)p;
    return true;
}

static bool upper(const void *context, lw_vec3 p) {
    (void)context;
    return p.y > 0;
}

static void outline_closes_round_what_is_asked_for(void **state) {
    const ball *b = *state;
    depth_map map;
    curves silhouette, whole, half;
    view v = view_of(VIEW_FRONT);
    assert_int_equal(depth_map_new(&map, &b->mesh, v, .001, NULL), LW_OK);
    assert_int_equal(curves_silhouette(&silhouette, &b->mesh, v, NULL), LW_OK);
    assert_int_equal(outline_new(&whole, &map, &silhouette, all, NULL, NULL), LW_OK);
    assert_int_equal(outline_new(&half, &map, &silhouette, upper, NULL, NULL), LW_OK);
    assert_int_equal(whole.curve_count, 1);
    assert_true(whole.curves[0].closed);
    for (int i = 0; i < whole.point_count; i++) /* moved onto the silhouette */
        assert_near(hypot(whole.points[i].x, whole.points[i].y), RADIUS, 3e-5);
    assert_int_equal(half.curve_count, 1);
    double low = INFINITY;
    for (int i = 0; i < half.point_count; i++) low = fmin(low, half.points[i].y);
    assert_near(low, 0, .001); /* a pixel */
    curves_clear(&whole);
    curves_clear(&half);
    curves_clear(&silhouette);
    depth_map_clear(&map);
}

static void depth_of_a_sphere(void **state) {
    const ball *b = *state;
    depth_map map;
    assert_int_equal(depth_map_new(&map, &b->mesh, view_of(VIEW_LEFT), .001, NULL), LW_OK);
    for (int y = 0; y < map.height; y++)
        for (int x = 0; x < map.width; x++) {
            double across = map.left + (x + .5) * map.pixel, up = map.top - (y + .5) * map.pixel;
            double square = RADIUS * RADIUS - across * across - up * up;
            float depth = map.depth[y * map.width + x];
            if (square < -1e-7) assert_true(depth == -INFINITY);
            if (square > 4e-4) assert_near(depth, sqrt(square), 2e-4); /* 20 um of chord, down a slope of 5 */
        }
    assert_false(depth_map_hides(&map, v3(RADIUS, 0, 0), .001));
    assert_true(depth_map_hides(&map, v3(-RADIUS, 0, 0), .001));
    assert_true(depth_map_hides(&map, v3(.09, 0, 0), .001));
    assert_false(depth_map_hides(&map, v3(-RADIUS, .11, 0), .001)); /* beside it */
    depth_map_clear(&map);
}

static void pixels_too_small_are_refused(void **state) {
    const ball *b = *state;
    depth_map map;
    lw_error error;
    assert_int_equal(depth_map_new(&map, &b->mesh, view_of(VIEW_LEFT), 1e-6, &error), LW_ERROR_LIMIT);
    assert_string_not_equal(error.remedy, "");
}

/* ---- borders ---- */

static double height_over(lw_vec3 p) { return v3_dot(p, v3_unit(v3(.3, .9, -.2))) - .031; }

static int above(const void *context, lw_vec3 p) {
    (void)context;
    return height_over(p) > 0;
}

static void border_of_a_plane_is_its_circle(void **state) {
    ball *b = *state;
    curves c;
    set_labels(b, above, NULL);
    assert_int_equal(curves_borders(&c, b->head, &b->mesh, b->label, above, NULL, NULL), LW_OK);
    assert_int_equal(c.curve_count, 1);
    assert_true(c.curves[0].closed);
    assert_int_equal(c.curves[0].one + c.curves[0].other, 1);
    for (int i = 0; i < c.point_count; i++) {
        assert_near(height_over(c.points[i]), 0, 1e-6);
        assert_near(v3_norm(c.points[i]), RADIUS, 1e-6);
    }
    assert_near(curve_length(&c, 0), 2 * LW_PI * sqrt(RADIUS * RADIUS - .031 * .031), 1e-3 * RADIUS);
    curves_clear(&c);
}

/* Three slices that meet at the two poles, away from every vertex. */
static int slice(const void *context, lw_vec3 p) {
    (void)context;
    lw_vec3 axis = v3_unit(v3(.2, .9, .37)), x = v3_unit(v3_cross(axis, v3(1, 0, 0))), y = v3_cross(axis, x);
    return (int)floor((atan2(v3_dot(p, y), v3_dot(p, x)) + LW_PI) / (2 * LW_PI) * 2.999999);
}

static void borders_of_three_meet_at_the_poles(void **state) {
    ball *b = *state;
    curves c;
    set_labels(b, slice, NULL);
    assert_int_equal(curves_borders(&c, b->head, &b->mesh, b->label, slice, NULL, NULL), LW_OK);
    double long_ones = 0;
    int ends = 0;
    lw_vec3 pole = v3_scale(v3_unit(v3(.2, .9, .37)), RADIUS);
    for (int i = 0; i < c.curve_count; i++) {
        const curve *k = &c.curves[i];
        assert_false(k->closed);
        assert_true(k->one != k->other);
        for (int j = 0; j < k->count; j += k->count - 1) {
            lw_vec3 end = c.points[k->first + j];
            double away = fmin(v3_norm(v3_sub(end, pole)), v3_norm(v3_add(end, pole)));
            assert_true(away < CELL); /* inside the triangle of the pole */
            ends++;
        }
        long_ones += curve_length(&c, i) > RADIUS;
    }
    assert_near(long_ones, 3, 0);
    assert_int_equal(ends, 2 * c.curve_count);
    assert_near(length_of_all(&c), 3 * LW_PI * RADIUS, 6 * CELL);
    curves_clear(&c);
}

static int nothing_below(const void *context, lw_vec3 p) {
    (void)context;
    return p.y < 0 ? -1 : p.x > .0101;
}

static void labels_below_zero_are_left_out(void **state) {
    ball *b = *state;
    curves c;
    set_labels(b, nothing_below, NULL);
    assert_int_equal(curves_borders(&c, b->head, &b->mesh, b->label, nothing_below, NULL, NULL), LW_OK);
    assert_true(c.point_count > 20);
    for (int i = 0; i < c.point_count; i++) {
        assert_true(c.points[i].y > -1e-6);
        assert_near(c.points[i].x, .0101, 1e-6);
    }
    curves_clear(&c);
}

/* ---- levels ---- */

static void level_of_a_height(void **state) {
    ball *b = *state;
    double *value = malloc((size_t)b->mesh.vertex_count * sizeof *value);
    for (int i = 0; i < b->mesh.vertex_count; i++) value[i] = b->mesh.position[i].y;
    curves c;
    assert_int_equal(curves_level(&c, &b->mesh, value, NULL, .0217, NULL), LW_OK);
    assert_int_equal(c.curve_count, 1);
    for (int i = 0; i < c.point_count; i++) assert_near(c.points[i].y, .0217, 1e-12);
    curves_clear(&c);

    /* Beside a NAN and beside another label there is none. */
    for (int i = 0; i < b->mesh.vertex_count; i++) {
        if (b->mesh.position[i].x > .02) value[i] = NAN;
        b->label[i] = b->mesh.position[i].x < -.02;
    }
    assert_int_equal(curves_level(&c, &b->mesh, value, b->label, .0217, NULL), LW_OK);
    assert_true(c.curve_count >= 2);
    for (int i = 0; i < c.point_count; i++) assert_true(c.points[i].x < .02);
    for (int i = 0; i < c.curve_count; i++)
        for (int j = 1; j < c.curves[i].count; j++) {
            const lw_vec3 *at = &c.points[c.curves[i].first + j];
            assert_true((at[0].x < -.02) == (at[-1].x < -.02));
        }
    curves_clear(&c);
    free(value);
}

/* ---- the patch ---- */

static double area_of(const patch *p, int section) {
    double sum = 0;
    for (int i = 0; i < p->mesh.triangle_count; i++) {
        const int32_t *t = p->mesh.triangle[i];
        assert_int_equal(p->section[t[0]], p->section[t[1]]);
        assert_int_equal(p->section[t[0]], p->section[t[2]]);
        lw_vec3 a = p->mesh.position[t[0]];
        lw_vec3 n = v3_cross(v3_sub(p->mesh.position[t[1]], a), v3_sub(p->mesh.position[t[2]], a));
        assert_true(v3_dot(n, a) > -1e-12); /* still counter-clockwise from outside */
        if (section < 0 || p->section[t[0]] == section) sum += v3_norm(n) / 2;
    }
    return sum;
}

static void patch_has_the_area_of_its_sections(void **state) {
    ball *b = *state;
    patch p;
    set_labels(b, above, NULL);
    assert_int_equal(patch_new(&p, b->head, &b->mesh, b->label, above, NULL, NULL), LW_OK);
    /* Archimedes: a cap of height h has 2 pi R h; flat triangles lose 2e-4 of it. */
    assert_near(area_of(&p, 1), 2 * LW_PI * RADIUS * (RADIUS - .031), 2e-3 * RADIUS * RADIUS);
    assert_near(area_of(&p, -1), 4 * LW_PI * RADIUS * RADIUS, 5e-3 * RADIUS * RADIUS);
    for (int i = 0; i < p.mesh.vertex_count; i++) {
        assert_int_equal(above(NULL, p.inner[i]), p.section[i]);
        if (p.from[i] < 0) assert_near(height_over(p.mesh.position[i]), 0, 1e-6);
    }
    patch_clear(&p);

    set_labels(b, slice, NULL);
    assert_int_equal(patch_new(&p, b->head, &b->mesh, b->label, slice, NULL, NULL), LW_OK);
    for (int k = 0; k < 3; k++)
        assert_near(area_of(&p, k), 4 * LW_PI * RADIUS * RADIUS / 3, 1e-2 * RADIUS * RADIUS);
    patch_clear(&p);
}

/* Linear over the section: kept up to its edge, though another value begins there. A step: smoothed. */
static void evening_out_keeps_slopes(void **state) {
    ball *b = *state;
    patch p;
    set_labels(b, above, NULL);
    assert_int_equal(patch_new(&p, b->head, &b->mesh, b->label, above, NULL, NULL), LW_OK);
    size_t count = (size_t)p.mesh.vertex_count;
    double *value = malloc(count * sizeof *value), *even = malloc(count * sizeof *even);
    for (size_t i = 0; i < count; i++) value[i] = p.section[i] ? p.mesh.position[i].x : 1;
    assert_int_equal(even_out(even, &p, value, .006, NULL), LW_OK);
    for (size_t i = 0; i < count; i++) /* the sphere bends away from its tangent by d^2 / 2R */
        assert_near(even[i], value[i], p.section[i] ? 7e-4 : 1e-12);
    for (size_t i = 0; i < count; i++) value[i] = p.mesh.position[i].x > 0;
    assert_int_equal(even_out(even, &p, value, .006, NULL), LW_OK);
    int between = 0;
    for (size_t i = 0; i < count; i++) between += even[i] > .3 && even[i] < .7;
    assert_true(between > 50);
    free(value);
    free(even);
    patch_clear(&p);
}

/* ---- relief ---- */

static void a_sphere_has_one_curvature_and_no_crease(void **state) {
    ball *b = *state;
    double *curvature = malloc((size_t)b->mesh.vertex_count * sizeof *curvature);
    assert_int_equal(relief_curvature(curvature, &b->mesh, NULL), LW_OK);
    for (int i = 0; i < b->mesh.vertex_count; i++) assert_near(curvature[i], 1 / RADIUS, 1e-3 / RADIUS);
    curves c;
    assert_int_equal(relief_creases(&c, &b->mesh, NULL, view_of(VIEW_FRONT), NULL), LW_OK);
    assert_int_equal(c.curve_count, 0);
    free(curvature);
}

/* ---- refining ---- */

static int by_key(const void *a, const void *b) {
    int64_t p = *(const int64_t *)a, q = *(const int64_t *)b;
    return (p > q) - (p < q);
}

/* Every edge is gone along once each way: closed, and turned one way. */
static void is_closed(const lw_mesh *m) {
    int count = 3 * m->triangle_count;
    int64_t *there = malloc((size_t)count * sizeof *there), *back = malloc((size_t)count * sizeof *back);
    for (int i = 0; i < count; i++) {
        int64_t a = m->triangle[i / 3][i % 3], b = m->triangle[i / 3][(i + 1) % 3];
        there[i] = a << 32 | b;
        back[i] = b << 32 | a;
    }
    qsort(there, (size_t)count, sizeof *there, by_key);
    qsort(back, (size_t)count, sizeof *back, by_key);
    assert_memory_equal(there, back, (size_t)count * sizeof *there);
    for (int i = 1; i < count; i++) assert_true(there[i] != there[i - 1]);
    free(there);
    free(back);
}

/* Edges between two of the first `old` vertices whose normals differ by more than `bend`. */
static int bent_edges(const lw_mesh *m, int old, double bend) {
    int count = 0;
    for (int i = 0; i < 3 * m->triangle_count; i++) {
        int32_t a = m->triangle[i / 3][i % 3], b = m->triangle[i / 3][(i + 1) % 3];
        count += a < old && b < old && v3_dot(m->normal[a], m->normal[b]) < cos(bend);
    }
    return count;
}

static void a_finer_mesh_is_closed_and_on_the_bust(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_ADULT, 0, 0, 0);
    lw_mesh m = mesh_of(head, .006);
    int before = m.vertex_count, on = 0;
    assert_true(bent_edges(&m, before, .3) > 500);
    assert_int_equal(refine(&m, head, .3, NULL), LW_OK);
    assert_true(m.vertex_count > before + 500);
    is_closed(&m);
    assert_int_equal(bent_edges(&m, before, .3), 0);
    for (int i = before; i < m.vertex_count; i++) {
        on += fabs(lw_head_bust(head, m.position[i], NULL)) < 1e-5;
        assert_near(v3_norm(m.normal[i]), 1, 1e-9);
    }
    assert_true(on > .97 * (m.vertex_count - before)); /* across a thin fold the middle stays where it is */
    lw_mesh_clear(&m);
    lw_head_free(head);
}

/* ---- memory ---- */

static void memory_that_runs_out_is_said(void **state) {
    ball *b = *state;
    set_labels(b, slice, NULL);
    int before = memory.live, n = 0;
    for (bool refused = true; refused; n++) {
        curves c;
        lw_error error = {0};
        memory_fails_from(n);
        lw_status status = curves_borders(&c, b->head, &b->mesh, b->label, slice, NULL, &error);
        refused = memory_failed();
        assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
        assert_int_equal(error.status, status);
        if (refused) assert_true(!c.curves && !c.points);
        curves_clear(&c);
        assert_int_equal(memory.live, before);
    }
    assert_true(n > 5);
    n = 0;
    for (bool refused = true; refused; n++) {
        patch p;
        memory_fails_from(n);
        lw_status status = patch_new(&p, b->head, &b->mesh, b->label, slice, NULL, NULL);
        refused = memory_failed();
        assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
        if (refused) assert_null(p.section);
        patch_clear(&p);
        assert_int_equal(memory.live, before);
    }
    assert_true(n > 8);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(silhouette_of_a_sphere_is_the_circle),
        cmocka_unit_test(outline_closes_round_what_is_asked_for),
        cmocka_unit_test(depth_of_a_sphere),
        cmocka_unit_test(pixels_too_small_are_refused),
        cmocka_unit_test(border_of_a_plane_is_its_circle),
        cmocka_unit_test(borders_of_three_meet_at_the_poles),
        cmocka_unit_test(labels_below_zero_are_left_out),
        cmocka_unit_test(level_of_a_height),
        cmocka_unit_test(patch_has_the_area_of_its_sections),
        cmocka_unit_test(evening_out_keeps_slopes),
        cmocka_unit_test(a_sphere_has_one_curvature_and_no_crease),
        cmocka_unit_test(a_finer_mesh_is_closed_and_on_the_bust),
        cmocka_unit_test(memory_that_runs_out_is_said),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
