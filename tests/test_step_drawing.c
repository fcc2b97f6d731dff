/* What a step's drawings say is what the plan and the model say: angles, places, numbers, sides. Everything
 * is read from the drawing's list of marks, as a reader with a ruler and a protractor would. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "carried_out.h"
#include "failing.h"
#include "look.h"
#include "near.h"
#include "step_drawing.h"
#include "step_mask.h"
#include "step_show.h"
#include "vec.h"

#define DEGREE (LW_PI / 180)

static const frame PANELS = {20, 30, 245, 218}, HOLD = {280, 30, 245, 218};

static const char *const examples[] = {
    "one-length-bob",     "graduated-bob", "uniform-layers", "increasing-layers",  "clipper-fade",
    "short-mixed-shapes", "fringe",        "tight-curls",    "disconnected-layers"};
enum { EXAMPLES = sizeof examples / sizeof *examples, STEPS = 8 };

typedef struct made {
    carried_out of;
    study study;
    drawing panels[STEPS], holds[STEPS]; /* of the examples, each drawn once */
} made;

static void make(made *m) {
    lw_error error = {0};
    m->of.plan.scalp.count = 2000;
    carry_out(&m->of);
    assert_int_equal(study_new(&m->study, &m->of.subject, &error), LW_OK);
}

static void drop(made *m) {
    for (int i = 0; i < STEPS; i++) {
        drawing_clear(&m->panels[i]);
        drawing_clear(&m->holds[i]);
    }
    study_clear(&m->study);
    put_away(&m->of);
}

static void draw_hold(drawing *d, const made *m, int step, bool blank) {
    lw_error error = {0};
    drawing_begin(d, 600, 300);
    if (draw_step_hold(d, &m->study, step, HOLD, blank, &error)) fail_msg("%s", error.message);
}

static void draw_panels(drawing *d, const made *m, int step, bool blank) {
    lw_error error = {0};
    drawing_begin(d, 600, 300);
    if (draw_step_panels(d, &m->study, step, PANELS, blank, &error)) fail_msg("%s", error.message);
}

static int make_all(void **state) {
    made *all = calloc(EXAMPLES, sizeof *all);
    if (!all) return -1;
    for (int i = 0; i < EXAMPLES; i++) {
        example_read(&all[i].of.plan, examples[i]);
        make(&all[i]);
        assert_true(all[i].of.plan.step_count <= STEPS);
        for (int step = 1; step <= all[i].of.plan.step_count; step++) {
            draw_panels(&all[i].panels[step - 1], &all[i], step, false);
            draw_hold(&all[i].holds[step - 1], &all[i], step, false);
        }
    }
    *state = all;
    return 0;
}

static int drop_all(void **state) {
    made *all = *state;
    for (int i = 0; i < EXAMPLES; i++) drop(&all[i]);
    free(all);
    return 0;
}

/* A plan on a ball of 9 cm. Its scalp is the upper half and a little more; steps is JSON. */
static void make_ball(made *m, const char *sections, const char *steps) {
    char text[4096];
    snprintf(text, sizeof text,
             "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\", \"head\": {\"kind\": "
             "\"sphere\", "
             "\"radius\": 9}, \"hair\": {\"length\": 40}, %s \"steps\": [%s]}",
             sections, steps);
    *m = (made){0};
    carried_out_read(&m->of, text, 2000);
    make(m);
}

/* The first mark of that kind, role and subject; NULL for none. */
static const mark *find(const drawing *d, mark_kind kind, int role, int about) {
    for (int i = 0; i < d->mark_count; i++)
        if (d->marks[i].kind == kind && d->marks[i].role == role && d->marks[i].about == about)
            return &d->marks[i];
    return NULL;
}

static point way_of(const drawing *d, const mark *m) {
    const point *p = d->points + m->first;
    return (point){p[m->count - 1].x - p[0].x, p[m->count - 1].y - p[0].y};
}

static double angle_between(point a, point b) {
    return fabs(atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y));
}

/* ---- angles ---- */

/* The angle between the two marks, radians; NAN where none is drawn. */
static double drawn_angle(const drawing *d, int panel) {
    const mark *from = find(d, MARK_LINE, LINE_FROM, panel), *held = find(d, MARK_LINE, LINE_HAIR, panel);
    return from && held ? angle_between(way_of(d, from), way_of(d, held)) : NAN;
}

static void angles_of_the_examples(void **state) {
    const made *all = *state;
    int measured = 0;
    for (int i = 0; i < EXAMPLES; i++)
        for (int step = 1; step <= all[i].of.plan.step_count; step++) {
            const made *m = &all[i];
            const lw_hold *hold = &m->of.plan.steps[step - 1].hold;
            if (step_sets_distance(&m->of.plan.steps[step - 1])) continue;
            int panel = step_shown(&m->study.subject, step);
            const drawing *d = &all[i].holds[step - 1];
            double angle = drawn_angle(d, panel), held = lw_cut_panel(m->of.cut, panel)->elevation;
            if (hold->reference == LW_FIXED) held = fabs(hold->rise);
            if (isnan(angle))
                assert_int_equal(hold->reference, LW_FROM_PLUMB); /* the head itself keeps it off plumb */
            else {
                assert_near(angle / DEGREE, held / DEGREE, .5);
                measured++;
            }
        }
    assert_true(measured >= 20);
}

static void angles_on_a_ball(void **state) {
    (void)state;
    static const struct {
        const char *hold;
        double degrees;
    } cases[] = {{"\"elevation\": 20, \"from\": \"scalp\"", 20},
                 {"\"elevation\": 45, \"from\": \"scalp\"", 45},
                 {"\"elevation\": 90, \"from\": \"scalp\"", 90},
                 {"\"elevation\": 115, \"from\": \"scalp\"", 115},
                 {"\"elevation\": 0, \"from\": \"plumb\"", 0},
                 {"\"elevation\": 45, \"from\": \"plumb\"", 45},
                 {"\"elevation\": 100, \"from\": \"plumb\"", 100},
                 {"\"elevation\": 160, \"from\": \"plumb\"", 160},
                 {"\"elevation\": 60, \"from\": \"plumb\", \"turn\": 25", 60},
                 {"\"elevation\": 60, \"from\": \"scalp\", \"turn\": -25", 60},
                 {"\"direction\": \"up\"", 90},
                 {"\"direction\": {\"bearing\": 160, \"rise\": 30}", 30},
                 {"\"direction\": \"back\"", 0}};
    static const char *const families[] = {
        "\"run\": \"level\", \"start\": \"bottom\"",
        "\"run\": \"diagonal forward\", \"angle\": 30, \"start\": \"bottom\"",
        "\"run\": \"upright\", \"start\": \"back\""};
    for (size_t k = 0; k < sizeof families / sizeof *families; k++) {
        char steps[3500] = "";
        int count = sizeof cases / sizeof *cases;
        for (int i = 0; i < count; i++)
            snprintf(steps + strlen(steps), sizeof steps - strlen(steps),
                     "%s{\"name\": \"s%d\", \"section\": \"back\", \"panels\": {%s, \"thickness\": 2}, "
                     "\"hold\": {%s}, "
                     "\"line\": \"straight\", \"guide\": {\"length\": %d}}",
                     i ? ", " : "", i, families[k], cases[i].hold, 24 - i);
        made m;
        make_ball(
            &m,
            "\"sections\": [{\"split\": \"all\", \"parting\": {\"upright\": \"apex\"}, \"into\": [\"front\", "
            "\"back\"]}],",
            steps);
        for (int i = 0; i < count; i++) {
            drawing d;
            draw_hold(&d, &m, i + 1, false);
            double angle = drawn_angle(&d, step_shown(&m.study.subject, i + 1));
            assert_near(angle / DEGREE, cases[i].degrees, .5);
            char words[16];
            snprintf(words, sizeof words, "%.4g°", cases[i].degrees);
            bool said = false;
            for (int j = 0; j < d.mark_count; j++)
                said |= d.marks[j].kind == MARK_TEXT && strstr(drawing_text(&d, d.marks[j].text), words);
            assert_true(said);
            drawing_clear(&d);
        }
        drop(&m);
    }
}

static void tilt_is_true(void **state) {
    const made *all = *state;
    int measured = 0;
    for (int i = 0; i < EXAMPLES; i++)
        for (int step = 1; step <= all[i].of.plan.step_count; step++) {
            const lw_step *of = &all[i].of.plan.steps[step - 1];
            if (of->line.kind != LW_LINE_TILT) continue;
            int panel = step_shown(&all[i].study.subject, step);
            const drawing *d = &all[i].holds[step - 1];
            const mark *from = NULL, *finger = find(d, MARK_LINE, LINE_FINGER, panel);
            for (int k = 0; k < d->mark_count; k++) /* the last is the finger line's */
                if (d->marks[k].kind == MARK_LINE && d->marks[k].role == LINE_FROM) from = &d->marks[k];
            assert_non_null(finger);
            double angle = angle_between(way_of(d, from), way_of(d, finger));
            assert_near(fmin(angle, LW_PI - angle) / DEGREE, of->line.tilt / DEGREE, .5);
            measured++;
        }
    assert_int_equal(measured, 2);
}

/* ---- the finger line ---- */

static double at_s(const lw_cut *cut, const lw_panel *p, double s) {
    const lw_line_point *line = lw_cut_lines(cut) + p->line_first;
    for (int i = 1; i < p->line_count; i++)
        if (s <= line[i].s || i == p->line_count - 1) {
            double share = (s - line[i - 1].s) / (line[i].s - line[i - 1].s);
            return line[i - 1].t + fmax(0, fmin(1, share)) * (line[i].t - line[i - 1].t);
        }
    return line[0].t;
}

/* Ends of a straight finger line: h + t(s) d + s f' (docs/model.md) at the ends of the panel's middle
 * parting, on the page within 0.2 points. */
static void finger_lines_end_where_the_model_says(void **state) {
    const made *all = *state;
    int measured = 0;
    for (int i = 0; i < EXAMPLES; i++)
        for (int step = 1; step <= all[i].of.plan.step_count; step++) {
            const made *m = &all[i];
            int panel = step_shown(&m->study.subject, step);
            const lw_panel *p = lw_cut_panel(m->of.cut, panel);
            stage angle, line;
            if (p->follows || !step_hold_stages(&m->study, step, HOLD, &angle, &line)) continue;
            const drawing *d = &all[i].holds[step - 1];
            const mark *finger = find(d, MARK_LINE, LINE_FINGER, panel);
            assert_non_null(finger);
            scalp_line along;
            line_along(&along, &m->study.subject, panel);
            for (int k = 0; k < 2; k++) {
                lw_vec3 root = along.points[k ? along.count - 1 : 0];
                double s = v3_dot(v3_sub(root, p->anchor), p->parting), t = at_s(m->of.cut, p, s);
                lw_vec3 end = v3_along(v3_along(p->place, p->direction, t), p->finger, s);
                point wanted = stage_point(&line, end),
                      got = d->points[finger->first + (k ? finger->count - 1 : 0)];
                assert_near(got.x, wanted.x, .2);
                assert_near(got.y, wanted.y, .2);
                /* true length: neither the line nor the hair is foreshortened, so both lie in the view's
                 * plane */
                assert_near(v3_dot(p->finger, line.view.toward), 0, 1e-9);
            }
            measured++;
        }
    assert_true(measured >= 12);
}

/* The middle parting is on the scalp, in its panel from end to end, and runs toward growing s. */
static void middle_partings_stay_in_their_panel(void **state) {
    const made *all = *state;
    for (int i = 0; i < EXAMPLES; i++)
        for (int step = 1; step <= all[i].of.plan.step_count; step++) {
            const made *m = &all[i];
            int panel = step_shown(&m->study.subject, step);
            const lw_panel *p = lw_cut_panel(m->of.cut, panel);
            scalp_line along;
            line_along(&along, &m->study.subject, panel);
            lw_vec3 ahead = along.points[along.start + 1], behind = along.points[along.start - 1];
            assert_true(v3_dot(v3_unit(v3_sub(ahead, behind)), p->parting) >
                        .5); /* bites of one plane share its f */
            for (int k = 0; k < along.count; k++) {
                assert_int_equal(lw_cut_panel_at(m->of.cut, step, along.points[k]), panel);
                assert_near(lw_head_distance(m->of.head, along.points[k], NULL), 0, 1e-5);
            }
        }
}

/* ---- sides ---- */

/* Roots of the written side that can be seen from a side, each by how squarely. */
static double roots_seen(const made *m, view_side side, int step, int section) {
    double seen = 0;
    for (int i = 0; i < lw_scalp_count(m->of.scalp); i++) {
        lw_vec3 p = lw_scalp_root(m->of.scalp, i);
        int panel = lw_cut_panel_at(m->of.cut, step, p);
        if (panel < 0 || lw_cut_panel(m->of.cut, panel)->section != section) continue;
        double faces = v3_dot(lw_scalp_normal(m->of.scalp, i), view_of(side).toward);
        if (faces > 0 && study_shows(&m->study, side, v3_along(p, lw_scalp_normal(m->of.scalp, i), 1e-3)))
            seen += faces;
    }
    return seen;
}

static void chosen_side_shows_most(void **state) {
    const made *all = *state;
    for (int i = 0; i < EXAMPLES; i++)
        for (int step = 1; step <= all[i].of.plan.step_count; step++) {
            const made *m = &all[i];
            lw_error error;
            int *label, first, count;
            assert_int_equal(step_labels(&label, &m->study, step, &error), LW_OK);
            step_range(m->of.cut, step, &first, &count);
            view_side side = step_side(&m->study, label, step);
            int section = lw_cut_panel(m->of.cut, first)->section;
            double chosen = roots_seen(m, side, step, section);
            for (int other = VIEW_FRONT; other <= VIEW_ABOVE;
                 other++) /* .9 by rule, .8 for 2000 roots' grain */
                assert_true(chosen >= .8 * roots_seen(m, (view_side)other, step, section));
            free(label);
        }
}

static view_side side_of(const made *m, int step) {
    lw_error error;
    int *label;
    assert_int_equal(step_labels(&label, &m->study, step, &error), LW_OK);
    view_side side = step_side(&m->study, label, step);
    free(label);
    return side;
}

static void sides_a_teacher_would_choose(void **state) {
    const made *all = *state;
    assert_int_equal(side_of(&all[1], 1), VIEW_BACK);  /* graduated bob, back */
    assert_int_equal(side_of(&all[1], 2), VIEW_LEFT);  /* its sides, as written */
    assert_int_equal(side_of(&all[2], 3), VIEW_ABOVE); /* uniform layers, top */
    assert_int_equal(side_of(&all[6], 1), VIEW_ABOVE); /* fringe */
}

/* ---- numbers ---- */

static int number_of(const drawing *d, const mark *m) {
    return m->kind == MARK_TEXT && m->role == TEXT_NUMBER ? atoi(drawing_text(d, m->text)) : 0;
}

/* The place on the scalp that is seen at a point of the page. */
static lw_vec3 seen_at(const made *m, view_side side, const stage *on, point p) {
    const view *v = &on->view;
    lw_vec3 at = v3_along(v3_along(on->centre, v->right, (p.x - on->middle.x) / on->scale), v->up,
                          -(p.y - on->middle.y) / on->scale);
    double depth = depth_map_at(&m->study.views[side].depth, at);
    return v3_along(at, v->toward, depth - v3_dot(at, v->toward));
}

static void numbers_stand_in_their_panels(void **state) {
    const made *all = *state;
    int numbers = 0;
    frame head = PANELS;
    head.height -= 12; /* for the caption */
    for (int i = 0; i < EXAMPLES; i++)
        for (int step = 1; step <= all[i].of.plan.step_count; step++) {
            const made *m = &all[i];
            view_side side = side_of(m, step);
            stage on = head_stage(&m->study, side, head, 0);
            const drawing *d = &all[i].panels[step - 1];
            for (int k = 0; k < d->mark_count; k++) {
                const mark *at = &d->marks[k];
                int number = number_of(d, at);
                if (!number) continue;
                point middle = {at->at.x + at->at.width / 2, at->at.y + at->at.height / 2};
                int panel = lw_cut_panel_at(m->of.cut, step, seen_at(m, side, &on, middle));
                assert_true(panel >= 0);
                assert_int_equal(lw_cut_panel(m->of.cut, panel)->whole, number);
                assert_int_equal(lw_cut_panel(m->of.cut, at->about)->whole, number);
                numbers++;
            }
        }
    assert_true(numbers > 150);
}

/* Every panel with room has its number, or only every other, or every fifth, as step_panels.c states. */
static void numbers_follow_the_rule(void **state) {
    const made *all = *state;
    for (int i = 0; i < EXAMPLES; i++)
        for (int step = 1; step <= all[i].of.plan.step_count; step++) {
            const made *m = &all[i];
            int n = step_wholes(m->of.cut, step), last = 0, count = 0;
            bool *numbered = calloc((size_t)n + 1, sizeof *numbered);
            assert_non_null(numbered);
            const drawing *d = &all[i].panels[step - 1];
            for (int k = 0; k < d->mark_count; k++) {
                int number = number_of(d, &d->marks[k]);
                if (!number) continue;
                assert_in_range(number, 1, n);
                assert_false(numbered[number]);
                numbered[number] = true;
                last = number > last ? number : last;
                count++;
            }
            assert_true(count >= 1);
            int held = lw_cut_panel(m->of.cut, step_shown(&m->study.subject, step))->whole;
            bool outward = m->of.plan.steps[step - 1].panels.start == LW_EDGE_CENTRE;
            if (n > 12 && outward)
                for (int k = 6; k < n; k++) assert_true(!numbered[k] || k % 5 == 0 || k == held);

            free(numbered);
        }
}

/* On a ball every number fits: ten level panels of the back, one below the other, from the bottom upward. */
static void order_runs_up_the_page(void **state) {
    (void)state;
    made m;
    make_ball(&m,
              "\"sections\": [{\"split\": \"all\", \"parting\": {\"upright\": \"apex\"}, \"into\": "
              "[\"front\", \"back\"]}],",
              "{\"name\": \"s\", \"section\": \"back\", \"panels\": {\"run\": \"level\", \"start\": "
              "\"bottom\", \"thickness\": "
              "2}, \"guide\": {\"kind\": \"travelling\", \"length\": 10}}");
    assert_int_equal(side_of(&m, 1), VIEW_BACK);
    drawing d;
    draw_panels(&d, &m, 1, false);
    double before = INFINITY;
    int next = 1;
    for (int k = 0; k < d.mark_count; k++) {
        int number = number_of(&d, &d.marks[k]);
        if (!number) continue;
        assert_int_equal(number, next++);
        assert_true(d.marks[k].at.y < before);
        before = d.marks[k].at.y;
    }
    assert_true(next > 5);
    const mark *guide = find(&d, MARK_AREA, AREA_GUIDE, 0);
    assert_non_null(guide);
    assert_int_equal(lw_cut_panel(m.of.cut, 0)->whole, 1);
    drawing_clear(&d);
    drop(&m);
}

static void bites_share_a_number(void **state) {
    const made *all = *state;
    const lw_cut *cut = all[0].of.cut; /* one-length bob: bites of 5 cm */
    int first, count, bites = 0;
    step_range(cut, 1, &first, &count);
    for (int i = first; i < first + count; i++) {
        const lw_panel *p = lw_cut_panel(cut, i);
        assert_in_range(p->bite, 1, p->bites);
        bites += p->bites > 1;
        if (i == first || p->bite == 1)
            assert_int_equal(p->whole, i == first ? 1 : lw_cut_panel(cut, i - 1)->whole + 1);
        else
            assert_int_equal(p->whole, lw_cut_panel(cut, i - 1)->whole);
        /* the bite that holds the measured place begins; it alone has no panel before it on its side */
        if (p->guide >= 0) {
            assert_true(p->guide < i);
            assert_int_equal(lw_cut_panel(cut, p->guide)->section, p->section);
        }
    }
    assert_true(bites > 10);
    assert_true(step_wholes(cut, 1) < count);
}

/* ---- the rest ---- */

static bool has_digit(const char *text) { return strpbrk(text, "0123456789") != NULL; }

static void worksheets_have_no_numbers(void **state) {
    const made *all = *state;
    for (int i = 0; i < EXAMPLES; i++)
        for (int step = 1; step <= all[i].of.plan.step_count; step++)
            for (int which = 0; which < 2; which++) {
                drawing d;
                which ? draw_hold(&d, &all[i], step, true) : draw_panels(&d, &all[i], step, true);
                int blanks = 0;
                for (int k = 0; k < d.mark_count; k++) {
                    const mark *m = &d.marks[k];
                    if (m->kind == MARK_TEXT) assert_false(has_digit(drawing_text(&d, m->text)));
                    blanks += m->kind == MARK_LINE && m->role == LINE_BLANK;
                    blanks += m->kind == MARK_AREA && m->role == AREA_PAPER && m->about >= 0;
                }
                bool falls =
                    which && !step_sets_distance(&all[i].of.plan.steps[step - 1]) &&
                    !hold_angle_of(&all[i].study.subject, step_shown(&all[i].study.subject, step)).free;
                assert_true(blanks > 0 || falls);
                drawing_clear(&d);
            }
}

/* Words clear of words, inside the frame, and little enough to print by the dozen. */
static void labels_keep_clear(void **state) {
    const made *all = *state;
    for (int i = 0; i < EXAMPLES; i++)
        for (int step = 1; step <= all[i].of.plan.step_count; step++)
            for (int which = 0; which < 2; which++) {
                const drawing *d = which ? &all[i].holds[step - 1] : &all[i].panels[step - 1];
                frame in = which ? HOLD : PANELS;
                assert_false(d->failed);
                assert_true(d->point_count < 20000);
                for (int a = 0; a < d->mark_count; a++) {
                    const mark *m = &d->marks[a];
                    if (m->kind != MARK_TEXT) continue;
                    assert_true(m->at.x > in.x - 2 && m->at.x + m->at.width < in.x + in.width + 2);
                    assert_true(m->at.y > in.y - 2 && m->at.y + m->at.height < in.y + in.height + 2);
                    for (int b = 0; b < a; b++) {
                        const mark *o = &d->marks[b];
                        if (o->kind != MARK_TEXT) continue;
                        bool stacked = o->role == TEXT_NUMBER && m->role == TEXT_NUMBER;
                        double wide =
                            fmin(m->at.x + m->at.width, o->at.x + o->at.width) - fmax(m->at.x, o->at.x);
                        double tall =
                            fmin(m->at.y + m->at.height, o->at.y + o->at.height) - fmax(m->at.y, o->at.y);
                        /* a number's box is 9 points high, its figures 6 */
                        if (wide > .5 && tall > (stacked ? 1.7 : .5))
                            fail_msg("%s, step %d: \"%s\" lies on \"%s\"", examples[i], step,
                                     drawing_text(d, m->text), drawing_text(d, o->text));
                    }
                }
            }
}

static void guards_are_told(void **state) {
    const made *all = *state;
    const drawing *d = &all[4].holds[0]; /* clipper fade: guard 1 to guard 3, inches */
    bool first = false, last = false;
    for (int k = 0; k < d->mark_count; k++) {
        const char *text = d->marks[k].kind == MARK_TEXT ? drawing_text(d, d->marks[k].text) : "";
        first |= !strcmp(text, "guard 1, 1/8 in");
        last |= !strcmp(text, "guard 3, 3/8 in");
    }
    assert_true(first && last);
}

static void no_such_step(void **state) {
    const made *all = *state;
    lw_error error = {0};
    drawing d;
    drawing_begin(&d, 600, 300);
    assert_int_equal(draw_step_panels(&d, &all[0].study, 0, PANELS, false, &error), LW_ERROR_ARGUMENT);
    assert_int_equal(draw_step_hold(&d, &all[0].study, 99, HOLD, false, &error), LW_ERROR_ARGUMENT);
    assert_true(strstr(error.message, "99") != NULL);
    drawing_clear(&d);
}

static lw_status draw_part(drawing *d, const made *m, bool hold, lw_error *error) {
    drawing_begin(d, 600, 300);
    return hold ? draw_step_hold(d, &m->study, 1, HOLD, false, error)
                : draw_step_panels(d, &m->study, 1, PANELS, false, error);
}

/* Each allocation fails by itself: that is told, or the drawing knows it, or every mark is there, if only a
 * label lies where it should not. */
static void memory_can_fail(void **state) {
    (void)state;
    made m;
    make_ball(&m, "",
              "{\"name\": \"s\", \"section\": \"all\", \"panels\": {\"run\": \"across\", \"thickness\": 4}, "
              "\"line\": \"straight\", \"hold\": {\"carry\": \"half\"}, \"guide\": {\"kind\": "
              "\"travelling\", \"length\": 10}}");
    for (int hold = 0; hold < 2; hold++) {
        lw_error error = {0};
        drawing whole;
        memory_fails_from(-1);
        assert_int_equal(draw_part(&whole, &m, hold, &error), LW_OK);
        assert_false(whole.failed);
        int all = memory.asked, told = 0, before = memory.live;
        for (int n = 0; n < all; n++) {
            drawing d;
            memory_fails_at(n);
            lw_status status = draw_part(&d, &m, hold, &error);
            assert_true(memory_failed());
            if (status) {
                assert_int_equal(status, LW_ERROR_MEMORY);
                assert_int_equal(error.status, LW_ERROR_MEMORY);
                told++;
            }
            if (!status) assert_true(d.failed);
            drawing_clear(&d);
            assert_int_equal(memory.live, before);
        }
        assert_true(told > 5);
        drawing_clear(&whole);
    }
    drop(&m);
}

static void words_for_views(void **state) {
    (void)state;
    static const struct {
        lw_vec3 toward;
        const char *words;
    } cases[] = {{{0, 0, -1}, "from the back"},        {{0, 1, .1}, "from above"},
                 {{1, 0, .05}, "from the left"},       {{.7, 0, .7}, "from front left"},
                 {{-.7, 0, -.7}, "from behind right"}, {{0, .8, -.6}, "from above, behind"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char words[64];
        view_words(words, view_from(v3_unit(cases[i].toward)));
        assert_string_equal(words, cases[i].words);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(angles_of_the_examples),
        cmocka_unit_test(angles_on_a_ball),
        cmocka_unit_test(tilt_is_true),
        cmocka_unit_test(finger_lines_end_where_the_model_says),
        cmocka_unit_test(middle_partings_stay_in_their_panel),
        cmocka_unit_test(chosen_side_shows_most),
        cmocka_unit_test(sides_a_teacher_would_choose),
        cmocka_unit_test(numbers_stand_in_their_panels),
        cmocka_unit_test(numbers_follow_the_rule),
        cmocka_unit_test(order_runs_up_the_page),
        cmocka_unit_test(bites_share_a_number),
        cmocka_unit_test(worksheets_have_no_numbers),
        cmocka_unit_test(labels_keep_clear),
        cmocka_unit_test(guards_are_told),
        cmocka_unit_test(no_such_step),
        cmocka_unit_test(memory_can_fail),
        cmocka_unit_test(words_for_views),
    };
    return cmocka_run_group_tests(tests, make_all, drop_all);
}
