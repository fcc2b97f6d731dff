/* The plan file: what it says arrives in SI, and whatever else it holds is refused with its place, its reason
 * and a remedy.
 *
 * Faults are edits of one whole plan: a piece of it is exchanged for another in which ^ marks the byte that
 * the error must point at, so that line and column are counted here independently of the reader.
 */
#include <glob.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "example.h"
#include "explain.h"
#include "failing.h"
#include "read.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const double PI = 3.14159265358979323846;

/* ---- the plan that the tests share: everything a plan can say ---- */

static const char whole[] =
    "{\n"
    "  \"format\": \"lengthwise plan\",\n"
    "  \"version\": 1,\n"
    "  \"units\": \"cm\",\n"
    "  \"title\": \"Short shape\", \"person\": \"Practice head 3\", \"note\": \"one\\ntwo\", "
    "\"link\": \"https://example.org/p?a=1#b\",\n"
    "  \"head\": {\"kind\": \"woman\", \"circumference\": 56, \"ear_to_top\": 12.7, \"hairline\": "
    "\"peaked\"},\n"
    "  \"hair\": {\n"
    "    \"length\": 30,\n"
    "    \"lengths\": [{\"at\": \"crown\", \"length\": 20},\n"
    "                {\"at\": {\"from\": \"crown\", \"to\": \"nape centre\", \"at\": \"1/4\"}, \"length\": "
    "12.5}],\n"
    "    \"density\": 180, \"density_by_region\": {\"front\": 0.75, \"nape\": 1.25},\n"
    "    \"fibre_area\": 4000, \"ellipticity\": 1.3, \"modulus\": 3.9, \"root_angle\": {\"edge\": 15, "
    "\"middle\": 30}, \"curl\": {\"diameter\": 1.2, \"pitch\": 1.5},\n"
    "    \"wet_stretch\": 0.02, \"cut\": \"wet\",\n"
    "    \"whorls\": [{\"right\": 1, \"back\": 0.5, \"sense\": \"anticlockwise\"}],\n"
    "    \"cowlicks\": [{\"at\": \"front hairline\", \"turn\": 60}]\n"
    "  },\n"
    "  \"hands\": {\"span\": 7, \"bites\": true, \"knuckle\": 4, \"slack\": 0.125,\n"
    "    \"error\": {\"elevation\": 3, \"carry\": 0.25, \"length\": 0.2}, \"seed\": 9007199254740991}, "
    "\"worn\": {\"parting\": \"left\", \"offset\": 3, \"wetness\": 0.25, \"product\": {\"stiffness\": 2, "
    "\"weight\": \"1/8\", \"bundle\": 5}, \"blow_dry\": {\"shape\": \"under\", \"brush\": 6, \"ends\": 5, "
    "\"taken\": \"half\", \"lift\": 45}},\n"
    "  \"sections\": [\n"
    "    {\"split\": \"all\", \"parting\": {\"centre\": 0.5}, \"into\": [\"left\", \"right\"]},\n"
    "    {\"split\": \"left\", \"parting\": {\"upright\": \"ear top left\", \"forward\": 1},\n"
    "      \"into\": [\"left front\", \"left back\"], \"mirror\": true},\n"
    "    {\"split\": \"left back\", \"parting\": {\"level\": \"occipital bone\", \"raise\": -1},\n"
    "      \"into\": [\"left crown\", \"left nape\"], \"mirror\": true},\n"
    "    {\"split\": \"left front\", \"parting\": {\"chain\": [\"recession left\", \"apex\"], \"toward\": "
    "\"front hairline\"},\n"
    "      \"into\": [\"left fringe\", \"left side\"], \"mirror\": true},\n"
    "    {\"split\": \"left crown\", \"parting\": {\"through\": [\"crown\", \"high crown\", \"behind ear "
    "left\"],\n"
    "      \"toward\": \"nape centre\"}, \"into\": [\"wedge\", \"left rest\"]},\n"
    "    {\"split\": \"left side\", \"parting\": \"parietal ridge\", \"into\": [\"left top\", \"left "
    "hem\"]}\n"
    "  ],\n"
    "  \"steps\": [\n"
    "    {\"name\": \"nape\", \"section\": \"left nape\", \"mirror\": \"right nape\",\n"
    "      \"panels\": {\"run\": \"diagonal back\", \"angle\": 30, \"thickness\": 1.5, \"start\": "
    "\"bottom\"},\n"
    "      \"hold\": {\"elevation\": 45, \"from\": \"plumb\", \"turn\": 5, \"carry\": \"half\", \"toward\": "
    "\"previous\"},\n"
    "      \"line\": \"straight\", \"guide\": {\"kind\": \"travelling\", \"length\": 8, \"at\": \"nape "
    "centre\"},\n"
    "      \"technique\": {\"point\": {\"depth\": 1, \"share\": \"half\"}}, \"cut\": \"dry\"},\n"
    "    {\"section\": \"left side\",\n"
    "      \"panels\": {\"run\": \"radial\", \"pivot\": \"crown\", \"start\": \"centre\", \"order\": "
    "\"alternate\"},\n"
    "      \"hold\": {\"direction\": {\"bearing\": 135, \"rise\": -10}, \"carry\": \"3/4\", \"toward\": "
    "{\"place\": \"crown\"}},\n"
    "      \"line\": {\"tilt\": 30, \"longer\": \"front\"}, \"guide\": {\"step\": \"nape\"}},\n"
    "    {\"name\": \"fade\", \"section\": \"right fringe\", \"hold\": {\"direction\": \"left\"},\n"
    "      \"technique\": {\"clipper\": {\"guard\": \"1 1/2\", \"to\": 1}}}\n"
    "  ]\n"
    "}\n";

/* ---- helpers ---- */

/* Copied to memory of exactly its size, so that a sanitizer sees a read past its end. */
static lw_status read_text(lw_plan *plan, const char *text, size_t size, lw_error *error) {
    char *exact = malloc(size ? size : 1);
    memcpy(exact, text, size);
    lw_status status = lw_plan_read(plan, exact, size, error);
    free(exact);
    return status;
}

static lw_plan read_good(const char *text) {
    lw_plan plan;
    lw_error error;
    if (read_text(&plan, text, strlen(text), &error) != LW_OK)
        fail_msg("%d:%d: %s: %s", error.line, error.column, error.place, error.message);
    return plan;
}

/* The whole plan with its first `piece` exchanged; free() it. */
static char *edited(const char *piece, const char *by) {
    const char *at = strstr(whole, piece);
    if (!at) fail_msg("the shared plan has no %s", piece);
    char *out = malloc(sizeof whole + strlen(by));
    sprintf(out, "%.*s%s%s", (int)(at - whole), whole, by, at + strlen(piece));
    return out;
}

/* Takes the mark out of a text and says where it stood. */
static void unmark(char *text, int *line, int *column) {
    char *mark = strchr(text, '^');
    if (!mark) fail_msg("no mark in %s", text);
    *line = *column = 1;
    for (const char *c = text; c < mark; c++) {
        ++*column;
        if (*c == '\n') ++*line, *column = 1;
    }
    memmove(mark, mark + 1, strlen(mark));
}

static bool empty(const lw_plan *plan) {
    static const lw_plan none;
    return memcmp(plan, &none, sizeof none) == 0;
}

static void expect_fault(char *text, lw_status status, const char *place, const char *message,
                         const char *remedy) {
    int line, column;
    lw_plan plan;
    lw_error error;
    unmark(text, &line, &column);
    lw_status got = read_text(&plan, text, strlen(text), &error);
    bool same = got == status && error.status == status && error.line == line && error.column == column &&
                !strcmp(error.place, place) && strstr(error.message, message) && strstr(error.remedy, remedy);
    if (!same)
        fail_msg("expected %d %d:%d %s: ...%s... | ...%s...\n     got %d %d:%d %s: %s | %s\nin %s", status,
                 line, column, place, message, remedy, got, error.line, error.column, error.place,
                 error.message, error.remedy, text);
    assert_true(empty(&plan));
}

static void near(double got, double want) {
    if (!(fabs(got - want) <= 1e-15 + 1e-15 * fabs(want))) fail_msg("got %.17g, expected %.17g", got, want);
}

static void same_place(lw_place p, int from, int to, double at) {
    assert_int_equal(p.from, from);
    assert_int_equal(p.to, to);
    near(p.at, at);
}

/* ---- what is said arrives ---- */

static void test_head_and_hair(void **state) {
    (void)state;
    lw_plan plan = read_good(whole);
    assert_string_equal(plan.title, "Short shape");
    assert_string_equal(plan.link, "https://example.org/p?a=1#b");
    assert_string_equal(plan.person, "Practice head 3");
    assert_string_equal(plan.note, "one\ntwo");
    assert_int_equal(plan.units, LW_CM);
    assert_int_equal(plan.head.kind, LW_HEAD_WOMAN);
    assert_int_equal(plan.head.hairline, LW_HAIRLINE_PEAKED);
    near(plan.head.measure[LW_CIRCUMFERENCE], 0.56);
    near(plan.head.measure[LW_EAR_TO_TOP], 0.127);
    near(plan.head.measure[LW_HEAD_LENGTH], 0);
    near(plan.hair.length, 0.30);
    assert_int_equal(plan.hair.length_at_count, 2);
    same_place(plan.hair.length_at[0].at, LW_CROWN, -1, 0);
    near(plan.hair.length_at[0].length, 0.20);
    same_place(plan.hair.length_at[1].at, LW_CROWN, LW_NAPE_CENTRE, 0.25);
    near(plan.hair.length_at[1].length, 0.125);
    near(plan.scalp.density, 180e4);
    near(plan.scalp.region[0], 0.75);
    near(plan.scalp.region[1], lw_scalp_default().region[1]);
    near(plan.scalp.region[4], 1.25);
    near(plan.hair.section_area, 4000e-12);
    near(plan.hair.coil_diameter, 0.012);
    near(plan.hair.coil_pitch, 0.015);
    near(plan.hair.wet_stretch, 0.02);
    near(plan.hair.ellipticity, 1.3);
    near(plan.hair.modulus, 3.9e9);
    near(plan.hair.root_angle_edge, PI / 12);
    near(plan.hair.root_angle_middle, PI / 6);
    assert_int_equal(plan.hair.state, LW_STATE_WET);
    assert_int_equal(plan.scalp.whorl_count, 1);
    near(plan.scalp.whorl[0].right, 0.01);
    near(plan.scalp.whorl[0].back, 0.005);
    assert_int_equal(plan.scalp.whorl[0].sense, -1);
    assert_int_equal(plan.scalp.cowlick_count, 1);
    same_place(plan.scalp.cowlick[0].at, LW_FRONT_HAIRLINE, -1, 0);
    near(plan.scalp.cowlick[0].turn, PI / 3);
    near(plan.scalp.cowlick[0].radius, 0.02);
    near(plan.hands.span, 0.07);
    assert_true(plan.hands.bites);
    near(plan.hands.knuckle, 0.04);
    near(plan.hands.slack, 0.125);
    near(plan.hands.error_elevation, PI / 60);
    near(plan.hands.error_carry, 0.25);
    near(plan.hands.error_length, 0.002);
    assert_true(plan.hands.seed == 9007199254740991u);
    lw_plan_clear(&plan);
    assert_true(empty(&plan));
}

static void test_worn(void **state) {
    (void)state;
    lw_plan plan = read_good(whole);
    assert_int_equal(plan.worn.way, LW_WORN_LEFT);
    near(plan.worn.offset, 0.03);
    near(plan.worn.wetness, 0.25);
    near(plan.worn.stiffness, 2);
    near(plan.worn.load, 0.125);
    assert_int_equal(plan.worn.bundle, 5);
    assert_int_equal(plan.worn.dried, LW_DRIED_UNDER);
    near(plan.worn.brush, 0.06);
    near(plan.worn.ends, 0.05);
    near(plan.worn.taken, 0.5);
    near(plan.worn.lift, PI / 4);
    lw_plan_clear(&plan);

    static const struct {
        const char *by;
        lw_worn_way way;
    } ways[] = {{"\"parting\": \"none\"", LW_WORN_NONE},
                {"\"parting\": \"centre\"", LW_WORN_CENTRE},
                {"\"parting\": \"right\"", LW_WORN_RIGHT},
                {"\"brushed\": \"back\"", LW_WORN_BACK},
                {"\"brushed\": \"forward\"", LW_WORN_FORWARD}};
    for (size_t i = 0; i < COUNT(ways); i++) {
        char *text = edited("\"parting\": \"left\", \"offset\": 3", ways[i].by);
        plan = read_good(text);
        assert_int_equal(plan.worn.way, ways[i].way);
        near(plan.worn.offset, 0.04);
        lw_plan_clear(&plan);
        free(text);
    }
    static const struct {
        const char *by;
        lw_dried dried;
    } shapes[] = {{"\"natural\"", LW_DRIED_NATURAL}, {"\"straight\"", LW_DRIED_STRAIGHT}};
    for (size_t i = 0; i < COUNT(shapes); i++) {
        char *text = edited("\"under\", \"brush\": 6, \"ends\": 5", shapes[i].by);
        plan = read_good(text);
        assert_int_equal(plan.worn.dried, shapes[i].dried);
        lw_plan_clear(&plan);
        free(text);
    }
    char *text = edited("\"under\", \"brush\": 6, \"ends\": 5", "\"out\", \"brush\": 4");
    plan = read_good(text);
    assert_int_equal(plan.worn.dried, LW_DRIED_OUT);
    near(plan.worn.brush, 0.04);
    near(plan.worn.ends, 0);
    lw_plan_clear(&plan);
    free(text);
}

static void same_split(const lw_split *s, const char *part, const char *first, const char *second,
                       lw_parting_kind kind, double offset, int line) {
    assert_string_equal(s->part, part);
    assert_string_equal(s->first, first);
    assert_string_equal(s->second, second);
    assert_int_equal(s->parting.kind, kind);
    near(s->parting.offset, offset);
    assert_int_equal(s->line, line);
}

static void test_sections(void **state) {
    (void)state;
    lw_plan plan = read_good(whole);
    assert_int_equal(plan.split_count, 9);
    const lw_split *s = plan.splits;
    same_split(&s[0], "all", "left", "right", LW_PARTING_CENTRE, 0.005, 20);
    same_split(&s[1], "left", "left front", "left back", LW_PARTING_UPRIGHT, 0.01, 21);
    same_place(s[1].parting.places[0], LW_EAR_TOP_LEFT, -1, 0);
    assert_int_equal(s[1].parting.count, 1);
    same_split(&s[2], "right", "right front", "right back", LW_PARTING_UPRIGHT, 0.01, 21);
    same_place(s[2].parting.places[0], LW_EAR_TOP_RIGHT, -1, 0);
    same_split(&s[3], "left back", "left crown", "left nape", LW_PARTING_LEVEL, -0.01, 23);
    same_place(s[3].parting.places[0], LW_OCCIPITAL_BONE, -1, 0);
    same_split(&s[4], "right back", "right crown", "right nape", LW_PARTING_LEVEL, -0.01, 23);
    same_split(&s[5], "left front", "left fringe", "left side", LW_PARTING_CHAIN, 0, 25);
    assert_int_equal(s[5].parting.count, 2);
    assert_false(s[5].parting.closed);
    same_split(&s[6], "right front", "right fringe", "right side", LW_PARTING_CHAIN, 0, 25);
    same_place(s[6].parting.places[0], LW_RECESSION_RIGHT, -1, 0);
    same_place(s[6].parting.places[1], LW_APEX, -1, 0);
    same_place(s[6].parting.toward, LW_FRONT_HAIRLINE, -1, 0);
    same_split(&s[7], "left crown", "wedge", "left rest", LW_PARTING_THROUGH, 0, 27);
    assert_int_equal(s[7].parting.count, 3);
    same_place(s[7].parting.places[2], LW_BEHIND_EAR_LEFT, -1, 0);
    same_place(s[7].parting.toward, LW_NAPE_CENTRE, -1, 0);
    same_split(&s[8], "left side", "left top", "left hem", LW_PARTING_RIDGE, 0, 29);
    lw_plan_clear(&plan);
}

/* Left of an off-centre line on the left is the outer part; on the right the outer part is right of the line.
 */
static void test_mirrored_centre(void **state) {
    (void)state;
    char *text = edited("{\"upright\": \"ear top left\", \"forward\": 1}", "{\"centre\": 4}");
    lw_plan plan = read_good(text);
    same_split(&plan.splits[1], "left", "left front", "left back", LW_PARTING_CENTRE, 0.04, 21);
    same_split(&plan.splits[2], "right", "right back", "right front", LW_PARTING_CENTRE, -0.04, 21);
    lw_plan_clear(&plan);
    free(text);
}

static void test_closed_chain(void **state) {
    (void)state;
    char *text =
        edited("\"apex\"], \"toward\": \"front hairline\"}",
               "\"apex\", {\"from\": \"temple left\", \"to\": \"apex\", \"at\": 0.5}], \"closed\": true}");
    lw_plan plan = read_good(text);
    assert_true(plan.splits[5].parting.closed && plan.splits[6].parting.closed);
    assert_int_equal(plan.splits[6].parting.count, 3);
    same_place(plan.splits[6].parting.places[2], LW_TEMPLE_RIGHT, LW_APEX, 0.5);
    same_place(plan.splits[6].parting.toward, -1, -1, 0);
    lw_plan_clear(&plan);
    free(text);
}

static void test_steps(void **state) {
    (void)state;
    lw_plan plan = read_good(whole);
    assert_int_equal(plan.step_count, 3);
    const lw_step *s = &plan.steps[0];
    assert_string_equal(s->name, "nape");
    assert_string_equal(s->section, "left nape");
    assert_string_equal(s->mirror, "right nape");
    assert_int_equal(s->source_line, 32);
    assert_int_equal(s->panels.family, LW_FAMILY_DIAGONAL_BACK);
    near(s->panels.angle, PI / 6);
    near(s->panels.thickness, 0.015);
    assert_int_equal(s->panels.start, LW_EDGE_BOTTOM);
    assert_int_equal(s->hold.reference, LW_FROM_PLUMB);
    near(s->hold.elevation, PI / 4);
    near(s->hold.turn, PI / 36);
    near(s->hold.carry, 0.5);
    assert_int_equal(s->hold.target, LW_TOWARD_PREVIOUS);
    assert_int_equal(s->line.kind, LW_LINE_STRAIGHT);
    assert_int_equal(s->guide.kind, LW_GUIDE_TRAVELLING);
    near(s->guide.length, 0.08);
    same_place(s->guide.at, LW_NAPE_CENTRE, -1, 0);
    assert_int_equal(s->technique.kind, LW_POINT);
    near(s->technique.depth, 0.01);
    near(s->technique.share, 0.5);
    assert_int_equal(s->state, LW_STATE_DRY);

    s = &plan.steps[1];
    assert_string_equal(s->name, "step 2");
    assert_int_equal(s->panels.family, LW_FAMILY_RADIAL);
    same_place(s->panels.pivot, LW_CROWN, -1, 0);
    assert_int_equal(s->panels.start, LW_EDGE_CENTRE);
    assert_int_equal(s->panels.order, LW_ORDER_ALTERNATE);
    assert_int_equal(s->hold.reference, LW_FIXED);
    near(s->hold.bearing, PI * 3 / 4);
    near(s->hold.rise, -PI / 18);
    near(s->hold.carry, 0.75);
    assert_int_equal(s->hold.target, LW_TOWARD_PLACE);
    same_place(s->hold.place, LW_CROWN, -1, 0);
    assert_int_equal(s->line.kind, LW_LINE_TILT);
    near(s->line.tilt, PI / 6);
    assert_int_equal(s->line.longer, LW_EDGE_FRONT);
    assert_int_equal(s->guide.kind, LW_GUIDE_STEP);
    assert_string_equal(s->guide.step, "nape");
    assert_int_equal(s->technique.kind, LW_BLUNT);
    assert_int_equal(s->state, LW_STATE_INHERIT);

    s = &plan.steps[2];
    assert_int_equal(s->hold.reference, LW_FIXED);
    near(s->hold.bearing, PI / 2);
    near(s->hold.rise, 0);
    assert_int_equal(s->technique.kind, LW_CLIPPER);
    near(s->technique.guard, 1.5);
    near(s->technique.guard_to, 1);
    lw_plan_clear(&plan);
}

/* One edit, and what it does to the step it stands in (or the plan). */
static void test_variants(void **state) {
    (void)state;
    char *text =
        edited("{\"kind\": \"travelling\", \"length\": 8, \"at\": \"nape centre\"}", "{\"length\": 8}");
    lw_plan plan = read_good(text);
    assert_int_equal(plan.steps[0].guide.kind, LW_GUIDE_LENGTH);
    same_place(plan.steps[0].guide.at, -1, -1, 0);
    lw_plan_clear(&plan);
    free(text);

    text = edited("{\"step\": \"nape\"}", "{\"step\": \"nape\", \"kind\": \"stationary\"}");
    plan = read_good(text);
    assert_int_equal(plan.steps[1].guide.kind, LW_GUIDE_STATIONARY);
    lw_plan_clear(&plan);
    free(text);

    text = edited("{\"place\": \"crown\"}", "{\"panel\": 4}");
    plan = read_good(text);
    assert_int_equal(plan.steps[1].hold.target, LW_TOWARD_PANEL);
    assert_int_equal(plan.steps[1].hold.panel, 4);
    lw_plan_clear(&plan);
    free(text);

    text = edited("{\"clipper\": {\"guard\": \"1 1/2\", \"to\": 1}}",
                  "{\"over_comb\": {\"distance\": 1, \"rise\": \"1/4\"}}");
    plan = read_good(text);
    assert_int_equal(plan.steps[2].technique.kind, LW_OVER_COMB);
    near(plan.steps[2].technique.distance, 0.01);
    near(plan.steps[2].technique.rise, 0.25);
    lw_plan_clear(&plan);
    free(text);

    text = edited("\"kind\": \"woman\", \"circumference\": 56, \"ear_to_top\": 12.7",
                  "\"kind\": \"sphere\", \"radius\": 9");
    plan = read_good(text);
    assert_int_equal(plan.head.kind, LW_HEAD_SPHERE);
    for (int i = 0; i < 3; i++) near(plan.head.axes[i], 0.09);
    lw_plan_clear(&plan);
    free(text);

    text = edited("\"kind\": \"woman\", \"circumference\": 56, \"ear_to_top\": 12.7",
                  "\"kind\": \"ellipsoid\", \"semi_axes\": [7.5, 9.5, 11]");
    plan = read_good(text);
    near(plan.head.axes[0], 0.075);
    near(plan.head.axes[1], 0.095);
    near(plan.head.axes[2], 0.11);
    lw_plan_clear(&plan);
    free(text);

    text =
        edited("\"whorls\": [{\"right\": 1, \"back\": 0.5, \"sense\": \"anticlockwise\"}]", "\"whorls\": []");
    plan = read_good(text);
    assert_int_equal(plan.scalp.whorl_count, 0);
    lw_plan_clear(&plan);
    free(text);
}

static void test_headings(void **state) {
    (void)state;
    static const struct {
        const char *word;
        double bearing, rise; /* degrees */
    } cases[] = {{"front", 0, 0},   {"left", 90, 0}, {"back", 180, 0},
                 {"right", -90, 0}, {"up", 0, 90},   {"down", 0, -90}};
    for (size_t i = 0; i < COUNT(cases); i++) {
        char by[64];
        snprintf(by, sizeof by, "{\"direction\": \"%s\"}", cases[i].word);
        char *text = edited("{\"direction\": \"left\"}", by);
        lw_plan plan = read_good(text);
        assert_int_equal(plan.steps[2].hold.reference, LW_FIXED);
        near(plan.steps[2].hold.bearing, cases[i].bearing * PI / 180);
        near(plan.steps[2].hold.rise, cases[i].rise * PI / 180);
        lw_plan_clear(&plan);
        free(text);
    }
}

static void test_inches(void **state) {
    (void)state;
    static const char text[] =
        "{\"format\": \"lengthwise plan\", \"version\": 1, \"steps\": [{\"section\": \"all\","
        "\"panels\": {\"thickness\": \"3/4\"}, \"guide\": {\"length\": \"6 3/8\"}, \"technique\": "
        "{\"slide\": {\"depth\": 0.5}}}],"
        "\"hair\": {\"length\": 12, \"density\": 200}, \"units\": \"in\"}";
    lw_plan plan = read_good(text);
    assert_int_equal(plan.units, LW_INCH);
    near(plan.hair.length, 12 * 0.0254);
    near(plan.scalp.density, 200e4); /* per square centimetre in either unit */
    near(plan.steps[0].panels.thickness, 0.75 * 0.0254);
    near(plan.steps[0].guide.length, 6.375 * 0.0254);
    near(plan.steps[0].technique.depth, 0.5 * 0.0254);
    lw_plan_clear(&plan);
}

/* Each a decimal whose nearest double the compiler knows as well. */
static void test_numbers(void **state) {
    (void)state;
    static const struct {
        const char *text;
        double value;
    } cases[] = {
        {"0", 0.0},
        {"-0", 0.0},
        {"0.0e5", 0.0},
        {"12", 12.0},
        {"-3", -3.0},
        {"0.1", 0.1},
        {"1e-3", 1e-3},
        {"1E+2", 1E+2},
        {"123456789.125", 123456789.125},
        {"0.000123", 0.000123},
        {"9007199254740993", 9007199254740993.0},
        {"1.7976931348623157e308", 1.7976931348623157e308},
        {"2.2250738585072014e-308", 2.2250738585072014e-308},
        {"4.9e-324", 4.9e-324},
        {"1e-999", 0.0},
        {"1e99999999999999999999", INFINITY},
        {"-1e400", -INFINITY},
        {"0.30000000000000004", 0.30000000000000004},
        {"100000000000000000000000", 1e23},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        char text[64];
        lw_error error;
        json j;
        snprintf(text, sizeof text, "[%s]", cases[i].text);
        assert_int_equal(json_read(&j, text, strlen(text), &error), LW_OK);
        double got = json_number(&j, 1);
        if (got != cases[i].value) fail_msg("%s became %.17g", cases[i].text, got);
        json_clear(&j);
    }
}

/* A number too long for any buffer keeps its value. */
static void test_long_number(void **state) {
    (void)state;
    enum { DIGITS = 5000 };
    char *text = malloc(DIGITS + 64);
    lw_error error;
    json j;
    memset(text + 1, '0', DIGITS);
    text[0] = '[';
    text[1] = '3';
    sprintf(text + 1 + DIGITS, ".5e-%d]", DIGITS - 1);
    assert_int_equal(json_read(&j, text, strlen(text), &error), LW_OK);
    assert_true(json_number(&j, 1) == 3.0);
    json_clear(&j);
    free(text);
}

static void test_strings(void **state) {
    (void)state;
    char *text = edited("\"Short shape\"", "\"\\u0041\\t\\u00e9\\ud83d\\ude00\\/\\\\\\\"\"");
    lw_plan plan;
    lw_error error;
    assert_int_equal(read_text(&plan, text, strlen(text), &error), LW_ERROR_PLAN); /* a tab in a title */
    free(text);
    text = edited("\"Short shape\"", "\"\\u0041\\u00e9\\u4e2d\\ud83d\\ude00\\/\\\\\\\"\"");
    plan = read_good(text);
    assert_string_equal(plan.title, "A\xC3\xA9\xE4\xB8\xAD\xF0\x9F\x98\x80/\\\"");
    lw_plan_clear(&plan);
    free(text);
}

static void test_escaped_key(void **state) {
    (void)state;
    char *text = edited("\"title\"", "\"t\\u0069tle\"");
    lw_plan plan = read_good(text);
    assert_string_equal(plan.title, "Short shape");
    lw_plan_clear(&plan);
    free(text);
}

static void test_byte_order_mark(void **state) {
    (void)state;
    char *text = malloc(sizeof whole + 3);
    sprintf(text, "\xEF\xBB\xBF%s", whole);
    lw_plan plan = read_good(text);
    assert_int_equal(plan.step_count, 3);
    lw_plan_clear(&plan);
    free(text);
}

/* ---- defaults ---- */

static void test_defaults(void **state) {
    (void)state;
    lw_plan plan = read_good("{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\"}"),
            want = lw_plan_default();
    assert_memory_equal(&plan.head, &want.head, sizeof want.head);
    assert_memory_equal(&plan.scalp, &want.scalp, sizeof want.scalp);
    assert_memory_equal(&plan.hair, &want.hair, sizeof want.hair);
    assert_memory_equal(&plan.hands, &want.hands, sizeof want.hands);
    assert_memory_equal(&plan.worn, &want.worn, sizeof want.worn);
    assert_int_equal(plan.worn.way, LW_WORN_NONE);
    near(plan.worn.wetness, 0);
    near(plan.worn.stiffness, 1);
    near(plan.worn.load, 0);
    assert_int_equal(plan.worn.bundle, 1);
    assert_int_equal(plan.worn.dried, LW_DRIED_NATURAL);
    assert_true(plan.worn.lift < 0);
    assert_int_equal(plan.split_count, 0);
    assert_int_equal(plan.step_count, 0);
    near(want.hair.length, 0.45);
    assert_int_equal(want.hair.state, LW_STATE_DRY);
    lw_plan_clear(&plan);

    plan =
        read_good("{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\", \"steps\":"
                  "[{\"name\": \"n\", \"section\": \"all\", \"technique\": {\"clipper\": {\"guard\": 4}}}]}");
    lw_step step = lw_step_default();
    assert_memory_equal(&plan.steps[0].panels, &step.panels, sizeof step.panels);
    assert_memory_equal(&plan.steps[0].hold, &step.hold, sizeof step.hold);
    assert_memory_equal(&plan.steps[0].line, &step.line, sizeof step.line);
    assert_memory_equal(&plan.steps[0].guide, &step.guide, sizeof step.guide);
    assert_true(plan.steps[0].technique.guard_to < 0);
    near(step.panels.thickness, 0.02);
    near(step.hold.elevation, PI / 2);
    assert_int_equal(step.guide.kind, LW_GUIDE_TRAVELLING);
    lw_plan_clear(&plan);
}

/* ---- the table ---- */

static void visit_table(void *context, const char *path, const shape *object, const char *initial) {
    int *fields = context;
    for (int i = 0; i < object->field_count; i++, ++*fields) {
        const field *f = &object->fields[i];
        union {
            draft d;
            lw_step step;
        } into = {0};
        char list[512], value[64];
        lw_error error;
        assert_true(f->help && f->example && f->help[strlen(f->help) - 1] == '.');
        snprintf(list, sizeof list, "[%s]", f->example);
        if (!plan_read_field(&into, f, list, strlen(list), &error))
            fail_msg("%s.%s: example %s: %s", path, f->key, f->example, error.message);
        if (f->shape->allocated) {
            void *pointer;
            memcpy(&pointer, (char *)&into + f->offset, sizeof pointer);
            free(pointer);
        }
        /* A default as it is printed, read back, is the default. */
        bool alternative = object->exactly_one && strstr(object->exactly_one, f->key);
        if (f->required || f->absent || alternative) continue;
        if (!initial) fail_msg("%s.%s: nothing says what it is when left out", path, f->key);
        if (!plan_value(value, sizeof value, f, initial)) {
            if (f->shape->kind != SHAPE_OBJECT)
                fail_msg("%s.%s: its default cannot be written", path, f->key);
            continue;
        }
        char again[64];
        memset(&into, 0, sizeof into);
        snprintf(list, sizeof list, "[%s]", value);
        if (!plan_read_field(&into, f, list, strlen(list), &error))
            fail_msg("%s.%s: default %s: %s", path, f->key, value, error.message);
        assert_true(plan_value(again, sizeof again, f, &into));
        assert_string_equal(again, value);
    }
}

static void test_table(void **state) {
    (void)state;
    int fields = 0;
    plan_walk(visit_table, &fields);
    assert_true(fields > 80);
}

static void same_as_file(const char *text, const char *name) {
    char path[1024];
    source_path(path, sizeof path, ".", name);
    FILE *file = fopen(path, "rb");
    if (!file) fail_msg("%s cannot be read", path);
    size_t room = strlen(text) + 2;
    char *held_text = calloc(room, 1);
    size_t size = fread(held_text, 1, room - 1, file);
    fclose(file);
    if (size != strlen(text) || memcmp(held_text, text, size) != 0)
        fail_msg("%s is not what the table says: renew it with lengthwise schema, lengthwise fields", name);
    free(held_text);
}

static void test_schema(void **state) {
    (void)state;
    char *text;
    assert_int_equal(plan_schema(&text, NULL), LW_OK);
    same_as_file(text, "schema/plan.schema.json");
    free(text);
}

static void test_reference(void **state) {
    (void)state;
    char *text;
    assert_int_equal(plan_reference(&text, NULL), LW_OK);
    same_as_file(text, "docs/plan-fields.md");
    free(text);
    assert_int_equal(plan_table(&text, NULL), LW_OK);
    same_as_file(text, "page/tests/table.json");
    free(text);
}

static void test_explain(void **state) {
    (void)state;
    char *text;
    lw_error error;
    assert_int_equal(plan_explain(&text, "elevation", &error), LW_OK);
    assert_non_null(strstr(text, "hands.error.elevation\n"));
    assert_non_null(strstr(text, "steps[].hold.elevation\n"));
    assert_non_null(strstr(text, "Takes: a number from 0 to 180 degrees"));
    assert_non_null(strstr(text, "When left out: 90 degrees"));
    free(text);
    assert_int_equal(plan_explain(&text, "steps[3].hold.from", &error), LW_OK);
    assert_null(strstr(text, "PLACE"));
    assert_non_null(strstr(text, "\"plumb\": 0 hangs, 90 level, 180 straight up"));
    free(text);
    assert_int_equal(plan_explain(&text, "ear to top", &error), LW_OK);
    free(text);
    assert_int_equal(plan_explain(&text, "elevaton", &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.remedy, "Did you mean \"elevation\"?");
    assert_int_equal(plan_explain(&text, "", &error), LW_ERROR_ARGUMENT);
    assert_int_equal(plan_explain(&text, "qqqqqq", &error), LW_ERROR_ARGUMENT);
    assert_null(text);
}

static void test_fields(void **state) {
    (void)state;
    plan_field f;
    assert_true(plan_field_at(0, &f));
    assert_string_equal(f.path, "format");
    assert_false(plan_field_at(-1, &f));
    int n = 0;
    while (plan_field_at(n, &f)) n++;
    assert_true(n > 80 && n < 200);
}

static void test_near_words(void **state) {
    (void)state;
    assert_int_equal(word_distance("nape", "nape"), 0);
    assert_int_equal(word_distance("nape", "naep"), 1); /* neighbours swapped */
    assert_int_equal(word_distance("nape", "nap"), 1);
    assert_int_equal(word_distance("kitten", "sitting"), 3); /* the textbook pair, from memory */
    assert_int_equal(word_distance("Ear To-Top", "ear_to_top"), 0);
    assert_int_equal(word_distance("", "abc"), 3);
    int distance;
    assert_false(word_near("blunt", "travelling", &distance));
    assert_true(word_near("ear_to_top_of_head", "ear_to_top", &distance));
}

/* ---- faults of the text ---- */

static void test_syntax(void **state) {
    (void)state;
    static const struct {
        const char *text, *message, *remedy;
    } cases[] = {
        {"^", "the text is empty", "lengthwise plan"},
        {" \n\t^", "the text is empty", "Begin"},
        {"{^", "the text ends where a key in double quotes was expected", "length"},
        {"{\"a\"^", "the text ends where a colon", "\"length\": 12"},
        {"{\"a\": ^", "the text ends where a value was expected", "Write a number"},
        {"{\"a\" ^1}", "found 1 where a colon", "\"length\": 12"},
        {"{\"a\": 1 ^\"b\": 2}", "where a comma or } was expected", "Put a comma"},
        {"[1 ^2]", "where a comma or ] was expected", "Put a comma"},
        {"[1^}", "found } where a comma or ] was expected", "close the bracket"},
        {"{\"a\": 1^, }", "a comma stands after the last entry", "Take the comma away"},
        {"[1^,]", "a comma stands after the last entry", "Take the comma away"},
        {"[^,1]", "found , where a value", "Write a number"},
        {"{^a: 1}", "found a where a key in double quotes", "length"},
        {"{^1: 1}", "found 1 where a key in double quotes", "length"},
        {"{^'a': 1}", "found ' where a key in double quotes", "length"},
        {"{\"a\": ^'b'}", "found a single quote", "double quotes"},
        {"{\"a\": 1} ^x", "where the end of the text was expected", "Remove"},
        {"{} ^{}", "where the end of the text was expected", "Remove"},
        {"^// note\n{}", "comment", "note"},
        {"{\"a\": ^nape}", "a word without quotes", "double quotes"},
        {"{\"a\": ^nul}", "a word without quotes", "true, false and null"},
        {"{\"a\": ^True}", "a word without quotes", "double quotes"},
        {"{\"a\": ^NaN}", "a word without quotes", "NaN and Infinity are no numbers"},
        {"{\"a\": ^Infinity}", "a word without quotes", "NaN and Infinity are no numbers"},
        {"{\"a\": -^Infinity}", "where a digit was expected", "Write numbers like"},
        {"{\"a\": 0^1}", "begins with a needless 0", "Write 5, not 05"},
        {"{\"a\": -0^1}", "begins with a needless 0", "Write 5, not 05"},
        {"{\"a\": ^.5}", "begins with + or a point", "0.5"},
        {"{\"a\": ^+5}", "begins with + or a point", "0.5"},
        {"{\"a\": 5.^}", "found } where a digit", "Write numbers like"},
        {"{\"a\": 5e^}", "found } where a digit", "Write numbers like"},
        {"{\"a\": 0^x10}", "found x where a comma or }", "Put a comma"},
        {"{\"a\": 12 ^cm}", "where a comma or }", "Put a comma"},
        {"{\"a\": ^\"b}", "no closing quote", "Close it"},
        {"{\"a\": ^\"b\n\"}", "no closing quote on its line", "\\n"},
        {"{\"a\": \"b^\tc\"}", "a control character", "\\t"},
        {"{\"a\": \"b^\x01\"}", "a control character", "Take it out"},
        {"{\"a\": \"\\^x\"}", "found x where an escape", "two: \\\\"},
        {"{\"a\": \"\\^u12g4\"}", "four hexadecimal digits", "\\u00e9"},
        {"{\"a\": \"\\^ud800\"}", "half of a surrogate pair", "both halves"},
        {"{\"a\": \"\\^udc00\"}", "half of a surrogate pair", "both halves"},
        {"{\"a\": \"\\^ud800\\u0041\"}", "half of a surrogate pair", "both halves"},
        {"{\"a\": \"\\^ud800\\ud800\"}", "half of a surrogate pair", "both halves"},
        {"{\"a\": \"^\xff\"}", "not UTF-8", "Save the file as UTF-8"},
        {"{\"a\": \"^\xc0\x80\"}", "not UTF-8", "UTF-8"},         /* overlong */
        {"{\"a\": \"^\xe0\x80\x80\"}", "not UTF-8", "UTF-8"},     /* overlong */
        {"{\"a\": \"^\xed\xa0\x80\"}", "not UTF-8", "UTF-8"},     /* a surrogate */
        {"{\"a\": \"^\xf4\x90\x80\x80\"}", "not UTF-8", "UTF-8"}, /* past U+10FFFF */
        {"{\"a\": \"^\xf0\x80\x80\x80\"}", "not UTF-8", "UTF-8"}, /* overlong */
        {"{\"a\": \"^\xe4\xb8\"}", "not UTF-8", "UTF-8"},         /* cut short */
        {"{\"a\": \"\xe4\xb8\xad^\xff\"}", "not UTF-8", "UTF-8"}, /* columns count bytes */
        {"{\"a\": ^\xc3\xa9}", "found the byte 0xC3 where a value", "Write a number"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        char text[128];
        snprintf(text, sizeof text, "%s", cases[i].text);
        expect_fault(text, LW_ERROR_SYNTAX, "", cases[i].message, cases[i].remedy);
    }
    lw_plan plan;
    lw_error error;
    assert_int_equal(read_text(&plan, "{\0}", 3, &error), LW_ERROR_SYNTAX);
    assert_non_null(strstr(error.message, "zero byte"));
    assert_int_equal(error.column, 2);
    assert_int_equal(read_text(&plan, "12", 2, &error), LW_ERROR_SYNTAX);
    assert_int_equal(lw_plan_read(&plan, NULL, 0, NULL), LW_ERROR_SYNTAX);
}

/* ---- faults of the plan ---- */

typedef struct fault_case {
    const char *piece, *by, *place, *message, *remedy;
} fault_case;

static void expect_faults(const fault_case *cases, size_t count, lw_status status) {
    for (size_t i = 0; i < count; i++) {
        char *text = edited(cases[i].piece, cases[i].by);
        expect_fault(text, status, cases[i].place, cases[i].message, cases[i].remedy);
        free(text);
    }
}

static void test_heading_faults(void **state) {
    (void)state;
    static const fault_case cases[] = {
        {"{\n  \"format\": \"lengthwise plan\",", "^{", "plan", "the plan has no \"format\"",
         "\"format\": \"lengthwise plan\""},
        {"{\n  \"format\": \"lengthwise plan\",\n  \"version\": 1,", "^{\"format\": \"lengthwise plan\",",
         "plan", "the plan has no \"version\"", "\"version\": 1"},
        {"{\n  \"format\": \"lengthwise plan\",\n  \"version\": 1,\n  \"units\": \"cm\",",
         "^{\"format\": \"lengthwise plan\", \"version\": 1,", "plan", "the plan has no \"units\"",
         "\"units\": \"cm\""},
        {"\"lengthwise plan\"", "^\"lengthwise\"", "format",
         "found \"lengthwise\" (did you mean \"lengthwise plan\"?)", "format"},
        {"\"lengthwise plan\"", "^\"a tune\"", "format", "found \"a tune\", but expected \"lengthwise plan\"",
         "format"},
        {"\"version\": 1", "\"version\": ^2", "version",
         "version 2, but this lengthwise knows versions up to 1", "newer lengthwise"},
        {"\"version\": 1", "\"version\": ^0", "version", "found 0, but expected the number 1",
         "\"version\": 1"},
        {"\"version\": 1", "\"version\": ^1.5", "version", "version 1.5", "newer"},
        {"\"version\": 1", "\"version\": ^\"1\"", "version", "found \"1\", but expected the number 1",
         "\"version\": 1"},
        {"\"cm\"", "^\"mm\"", "units", "\"mm\"", "\"units\": \"cm\""},
        {"\"cm\"", "^\"inches\"", "units", "did you mean \"in\"?", "\"units\""},
        {"\"cm\"", "^\"furlongs\"", "units", "but expected \"cm\" or \"in\"", "\"units\""},
        {"\"cm\"", "^7", "units", "found 7, but expected \"cm\" or \"in\"", "\"units\""},
        {"\"title\"", "^\"titel\"", "titel", "there is no key \"titel\"", "Did you mean \"title\"?"},
        {"\"title\"", "\"note\": \"x\", \"title\": \"y\", ^\"title\"", "title",
         "stands here twice; the first is on line 5", "Keep one"},
        {"\"title\"", "\"tit\\u006ce\": \"x\", ^\"title\"", "title", "twice", "Keep one"},
    };
    expect_faults(cases, COUNT(cases), LW_ERROR_PLAN);
    char list[] = "^[]";
    expect_fault(list, LW_ERROR_PLAN, "plan", "a plan is an object", "Begin with {");
}

static void test_value_faults(void **state) {
    (void)state;
    static const fault_case cases[] = {
        {"\"Short shape\"", "^12", "title", "found 12, but expected a text", "\"title\": "},
        {"\"Short shape\"", "^\"\"", "title", "the text is empty", "\"title\": "},
        {"\"Short shape\"", "^\"a\\u0000b\"", "title", "control character", "\"title\": "},
        {"\"Short shape\"", "^\"a\\nb\"", "title", "control character", "\"title\": "},
        {"\"https:", "^\"ftp:", "link",
         "found \"ftp://example.org/p?a=1#b\", but expected an address that begins with http:// or https://",
         "\"link\": "},
        {"\"https://example.org/p?a=1#b\"", "^\"https://\"", "link", "but expected an address", "\"link\": "},
        {"\"https://example.org/p?a=1#b\"", "^\"https:///p\"", "link", "but expected an address",
         "\"link\": "},
        {"\"https://example.org/p?a=1#b\"", "^\"https://example.org/p q\"", "link", "but expected an address",
         "\"link\": "},
        {"\"https://example.org/p?a=1#b\"", "^7", "link", "found 7, but expected an address", "\"link\": "},
        {"\"kind\": \"woman\"", "\"kind\": ^\"wman\"", "head.kind", "\"wman\" (did you mean \"woman\"?)",
         "\"kind\": "},
        {"\"kind\": \"woman\"", "\"kind\": ^null", "head.kind",
         "found null, but expected \"adult\", \"woman\", \"man\"", "\"kind\""},
        {"\"circumference\": 56", "\"circumference\": ^560", "head.circumference",
         "found 560 cm, but expected a length from 30 to 80 cm", "\"circumference\": 56"},
        {"\"circumference\": 56", "\"circumference\": ^\"56 cm\"", "head.circumference",
         "found \"56 cm\", but expected a length", "\"circumference\": 56"},
        {"\"circumference\": 56", "\"circumference\": ^[56]", "head.circumference",
         "found a list [ ], but expected a length", "56"},
        {"\"circumference\": 56", "\"circumference\": ^1e999", "head.circumference", "found 1e999 cm", "56"},
        {"\"circumference\"", "^\"circumfrence\"", "head.circumfrence", "no key",
         "Did you mean \"circumference\"?"},
        {"\"circumference\"", "^\"length\"", "head.length", "no key", "Did you mean \"head_length\"?"},
        {"\"hairline\": \"peaked\"", "^\"radius\": 9", "head.radius",
         "\"radius\" goes only with kind \"sphere\"", "Add kind \"sphere\""},
        {"{\"kind\": \"woman\", \"circumference\": 56, \"ear_to_top\": 12.7, ", "^{\"kind\": \"ellipsoid\", ",
         "head", "head has no \"semi_axes\", which kind \"ellipsoid\" needs", "[7.5, 9.5, 11]"},
        {"\"kind\": \"woman\", \"circumference\": 56, \"ear_to_top\": 12.7",
         "\"kind\": \"ellipsoid\", \"semi_axes\": ^[7, 8]", "head.semi_axes",
         "found a list of 2, but expected a list of 3", "11"},
        {"\"kind\": \"woman\", \"circumference\": 56, \"ear_to_top\": 12.7",
         "\"kind\": \"ellipsoid\", \"semi_axes\": [7, 8, ^true]", "head.semi_axes[2]",
         "found true, but expected a length", "11"},
        {"\"at\": \"crown\"", "\"at\": ^\"crwn\"", "hair.lengths[0].at", "did you mean \"crown\"?",
         "nape centre"},
        {"\"at\": \"crown\"", "\"at\": ^7", "hair.lengths[0].at",
         "found 7, but expected the name of a landmark", "\"at\": "},
        {"\"from\": \"crown\"", "\"from\": ^\"top of it\"", "hair.lengths[1].at.from",
         "but expected the name of a landmark", "\"from\": \"crown\""},
        {"{\"from\": \"crown\", ", "^{", "hair.lengths[1].at", "hair.lengths[1].at has no \"from\"",
         "\"from\": \"crown\""},
        {"\"at\": \"1/4\"", "\"at\": ^\"5/4\"", "hair.lengths[1].at.at",
         "found \"5/4\", but expected a number from 0 to 1", "half"},
        {"\"at\": \"1/4\"", "\"at\": ^\"1/0\"", "hair.lengths[1].at.at", "found \"1/0\"", "half"},
        {"\"at\": \"1/4\"", "\"at\": ^\"1/4 \"", "hair.lengths[1].at.at", "found \"1/4 \"", "half"},
        {"\"at\": \"1/4\"", "\"at\": ^\"12345/99999\"", "hair.lengths[1].at.at", "found \"12345/99999\"",
         "half"},
        {"\"density\": 180", "\"density\": ^0", "hair.density",
         "found 0 per square cm, but expected a number from 1 to 600 per square cm", "180"},
        {"{\"diameter\": 1.2, ", "^{", "hair.curl", "hair.curl has no \"diameter\"", "\"diameter\": 1.2"},
        {"\"anticlockwise\"", "^\"counterclockwise\"", "hair.whorls[0].sense", "did you mean \"clockwise\"?",
         "sense"},
        {"\"bites\": true", "\"bites\": ^\"yes\"", "hands.bites", "found \"yes\", but expected true or false",
         "true"},
        {"\"bites\": true", "\"bites\": ^null", "hands.bites", "found null, but expected true or false",
         "true"},
        {"9007199254740991", "^9007199254740993", "hands.seed",
         "expected a whole number from 0 to 9007199254740991", "7"},
        {"9007199254740991", "^-1", "hands.seed", "found -1", "7"},
        {"9007199254740991", "^0.5", "hands.seed", "found 0.5, but expected a whole number", "7"},
        {"\"hands\": {\"span\": 7,", "\"hands\": {^\"elevation\": 7,", "hands.elevation", "no key",
         "\"elevation\" belongs in hands.error."},
        {"\"hands\": {\"span\": 7,", "\"hands\": {^\"zzzzzzzzzz\": 7,", "hands.zzzzzzzzzz", "no key",
         "The keys here are span, bites, knuckle, slack, error, seed."},
        {"\"hands\": {\"span\": 7,", "\"hands\": {^\"spa\\u0000n\": 7,", "hands.spa", "no key",
         "Did you mean"},
    };
    expect_faults(cases, COUNT(cases), LW_ERROR_PLAN);
    char *text = edited("\"kind\": \"woman\", ", "\"kind\": \"sphere\", \"radius\": 9, ^");
    expect_fault(text, LW_ERROR_PLAN, "head.circumference",
                 "does not go with kind \"sphere\" or kind \"ellipsoid\"", "Take away");
    free(text);
}

static void test_section_faults(void **state) {
    (void)state;
    static const fault_case cases[] = {
        {"{\"split\": \"all\", ", "^{", "sections[0]", "sections[0] has no \"split\"", "\"split\": \"all\""},
        {"\"split\": \"all\"", "\"split\": ^\"al\"", "sections[0].split", "there is no part \"al\"",
         "Did you mean \"all\"?"},
        {"\"split\": \"left\"", "\"split\": ^\"lft\"", "sections[1].split", "there is no part \"lft\"",
         "Did you mean \"left\"?"},
        {"\"split\": \"left\"", "\"split\": ^\"qqqq\"", "sections[1].split", "no part",
         "The parts there are: \"all\", \"left\", \"right\"."},
        {"\"split\": \"left\"", "\"split\": ^\"all\"", "sections[1].split", "already divided on line 20",
         "Divide one of the two"},
        {"\"split\": \"left\"", "\"split\": ^\"left nape\"", "sections[1].split", "is made only further down",
         "after the one"},
        {"\"split\": \"left\"", "\"split\": ^\"left back\"", "sections[1].split", "divided into itself",
         "names of their own"},
        {"[\"left\", \"right\"]", "^[\"left\", \"left\"]", "sections[0].into", "already a part \"left\"",
         "a name of its own"},
        {"[\"left\", \"right\"]", "^[\"all\", \"right\"]", "sections[0].into", "already a part \"all\"",
         "a name of its own"},
        {"[\"left front\", \"left back\"]", "^[\"left front\", \"left\"]", "sections[1].into",
         "already a part \"left\"", "own"},
        {"[\"wedge\", \"left rest\"]", "^[\"wedge\", \"right nape\"]", "sections[4].into",
         "already a part \"right nape\"", "own"},
        {"[\"left\", \"right\"]", "^[\"left\"]", "sections[0].into",
         "found a list of 1, but expected a list of 2", "into"},
        {"[\"left\", \"right\"]", "[\"left\", ^3]", "sections[0].into[1]", "found 3, but expected a text",
         "into"},
        {"\"left crown\", \"left nape\"], \"mirror\": true", "\"left crown\", \"nape\"], \"mirror\": ^true",
         "sections[2].mirror", "must hold the word left or right", "left side"},
        {"\"left crown\", \"left nape\"], \"mirror\": true",
         "\"left crown\", \"cleft nape\"], \"mirror\": ^true", "sections[2].mirror",
         "must hold the word left or right", "left side"},
        {"{\"centre\": 0.5}", "^{}", "sections[0].parting",
         "expected one of centre or level or upright or through or chain", "level"},
        {"{\"centre\": 0.5}", "{\"centre\": 0.5, ^\"level\": \"crown\"}", "sections[0].parting",
         "expected only one of centre", "level"},
        {"{\"centre\": 0.5}", "{\"centre\": 0.5, ^\"raise\": 1}", "sections[0].parting.raise",
         "\"raise\" goes only with level", "Add level"},
        {"{\"centre\": 0.5}", "^\"center\"", "sections[0].parting",
         "found \"center\", but expected \"parietal ridge\", or an object", "level"},
        {"{\"centre\": 0.5}", "{^\"center\": 0.5}", "sections[0].parting.center", "no key",
         "Did you mean \"centre\"?"},
        {"\"apex\"], \"toward\": \"front hairline\"",
         "\"apex\"], \"closed\": true, ^\"toward\": \"front hairline\"", "sections[3].parting.toward",
         "\"toward\" does not go with closed \"true\"", "Take away"},
        {"{\"chain\": [\"recession left\", \"apex\"], \"toward\": \"front hairline\"}",
         "^{\"chain\": [\"recession left\", \"apex\"]}", "sections[3].parting",
         "has no \"toward\", which through or chain needs", "front hairline"},
        {"[\"recession left\", \"apex\"]", "^[\"apex\"]", "sections[3].parting.chain",
         "found a list of 1, but expected a list of 2 to 16", "apex"},
    };
    expect_faults(cases, COUNT(cases), LW_ERROR_PLAN);
}

static void test_worn_faults(void **state) {
    (void)state;
    static const fault_case cases[] = {
        {"\"ellipticity\": 1.3", "\"ellipticity\": ^0.7", "hair.ellipticity",
         "found 0.7, but expected a number from 1 to 3", "1.3"},
        {"\"modulus\": 3.9", "\"modulus\": ^3900", "hair.modulus",
         "found 3900 GPa, but expected a number from 0.1 to 20 GPa", "3.9"},
        {"{\"edge\": 15,", "{\"edge\": ^0,", "hair.root_angle.edge", "from 1 to 90 degrees", "15"},
        {"\"parting\": \"left\"", "\"parting\": ^\"side\"", "worn.parting",
         "found \"side\", but expected \"none\", \"centre\", \"left\" or \"right\"", "centre"},
        {"\"parting\": \"left\", \"offset\"", "\"parting\": \"centre\", ^\"offset\"", "worn.offset",
         "\"offset\" goes only with parting \"left\" or parting \"right\"", "take \"offset\" away"},
        {"\"offset\": 3", "\"offset\": ^12", "worn.offset",
         "found 12 cm, but expected a length from 0.1 to 9 cm", "3"},
        {"\"offset\": 3", "^\"brushed\": \"back\"", "worn.brushed", "\"brushed\" does not go with parting",
         "Take away parting"},
        {"\"wetness\": 0.25", "\"wetness\": ^\"damp\"", "worn.wetness",
         "found \"damp\", but expected a number from 0 to 1", "0.3"},
        {"\"bundle\": 5", "\"bundle\": ^2.5", "worn.product.bundle", "a whole number from 1 to 1000", "7"},
        {"\"stiffness\": 2", "\"stiffness\": ^0", "worn.product.stiffness", "from 0.1 to 100", "3"},
        {"\"weight\": \"1/8\"", "\"weight\": ^-1", "worn.product.weight", "from 0 to 5", "0.1"},
        {"{\"shape\": \"under\", \"brush\": 6, ", "^{\"shape\": \"under\", ", "worn.blow_dry",
         "has no \"brush\", which shape \"under\" or shape \"out\" needs", "6"},
        {"\"under\", \"brush\"", "\"straight\", ^\"brush\"", "worn.blow_dry.brush",
         "\"brush\" goes only with shape \"under\" or shape \"out\"", "Add"},
        {"\"lift\": 45", "\"lift\": ^100", "worn.blow_dry.lift", "from 0 to 90 degrees", "45"},
    };
    expect_faults(cases, COUNT(cases), LW_ERROR_PLAN);
}

static void test_step_faults(void **state) {
    (void)state;
    static const fault_case cases[] = {
        {"{\"section\": \"left side\",", "^{", "steps[1]", "steps[1] has no \"section\"",
         "\"section\": \"nape\""},
        {"\"section\": \"left nape\"", "\"section\": ^\"left naep\"", "steps[0].section",
         "there is no section \"left naep\"", "Did you mean \"left nape\"?"},
        {"\"mirror\": \"right nape\"", "\"mirror\": ^\"left nape\"", "steps[0].mirror",
         "its own mirror image", "other side"},
        {"\"mirror\": \"right nape\"", "\"mirror\": ^\"right nap\"", "steps[0].mirror",
         "no section \"right nap\"", "right nape"},
        {"\"name\": \"fade\"", "\"name\": ^\"nape\"", "steps[2].name",
         "the step on line 32 is already called \"nape\"", "of its own"},
        {"\"name\": \"fade\"", "\"name\": ^\"step 2\"", "steps[2].name", "already called \"step 2\"",
         "of its own"},
        {"\"diagonal back\"", "^\"diagnal back\"", "steps[0].panels.run", "did you mean \"diagonal back\"?",
         "run"},
        {"\"run\": \"diagonal back\", \"angle\"", "\"run\": \"level\", ^\"angle\"", "steps[0].panels.angle",
         "\"angle\" goes only with run \"diagonal forward\" or run \"diagonal back\"", "take \"angle\" away"},
        {"\"thickness\": 1.5", "\"thickness\": ^0.05", "steps[0].panels.thickness",
         "found 0.05 cm, but expected a length from 0.1 to 40 cm", "\"thickness\": 1.5"},
        {"\"thickness\": 1.5", "\"thickness\": ^-1", "steps[0].panels.thickness", "found -1 cm",
         "\"thickness\""},
        {"\"panels\": {\"run\": \"radial\", \"pivot\": \"crown\"", "\"panels\": ^{\"run\": \"radial\"",
         "steps[1].panels", "has no \"pivot\", which run \"radial\" needs", "\"pivot\": \"crown\""},
        {"\"start\": \"centre\", \"order\"", "\"start\": \"left\", ^\"order\"", "steps[1].panels.order",
         "only with start \"centre\"", "Add"},
        {"\"elevation\": 45", "\"elevation\": ^200", "steps[0].hold.elevation",
         "found 200 degrees, but expected a number from 0 to 180 degrees", "\"elevation\": 45"},
        {"\"elevation\": 45", "\"elevation\": ^\"45\"", "steps[0].hold.elevation",
         "found \"45\", but expected a number", "45"},
        {"\"elevation\": 45", "^\"elevation\": 45, \"direction\": \"up\"", "steps[0].hold.elevation",
         "does not go with direction", "Take away direction"},
        {"\"elevation\": 45", "^\"elevatoin\": 45", "steps[0].hold.elevatoin", "no key",
         "Did you mean \"elevation\"?"},
        {"\"line\": \"straight\",", "^\"elevation\": 45,", "steps[0].elevation", "no key",
         "\"elevation\" belongs in steps[].hold."},
        {"\"carry\": \"half\"", "\"carry\": ^\"haff\"", "steps[0].hold.carry",
         "found \"haff\", but expected a number from 0 to 50", "half"},
        {"\"carry\": \"half\", ", "^", "steps[0].hold.toward", "\"toward\" goes only with carry",
         "Add carry"},
        {"\"carry\": \"3/4\"", "\"carry\": ^2", "steps[1].hold.carry", "at most all the way", "whole"},
        {"{\"place\": \"crown\"}", "{\"panel\": ^0}", "steps[1].hold.toward.panel",
         "expected a whole number from 1 to 4096", "1"},
        {"{\"place\": \"crown\"}", "{\"place\": \"crown\", ^\"panel\": 1}", "steps[1].hold.toward",
         "expected only one of panel or place", ""},
        {"{\"bearing\": 135, ", "^{", "steps[1].hold.direction", "has no \"bearing\"", "\"bearing\": 135"},
        {"\"direction\": \"left\"", "\"direction\": ^\"sideways\"", "steps[2].hold.direction",
         "found \"sideways\", but expected \"front\"", "back"},
        {"{\"tilt\": 30, ", "^{", "steps[1].line", "has no \"tilt\"", "\"tilt\": 30"},
        {"\"tilt\": 30", "\"tilt\": ^90", "steps[1].line.tilt", "found 90 degrees", "30"},
        {"\"longer\": \"front\"", "\"longer\": ^\"centre\"", "steps[1].line.longer",
         "found \"centre\", but expected \"bottom\"", "front"},
        {"{\"step\": \"nape\"}", "{\"step\": ^\"step 2\"}", "steps[1].guide.step",
         "takes its guide from itself", "earlier step"},
        {"{\"step\": \"nape\"}", "{\"step\": ^\"fade\"}", "steps[1].guide.step",
         "\"fade\" comes later, on line 41", "earlier step"},
        {"{\"step\": \"nape\"}", "{\"step\": ^\"naep\"}", "steps[1].guide.step", "no earlier step \"naep\"",
         "Did you mean \"nape\"?"},
        {"{\"step\": \"nape\"}", "{\"step\": ^\"qqqq\"}", "steps[1].guide.step", "no earlier step \"qqqq\"",
         "\"guide\": {\"length\": 12}"},
        {"{\"step\": \"nape\"}", "^{\"kind\": \"travelling\"}", "steps[1].guide",
         "expected one of length or step", "12"},
        {"{\"step\": \"nape\"}", "{\"step\": \"nape\", ^\"length\": 3}", "steps[1].guide",
         "expected only one of length or step", "12"},
        {"{\"step\": \"nape\"}", "{\"step\": \"nape\", ^\"at\": \"crown\"}", "steps[1].guide.at",
         "\"at\" goes only with length", "Add"},
        {"\"length\": 8,", "\"length\": ^0,", "steps[0].guide.length",
         "found 0 cm, but expected a length from 0.01 to 300 cm", "12"},
        {"\"kind\": \"travelling\"", "\"kind\": ^\"traveling\"", "steps[0].guide.kind",
         "did you mean \"travelling\"?", "travelling"},
        {"{\"point\": {\"depth\": 1, ", "{\"point\": ^{", "steps[0].technique.point", "has no \"depth\"",
         "\"depth\": 1"},
        {"{\"point\": {\"depth\": 1, \"share\": \"half\"}}", "^{}", "steps[0].technique",
         "expected one of point or slide", "point"},
        {"{\"point\": {\"depth\": 1, \"share\": \"half\"}}", "^\"pont\"", "steps[0].technique",
         "found \"pont\", but expected \"blunt\"", "point"},
        {"\"guard\": \"1 1/2\"", "\"guard\": ^\"1 1/2/3\"", "steps[2].technique.clipper.guard",
         "found \"1 1/2/3\"", "4"},
        {"\"guard\": \"1 1/2\"", "\"guard\": ^17", "steps[2].technique.clipper.guard",
         "expected a number from 0 to 16", "4"},
        {"\"cut\": \"dry\"", "\"cut\": ^\"damp\"", "steps[0].cut",
         "found \"damp\", but expected \"dry\", \"wet\" or \"curled\"", "wet"},
    };
    expect_faults(cases, COUNT(cases), LW_ERROR_PLAN);
    char *text = edited("{\"section\": \"left side\",", "^{\"section\": \"left side\",");
    char *guide = strstr(text, ", \"guide\": {\"step\"");
    char *rest = strchr(guide, '}') + 1;
    memmove(guide, rest, strlen(rest) + 1);
    expect_fault(text, LW_ERROR_PLAN, "steps[1].guide", "has no \"guide\"", "travelling");
    free(text);
}

static void test_inch_faults(void **state) {
    (void)state;
    char text[] =
        "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"in\", \"hair\": {\"length\": ^200}}";
    expect_fault(text, LW_ERROR_PLAN, "hair.length", "found 200 in, but expected a length from 0 to 118.1 in",
                 "length");
}

/* ---- too much ---- */

static char *repeated(const char *before, const char *piece, int count, const char *after) {
    char *out = malloc(strlen(before) + (strlen(piece) + 1) * (size_t)count + strlen(after) + 1);
    size_t n = (size_t)sprintf(out, "%s", before);
    for (int i = 0; i < count; i++) n += (size_t)sprintf(out + n, "%s%s", i ? "," : "", piece);
    sprintf(out + n, "%s", after);
    return out;
}

static void expect_limit(const char *text, size_t size, lw_status status, const char *message) {
    lw_plan plan;
    lw_error error;
    lw_status got = read_text(&plan, text, size, &error);
    if (got != status || !strstr(error.message, message) || error.line < 1 || !error.remedy[0])
        fail_msg("got %d %s", got, error.message);
    assert_true(empty(&plan));
}

#define HEADING "\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\""

static void test_limits(void **state) {
    (void)state;
    char *text = malloc(JSON_SIZE_MAX + 1);
    memset(text, ' ', JSON_SIZE_MAX + 1);
    expect_limit(text, JSON_SIZE_MAX + 1, LW_ERROR_LIMIT, "larger than 4 MiB");
    expect_limit(text, JSON_SIZE_MAX, LW_ERROR_SYNTAX, "empty");
    memset(text, '[', JSON_SIZE_MAX);
    expect_limit(text, JSON_SIZE_MAX, LW_ERROR_LIMIT, "nested more than 32 deep");
    for (size_t i = 0; i < JSON_SIZE_MAX; i++) text[i] = i % 2 ? ',' : '1';
    text[0] = '[';
    text[1] = '1';
    for (size_t i = 2; i < JSON_SIZE_MAX; i++) text[i] = i % 2 ? '1' : ',';
    expect_limit(text, JSON_SIZE_MAX, LW_ERROR_LIMIT, "more than 65536 values");
    free(text);

    text = repeated("{" HEADING ", \"steps\": [", "{\"section\": \"all\", \"guide\": {\"length\": 10}}",
                    LW_STEPS_MAX, "]}");
    lw_plan plan = read_good(text);
    assert_int_equal(plan.step_count, LW_STEPS_MAX);
    lw_plan_clear(&plan);
    free(text);
    text = repeated("{" HEADING ", \"steps\": [", "{}", LW_STEPS_MAX + 1, "]}");
    expect_limit(text, strlen(text), LW_ERROR_LIMIT,
                 "found a list of 257, but expected a list of at most 256");
    free(text);
    text = repeated("{" HEADING ", \"sections\": [", "{}", LW_SPLITS_MAX + 1, "]}");
    expect_limit(text, strlen(text), LW_ERROR_LIMIT,
                 "found a list of 129, but expected a list of at most 128");
    free(text);
    text = repeated("{" HEADING ", \"hair\": {\"whorls\": [", "{}", 3, "]}}");
    expect_limit(text, strlen(text), LW_ERROR_LIMIT, "found a list of 3, but expected a list of at most 2");
    free(text);
    text = repeated("{" HEADING ", \"hair\": {\"cowlicks\": [", "{}", 9, "]}}");
    expect_limit(text, strlen(text), LW_ERROR_LIMIT, "found a list of 9, but expected a list of at most 8");
    free(text);
    text = repeated("{" HEADING ", \"sections\": [{\"parting\": {\"chain\": [", "\"apex\"", LW_CHAIN_MAX + 1,
                    "]}}]}");
    expect_limit(text, strlen(text), LW_ERROR_LIMIT, "found a list of 17, but expected a list of 2 to 16");
    free(text);
}

static void test_mirrored_limit(void **state) {
    (void)state;
    char *text = malloc(64 * 1024);
    size_t n = (size_t)sprintf(text, "{" HEADING
                                     ", \"sections\": [{\"split\": \"all\", \"parting\": {\"centre\": 0}, "
                                     "\"into\": [\"left 0\", \"right 0\"]}");
    for (int i = 0; i < 64; i++)
        n += (size_t)sprintf(text + n,
                             ",\n{\"split\": \"left %d\", \"parting\": \"parietal ridge\", \"into\": [\"left "
                             "%d\", \"left a%d\"], "
                             "\"mirror\": true}",
                             i, i + 1, i);
    sprintf(text + n, "]}");
    expect_limit(text, strlen(text), LW_ERROR_LIMIT, "more than 128");
    free(text);
}

static void test_long_texts(void **state) {
    (void)state;
    char longest[600], by[640];
    memset(longest, 'x', sizeof longest);
    longest[255] = 0;
    snprintf(by, sizeof by, "\"%s\"", longest);
    char *text = edited("\"Short shape\"", by);
    lw_plan plan = read_good(text);
    assert_string_equal(plan.title, longest);
    lw_plan_clear(&plan);
    free(text);

    longest[255] = 'x';
    longest[256] = 0;
    snprintf(by, sizeof by, "^\"%s\"", longest);
    text = edited("\"Short shape\"", by);
    expect_fault(text, LW_ERROR_LIMIT, "title", "is longer than the 255 bytes", "Shorten");
    free(text);

    /* A character that does not fit is not cut in two. */
    memcpy(longest + 254, "\xC3\xA9", 3);
    snprintf(by, sizeof by, "^\"%s\"", longest);
    text = edited("\"Short shape\"", by);
    expect_fault(text, LW_ERROR_LIMIT, "title", "is longer than the 255 bytes", "Shorten");
    free(text);

    memset(longest, 'x', sizeof longest);
    longest[sizeof longest - 1] = 0;
    snprintf(by, sizeof by, "^\"%s\"", longest);
    text = edited("\"one\\ntwo\"", by);
    expect_fault(text, LW_ERROR_LIMIT, "note", "is longer than the 511 bytes", "Shorten");
    free(text);

    snprintf(by, sizeof by, "^\"%s\": 1, \"title\"", longest);
    text = edited("\"title\"", by);
    int line, column;
    lw_error error;
    unmark(text, &line, &column);
    assert_int_equal(read_text(&plan, text, strlen(text), &error), LW_ERROR_PLAN);
    assert_int_equal(error.column, column);
    assert_non_null(strstr(error.message, "no key"));
    free(text);
}

/* ---- whatever happens ---- */

static void check_outcome(const char *text, size_t size) {
    lw_plan plan;
    lw_error error;
    if (read_text(&plan, text, size, &error) == LW_OK) {
        lw_plan_clear(&plan);
        return;
    }
    assert_true(empty(&plan));
    assert_true(error.line >= 1 && error.column >= 1 && error.message[0] && error.remedy[0]);
}

static void test_truncated(void **state) {
    (void)state;
    size_t size = strlen(whole);
    for (size_t n = 0; n + 1 < size; n++) { /* the last byte is a line end */
        lw_plan plan;
        lw_error error;
        assert_int_equal(read_text(&plan, whole, n, &error), LW_ERROR_SYNTAX);
        assert_true(empty(&plan) && error.line >= 1 && error.column >= 1 && error.message[0] &&
                    error.remedy[0]);
    }
}

static void test_damaged(void **state) {
    (void)state;
    static const char bytes[] = "\"{}[],:0-\\x\x80\n";
    size_t size = strlen(whole);
    char *text = malloc(size);
    int before = memory.live;
    for (size_t n = 0; n < size; n++)
        for (size_t k = 0; k < sizeof bytes; k++) {
            memcpy(text, whole, size);
            text[n] = bytes[k];
            check_outcome(text, size);
        }
    assert_int_equal(memory.live, before);
    free(text);
}

static void test_no_memory(void **state) {
    (void)state;
    int before = memory.live, n = 0;
    for (bool refused = true; refused; n++) {
        lw_plan plan;
        lw_error error;
        memory_fails_from(n);
        lw_status status = lw_plan_read(&plan, whole, strlen(whole), &error);
        refused = memory_failed();
        assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
        if (refused) assert_true(empty(&plan) && error.message[0] && error.remedy[0]);
        if (!refused) lw_plan_clear(&plan);
        assert_int_equal(memory.live, before);
    }
    assert_true(n > 4); /* tokens, splits twice, steps */
}

/* A message that needs memory says so where there is none, and still points at the value. */
static void test_no_memory_for_message(void **state) {
    (void)state;
    char *text = edited("\"kind\": \"woman\"", "\"kind\": \"nobody at all\"");
    lw_plan plan;
    lw_error error;
    memory_fails_from(1); /* past the tokens */
    lw_status status = lw_plan_read(&plan, text, strlen(text), &error);
    assert_true(memory_failed());
    assert_int_equal(status, LW_ERROR_MEMORY);
    assert_string_equal(error.place, "head.kind");
    free(text);
}

static lw_status explain_guide(char **out, lw_error *error) { return plan_explain(out, "guide", error); }

static void test_no_memory_for_texts(void **state) {
    (void)state;
    lw_status (*const writers[])(char **, lw_error *) = {plan_schema, plan_reference, plan_table,
                                                         explain_guide};
    for (size_t i = 0; i < COUNT(writers); i++) {
        int before = memory.live, n = 0;
        for (bool refused = true; refused; n++) {
            char *text;
            lw_error error;
            memory_fails_from(n);
            lw_status status = writers[i](&text, &error);
            refused = memory_failed();
            assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
            if (refused) assert_true(text == NULL && error.message[0]);
            free(text);
            assert_int_equal(memory.live, before);
        }
        assert_true(n > 1);
    }
}

/* ---- the examples ---- */

static void test_examples(void **state) {
    (void)state;
    char pattern[1024];
    glob_t found;
    example_path(pattern, sizeof pattern, "*.json");
    assert_int_equal(glob(pattern, 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        FILE *file = fopen(found.gl_pathv[i], "rb");
        assert_non_null(file);
        char *text = malloc(JSON_SIZE_MAX);
        size_t size = fread(text, 1, JSON_SIZE_MAX, file);
        fclose(file);
        lw_plan plan;
        lw_error error;
        if (read_text(&plan, text, size, &error) != LW_OK)
            fail_msg("%s:%d:%d: %s: %s. %s", found.gl_pathv[i], error.line, error.column, error.place,
                     error.message, error.remedy);
        assert_true(plan.title[0] && plan.step_count > 0);
        lw_plan_clear(&plan);
        free(text);
    }
    globfree(&found);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_head_and_hair),
        cmocka_unit_test(test_worn),
        cmocka_unit_test(test_sections),
        cmocka_unit_test(test_mirrored_centre),
        cmocka_unit_test(test_closed_chain),
        cmocka_unit_test(test_steps),
        cmocka_unit_test(test_variants),
        cmocka_unit_test(test_headings),
        cmocka_unit_test(test_inches),
        cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_long_number),
        cmocka_unit_test(test_strings),
        cmocka_unit_test(test_escaped_key),
        cmocka_unit_test(test_byte_order_mark),
        cmocka_unit_test(test_defaults),
        cmocka_unit_test(test_table),
        cmocka_unit_test(test_schema),
        cmocka_unit_test(test_reference),
        cmocka_unit_test(test_explain),
        cmocka_unit_test(test_fields),
        cmocka_unit_test(test_near_words),
        cmocka_unit_test(test_syntax),
        cmocka_unit_test(test_heading_faults),
        cmocka_unit_test(test_value_faults),
        cmocka_unit_test(test_section_faults),
        cmocka_unit_test(test_worn_faults),
        cmocka_unit_test(test_step_faults),
        cmocka_unit_test(test_inch_faults),
        cmocka_unit_test(test_limits),
        cmocka_unit_test(test_mirrored_limit),
        cmocka_unit_test(test_long_texts),
        cmocka_unit_test(test_truncated),
        cmocka_unit_test(test_damaged),
        cmocka_unit_test(test_no_memory),
        cmocka_unit_test(test_no_memory_for_message),
        cmocka_unit_test(test_no_memory_for_texts),
        cmocka_unit_test(test_examples),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
