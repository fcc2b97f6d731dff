/* The trade's rules, which the model must give without being told them.
 *
 * On a measured head each rule is common practice, and the figure is what a hairdresser sees. On a
 * sphere the same rule is a formula, worked out in docs/model.md, and the tolerance is that of the taut
 * paths. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "heads.h"
#include "lengthwise.h"
#include "near.h"

#define PI 3.14159265358979323846
#define DEGREES (PI / 180)
#define R 0.09 /* metres: the sphere */

static const double MM = 1e-3;

typedef struct bench {
    lw_head *head;
    lw_scalp *scalp;
    lw_plan plan;
    lw_split split[4];
    lw_step step[4];
    lw_cut *cut;
} bench;

static lw_place at(int landmark) { return (lw_place){landmark, -1, 0}; }
static lw_place between(int from, int to, double share) { return (lw_place){from, to, share}; }

static lw_parting through_place(lw_parting_kind kind, lw_place place, double offset) {
    return (lw_parting){.kind = kind, .count = 1, .places = {place}, .offset = offset, .toward = {-1, -1, 0}};
}

/* Heads of each kind with nothing else said and their roots, made once for all rules. */
static lw_head *heads[LW_HEAD_ELLIPSOID + 1];
static lw_scalp *scalps[LW_HEAD_ELLIPSOID + 1];

static void make_head(lw_head_kind kind) {
    heads[kind] = head_of(kind, R, 0, 0);
    scalps[kind] = roots_of(heads[kind], 2000);
}

static int drop_heads(void **state) {
    (void)state;
    for (int kind = 0; kind <= LW_HEAD_ELLIPSOID; kind++) {
        lw_scalp_free(scalps[kind]);
        lw_head_free(heads[kind]);
    }
    return 0;
}

/* One step on "back", all that lies behind the ears. */
static void set_up(bench *b, lw_head_kind kind) {
    memset(b, 0, sizeof *b);
    if (!heads[kind]) make_head(kind);
    b->head = heads[kind];
    b->scalp = scalps[kind];
    b->plan = lw_plan_default();
    b->split[0] = (lw_split){.part = "all", .first = "front", .second = "back"};
    b->split[0].parting = through_place(LW_PARTING_UPRIGHT, at(LW_EAR_TOP_LEFT), 0);
    b->plan.splits = b->split;
    b->plan.split_count = 1;
    b->step[0] = lw_step_default();
    strcpy(b->step[0].name, "cut");
    strcpy(b->step[0].section, "back");
    b->step[0].guide = (lw_guide){.kind = LW_GUIDE_TRAVELLING, .length = 0.08, .at = {-1, -1, 0}};
    b->plan.steps = b->step;
    b->plan.step_count = 1;
}

/* "back" divided at a level into "upper back" and "lower back"; the first step works on the upper. */
static void divide_back(bench *b, lw_place level, double raise) {
    b->split[1] = (lw_split){.part = "back", .first = "upper back", .second = "lower back"};
    b->split[1].parting = through_place(LW_PARTING_LEVEL, level, raise);
    b->plan.split_count = 2;
    strcpy(b->step[0].section, "upper back");
}

/* "left" and "right", the step on the left mirrored on the right. */
static void two_sides(bench *b) {
    b->split[0] = (lw_split){.part = "all", .first = "left", .second = "right"};
    b->split[0].parting = (lw_parting){.kind = LW_PARTING_CENTRE, .toward = {-1, -1, 0}};
    strcpy(b->step[0].section, "left");
    strcpy(b->step[0].mirror, "right");
}

static void tear_down(bench *b) { lw_cut_free(b->cut); }

static void run(bench *b) {
    lw_error error = {0};
    lw_cut_free(b->cut);
    if (lw_cut_new(&b->cut, b->head, b->scalp, &b->plan, NULL, &error) != LW_OK)
        fail_msg("%s: %s", error.place, error.message);
}

static lw_vec3 add(lw_vec3 a, lw_vec3 b, double k) {
    return (lw_vec3){a.x + k * b.x, a.y + k * b.y, a.z + k * b.z};
}
static double dot(lw_vec3 a, lw_vec3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
static double norm(lw_vec3 a) { return sqrt(dot(a, a)); }

static bool warned(const bench *b, lw_warning_code code) {
    for (int i = 0; i < lw_cut_warning_count(b->cut); i++)
        if (lw_cut_warning(b->cut, i)->code == code) return true;
    return false;
}

/* Length at panel k's own anchor. */
static double at_anchor(const bench *b, int k) { return lw_cut_at(b->cut, lw_cut_panel(b->cut, k)->anchor); }

/* ---- a straight line across the back ------------------------------------------------------- */

static void straight_back(bench *b) {
    lw_step *s = b->step;
    s->panels.start = LW_EDGE_CENTRE;
    s->hold.reference = LW_FIXED;
    s->hold.bearing = PI;
    s->line.kind = LW_LINE_STRAIGHT;
    s->guide.kind = LW_GUIDE_LENGTH;
}

static void straight_line_gains_by_the_versine_on_a_sphere(void **state) {
    (void)state;
    bench b;
    set_up(&b, LW_HEAD_SPHERE);
    straight_back(&b);
    run(&b);
    for (int k = 0; k < lw_cut_panel_count(b.cut); k++) {
        lw_vec3 a = lw_cut_panel(b.cut, k)->anchor;
        double round = hypot(a.x, a.z), own = lw_cut_at(b.cut, a);
        if (fabs(a.y) > 0.05) continue;
        for (double turn = -50; turn <= 50; turn += 10) {
            lw_vec3 p = {a.x * cos(turn * DEGREES) - a.z * sin(turn * DEGREES), a.y,
                         a.x * sin(turn * DEGREES) + a.z * cos(turn * DEGREES)};
            double gain = round * (1 - cos(turn * DEGREES));
            assert_near(lw_cut_at(b.cut, p) - own, gain, 0.05 * MM + 0.02 * gain);
        }
    }
    tear_down(&b);
}

/* Common practice: about 25 mm on an adult head. The corner is where the back turns to the side. */
static void straight_line_leaves_the_corner_longer(void **state) {
    (void)state;
    for (lw_head_kind kind = LW_HEAD_ADULT; kind <= LW_HEAD_MAN; kind++) {
        bench b;
        set_up(&b, kind);
        straight_back(&b);
        run(&b);
        lw_reading r;
        lw_error error;
        assert_int_equal(lw_reading_new(&r, b.cut, &error), LW_OK);
        assert_int_equal(r.bands[1].shape, LW_SQUARE);
        assert_in_range((int)round(r.bands[1].gain / MM), 15, 35);
        assert_near(r.bands[1].from, r.bands[1].to, 0.01 * MM);
        lw_reading_clear(&r);
        tear_down(&b);
    }
}

/* Common practice: the same line following the head leaves one length and no corner. */
static void following_line_leaves_no_corner(void **state) {
    (void)state;
    for (lw_head_kind kind = LW_HEAD_ADULT; kind <= LW_HEAD_SPHERE; kind++) {
        bench b;
        set_up(&b, kind);
        b.step[0].guide.kind = LW_GUIDE_LENGTH;
        run(&b);
        const int16_t *section = lw_cut_sections(b.cut);
        for (int i = 0; i < lw_scalp_count(b.scalp); i++)
            if (strcmp(lw_cut_section(b.cut, section[i])->name, "back") == 0)
                assert_near(lw_cut_lengths(b.cut)[i], 0.08, 1e-12);
        tear_down(&b);
    }
}

/* A square line longer than the hand: bites held in one direction stay in the plane of the whole line. */
static void bites_of_a_square_line_keep_its_plane(void **state) {
    (void)state;
    bench b;
    set_up(&b, LW_HEAD_WOMAN);
    straight_back(&b);
    b.step[0].guide.kind = LW_GUIDE_TRAVELLING;
    b.plan.hands.span = 0.05;
    b.plan.hands.bites = true;
    run(&b);
    const lw_panel *first = lw_cut_panel(b.cut, 0);
    lw_vec3 a = first->anchor;
    double plane = a.z - lw_cut_at(b.cut, a);
    int bites = 0;
    for (int k = 0; k < lw_cut_panel_count(b.cut); k++) {
        const lw_panel *p = lw_cut_panel(b.cut, k);
        if (fabs(p->anchor.y - a.y) > 1e-6) continue;
        assert_near(p->anchor.z - lw_cut_at(b.cut, p->anchor), plane, 0.3 * MM);
        assert_near(fabs(p->finger.x), 1, 1e-9);
        bites++;
    }
    assert_true(bites >= 3);
    tear_down(&b);
}

/* A length measured at a place is met there, whichever bite holds the place; the other bites go on from it.
 */
static void bites_start_at_the_measured_place(void **state) {
    (void)state;
    static const lw_landmark places[] = {LW_BEHIND_EAR_LEFT, LW_BEHIND_EAR_RIGHT, LW_OCCIPITAL_BONE};
    for (int i = 0; i < 3; i++) {
        bench b;
        set_up(&b, LW_HEAD_WOMAN);
        divide_back(&b, at(places[i]), -0.008);
        b.step[0].line.kind = LW_LINE_STRAIGHT;
        b.step[0].guide.at = at(places[i]);
        b.plan.hands.span = 0.06;
        b.plan.hands.bites = true;
        run(&b);
        assert_near(lw_cut_landmark(b.cut, places[i]), 0.08, 0.1 * MM);
        assert_false(warned(&b, LW_WARN_OUT_OF_REACH));
        int first_panel = 0;
        for (int k = 0; k < lw_cut_panel_count(b.cut); k++)
            first_panel += fabs(lw_cut_panel(b.cut, k)->anchor.y - lw_cut_panel(b.cut, 0)->anchor.y) < 1e-6;
        assert_true(first_panel >= 3);
        tear_down(&b);
    }
}

/* ---- a travelling guide ------------------------------------------------------------------- */

/* A guide hair of length `guide`, an angle `there` along the sphere from where it is held straight out, sets
 * the line's height above the sphere; a hair at the angle `own` from there is cut to the distance. */
static double carried(double guide, double there, double own) {
    double d = R * cos(there) + sqrt(guide * guide - R * R * sin(there) * sin(there));
    return sqrt(R * R + d * d - 2 * R * d * cos(own));
}

static void travelling_guide_on_a_sphere(void **state) {
    (void)state;
    static const double carries[] = {0, 0.25, 0.5, 1, 1.5};
    for (size_t c = 0; c < sizeof carries / sizeof *carries; c++) {
        bench b;
        set_up(&b, LW_HEAD_SPHERE);
        b.step[0].hold.carry = carries[c];
        run(&b);
        int n = lw_cut_panel_count(b.cut);
        assert_true(n >= 5);
        for (int k = 1; k < n; k++) {
            if (carries[c] > 1 && k == 1) continue; /* nothing two back */
            double here = asin(lw_cut_panel(b.cut, k)->anchor.y / R),
                   before = asin(lw_cut_panel(b.cut, k - 1)->anchor.y / R);
            double step = here - before, own = carries[c] * step, there = step - own;
            if (carries[c] > 1) {
                double two = before - asin(lw_cut_panel(b.cut, k - 2)->anchor.y / R);
                own = step + (carries[c] - 1) * two;
                there = -(carries[c] - 1) * two;
            }
            assert_near(at_anchor(&b, k), carried(at_anchor(&b, k - 1), there, own), 0.02 * MM);
        }
        tear_down(&b);
    }
}

/* Common practice, on measured heads: halfway keeps the length from panel to panel; the guide brought all the
 * way to the panel loses it, and the loss compounds; the panel taken all the way to the guide gains. The nape
 * is left out: its hollow turns the normals against each other. */
static void travelling_guide_on_a_head(void **state) {
    (void)state;
    for (lw_head_kind kind = LW_HEAD_ADULT; kind <= LW_HEAD_MAN; kind++) {
        bench b;
        set_up(&b, kind);
        divide_back(&b, at(LW_OCCIPITAL_BONE), 0);
        double first[3], last[3];
        for (int c = 0; c < 3; c++) {
            b.step[0].hold.carry = 0.5 * c;
            run(&b);
            int n = lw_cut_panel_count(b.cut);
            assert_true(n >= 5);
            first[c] = at_anchor(&b, 0);
            last[c] = at_anchor(&b, n - 1);
            double step_before = 0;
            for (int k = 1; k < n; k++) {
                double step = at_anchor(&b, k) - at_anchor(&b, k - 1);
                if (c == 0) assert_true(step < -0.5 * MM);
                if (c == 1) assert_near(step, 0, 1.0 * MM);
                if (c == 2) assert_true(step > 0.5 * MM);
                if (c == 0 && k > 1) assert_true(step < step_before + 0.5 * MM);
                step_before = step;
            }
        }
        assert_near(first[0], 0.08, 1e-9);
        assert_near(last[1], 0.08, 2.0 * MM);
        assert_true(last[0] < 0.08 - 5 * MM);
        assert_true(last[2] > 0.08 + 5 * MM);
        tear_down(&b);
    }
}

/* Common practice: of four sections from crown to front hairline, the fourth carried back two comes out
 * longer at the front than carried back one. */
static void two_back_is_longer_than_one(void **state) {
    (void)state;
    for (lw_head_kind kind = LW_HEAD_ADULT; kind <= LW_HEAD_SPHERE; kind++) {
        bench b;
        set_up(&b, kind);
        lw_split *s = b.split;
        s[0] = (lw_split){.part = "all",
                          .first = "top",
                          .second = "rest",
                          .parting = {.kind = LW_PARTING_RIDGE, .toward = {-1, -1, 0}}};
        s[1] = (lw_split){.part = "top", .first = "ahead", .second = "behind"};
        s[1].parting = (lw_parting){.kind = LW_PARTING_UPRIGHT, .count = 1, .toward = {-1, -1, 0}};
        s[1].parting.places[0] = at(LW_CROWN);
        s[2] = (lw_split){.part = "ahead", .first = "fourth", .second = "first three"};
        s[2].parting = s[1].parting;
        s[2].parting.places[0] = between(LW_CROWN, LW_FRONT_HAIRLINE, 0.75);
        b.plan.split_count = 3;
        double length =
            norm(add(lw_head_landmark(b.head, LW_CROWN), lw_head_landmark(b.head, LW_FRONT_HAIRLINE), -1));
        b.step[1] = b.step[0];
        strcpy(b.step[0].section, "first three");
        b.step[0].panels = (lw_panels){
            .family = LW_FAMILY_ACROSS, .thickness = length / 4, .start = LW_EDGE_BACK, .pivot = {-1, -1, 0}};
        b.step[0].hold.carry = 1;
        strcpy(b.step[1].name, "fourth");
        strcpy(b.step[1].section, "fourth");
        b.step[1].panels = b.step[0].panels;
        b.step[1].panels.thickness = 1;
        b.step[1].guide = (lw_guide){.kind = LW_GUIDE_STEP, .step = "cut", .at = {-1, -1, 0}};
        b.step[1].hold = (lw_hold){
            .reference = LW_FROM_SCALP, .elevation = 0.5 * PI, .target = LW_TOWARD_PLACE, .carry = 1};
        b.plan.step_count = 2;
        double front[2];
        for (int back = 1; back <= 2; back++) {
            b.step[1].hold.place = between(LW_CROWN, LW_FRONT_HAIRLINE, back == 1 ? 0.625 : 0.375);
            run(&b);
            lw_vec3 p = lw_head_place(b.head, between(LW_CROWN, LW_FRONT_HAIRLINE, 0.85));
            front[back - 1] = lw_cut_at(b.cut, p);
        }
        assert_true(front[1] > front[0] + 5 * MM);
        tear_down(&b);
    }
}

/* ---- elevation and weight ----------------------------------------------------------------- */

/* In the meridian plane of a sphere: panels at heights a step apart, met halfway, held `e` up from lying
 * flat. */
static double held_low(double guide, double step, double e) {
    double m = 0.5 * step; /* angle from the meeting place to either */
    double d_out = sin(e), d_down = cos(e);
    /* frame at the meeting place: out, down; the guide lies below, the panel's own hair above */
    double g_out = R * cos(m) - R, g_down = R * sin(m), o_out = g_out, o_down = -g_down;
    double along = g_out * d_out + g_down * d_down, square = g_out * g_out + g_down * g_down;
    double t = along + sqrt(guide * guide - square + along * along);
    return hypot(t * d_out - o_out, t * d_down - o_down);
}

static void held_lower_builds_length_upward_on_a_sphere(void **state) {
    (void)state;
    static const double elevations[] = {30, 45, 60, 75, 90};
    for (size_t i = 0; i < sizeof elevations / sizeof *elevations; i++) {
        bench b;
        set_up(&b, LW_HEAD_SPHERE);
        b.step[0].hold.elevation = elevations[i] * DEGREES;
        b.step[0].hold.carry = 0.5;
        run(&b);
        for (int k = 1; k < lw_cut_panel_count(b.cut); k++) {
            double here = asin(lw_cut_panel(b.cut, k)->anchor.y / R),
                   before = asin(lw_cut_panel(b.cut, k - 1)->anchor.y / R);
            if (here > 50 * DEGREES) break; /* higher up, natural fall follows growth, not gravity */
            assert_near(at_anchor(&b, k),
                        held_low(at_anchor(&b, k - 1), here - before, elevations[i] * DEGREES), 0.02 * MM);
        }
        tear_down(&b);
    }
}

/* Common practice: straight out builds no weight; held lower it does, the lower the more; where the fingers
 * rise to straight out the growth stops, and there the weight sits. */
static void weight_sits_where_the_fingers_stop_rising(void **state) {
    (void)state;
    bench b;
    set_up(&b, LW_HEAD_WOMAN);
    divide_back(&b, between(LW_OCCIPITAL_BONE, LW_CROWN, 0.4), 0);
    b.plan.step_count = 2;
    b.step[0].hold.carry = 0.5;
    b.step[1] = b.step[0];
    strcpy(b.step[0].section, "lower back");
    strcpy(b.step[1].section, "upper back");
    strcpy(b.step[1].name, "above");
    b.step[1].guide = (lw_guide){.kind = LW_GUIDE_TRAVELLING, .step = "cut", .at = {-1, -1, 0}};
    double gain_before = -1;
    for (double e = 90; e >= 30; e -= 20) {
        b.step[0].hold.elevation = e * DEGREES;
        run(&b);
        double low = lw_cut_at(b.cut, lw_head_place(b.head, between(LW_OCCIPITAL_BONE, LW_CROWN, 0.0)));
        double line = lw_cut_at(b.cut, lw_head_place(b.head, between(LW_OCCIPITAL_BONE, LW_CROWN, 0.35)));
        double above = lw_cut_at(b.cut, lw_head_place(b.head, between(LW_OCCIPITAL_BONE, LW_CROWN, 0.65)));
        double top = lw_cut_at(b.cut, lw_head_place(b.head, between(LW_OCCIPITAL_BONE, LW_CROWN, 0.95)));
        double gain = line - low;
        assert_near(top, above, 1.5 * MM);
        if (e == 90)
            assert_near(gain, 0, 3 * MM);
        else
            assert_true(gain > gain_before + 2 * MM);
        gain_before = gain;
    }
    tear_down(&b);
}

/* A following line with no elevation at all: level line, ends meet. Plumb hold on a sphere, own place: each
 * panel's hair wraps down to the equator and hangs, so it is longer than the guide by what it wraps more. */
static void hanging_hair_meets_at_one_line_on_a_sphere(void **state) {
    (void)state;
    bench b;
    set_up(&b, LW_HEAD_SPHERE);
    b.step[0].hold.reference = LW_FROM_PLUMB;
    b.step[0].hold.elevation = 0;
    divide_back(&b, at(LW_OCCIPITAL_BONE), 0.005);
    b.step[0].guide.length = 0.2;
    run(&b);
    for (int k = 1; k < lw_cut_panel_count(b.cut); k++) {
        double here = asin(lw_cut_panel(b.cut, k)->anchor.y / R),
               before = asin(lw_cut_panel(b.cut, k - 1)->anchor.y / R);
        if (before < 1 * DEGREES || here > 60 * DEGREES) continue;
        assert_near(at_anchor(&b, k) - at_anchor(&b, k - 1), R * (here - before), 0.05 * MM);
    }
    tear_down(&b);
}

/* ---- the hand, the tool, the curl ---------------------------------------------------------- */

/* Common practice: hair beyond the second knuckle goes slack and is left longer. */
static void slack_leaves_hair_longer_beyond_the_knuckle(void **state) {
    (void)state;
    bench b;
    set_up(&b, LW_HEAD_WOMAN);
    straight_back(&b);
    run(&b);
    const lw_panel p = *lw_cut_panel(b.cut, 0);
    lw_vec3 near = add(p.anchor, p.parting, 0.01), far = add(p.anchor, p.parting, 0.05);
    double near_before = lw_cut_at(b.cut, near), far_before = lw_cut_at(b.cut, far);
    b.plan.hands.knuckle = 0.03;
    b.plan.hands.slack = 0.2;
    run(&b);
    assert_near(lw_cut_at(b.cut, near), near_before, 1e-9);
    double s = dot(add(lw_head_project(b.head, far, NULL), p.anchor, -1), p.parting);
    assert_true(s > 0.035);
    assert_near(lw_cut_at(b.cut, far), far_before + 0.2 * (s - 0.03), 0.1 * MM);
    tear_down(&b);
}

/* Common practice: a one-inch guard is nearly 25 mm, and guards step by an eighth of an inch. */
static void guards_step_by_an_eighth_of_an_inch(void **state) {
    (void)state;
    bench b;
    set_up(&b, LW_HEAD_MAN);
    double before = 0;
    for (int guard = 0; guard <= 8; guard++) {
        b.step[0].technique = (lw_technique){.kind = LW_CLIPPER, .guard = guard, .guard_to = -1};
        run(&b);
        double length = lw_cut_landmark(b.cut, LW_OCCIPITAL_BONE);
        if (guard) assert_near(length - before, 25.4 / 8 * MM, 1e-9);
        before = length;
    }
    assert_near(before, 25.4 * MM, 1e-9);
    tear_down(&b);
}

/* Common practice: wet curly hair is cut longer than it is to end. The coil's shortening is that of a helix
 * (any geometry text): pitch over the length of one turn. */
static void wet_curly_hair_ends_shorter_than_it_was_cut(void **state) {
    (void)state;
    bench b;
    set_up(&b, LW_HEAD_WOMAN);
    b.step[0].guide.kind = LW_GUIDE_LENGTH;
    b.plan.hair.coil_diameter = 0.01;
    b.plan.hair.coil_pitch = 0.012;
    b.plan.hair.wet_stretch = 0.02;
    double turn = hypot(PI * 0.01, 0.012);
    b.step[0].state = LW_STATE_WET;
    run(&b);
    double fibre = lw_cut_landmark(b.cut, LW_OCCIPITAL_BONE);
    assert_near(fibre, 0.08 / 1.02, 1e-9);
    assert_near(lw_hair_lies(&b.plan.hair, fibre), 0.08 / 1.02 * 0.012 / turn, 1e-9);
    b.step[0].state = LW_STATE_CURLED;
    run(&b);
    fibre = lw_cut_landmark(b.cut, LW_OCCIPITAL_BONE);
    assert_near(lw_hair_lies(&b.plan.hair, fibre), 0.08, 1e-9);
    b.step[0].state = LW_STATE_DRY;
    run(&b);
    assert_near(lw_cut_landmark(b.cut, LW_OCCIPITAL_BONE), 0.08, 1e-9);
    tear_down(&b);
}

/* A tilted line gains tan(tilt) per unit along the line, toward the end named. */
static void tilted_line_grows_to_the_end_named(void **state) {
    (void)state;
    bench b;
    set_up(&b, LW_HEAD_WOMAN);
    straight_back(&b);
    b.step[0].line = (lw_line){.kind = LW_LINE_TILT, .tilt = 15 * DEGREES, .longer = LW_EDGE_LEFT};
    run(&b);
    const lw_panel p = *lw_cut_panel(b.cut, 0);
    assert_near(fabs(dot(p.finger, p.direction)), sin(15 * DEGREES), 1e-9);
    double left = lw_cut_at(b.cut, add(p.anchor, (lw_vec3){1, 0, 0}, 0.03));
    double right = lw_cut_at(b.cut, add(p.anchor, (lw_vec3){-1, 0, 0}, 0.03));
    assert_near(left - right, 2 * 0.03 * sin(15 * DEGREES), 1.5 * MM);
    b.step[0].line.longer = LW_EDGE_RIGHT;
    run(&b);
    assert_near(lw_cut_at(b.cut, add(p.anchor, (lw_vec3){-1, 0, 0}, 0.03)), left, 0.1 * MM);
    tear_down(&b);
}

/* ---- what cannot work out ------------------------------------------------------------------ */

static void faults_are_reported_and_the_rest_runs(void **state) {
    (void)state;
    bench b;
    set_up(&b, LW_HEAD_WOMAN);
    b.plan.hands.span = 0.08;
    straight_back(&b);
    run(&b);
    assert_true(warned(&b, LW_WARN_LINE_TOO_LONG));
    assert_true(warned(&b, LW_WARN_UNTOUCHED)); /* the front */
    assert_false(warned(&b, LW_WARN_CUTS_NOTHING));
    assert_false(warned(&b, LW_WARN_TOO_SHORT));
    b.plan.hands.bites = true;
    run(&b);
    assert_false(warned(&b, LW_WARN_LINE_TOO_LONG));
    /* a bite is a span long on its middle line; its edge may be longer */
    for (int k = 0; k < lw_cut_panel_count(b.cut); k++)
        assert_true(lw_cut_panel(b.cut, k)->line_length <= 1.2 * 0.08);
    b.plan.hair.length = 0.06;
    run(&b);
    assert_true(warned(&b, LW_WARN_TOO_SHORT));
    b.plan.hair.length = 0.02;
    run(&b);
    assert_true(warned(&b, LW_WARN_CUTS_NOTHING));
    b.plan.hair.length = 0.45;
    b.step[0].hold.bearing = 0; /* the back held straight to the front */
    run(&b);
    assert_true(warned(&b, LW_WARN_THROUGH_HEAD));
    b.step[0].hold.bearing = PI;
    b.step[0].guide.length = 0.01; /* at the nape, for panels up to the crown */
    b.step[0].guide.at = at(LW_NAPE_CENTRE);
    run(&b);
    assert_true(warned(&b, LW_WARN_OUT_OF_REACH));
    tear_down(&b);
}

static void uneven_halves_are_reported(void **state) {
    (void)state;
    bench b;
    set_up(&b, LW_HEAD_WOMAN);
    two_sides(&b);
    run(&b);
    assert_false(warned(&b, LW_WARN_UNEVEN_HALVES));
    b.split[0].parting.offset = 0.01;
    run(&b);
    assert_true(warned(&b, LW_WARN_UNEVEN_HALVES));
    b.split[0].parting.offset = 0.5;
    run(&b);
    assert_true(warned(&b, LW_WARN_EMPTY_SECTION));
    tear_down(&b);
}

static void two_mirrored_sides_match_to_the_bit(void **state) {
    (void)state;
    for (lw_head_kind kind = LW_HEAD_ADULT; kind <= LW_HEAD_SPHERE; kind++)
        for (int family = LW_FAMILY_LEVEL; family <= LW_FAMILY_RADIAL; family++) {
            bench b;
            set_up(&b, kind);
            two_sides(&b);
            b.step[0].panels.family = family;
            b.step[0].panels.angle = 30 * DEGREES;
            b.step[0].panels.pivot = at(LW_CROWN);
            b.step[0].hold.elevation = 60 * DEGREES;
            b.step[0].hold.carry = 0.5;
            b.step[0].line.kind = family % 2 ? LW_LINE_STRAIGHT : LW_LINE_FOLLOW;
            run(&b);
            const double *length = lw_cut_lengths(b.cut);
            for (int i = 0; i + 1 < lw_scalp_count(b.scalp); i += 2) assert_true(length[i] == length[i + 1]);
            tear_down(&b);
        }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(straight_line_gains_by_the_versine_on_a_sphere),
        cmocka_unit_test(straight_line_leaves_the_corner_longer),
        cmocka_unit_test(following_line_leaves_no_corner),
        cmocka_unit_test(bites_of_a_square_line_keep_its_plane),
        cmocka_unit_test(bites_start_at_the_measured_place),
        cmocka_unit_test(travelling_guide_on_a_sphere),
        cmocka_unit_test(travelling_guide_on_a_head),
        cmocka_unit_test(two_back_is_longer_than_one),
        cmocka_unit_test(held_lower_builds_length_upward_on_a_sphere),
        cmocka_unit_test(weight_sits_where_the_fingers_stop_rising),
        cmocka_unit_test(hanging_hair_meets_at_one_line_on_a_sphere),
        cmocka_unit_test(slack_leaves_hair_longer_beyond_the_knuckle),
        cmocka_unit_test(guards_step_by_an_eighth_of_an_inch),
        cmocka_unit_test(wet_curly_hair_ends_shorter_than_it_was_cut),
        cmocka_unit_test(tilted_line_grows_to_the_end_named),
        cmocka_unit_test(faults_are_reported_and_the_rest_runs),
        cmocka_unit_test(uneven_halves_are_reported),
        cmocka_unit_test(two_mirrored_sides_match_to_the_bit),
    };
    return cmocka_run_group_tests(tests, NULL, drop_heads);
}
