/* What hair is made of and which way it leaves the scalp: against sums done by hand and published numbers,
 * and against what a comb does. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "fibre.h"
#include "heads.h"
#include "near.h"
#include "vec.h"
#include "worn.h"

enum { ROOTS = 3000 };

/* ---- what it is made of ---- */

static fibre made(const lw_plan *plan) {
    fibre f;
    lw_error error = {0};
    if (fibre_of(&f, &plan->hair, &plan->worn, &error)) fail_msg("%s: %s", error.place, error.message);
    return f;
}

/* A round hair of 70 um, E 4 GPa, of 1.32 g/cm^3, which is from memory. */
static lw_plan round_hair(void) {
    lw_plan plan = lw_plan_default();
    plan.hair.section_area = LW_PI * 35e-6 * 35e-6;
    plan.hair.ellipticity = 1;
    plan.hair.modulus = 4e9;
    return plan;
}

/* By hand: EI = 4e9 pi/4 (35e-6)^4, q = 1320 x 9.80665 x pi (35e-6)^2, and a length of 90.5 mm alone
 * (Greenhill 1881; three figures). */
static void test_a_round_hair(void **state) {
    (void)state;
    lw_plan plan = round_hair();
    fibre f = made(&plan);
    assert_near(f.bend[0], 4.714352e-9, 1e-15);
    assert_near(f.bend[1], f.bend[0], 1e-20);
    assert_near(f.weight, 4.981734e-5, 1e-10);
    assert_near(f.twist / f.bend[0], 0.435, 1e-12); /* the middle of .41 and .46, derived */
    assert_near(f.area, 3848.451e-12, 1e-17);
    assert_near(fibre_stands(&f), 0.0905, 5e-5);
    assert_int_equal(f.hairs, 1);
    assert_true(f.curl == 0 && f.turn == 0 && f.taken == 0);
}

/* Section and ellipticity: TRI, table 3. Semi-axes by hand: pi a b = 4210 um^2, a = 1.66 b. */
static void test_an_elliptical_hair(void **state) {
    (void)state;
    lw_plan plan = lw_plan_default();
    plan.hair.section_area = 4210e-12;
    plan.hair.ellipticity = 1.66;
    plan.hair.modulus = 3.89e9;
    fibre f = made(&plan);
    double a = 47.1648e-6, b = 28.4126e-6, E = 3.89e9;
    assert_near(f.bend[0] / (E * LW_PI / 4 * a * b * b * b), 1, 2e-5);
    assert_near(f.bend[1] / (E * LW_PI / 4 * a * a * a * b), 1, 2e-5);
    assert_near(f.bend[1] / f.bend[0], 1.66 * 1.66, 1e-12);
    /* Saint-Venant's ellipse, J = pi a^3 b^3 / (a^2 + b^2), with G = .435 E / 2. */
    assert_near(f.twist / (0.2175 * E * LW_PI * pow(a * b, 3) / (a * a + b * b)), 1, 5e-5);
}

/* The three rows of TRI's table: the middle of the default is among them, and each stands by itself to a
 * length between 7 and 11 cm. */
static void test_the_default_is_an_ordinary_hair(void **state) {
    (void)state;
    static const double rows[3][2] = {{5063, 1.29}, {4079, 1.41}, {4210, 1.66}};
    lw_plan plan = lw_plan_default();
    double mean = 0, least = 1, most = 0;
    fibre ours = made(&plan);
    for (int i = 0; i < 3; i++) {
        plan.hair.section_area = rows[i][0] * 1e-12;
        plan.hair.ellipticity = rows[i][1];
        mean += rows[i][1] / 3;
        fibre f = made(&plan);
        least = fmin(least, fibre_stands(&f));
        most = fmax(most, fibre_stands(&f));
    }
    assert_near(lw_plan_default().hair.ellipticity, mean, 0.005); /* rounded to two places */
    assert_true(least > 0.07 && most < 0.11);
    assert_true(least < fibre_stands(&ours) && fibre_stands(&ours) < most);
}

/* Dry modulus two to three times the wet one (J. Cosmet. Sci. 72:673, 2021); from memory diameter 1.14, in
 * shear .2. What swells is water of 1 g/cm^3. */
static void test_water(void **state) {
    (void)state;
    lw_plan plan = round_hair();
    fibre dry = made(&plan), wet, damp;
    plan.worn.wetness = 1;
    wet = made(&plan);
    plan.worn.wetness = 0.25;
    damp = made(&plan);
    assert_near(wet.bend[0] / dry.bend[0], 0.4 * 1.14 * 1.14 * 1.14 * 1.14, 1e-12);
    assert_near(wet.twist / dry.twist, 0.2 * 1.14 * 1.14 * 1.14 * 1.14, 1e-12);
    assert_near(wet.area / dry.area, 1.2996, 1e-12);
    assert_near(wet.weight / dry.weight, 1 + 0.2996 / 1.32, 1e-12);
    assert_near(damp.bend[1], 0.75 * dry.bend[1] + 0.25 * wet.bend[1], 1e-22);
    assert_near(damp.twist, 0.75 * dry.twist + 0.25 * wet.twist, 1e-22);
    assert_near(damp.weight, 0.75 * dry.weight + 0.25 * wet.weight, 1e-18);
    assert_near(damp.area, 0.75 * dry.area + 0.25 * wet.area, 1e-22);
    assert_true(fibre_stands(&wet) < fibre_stands(&dry));
}

static void test_product(void **state) {
    (void)state;
    lw_plan plan = round_hair();
    fibre bare = made(&plan), held;
    plan.worn.stiffness = 3;
    plan.worn.load = 0.1;
    held = made(&plan);
    assert_near(held.bend[0] / bare.bend[0], 3, 1e-12);
    assert_near(held.twist / bare.twist, 3, 1e-12);
    assert_near(held.weight / bare.weight, 1.1, 1e-12);
    plan.worn.wetness = 1; /* a share of what the hair weighs dry, in wet hair as well */
    assert_near((made(&plan).weight - bare.weight) / bare.weight, 0.1 + 0.2996 / 1.32, 1e-12);
    plan.worn.wetness = 0;
    plan.worn.stiffness = 1;
    plan.worn.load = 0;
    plan.worn.bundle = 7;
    held = made(&plan);
    assert_int_equal(held.hairs, 7);
    assert_near(held.weight / bare.weight, 7, 1e-12);
    assert_near(held.area / bare.area, 7, 1e-12);
    /* One round strand of seven times the section: 49 times as stiff. */
    lw_plan thick = round_hair();
    thick.hair.section_area *= 7;
    fibre solid = made(&thick);
    assert_near(held.bend[0] / solid.bend[0], 1, 1e-12);
    assert_near(held.twist / solid.twist, 1, 1e-12);
    assert_near(held.weight / solid.weight, 1, 1e-12);
}

/* The helix back from its curvature and twist, and how far it reaches: what lw_hair_lies says of it. */
static void test_curl(void **state) {
    (void)state;
    lw_plan plan = lw_plan_default();
    plan.hair.coil_diameter = 0.012;
    plan.hair.coil_pitch = 0.015;
    fibre f = made(&plan);
    assert_near(f.curl, 143.887, 1e-3); /* by hand: r = 6 mm, c = 2.387324 mm, r / (r^2 + c^2) */
    assert_near(f.turn, 57.2509, 1e-4);
    double square = f.curl * f.curl + f.turn * f.turn;
    assert_near(f.curl / square, 0.006, 1e-15);
    assert_near(2 * LW_PI * f.turn / square, 0.015, 1e-15);
    assert_near(f.turn / sqrt(square), lw_hair_lies(&plan.hair, 1), 1e-12);
    plan.worn.wetness =
        1; /* the coil is the fibre's own: water makes it heavier and softer, not straighter */
    assert_near(made(&plan).curl, f.curl, 0);
}

static void test_blow_dry(void **state) {
    (void)state;
    lw_plan plan = lw_plan_default();
    plan.hair.coil_diameter = 0.012;
    plan.hair.coil_pitch = 0.015;
    double curl = made(&plan).curl, turn = made(&plan).turn, k, t;
    plan.worn.dried = LW_DRIED_STRAIGHT;
    fibre f = made(&plan);
    fibre_shape(&k, &t, &f, 0.1, 0.2, 0.3);
    assert_true(k == 0 && t == 0);
    plan.worn.taken = 0.75;
    f = made(&plan);
    fibre_shape(&k, &t, &f, 0.1, 0.2, 0.3);
    assert_near(k, 0.25 * curl, 1e-12);
    assert_near(t, 0.25 * turn, 1e-12);

    /* Round a brush of 6 cm: a circle of 3 cm radius, toward the head or away. */
    plan.worn.taken = 1;
    plan.worn.dried = LW_DRIED_UNDER;
    plan.worn.brush = 0.06;
    f = made(&plan);
    fibre_shape(&k, &t, &f, 0, 0.01, 0.3);
    assert_near(k, 1 / 0.03, 1e-12);
    assert_true(t == 0);
    plan.worn.dried = LW_DRIED_OUT;
    f = made(&plan);
    fibre_shape(&k, &t, &f, 0, 0.01, 0.3);
    assert_near(k, -1 / 0.03, 1e-12);

    /* Only the last 5 cm: pieces of any size add up to 5 cm of it, and the rest is straight. */
    plan.worn.ends = 0.05;
    f = made(&plan);
    for (int pieces = 1; pieces < 40; pieces += 7) {
        double sum = 0;
        for (int i = 0; i < pieces; i++) {
            double from = 0.3 * i / pieces, to = 0.3 * (i + 1) / pieces;
            fibre_shape(&k, &t, &f, from, to, 0.3);
            assert_true(to > 0.25 || k == 0);
            sum += k * (to - from);
        }
        assert_near(sum, -0.05 / 0.03, 1e-12);
    }
    fibre_shape(&k, &t, &f, 0.2, 0.2, 0.3);
    assert_true(k == 0);
    fibre_shape(&k, &t, &f, 0.3, 0.3, 0.3);
    assert_near(k, -1 / 0.03, 1e-12);

    plan.worn.wetness = 1; /* and water undoes it */
    f = made(&plan);
    fibre_shape(&k, &t, &f, 0.29, 0.3, 0.3);
    assert_near(k, curl, 0);
    assert_near(t, turn, 0);
}

static void expect_no_fibre(const lw_plan *plan, const char *place) {
    fibre f;
    lw_error error = {0};
    assert_int_equal(fibre_of(&f, &plan->hair, &plan->worn, &error), LW_ERROR_ARGUMENT);
    if (strcmp(error.place, place) != 0 || !error.message[0] || !error.remedy[0])
        fail_msg("%s: %s", error.place, error.message);
    assert_true(f.weight == 0 && f.bend[0] == 0);
    assert_int_equal(fibre_of(&f, &plan->hair, &plan->worn, NULL), LW_ERROR_ARGUMENT);
}

static void test_what_no_hair_is(void **state) {
    (void)state;
    lw_plan plan;
    double *const hair[] = {&plan.hair.section_area, &plan.hair.ellipticity, &plan.hair.modulus};
    double *const coil[] = {&plan.hair.coil_diameter, &plan.hair.coil_pitch};
    double *const product[] = {&plan.worn.stiffness, &plan.worn.load};
    static const double wrong[] = {-1, 1e12, NAN, INFINITY};
    for (int k = 0; k < 4; k++) {
        for (int i = 0; i < 3; i++) {
            plan = lw_plan_default();
            *hair[i] = wrong[k];
            expect_no_fibre(&plan, "hair");
        }
        for (int i = 0; i < 2; i++) {
            plan = lw_plan_default();
            plan.hair.coil_diameter = plan.hair.coil_pitch = 0.01;
            *coil[i] = wrong[k];
            expect_no_fibre(&plan, "hair.curl");
            plan = lw_plan_default();
            *product[i] = wrong[k];
            expect_no_fibre(&plan, "worn.product");
        }
        plan = lw_plan_default();
        plan.worn.wetness = wrong[k];
        expect_no_fibre(&plan, "worn.wetness");
        plan = lw_plan_default();
        plan.worn.dried = LW_DRIED_UNDER;
        plan.worn.brush = wrong[k];
        expect_no_fibre(&plan, "worn.blow_dry");
    }
    plan = lw_plan_default();
    plan.worn.bundle = 0;
    expect_no_fibre(&plan, "worn.product");
    plan = lw_plan_default();
    plan.worn.dried = LW_DRIED_OUT; /* without a brush */
    expect_no_fibre(&plan, "worn.blow_dry");
    plan = lw_plan_default();
    plan.hair.coil_diameter = 60e-6; /* a coil tighter than its own fibre, which is 63.8 um thick */
    plan.hair.coil_pitch = 0.01;
    expect_no_fibre(&plan, "hair.curl");
    plan.hair.coil_diameter = 0.01;
    plan.hair.coil_pitch = 60e-6;
    expect_no_fibre(&plan, "hair.curl");
    plan.hair.coil_pitch = 65e-6;
    made(&plan);
}

/* ---- which way it leaves the scalp ---- */

typedef struct heads {
    lw_head *woman, *sphere;
    lw_scalp *scalp, *mirrored, *ball;
} heads;

static int set_up(void **state) {
    static heads h;
    lw_error error = {0};
    h.woman = head_of(LW_HEAD_WOMAN, 0, 0, 0);
    h.sphere = head_of(LW_HEAD_SPHERE, 0.09, 0, 0);
    h.scalp = roots_of(h.woman, ROOTS);
    h.ball = roots_of(h.sphere, ROOTS);
    lw_scalp_options options = lw_scalp_default();
    options.count = ROOTS;
    options.whorl[0].right = -options.whorl[0].right;
    options.whorl[0].sense = -options.whorl[0].sense;
    if (lw_scalp_new(&h.mirrored, h.woman, &options, &error)) fail_msg("%s", error.message);
    *state = &h;
    return 0;
}

static int tear_down(void **state) {
    heads *h = *state;
    lw_scalp_free(h->scalp);
    lw_scalp_free(h->mirrored);
    lw_scalp_free(h->ball);
    lw_head_free(h->woman);
    lw_head_free(h->sphere);
    return 0;
}

static worn ready(const lw_scalp *scalp, const lw_plan *plan) {
    worn w;
    lw_error error = {0};
    if (worn_make(&w, scalp, &plan->hair, &plan->worn, &error))
        fail_msg("%s: %s", error.place, error.message);
    return w;
}

static worn ready_for(const lw_scalp *scalp, lw_worn_way way) {
    lw_plan plan = lw_plan_default();
    plan.worn.way = way;
    return ready(scalp, &plan);
}

/* Between two unit vectors, degrees. */
static double between(lw_vec3 a, lw_vec3 b) {
    return atan2(v3_norm(v3_cross(a, b)), v3_dot(a, b)) * 180 / LW_PI;
}

static double off_scalp(lw_vec3 d, lw_vec3 n) {
    return atan2(v3_dot(d, n), v3_norm(v3_tangent(d, n))) * 180 / LW_PI;
}

static void test_every_direction_is_one(void **state) {
    const heads *h = *state;
    const lw_scalp *scalps[] = {h->scalp, h->ball};
    static const double lifts[] = {-1, 0, 0.5, LW_PI / 2};
    lw_plan plan = lw_plan_default();
    for (int s = 0; s < 2; s++)
        for (int way = LW_WORN_NONE; way <= LW_WORN_FORWARD; way++)
            for (int k = 0; k < 4; k++) {
                plan.worn.way = (lw_worn_way)way;
                plan.worn.lift = lifts[k];
                worn w = ready(scalps[s], &plan);
                for (int i = 0; i < ROOTS; i += 3) {
                    lw_vec3 n = lw_scalp_normal(scalps[s], i);
                    worn_root r = worn_at(&w, lw_scalp_root(scalps[s], i));
                    assert_near(v3_norm(r.direction), 1, 1e-12);
                    assert_near(v3_norm(r.combed), 1, 1e-12);
                    assert_near(v3_norm(r.axis), 1, 1e-12);
                    assert_near(v3_dot(r.combed, n), 0, 1e-9);
                    assert_near(v3_dot(r.axis, n), 0, 1e-9);
                    assert_near(v3_dot(r.axis, r.direction), 0, 1e-9);
                    assert_true(v3_dot(r.direction, n) > -1e-9);
                    assert_int_equal(r.hand, i % 2 ? -1 : 1);
                    if (lifts[k] < 0) assert_true(v3_dot(r.direction, n) > 0.01);
                    /* Curving about the axis goes toward the head. */
                    assert_true(v3_dot(v3_cross(r.axis, r.direction), n) < 1e-9);
                    if (lifts[k] >= 0) assert_near(off_scalp(r.direction, n), lifts[k] * 180 / LW_PI, 1e-5);
                }
            }
}

/* Surgeons teach 10 to 20 degrees at the front hairline, 3 to 10 at the temples, 30 to 60 on the top: at
 * second hand. */
static void test_unparted_hair_leaves_as_it_grows(void **state) {
    const heads *h = *state;
    worn w = ready_for(h->scalp, LW_WORN_NONE);
    for (int i = 0; i < ROOTS; i++) {
        lw_vec3 p = lw_scalp_root(h->scalp, i), n = lw_scalp_normal(h->scalp, i);
        worn_root r = worn_at(&w, p);
        assert_near(between(v3_unit(v3_tangent(r.direction, n)), lw_scalp_growth(h->scalp, p)), 0, 1e-4);
        assert_near(off_scalp(r.direction, n), worn_root_angle(&w, p) * 180 / LW_PI, 1e-6);
        assert_int_equal(r.side, 0);
    }
    double front = worn_root_angle(&w, lw_head_landmark(h->woman, LW_FRONT_HAIRLINE)) * 180 / LW_PI;
    double temple = worn_root_angle(&w, lw_head_landmark(h->woman, LW_TEMPLE_LEFT)) * 180 / LW_PI;
    double top = worn_root_angle(&w, lw_head_landmark(h->woman, LW_APEX)) * 180 / LW_PI;
    assert_true(front >= 10 && front <= 20);
    assert_true(temple >= 3 &&
                temple <= 13); /* one angle all along the hairline: the temple's is a little high */
    assert_true(top >= 30 && top <= 60);
}

/* 2 mm to either side of the line, on the scalp from the front to the crown. */
static void test_a_parting_parts_where_it_is(void **state) {
    const heads *h = *state;
    const lw_scalp *scalps[] = {h->scalp, h->ball};
    static const lw_worn_way ways[] = {LW_WORN_CENTRE, LW_WORN_LEFT, LW_WORN_RIGHT};
    static const double x[] = {0, 0.04, -0.04}; /* 4 cm: above the arch of the brow, common practice */
    for (int s = 0; s < 2; s++) {
        const lw_head *head = s ? h->sphere : h->woman;
        lw_vec3 centre = lw_head_centre(head), crown = v3_sub(lw_head_landmark(head, LW_CROWN), centre);
        lw_vec3 front = v3_sub(lw_head_landmark(head, LW_FRONT_HAIRLINE), centre);
        for (int k = 0; k < 3; k++) {
            worn w = ready_for(scalps[s], ways[k]);
            for (int i = 0; i < 20; i++) {
                double from = atan2(front.y, front.z), to = atan2(crown.y, crown.z) - 0.1;
                double angle = from + (to - from) * i / 19;
                for (int side = -1; side <= 1; side += 2) {
                    lw_vec3 n, d = v3(x[k] + side * 0.002, 0.075 * sin(angle), 0.075 * cos(angle));
                    lw_vec3 p = lw_head_project(head, v3_add(centre, d), &n);
                    p.x = x[k] + side * 0.002; /* back to that place: the projection went along the ray */
                    p = lw_head_project(head, p, &n);
                    worn_root r = worn_at(&w, p);
                    assert_int_equal(r.side, p.x > x[k] ? 1 : -1);
                    if (fabs(p.x - x[k]) < 0.0005) continue;
                    assert_true(r.combed.x * r.side > 0.7);
                    assert_true(r.direction.x * r.side > 0.5);
                }
            }
        }
    }
}

/* Along the scalp what is combed left of a centre parting goes left and never uphill to the parting; at the
 * sides, a hand's breadth down, it hangs within 30 degrees of straight down. */
static void test_parted_hair_falls_to_its_side(void **state) {
    const heads *h = *state;
    worn w = ready_for(h->scalp, LW_WORN_CENTRE);
    for (int i = 0; i < ROOTS; i++) {
        lw_vec3 p = lw_scalp_root(h->scalp, i), n = lw_scalp_normal(h->scalp, i);
        worn_root r = worn_at(&w, p);
        assert_int_equal(r.side, p.x > 0 ? 1 : -1);
        if (fabs(n.x) > 0.9) assert_true(between(r.combed, v3_unit(v3_tangent(v3(0, -1, 0), n))) < 30);
        assert_true(r.combed.y < 0.35);
        if (p.z > 0) assert_true(r.combed.x * r.side > -0.2);
    }
}

/* The front stands up as it is combed against its growth (common practice) and still goes back. */
static void test_brushed_back(void **state) {
    const heads *h = *state;
    worn w = ready_for(h->scalp, LW_WORN_BACK), loose = ready_for(h->scalp, LW_WORN_NONE);
    double worst = 0;
    for (int i = 0; i < ROOTS; i++) {
        lw_vec3 p = lw_scalp_root(h->scalp, i), n = lw_scalp_normal(h->scalp, i);
        worn_root r = worn_at(&w, p);
        lw_vec3 back = v3_unit(v3_tangent(v3(0, 0, -1), n));
        if (n.z < -0.3) { /* past the crown the way back is down */
            assert_true(r.combed.y < 0);
            continue;
        }
        worst = fmax(worst, between(r.combed, back));
        assert_true(r.direction.z < 0);
    }
    assert_true(worst < 60); /* at the sideburns; on the top: */
    for (int i = 0; i < ROOTS; i++) {
        lw_vec3 p = lw_scalp_root(h->scalp, i), n = lw_scalp_normal(h->scalp, i);
        lw_vec3 back = v3_unit(v3_tangent(v3(0, 0, -1), n));
        if (n.y > 0.5 && n.z > -0.3) assert_true(between(worn_at(&w, p).combed, back) < 30);
    }
    lw_vec3 n, front = lw_head_project(h->woman, lw_head_landmark(h->woman, LW_FRONT_HAIRLINE), &n);
    double with = off_scalp(worn_at(&loose, front).direction, n),
           against = off_scalp(worn_at(&w, front).direction, n);
    assert_true(against > with + 10);
}

static void test_brushed_forward(void **state) {
    const heads *h = *state;
    worn w = ready_for(h->scalp, LW_WORN_FORWARD);
    lw_vec3 crown = lw_head_landmark(h->woman, LW_CROWN);
    for (int i = 0; i < ROOTS; i++) {
        lw_vec3 p = lw_scalp_root(h->scalp, i), n = lw_scalp_normal(h->scalp, i);
        worn_root r = worn_at(&w, p);
        lw_vec3 forward = v3_unit(v3_tangent(v3(0, 0, 1), n));
        if (n.y > 0.5 && n.z > -0.1) assert_true(between(r.combed, forward) < 45);
        if (n.z > -0.1 && n.y > -0.2) assert_true(r.combed.z > 0);
        if (p.z < crown.z - 0.02) assert_true(r.combed.y < 0);
    }
}

static void test_roots_are_points_of_the_scalp(void **state) {
    const heads *h = *state;
    for (int way = LW_WORN_NONE; way <= LW_WORN_FORWARD; way++) {
        worn w = ready_for(h->scalp, (lw_worn_way)way);
        for (int i = 0; i < ROOTS; i++) {
            worn_root a = worn_at_root(&w, i), b = worn_at(&w, lw_scalp_root(h->scalp, i));
            assert_near(v3_norm(v3_sub(a.direction, b.direction)), 0, 1e-9);
            assert_near(v3_norm(v3_sub(a.combed, b.combed)), 0, 1e-9);
            assert_near(v3_norm(v3_sub(a.axis, b.axis)), 0, 1e-9);
            assert_int_equal(a.side, b.side);
        }
    }
}

static bool same(lw_vec3 a, lw_vec3 b) { return a.x == b.x && a.y == b.y && a.z == b.z; }

static void test_mirror_images_to_the_bit(void **state) {
    const heads *h = *state;
    static const lw_worn_way ways[] = {LW_WORN_NONE,  LW_WORN_CENTRE, LW_WORN_LEFT,
                                       LW_WORN_RIGHT, LW_WORN_BACK,   LW_WORN_FORWARD};
    static const lw_worn_way other[] = {LW_WORN_NONE, LW_WORN_CENTRE, LW_WORN_RIGHT,
                                        LW_WORN_LEFT, LW_WORN_BACK,   LW_WORN_FORWARD};
    for (int k = 0; k < 6; k++) {
        worn w = ready_for(h->scalp, ways[k]), m = ready_for(h->mirrored, other[k]);
        for (int i = 0; i + 1 < ROOTS; i++) {
            worn_root a = worn_at_root(&w, i), b = worn_at_root(&m, i ^ 1);
            assert_true(same(v3_mirror(a.direction), b.direction));
            assert_true(same(v3_mirror(a.combed), b.combed));
            assert_true(same(v3_scale(v3_mirror(a.axis), -1), b.axis));
            assert_int_equal(a.side, -b.side);
            assert_int_equal(a.hand, -b.hand);
        }
    }
}

/* Two roots 1 mm apart leave the scalp within a few degrees of each other, but for the parting, the whorl,
 * and the crown where it is brushed forward. */
static void test_smooth_but_for_the_parting(void **state) {
    const heads *h = *state;
    lw_vec3 crown = lw_head_landmark(h->woman, LW_CROWN);
    for (int way = LW_WORN_NONE; way <= LW_WORN_FORWARD; way++) {
        worn w = ready_for(h->scalp, (lw_worn_way)way);
        double worst = 0;
        int looked = 0;
        for (int i = 0; i < ROOTS; i++) {
            lw_vec3 p = lw_scalp_root(h->scalp, i), n = lw_scalp_normal(h->scalp, i);
            double line = w.parted && p.z > crown.z - 0.01 ? fabs(p.x - w.parting) : 1;
            if (line < 0.004 || v3_norm(v3_sub(p, crown)) < 0.04) continue;
            lw_vec3 step = v3_unit(v3_tangent(v3(sin(i), cos(i), sin(3 * i)), n));
            lw_vec3 q = lw_head_project(h->woman, v3_along(p, step, 0.001), NULL);
            worst = fmax(worst, between(worn_at(&w, p).direction, worn_at(&w, q).direction));
            looked++;
        }
        assert_true(looked > ROOTS / 2);
        if (!(worst < 5)) fail_msg("way %d: 1 mm on it turns by %g degrees", way, worst);
    }
}

/* Drying lifts the roots, and water lets them down again. */
static void test_water_undoes_a_lift(void **state) {
    const heads *h = *state;
    lw_plan plan = lw_plan_default();
    lw_vec3 n, apex = lw_head_project(h->woman, lw_head_landmark(h->woman, LW_APEX), &n);
    apex = lw_head_project(h->woman, v3_add(apex, v3(0.02, 0, 0)), &n);
    plan.worn.way = LW_WORN_CENTRE;
    plan.worn.lift = LW_PI / 3;
    worn w = ready(h->scalp, &plan);
    assert_near(off_scalp(worn_at(&w, apex).direction, n), 60, 1e-6);
    plan.worn.wetness = 1;
    w = ready(h->scalp, &plan);
    worn flat = ready_for(h->scalp, LW_WORN_CENTRE);
    assert_near(between(worn_at(&w, apex).direction, worn_at(&flat, apex).direction), 0, 1e-9);
    plan.worn.wetness = 0.5;
    w = ready(h->scalp, &plan);
    double half = off_scalp(worn_at(&w, apex).direction, n);
    assert_true(half > off_scalp(worn_at(&flat, apex).direction, n) && half < 60);
}

static void test_what_cannot_be_worn(void **state) {
    const heads *h = *state;
    lw_plan plan = lw_plan_default();
    lw_error error;
    worn w;
#define REFUSED(place_)                                                                                      \
    do {                                                                                                     \
        assert_int_equal(worn_make(&w, h->scalp, &plan.hair, &plan.worn, &error), LW_ERROR_ARGUMENT);        \
        assert_string_equal(error.place, place_);                                                            \
        assert_true(error.message[0] && error.remedy[0]);                                                    \
        assert_int_equal(worn_make(&w, h->scalp, &plan.hair, &plan.worn, NULL), LW_ERROR_ARGUMENT);          \
        plan = lw_plan_default();                                                                            \
    } while (0)
    plan.worn.way = (lw_worn_way)17;
    REFUSED("worn.parting");
    plan.worn.offset = NAN;
    REFUSED("worn.parting");
    plan.worn.way = LW_WORN_LEFT;
    plan.worn.offset = 0.09; /* beside a head half as wide as 7.5 cm */
    REFUSED("worn.offset");
    plan.worn.way = LW_WORN_RIGHT;
    plan.worn.offset = 0.09;
    REFUSED("worn.offset");
    plan.worn.wetness = 2;
    REFUSED("worn.wetness");
    plan.worn.lift = NAN;
    REFUSED("worn.blow_dry.lift");
    plan.hair.root_angle_edge = 0;
    REFUSED("hair.root_angle");
    plan.hair.root_angle_middle = 2;
    REFUSED("hair.root_angle");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_round_hair),
        cmocka_unit_test(test_an_elliptical_hair),
        cmocka_unit_test(test_the_default_is_an_ordinary_hair),
        cmocka_unit_test(test_water),
        cmocka_unit_test(test_product),
        cmocka_unit_test(test_curl),
        cmocka_unit_test(test_blow_dry),
        cmocka_unit_test(test_what_no_hair_is),
        cmocka_unit_test(test_every_direction_is_one),
        cmocka_unit_test(test_unparted_hair_leaves_as_it_grows),
        cmocka_unit_test(test_a_parting_parts_where_it_is),
        cmocka_unit_test(test_parted_hair_falls_to_its_side),
        cmocka_unit_test(test_brushed_back),
        cmocka_unit_test(test_brushed_forward),
        cmocka_unit_test(test_roots_are_points_of_the_scalp),
        cmocka_unit_test(test_mirror_images_to_the_bit),
        cmocka_unit_test(test_smooth_but_for_the_parting),
        cmocka_unit_test(test_water_undoes_a_lift),
        cmocka_unit_test(test_what_cannot_be_worn),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
