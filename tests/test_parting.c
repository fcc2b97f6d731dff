/* What lies on a parting: whose it is, whatever the last bits of its place say, and in the mirror too. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "lengthwise.h"
#include "vec.h"

/* Far more than rounding, far less than a hair's breadth, 70 micrometres; and 10 micrometres, which is off
 * the line. */
static const double NUDGE = 1e-8, BESIDE = 1e-5;

typedef struct parted {
    lw_plan plan;
    lw_head *head;
    lw_scalp *scalp;
    lw_cut *cut;
} parted;

/* `splits` is JSON; the steps do not matter. */
static lw_status part(parted *p, const char *splits, lw_error *error) {
    char text[4000];
    snprintf(text, sizeof text,
             "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\", \"title\": \"Partings\","
             "\"head\": {\"kind\": \"adult\"}, \"hair\": {\"length\": 30}, \"sections\": [%s],"
             "\"steps\": [{\"name\": \"a\", \"section\": \"all\", \"panels\": {\"run\": \"level\","
             "\"thickness\": 5}, \"guide\": {\"kind\": \"travelling\", \"length\": 9}}]}",
             splits);
    *p = (parted){0};
    if (lw_plan_read(&p->plan, text, strlen(text), error))
        fail_msg("%s: %s in %s", error->place, error->message, text);
    p->plan.scalp.count = 100;
    if (lw_head_new(&p->head, &p->plan.head, error) ||
        lw_scalp_new(&p->scalp, p->head, &p->plan.scalp, error))
        fail_msg("%s: %s", error->place, error->message);
    return lw_cut_new(&p->cut, p->head, p->scalp, &p->plan, NULL, error);
}

static parted parted_by(const char *splits) {
    parted p;
    lw_error error = {0};
    if (part(&p, splits, &error)) fail_msg("%s: %s", error.place, error.message);
    return p;
}

static void put_away(parted *p) {
    lw_cut_free(p->cut);
    lw_scalp_free(p->scalp);
    lw_head_free(p->head);
    lw_plan_clear(&p->plan);
}

static const char *section_at(const parted *p, lw_vec3 at) {
    return lw_cut_section(p->cut, lw_cut_section_at(p->cut, at))->name;
}

/* The place, and what lies a nudge from it to every side, is of the section of that name. */
static void assert_on(const parted *p, lw_vec3 at, const char *name) {
    for (int i = 0; i < 27; i++) {
        lw_vec3 aside = v3(i % 3 - 1, i / 3 % 3 - 1, i / 9 - 1);
        lw_vec3 q = lw_head_project(p->head, v3_along(at, aside, NUDGE), NULL);
        if (strcmp(section_at(p, q), name) != 0)
            fail_msg("%d: (%.10f, %.10f, %.10f) is of \"%s\" and not of \"%s\"", i, q.x, q.y, q.z,
                     section_at(p, q), name);
    }
}

static void assert_beside(const parted *p, lw_vec3 at, lw_vec3 aside, const char *name) {
    lw_vec3 q = lw_head_project(p->head, v3_along(at, aside, BESIDE), NULL);
    assert_string_equal(section_at(p, q), name);
}

static lw_vec3 at_landmark(const parted *p, lw_landmark id) { return lw_head_landmark(p->head, id); }

static void the_midline_is_of_the_left(void **state) {
    (void)state;
    static const lw_landmark middle[] = {LW_FRONT_HAIRLINE, LW_APEX,           LW_HIGH_CROWN,
                                         LW_CROWN,          LW_OCCIPITAL_BONE, LW_NAPE_CENTRE};
    parted p =
        parted_by("{\"split\": \"all\", \"parting\": {\"centre\": 0}, \"into\": [\"left\", \"right\"]}");
    for (size_t i = 0; i < sizeof middle / sizeof *middle; i++) {
        lw_vec3 at = at_landmark(&p, middle[i]);
        assert_on(&p, at, "left");
        assert_beside(&p, at, v3(1, 0, 0), "left");
        assert_beside(&p, at, v3(-1, 0, 0), "right");
    }
    put_away(&p);
}

static void a_parting_from_ear_to_ear_is_of_the_front(void **state) {
    (void)state;
    parted p = parted_by("{\"split\": \"all\", \"parting\": {\"through\": [\"ear top left\", \"apex\", "
                         "\"ear top right\"], \"toward\": \"front hairline\"}, \"into\": [\"front\", "
                         "\"back\"]}");
    static const lw_landmark ends[] = {LW_EAR_TOP_LEFT, LW_APEX, LW_EAR_TOP_RIGHT};
    for (int i = 0; i < 3; i++) {
        assert_on(&p, at_landmark(&p, ends[i]), "front");
        assert_beside(&p, at_landmark(&p, ends[i]), v3(0, 0, -1), "back");
    }
    put_away(&p);
}

static void level_and_upright(void **state) {
    (void)state;
    parted p = parted_by("{\"split\": \"all\", \"parting\": {\"level\": \"occipital bone\"}, \"into\": "
                         "[\"upper\", \"lower\"]},"
                         "{\"split\": \"upper\", \"parting\": {\"upright\": \"crown\"}, \"into\": "
                         "[\"upper front\", \"upper back\"]}");
    assert_on(&p, at_landmark(&p, LW_OCCIPITAL_BONE), "upper back");
    assert_beside(&p, at_landmark(&p, LW_OCCIPITAL_BONE), v3(0, -1, 0), "lower");
    assert_on(&p, at_landmark(&p, LW_CROWN), "upper front");
    assert_beside(&p, at_landmark(&p, LW_CROWN), v3(0, 0, -1), "upper back");
    put_away(&p);
}

static void the_ridge_is_of_the_top(void **state) {
    (void)state;
    parted p = parted_by("{\"split\": \"all\", \"parting\": \"parietal ridge\", \"into\": [\"top\", "
                         "\"sides\"]}");
    static const lw_landmark ridge[] = {LW_PARIETAL_RIDGE_LEFT, LW_PARIETAL_RIDGE_RIGHT};
    for (int i = 0; i < 2; i++) {
        assert_on(&p, at_landmark(&p, ridge[i]), "top");
        assert_beside(&p, at_landmark(&p, ridge[i]), v3(0, -10, 0), "sides");
    }
    put_away(&p);
}

/* At its ends, at its corner and in between, where the great circles run. */
static void a_chain_is_of_the_side_it_is_toward(void **state) {
    (void)state;
    static const lw_landmark along[] = {LW_RECESSION_LEFT, LW_APEX, LW_RECESSION_RIGHT};
    parted p = parted_by("{\"split\": \"all\", \"parting\": {\"chain\": [\"recession left\", \"apex\", "
                         "\"recession right\"], \"toward\": \"front hairline\"}, \"into\": [\"front\", "
                         "\"rest\"]}");
    lw_vec3 centre = lw_head_centre(p.head);
    for (int i = 0; i < 3; i++) {
        lw_vec3 a = at_landmark(&p, along[i]), b = at_landmark(&p, along[i < 2 ? i + 1 : 1]);
        assert_on(&p, a, "front");
        lw_vec3 between = v3_add(v3_unit(v3_sub(a, centre)), v3_unit(v3_sub(b, centre)));
        between = lw_head_project(p.head, v3_add(centre, between), NULL);
        assert_on(&p, between, "front");
        assert_beside(&p, between, v3(0, 0, -1), "rest");
    }
    put_away(&p);
}

/* The surface point above the given place that lies `x` from the midline, by halving. */
static lw_vec3 on_the_plane(const lw_head *head, double x, double z) {
    double low = -.2, high = .2;
    lw_vec3 at = {0};
    for (int i = 0; i < 80; i++) {
        double middle = (low + high) / 2;
        at = lw_head_project(head, v3(middle, .3, z), NULL);
        if (at.x < x)
            low = middle;
        else
            high = middle;
    }
    assert_true(fabs(at.x - x) < NUDGE / 1000);
    return at;
}

/* A plan and its mirror image: what lies on the line as well as beside it, on the outer side of both. */
static void mirrored_partings_give_mirrored_sections(void **state) {
    (void)state;
    parted left = parted_by("{\"split\": \"all\", \"parting\": {\"centre\": 3}, \"into\": [\"outer\", "
                            "\"inner\"]}"),
           right = parted_by("{\"split\": \"all\", \"parting\": {\"centre\": -3}, \"into\": [\"inner\", "
                             "\"outer\"]}");
    for (int i = 0; i < 12; i++) {
        lw_vec3 at = on_the_plane(left.head, .03, -.05 + .01 * i);
        assert_on(&left, at, "outer");
        assert_on(&right, v3_mirror(at), "outer");
        for (int side = -1; side <= 1; side += 2) {
            const char *name = side > 0 ? "outer" : "inner";
            assert_beside(&left, at, v3(side, 0, 0), name);
            assert_beside(&right, v3_mirror(at), v3(-side, 0, 0), name);
        }
    }
    put_away(&left);
    put_away(&right);
}

/* The same within one plan, where a split is mirrored by a word. */
static void a_mirrored_split_is_a_mirror(void **state) {
    (void)state;
    parted p =
        parted_by("{\"split\": \"all\", \"parting\": {\"centre\": 0}, \"into\": [\"left\", \"right\"]},"
                  "{\"split\": \"left\", \"parting\": {\"centre\": 3}, \"into\": [\"left outer\", "
                  "\"left inner\"], \"mirror\": true},"
                  "{\"split\": \"left inner\", \"parting\": {\"chain\": [\"recession left\", "
                  "\"high crown\"], \"toward\": \"front hairline\"}, \"into\": [\"left front\", "
                  "\"left rest\"], \"mirror\": true}");
    for (int i = 0; i < 12; i++) {
        lw_vec3 at = on_the_plane(p.head, .03, -.05 + .01 * i);
        assert_on(&p, at, "left outer");
        assert_on(&p, v3_mirror(at), "right outer");
    }
    assert_on(&p, at_landmark(&p, LW_HIGH_CROWN), "left front");
    put_away(&p);
}

/* Such a plan would say by its last bit which side is which. */
static void toward_the_line_itself_is_refused(void **state) {
    (void)state;
    static const char *const splits[] = {
        "{\"split\": \"all\", \"parting\": {\"through\": [\"front hairline\", \"apex\", \"nape centre\"], "
        "\"toward\": \"crown\"}, \"into\": [\"one\", \"other\"]}",
        "{\"split\": \"all\", \"parting\": {\"chain\": [\"recession left\", \"apex\", \"recession right\"], "
        "\"toward\": \"apex\"}, \"into\": [\"one\", \"other\"]}",
    };
    for (size_t i = 0; i < sizeof splits / sizeof *splits; i++) {
        parted p;
        lw_error error = {0};
        assert_int_equal(part(&p, splits[i], &error), LW_ERROR_ARGUMENT);
        assert_string_equal(error.place, "all");
        assert_non_null(strstr(error.message, "lies on the parting of \"all\""));
        assert_null(p.cut);
        put_away(&p);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_midline_is_of_the_left),
        cmocka_unit_test(a_parting_from_ear_to_ear_is_of_the_front),
        cmocka_unit_test(level_and_upright),
        cmocka_unit_test(the_ridge_is_of_the_top),
        cmocka_unit_test(a_chain_is_of_the_side_it_is_toward),
        cmocka_unit_test(mirrored_partings_give_mirrored_sections),
        cmocka_unit_test(a_mirrored_split_is_a_mirror),
        cmocka_unit_test(toward_the_line_itself_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
