/* The ground: how far the sampled bust is from the sculpted one, and that it can be stood on anywhere. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#ifdef _OPENMP
#include <omp.h>
#endif

#include "failing.h"
#include "ground.h"
#include "head.h"
#include "heads.h"
#include "near.h"
#include "spline.h"

#define MM 1e-3
#define HEADS 10 /* adult, woman, man, a small and a large one, other hairlines, a ball, an egg */
#define PEOPLE 8
#define BALL 8

static lw_head *heads[HEADS];
static ground *grounds[HEADS];

static ground *ground_of(const lw_head *head, double spacing) {
    ground *g;
    lw_error error = {0};
    ground_options options = ground_default();
    options.spacing = spacing;
    if (ground_new(&g, head, &options, &error)) fail_msg("%s: %s", error.place, error.message);
    return g;
}

static lw_head *person(int i) {
    lw_head *head;
    lw_error error = {0};
    lw_head_options options = lw_head_default();
    options.kind = i < 3 ? (lw_head_kind)i : i % 2 ? LW_HEAD_WOMAN : LW_HEAD_MAN;
    if (i >= 5) options.hairline = (lw_hairline_shape)(i - 4);
    if (i == 3 || i == 4) { /* about the 2nd and the 98th percentile of ANSUR II */
        options.measure[LW_CIRCUMFERENCE] = i == 3 ? .523 : .607;
        options.measure[LW_HEAD_BREADTH] = i == 3 ? .137 : .165;
        options.measure[LW_EAR_TO_TOP] = i == 3 ? .114 : .143;
    }
    if (lw_head_new(&head, &options, &error)) fail_msg("%s: %s", error.place, error.message);
    return head;
}

static int make(void **state) {
    (void)state;
    for (int i = 0; i < PEOPLE; i++) heads[i] = person(i);
    heads[BALL] = head_of(LW_HEAD_SPHERE, .09, 0, 0);
    heads[BALL + 1] = head_of(LW_HEAD_ELLIPSOID, .075, .11, .095);
    for (int i = 0; i < HEADS; i++) grounds[i] = ground_of(heads[i], 0);
    return 0;
}

static int unmake(void **state) {
    (void)state;
    for (int i = 0; i < HEADS; i++) {
        ground_free(grounds[i]);
        lw_head_free(heads[i]);
    }
    return 0;
}

/* 0 to 1, the same in every run: Numerical Recipes' generator, from memory. */
static double chance(uint32_t *seed) {
    *seed = *seed * 1664525U + 1013904223U;
    return (*seed >> 8) / 16777216.0;
}

/* In the box of g, both halves, and `beyond` it. */
static lw_vec3 anywhere(uint32_t *seed, const ground *g, double beyond) {
    double x = chance(seed), y = chance(seed), z = chance(seed);
    lw_vec3 low = v3(-g->high.x - beyond, g->low.y - beyond, g->low.z - beyond);
    lw_vec3 high = v3_add(g->high, v3(beyond, beyond, beyond));
    return v3(low.x + x * (high.x - low.x), low.y + y * (high.y - low.y), low.z + z * (high.z - low.z));
}

/* ---- how far from the bust ---- */

/* Within 52 mm of the middle of the ear lies all that is within 10 mm of it. */
static bool near_ear(const lw_head *head, lw_vec3 p) {
    double side = lw_head_landmark(head, LW_EAR_TOP_LEFT).x;
    return v3_norm(v3_sub(v3(fabs(p.x), p.y, p.z), v3(side, 0, -.015))) < .052;
}

typedef enum part { SCALP, EAR, FACE, BODY, PARTS } part;

static part part_of(const lw_head *head, lw_vec3 p) {
    if (near_ear(head, p)) return EAR;
    if (lw_head_hairline(head, lw_head_project(head, p, NULL)) > 0 && p.y > -.08) return SCALP;
    return p.y < -.12 ? BODY : FACE;
}

/* On the surface itself: all over, and the box holds all of it but the base. Where it bends more sharply than
 * the samples lie apart (the folds inside the ear, eyelids, the corner of the mouth) the ground is rounder
 * than the bust. */
static void test_surface(void **state) {
    (void)state;
    static const double worst[PARTS] = {.1 * MM, .6 * MM, .7 * MM, .02 * MM};
    static const double usual[PARTS] = {.003 * MM, .15 * MM, .05 * MM, .004 * MM}; /* 98 % */
    for (int i = 0; i < PEOPLE; i++) {
        const ground *g = grounds[i];
        lw_mesh mesh = mesh_of(heads[i], .003);
        int count[PARTS] = {0}, more[PARTS] = {0};
        for (int v = 0; v < mesh.vertex_count; v++) {
            lw_vec3 p = mesh.position[v];
            part of = part_of(heads[i], p);
            assert_true(fabs(p.x) < g->high.x - 15 * MM && p.y < g->high.y - 45 * MM &&
                        p.z < g->high.z - 15 * MM && p.z > g->low.z + 15 * MM);
            if (p.y < g->low.y + 6 * MM) continue;
            double d = ground_distance(g, p, NULL);
            assert_near(d, 0, worst[of]);
            count[of]++;
            more[of] += fabs(d) > usual[of];
        }
        for (int k = 0; k < PARTS; k++) {
            assert_true(count[k] > 800);
            if (more[k] * 50 > count[k])
                fail_msg("head %d part %d: %d of %d are off", i, k, more[k], count[k]);
        }
        lw_mesh_clear(&mesh);
    }
}

/* Off the scalp, where the bust is the head's own surface and so the distance is known. */
static void test_distance_from_the_scalp(void **state) {
    (void)state;
    uint32_t seed = 1;
    for (int i = 0; i < HEADS; i++) {
        int count = 0;
        for (int k = 0; k < 6000; k++) {
            lw_vec3 u = v3(chance(&seed) - .5, chance(&seed) - .5, chance(&seed) - .5), n, g;
            lw_vec3 on = lw_head_project(heads[i], v3_add(lw_head_centre(heads[i]), u), &n);
            if (i < PEOPLE && (lw_head_hairline(heads[i], on) < .004 || near_ear(heads[i], on))) continue;
            double away = (chance(&seed) - .5) * 6 * MM;
            /* To the second order: least so in the hollow between nape and ear. */
            assert_near(ground_distance(grounds[i], v3_along(on, n, away), &g), away,
                        .01 * MM + .03 * fabs(away));
            assert_near(v3_norm(g), 1, .06);
            assert_true(v3_norm(v3_cross(g, n)) < .05);
            away = (3 + 2 * chance(&seed)) * MM;
            assert_near(ground_distance(grounds[i], v3_along(on, n, away), &g), away, .05 * away);
            assert_near(v3_norm(g), 1, .15);
            count++;
        }
        assert_true(count > 1500);
    }
}

static void test_ball(void **state) {
    (void)state;
    uint32_t seed = 2;
    for (int k = 0; k < 20000; k++) {
        lw_vec3 p = anywhere(&seed, grounds[BALL], 0), g;
        double wanted = v3_norm(p) - .09, got = ground_distance(grounds[BALL], p, &g);
        /* Exact to the third order near the surface, beyond it the rough distance's first. */
        bool close = wanted > -1.5 * MM && wanted < 4 * MM;
        assert_near(got, wanted, close ? .002 * MM : wanted < 0 ? 12 * MM : 4 * MM);
        if (close) assert_true(v3_norm(v3_sub(g, v3_unit(p))) < .002);
    }
}

static void test_finer_is_nearer(void **state) {
    (void)state;
    const double spacing[3] = {4 * MM, 2 * MM, 1.5 * MM};
    double sum[3] = {0};
    lw_mesh mesh = mesh_of(heads[0], .004);
    for (int i = 0; i < 3; i++) {
        ground *g = ground_of(heads[0], spacing[i]);
        for (int v = 0; v < mesh.vertex_count; v++)
            if (mesh.position[v].y > -.2) sum[i] += fabs(ground_distance(g, mesh.position[v], NULL));
        ground_free(g);
    }
    lw_mesh_clear(&mesh);
    assert_true(sum[1] < .4 * sum[0] && sum[2] < .75 * sum[1]);
}

/* ---- as a function ---- */

/* The header's formula in single precision, as a kernel would have it. */
static float by_the_header(const ground *g, const float p[3], float slope[3]) {
    const float low[3] = {0, (float)g->low.y, (float)g->low.z}, per = (float)(1 / g->spacing);
    const int n[3] = {g->nx, g->ny, g->nz};
    int at[3];
    float b[3][3], d[3][3], sum[4] = {0};
    for (int a = 0; a < 3; a++) {
        float u = ((a ? p[a] : fabsf(p[a])) - low[a]) * per, most = (float)(n[a] - 2);
        u = u < 0 ? 0 : u > most ? most : u;
        at[a] = (int)u < n[a] - 3 ? (int)u : n[a] - 3;
        float t = u - (float)at[a];
        b[a][0] = .5F * (1 - t) * (1 - t), b[a][1] = .5F + t * (1 - t), b[a][2] = .5F * t * t;
        d[a][0] = t - 1, d[a][1] = 1 - 2 * t, d[a][2] = t;
    }
    for (int k = 0; k < 3; k++)
        for (int j = 0; j < 3; j++)
            for (int i = 0; i < 3; i++) {
                float c = g->at[((at[2] + k) * g->ny + at[1] + j) * g->row + at[0] + i];
                sum[0] += b[0][i] * b[1][j] * b[2][k] * c;
                sum[1] += d[0][i] * b[1][j] * b[2][k] * c;
                sum[2] += b[0][i] * d[1][j] * b[2][k] * c;
                sum[3] += b[0][i] * b[1][j] * d[2][k] * c;
            }
    slope[0] = sum[1] * (p[0] < 0 ? -per : per), slope[1] = sum[2] * per, slope[2] = sum[3] * per;
    return sum[0];
}

static void test_layout(void **state) {
    (void)state;
    uint32_t seed = 3;
    for (int i = 0; i < HEADS; i += 3) {
        const ground *g = grounds[i];
        assert_true(g->row % 4 == 0 && g->row >= g->nx && (uintptr_t)g->at % 64 == 0 && g->low.x == 0);
        assert_near(g->high.z, g->low.z + (g->nz - 2) * g->spacing, 1e-12);
        for (int k = 0; k < 5000; k++) {
            lw_vec3 p = anywhere(&seed, g, .05), slope;
            float q[3] = {(float)p.x, (float)p.y, (float)p.z}, s[3];
            double d = ground_distance(g, v3(q[0], q[1], q[2]), &slope);
            assert_near(by_the_header(g, q, s), d, 5e-7);
            /* The slope of a cell is linear, and the place in it is known to 1e-5 of a cell. */
            assert_true(v3_norm(v3_sub(v3(s[0], s[1], s[2]), slope)) < 3e-4);
        }
    }
}

static void test_gradient_is_that_of_the_value(void **state) {
    (void)state;
    uint32_t seed = 4;
    const double h = 1e-7;
    for (int i = 0; i < HEADS; i++)
        for (int k = 0; k < 5000; k++) {
            lw_vec3 p = anywhere(&seed, grounds[i], -1 * MM), g;
            if (k % 3 == 0) p.y = grounds[i]->low.y - .1 * chance(&seed); /* below the box as well */
            ground_distance(grounds[i], p, &g);
            for (int a = 0; a < 3; a++) {
                lw_vec3 e = v3(a == 0, a == 1, a == 2);
                double up = ground_distance(grounds[i], v3_along(p, e, h), NULL);
                double down = ground_distance(grounds[i], v3_along(p, e, -h), NULL);
                /* Rounding 1e-16 * .1 / h; bends of 1 over a cell of 2 mm. */
                assert_near((up - down) / (2 * h), v3_dot(g, e), 3e-4);
            }
        }
}

/* From one cell to the next neither value nor gradient jumps. */
static void test_smooth_across_cells(void **state) {
    (void)state;
    uint32_t seed = 5;
    for (int i = 0; i < HEADS; i++)
        for (int k = 0; k < 3000; k++) {
            const ground *g = grounds[i];
            lw_vec3 p = anywhere(&seed, g, 0), ga, gb, e = v3(k % 3 == 0, k % 3 == 1, k % 3 == 2);
            lw_vec3 cell = v3_scale(v3_sub(p, g->low), 1 / g->spacing);
            p = v3_along(p, e, g->spacing * (floor(v3_dot(cell, e)) - v3_dot(cell, e)));
            double a = ground_distance(g, v3_along(p, e, -1e-10), &ga);
            double b = ground_distance(g, v3_along(p, e, 1e-10), &gb);
            assert_near(a, b, 1e-9);
            assert_true(v3_norm(v3_sub(ga, gb)) < 1e-5);
        }
}

static void test_mirror_image_to_the_bit(void **state) {
    (void)state;
    uint32_t seed = 6;
    for (int i = 0; i < HEADS; i++)
        for (int k = 0; k < 5000; k++) {
            lw_vec3 p = anywhere(&seed, grounds[i], .05), g, h;
            double left = ground_distance(grounds[i], p, &g);
            assert_true(left == ground_distance(grounds[i], v3_mirror(p), &h));
            assert_true(g.x == -h.x && g.y == h.y && g.z == h.z);
            ground_distance(grounds[i], v3(0, p.y, p.z), &g);
            assert_true(g.x == 0);
        }
}

/* ---- inside, outside, below ---- */

/* Steps of half a millimetre up the gradient, at most `most` metres; whether they come out. */
static bool leads_out(const ground *g, lw_vec3 p, double most) {
    lw_vec3 up;
    for (double gone = 0; gone < most; gone += .5 * MM) {
        if (ground_distance(g, p, &up) > 0) return true;
        if (!(v3_norm(up) > 1e-6)) return false;
        p = v3_along(p, v3_unit(up), .5 * MM);
    }
    return false;
}

static void test_inside_leads_out(void **state) {
    (void)state;
    uint32_t seed = 7;
    for (int i = 0; i < HEADS; i++) {
        int inside = 0, caught = 0, caught_in_the_skull = 0;
        for (int k = 0; k < 20000; k++) {
            lw_vec3 p = anywhere(&seed, grounds[i], 0);
            if (ground_distance(grounds[i], p, NULL) >= 0) continue;
            bool out = leads_out(grounds[i], p, .2);
            inside++;
            caught += !out;
            caught_in_the_skull += !out && (p.z < .02 && p.y > -.05 && !near_ear(heads[i], p));
        }
        assert_true(inside > 1500);
        assert_int_equal(caught_in_the_skull, 0);
        if (caught * 500 > inside) fail_msg("head %d: %d of %d are caught", i, caught, inside);
    }
}

/* The side of the surface is that of the bust, everywhere but where the two surfaces differ. */
static void test_same_side_as_the_bust(void **state) {
    (void)state;
    uint32_t seed = 8;
    for (int i = 0; i < HEADS; i++)
        for (int k = 0; k < 10000; k++) {
            lw_vec3 p = anywhere(&seed, grounds[i], 0), g;
            double d = ground_distance(grounds[i], p, NULL), bust = lw_head_bust(heads[i], p, &g);
            if (fabs(bust) > 1 * MM && fabs(d) > 1 * MM) assert_true((d < 0) == (bust < 0));
        }
}

static double within(double x, double low, double high) { return fmin(fmax(x, low), high); }

static void test_beyond_the_box(void **state) {
    (void)state;
    uint32_t seed = 9;
    for (int i = 0; i < HEADS; i++) {
        const ground *g = grounds[i];
        for (int k = 0; k < 5000; k++) {
            lw_vec3 p = anywhere(&seed, g, .5), there, here;
            lw_vec3 at = v3(within(p.x, -g->high.x, g->high.x), within(p.y, g->low.y, g->high.y),
                            within(p.z, g->low.z, g->high.z));
            double d = ground_distance(g, p, &here);
            assert_near(d, ground_distance(g, at, &there), 1e-12);
            assert_true(v3_norm(v3_sub(here, there)) < 1e-9);
            lw_vec3 out = v3_sub(p, at);
            if (p.y < at.y) {
                assert_true(here.y == 0);
                out.y = 0;
            }
            if (v3_norm(out) == 0) continue;
            assert_true(d > 10 * MM);
            assert_true(v3_dot(here, v3_unit(out)) > 0);
        }
    }
}

/* No place is nearer to the bust than its block tells; and a block is 4 samples wide, so that what lies
 * within two more of it is at most the diagonal of 6 nearer than any place in it. */
static void test_clear_of_the_bust(void **state) {
    (void)state;
    uint32_t seed = 11;
    for (int i = 0; i < HEADS; i++) {
        const ground *g = grounds[i];
        double across = sqrt(3) * (GROUND_BLOCK + 2) * g->spacing, per = 1 / g->spacing;
        int far = 0;
        for (int k = 0; k < 20000; k++) {
            lw_vec3 p = anywhere(&seed, g, .05);
            int x = place_along(fabs(p.x) * per, g->nx).at / GROUND_BLOCK,
                y = place_along((p.y - g->low.y) * per, g->ny).at / GROUND_BLOCK,
                z = place_along((p.z - g->low.z) * per, g->nz).at / GROUND_BLOCK;
            assert_true(x < g->block_nx && y < g->block_ny && z < g->block_nz);
            double clear = g->clear[((size_t)z * g->block_ny + y) * g->block_nx + x],
                   distance = ground_distance(g, p, NULL);
            assert_true(clear <= distance + 1e-7);
            assert_true(clear >= distance - 1.5 * across);
            far += clear > 5 * MM;
        }
        assert_true(far > 5000);
    }
}

static void test_not_a_number(void **state) {
    (void)state;
    lw_vec3 g;
    double d = ground_distance(grounds[0], v3(NAN, NAN, NAN), &g);
    assert_true(isfinite(d) && isfinite(v3_norm(g)));
    d = ground_distance(grounds[0], v3(INFINITY, -INFINITY, INFINITY), &g);
    assert_true(d > 0 && isfinite(v3_norm(g)));
}

/* ---- making it ---- */

static void test_same_bits_for_any_number_of_threads(void **state) {
    (void)state;
#ifdef _OPENMP
    for (int threads = 1; threads <= 5; threads += 2) {
        omp_set_num_threads(threads);
        ground *g = ground_of(heads[1], 0);
        size_t bytes = (size_t)g->nz * g->ny * g->row * sizeof *g->at;
        assert_memory_equal(g->at, grounds[1]->at, bytes);
        ground_free(g);
    }
    omp_set_num_threads(omp_get_num_procs());
#endif
}

static void test_memory_failure(void **state) {
    (void)state;
    int fails = 0, live = memory.live;
    for (bool failed = true; failed; fails++) {
        ground *g = NULL;
        lw_error error = {0};
        ground_options options = {.spacing = 5 * MM};
        memory_fails_at(fails);
        lw_status status = ground_new(&g, heads[2], &options, &error);
        failed = memory_failed();
        assert_int_equal(status, failed ? LW_ERROR_MEMORY : LW_OK);
        assert_true((g == NULL) == failed);
        if (failed) assert_string_equal(error.place, "ground");
        ground_free(g);
        assert_int_equal(memory.live, live);
    }
    assert_true(fails > 8);
}

static void test_arguments(void **state) {
    (void)state;
    const double bad[] = {-1, 1e-5, .006, NAN, INFINITY};
    for (int i = 0; i < 5; i++) {
        ground *g;
        lw_error error = {0};
        ground_options options = {.spacing = bad[i]};
        assert_int_equal(ground_new(&g, heads[0], &options, &error), LW_ERROR_ARGUMENT);
        assert_null(g);
        assert_string_equal(error.place, "spacing");
    }
    lw_head *giant = head_of(LW_HEAD_SPHERE, .5, 0, 0), *dwarf = head_of(LW_HEAD_SPHERE, .02, 0, 0);
    ground *g;
    lw_error error = {0};
    ground_options options = {.spacing = .0005};
    assert_int_equal(ground_new(&g, giant, &options, &error), LW_ERROR_LIMIT);
    assert_null(g);
    g = ground_of(giant, 0);
    assert_true((double)g->nx * g->ny * g->nz < 18e6);
    assert_near(ground_distance(g, v3(.3, .4, 0), NULL), 0, .01 * MM);
    ground_free(g);
    g = ground_of(dwarf, 5 * MM);
    assert_near(ground_distance(g, v3(.012, .016, 0), NULL), 0, 1 * MM);
    ground_free(g);
    ground_free(NULL);
    lw_head_free(giant);
    lw_head_free(dwarf);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_surface),
        cmocka_unit_test(test_distance_from_the_scalp),
        cmocka_unit_test(test_ball),
        cmocka_unit_test(test_finer_is_nearer),
        cmocka_unit_test(test_layout),
        cmocka_unit_test(test_gradient_is_that_of_the_value),
        cmocka_unit_test(test_smooth_across_cells),
        cmocka_unit_test(test_mirror_image_to_the_bit),
        cmocka_unit_test(test_inside_leads_out),
        cmocka_unit_test(test_same_side_as_the_bust),
        cmocka_unit_test(test_beyond_the_box),
        cmocka_unit_test(test_clear_of_the_bust),
        cmocka_unit_test(test_not_a_number),
        cmocka_unit_test(test_same_bits_for_any_number_of_threads),
        cmocka_unit_test(test_memory_failure),
        cmocka_unit_test(test_arguments),
    };
    return cmocka_run_group_tests(tests, make, unmake);
}
