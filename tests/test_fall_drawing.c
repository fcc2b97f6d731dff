/* What drawings of the fallen cut say: outline, ends and weight line are where lw_fallen has them. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "carried_out.h"
#include "fall_drawing.h"
#include "near.h"
#include "tell.h"
#include "vec.h"

static const frame page = {20, 30, 260, 300};
static const view_side sides[] = {VIEW_FRONT, VIEW_LEFT, VIEW_RIGHT, VIEW_BACK};

enum { SIDES = 4 };

typedef struct made {
    carried_out of;
    study study;
} made;

static made bob; /* graduated: it has weight */

static int make_bob(void **state) {
    lw_error error = {0};
    carry_out_example(&bob.of, "graduated-bob", 6000);
    let_it_fall(&bob.of, 2000, 2);
    *state = &bob;
    return study_new(&bob.study, &bob.of.subject, &error);
}

static int clear_bob(void **state) {
    (void)state;
    study_clear(&bob.study);
    put_away(&bob.of);
    return 0;
}

static stage draw(drawing *d, const study *s, view_side side, bool hair) {
    drawing_begin(d, 300, 360);
    stage on = fall_stage(s, side, page, 0);
    draw_fall(d, s, side, &on, hair);
    assert_false(d->failed);
    return on;
}

static bool is_line(const drawing *d, int i, line_role role) {
    return d->marks[i].kind == MARK_LINE && d->marks[i].role == (int)role;
}

static int lines_of(const drawing *d, line_role role) {
    int n = 0;
    for (int i = 0; i < d->mark_count; i++) n += is_line(d, i, role);
    return n;
}

static double away_from_segment(point p, point a, point b) {
    double x = b.x - a.x, y = b.y - a.y, square = x * x + y * y;
    double t = square > 0 ? ((p.x - a.x) * x + (p.y - a.y) * y) / square : 0;
    t = fmin(fmax(t, 0), 1);
    return hypot(a.x + t * x - p.x, a.y + t * y - p.y);
}

static double away_from_outline(point p, const lw_outline *o, const stage *on) {
    double least = INFINITY;
    for (int i = 0; i < o->count; i++)
        least = fmin(least, away_from_segment(p, stage_point(on, o->at[i]),
                                              stage_point(on, o->at[(i + 1) % o->count])));
    return least;
}

static double away_from_lines(point p, const drawing *d, line_role role) {
    double least = INFINITY;
    for (int i = 0; i < d->mark_count; i++)
        for (int k = 1; is_line(d, i, role) && k < d->marks[i].count; k++) {
            const point *at = d->points + d->marks[i].first + k;
            least = fmin(least, away_from_segment(p, at[-1], at[0]));
        }
    return least;
}

/* ---- outlines ---- */

/* Single strands are smoothed away, over some millimetres: by and large the line lies within .2 points of the
 * outline, and nowhere 1.5 mm of hair from it. */
static void the_line_is_the_outline(void **state) {
    const made *m = *state;
    for (int v = 0; v < SIDES; v++) {
        drawing d;
        stage on = draw(&d, &m->study, sides[v], true);
        const lw_outline *all = &m->of.fallen.outline[sides[v]];
        double sum = 0, most = 0;
        int n = 0;
        for (int i = 0; i < d.mark_count; i++)
            for (int k = 0; is_line(&d, i, LINE_FALLEN) && k < d.marks[i].count; k++) {
                double off = away_from_outline(d.points[d.marks[i].first + k], all, &on);
                sum += off, n++;
                most = fmax(most, off);
            }
        assert_true(n > 200);
        assert_true(sum / n < .2);
        assert_true(most < 1.5e-3 * on.scale);
        drawing_clear(&d);
    }
}

/* All of it that stands off the bust is there, and none of what does not. */
static void hair_is_drawn_and_the_bust_is_not(void **state) {
    const made *m = *state;
    for (int v = 0; v < SIDES; v++) {
        drawing d;
        stage on = draw(&d, &m->study, sides[v], true);
        const lw_outline *all = &m->of.fallen.outline[sides[v]], *bust = &m->of.fallen.bust[sides[v]];
        int hair = 0, bare = 0, missed = 0, wrong = 0;
        for (int i = 0; i < all->count; i++) {
            point p = stage_point(&on, all->at[i]);
            double off = away_from_outline(p, bust, &on) / on.scale,
                   line = away_from_lines(p, &d, LINE_FALLEN) / on.scale;
            if (off > .004) hair++, missed += line > .002;
            if (off < 1e-4) bare++, wrong += line < .001;
        }
        assert_true(hair > 150 && bare > 50);
        assert_true(missed * 50 <= hair && wrong * 20 <= bare);
        drawing_clear(&d);
    }
}

static void a_worksheet_has_the_bust_alone(void **state) {
    const made *m = *state;
    for (int v = 0; v < SIDES; v++) {
        drawing bare, with;
        stage on = draw(&bare, &m->study, sides[v], false);
        stage same = draw(&with, &m->study, sides[v], true);
        assert_near(on.scale, same.scale, 0);
        assert_true(lines_of(&bare, LINE_BUST) > 3);
        assert_int_equal(lines_of(&bare, LINE_BUST), lines_of(&with, LINE_BUST));
        assert_int_equal(lines_of(&bare, LINE_BUST), bare.mark_count);
        drawing_clear(&bare);
        drawing_clear(&with);
    }
}

/* ---- lines round the head ---- */

static lw_vec3 place_of(const made *m, const lw_around *a, double height, double far) {
    double z = lw_head_centre(m->of.head).z;
    return (lw_vec3){far * sin(a->bearing), height, z + far * cos(a->bearing)};
}

static void ends_are_where_they_are_read(void **state) {
    const made *m = *state;
    for (int v = 0; v < SIDES; v++) {
        drawing d;
        stage on = draw(&d, &m->study, sides[v], true);
        int points = 0, facing = 0, missed = 0;
        for (int i = 0; i < d.mark_count; i++)
            for (int k = 0; is_line(&d, i, LINE_ENDS) && k < d.marks[i].count; k++, points++) {
                point p = d.points[d.marks[i].first + k];
                double least = INFINITY;
                for (int j = 0; j < LW_BEARINGS; j++) {
                    const lw_around *a = &m->of.fallen.around[j];
                    point q = stage_point(&on, place_of(m, a, a->perimeter, a->perimeter_far));
                    if (isfinite(a->perimeter)) least = fmin(least, hypot(p.x - q.x, p.y - q.y));
                }
                assert_near(least, 0, 1e-6);
            }
        for (int j = 0; j < LW_BEARINGS; j++) { /* and those that face the eye are there, or at the outline */
            const lw_around *a = &m->of.fallen.around[j];
            lw_vec3 at = place_of(m, a, a->perimeter, a->perimeter_far);
            double toward = v3_dot(on.view.toward, v3(sin(a->bearing), 0, cos(a->bearing)));
            if (!isfinite(a->perimeter) || toward < .2) continue;
            point p = stage_point(&on, at);
            facing++;
            missed += away_from_outline(p, &m->of.fallen.outline[sides[v]], &on) > .0045 * on.scale &&
                      away_from_lines(p, &d, LINE_ENDS) > 1e-6;
        }
        assert_true(missed * 4 <= facing); /* one or two by themselves make no line */
        /* the bob is parted: in front none ends before the face */
        assert_true(points > 5 && facing > (sides[v] == VIEW_FRONT ? 10 : 20));
        drawing_clear(&d);
    }
}

/* Evened out, the weight line stays among what is read within 20 degrees, and on the whole at the side's. */
static void weight_is_where_it_is_read(void **state) {
    const made *m = *state;
    const lw_fallen *f = &m->of.fallen;
    drawing d;
    stage on = draw(&d, &m->study, VIEW_BACK, true);
    double low = INFINITY, high = -INFINITY, sum = 0;
    int n = 0;
    assert_true(isfinite(f->side[LW_SIDE_BACK].weight));
    for (int j = 0; j < LW_BEARINGS; j++)
        if (fabs(f->around[j].bearing) > .75 * LW_PI - .35 && isfinite(f->around[j].weight)) {
            low = fmin(low, f->around[j].weight);
            high = fmax(high, f->around[j].weight);
        }
    for (int i = 0; i < d.mark_count; i++)
        for (int k = 0; is_line(&d, i, LINE_WEIGHT) && k < d.marks[i].count; k++) {
            point p = d.points[d.marks[i].first + k], middle = stage_point(&on, lw_head_centre(m->of.head));
            if (fabs(p.x - middle.x) > .05 * on.scale) continue; /* within the back */
            double height = lw_head_centre(m->of.head).y - (p.y - middle.y) / on.scale;
            assert_true(height >= low - 1e-9 && height <= high + 1e-9);
            sum += height, n++;
        }
    assert_true(n >= 5);
    assert_near(sum / n, f->side[LW_SIDE_BACK].weight, .006);
    drawing_clear(&d);
}

static const mark *arrow_of(const drawing *d) {
    for (int i = 0; i < d->mark_count; i++)
        if (is_line(d, i, LINE_ANGLE)) return &d->marks[i];
    return NULL;
}

/* The arrow goes from the ends to the weight line of the side as they are read, and says how far that is. */
static void the_arrow_is_as_long_as_it_says(void **state) {
    const made *m = *state;
    static const lw_side of[SIDES] = {LW_SIDE_FRONT, LW_SIDE_LEFT, LW_SIDE_RIGHT, LW_SIDE_BACK};
    int arrows = 0;
    for (int v = 0; v < SIDES; v++) {
        drawing d;
        stage on = draw(&d, &m->study, sides[v], true);
        const lw_side_reading *side = &m->of.fallen.side[of[v]];
        const mark *arrow = arrow_of(&d);
        assert_int_equal(arrow != NULL,
                         isfinite(side->weight) && (side->weight - side->perimeter) * on.scale >= 24);
        if (arrow) {
            point from = d.points[arrow->first], to = d.points[arrow->first + 1];
            char said[32];
            bool found = false;
            arrows++;
            assert_near(from.x, to.x, 1e-9);
            assert_near(from.y, stage_point(&on, v3(0, side->perimeter, 0)).y, 1e-9);
            assert_near(to.y, stage_point(&on, v3(0, side->weight, 0)).y, 1e-9);
            say_length(said, side->weight - side->perimeter, LW_CM);
            for (int i = 0; i < d.mark_count; i++)
                found |= d.marks[i].kind == MARK_TEXT && !strcmp(drawing_text(&d, d.marks[i].text), said);
            assert_true(found);
        }
        drawing_clear(&d);
    }
    assert_true(arrows >= 1);
}

/* ---- all of it fits ---- */

static void what_is_drawn_is_on_its_stage(void **state) {
    const made *m = *state;
    for (int v = 0; v < SIDES; v++) {
        drawing d;
        draw(&d, &m->study, sides[v], true);
        for (int i = 0; i < d.point_count; i++) {
            assert_true(d.points[i].x > page.x - 1 && d.points[i].x < page.x + page.width + 1);
            assert_true(d.points[i].y > page.y - 1 && d.points[i].y < page.y + page.height + 1);
        }
        drawing_clear(&d);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_line_is_the_outline),        cmocka_unit_test(hair_is_drawn_and_the_bust_is_not),
        cmocka_unit_test(a_worksheet_has_the_bust_alone), cmocka_unit_test(ends_are_where_they_are_read),
        cmocka_unit_test(weight_is_where_it_is_read),     cmocka_unit_test(the_arrow_is_as_long_as_it_says),
        cmocka_unit_test(what_is_drawn_is_on_its_stage),
    };
    return cmocka_run_group_tests(tests, make_bob, clear_bob);
}
