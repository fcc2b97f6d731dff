/* The room that hair takes: what a grid of it must hold whatever is in it, and what it does to a head of
 * hair. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "carried_out.h"
#include "cut.h"
#include "failing.h"
#include "fall_room.h"
#include "heads.h"
#include "near.h"
#include "room.h"
#include "scalp.h"
#include "vec.h"

/* ---- strands of no head ---- */

enum { STRANDS = 200, POINTS = 12 };

typedef struct wisps {
    lw_vec3 at[STRANDS * POINTS];
    double section[STRANDS];
    lw_strands strands;
} wisps;

static uint64_t next(uint64_t *state) {
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return *state >> 33;
}

static double between(uint64_t *state, double low, double high) {
    return low + (high - low) * (double)next(state) / 2147483648.;
}

/* Wavy strands in a box of 20 cm, each of another section. */
static void wisps_make(wisps *w) {
    uint64_t state = 7;
    for (int i = 0; i < STRANDS; i++) {
        lw_vec3 p = v3(between(&state, -.1, .1), between(&state, -.1, .1), between(&state, -.1, .1));
        for (int j = 0; j < POINTS; j++) {
            w->at[i * POINTS + j] = p;
            p = v3_add(p, v3(between(&state, -.01, .01), -.01, between(&state, -.01, .01)));
        }
        w->section[i] = between(&state, 1e-9, 1e-7);
    }
    w->strands = (lw_strands){.count = STRANDS, .nodes = POINTS, .at = w->at};
}

static double wisps_volume(const wisps *w) {
    double sum = 0;
    for (int i = 0; i < STRANDS; i++)
        for (int j = 0; j + 1 < POINTS; j++)
            sum += w->section[i] * v3_norm(v3_sub(w->at[i * POINTS + j + 1], w->at[i * POINTS + j]));
    return sum;
}

static room room_of(const wisps *w, const ground *bust, room_options options) {
    room r = {0};
    lw_error error;
    if (options.law.firm == 0) options.law = (room_law){.firm = 1e5};
    if (room_fill(&r, &w->strands, w->section, bust, &options, &error)) fail_msg("%s", error.message);
    return r;
}

static size_t samples_of(const room *r) {
    return (size_t)r->half[0].row * (size_t)r->half[0].ny * (size_t)r->half[0].nz;
}

static void assert_same_room(const room *a, const room *b, bool mirrored) {
    assert_int_equal(samples_of(a), samples_of(b));
    for (int side = 0; side < 2; side++) {
        int other = mirrored ? !side : side;
        assert_memory_equal(a->filled[side], b->filled[other], samples_of(a) * sizeof(double));
        assert_memory_equal(a->half[side].at, b->half[other].at, samples_of(a) * sizeof(float));
    }
}

/* Rounding to the quantum loses at most 1e-9; the sum of it all, taken plainly here, a little more. */
static void test_volume(void **state) {
    (void)state;
    wisps w;
    wisps_make(&w);
    double wanted = wisps_volume(&w);
    for (double spacing = .002; spacing < .05; spacing *= 1.7) {
        room_options options = room_default();
        options.spacing = spacing;
        room r = room_of(&w, NULL, options);
        assert_near(room_volume(&r) / wanted, 1, 2e-9);
        room_empty(&r);
    }
    room_options bad = room_default();
    room none = {0};
    lw_error error;
    bad.spacing = .06;
    assert_int_equal(room_fill(&none, &w.strands, w.section, NULL, &bad, &error), LW_ERROR_ARGUMENT);
    assert_null(none.filled[0]);
}

static void test_same_bits(void **state) {
    (void)state;
    wisps w, turned;
    wisps_make(&w);
    lw_head *ball = head_of(LW_HEAD_SPHERE, .08, 0, 0);
    ground *bust;
    ground_options options = ground_default();
    lw_error error;
    if (ground_new(&bust, ball, &options, &error)) fail_msg("%s", error.message);
    room_options one = room_default(), three = one;
    three.threads = 3;
    room plain = room_of(&w, bust, one), shared = room_of(&w, bust, three);
    assert_same_room(&plain, &shared, false);
    turned = w, turned.strands.at = turned.at;
    for (int i = 0; i < STRANDS; i++) {
        memcpy(turned.at + (STRANDS - 1 - i) * POINTS, w.at + i * POINTS, sizeof *w.at * POINTS);
        turned.section[STRANDS - 1 - i] = w.section[i];
    }
    room backward = room_of(&turned, bust, one);
    assert_same_room(&plain, &backward, false);
    for (int i = 0; i < STRANDS * POINTS; i++) turned.at[i].x = -turned.at[i].x;
    room mirrored = room_of(&turned, bust, one);
    assert_same_room(&plain, &mirrored, true);
    ground_shape a = room_shape_at(&plain, v3(.03, .05, .06)),
                 b = room_shape_at(&mirrored, v3(-.03, .05, .06));
    assert_true(a.distance > 0 && a.distance == b.distance && a.slope.x == -b.slope.x &&
                a.slope.y == b.slope.y);
    room_empty(&plain), room_empty(&shared), room_empty(&backward), room_empty(&mirrored);
    ground_free(bust);
    lw_head_free(ball);
}

/* An even block of hair: every place in it is as full, wherever the grid stands; and the potential there is
 * van Wyk's. */
static void test_even_block(void **state) {
    (void)state;
    enum { SIDE = 60 };
    static lw_vec3 at[SIDE * SIDE * 2];
    static double section[SIDE * SIDE];
    double apart = .001, area = 5e-8, fraction = area / (apart * apart);
    for (int i = 0; i < SIDE * SIDE; i++) {
        double x = (i / SIDE - .5 * SIDE + .5) * apart, z = (i % SIDE - .5 * SIDE + .5) * apart;
        at[2 * i] = v3(x, .03, z), at[2 * i + 1] = v3(x, -.03, z), section[i] = area;
    }
    lw_strands block = {.count = SIDE * SIDE, .nodes = 2, .at = at};
    room_options options = room_default();
    options.law = (room_law){.loose = .025, .firm = 3e5};
    lw_error error;
    double wanted = 1.5 * 3e5 * (fraction * fraction - .025 * .025);
    room r = {0}; /* filled again and again */
    for (int move = 0; move < 4; move++) {
        options.up = .3 * move * options.spacing, options.front = .45 * move * options.spacing;
        if (room_fill(&r, &block, section, NULL, &options, &error)) fail_msg("%s", error.message);
        /* Strands 1 mm apart on samples 5 mm apart: .2 % of ripple. */
        for (double x = -.01; x <= .01; x += .0013)
            assert_near(room_shape_at(&r, v3(x, .3 * x, -.7 * x)).distance / wanted, 1, .01);
        assert_true(room_shape_at(&r, v3(.06, 0, 0)).distance == 0);
    }
    room_empty(&r);
}

/* Hair that stands evenly round a ball is not pushed into it, whatever the grid, and outermost hair is pushed
 * out. */
static void test_wall(void **state) {
    (void)state;
    enum { RAYS = 4000, STEPS = 8 };
    static lw_vec3 at[RAYS * STEPS];
    static double section[RAYS];
    double radius = .08, thick = .014;
    for (int i = 0; i < RAYS; i++) {
        double y = 1 - (2 * i + 1.) / RAYS, turn = 2.399963 * i, flat = sqrt(1 - y * y);
        for (int j = 0; j < STEPS; j++)
            at[i * STEPS + j] =
                v3_scale(v3(flat * cos(turn), y, flat * sin(turn)), radius + thick * j / (STEPS - 1));
        section[i] = .05 * 4 * LW_PI * radius * radius / RAYS;
    }
    lw_strands rays = {.count = RAYS, .nodes = STEPS, .at = at};
    lw_head *ball = head_of(LW_HEAD_SPHERE, radius, 0, 0);
    ground *bust;
    ground_options on = ground_default();
    lw_error error;
    if (ground_new(&bust, ball, &on, &error)) fail_msg("%s", error.message);
    room_options options = room_default();
    options.law = (room_law){.loose = .02, .firm = 3e5};
    options.up = .0017, options.front = .0029;
    room r = {0};
    if (room_fill(&r, &rays, section, bust, &options, &error)) fail_msg("%s", error.message);
    double inward = 0, outward = 0, none = 0, per = 1.5 * 3e5 * .05 * .05 / thick;
    for (int i = 0; i < RAYS; i += 7) {
        lw_vec3 n = v3_unit(at[i * STEPS]);
        double wall = v3_dot(room_shape_at(&r, v3_scale(n, radius + .0005)).slope, n);
        double end = v3_dot(room_shape_at(&r, v3_scale(n, radius + thick)).slope, n);
        inward = fmax(inward, wall), outward += end / RAYS * 7, none += wall / RAYS * 7;
    }
    /* Hair thins out outward as (radius / r)^2, so pressure even beside the wall leads outward, by 2 mu / r:
     * .35 of mu / thick. */
    assert_true(inward <= .05 * per);
    assert_near(none / per, -.35, .2);
    assert_true(outward < -.3 * per);
    room_empty(&r);
    ground_free(bust);
    lw_head_free(ball);
}

static void test_room_memory(void **state) {
    (void)state;
    wisps w;
    wisps_make(&w);
    room_options options = room_default();
    lw_error error;
    room r = {0};
    int before = memory.live;
    for (int n = 0;; n++) {
        memory_fails_from(n);
        lw_status status = room_fill(&r, &w.strands, w.section, NULL, &options, &error);
        bool refused = memory_failed();
        if (!refused) {
            assert_int_equal(status, LW_OK);
            break;
        }
        assert_int_equal(status, LW_ERROR_MEMORY);
        room_empty(&r);
        assert_int_equal(memory.live, before);
    }
    room_empty(&r);
    assert_int_equal(memory.live, before);
}

/* ---- a head of hair ---- */

typedef struct fallen_hair {
    carried_out c;
    lw_fall *fall;
} fallen_hair;

typedef struct way {
    const char *plan;
    int hairs, nodes, packings;
    double density, up, front; /* density: a factor */
    double width;              /* of the fibre: a factor, 0 for 1 */
} way;

static const way usual = {"one-length-bob", 3000, 16, 8, 1, 0, 0, 0};

static void let_fall_on(fallen_hair *f, const way *w) {
    f->c = (carried_out){0};
    example_read(&f->c.plan, w->plan);
    f->c.plan.scalp.count = w->hairs;
    f->c.plan.scalp.density *= w->density;
    if (w->width > 0) f->c.plan.hair.section_area *= w->width * w->width;
    carry_out(&f->c);
    lw_fall_options options = lw_fall_default();
    options.nodes = w->nodes, options.packings = w->packings, options.still = 0;
    room_options grid = room_default();
    grid.up = w->up, grid.front = w->front;
    lw_error error;
    if (fall_new_on(&f->fall, f->c.scalp, lw_cut_lengths(f->c.cut), &f->c.plan, &options, &grid, &error))
        fail_msg("%s", error.message);
}

static void pick_up(fallen_hair *f) {
    lw_fall_free(f->fall);
    put_away(&f->c);
}

/* How far hair stands off the head above the tragions: mean by metres of hair. */
static double stands_off(const lw_fall *f) {
    const lw_strands *s = &f->strands;
    double sum = 0, all = 0;
    for (int i = 0; i < s->count; i++)
        for (int j = 1; j < s->nodes; j++) {
            lw_vec3 p = s->at[(size_t)i * s->nodes + j];
            double metres = s->hairs[i] * f->hair[i].length;
            if (p.y < .02) continue;
            sum += metres * lw_head_bust(f->scalp->head, p, NULL), all += metres;
        }
    return sum / all;
}

static double off(const way *w) {
    fallen_hair f;
    let_fall_on(&f, w);
    double result = stands_off(f.fall);
    pick_up(&f);
    return result;
}

static int inside(const lw_fall *f, double deep) {
    int n = 0;
    for (size_t i = 0; i < (size_t)f->strands.count * f->strands.nodes; i++)
        n += i % f->strands.nodes > 0 && ground_distance(f->ground, f->strands.at[i], NULL) < -deep;
    return n;
}

static void test_thickness(void **state) {
    (void)state;
    way alone = usual, once = usual, half = usual;
    alone.packings = 0, once.packings = half.packings = 16, half.density = .5;
    double none = off(&alone), less = off(&half), more = off(&once);
    assert_true(less > 2 * none);
    /* Volume alone would double it; hair pressed by its own weight, p as phi^3, makes that 2^(2/3); and a
     * layer round a head grows more slowly than its volume. */
    assert_true(more / less > 1.45 && more / less < 2);
}

/* Hair of 30 cm that nobody cut, but the lower half of the head cut close in the second. */
#define LONG_HAIR(steps)                                                                                     \
    "{\"format\":\"lengthwise "                                                                              \
    "plan\",\"version\":1,\"units\":\"cm\",\"head\":{\"kind\":\"woman\"},\"hair\":{"                         \
    "\"length\":30},\"worn\":{\"parting\":\"centre\"},\"sections\":[{\"split\":\"all\",\"parting\":{"        \
    "\"level\":"                                                                                             \
    "\"occipital bone\",\"raise\":6},\"into\":[\"upper\",\"lower\"]}],\"steps\":[" steps "]}"
#define CUT_CLOSE                                                                                            \
    "{\"name\":\"close\",\"section\":\"lower\",\"panels\":{\"run\":\"level\",\"thickness\":1.5},\"hold\":{"  \
    "\"elevation\":90,\"from\":\"scalp\",\"carry\":\"own\"},\"line\":\"follow\",\"guide\":{\"length\":0.5,"  \
    "\"at\":"                                                                                                \
    "\"nape centre\"}}"

static void let_fall_text(fallen_hair *f, const char *text, int packings, int threads) {
    carried_out_read(&f->c, text, 1200);
    carry_out(&f->c);
    lw_fall_options options = lw_fall_default();
    options.nodes = usual.nodes, options.packings = packings, options.still = 0, options.threads = threads;
    lw_error error;
    if (lw_fall_new(&f->fall, f->c.scalp, lw_cut_lengths(f->c.cut), &f->c.plan, &options, &error))
        fail_msg("%s", error.message);
}

/* Mean distance from the bust, below the parting that divides them and above the shoulders, of hair that
 * grows above it or below. */
static double stands_off_below(const fallen_hair *f, bool from_above) {
    const lw_strands *s = &f->fall->strands;
    double level = lw_head_landmark(f->c.head, LW_OCCIPITAL_BONE).y + .06, sum = 0;
    int points = 0;
    for (int i = 0; i < s->count; i++) {
        if ((lw_scalp_root(f->c.scalp, s->root[i]).y > level) != from_above) continue;
        for (int j = 1; j < s->nodes; j++) {
            lw_vec3 p = s->at[(size_t)i * s->nodes + j];
            if (p.y > level - .02 || p.y < level - .06 || p.z > 0) continue;
            sum += lw_head_bust(f->c.head, p, NULL), points++;
        }
    }
    assert_true(points > 100);
    return sum / points;
}

/* Common practice: what lies over hair stands off by that hair. */
static void test_lower_layers_lift_upper_ones(void **state) {
    (void)state;
    fallen_hair both, above;
    let_fall_text(&both, LONG_HAIR(""), 16, 0);
    let_fall_text(&above, LONG_HAIR(CUT_CLOSE), 16, 0);
    double over = stands_off_below(&both, true), under = stands_off_below(&both, false),
           alone = stands_off_below(&above, true);
    assert_true(over > 1.2 * alone);
    assert_true(over > 1.4 * under);
    pick_up(&both), pick_up(&above);
}

/* As many hairs, 1.3 times as wide: 1.69 times the volume. Pressed by its own weight, which grows as its
 * volume, at p as phi^3 that is 1.69^(2/3), 1.42 times as thick. */
static void test_thicker_fibres_take_more_room(void **state) {
    (void)state;
    fallen_hair usual_hair, wide;
    way w = usual;
    w.packings = 16, w.hairs = 1200;
    let_fall_on(&usual_hair, &w);
    w.width = 1.3;
    let_fall_on(&wide, &w);
    double ratio = stands_off(wide.fall) / stands_off(usual_hair.fall);
    assert_true(ratio > 1.25 && ratio < 1.69);
    assert_near(lw_fall_section(wide.fall) / lw_fall_section(usual_hair.fall), 1.69, 1e-9);
    pick_up(&usual_hair), pick_up(&wide);
}

/* Roots stand in pairs of left and right, and without a whorl they grow so. */
static void test_an_even_head_falls_evenly(void **state) {
    (void)state;
    fallen_hair f;
    let_fall_text(
        &f,
        "{\"format\":\"lengthwise plan\",\"version\":1,\"units\":\"cm\",\"head\":{\"kind\":\"woman\"},"
        "\"hair\":{\"length\":25,\"whorls\":[]},\"worn\":{\"parting\":\"centre\"},\"sections\":[],\"steps\":["
        "]}",
        4, 2);
    const lw_strands *s = &f.fall->strands;
    for (int i = 0; i + 1 < s->count; i += 2) {
        const lw_vec3 *a = s->at + (size_t)i * s->nodes, *b = a + s->nodes;
        for (int j = 0; j < s->nodes; j++)
            assert_true(a[j].x == -b[j].x && a[j].y == b[j].y && a[j].z == b[j].z);
    }
    pick_up(&f);
}

static void test_threads_do_not_matter(void **state) {
    (void)state;
    fallen_hair one, three;
    let_fall_text(&one, LONG_HAIR(""), 4, 1);
    let_fall_text(&three, LONG_HAIR(""), 4, 3);
    size_t points = (size_t)one.fall->strands.count * (size_t)one.fall->strands.nodes;
    assert_memory_equal(one.fall->strands.at, three.fall->strands.at, points * sizeof(lw_vec3));
    pick_up(&one), pick_up(&three);
}

static void test_moved_grid(void **state) {
    (void)state;
    fallen_hair a, b;
    way moved = usual;
    moved.up = .0021, moved.front = .0034;
    let_fall_on(&a, &usual);
    let_fall_on(&b, &moved);
    double sum = 0;
    int points = a.fall->strands.count * a.fall->strands.nodes;
    for (int i = 0; i < points; i++) {
        double far = v3_norm(v3_sub(a.fall->strands.at[i], b.fall->strands.at[i]));
        sum += far;
    }
    /* Within a layer it matters little which hair lies above which: where there are few strands, those change
     * places, by 4 mm on the mean, and the layer stays. */
    assert_true(sum / points < 6e-3);
    assert_near(stands_off(b.fall) / stands_off(a.fall), 1, .02);
    pick_up(&a), pick_up(&b);
}

static void test_finer(void **state) {
    (void)state;
    way hairs = usual, nodes = usual;
    hairs.hairs = 9000, nodes.nodes = 24;
    double once = off(&usual), h = off(&hairs), n = off(&nodes);
    assert_near(h / once, 1, .05);
    assert_near(n / once, 1, .06);
}

static void test_converges(void **state) {
    (void)state;
    fallen_hair a, b;
    way longer = usual;
    longer.packings = 24;
    let_fall_on(&a, &usual);
    let_fall_on(&b, &longer);
    assert_true(a.fall->report.moved < 1e-3);
    assert_true(b.fall->report.moved < .5 * a.fall->report.moved);
    assert_near(stands_off(b.fall) / stands_off(a.fall), 1, .08);
    assert_int_equal(a.fall->report.packings, 8);
    pick_up(&a), pick_up(&b);
}

static void test_not_into_head(void **state) {
    (void)state;
    fallen_hair alone, together;
    way none = usual;
    none.packings = 0;
    let_fall_on(&alone, &none);
    let_fall_on(&together, &usual);
    assert_true(inside(together.fall, 2e-4) <= inside(alone.fall, 2e-4));
    assert_true(together.fall->report.not_at_rest == 0);
    pick_up(&alone), pick_up(&together);
}

static void test_fall_memory(void **state) {
    (void)state;
    carried_out c;
    carry_out_example(&c, "uniform-layers", 60);
    lw_fall_options options = lw_fall_default();
    options.packings = 2, options.nodes = 8, options.threads = 1;
    lw_fall *fall;
    lw_error error;
    int before = memory.live;
    for (int n = 0;; n += 1) {
        memory_fails_from(n);
        lw_status status = lw_fall_new(&fall, c.scalp, lw_cut_lengths(c.cut), &c.plan, &options, &error);
        if (!memory_failed()) {
            assert_int_equal(status, LW_OK);
            break;
        }
        assert_int_equal(status, LW_ERROR_MEMORY);
        assert_null(fall);
        assert_int_equal(memory.live, before);
    }
    lw_fall_free(fall);
    put_away(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_volume),
        cmocka_unit_test(test_same_bits),
        cmocka_unit_test(test_even_block),
        cmocka_unit_test(test_wall),
        cmocka_unit_test(test_room_memory),
        cmocka_unit_test(test_thickness),
        cmocka_unit_test(test_lower_layers_lift_upper_ones),
        cmocka_unit_test(test_thicker_fibres_take_more_room),
        cmocka_unit_test(test_threads_do_not_matter),
        cmocka_unit_test(test_an_even_head_falls_evenly),
        cmocka_unit_test(test_moved_grid),
        cmocka_unit_test(test_finer),
        cmocka_unit_test(test_converges),
        cmocka_unit_test(test_not_into_head),
        cmocka_unit_test(test_fall_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
