/* What hairs at rest read as: shapes whose readings are known, and the trade's rules about weight.
 *
 * The shapes stand on a ball, where each reading is a formula. The rules are common practice, on measured
 * heads that a plan was carried out on, with limp hair and with hair that fell: they were told to nobody. */
#include <math.h>
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

#include "carried_out.h"
#include "failing.h"
#include "heads.h"
#include "near.h"

#define PI 3.14159265358979323846
#define R .1           /* metres: the ball */
#define FIBRE 4643e-12 /* m^2: the default of a plan */
#define HAIRS 150000.0
#define PIXEL 2e-3 /* metres: outlines are read on a grid of this; docs/model.md */

static const double MM = 1e-3;

/* ---- strands ------------------------------------------------------------------------------- */

static lw_strands strands_of(int count, int nodes) {
    lw_strands s = {.count = count, .nodes = nodes};
    s.at = calloc((size_t)count * (size_t)nodes + 1, sizeof *s.at);
    s.root = calloc((size_t)count + 1, sizeof *s.root);
    s.hairs = calloc((size_t)count + 1, sizeof *s.hairs);
    for (int i = 0; i < count; i++) s.root[i] = i, s.hairs[i] = HAIRS / count;
    return s;
}

static void drop(lw_strands *s) {
    free(s->at);
    free(s->root);
    free(s->hairs);
}

static lw_vec3 *strand(const lw_strands *s, int i) { return s->at + (size_t)i * (size_t)s->nodes; }

static lw_fallen read(const lw_head *head, const lw_strands *s) {
    lw_fallen out;
    lw_error error = {0};
    if (lw_fallen_new(&out, head, s, FIBRE, NULL, &error)) fail_msg("%s: %s", error.place, error.message);
    return out;
}

/* Evenly over the ball: a golden spiral. */
static lw_vec3 spiral(int i, int count) {
    double y = 1 - (2 * i + 1.0) / count, level = sqrt(1 - y * y), turn = i * PI * (3 - sqrt(5));
    return (lw_vec3){level * cos(turn), y, level * sin(turn)};
}

/* Hair of one length, straight out of the ball. */
static lw_strands straight_out(int count, double length) {
    lw_strands s = strands_of(count, 4);
    for (int i = 0; i < count; i++)
        for (int k = 0; k < 4; k++) {
            lw_vec3 u = spiral(i, count);
            double far = R + length * k / 3;
            strand(&s, i)[k] = (lw_vec3){far * u.x, far * u.y, far * u.z};
        }
    return s;
}

/* What hangs of a hair with its root at p, were it endless: the height at which its root would be if it hung
 * straight. */
static double climb(lw_vec3 p) { return p.y < 0 ? p.y : R * asin(p.y / R); }

typedef double length_rule(double climb);

/* Limp hair on a ball, of the length that the rule gives. */
static lw_strands limp(const lw_scalp *scalp, length_rule *rule) {
    lw_strands s = strands_of(lw_scalp_count(scalp), 24);
    for (int i = 0; i < s.count; i++) {
        lw_vec3 root = lw_scalp_root(scalp, i);
        /* Where the ball is level hair falls as it grows: the topmost are left out. */
        s.hairs[i] = root.y < R * cos(PI / 6) ? lw_scalp_weight(scalp, i) : 0;
        lw_scalp_hang(strand(&s, i), s.nodes, scalp, root, rule(climb(root)), 0);
    }
    return s;
}

/* ---- a ball of hair ------------------------------------------------------------------------ */

static double across(lw_view view, lw_vec3 p) {
    static const int sign[] = {1, -1, -1, 1, 1};
    return sign[view] * (view == LW_VIEW_LEFT || view == LW_VIEW_RIGHT ? p.z : p.x);
}

static double upward(lw_view view, lw_vec3 p) { return view == LW_VIEW_ABOVE ? -p.z : p.y; }

static double area(const lw_outline *o, lw_view view) {
    double twice = 0;
    for (int i = 0; i < o->count; i++) {
        lw_vec3 a = o->at[i], b = o->at[(i + 1) % o->count];
        twice += across(view, a) * upward(view, b) - across(view, b) * upward(view, a);
    }
    return twice / 2;
}

static void is_circle(const lw_outline *o, lw_view view, double radius) {
    assert_true(o->count > 100);
    for (int i = 0; i < o->count; i++) {
        lw_vec3 p = o->at[i];
        assert_near(sqrt(p.x * p.x + p.y * p.y + p.z * p.z), radius, .6 * PIXEL);
        lw_vec3 q = o->at[(i + 1) % o->count];
        assert_true(sqrt(pow(p.x - q.x, 2) + pow(p.y - q.y, 2) + pow(p.z - q.z, 2)) < 1.5 * PIXEL);
    }
    assert_near(area(o, view), PI * radius * radius, .01 * PI * radius * radius);
}

static void hair_straight_out_of_a_ball(void **state) {
    (void)state;
    const double length = .03;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    lw_strands s = straight_out(20000, length);
    lw_fallen f = read(head, &s);
    for (int v = 0; v < LW_VIEW_COUNT; v++) is_circle(&f.outline[v], (lw_view)v, R + length);
    assert_near(f.width, 2 * (R + length), 1.2 * PIXEL);
    assert_near(f.depth, 2 * (R + length), 1.2 * PIXEL);
    assert_near(f.width_height, 0, .02); /* where a circle is within half a pixel of its greatest width */
    assert_near(f.thickness, length, .5 * MM);
    assert_true(f.patch_count > 200);
    double hairs = 0;
    for (int i = 0; i < f.patch_count; i++) {
        assert_near(f.patches[i].stands_off, length, .5 * MM);
        assert_near(f.patches[i].mean, length, 1e-5);
        hairs += f.patches[i].hairs;
    }
    assert_near(hairs, HAIRS * lw_head_scalp_area(head) / (4 * PI * R * R), .05 * HAIRS);
    /* The upper half of a ball stands up, and all of what stands off. */
    assert_near(f.standing, .5, .001);
    assert_near(f.standing_at[LW_APEX], 1, 1e-9);
    assert_near(f.standing_at[LW_NAPE_CENTRE], 0, 1e-9);
    for (int k = 0; k < LW_BEARINGS; k++) assert_true(isnan(f.around[k].weight));
    lw_fallen_clear(&f);
    drop(&s);
    lw_head_free(head);
}

static void a_stray_hair_does_not_decide(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    lw_strands s = straight_out(20000, .03);
    for (int k = 0; k < s.nodes; k++) strand(&s, 7000)[k] = (lw_vec3){R + .05 * k, .01, 0};
    s.hairs[7000] = 1;
    lw_fallen f = read(head, &s);
    for (int v = 0; v < LW_VIEW_COUNT; v++) is_circle(&f.outline[v], (lw_view)v, R + .03);
    assert_near(f.width, 2 * (R + .03), 1.2 * PIXEL);
    lw_fallen_clear(&f);
    drop(&s);
    lw_head_free(head);
}

/* Every n-th hair is longer: where they are more than 5 in 100, they are what stands off. */
static void what_stands_off_is_the_95th_percentile(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    for (int every = 10; every <= 40; every += 30) {
        lw_strands s = straight_out(40000, .01), longer = straight_out(40000, .03);
        for (int i = 0; i < s.count; i += every)
            for (int k = 0; k < s.nodes; k++) strand(&s, i)[k] = strand(&longer, i)[k];
        lw_fallen f = read(head, &s);
        assert_near(f.thickness, every < 20 ? .03 : .01, MM);
        double sum = 0, hairs = 0;
        for (int i = 0; i < f.patch_count; i++)
            sum += f.patches[i].mean * f.patches[i].hairs, hairs += f.patches[i].hairs;
        assert_near(sum / hairs, .01 + .02 / every, .1 * MM);
        lw_fallen_clear(&f);
        drop(&s);
        drop(&longer);
    }
    lw_head_free(head);
}

/* Hair on top of the ball that leans: it stands up as long as its tip is more than half its length off the
 * ball. */
static void leaning_hair_stands_up_to_half_its_length(void **state) {
    (void)state;
    const double length = .02;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    lw_strands s = strands_of(100, 2);
    for (int degrees = 0; degrees < 90; degrees += 5) {
        double across = length * sin(degrees * PI / 180), up = R + length * cos(degrees * PI / 180);
        for (int i = 0; i < s.count; i++) {
            strand(&s, i)[0] = (lw_vec3){0, R, 0};
            strand(&s, i)[1] = (lw_vec3){across, up, 0};
        }
        lw_fallen f = read(head, &s);
        assert_near(f.standing, sqrt(across * across + up * up) - R > .5 * length, 1e-9);
        assert_near(f.standing_at[LW_APEX], f.standing, 1e-9);
        lw_fallen_clear(&f);
    }
    drop(&s);
    lw_head_free(head);
}

static void a_bare_bust_is_its_own_outline(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    lw_strands s = strands_of(0, 2);
    lw_fallen f = read(head, &s);
    for (int v = 0; v < LW_VIEW_COUNT; v++) {
        is_circle(&f.outline[v], (lw_view)v, R);
        is_circle(&f.bust[v], (lw_view)v, R);
    }
    assert_true(f.width == 0 && f.depth == 0 && f.standing == 0 && f.thickness == 0);
    assert_true(isnan(f.width_height) && isnan(f.side[LW_SIDE_BACK].perimeter));
    for (int k = 0; k < LW_BEARINGS; k++) assert_true(isnan(f.around[k].perimeter) && f.around[k].hairs == 0);
    lw_fallen_clear(&f);
    drop(&s);
    lw_head_free(head);
}

/* Where the lock is not, to the bit. */
static void without_hair_it_is_the_bust(const lw_outline *all, const lw_outline *bust, lw_view view) {
    int alike = 0;
    for (int i = 0; i < bust->count; i++) {
        bool found = false;
        for (int k = 0; k < all->count && !found; k++)
            found = memcmp(&bust->at[i], &all->at[k], sizeof(lw_vec3)) == 0;
        alike += found;
    }
    assert_true(alike > .7 * bust->count);
    assert_true(area(all, view) >= area(bust, view));
}

/* Of the bust and the hair that hangs beside it. */
static void outlines_go_round_as_their_viewer_sees_them(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_WOMAN, 0, 0, 0);
    lw_strands s = strands_of(400, 2); /* one lock on the left: 2 cm wide, from the ear's height down */
    for (int i = 0; i < s.count; i++) s.hairs[i] = 10;
    for (int i = 0; i < s.count; i++)
        for (int k = 0; k < 2; k++) strand(&s, i)[k] = (lw_vec3){.1 + 5e-5 * i, -.1 * k, .01};
    lw_fallen f = read(head, &s);
    double out[2] = {0, 0};
    for (int v = 0; v < LW_VIEW_COUNT; v++) {
        assert_true(area(&f.outline[v], (lw_view)v) > .02);
        without_hair_it_is_the_bust(&f.outline[v], &f.bust[v], (lw_view)v);
    }
    for (int i = 0; i < f.outline[LW_VIEW_FRONT].count; i++) {
        lw_vec3 p = f.outline[LW_VIEW_FRONT].at[i];
        if (fabs(p.y + .05) < .01) out[p.x < 0] = fmax(out[p.x < 0], fabs(p.x));
    }
    assert_true(out[1] < .09); /* the cheek */
    assert_near(f.width, .02, PIXEL);
    lw_fallen_clear(&f);
    drop(&s);
    /* A lock apart is no part of the outline; one that touches the head is. */
    s = strands_of(400, 2);
    for (int i = 0; i < s.count; i++) s.hairs[i] = 10;
    for (int i = 0; i < s.count; i++)
        for (int k = 0; k < 2; k++) strand(&s, i)[k] = (lw_vec3){.06 + 1.5e-4 * i, -.1 * k, .01};
    f = read(head, &s);
    double far = 0;
    for (int i = 0; i < f.outline[LW_VIEW_FRONT].count; i++)
        if (fabs(f.outline[LW_VIEW_FRONT].at[i].y + .05) < .01)
            far = fmax(far, f.outline[LW_VIEW_FRONT].at[i].x);
    assert_near(far, .12, PIXEL);
    assert_true(area(&f.outline[LW_VIEW_FRONT], LW_VIEW_FRONT) >
                area(&f.bust[LW_VIEW_FRONT], LW_VIEW_FRONT) + 1e-3);
    without_hair_it_is_the_bust(&f.outline[LW_VIEW_FRONT], &f.bust[LW_VIEW_FRONT], LW_VIEW_FRONT);
    lw_fallen_clear(&f);
    /* Wider downward: counted to the collar. Seen from above there are no shoulders. */
    double collar = lw_head_level(head, LW_COLLAR);
    for (int i = 0; i < s.count; i++) {
        strand(&s, i)[0] = (lw_vec3){.1 + 5e-5 * i, 0, .01};
        strand(&s, i)[1] = (lw_vec3){.1 + 5e-4 * i, -.3, .01};
    }
    f = read(head, &s);
    assert_near(f.width_height, collar, PIXEL);
    assert_near(f.width, .02 - .18 * collar / .3, 2 * PIXEL);
    for (int i = 0; i < f.outline[LW_VIEW_ABOVE].count; i++)
        assert_true(f.outline[LW_VIEW_ABOVE].at[i].x > -.1);
    lw_fallen_clear(&f);
    drop(&s);
    lw_head_free(head);
}

/* ---- hair that hangs round a ball ----------------------------------------------------------- */

static double to_one_line(double climb) { return climb + .12; }
static double of_one_length(double climb) { return climb * 0 + .09; }

/* Cut lower than straight out to a certain height, and straight out above it: length grows by cos 45 of the
 * way. */
static const double STOP = .05;
static double until_it_stops(double climb) { return .2 + cos(PI / 4) * fmin(climb - STOP, 0); }

static void a_curtain_of_one_line(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    lw_scalp *scalp = roots_of(head, 8000);
    lw_strands s = limp(scalp, to_one_line);
    lw_fallen f = read(head, &s);
    for (int k = 0; k < LW_BEARINGS; k++) {
        assert_near(f.around[k].perimeter, -.12,
                    .1 * MM); /* chords of 24 points are shorter than their arcs */
        assert_near(f.around[k].weight, -.12, .4 * MM);
        assert_near(f.around[k].piled, 1, .005);
        assert_near(f.around[k].sharpness, 1, 1e-9);
        assert_true(f.around[k].over == LW_OVER_NOTHING);
        /* Roots above the equator hang R from the axis, those of the nape nearer. */
        assert_true(f.around[k].weight_far < R + MM && f.around[k].weight_far > .8 * R);
    }
    for (int i = 0; i < LW_SIDE_COUNT; i++) assert_near(f.side[i].weight, -.12, .4 * MM);
    assert_near(f.width, 2 * R, 1.2 * PIXEL);
    assert_near(f.standing, 0, 1e-9);
    lw_fallen_clear(&f);
    drop(&s);
    lw_scalp_free(scalp);
    lw_head_free(head);
}

static void layers_of_one_length_have_no_weight_line(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    lw_scalp *scalp = roots_of(head, 8000);
    lw_strands s = limp(scalp, of_one_length);
    lw_fallen f = read(head, &s);
    for (int k = 0; k < LW_BEARINGS; k++) {
        assert_true(isnan(f.around[k].weight) && f.around[k].piled == 0 && f.around[k].sharpness == 0);
        assert_false(isnan(f.around[k].perimeter));
    }
    /* The back's lowest hair grows at the nape. */
    double nape = lw_head_landmark(head, LW_NAPE_CENTRE).y;
    assert_near(f.side[LW_SIDE_BACK].perimeter, nape - .09, .01);
    lw_fallen_clear(&f);
    drop(&s);
    lw_scalp_free(scalp);
    lw_head_free(head);
}

/* Hair of one length builds no weight; few strands of it, rooted at random, bunch all the same. Common
 * practice, and the rule's own promise: a line is told for less than one bearing in a hundred. */
static void what_bunches_by_chance_is_no_weight_line(void **state) {
    (void)state;
    enum { TURNS = 20 };
    static const int counts[] = {600, 1200, 2400}; /* 25, 50 and 100 strands a bearing */
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    srand(7);
    for (size_t c = 0; c < sizeof counts / sizeof *counts; c++) {
        int told = 0;
        lw_strands s = strands_of(counts[c], 2);
        for (int turn = 0; turn < TURNS; turn++) {
            for (int i = 0; i < s.count; i++) {
                double y = -R * rand() / RAND_MAX, around = 2 * PI * rand() / RAND_MAX,
                       far = sqrt(R * R - y * y);
                strand(&s, i)[0] = strand(&s, i)[1] = (lw_vec3){far * sin(around), y, far * cos(around)};
                strand(&s, i)[1].y -= .1;
            }
            lw_fallen f = read(head, &s);
            for (int k = 0; k < LW_BEARINGS; k++) told += !isnan(f.around[k].weight);
            lw_fallen_clear(&f);
        }
        assert_true(told < .01 * TURNS * LW_BEARINGS);
        drop(&s);
    }
    lw_head_free(head);
}

static void weight_lies_where_length_stops_growing(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    lw_scalp *scalp = roots_of(head, 8000);
    lw_strands s = limp(scalp, until_it_stops);
    lw_fallen f = read(head, &s);
    for (int k = 27; k <= 45; k++) { /* round the back, where hair grows low */
        double line = STOP - until_it_stops(STOP);
        assert_near(f.around[k].weight, line, 3 * MM); /* hairs are about 3 mm apart */
        assert_true(f.around[k].perimeter < line - .01);
        assert_near(f.around[k].weight_far, R, .01);
    }
    lw_fallen_clear(&f);
    drop(&s);
    lw_scalp_free(scalp);
    lw_head_free(head);
}

/* Ends in one ring, all at one height: what they lie over is told by where they are. */
static void perimeters_are_told_by_what_they_lie_over(void **state) {
    (void)state;
    static const struct {
        double y, far;
        lw_over front, side, back;
    } rings[] = {{.06, .13, LW_OVER_FACE, LW_OVER_SCALP, LW_OVER_SCALP},
                 {.015, .13, LW_OVER_FACE, LW_OVER_EAR, LW_OVER_SCALP},
                 {-.06, .13, LW_OVER_FACE, LW_OVER_NECK, LW_OVER_SCALP},
                 {-.11, .13, LW_OVER_NECK, LW_OVER_NECK, LW_OVER_NECK},
                 {-.17, .2, LW_OVER_SHOULDER, LW_OVER_SHOULDER, LW_OVER_SHOULDER},
                 {.2, .1, LW_OVER_NOTHING, LW_OVER_NOTHING, LW_OVER_NOTHING}};
    lw_head *head = head_of(LW_HEAD_MAN, 0, 0, 0);
    lw_vec3 centre = lw_head_centre(head);
    lw_strands s = strands_of(3600, 2);
    for (size_t r = 0; r < sizeof rings / sizeof *rings; r++) {
        for (int i = 0; i < s.count; i++) {
            double turn = 2 * PI * (i + .5) / s.count;
            lw_vec3 end = {rings[r].far * sin(turn), rings[r].y, centre.z + rings[r].far * cos(turn)};
            strand(&s, i)[1] = end;
            end.y += .05;
            strand(&s, i)[0] = end;
        }
        lw_fallen f = read(head, &s);
        assert_int_equal(f.around[0].over, rings[r].front);
        assert_int_equal(f.around[LW_BEARINGS / 4].over, rings[r].side);
        assert_int_equal(f.around[LW_BEARINGS / 2].over, rings[r].back);
        for (int k = 0; k < LW_BEARINGS; k++) {
            assert_near(f.around[k].perimeter, rings[r].y, 1e-12);
            assert_near(f.around[k].perimeter_far, rings[r].far, 1e-6);
            assert_near(f.around[k].hairs, HAIRS / LW_BEARINGS * 3, 1);
        }
        double hairs = 0;
        for (int i = 0; i < LW_SIDE_COUNT; i++) hairs += f.side[i].hairs;
        assert_near(hairs, HAIRS, 5); /* each strand by 1 in 65536 */
        lw_fallen_clear(&f);
    }
    drop(&s);
    lw_head_free(head);
}

/* Piled: hair held at e from the scalp leaves ends 1 / (1 - cos e) times as close as roots; what goes beyond
 * half as much again is 1 - 1.5 (1 - cos e) of it. On a ball roots of a bearing lie evenly by height below
 * the equator. */
static double held_at_45(double climb) { return .1 + cos(PI / 4) * (climb + R); }

static void what_piles_up_is_what_the_elevation_says(void **state) {
    (void)state;
    const int count = 40000;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    lw_strands s = strands_of(count, 2);
    for (int i = 0; i < count; i++) {
        lw_vec3 u = spiral(i, count), root = {R * u.x, R * u.y, R * u.z};
        if (u.y > 0) root.y = -root.y; /* all on the lower half, whence hair hangs straight down */
        strand(&s, i)[0] = strand(&s, i)[1] = root;
        strand(&s, i)[1].y -= held_at_45(root.y);
    }
    lw_fallen f = read(head, &s);
    for (int k = 0; k < LW_BEARINGS; k++) {
        assert_near(f.around[k].piled, 1 - 1.5 * (1 - cos(PI / 4)), .04);
        assert_near(f.around[k].weight, -held_at_45(0), 2 * MM);
        assert_near(f.around[k].perimeter, -R - held_at_45(-R), 2 * MM);
    }
    lw_fallen_clear(&f);
    drop(&s);
    lw_head_free(head);
}

/* Of a cut, limp; what grows in front of `front` is left out. */
static lw_strands limp_behind(const carried_out *c, double front) {
    lw_strands s = strands_of(lw_scalp_count(c->scalp), 24);
    for (int i = 0; i < s.count; i++) {
        s.hairs[i] = 0;
        if (lw_scalp_root(c->scalp, i).z > front) continue;
        double length = lw_hair_lies(&c->plan.hair, lw_cut_lengths(c->cut)[i]);
        s.hairs[i] = lw_scalp_weight(c->scalp, i);
        lw_scalp_hang(strand(&s, i), s.nodes, c->scalp, lw_scalp_root(c->scalp, i), length, 1e-3);
    }
    return s;
}

static lw_strands limp_cut(const carried_out *c) { return limp_behind(c, 1); }

/* ---- the weight line by trying every stretch, as docs/model.md has it -------------------------- */

typedef struct ended {
    double y, root, hairs;
} ended;

static int lower_first(const void *a, const void *b) {
    const ended *p = a, *q = b;
    return (p->y > q->y) - (p->y < q->y);
}

static int lower_root_first(const void *a, const void *b) {
    const ended *p = a, *q = b;
    return (p->root > q->root) - (p->root < q->root);
}

/* The S below which `share` of the hairs lie. */
static double quartile(const ended *e, int n, double share) {
    ended *sorted = malloc(sizeof *sorted * (size_t)n);
    double all = 0, sum = 0;
    for (int i = 0; i < n; i++) sorted[i] = e[i], all += e[i].hairs;
    qsort(sorted, (size_t)n, sizeof *sorted, lower_root_first);
    int i = 0;
    while ((sum += sorted[i].hairs) < share * all) i++;
    double root = sorted[i].root;
    free(sorted);
    return root;
}

static double close_to(const ended *e, int n, double root) {
    double sum = 0;
    for (int i = 0; i < n; i++) sum += fabs(e[i].root - root) <= .02 ? e[i].hairs : 0;
    return sum / .04;
}

/* piled, and *height of the line. */
static double by_trying(double *height, ended *e, int n) {
    qsort(e, (size_t)n, sizeof *e, lower_first);
    double all = 0, best = 0;
    for (int i = 0; i < n; i++) all += e[i].hairs;
    double usual = .5 * all / (quartile(e, n, .75) - quartile(e, n, .25));
    for (int a = 0; a < n; a++) {
        double worth = 0, before = 0;
        for (int b = a; b < n; b++) {
            double here = close_to(e, n, e[b].root);
            if (b > a) worth -= 1.5 * fmax(usual, .5 * (before + here)) * (e[b].y - e[b - 1].y);
            worth += e[b].hairs;
            before = here;
            if (worth > best) best = worth, *height = e[b].y;
        }
    }
    return best / all;
}

/* At a bearing, in degrees; what is read there is `a`. */
static void agrees(const lw_around *a, const lw_head *head, const lw_strands *s, double degrees) {
    int n = 0;
    ended *e = malloc(sizeof *e * (size_t)s->count);
    lw_vec3 c = lw_head_centre(head);
    for (int i = 0; i < s->count; i++) {
        const lw_vec3 *p = strand(s, i);
        lw_vec3 end = p[s->nodes - 1];
        double length = 0, turn = atan2(end.x, end.z - c.z) * 180 / PI;
        if (fabs(remainder(turn - degrees, 360)) > 7.5) continue;
        for (int k = 1; k < s->nodes; k++)
            length +=
                sqrt(pow(p[k].x - p[k - 1].x, 2) + pow(p[k].y - p[k - 1].y, 2) + pow(p[k].z - p[k - 1].z, 2));
        e[n++] = (ended){end.y, end.y + length, s->hairs[i]};
    }
    double height = 0, piled = by_trying(&height, e, n), sum = 0, squares = 0;
    for (int i = 0; i < n; i++) sum += e[i].hairs, squares += e[i].hairs * e[i].hairs;
    double strands = sum * sum / squares;
    if (piled < fmax(.1, .909 * ceil(log2(100 * strands)) / strands)) {
        assert_true(isnan(a->weight));
    } else {
        assert_near(a->weight, height, 1e-9);
        assert_near(a->piled, piled, 1e-3); /* hairs in steps of 1 in 65536 */
    }
    free(e);
}

static void the_weight_line_is_the_stretch_worth_most(void **state) {
    (void)state;
    static const char *const names[] = {"graduated-bob", "disconnected-layers", "one-length-bob"};
    for (int i = 0; i < 3; i++) {
        carried_out c;
        carry_out_example(&c, names[i], 1500);
        lw_strands s = limp_cut(&c);
        for (int k = 0; k < s.count; k++) s.hairs[k] *= 1 + .5 * cos(k);
        lw_fallen f = read(c.head, &s);
        for (int k = 0; k < LW_BEARINGS; k += 7)
            if (f.around[k].hairs > 3000) agrees(&f.around[k], c.head, &s, f.around[k].bearing * 180 / PI);
        lw_fallen_clear(&f);
        drop(&s);
        put_away(&c);
    }
}

/* ---- what must not matter ------------------------------------------------------------------- */

static bool equal(double a, double b) { return a == b || (isnan(a) && isnan(b)); }

static void same_around(const lw_around *a, const lw_around *b) {
    assert_true(equal(a->hairs, b->hairs) && equal(a->perimeter, b->perimeter) && a->over == b->over);
    assert_true(equal(a->perimeter_far, b->perimeter_far) && equal(a->weight, b->weight));
    assert_true(equal(a->weight_far, b->weight_far) && equal(a->piled, b->piled));
    assert_true(equal(a->sharpness, b->sharpness));
}

static void same(const lw_fallen *a, const lw_fallen *b) {
    for (int v = 0; v < LW_VIEW_COUNT; v++) {
        assert_int_equal(a->outline[v].count, b->outline[v].count);
        assert_memory_equal(a->outline[v].at, b->outline[v].at,
                            sizeof(lw_vec3) * (size_t)a->outline[v].count);
        assert_int_equal(a->bust[v].count, b->bust[v].count);
        assert_memory_equal(a->bust[v].at, b->bust[v].at, sizeof(lw_vec3) * (size_t)a->bust[v].count);
    }
    assert_true(a->width == b->width && a->width_height == b->width_height);
    assert_true(a->depth == b->depth && a->depth_height == b->depth_height);
    assert_int_equal(a->patch_count, b->patch_count);
    assert_memory_equal(a->patches, b->patches,
                        sizeof(lw_patch) * (size_t)a->patch_count); /* doubles alone */
    assert_true(a->thickness == b->thickness && a->standing == b->standing);
    for (int k = 0; k < LW_BEARINGS; k++) same_around(&a->around[k], &b->around[k]);
    assert_memory_equal(a->ends, b->ends, sizeof a->ends);
    assert_memory_equal(a->standing_at, b->standing_at, sizeof a->standing_at);
}

static void swap_strands(lw_strands *s, int i, int j) {
    for (int k = 0; k < s->nodes; k++) {
        lw_vec3 p = strand(s, i)[k];
        strand(s, i)[k] = strand(s, j)[k];
        strand(s, j)[k] = p;
    }
    double hairs = s->hairs[i];
    s->hairs[i] = s->hairs[j];
    s->hairs[j] = hairs;
}

static void order_and_threads_do_not_matter(void **state) {
    (void)state;
    carried_out c;
    carry_out_example(&c, "graduated-bob", 4000);
    lw_strands s = limp_cut(&c);
    for (int i = 0; i < s.count; i++) s.hairs[i] *= 1 + .3 * sin(i);
    lw_fallen a = read(c.head, &s);
    for (int i = 0; i < s.count; i++) swap_strands(&s, i, (int)((unsigned)i * 7919U % (unsigned)s.count));
    lw_fallen b = read(c.head, &s);
    same(&a, &b);
    lw_fallen_clear(&b);
#ifdef _OPENMP
    omp_set_num_threads(5);
#endif
    b = read(c.head, &s);
    same(&a, &b);
    lw_fallen_clear(&a);
    lw_fallen_clear(&b);
    drop(&s);
    put_away(&c);
}

static void mirrored_hair_reads_mirrored(void **state) {
    (void)state;
    carried_out c;
    carry_out_example(&c, "short-mixed-shapes", 4000);
    lw_strands s = limp_cut(&c);
    for (int i = 0; i < s.count; i += 2) s.hairs[i] *= 2; /* the left is denser */
    lw_fallen a = read(c.head, &s);
    for (size_t i = 0; i < (size_t)s.count * (size_t)s.nodes; i++) s.at[i].x *= -1;
    lw_fallen b = read(c.head, &s);
    for (int k = 0; k < LW_BEARINGS; k++)
        same_around(&a.around[k], &b.around[(LW_BEARINGS - k) % LW_BEARINGS]);
    assert_true(a.side[LW_SIDE_LEFT].hairs > 1.5 * a.side[LW_SIDE_RIGHT].hairs);
    assert_true(a.side[LW_SIDE_LEFT].hairs == b.side[LW_SIDE_RIGHT].hairs);
    assert_true(equal(a.side[LW_SIDE_LEFT].perimeter, b.side[LW_SIDE_RIGHT].perimeter));
    for (int i = LW_RECESSION_LEFT; i < LW_LANDMARK_COUNT; i++)
        assert_true(a.standing_at[i] == b.standing_at[lw_landmark_mirror((lw_landmark)i)]);
    assert_near(a.width, b.width, 1e-9);
    for (int v = 0; v < LW_VIEW_COUNT; v++)
        assert_near(area(&a.outline[v], (lw_view)v), area(&b.outline[v], (lw_view)v), 1e-9);
    lw_fallen_clear(&a);
    lw_fallen_clear(&b);
    drop(&s);
    put_away(&c);
}

/* 4,000 roots are 4.4 mm apart, 8,000 3.1; a strand of the former is 1.8 mm wide, half of which lies outside
 * of the outline that more of them would have: 2 % of what is seen of a head from above. */
static void twice_as_many_strands_change_little(void **state) {
    (void)state;
    lw_fallen f[2];
    for (int i = 0; i < 2; i++) {
        carried_out c;
        carry_out_example(&c, "graduated-bob", i ? 8000 : 4000);
        lw_strands s = limp_cut(&c);
        f[i] = read(c.head, &s);
        drop(&s);
        put_away(&c);
    }
    assert_near(f[0].width, f[1].width, 2 * PIXEL);
    assert_near(f[0].depth, f[1].depth, 2 * PIXEL);
    assert_near(f[0].thickness, f[1].thickness, .5 * MM);
    for (int i = 0; i <= LW_LEVEL_COUNT; i++) assert_near(f[0].ends[i], f[1].ends[i], .01);
    for (int i = LW_SIDE_LEFT; i < LW_SIDE_COUNT; i++) { /* few hairs end in front of the face */
        assert_near(f[0].side[i].perimeter, f[1].side[i].perimeter, 3 * MM);
        assert_near(f[0].side[i].weight, f[1].side[i].weight, 6 * MM);
        assert_near(f[0].side[i].hairs, f[1].side[i].hairs, .01 * f[1].side[i].hairs);
    }
    for (int v = 0; v < LW_VIEW_COUNT; v++)
        assert_near(area(&f[0].outline[v], (lw_view)v) / area(&f[1].outline[v], (lw_view)v), 1, .03);
    lw_fallen_clear(&f[0]);
    lw_fallen_clear(&f[1]);
}

/* ---- faults --------------------------------------------------------------------------------- */

static void what_cannot_be_read_is_refused(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, R, 0, 0);
    lw_strands good = straight_out(50, .03);
    lw_fallen f;
    lw_error error = {0};
    lw_strands bad = good;
    bad.nodes = 1;
    assert_int_equal(lw_fallen_new(&f, head, &bad, FIBRE, NULL, &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "strands");
    assert_int_equal(lw_fallen_new(&f, head, &good, 0, NULL, &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, "section_area");
    assert_int_equal(lw_fallen_new(&f, head, &good, (double)NAN, NULL, NULL), LW_ERROR_ARGUMENT);
    const double values[] = {(double)NAN, (double)INFINITY, 11};
    for (int i = 0; i < 3; i++) {
        double kept = good.at[70].y;
        good.at[70].y = values[i];
        assert_int_equal(lw_fallen_new(&f, head, &good, FIBRE, NULL, &error), LW_ERROR_ARGUMENT);
        assert_non_null(strstr(error.message, "point 2 of strand 17"));
        good.at[70].y = kept;
    }
    good.hairs[3] = -1;
    assert_int_equal(lw_fallen_new(&f, head, &good, FIBRE, NULL, &error), LW_ERROR_ARGUMENT);
    assert_null(f.patches);
    drop(&good);
    lw_head_free(head);
}

/* Who waits for it is asked, and may stop it at any time; on a bust of one's own it reads the same. */
static bool so_many_times(void *context, double share) {
    int *left = context;
    assert_true(share > 0 && share < 1);
    return (*left)-- > 0;
}

static void it_stops_when_told(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_WOMAN, 0, 0, 0);
    lw_strands s = strands_of(300, 3);
    lw_vec3 c = lw_head_centre(head);
    for (int i = 0; i < s.count; i++)
        for (int k = 0; k < 3; k++)
            strand(&s, i)[k] = (lw_vec3){c.x + i * MM - .15, c.y + .08 - .05 * k, c.z + .1};
    lw_error error;
    lw_mesh bust;
    assert_int_equal(lw_mesh_new(&bust, head, LW_FALLEN_EDGE, &error), LW_OK);
    lw_fallen plain = read(head, &s), f;
    int times = 0, left;
    lw_fallen_options options = {.bust = &bust, .progress = so_many_times, .context = &left};
    for (;; times++) {
        left = times;
        lw_status status = lw_fallen_new(&f, head, &s, FIBRE, &options, &error);
        if (!status) break;
        assert_int_equal(status, LW_ERROR_STOPPED);
        assert_true(f.patches == NULL && f.outline[LW_VIEW_FRONT].at == NULL);
        assert_true(times < 50);
    }
    assert_true(times > 10);
    assert_true(f.width == plain.width && f.depth == plain.depth && f.thickness == plain.thickness);
    for (int v = 0; v < LW_VIEW_COUNT; v++) {
        assert_int_equal(f.outline[v].count, plain.outline[v].count);
        assert_memory_equal(f.outline[v].at, plain.outline[v].at,
                            sizeof *f.outline[v].at * (size_t)f.outline[v].count);
    }
    lw_fallen_clear(&f), lw_fallen_clear(&plain), lw_mesh_clear(&bust);
    drop(&s);
    lw_head_free(head);
}

/* All in one point, without hairs, ten metres long: readings, and no NAN where there is hair. */
static void odd_hair_is_read(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_WOMAN, 0, 0, 0);
    lw_strands s = strands_of(300, 3);
    for (int i = 0; i < s.count; i++)
        for (int k = 0; k < 3; k++) strand(&s, i)[k] = lw_head_centre(head);
    lw_fallen f = read(head, &s);
    assert_near(f.ends[1] + f.ends[0], 1, 1e-9);
    lw_fallen_clear(&f);
    for (int i = 0; i < s.count; i++) s.hairs[i] = 0;
    f = read(head, &s);
    assert_true(f.standing == 0 && f.around[0].hairs == 0 && isnan(f.around[0].perimeter));
    lw_fallen_clear(&f);
    for (int i = 0; i < s.count; i++) s.hairs[i] = 100, strand(&s, i)[2] = (lw_vec3){0, -10, -.12};
    f = read(head, &s);
    assert_near(f.side[LW_SIDE_BACK].perimeter, -10, 1e-9);
    assert_near(f.ends[LW_LEVEL_COUNT], 1, 1e-9);
    lw_fallen_clear(&f);
    drop(&s);
    lw_head_free(head);
}

static void memory_can_fail_anywhere(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, .02, 0, 0);
    lw_strands s = straight_out(50, .03);
    int held = memory.live, n = 0;
    for (lw_status status = LW_ERROR_MEMORY; status; n++) {
        lw_fallen f;
        lw_error error = {0};
        memory_fails_from(n);
        status = lw_fallen_new(&f, head, &s, FIBRE, NULL, &error);
        if (memory_failed()) {
            assert_int_equal(status, LW_ERROR_MEMORY);
            assert_int_equal(error.status, LW_ERROR_MEMORY);
        }
        if (!status) lw_fallen_clear(&f);
        assert_int_equal(memory.live, held);
    }
    assert_true(n > 20);
    drop(&s);
    lw_head_free(head);
}

/* ---- the levels of the face ----------------------------------------------------------------- */

/* Half the bust's width at a height, at the middle of the neck. */
static double half_width(const lw_head *head, double y) {
    double in = 0, out = .3;
    for (int i = 0; i < 40; i++) {
        double x = .5 * (in + out);
        bool inside = false;
        for (double z = -.09; z < .03 && !inside; z += .004)
            inside = lw_head_bust(head, (lw_vec3){x, y, z}, NULL) < 0;
        if (inside)
            in = x;
        else
            out = x;
    }
    return in;
}

static void levels_are_those_of_the_bust(void **state) {
    (void)state;
    for (int kind = LW_HEAD_ADULT; kind <= LW_HEAD_MAN; kind++) {
        lw_head *head = head_of((lw_head_kind)kind, 0, 0, 0);
        double level[LW_LEVEL_COUNT],
            k = lw_head_measure(head, LW_EAR_TO_TOP) / .1312; /* over the mean man's */
        for (int i = 0; i < LW_LEVEL_COUNT; i++) level[i] = lw_head_level(head, (lw_level)i);
        for (int i = 1; i < LW_LEVEL_COUNT; i++) assert_true(level[i] < level[i - 1] - .01);
        /* The USAF survey of 1967, n 2420: below the vertex, of which the tragion lies 134.5 mm,
         * glabella 92.8 (sd 9.7), sellion 107.5 (9.4), menton 227.7 (10.2). The brow lies about as high as
         * the glabella, and the eye a little below the sellion. */
        assert_near(level[LW_BROW], .0417 * k, .0097);
        assert_near(level[LW_EYE], .0270 * k, .0094);
        assert_near(level[LW_CHIN], -.0932 * k, .0102);
        /* There is a chin above that level, and none below it. */
        lw_vec3 chin = {0, level[LW_CHIN] + .006, .07}, under = {0, level[LW_CHIN] - .004, .07};
        assert_true(lw_head_bust(head, chin, NULL) < 0 && lw_head_bust(head, under, NULL) > 0);
        double slope =
            (half_width(head, level[LW_COLLAR] - .004) - half_width(head, level[LW_COLLAR] + .004)) / .008;
        assert_near(slope, 1, .35); /* 45 degrees, within ten */
        lw_head_free(head);
    }
}

static void heights_are_told_in_words(void **state) {
    (void)state;
    char words[32], small[7];
    lw_head *head = head_of(LW_HEAD_WOMAN, 0, 0, 0), *ball = head_of(LW_HEAD_SPHERE, R, 0, 0);
    double lip = lw_head_level(head, LW_LIP), chin = lw_head_level(head, LW_CHIN);
    lw_level_words(words, sizeof words, head, chin + .004);
    assert_string_equal(words, "at the chin");
    lw_level_words(words, sizeof words, head, .5 * (lip + chin));
    assert_string_equal(words, "between lip and chin");
    lw_level_words(words, sizeof words, head, .09);
    assert_string_equal(words, "above the brow");
    lw_level_words(words, sizeof words, head, -.4);
    assert_string_equal(words, "below the collar");
    lw_level_words(small, sizeof small, head, -.4);
    assert_string_equal(small, "below ");
    lw_level_words(words, sizeof words, head, (double)NAN);
    assert_string_equal(words, "");
    assert_true(isnan(lw_head_level(ball, LW_CHIN)) && isnan(lw_head_level(head, LW_LEVEL_COUNT)));
    lw_level_words(words, sizeof words, ball, 0);
    assert_string_equal(words, "");
    assert_string_equal(lw_level_name(LW_CHEEKBONE), "cheekbone");
    assert_string_equal(lw_level_name((lw_level)-1), "");
    assert_string_equal(lw_over_name(LW_OVER_SHOULDER), "shoulder");
    assert_string_equal(lw_over_name((lw_over)9), "");
    lw_head_free(head);
    lw_head_free(ball);
}

/* ---- the rules of the trade ----------------------------------------------------------------- */

#define ENTRY(name, section, elevation, guide)                                                               \
    "{\"name\":\"" name "\",\"section\":\"" section                                                          \
    "\",\"panels\":{\"run\":\"level\",\"thickness\":1.5,\"start\":\"bottom\"},\"hold\":{"                    \
    "\"elevation\":" elevation                                                                               \
    ",\"from\":\"scalp\",\"carry\":\"half\"},\"line\":\"follow\",\"guide\":" guide "}"
#define FROM_NAPE "{\"kind\":\"travelling\",\"length\":6,\"at\":\"nape centre\"}"
#define PLAN(kind, split, steps)                                                                             \
    "{\"format\":\"lengthwise plan\",\"version\":1,\"units\":\"cm\",\"head\":{\"kind\":\"" kind              \
    "\"},\"hair\":{\"length\":40},\"sections\":[{\"split\":\"all\",\"parting\":{\"upright\":\"ear top "      \
    "left\"},"                                                                                               \
    "\"into\":[\"front\",\"back\"]}" split "],\"steps\":[" steps "]}"
#define HELD(kind, elevation) PLAN(kind, "", ENTRY("cut", "back", elevation, FROM_NAPE))
#define STOPS(place, elevation)                                                                              \
    PLAN("woman",                                                                                            \
         ",{\"split\":\"back\",\"parting\":{\"level\":\"" place "\"},\"into\":[\"upper\",\"lower\"]}",       \
         ENTRY("low", "lower", elevation,                                                                    \
               FROM_NAPE) "," ENTRY("high", "upper", "90", "{\"kind\":\"travelling\",\"step\":\"low\"}"))

enum { STRANDS = 3000 };

/* The back of a plan's limp hair; where `place` is a landmark, *ends gets the height at which a hair from
 * there ends. */
static lw_side_reading back_of(const char *text, int place, double *ends) {
    carried_out c;
    carried_out_read(&c, text, STRANDS);
    carry_out(&c);
    lw_strands s = limp_behind(&c, 0);
    lw_fallen f = read(c.head, &s);
    lw_side_reading back = f.side[LW_SIDE_BACK];
    if (ends) {
        lw_vec3 points[24];
        lw_scalp_hang(points, 24, c.scalp, lw_head_landmark(c.head, (lw_landmark)place),
                      lw_cut_landmark(c.cut, (lw_landmark)place), 1e-3);
        *ends = points[23].y;
        back.weight = f.around[LW_BEARINGS / 2].weight; /* straight behind, as that hair */
    }
    lw_fallen_clear(&f);
    drop(&s);
    put_away(&c);
    return back;
}

/* Common practice. */
static void held_straight_out_no_weight_held_lower_weight(void **state) {
    (void)state;
    static const char *const straight[] = {HELD("woman", "90"), HELD("man", "90")};
    static const char *const lower[] = {HELD("woman", "45"), HELD("man", "45")};
    static const char *const low[] = {HELD("woman", "30"), HELD("man", "30")};
    for (int i = 0; i < 2; i++) {
        lw_side_reading a = back_of(straight[i], 0, NULL), b = back_of(lower[i], 0, NULL),
                        c = back_of(low[i], 0, NULL);
        assert_true(isnan(a.weight) && a.piled == 0);
        assert_false(isnan(b.weight));
        assert_true(c.piled > b.piled + .1); /* the lower it is held, the more piles up */
    }
}

/* Common practice: of a graduated cut the weight line lies above its perimeter; the lower hair is held, the
 * nearer the two. */
static void graduation_puts_its_weight_above_its_perimeter(void **state) {
    (void)state;
    lw_side_reading steep = back_of(HELD("woman", "45"), 0, NULL),
                    flat = back_of(HELD("woman", "30"), 0, NULL);
    assert_true(steep.weight > steep.perimeter + .03);
    assert_true(flat.weight > flat.perimeter + .01);
    assert_true(steep.weight - steep.perimeter > flat.weight - flat.perimeter + .01);
    carried_out c;
    carry_out_example(&c, "graduated-bob", STRANDS);
    lw_strands s = limp_cut(&c);
    lw_fallen f = read(c.head, &s);
    for (int i = LW_SIDE_LEFT; i < LW_SIDE_COUNT; i++)
        assert_true(f.side[i].weight > f.side[i].perimeter + .03);
    lw_fallen_clear(&f);
    drop(&s);
    put_away(&c);
}

/* Common practice. */
static void one_length_puts_its_weight_at_its_perimeter(void **state) {
    (void)state;
    carried_out c;
    carry_out_example(&c, "one-length-bob", STRANDS);
    lw_strands s = limp_cut(&c);
    lw_fallen f = read(c.head, &s);
    for (int i = LW_SIDE_LEFT; i < LW_SIDE_COUNT; i++) {
        assert_near(f.side[i].weight, f.side[i].perimeter, .01);
        assert_true(f.side[i].sharpness > .9 && f.side[i].piled > .8);
    }
    /* Below the nape hairline: over the neck. */
    assert_true(f.around[LW_BEARINGS / 2].over == LW_OVER_NECK);
    lw_fallen_clear(&f);
    drop(&s);
    put_away(&c);
}

/* Common practice: one length all over, as the example of uniform layers has it. */
static void layers_have_no_weight_line_anywhere(void **state) {
    (void)state;
    carried_out c;
    carry_out_example(&c, "uniform-layers", STRANDS);
    lw_strands s = limp_cut(&c);
    lw_fallen f = read(c.head, &s);
    for (int i = 0; i < LW_SIDE_COUNT; i++) assert_true(isnan(f.side[i].weight));
    lw_fallen_clear(&f);
    drop(&s);
    put_away(&c);
}

/* Common practice: fingers that rise to straight out at a level leave the weight where the hair of that level
 * ends. A panel is 15 mm thick. */
static void weight_sits_where_the_fingers_stop_rising(void **state) {
    (void)state;
    double bone, crown;
    lw_side_reading low = back_of(STOPS("occipital bone", "30"), LW_OCCIPITAL_BONE, &bone);
    lw_side_reading high = back_of(STOPS("crown", "30"), LW_CROWN, &crown);
    assert_near(low.weight, bone, .015);
    assert_near(high.weight, crown, .015);
    low = back_of(STOPS("occipital bone", "45"), LW_OCCIPITAL_BONE, &bone);
    high = back_of(STOPS("crown", "45"), LW_CROWN, &crown);
    assert_near(low.weight, bone, .015);
    assert_near(high.weight, crown, .015);
    assert_true(high.weight > low.weight + .01);
}

/* The rules again of rods with stiffness that came to rest on the bust, as the plan has them worn. */
static lw_fallen read_fall(carried_out *c) {
    lw_fall *fall;
    lw_error error = {0};
    carry_out(c);
    if (lw_fall_new(&fall, c->scalp, lw_cut_lengths(c->cut), &c->plan, NULL, &error))
        fail_msg("%s: %s", error.place, error.message);
    lw_fallen f = read(c->head, lw_fall_strands(fall));
    lw_fall_free(fall);
    put_away(c);
    return f;
}

static lw_fallen read_fallen_example(const char *name) {
    carried_out c = {.lent = false};
    example_read(&c.plan, name);
    c.plan.scalp.count = STRANDS;
    return read_fall(&c);
}

static lw_side_reading fallen_back(const char *text) {
    carried_out c;
    carried_out_read(&c, text, STRANDS);
    lw_fallen f = read_fall(&c);
    lw_side_reading back = f.side[LW_SIDE_BACK];
    lw_fallen_clear(&f);
    return back;
}

/* Common practice. */
static void the_rules_hold_for_hair_that_falls(void **state) {
    (void)state;
    lw_side_reading straight = fallen_back(HELD("woman", "90")), lower = fallen_back(HELD("woman", "45"));
    assert_true(isnan(straight.weight));
    assert_true(lower.weight > lower.perimeter + .03);
    lw_fallen f = read_fallen_example("uniform-layers");
    for (int i = 0; i < LW_SIDE_COUNT; i++) assert_true(isnan(f.side[i].weight));
    lw_fallen_clear(&f);
    f = read_fallen_example("graduated-bob");
    for (int i = LW_SIDE_LEFT; i < LW_SIDE_COUNT; i++)
        assert_true(f.side[i].weight > f.side[i].perimeter + .03);
    lw_fallen_clear(&f);
    f = read_fallen_example("one-length-bob");
    for (int i = LW_SIDE_LEFT; i < LW_SIDE_COUNT; i++)
        assert_near(f.side[i].weight, f.side[i].perimeter,
                    .02); /* outer hair goes round what lies under it */
    lw_fallen_clear(&f);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hair_straight_out_of_a_ball),
        cmocka_unit_test(a_stray_hair_does_not_decide),
        cmocka_unit_test(what_stands_off_is_the_95th_percentile),
        cmocka_unit_test(leaning_hair_stands_up_to_half_its_length),
        cmocka_unit_test(a_bare_bust_is_its_own_outline),
        cmocka_unit_test(outlines_go_round_as_their_viewer_sees_them),
        cmocka_unit_test(a_curtain_of_one_line),
        cmocka_unit_test(layers_of_one_length_have_no_weight_line),
        cmocka_unit_test(what_bunches_by_chance_is_no_weight_line),
        cmocka_unit_test(weight_lies_where_length_stops_growing),
        cmocka_unit_test(perimeters_are_told_by_what_they_lie_over),
        cmocka_unit_test(what_piles_up_is_what_the_elevation_says),
        cmocka_unit_test(the_weight_line_is_the_stretch_worth_most),
        cmocka_unit_test(order_and_threads_do_not_matter),
        cmocka_unit_test(mirrored_hair_reads_mirrored),
        cmocka_unit_test(twice_as_many_strands_change_little),
        cmocka_unit_test(what_cannot_be_read_is_refused),
        cmocka_unit_test(it_stops_when_told),
        cmocka_unit_test(odd_hair_is_read),
        cmocka_unit_test(memory_can_fail_anywhere),
        cmocka_unit_test(levels_are_those_of_the_bust),
        cmocka_unit_test(heights_are_told_in_words),
        cmocka_unit_test(held_straight_out_no_weight_held_lower_weight),
        cmocka_unit_test(graduation_puts_its_weight_above_its_perimeter),
        cmocka_unit_test(one_length_puts_its_weight_at_its_perimeter),
        cmocka_unit_test(layers_have_no_weight_line_anywhere),
        cmocka_unit_test(weight_sits_where_the_fingers_stop_rising),
        cmocka_unit_test(the_rules_hold_for_hair_that_falls),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
