/* What drawings of the head say: where landmarks, outlines, partings and contours are, against the head and
 * the cut that they are drawings of. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include <cmocka.h>

#include "carried_out.h"
#include "cividis.h"
#include "failing.h"
#include "head_drawing.h"
#include "near.h"
#include "vec.h"

#define CELL .003 /* of the study's mesh */

/* A plan carried out and studied. */
typedef struct made {
    carried_out of;
    study study;
} made;

static void make(made *m) {
    lw_error error = {0};
    m->of.plan.scalp.count = 2000;
    carry_out(&m->of);
    if (study_new(&m->study, &m->of.subject, &error)) fail_msg("%s: %s", error.place, error.message);
}

static void make_example(made *m, const char *name) {
    *m = (made){0};
    example_read(&m->of.plan, name);
    make(m);
}

static void make_head(made *m, lw_head_kind kind, double breadth) {
    *m = (made){.of.plan = lw_plan_default()};
    m->of.plan.head.kind = kind;
    if (kind == LW_HEAD_SPHERE)
        m->of.plan.head.axes[0] = .1;
    else
        m->of.plan.head.measure[LW_HEAD_BREADTH] = breadth;
    make(m);
}

static void clear(made *m) {
    study_clear(&m->study);
    put_away(&m->of);
}

/* The examples that several tests look at, each studied once. */
static made kept[3];

static int make_kept(void **state) {
    static const char *const names[] = {"graduated-bob", "short-mixed-shapes", "disconnected-layers"};
    for (int i = 0; i < 3; i++) make_example(&kept[i], names[i]);
    *state = kept;
    return 0;
}

static int clear_kept(void **state) {
    (void)state;
    for (int i = 0; i < 3; i++) clear(&kept[i]);
    return 0;
}

static const frame page = {20, 30, 300, 340};

/* The box round all lines of a role. */
static void box_of(double box[4], const drawing *d, line_role role) {
    box[0] = box[1] = INFINITY, box[2] = box[3] = -INFINITY;
    for (int i = 0; i < d->mark_count; i++)
        for (int k = 0;
             d->marks[i].kind == MARK_LINE && d->marks[i].role == (int)role && k < d->marks[i].count; k++) {
            point p = d->points[d->marks[i].first + k];
            box[0] = fmin(box[0], p.x), box[1] = fmin(box[1], p.y);
            box[2] = fmax(box[2], p.x), box[3] = fmax(box[3], p.y);
        }
}

/* ---- outlines ---- */

static void outline_is_as_large_as_the_bust(void **state) {
    (void)state;
    made m;
    make_head(&m, LW_HEAD_SPHERE, 0);
    for (int side = 0; side <= VIEW_ABOVE; side++) {
        drawing d;
        drawing_begin(&d, 340, 400);
        stage on = head_stage(&m.study, (view_side)side, page, 0);
        draw_head(&d, &m.study, (view_side)side, &on);
        double box[4], half = CELL / 2 * on.scale;
        box_of(box, &d, LINE_OUTLINE);
        point middle = stage_point(&on, v3(0, 0, 0));
        assert_near(box[0], middle.x - .1 * on.scale, half);
        assert_near(box[1], middle.y - .1 * on.scale, half);
        assert_near(box[2], middle.x + .1 * on.scale, half);
        if (side == VIEW_ABOVE) assert_near(box[3], middle.y + .1 * on.scale, half);
        assert_false(d.failed);
        drawing_clear(&d);
    }
    clear(&m);
}

static void outline_of_a_head_is_as_large_as_it(void **state) {
    (void)state;
    made m;
    make_head(&m, LW_HEAD_WOMAN, 0);
    for (int side = 0; side <= VIEW_ABOVE; side++) {
        drawing d;
        drawing_begin(&d, 340, 400);
        stage on = head_stage(&m.study, (view_side)side, page, 0);
        draw_head(&d, &m.study, (view_side)side, &on);
        double box[4], low[2] = {INFINITY, INFINITY}, high = -INFINITY, half = CELL / 2 * on.scale;
        box_of(box, &d, LINE_OUTLINE);
        for (int i = 0; i < m.study.mesh.vertex_count; i++) {
            lw_vec3 v = m.study.mesh.position[i];
            if (v.y < -.02) continue; /* the shoulders are wider than the head, and cut off */
            point p = stage_point(&on, v);
            low[0] = fmin(low[0], p.x), low[1] = fmin(low[1], p.y), high = fmax(high, p.x);
        }
        if (side != VIEW_FRONT && side != VIEW_BACK) { /* where the neck flares out to the frame */
            assert_near(box[0], low[0], side == VIEW_LEFT || side == VIEW_ABOVE ? half : INFINITY);
            assert_near(box[2], high, side == VIEW_RIGHT || side == VIEW_ABOVE ? half : INFINITY);
        }
        assert_near(box[1], low[1], half);
        assert_true(box[0] <= low[0] + half && box[2] >= high - half);
        drawing_clear(&d);
    }
    clear(&m);
}

/* Width of the outline where the head is widest, level with the tops of the ears and above. */
static double drawn_width(const made *m) {
    drawing d;
    drawing_begin(&d, 340, 400);
    stage on = head_stage(&m->study, VIEW_BACK, page, 1000);
    draw_head(&d, &m->study, VIEW_BACK, &on);
    double low = INFINITY, high = -INFINITY;
    for (int i = 0; i < d.mark_count; i++)
        for (int k = 0;
             d.marks[i].kind == MARK_LINE && d.marks[i].role == LINE_OUTLINE && k < d.marks[i].count; k++) {
            point p = d.points[d.marks[i].first + k];
            if (p.y > stage_point(&on, v3(0, .05, 0)).y) continue; /* above the ears */
            low = fmin(low, p.x), high = fmax(high, p.x);
        }
    drawing_clear(&d);
    return (high - low) / on.scale;
}

static void a_wider_head_has_a_wider_outline(void **state) {
    (void)state;
    /* 5th and 95th percentile of head breadth, women: ANSUR II 2012 */
    double given[2] = {.140, .156}, drawn[2];
    for (int i = 0; i < 2; i++) {
        made m;
        make_head(&m, LW_HEAD_WOMAN, given[i]);
        drawn[i] = drawn_width(&m);
        assert_near(drawn[i], given[i], CELL / 2);
        clear(&m);
    }
    assert_true(drawn[1] > drawn[0] + .01);
}

/* ---- landmarks ---- */

static const mark *dot_of(const drawing *d, int id) {
    for (int i = 0; i < d->mark_count; i++)
        if (d->marks[i].kind == MARK_AREA && d->marks[i].role == AREA_DOT && d->marks[i].about == id)
            return &d->marks[i];
    return NULL;
}

static void dot_is_at(const drawing *d, const mark *dot, point at) {
    point sum = {0, 0};
    for (int k = 0; k < dot->count; k++) {
        sum.x += d->points[dot->first + k].x / dot->count;
        sum.y += d->points[dot->first + k].y / dot->count;
    }
    assert_near(sum.x, at.x, .1);
    assert_near(sum.y, at.y, .1);
}

static void landmarks_are_where_they_are(void **state) {
    (void)state;
    static const struct {
        view_side side;
        lw_landmark seen[3], hidden[3];
    } look[] = {
        {VIEW_FRONT,
         {LW_FRONT_HAIRLINE, LW_RECESSION_LEFT, LW_RECESSION_RIGHT},
         {LW_OCCIPITAL_BONE, LW_NAPE_CENTRE, LW_CROWN}},
        {VIEW_BACK,
         {LW_OCCIPITAL_BONE, LW_NAPE_CENTRE, LW_CROWN},
         {LW_FRONT_HAIRLINE, LW_TEMPLE_LEFT, LW_TEMPLE_RIGHT}},
        {VIEW_LEFT,
         {LW_TEMPLE_LEFT, LW_PARIETAL_RIDGE_LEFT, LW_SIDEBURN_LEFT},
         {LW_TEMPLE_RIGHT, LW_PARIETAL_RIDGE_RIGHT, LW_NAPE_CORNER_RIGHT}},
        {VIEW_RIGHT,
         {LW_TEMPLE_RIGHT, LW_PARIETAL_RIDGE_RIGHT, LW_SIDEBURN_RIGHT},
         {LW_TEMPLE_LEFT, LW_PARIETAL_RIDGE_LEFT, LW_NAPE_CORNER_LEFT}},
        {VIEW_ABOVE,
         {LW_APEX, LW_PARIETAL_RIDGE_LEFT, LW_PARIETAL_RIDGE_RIGHT},
         {LW_NAPE_CENTRE, LW_NAPE_CORNER_LEFT, LW_NAPE_CORNER_RIGHT}},
    };
    made m;
    make_head(&m, LW_HEAD_MAN, 0);
    for (int i = 0; i < 5; i++) {
        drawing d;
        drawing_begin(&d, 340, 400);
        stage on = head_stage(&m.study, look[i].side, page, 0);
        draw_landmarks(&d, &m.study, look[i].side, &on, true);
        for (int k = 0; k < 3; k++) {
            assert_non_null(dot_of(&d, (int)look[i].seen[k]));
            assert_null(dot_of(&d, (int)look[i].hidden[k]));
        }
        for (int id = 0; id < LW_LANDMARK_COUNT; id++) {
            lw_vec3 normal, p = lw_head_landmark(m.of.head, (lw_landmark)id);
            const mark *dot = dot_of(&d, id);
            if (dot) dot_is_at(&d, dot, stage_point(&on, p));
            lw_head_project(m.of.head, p, &normal);
            if (v3_dot(normal, on.view.toward) < -.03) assert_null(dot);
        }
        drawing_clear(&d);
    }
    clear(&m);
}

static bool overlap(const frame *a, const frame *b) {
    return a->x < b->x + b->width && b->x < a->x + a->width && a->y < b->y + b->height - .5 &&
           b->y < a->y + a->height - .5;
}

static void names_do_not_collide(void **state) {
    (void)state;
    made m;
    make_head(&m, LW_HEAD_ADULT, 0);
    for (int side = 0; side <= VIEW_ABOVE; side++) {
        drawing d;
        drawing_begin(&d, 600, 400);
        stage on = head_stage(&m.study, (view_side)side, (frame){150, 20, 170, 190}, 0);
        draw_landmarks(&d, &m.study, (view_side)side, &on, true);
        int dots = 0, names = 0;
        for (int i = 0; i < d.mark_count; i++) {
            dots += d.marks[i].kind == MARK_AREA && d.marks[i].role == AREA_DOT;
            if (d.marks[i].kind != MARK_TEXT) continue;
            names++;
            for (int k = 0; k < i; k++)
                if (d.marks[k].kind == MARK_TEXT) assert_false(overlap(&d.marks[i].at, &d.marks[k].at));
        }
        assert_true(dots >= 7);
        assert_int_equal(dots, names);
        drawing_clear(&d);
    }
    clear(&m);
}

/* ---- what is hidden ---- */

/* A great circle that leans 20 degrees toward the eye: seen from the front its near half is the lower one. */
static void half_of_a_great_circle_is_hidden(void **state) {
    (void)state;
    enum { POINTS = 400 };
    made m;
    make_head(&m, LW_HEAD_SPHERE, 0);
    lw_vec3 at[POINTS], up = v3(0, cos(LW_PI / 9), sin(LW_PI / 9)), x = v3(1, 0, 0);
    lw_vec3 y = v3_cross(up, x);
    for (int i = 0; i < POINTS; i++) {
        double turn = 2 * LW_PI * i / POINTS;
        at[i] = v3_add(v3_scale(x, .1 * cos(turn)), v3_scale(y, .1 * sin(turn)));
    }
    curve one = {0, POINTS, true, -1, -1, 0};
    curves c = {.curve_count = 1, .curves = &one, .point_count = POINTS, .points = at};
    drawing d;
    drawing_begin(&d, 340, 400);
    stage on = head_stage(&m.study, VIEW_FRONT, page, 0);
    draw_curve(&d, &m.study, VIEW_FRONT, &on, &c, 0, LINE_PANEL, LINE_PANEL_HIDDEN, 7);
    point middle = stage_point(&on, v3(0, 0, 0));
    double width[2][2] = {{INFINITY, -INFINITY}, {INFINITY, -INFINITY}};
    for (int i = 0; i < d.mark_count; i++) {
        int hidden = d.marks[i].role == LINE_PANEL_HIDDEN;
        assert_int_equal(d.marks[i].about, 7);
        for (int k = 0; k < d.marks[i].count; k++) {
            point p = d.points[d.marks[i].first + k];
            double lower = (p.y - middle.y) / on.scale;
            /* Near is hidden where the skin leans away by more than a fiftieth, 2 mm of the circle. */
            assert_true(hidden ? lower < .0008 : lower > -.0008);
            width[hidden][0] = fmin(width[hidden][0], p.x), width[hidden][1] = fmax(width[hidden][1], p.x);
        }
    }
    for (int hidden = 0; hidden < 2; hidden++) {
        assert_near(width[hidden][0], middle.x - .1 * on.scale, .001 * on.scale);
        assert_near(width[hidden][1], middle.x + .1 * on.scale, .001 * on.scale);
    }
    drawing_clear(&d);
    clear(&m);
}

/* ---- partings and contours ---- */

static void partings_part_sections(void **state) {
    const made *all = *state;
    for (const made *m = all; m < all + 3; m++) {
        const curves *c = &m->study.sections;
        int asked = 0, wrong = 0;
        for (int i = 0; i < c->curve_count; i++)
            for (int k = 2; k + 2 < c->curves[i].count; k++) { /* ends lie where three meet */
                const lw_vec3 *p = &c->points[c->curves[i].first + k];
                if (v3_norm(v3_sub(p[1], p[-1])) < 1e-4) continue;
                lw_vec3 normal;
                lw_head_project(m->of.head, *p, &normal);
                lw_vec3 across = v3_scale(v3_unit(v3_cross(normal, v3_sub(p[1], p[-1]))), 1e-4);
                int a = lw_cut_section_at(m->of.cut, v3_add(*p, across)),
                    b = lw_cut_section_at(m->of.cut, v3_sub(*p, across));
                asked++;
                int one = c->curves[i].one, other = c->curves[i].other;
                wrong += !((a == one && b == other) || (a == other && b == one));
            }
        assert_true(asked > 100);
        assert_true(wrong * 100 <= asked); /* at the corner of a chain the tangent is neither side's */
    }
}

/* Hair that differs smoothly from place to place, and no step: contours are the lengths they say. */
static void contours_are_where_the_length_is(void **state) {
    (void)state;
    made m = {.of.plan = lw_plan_default()};
    m.of.plan.hair.length = .18;
    static const lw_landmark at[] = {LW_FRONT_HAIRLINE, LW_CROWN, LW_NAPE_CENTRE, LW_EAR_TOP_LEFT,
                                     LW_EAR_TOP_RIGHT};
    static const double length[] = {.10, .18, .26, .14, .15};
    for (int i = 0; i < 5; i++)
        m.of.plan.hair.length_at[m.of.plan.hair.length_at_count++] =
            (lw_length_at){.at = {(int)at[i], -1, 0}, .length = length[i]};
    make(&m);
    map_scale scale = map_scale_of(&m.study);
    assert_true(scale.level_count >= 4 && scale.level_count <= 12);
    int points = 0;
    for (int k = 0; k < scale.level_count; k++) {
        curves c;
        assert_int_equal(curves_level(&c, &m.study.scalp.mesh, m.study.scalp_even, m.study.scalp.section,
                                      scale.level[k], NULL),
                         LW_OK);
        for (int i = 0; i < c.point_count; i++)
            assert_near(lw_cut_at(m.of.cut, c.points[i]), scale.level[k],
                        5e-4); /* half a millimetre of hair */
        points += c.point_count;
        curves_clear(&c);
    }
    assert_true(points > 200);
    clear(&m);
}

static double number_of(const char *text, lw_units units) {
    int whole = 0, part = 0, of = 1;
    if (units == LW_CM) return atof(text) / 100;
    if (sscanf(text, "%d %d/%d", &whole, &part, &of) != 3) {
        part = 0, of = 1;
        if (sscanf(text, "%d/%d", &part, &of) == 2)
            whole = 0;
        else
            whole = atoi(text), part = 0, of = 1;
    }
    return (whole + (double)part / of) * .0254;
}

static double away_from_line(const drawing *d, int about, point at) {
    double best = INFINITY;
    for (int i = 0; i < d->mark_count; i++)
        for (int k = 0; d->marks[i].kind == MARK_LINE && d->marks[i].about == about && k < d->marks[i].count;
             k++) {
            point p = d->points[d->marks[i].first + k];
            best = fmin(best, hypot(p.x - at.x, p.y - at.y));
        }
    return best;
}

static void contours_say_their_length(void **state) {
    (void)state;
    static const lw_units units[] = {LW_CM, LW_INCH};
    made m;
    make_example(&m, "graduated-bob");
    for (int u = 0; u < 2; u++) {
        m.of.plan.units = units[u];
        map_scale scale = map_scale_of(&m.study);
        assert_true(scale.units == units[u]);
        int labels = 0;
        for (int side = 0; side <= VIEW_ABOVE; side++) {
            drawing d;
            drawing_begin(&d, 340, 400);
            stage on = head_stage(&m.study, (view_side)side, page, 0);
            draw_contours(&d, &m.study, (view_side)side, &on, &scale);
            for (int i = 0; i < d.mark_count; i++) {
                const mark *t = &d.marks[i];
                if (t->kind != MARK_TEXT || t->about < 0) continue;
                assert_true(t->about < scale.level_count);
                assert_near(number_of(drawing_text(&d, t->text), units[u]), scale.level[t->about], 1e-9);
                assert_true(fabs(t->turn) <= LW_PI / 2);
                point middle = {t->at.x + t->at.width / 2, t->at.y + t->at.height / 2};
                assert_true(away_from_line(&d, t->about, middle) < 1.5);
                labels++;
            }
            drawing_clear(&d);
        }
        assert_true(labels >= 10);
    }
    clear(&m);
}

/* ---- the map ---- */

static void scales_are_sane(void **state) {
    made *all = *state;
    static const char *const names[] = {"clipper-fade",
                                        "increasing-layers"}; /* of the shortest and the longest hair */
    static const lw_units units[] = {LW_CM, LW_INCH};
    for (int n = 0; n < 5; n++) {
        made own, *m = n < 2 ? &own : &all[n - 2];
        if (n < 2) make_example(m, names[n]);
        lw_units written = m->of.plan.units;
        for (int u = 0; u < 2; u++) {
            m->of.plan.units = units[u];
            map_scale scale = map_scale_of(&m->study);
            assert_true(scale.level_count >= 4 && scale.level_count <= MAP_LEVELS_MAX);
            double unit =
                units[u] == LW_CM ? .005 : .0254 / 8; /* nothing finer than is measured at the chair */
            for (int k = 0; k < scale.level_count; k++) {
                assert_near(scale.level[k] / unit, round(scale.level[k] / unit), 1e-6);
                assert_true(scale.level[k] > (k ? scale.level[k - 1] : scale.low));
                assert_true(scale.level[k] < scale.high);
            }
            for (int i = 0; i < m->study.scalp.mesh.vertex_count; i++) {
                assert_true(m->study.scalp_length[i] >= scale.low - 1e-6);
                assert_true(m->study.scalp_length[i] <= scale.high + 1e-6);
            }
        }
        m->of.plan.units = written;
        if (n < 2) clear(m);
    }
}

static void one_length_has_one_value(void **state) {
    (void)state;
    made m = {.of.plan = lw_plan_default()};
    m.of.plan.hair.length = .45;
    make(&m);
    map_scale scale = map_scale_of(&m.study);
    assert_near(scale.low, .45, 1e-9);
    assert_near(scale.high, .45, 1e-9);
    assert_int_equal(scale.level_count, 0);
    drawing d;
    image keep;
    drawing_begin(&d, 340, 400);
    assert_int_equal(draw_map_scale(&d, &keep, &scale, (frame){10, 10, 200, 12}, NULL), LW_OK);
    int numbers = 0;
    for (int i = 0; i < d.mark_count; i++)
        if (d.marks[i].kind == MARK_TEXT) {
            assert_string_equal(drawing_text(&d, d.marks[i].text), "45 cm");
            numbers++;
        }
    assert_int_equal(numbers, 1);
    image_clear(&keep);
    drawing_clear(&d);
    clear(&m);
}

/* CIE L* of an sRGB colour: IEC 61966-2-1 and CIE 15. */
static double lightness(const double rgb[3]) {
    static const double weight[3] = {.2126, .7152, .0722};
    double y = 0;
    for (int k = 0; k < 3; k++)
        y += weight[k] * (rgb[k] <= .04045 ? rgb[k] / 12.92 : pow((rgb[k] + .055) / 1.055, 2.4));
    return y > .008856 ? 116 * cbrt(y) - 16 : 903.3 * y;
}

static void colours_grow_lighter_evenly(void **state) {
    (void)state;
    map_scale scale = {.low = .02, .high = .3};
    double last[2] = {-1, -1}, first = 0, span = 0;
    for (int i = 0; i <= 1000; i++) {
        double rgb[2][3], now[2];
        cividis(rgb[0], i / 1000.);
        map_colour(rgb[1], &scale, .02 + .28 * i / 1000);
        for (int k = 0; k < 2; k++) {
            now[k] = lightness(rgb[k]);
            assert_true(now[k] > last[k]);
            last[k] = now[k];
        }
        if (i == 0) first = now[0];
        span = now[0] - first;
    }
    double half[3];
    cividis(half, .5);
    assert_near((lightness(half) - first) / span, .5, .02);

    /* Colours 8, 67, 127 and 247 of 0..255 as its authors published them: Nunez, Anderton and Renslow 2018.
     */
    static const double published[4][4] = {{8, .000000, .157932, .357521},
                                           {67, .275513, .315965, .422979},
                                           {127, .485141, .482451, .470384},
                                           {247, .973114, .873550, .234677}};
    for (int i = 0; i < 4; i++) {
        double rgb[3];
        cividis(rgb, published[i][0] / 255);
        for (int k = 0; k < 3; k++)
            assert_near(rgb[k], published[i][k + 1], .015); /* straight between stops */
    }
}

static void pixel_at(double rgb[3], const drawing *d, const image *picture, point p) {
    const frame *at = NULL;
    for (int i = 0; i < d->mark_count; i++)
        if (d->marks[i].kind == MARK_PICTURE && d->marks[i].picture == picture) at = &d->marks[i].at;
    assert_non_null(at);
    int x = (int)((p.x - at->x) / at->width * picture->width),
        y = (int)((p.y - at->y) / at->height * picture->height);
    assert_true(x >= 0 && y >= 0 && x < picture->width && y < picture->height);
    const uint8_t *q = picture->rgba + 4 * (y * picture->width + x);
    assert_int_equal(q[3], 255);
    for (int k = 0; k < 3; k++) rgb[k] = q[k] / 255.;
}

static void the_map_has_the_colour_of_the_length(void **state) {
    const made *all = *state;
    const made m = all[2];
    map_scale scale = map_scale_of(&m.study);
    drawing d;
    image keep;
    drawing_begin(&d, 340, 400);
    stage on = head_stage(&m.study, VIEW_BACK, page, 0);
    assert_int_equal(draw_map(&d, &keep, &m.study, VIEW_BACK, &on, &scale, NULL), LW_OK);
    int asked = 0;
    for (int i = 0; i < m.study.mesh.vertex_count; i++) {
        lw_vec3 p = m.study.mesh.position[i];
        if (m.study.section[i] < 0 || m.study.mesh.normal[i].z > -.5 || i % 7) continue;
        if (lw_head_hairline(m.of.head, p) < .003) continue; /* where a pixel is not all scalp */
        bool border = false;
        for (int k = 0; k < 8; k++) { /* nor all one section */
            lw_vec3 q = v3_add(p, v3(.001 * cos(k * LW_PI / 4), .001 * sin(k * LW_PI / 4), 0));
            border |= lw_cut_section_at(m.of.cut, q) != m.study.section[i];
        }
        if (border) continue;
        double seen[3], wanted[3], light = 0;
        pixel_at(seen, &d, &keep, stage_point(&on, p));
        map_colour(wanted, &scale, lw_cut_at(m.of.cut, p));
        for (int k = 0; k < 3; k++) light += seen[k] / wanted[k] / 3;
        assert_true(light > .7 && light < 1.02); /* shaded by the surface, all channels alike */
        for (int k = 0; k < 3; k++) assert_near(seen[k] / light, wanted[k], .03);
        asked++;
    }
    assert_true(asked > 100);
    image_clear(&keep);
    drawing_clear(&d);
}

/* ---- names of sections ---- */

static void names_stand_in_their_sections(void **state) {
    const made *all = *state;
    const made m = all[0];
    int inside = 0;
    for (int side = 0; side <= VIEW_ABOVE; side++) {
        drawing d;
        drawing_begin(&d, 340, 400);
        stage on = head_stage(&m.study, (view_side)side, page, 0);
        draw_sections(&d, &m.study, (view_side)side, &on, true);
        for (int i = 0; i < d.mark_count; i++) {
            const mark *t = &d.marks[i];
            if (t->kind != MARK_TEXT) continue;
            assert_string_equal(drawing_text(&d, t->text), lw_cut_section(m.of.cut, t->about)->name);
            point middle = {t->at.x + t->at.width / 2, t->at.y + t->at.height / 2};
            double best = INFINITY;
            int section = -1;
            for (int k = 0; k < m.study.mesh.vertex_count; k++) {
                if (m.study.section[k] < 0 || v3_dot(m.study.mesh.normal[k], on.view.toward) < 0) continue;
                point p = stage_point(&on, m.study.mesh.position[k]);
                double away = hypot(p.x - middle.x, p.y - middle.y);
                if (away < best) best = away, section = m.study.section[k];
            }
            if (best > CELL * on.scale) continue; /* beside the head, with a leader */
            assert_int_equal(section, t->about);
            inside++;
        }
        drawing_clear(&d);
    }
    assert_true(inside >= 6);
}

/* ---- the study ---- */

static void any_number_of_threads_draws_the_same(void **state) {
    (void)state;
#ifdef _OPENMP
    made a, b;
    omp_set_num_threads(1);
    make_example(&a, "short-mixed-shapes");
    omp_set_num_threads(4);
    make_example(&b, "short-mixed-shapes");
    const study *s = &a.study, *t = &b.study;
    assert_int_equal(s->sections.point_count, t->sections.point_count);
    assert_memory_equal(s->sections.points, t->sections.points,
                        (size_t)s->sections.point_count * sizeof *s->sections.points);
    assert_int_equal(s->scalp.mesh.vertex_count, t->scalp.mesh.vertex_count);
    assert_memory_equal(s->scalp_even, t->scalp_even,
                        (size_t)s->scalp.mesh.vertex_count * sizeof *s->scalp_even);
    for (int side = 0; side <= VIEW_ABOVE; side++) {
        const study_view *v = &s->views[side], *w = &t->views[side];
        assert_int_equal(v->outline.point_count, w->outline.point_count);
        assert_memory_equal(v->outline.points, w->outline.points,
                            (size_t)v->outline.point_count * sizeof *v->outline.points);
        assert_memory_equal(v->shade.rgba, w->shade.rgba,
                            (size_t)v->shade.width * (size_t)v->shade.height * 4);
    }
    clear(&a);
    clear(&b);
#endif
}

static void a_study_without_memory_says_so(void **state) {
    (void)state;
    made m = {.of.plan = lw_plan_default()};
    m.of.plan.head.kind = LW_HEAD_SPHERE;
    m.of.plan.head.axes[0] = .05;
    m.of.plan.scalp.count = 2000;
    carry_out(&m.of);
    int before = memory.live, failures = 0;
    for (int n = 0;; n += 1 + n / 12) {
        lw_error error = {0};
        memory_fails_from(n);
        lw_status status = study_new(&m.study, &m.of.subject, &error);
        bool refused = memory_failed();
        assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
        assert_int_equal(error.status, status);
        if (!refused) break;
        assert_int_equal(memory.live, before);
        failures++;
    }
    assert_true(failures > 20);
    clear(&m);
    assert_true(memory.live < before);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(outline_is_as_large_as_the_bust),
        cmocka_unit_test(outline_of_a_head_is_as_large_as_it),
        cmocka_unit_test(a_wider_head_has_a_wider_outline),
        cmocka_unit_test(landmarks_are_where_they_are),
        cmocka_unit_test(names_do_not_collide),
        cmocka_unit_test(half_of_a_great_circle_is_hidden),
        cmocka_unit_test(partings_part_sections),
        cmocka_unit_test(contours_are_where_the_length_is),
        cmocka_unit_test(contours_say_their_length),
        cmocka_unit_test(scales_are_sane),
        cmocka_unit_test(one_length_has_one_value),
        cmocka_unit_test(colours_grow_lighter_evenly),
        cmocka_unit_test(the_map_has_the_colour_of_the_length),
        cmocka_unit_test(names_stand_in_their_sections),
        cmocka_unit_test(any_number_of_threads_draws_the_same),
        cmocka_unit_test(a_study_without_memory_says_so),
    };
    return cmocka_run_group_tests(tests, make_kept, clear_kept);
}
