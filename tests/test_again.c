/* A fall that goes on after the cut changed: that it rests, by the plain energy of rod.c and friction's; that
 * it is about where hair let go from the comb comes to rest; and that the fall is as it was where nothing
 * came of it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "example.h"
#include "failing.h"
#include "fall.h"
#include "near.h"
#include "rod.h"

#define SLIP 5e-4 /* docs/model.md: epsilon of friction */
enum { NODES = 16 };

typedef struct hair {
    lw_plan plan;
    lw_head *head;
    lw_scalp *scalp;
    lw_cut *cut;
    lw_fall *fall;
    lw_fall_options options;
} hair;

static void must(lw_status status, const lw_error *error) {
    if (status) fail_msg("%s: %s", error->place, error->message);
}

static void cut_again(hair *h) {
    lw_error error = {0};
    lw_cut_free(h->cut);
    must(lw_cut_new(&h->cut, h->head, h->scalp, &h->plan, NULL, &error), &error);
}

static void read_plan(hair *h, const char *example, int count, int packings) {
    *h = (hair){.options = lw_fall_default()};
    h->options.nodes = NODES, h->options.packings = packings, h->options.goes_on = true;
    example_read(&h->plan, example);
    h->plan.scalp.count = count;
}

static void let_fall(hair *h) {
    lw_error error = {0};
    must(lw_head_new(&h->head, &h->plan.head, &error), &error);
    must(lw_scalp_new(&h->scalp, h->head, &h->plan.scalp, &error), &error);
    cut_again(h);
    must(lw_fall_new(&h->fall, h->scalp, lw_cut_lengths(h->cut), &h->plan, &h->options, &error), &error);
}

static void make(hair *h, const char *example, int count, int packings) {
    read_plan(h, example, count, packings);
    let_fall(h);
}

static void clear(hair *h) {
    lw_fall_free(h->fall);
    lw_cut_free(h->cut);
    lw_scalp_free(h->scalp);
    lw_head_free(h->head);
    lw_plan_clear(&h->plan);
}

/* What a knob of the page does: every length that the plan gives is so many times what it was. */
static void turn(hair *h, double times) {
    h->plan.hair.length *= times;
    for (int i = 0; i < h->plan.hair.length_at_count; i++) h->plan.hair.length_at[i].length *= times;
    for (int i = 0; i < h->plan.step_count; i++) h->plan.steps[i].guide.length *= times;
    cut_again(h);
}

static void go_on(hair *h) {
    lw_error error = {0};
    must(lw_fall_again(h->fall, lw_cut_lengths(h->cut), &h->plan, &h->options, &error), &error);
}

static lw_fall *fall_anew(const hair *h) {
    lw_error error = {0};
    lw_fall *fall;
    must(lw_fall_new(&fall, h->scalp, lw_cut_lengths(h->cut), &h->plan, &h->options, &error), &error);
    return fall;
}

static size_t points_of(const lw_fall *f) { return (size_t)f->strands.count * (size_t)f->strands.nodes; }

/* Largest distance between the nodes of hair i here and there. */
static double apart(const lw_vec3 *a, const lw_fall *f, int i) {
    double most = 0;
    for (int k = i * f->strands.nodes; k < (i + 1) * f->strands.nodes; k++)
        most = fmax(most, v3_norm(v3_sub(a[k], f->strands.at[k])));
    return most;
}

static lw_vec3 *copy_of(const lw_fall *f) {
    lw_vec3 *at = malloc(points_of(f) * sizeof *at);
    if (at)
        memcpy(at, f->strands.at, points_of(f) * sizeof *at);
    else
        fail_msg("no memory");
    return at;
}

/* Mean by hairs, and the share of hairs that are nearer than `near`. */
static double mean_apart(double *share, const lw_vec3 *a, const lw_fall *f, double near) {
    double sum = 0;
    int count = 0;
    for (int i = 0; i < f->strands.count; i++) {
        double d = apart(a, f, i);
        sum += d, count += d < near;
    }
    if (share) *share = (double)count / f->strands.count;
    return sum / f->strands.count;
}

/* ---- where nothing changed ---- */

static void the_same_cut_moves_nothing(void **state) {
    (void)state;
    hair h;
    make(&h, "graduated-bob", 800, 0);
    lw_vec3 *before = copy_of(h.fall);
    for (int i = 0; i < 2; i++) {
        cut_again(&h);
        go_on(&h);
        assert_memory_equal(before, h.fall->strands.at, points_of(h.fall) * sizeof *before);
        assert_int_equal(lw_fall_tell(h.fall).rounds, 0);
    }
    free(before), clear(&h);
}

/* A change too small to see lets friction catch up with the press that hair has where it lies, less each
 * time. */
static void next_to_nothing_moves_it_less_and_less(void **state) {
    (void)state;
    hair h;
    make(&h, "graduated-bob", 800, 0);
    double first = 0, last = 0;
    for (int i = 0; i < 7; i++) {
        lw_vec3 *before = copy_of(h.fall);
        turn(&h, 1 + 1e-7);
        go_on(&h);
        last = mean_apart(NULL, before, h.fall, 0);
        if (i == 0) first = last;
        assert_true(lw_fall_tell(h.fall).rounds > 800);
        free(before);
    }
    if (first > 1e-3 || last > 3e-5) fail_msg("%.4f mm, at last %.4f", 1e3 * first, 1e3 * last);
    clear(&h);
}

/* Friction is not forgotten: a knob that is turned to and fro does not let hair creep down. */
static void to_and_fro_it_does_not_creep(void **state) {
    (void)state;
    hair h;
    make(&h, "one-length-bob", 800, 0);
    turn(&h, 1.02), go_on(&h);
    turn(&h, 1 / 1.02), go_on(&h);
    lw_vec3 *before = copy_of(h.fall);
    for (int i = 0; i < 6; i++) {
        turn(&h, 1.02), go_on(&h);
        turn(&h, 1 / 1.02), go_on(&h);
    }
    double share, mean = mean_apart(&share, before, h.fall, 1e-3);
    if (mean > 5e-4 || share < .9) fail_msg("%.3f mm, %.3f of the hairs within 1 mm", 1e3 * mean, share);
    free(before), clear(&h);
}

/* ---- rest ---- */

static double from_ground(lw_vec3 *gradient, lw_vec3 p, const void *context) {
    return ground_distance(context, p, gradient);
}

/* The rod of hair i as the plain energy knows it. */
static struct rod rod_of(const lw_fall *f, int i) {
    const rods_hair *from = &f->hair[i];
    lw_rod in = lw_rod_default();
    struct rod rod;
    lw_error error = {0};
    in.length = from->length, in.weight = from->weight, in.twist = from->twist, in.root = from->root;
    memcpy(in.bend, from->bend, sizeof in.bend);
    memcpy(in.curl, from->curl, sizeof in.curl);
    in.nodes = f->strands.nodes, in.skin = fmin(from->clear, in.length / 4), in.press = from->press;
    in.ground = from_ground, in.context = f->ground;
    must(rod_make(&rod, &in, &error), &error);
    for (int k = 0; k < from->firmed; k++) rod.stiffness *= 8;
    return rod;
}

/* held: of the pose at rest, whose nodes are at rest[]. */
static double energy_of(const lw_fall *f, const struct rod *rod, const quat *frame, int i,
                        const lw_vec3 *rest) {
    lw_vec3 at[RODS_NODES_MAX];
    double sum = rod_energy(at, rod, frame);
    for (int k = 1; k < f->strands.nodes; k++) {
        const float *held = f->held[i * f->strands.nodes + k];
        if (held[3] < 0) continue;
        lw_vec3 drag = v3_add(v3_sub(at[k], rest[k]), v3(held[0], held[1], held[2]));
        sum += held[3] * (sqrt(v3_dot(drag, drag) + SLIP * SLIP) - SLIP);
    }
    return sum;
}

static double random_share(void) { return 2.0 * rand() / RAND_MAX - 1; }

/* No pose near by has less energy: of turns up to `size`, all nodes at random or all past one alike. */
static void assert_least(const lw_fall *f, int i, double size) {
    int nodes = f->strands.nodes;
    struct rod rod = rod_of(f, i);
    quat frame[RODS_NODES_MAX], turned[RODS_NODES_MAX];
    lw_vec3 rest[RODS_NODES_MAX];
    for (int k = 0; k < nodes; k++) {
        const float *q = f->frame[i * nodes + k];
        frame[k] = quat_unit((quat){q[0], {q[1], q[2], q[3]}});
    }
    rod_energy(rest, &rod, frame);
    double least = energy_of(f, &rod, frame, i, rest), scale = rod.in.weight * rod.in.length * rod.in.length;
    for (int way = 0; way < 12; way++) {
        lw_vec3 u = {0, 0, 0};
        int from = way % 2 ? 1 + rand() % (NODES - 1) : 1;
        for (int k = 0; k < nodes; k++) {
            if (way % 2 ? k == from : k >= from)
                u = v3_scale(v3(random_share(), random_share(), random_share()), size);
            turned[k] = k < from ? frame[k] : quat_times(quat_turn(u), frame[k]);
        }
        double other = energy_of(f, &rod, turned, i, rest);
        if (!(other >= least - 1e-9 * scale))
            fail_msg("hair %d: %.3g of its weight times its length less, turned by %.1g", i,
                     (least - other) / scale, size);
    }
}

static void it_rests_where_energy_is_least(void **state) {
    (void)state;
    static const char *const EXAMPLES[] = {"one-length-bob", "uniform-layers", "tight-curls"};
    for (int e = 0; e < 3; e++)
        for (int longer = 0; longer < 2; longer++) {
            hair h;
            make(&h, EXAMPLES[e], 400, 0);
            turn(&h, longer ? 1.03 : .97);
            go_on(&h);
            assert_true(lw_fall_tell(h.fall).not_at_rest == 0);
            for (int i = 0; i < 400; i++) {
                if (!h.fall->hair[i].at_rest || h.fall->hair[i].length < .01) continue;
                assert_least(h.fall, i, 1e-3);
                assert_least(h.fall, i, 1e-4);
            }
            clear(&h);
        }
}

/* ---- beside hair that was let go from the comb ---- */

static double thickness_of(const hair *h, const lw_fall *f, double *width, double *depth) {
    lw_fallen fallen;
    lw_error error = {0};
    must(lw_fallen_new(&fallen, h->head, lw_fall_strands(f), lw_fall_section(f), NULL, &error), &error);
    double out = fallen.thickness;
    *width = fallen.width, *depth = fallen.depth;
    lw_fallen_clear(&fallen);
    return out;
}

/* Both rest, in valleys that may differ. Most hairs lie in the same one. */
static void compare_with_cold(const char *example, double times, int packings, double same, double thick,
                              double broad) {
    hair h;
    make(&h, example, 3000, packings);
    turn(&h, times);
    go_on(&h);
    lw_fall *cold = fall_anew(&h);
    double share, mean = mean_apart(&share, cold->strands.at, h.fall, 1e-3);
    if (share < same || mean > 6e-3)
        fail_msg("%s: %.3f mm apart on the mean, %.3f of hairs within 1 mm", example, 1e3 * mean, share);
    double warm_width, warm_depth, width, depth, warm = thickness_of(&h, h.fall, &warm_width, &warm_depth),
                                                 wanted = thickness_of(&h, cold, &width, &depth);
    assert_near(warm, wanted, thick);
    assert_near(warm_width, width, broad); /* some strands decide that */
    assert_near(warm_depth, depth, broad);
    assert_true(lw_fall_tell(h.fall).not_at_rest == 0);
    lw_fall_free(cold), clear(&h);
}

static void it_lies_about_where_it_falls_from_the_comb(void **state) {
    (void)state;
    compare_with_cold("one-length-bob", 1.02, 0, .7, 3e-4, 8e-3);
    compare_with_cold("one-length-bob", .98, 0, .7, 3e-4, 8e-3);
    compare_with_cold("uniform-layers", 1.05, 0, .7, 3e-4, 8e-3);
    compare_with_cold("clipper-fade", .95, 0, .7, 3e-4, 8e-3);
}

/* Among other hair which lies above which is a matter of millimetres; what they are together is not. */
static void so_it_does_where_hair_takes_room(void **state) {
    (void)state;
    compare_with_cold("one-length-bob", 1.02, 6, 0, 1e-3, 5e-3);
    compare_with_cold("uniform-layers", .98, 6, 0, 1e-3, 5e-3);
}

/* How far tips lie from the midline, all but one in a hundred; how high on the mean; and how thick all is. */
typedef struct spread {
    double reach, height, thickness;
} spread;

static int by_size(const void *a, const void *b) {
    return (*(const double *)a > *(const double *)b) - (*(const double *)a < *(const double *)b);
}

static spread spread_of(const hair *h, const lw_fall *f) {
    spread out = {0};
    double width, depth, aside[3000];
    for (int i = 0; i < f->strands.count; i++) {
        lw_vec3 tip = f->strands.at[(i + 1) * f->strands.nodes - 1];
        aside[i] = fabs(tip.x);
        out.height += tip.y / f->strands.count;
    }
    qsort(aside, (size_t)f->strands.count, sizeof *aside, by_size);
    out.reach = aside[f->strands.count - f->strands.count / 100];
    out.thickness = thickness_of(h, f, &width, &depth);
    return out;
}

static void compare_spread(hair *h, const char *what, double reach, double height, double thick) {
    h->options.parts = 0;
    lw_fall *cold = fall_anew(h);
    spread wanted = spread_of(h, cold), got = spread_of(h, h->fall);
    if (fabs(got.reach - wanted.reach) > reach || fabs(got.height - wanted.height) > height ||
        fabs(got.thickness - wanted.thickness) > thick)
        fail_msg("%s: reach %.4f, height %.4f, thickness %.4f m; from the comb %.4f, %.4f, %.4f", what,
                 got.reach, got.height, got.thickness, wanted.reach, wanted.height, wanted.thickness);
    assert_int_equal(lw_fall_tell(h->fall).not_at_rest, 0);
    lw_fall_free(cold);
}

/* Held so high that its guide no longer reaches, hair keeps its whole length: from 10 cm to 35. It hangs,
 * and does not stand out on hair that stands out. */
static void hair_that_became_far_longer_hangs(void **state) {
    (void)state;
    static const int STEPS[] = {1, 6};
    for (int s = 0; s < 2; s++) {
        hair h;
        make(&h, "graduated-bob", 3000, 6);
        double from = h.plan.steps[0].hold.elevation;
        assert_near(from, LW_PI / 4, 1e-9);
        h.options.parts = 1; /* as who watches a knob does: the first of them, and all once it rests */
        for (int i = 1; i <= STEPS[s]; i++) {
            h.plan.steps[0].hold.elevation = from + i * LW_PI / 6 / STEPS[s];
            cut_again(&h), go_on(&h);
        }
        while (lw_fall_tell(h.fall).left > 0) go_on(&h);
        compare_spread(&h, "graduated-bob", .02, .01, 2e-3);
        clear(&h);
    }
}

/* Hair is loose where its fibre is another one, be it only in its curl, and tied again a part later. */
static void hair_of_another_curl_is_loose(void **state) {
    (void)state;
    hair h;
    read_plan(&h, "one-length-bob", 300, 3);
    h.plan.hair.coil_diameter = .08, h.plan.hair.coil_pitch = .2;
    let_fall(&h);
    double bend = h.fall->fibre.bend[0];
    h.options.parts = 1;
    turn(&h, 1.001), go_on(&h);
    for (int i = 0; i < 300; i++) assert_false(h.fall->hair[i].loose);
    h.plan.hair.coil_pitch *= 1.2;
    cut_again(&h), go_on(&h);
    assert_true(h.fall->fibre.bend[0] == bend);
    for (int i = 0; i < 300; i++) assert_true(h.fall->hair[i].loose);
    go_on(&h);
    for (int i = 0; i < 300; i++) assert_false(h.fall->hair[i].loose);
    clear(&h);
}

/* No step is great, but all of them together are. */
static void hair_that_grows_little_by_little_hangs(void **state) {
    (void)state;
    static const char *const EXAMPLES[] = {"uniform-layers", "one-length-bob"};
    for (int e = 0; e < 2; e++) {
        hair h;
        read_plan(&h, EXAMPLES[e], 1500, 6);
        h.plan.hair.length *= .25;
        for (int i = 0; i < h.plan.step_count; i++) h.plan.steps[i].guide.length *= .25;
        let_fall(&h);
        h.options.parts = 1;
        for (int i = 0; i < 40; i++) turn(&h, 1.06), go_on(&h);
        while (lw_fall_tell(h.fall).left > 0) go_on(&h);
        compare_spread(&h, EXAMPLES[e], .03, .01, 3e-3);
        clear(&h);
    }
}

/* A hair that was cut off and one that grew out again. */
static void it_lives_through_great_changes(void **state) {
    (void)state;
    static const double TIMES[] = {.05, 8, 4, .01, 60};
    hair h;
    make(&h, "uniform-layers", 300, 0);
    for (int t = 0; t < 5; t++) {
        turn(&h, TIMES[t]);
        go_on(&h);
        double deepest = 0;
        for (size_t k = 0; k < points_of(h.fall); k++) {
            lw_vec3 p = h.fall->strands.at[k];
            assert_true(isfinite(p.x) && isfinite(p.y) && isfinite(p.z));
            deepest = fmin(deepest, ground_distance(h.fall->ground, p, NULL));
        }
        for (int i = 0; i < 300; i++) {
            const lw_vec3 *p = h.fall->strands.at + i * h.fall->strands.nodes;
            double edge = fmax(1e-3, lw_cut_lengths(h.cut)[i]) / (h.fall->strands.nodes - 1);
            for (int k = 1; k < h.fall->strands.nodes; k++)
                assert_near(v3_norm(v3_sub(p[k], p[k - 1])), edge, 1e-9);
        }
        assert_true(deepest > -3e-3);
        assert_true(lw_fall_tell(h.fall).not_at_rest == 0);
    }
    clear(&h);
}

static void combed_otherwise_it_falls_from_the_comb(void **state) {
    (void)state;
    hair h;
    make(&h, "uniform-layers", 300, 0);
    h.plan.worn.way = LW_WORN_BACK;
    turn(&h, 1.02);
    go_on(&h);
    lw_fall *cold = fall_anew(&h);
    assert_memory_equal(h.fall->strands.at, cold->strands.at, points_of(cold) * sizeof *cold->strands.at);
    lw_fall_free(cold);
    /* But a fibre that changes goes on from where it lies. */
    h.plan.worn.load = .5, h.plan.worn.wetness = .2;
    go_on(&h);
    assert_true(lw_fall_tell(h.fall).rounds > 0 && lw_fall_tell(h.fall).not_at_rest == 0);
    cold = fall_anew(&h);
    assert_true(lw_fall_section(h.fall) == lw_fall_section(cold));
    lw_fall_free(cold), clear(&h);
}

/* ---- the same whoever does it ---- */

static void same_bits_for_any_number_of_threads(void **state) {
    (void)state;
    for (int packings = 0; packings <= 2; packings += 2) {
        hair one, many;
        make(&one, "graduated-bob", 900, packings), make(&many, "graduated-bob", 900, packings);
        one.options.threads = 1, many.options.threads = 3;
        for (int i = 0; i < 2; i++) {
            turn(&one, 1.01), turn(&many, 1.01);
            go_on(&one), go_on(&many);
            assert_memory_equal(one.fall->strands.at, many.fall->strands.at,
                                points_of(one.fall) * sizeof *one.fall->strands.at);
        }
        clear(&one), clear(&many);
    }
}

/* A fall in parts, each of which is shown, comes to what it comes to at once: from the comb, and after the
 * cut changed. */
static void parts_are_the_same_as_all_at_once(void **state) {
    (void)state;
    hair whole, parts;
    read_plan(&whole, "graduated-bob", 900, 4), read_plan(&parts, "graduated-bob", 900, 4);
    parts.options.parts = 1, parts.options.still = whole.options.still = 0;
    let_fall(&whole), let_fall(&parts);
    assert_int_equal(lw_fall_tell(whole.fall).left, 0);
    for (int change = 0; change < 3; change++) {
        if (change) {
            turn(&whole, change == 1 ? 1.02 : 1.3), turn(&parts, change == 1 ? 1.02 : 1.3);
            go_on(&whole), go_on(&parts);
        }
        for (int left = change ? 3 : 4; left > 0; left--) {
            assert_int_equal(lw_fall_tell(parts.fall).left, left);
            assert_memory_not_equal(parts.fall->strands.at, whole.fall->strands.at,
                                    points_of(whole.fall) * sizeof *whole.fall->strands.at);
            go_on(&parts);
        }
        assert_int_equal(lw_fall_tell(parts.fall).left, 0);
        assert_int_equal(lw_fall_tell(parts.fall).packings, lw_fall_tell(whole.fall).packings);
        assert_true(lw_fall_tell(parts.fall).rounds == lw_fall_tell(whole.fall).rounds);
        assert_memory_equal(parts.fall->strands.at, whole.fall->strands.at,
                            points_of(whole.fall) * sizeof *whole.fall->strands.at);
    }
    lw_error error;
    parts.options.parts = -1;
    assert_int_equal(
        lw_fall_again(parts.fall, lw_cut_lengths(parts.cut), &parts.plan, &parts.options, &error),
        LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "parts");
    clear(&whole), clear(&parts);
}

/* Without a whorl beside the midline, hair i ^ 1 is the mirror image of hair i. What is decided by a hair's
 * breadth is so on both sides, but for rounding. */
static void mirrored_hairs_lie_as_mirror_images(void **state) {
    (void)state;
    hair h;
    read_plan(&h, "uniform-layers", 600, 0);
    h.plan.scalp.whorl_count = 0;
    h.plan.worn.way = LW_WORN_CENTRE;
    let_fall(&h);
    turn(&h, 1.02);
    go_on(&h);
    int nodes = h.fall->strands.nodes, astray = 0;
    for (int i = 0; i < 600; i += 2) {
        double most = 0;
        for (int k = 0; k < nodes; k++)
            most = fmax(most, v3_norm(v3_sub(h.fall->strands.at[i * nodes + k],
                                             v3_mirror(h.fall->strands.at[(i + 1) * nodes + k]))));
        astray += most > 1e-6;
    }
    if (astray > 6) fail_msg("%d of 300 pairs", astray);
    clear(&h);
}

/* ---- where nothing comes of it ---- */

typedef struct kept {
    const lw_vec3 *address;
    lw_vec3 *at;
    lw_fall_report report;
} kept;

static kept keep(const hair *h) { return (kept){h->fall->strands.at, copy_of(h->fall), h->fall->report}; }

static void assert_as_it_was(const kept *k, const hair *h) {
    assert_ptr_equal(k->address, h->fall->strands.at);
    assert_memory_equal(k->at, h->fall->strands.at, points_of(h->fall) * sizeof *k->at);
    assert_int_equal(k->report.rounds, lw_fall_tell(h->fall).rounds);
}

static void memory_may_fail_anywhere(void **state) {
    (void)state;
    hair h;
    make(&h, "uniform-layers", 60, 2);
    h.options.threads = 1;
    turn(&h, 1.02);
    kept as = keep(&h);
    lw_error error;
    int before = memory.live, n = 0;
    for (;; n++) {
        memory_fails_from(n);
        lw_status status = lw_fall_again(h.fall, lw_cut_lengths(h.cut), &h.plan, &h.options, &error);
        if (!memory_failed()) {
            assert_int_equal(status, LW_OK);
            break;
        }
        assert_int_equal(status, LW_ERROR_MEMORY);
        assert_int_equal(memory.live, before);
        assert_as_it_was(&as, &h);
    }
    assert_true(n >= 6);
    assert_int_equal(memory.live, before);
    free(as.at), clear(&h);
}

static void what_is_out_of_range_is_refused(void **state) {
    (void)state;
    hair h;
    make(&h, "uniform-layers", 60, 0);
    kept as = keep(&h);
    lw_error error = {0};
    double length[60] = {.1, .2, (double)NAN};
    lw_fall *none;
    assert_int_equal(lw_fall_again(h.fall, length, &h.plan, &h.options, &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "length");
    assert_true(error.message[0] && error.remedy[0]);
    length[2] = 11;
    assert_int_equal(lw_fall_new(&none, h.scalp, length, &h.plan, &h.options, &error), LW_ERROR_ARGUMENT);
    assert_null(none);
    assert_true(error.message[0] && error.remedy[0]);
    h.options.rounds = 0;
    assert_int_equal(lw_fall_again(h.fall, lw_cut_lengths(h.cut), &h.plan, &h.options, &error),
                     LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "rounds");
    h.options.rounds = 400;
    h.plan.worn.wetness = 2;
    assert_int_equal(lw_fall_again(h.fall, lw_cut_lengths(h.cut), &h.plan, &h.options, &error),
                     LW_ERROR_ARGUMENT);
    assert_as_it_was(&as, &h);
    free(as.at), clear(&h);
}

static bool never(void *context, double share) {
    double *last = context;
    assert_true(share > *last && share <= 1);
    *last = share;
    return false;
}

static bool always(void *context, double share) {
    double *last = context;
    assert_true(share > *last && share <= 1 + 1e-12);
    *last = share;
    return true;
}

static void it_can_be_stopped(void **state) {
    (void)state;
    for (int packings = 0; packings <= 2; packings += 2) {
        hair h;
        make(&h, "uniform-layers", 60, packings);
        turn(&h, 1.02);
        kept as = keep(&h);
        double share = 0;
        lw_error error;
        h.options.progress = never, h.options.context = &share;
        assert_int_equal(lw_fall_again(h.fall, lw_cut_lengths(h.cut), &h.plan, &h.options, &error),
                         LW_ERROR_STOPPED);
        assert_as_it_was(&as, &h);
        assert_true(share > 0);
        share = 0, h.options.progress = always;
        go_on(&h);
        assert_true(share > 0);
        free(as.at), clear(&h);
    }
}

static void what_was_not_kept_is_asked_for(void **state) {
    (void)state;
    hair h;
    make(&h, "uniform-layers", 60, 0);
    lw_fall_options options = h.options;
    lw_fall *fall;
    lw_error error;
    options.goes_on = false;
    must(lw_fall_new(&fall, h.scalp, lw_cut_lengths(h.cut), &h.plan, &options, &error), &error);
    assert_int_equal(lw_fall_again(fall, lw_cut_lengths(h.cut), &h.plan, &h.options, &error),
                     LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "goes_on");
    lw_fall_free(fall);
    clear(&h);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_cut_moves_nothing),
        cmocka_unit_test(next_to_nothing_moves_it_less_and_less),
        cmocka_unit_test(to_and_fro_it_does_not_creep),
        cmocka_unit_test(it_rests_where_energy_is_least),
        cmocka_unit_test(it_lies_about_where_it_falls_from_the_comb),
        cmocka_unit_test(so_it_does_where_hair_takes_room),
        cmocka_unit_test(hair_that_became_far_longer_hangs),
        cmocka_unit_test(hair_of_another_curl_is_loose),
        cmocka_unit_test(hair_that_grows_little_by_little_hangs),
        cmocka_unit_test(it_lives_through_great_changes),
        cmocka_unit_test(combed_otherwise_it_falls_from_the_comb),
        cmocka_unit_test(same_bits_for_any_number_of_threads),
        cmocka_unit_test(parts_are_the_same_as_all_at_once),
        cmocka_unit_test(mirrored_hairs_lie_as_mirror_images),
        cmocka_unit_test(memory_may_fail_anywhere),
        cmocka_unit_test(what_is_out_of_range_is_refused),
        cmocka_unit_test(what_was_not_kept_is_asked_for),
        cmocka_unit_test(it_can_be_stopped),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
