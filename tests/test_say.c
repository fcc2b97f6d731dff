/* What the sheet says of a step, word for word: every example's steps, and made-up steps of every kind; the
 * same with gaps, and what belongs in them.
 *
 * The sentences about what a step does follow from the plan alone; those about what it leaves, from lengths
 * that test_examples.c and test_rules.c hold. A line never ends between a number and its unit, so the space
 * there is U+00A0; here it is written as a plain one. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "carried_out.h"
#include "plan.h"
#include "tell_json.h"

#define LQ "\xE2\x80\x9C"
#define RQ "\xE2\x80\x9D"
#define COUNT(array) (sizeof(array) / sizeof *(array))

/* U+00A0 as a plain space. */
static char *plain(char *text) {
    char *to = text;
    for (char *from = text; *from; from++) {
        if (strncmp(from, "\xC2\xA0", 2) == 0) *from = 0, *++from = ' ';
        *to++ = *from;
    }
    *to = 0;
    return text;
}

/* ---- the form with marks ---- */

static bool is_field(const char *path, size_t size) {
    plan_field f;
    char wanted[LW_NAME_MAX];
    snprintf(wanted, sizeof wanted, "%.*s", (int)size, path);
    char *index = strrchr(wanted, '[');
    if (index && index[1] != ']') *index = 0; /* "parting.chain[2]" */
    for (int i = 0; plan_field_at(i, &f); i++)
        if (!strcmp(f.path, wanted)) return true;
    return false;
}

/* The same words as without marks, and every mark a field of the table. Returns how many there are. */
static int expect_marks(const char *marked, const char *plain_text) {
    char bare[SAY_MAX];
    size_t n = 0;
    int marks = 0;
    for (const char *c = marked; *c; c++) {
        if (*c == SAY_MARK) {
            const char *path = c + 1;
            c = strchr(c, SAY_MARK_TEXT);
            assert_non_null(c);
            if (!is_field(path, (size_t)(c - path))) fail_msg("no field %.60s", path);
            assert_int_not_equal(c[1], SAY_MARK_END);
            marks++;
        } else if (*c != SAY_MARK_END) {
            bare[n++] = *c;
        }
    }
    bare[n] = 0;
    assert_string_equal(bare, plain_text);
    return marks;
}

static void expect_step_marks(const draw_subject *of, int step) {
    char marked[SAY_MAX], said[SAY_MAX];
    say_step(said, of, step, SAY_PLAIN, NULL);
    say_step(marked, of, step, SAY_MARKED, NULL);
    assert_true(expect_marks(marked, said) >= 3);
}

/* ---- the examples ---- */

typedef struct told {
    const char *example;
    int step;
    const char *does, *leaves;
} told;

static const told examples[] = {
    {"clipper-fade", 1,
     "From the bottom of " LQ "lower back" RQ
     ", take level panels 3/8 in thick. Clip the first panel with guard 1 (1/8 in) and change evenly to "
     "guard 3 (3/8 in) at the last.",
     "It leaves 1/8 in at the nape centre, rising to 3/8 in at the occipital bone."},
    {"clipper-fade", 2,
     "From the bottom of " LQ "lower left side" RQ
     ", take level panels 3/8 in thick. Clip the first panel with guard 1 (1/8 in) and change evenly to "
     "guard 3 (3/8 in) at the last. Then do the same, mirrored, on " LQ "lower right side" RQ ".",
     "It leaves lengths from 1/8 in to 3/8 in."},
    {"clipper-fade", 3,
     "From the bottom of " LQ "upper" RQ
     ", take level panels 1/2 in thick. Cut over the comb, held 3/8 in from the scalp at the lowest panel "
     "and 1/4 in further out for every inch it climbs.",
     "It leaves lengths from 3/8 in to 1 in."},
    {"clipper-fade", 4,
     "From the back of " LQ "right of the parting" RQ
     ", take panels from side to side, 1 in thick. Carry each panel 2 panels back, hold it straight out "
     "from the scalp (90 degrees), and cut a straight line. Cut the first panel to 1 1/4 in and each next "
     "one to the panel before it. Where the line is longer than 3 in, cut it bite by bite, each to the one "
     "beside it.",
     "It leaves 1 3/8 in at the high crown, lengthening down to 5 1/8 in at the front hairline."},
    {"clipper-fade", 5,
     "Take " LQ "left of the parting" RQ
     " as one panel. Hold it at its own place, straight out from the scalp (90 degrees), and cut with the "
     "line following the head. Cut it to 1 in. Point into the ends: half of the hairs lose up to 1/4 in.",
     "It leaves lengths from 3/4 in to 1 in."},
    {"disconnected-layers", 1,
     "From the bottom of " LQ "nape" RQ
     ", take level panels 3/4 in thick. Hold each panel at its own place, straight out from the scalp (90 "
     "degrees), and cut with the line following the head. Cut every panel to 1 1/2 in.",
     "It leaves about 1 1/2 in everywhere."},
    {"disconnected-layers", 2,
     "From the bottom of " LQ "left back" RQ
     ", take level panels 3/4 in thick. Hold each panel at its own place, hanging straight down (0 "
     "degrees from plumb), and cut a straight line. Cut the first panel to 11 in and each next one to the "
     "panel before it. Where the line is longer than 2 1/2 in, cut it bite by bite, each to the one beside "
     "it. Then do "
     "the same, mirrored, on " LQ "right back" RQ ".",
     "It leaves lengths from 10 5/8 in to 11 7/8 in."},
    {"disconnected-layers", 3,
     "From the bottom of " LQ "left front" RQ
     ", take level panels 3/4 in thick. Hold each panel at its own place, hanging straight down (0 "
     "degrees from plumb), and cut a straight line. The first panel takes its length from step 2, " LQ
     "outline, back" RQ
     "; each next one takes it from the panel before. Where the line is longer than 2 1/2 in, cut it bite by "
     "bite, each to the one beside it. Then do the same, mirrored, on " LQ "right front" RQ ".",
     "What it leaves is cut again by later steps."},
    {"disconnected-layers", 4,
     "From the top of " LQ "left back" RQ
     ", take level panels 3/4 in thick. Carry every panel all the way to the high crown, hold it straight "
     "up, and cut a straight line. Cut the first panel to 8 1/2 in at the high crown; it guides all the "
     "others. Where the line is longer than 2 1/2 in, cut it bite by bite, each to the one beside it. Then "
     "do the "
     "same, mirrored, on " LQ "right back" RQ ".",
     "It leaves 8 1/8 in at the apex, lengthening down to 9 in at the crown."},
    {"disconnected-layers", 5,
     "From the front of " LQ "left front" RQ
     ", take diagonal panels 3/4 in thick, sloping down toward the back of the head at 60 degrees. Carry "
     "each panel all the way to panel 1, hold it straight out from the scalp (90 degrees), and cut a "
     "straight line. Cut the first panel to 7 in; it guides all the others. Where the line is longer than 2 "
     "1/2 in, cut it bite by bite, each to the one beside it. Let the blades slide along the ends, so that "
     "hairs lose "
     "up to 1/2 in. Then do the same, mirrored, on " LQ "right front" RQ ".",
     "It leaves 6 3/8 in at the front hairline, rising to 7 7/8 in at the parietal ridge."},
    {"fringe", 1,
     "From the front of " LQ "fringe" RQ
     ", take panels from side to side, 1.5 cm thick. Hold each panel at its own place, hanging straight "
     "down (0 degrees from plumb), and cut a straight line. Cut the first panel to 6.5 cm at the front "
     "hairline; it guides all the others.",
     "It leaves lengths from 7 cm to 9.3 cm."},
    {"fringe", 2,
     "From the front of " LQ "fringe" RQ
     ", take panels from side to side, 1.5 cm thick. Carry each panel all the way to panel 1, hold it at "
     "20 degrees from the scalp, and cut a straight line. Each panel takes its length from the nearest hair "
     "of step 1, " LQ "line" RQ
     ". Point into the ends: half of the hairs lose up to 0.8 cm. Cut this step dry, the "
     "hair straight under the comb.",
     "It leaves lengths from 6.5 cm to 9.8 cm."},
    {"graduated-bob", 1,
     "From the bottom of " LQ "left back" RQ
     ", take diagonal panels 1.5 cm thick, sloping down toward the face at 25 degrees. Hold each panel at "
     "its own place, at 45 degrees from the scalp, and cut a straight line. Cut the first panel to 3 cm at "
     "the nape centre and each next one to the panel before it. Where the line is longer than 7 cm, cut it "
     "bite by bite, each to the one beside it. Then do the same, mirrored, on " LQ "right back" RQ ".",
     "It leaves 3 cm at the nape centre, rising to 7 cm at the occipital bone."},
    {"graduated-bob", 2,
     "From the bottom of " LQ "left side" RQ
     ", take diagonal panels 1.5 cm thick, sloping down toward the face at 25 degrees. Hold each panel at "
     "its own place, at 45 degrees from the scalp, and cut a straight line. The first panel takes its length "
     "from step 1, " LQ "back" RQ
     "; each next one takes it from the panel before. Where the line is longer than 7 cm, cut it bite by "
     "bite, each to the one beside it. Then do the same, mirrored, on " LQ "right side" RQ ".",
     "It leaves 9.7 cm at the sideburns, rising to 17.3 cm at the front hairline."},
    {"increasing-layers", 1,
     "From the top of " LQ "left front" RQ
     ", take level panels 2.5 cm thick. Carry every panel all the way to panel 1, hold it straight up, "
     "and cut a straight line. Cut the first panel to 18 cm at the apex; it guides all the others. Where the "
     "line is longer than 7 cm, cut it bite by bite, each to the one beside it. Then do the same, mirrored, "
     "on " LQ "right front" RQ ".",
     "It leaves 17.7 cm at the apex, lengthening down to 30.7 cm at the sideburns."},
    {"increasing-layers", 2,
     "From the top of " LQ "left back" RQ
     ", take level panels 2.5 cm thick. Carry every panel all the way to panel 1, hold it straight up, "
     "and cut a straight line. The first panel takes its length from step 1, " LQ "front" RQ
     " and guides all the others. Where the line is longer than 7 cm, cut it bite by bite, each to the one "
     "beside it. "
     "Then do the same, mirrored, on " LQ "right back" RQ ".",
     "It leaves 18.2 cm at the high crown, lengthening down to 38.9 cm at the nape corners."},
    {"one-length-bob", 1,
     "From the bottom of " LQ "left back" RQ
     ", take level panels 1.5 cm thick. Hold each panel at its own place, hanging straight down (0 "
     "degrees from plumb), and cut a straight line. Cut the first panel to 5 cm at the nape centre and each "
     "next one to the panel before it. Where the line is longer than 5 cm, cut it bite by bite, each to the "
     "one beside it. Then do the same, mirrored, on " LQ "right back" RQ ".",
     "It leaves 4.5 cm at the nape corners, rising to 26.3 cm at the high crown."},
    {"one-length-bob", 2,
     "From the bottom of " LQ "left side" RQ
     ", take level panels 1.5 cm thick. Hold each panel at its own place, hanging straight down (0 "
     "degrees from plumb), and cut a straight line. The first panel takes its length from step 1, " LQ
     "back" RQ "; each next one takes it from the panel before. Where the line is longer than 5 cm, cut it "
     "bite by bite, each to the one beside it. Then do the same, mirrored, on " LQ "right side" RQ ".",
     "It leaves 14.8 cm at the tops of the ears, rising to 28.5 cm at the apex."},
    {"one-length-bob", 3,
     "From the bottom of " LQ "left face" RQ
     ", take level panels 1.5 cm thick. Carry each panel all the way to the point 2/5 of the way from the "
     "left temple to the top of the left ear, hold it hanging straight down (0 degrees from plumb), and cut "
     "a straight line. Each panel takes its length from the nearest hair of step 2, " LQ "sides" RQ
     ". Where the line is longer than 5 cm, cut it bite by bite, each to the one beside it. Then do the "
     "same, "
     "mirrored, on " LQ "right face" RQ ".",
     "It leaves 12.2 cm at the sideburns, rising to 23.3 cm at the front hairline."},
    {"short-mixed-shapes", 1,
     "From the bottom of " LQ "nape" RQ
     ", take level panels 1 cm thick. Clip the first panel with guard 3 (1 cm) and change evenly to guard "
     "8 (2.5 cm) at the last. Cut this step dry, the hair straight under the comb.",
     "It leaves 1 cm at the nape centre, rising to 2.5 cm at the sideburns."},
    {"short-mixed-shapes", 2,
     "From the bottom of " LQ "back" RQ
     ", take level panels 1.5 cm thick. Carry every panel halfway to the panel before it, hold it "
     "straight back, and cut a straight line. Cut the first panel to 3 cm and each next one to the panel "
     "before it.",
     "It leaves lengths from 2.6 cm to 4.6 cm."},
    {"short-mixed-shapes", 3,
     "From the back of " LQ "left side" RQ
     ", take upright panels 2 cm thick. Carry each panel halfway to the panel before it, hold it straight "
     "out from the scalp (90 degrees), and cut with the line following the head. The first panel takes its "
     "length from step 2, " LQ "back" RQ
     "; each next one takes it from the panel before. Then do the same, mirrored, on " LQ "right side" RQ ".",
     "It leaves about 4.2 cm everywhere."},
    {"short-mixed-shapes", 4,
     "From the back of " LQ "top" RQ
     ", take panels from side to side, 2 cm thick. Carry every panel halfway to the panel before it, hold "
     "it straight up, and cut a straight line tilted by 20 degrees, longer toward the client's left. Cut the "
     "first panel to 6 cm at the crown and each next one to the panel before it.",
     "It leaves 3.6 cm at the apex, lengthening down to 7.1 cm at the front hairline."},
    {"short-mixed-shapes", 5,
     "From the back of " LQ "crown patch" RQ
     ", take panels from side to side, 2 cm thick. Hold every panel at its own place, straight up, and "
     "cut a straight line tilted by 20 degrees, longer toward the client's left. Each panel takes its length "
     "from the nearest hair of step 4, " LQ "top" RQ
     ". Thin the ends: 30 % of the hairs lose 2 cm. Cut this step dry, the hair straight under the comb.",
     "It leaves lengths from 1.8 cm to 5 cm."},
    {"tight-curls", 1,
     "From the middle of " LQ "round" RQ
     ", take panels that fan about the crown, 3 cm thick at the outer edge, going outward one panel on "
     "each side in turn. Carry each panel halfway to the panel before it, hold it straight out from the "
     "scalp (90 degrees), and cut with the line following the head. Cut the first panel to 9 cm and each "
     "next one to the panel before it.",
     "It leaves about 25.8 cm everywhere. That is drawn straight; where the curl lies it measures 35 % of "
     "it."},
    {"tight-curls", 2,
     "From the front of " LQ "front" RQ
     ", take panels from side to side, 2 cm thick. Hold each panel at its own place, at 45 degrees from "
     "the scalp, and cut a straight line. Cut the first panel to 24 cm at the front hairline and each next "
     "one to the panel before it. Cut this step wet, the hair stretched under the comb.",
     "It leaves lengths from 23.8 cm to 25.7 cm. That is drawn straight; where the curl lies it measures 35 "
     "% of it."},
    {"uniform-layers", 1,
     "From the middle of " LQ "back" RQ
     ", take panels that fan about the crown, 2 cm thick at the outer edge, going outward one panel on "
     "each side in turn. Carry each panel halfway to the panel before it, hold it straight out from the "
     "scalp (90 degrees), and cut with the line following the head. Cut the first panel to 9 cm and each "
     "next one to the panel before it.",
     "It leaves about 8.9 cm everywhere."},
    {"uniform-layers", 2,
     "From the back of " LQ "left side" RQ
     ", take upright panels 2 cm thick. Carry each panel halfway to the panel before it, hold it straight "
     "out from the scalp (90 degrees), and cut with the line following the head. The first panel takes its "
     "length from step 1, " LQ "back" RQ
     "; each next one takes it from the panel before. Then do the same, mirrored, on " LQ "right side" RQ ".",
     "It leaves about 8.9 cm everywhere."},
    {"uniform-layers", 3,
     "From the back of " LQ "top" RQ
     ", take panels from side to side, 2 cm thick. Carry each panel halfway to the panel before it, hold "
     "it straight out from the scalp (90 degrees), and cut with the line following the head. The first panel "
     "takes its length from step 1, " LQ "back" RQ "; each next one takes it from the panel before.",
     "It leaves about 8.9 cm everywhere."},
};

static void test_examples(void **state) {
    (void)state;
    carried_out c = {0};
    char said[SAY_MAX];
    for (size_t i = 0; i < COUNT(examples); i++) {
        const told *t = &examples[i];
        if (t->step == 1) carry_out_example(&c, t->example, 0);
        say_step(said, &c.subject, t->step, SAY_PLAIN, NULL);
        assert_string_equal(plain(said), t->does);
        expect_step_marks(&c.subject, t->step);
        say_result(said, &c.subject, t->step, SAY_PLAIN, NULL);
        assert_string_equal(plain(said), t->leaves);
        bool last = i + 1 == COUNT(examples) || examples[i + 1].step == 1;
        if (!last) continue;
        assert_int_equal(t->step, c.plan.step_count);
        put_away(&c);
    }
}

/* ---- steps of every kind ---- */

static const char frame_of_plan[] =
    "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"%s\",\n"
    "\"head\": {\"kind\": \"sphere\", \"radius\": %s}, \"hair\": {\"length\": %s},\n"
    "\"hands\": {%s},\n"
    "\"sections\": [{\"split\": \"all\", \"parting\": {\"centre\": 0}, \"into\": [\"left half\", \"right "
    "half\"]}],\n"
    "\"steps\": [%s%s]}";
static const char before[] = "{\"name\": \"before\", \"section\": \"all\", \"guide\": {\"length\": 20}, "
                             "\"panels\": {\"thickness\": 8}}, ";

/* The balls of all made-up plans, one for each unit. */
static lw_head *balls[2];
static lw_scalp *roots[2];

static void lend_ball(carried_out *c, bool inches) {
    lw_error error = {0};
    if (!balls[inches] && (lw_head_new(&balls[inches], &c->plan.head, &error) ||
                           lw_scalp_new(&roots[inches], balls[inches], &c->plan.scalp, &error)))
        fail_msg("%s: %s", error.place, error.message);
    c->head = balls[inches], c->scalp = roots[inches], c->lent = true;
}

static int drop_balls(void **state) {
    (void)state;
    for (int i = 0; i < 2; i++) {
        lw_scalp_free(roots[i]);
        lw_head_free(balls[i]);
    }
    return 0;
}

/* The plan of one step, or of one after the step "before". */
static void make(carried_out *c, lw_units units, const char *hands, const char *step) {
    char text[4096];
    bool inches = units == LW_INCH;
    snprintf(text, sizeof text, frame_of_plan, inches ? "in" : "cm", inches ? "3.5" : "9",
             inches ? "14" : "35", hands, strstr(step, "\"before\"") ? before : "", step);
    carried_out_read(c, text, 200);
    lend_ball(c, inches);
    carry_out(c);
}

#define ALL "{\"section\": \"all\", "
#define G ", \"guide\": {\"length\": 10}}"
#define HELD                                                                                                 \
    " Hold each panel at its own place, straight out from the scalp (90 degrees), and cut with the line "    \
    "following the head."
#define TO_10 " Cut every panel to 10 cm."
#define LEVEL "From the bottom of the whole head, take level panels 4 cm thick."
#define P4 "\"panels\": {\"thickness\": 4}"

typedef struct made {
    const char *step, *says;
} made;

static void expect_said(lw_units units, const char *hands, const made *rows, size_t count) {
    for (size_t i = 0; i < count; i++) {
        carried_out c;
        char said[SAY_MAX];
        make(&c, units, hands, rows[i].step);
        say_step(said, &c.subject, c.plan.step_count, SAY_PLAIN, NULL);
        assert_string_equal(plain(said), rows[i].says);
        expect_step_marks(&c.subject, c.plan.step_count);
        put_away(&c);
    }
}

static void test_panels(void **state) {
    (void)state;
    static const made rows[] = {
        {ALL P4 G, LEVEL HELD TO_10},
        {ALL "\"panels\": {\"thickness\": 4, \"start\": \"top\"}" G,
         "From the top of the whole head, take level panels 4 cm thick." HELD TO_10},
        {ALL "\"panels\": {\"run\": \"upright\", \"thickness\": 4.5}" G,
         "From the back of the whole head, take upright panels 4.5 cm thick." HELD TO_10},
        {ALL "\"panels\": {\"run\": \"upright\", \"thickness\": 4, \"start\": \"front\"}" G,
         "From the front of the whole head, take upright panels 4 cm thick." HELD TO_10},
        {ALL "\"panels\": {\"run\": \"diagonal forward\", \"angle\": 25, \"thickness\": 4}" G,
         "From the bottom of the whole head, take diagonal panels 4 cm thick, sloping down toward the "
         "face "
         "at 25 degrees." HELD TO_10},
        {ALL "\"panels\": {\"run\": \"diagonal back\", \"angle\": 1, \"thickness\": 4}" G,
         "From the bottom of the whole head, take diagonal panels 4 cm thick, sloping down toward the "
         "back "
         "of the head at 1 degree." HELD TO_10},
        {ALL "\"panels\": {\"run\": \"across\", \"thickness\": 4}" G,
         "From the back of the whole head, take panels from side to side, 4 cm thick." HELD TO_10},
        {ALL "\"panels\": {\"run\": \"along\", \"thickness\": 4}" G,
         "From the left of the whole head, take panels from front to back, 4 cm thick." HELD TO_10},
        {ALL "\"panels\": {\"run\": \"along\", \"thickness\": 4, \"start\": \"right\"}" G,
         "From the right of the whole head, take panels from front to back, 4 cm thick." HELD TO_10},
        {ALL
         "\"panels\": {\"run\": \"radial\", \"pivot\": \"crown\", \"thickness\": 4, \"start\": \"centre\"}" G,
         "From the middle of the whole head, take panels that fan about the crown, 4 cm thick at the "
         "outer "
         "edge, going outward over one side and then over the other." HELD TO_10},
        {ALL "\"panels\": {\"run\": \"radial\", \"pivot\": {\"from\": \"crown\", \"to\": \"apex\", \"at\": "
             "\"half\"}, "
             "\"thickness\": 4, \"start\": \"centre\", \"order\": \"alternate\"}" G,
         "From the middle of the whole head, take panels that fan about the point halfway from the "
         "crown to "
         "the apex, 4 cm thick at the outer edge, going outward one panel on each side in turn." HELD TO_10},
        {"{\"section\": \"left half\", \"mirror\": \"right half\", " P4 G,
         "From the bottom of \xE2\x80\x9Cleft half\xE2\x80\x9D, take level panels 4 cm thick." HELD TO_10
         " Then do the same, mirrored, on \xE2\x80\x9Cright half\xE2\x80\x9D."},
        {ALL "\"panels\": {\"thickness\": 40}" G, "Take the whole head as one panel. Hold it at its own "
                                                  "place, straight out from the scalp (90 degrees), and "
                                                  "cut with the line following the head. Cut it to 10 cm."},
        {"{\"section\": \"left half\", \"mirror\": \"right half\", \"panels\": {\"thickness\": 40}" G,
         "Take \xE2\x80\x9Cleft half\xE2\x80\x9D as one panel. Hold it at its own place, straight out from "
         "the scalp "
         "(90 degrees), and cut with the line following the head. Cut it to 10 cm. Then do the same, "
         "mirrored, on "
         "\xE2\x80\x9Cright half\xE2\x80\x9D."},
    };
    expect_said(LW_CM, "", rows, COUNT(rows));
}

#define HOLD(json) ALL P4 ", \"hold\": {" json "}" G
#define LINED ", and cut with the line following the head." TO_10

static void test_holds(void **state) {
    (void)state;
    static const made rows[] = {
        {HOLD("\"elevation\": 0"),
         LEVEL " Hold each panel at its own place, flat in natural fall (0 degrees from the scalp)" LINED},
        {HOLD("\"elevation\": 1"),
         LEVEL " Hold each panel at its own place, at 1 degree from the scalp" LINED},
        {HOLD("\"elevation\": 45.4"),
         LEVEL " Hold each panel at its own place, at 45 degrees from the scalp" LINED},
        {HOLD("\"elevation\": 180"), LEVEL
         " Hold each panel at its own place, flat against natural fall (180 degrees from the scalp)" LINED},
        {HOLD("\"elevation\": 0, \"from\": \"plumb\""),
         LEVEL " Hold each panel at its own place, hanging straight down (0 degrees from plumb)" LINED},
        {HOLD("\"elevation\": 90, \"from\": \"plumb\""),
         LEVEL " Hold each panel at its own place, level (90 degrees from plumb)" LINED},
        {HOLD("\"elevation\": 180, \"from\": \"plumb\""),
         LEVEL " Hold each panel at its own place, straight up (180 degrees from plumb)" LINED},
        {HOLD("\"elevation\": 135, \"from\": \"plumb\""),
         LEVEL " Hold each panel at its own place, at 135 degrees from plumb" LINED},
        {HOLD("\"elevation\": 60, \"turn\": 15"), LEVEL " Hold each panel at its own place, at 60 degrees "
                                                        "from the scalp, turned 15 degrees clockwise as you "
                                                        "look at the head" LINED},
        {HOLD("\"elevation\": 90, \"turn\": -30"), LEVEL
         " Hold each panel at its own place, straight out from the scalp (90 degrees), turned 30 degrees "
         "anticlockwise as you look at the head" LINED},
        {HOLD("\"direction\": \"front\""),
         LEVEL " Hold every panel at its own place, straight to the front" LINED},
        {HOLD("\"direction\": \"back\""), LEVEL " Hold every panel at its own place, straight back" LINED},
        {HOLD("\"direction\": \"left\""),
         LEVEL " Hold every panel at its own place, straight out to the client's left" LINED},
        {HOLD("\"direction\": \"right\""),
         LEVEL " Hold every panel at its own place, straight out to the client's right" LINED},
        {HOLD("\"direction\": \"up\""), LEVEL " Hold every panel at its own place, straight up" LINED},
        {HOLD("\"direction\": \"down\""), LEVEL " Hold every panel at its own place, straight down" LINED},
        {HOLD("\"direction\": {\"bearing\": 135, \"rise\": 0}"), LEVEL
         " Hold every panel at its own place, at a bearing of 135 degrees from the front toward the client's "
         "left, level" LINED},
        {HOLD("\"direction\": {\"bearing\": -20, \"rise\": -1}"), LEVEL
         " Hold every panel at its own place, at a bearing of 20 degrees from the front toward the client's "
         "right and 1 degree below level" LINED},
        {HOLD("\"direction\": {\"bearing\": 20, \"rise\": 40}"), LEVEL
         " Hold every panel at its own place, at a bearing of 20 degrees from the front toward the client's "
         "left and 40 degrees above level" LINED},
        {HOLD("\"carry\": \"half\""), LEVEL " Carry each panel halfway to the panel before it, hold it "
                                            "straight out from the scalp (90 degrees)" LINED},
        {HOLD("\"carry\": \"whole\", \"toward\": \"previous\""), LEVEL
         " Carry each panel all the way to the panel before it, hold it straight out from the scalp (90 "
         "degrees)" LINED},
        {HOLD("\"carry\": \"3/4\""), LEVEL
         " Carry each panel 3/4 of the way to the panel before it, hold it straight out from the scalp (90 "
         "degrees)" LINED},
        {HOLD("\"carry\": 0.37"), LEVEL
         " Carry each panel 0.37 of the way to the panel before it, hold it straight out from the scalp (90 "
         "degrees)" LINED},
        {HOLD("\"carry\": 2"),
         LEVEL " Carry each panel 2 panels back, hold it straight out from the scalp (90 degrees)" LINED},
        {HOLD("\"carry\": 1.5"),
         LEVEL " Carry each panel 1 1/2 panels back, hold it straight out from the scalp (90 degrees)" LINED},
        {HOLD("\"direction\": \"up\", \"carry\": \"whole\", \"toward\": {\"panel\": 2}"),
         LEVEL " Carry every panel all the way to panel 2, hold it straight up" LINED},
        {HOLD("\"carry\": \"half\", \"toward\": {\"place\": \"ear top right\"}"), LEVEL
         " Carry each panel halfway to the top of the right ear, hold it straight out from the scalp (90 "
         "degrees)" LINED},
        {HOLD("\"carry\": \"1/3\", \"toward\": {\"place\": {\"from\": \"temple left\", \"to\": \"behind ear "
              "left\", "
              "\"at\": 0.4}}"),
         LEVEL
         " Carry each panel 1/3 of the way to the point 2/5 of the way from the left temple to the hairline "
         "behind the left ear, hold it straight out from the scalp (90 degrees)" LINED},
    };
    expect_said(LW_CM, "", rows, COUNT(rows));
}

#define OUT LEVEL " Hold each panel at its own place, straight out from the scalp (90 degrees), and cut "
#define LINE(json) ALL P4 ", \"line\": " json G
#define TILT(longer) LINE("{\"tilt\": 30, \"longer\": \"" longer "\"}")
#define TILTED(longer) OUT "a straight line tilted by 30 degrees, longer " longer "." TO_10

static void test_lines(void **state) {
    (void)state;
    static const made rows[] = {
        {LINE("\"straight\""), OUT "a straight line." TO_10},
        {TILT("bottom"), TILTED("downward")},
        {TILT("top"), TILTED("upward")},
        {TILT("front"), TILTED("toward the face")},
        {TILT("back"), TILTED("toward the back")},
        {TILT("left"), TILTED("toward the client's left")},
        {TILT("right"), TILTED("toward the client's right")},
        {LINE("{\"tilt\": 1, \"longer\": \"top\"}"),
         OUT "a straight line tilted by 1 degree, longer upward." TO_10},
    };
    expect_said(LW_CM, "", rows, COUNT(rows));
}

#define GUIDE(json) ALL P4 ", \"guide\": {" json "}}"
#define ONE(json) ALL "\"panels\": {\"thickness\": 40}, \"guide\": {" json "}}"
#define ONE_HELD                                                                                             \
    "Take the whole head as one panel. Hold it at its own place, straight out from the scalp (90 degrees), " \
    "and cut with the line following the head."

static void test_guides(void **state) {
    (void)state;
    static const made rows[] = {
        {GUIDE("\"length\": 9.25, \"at\": \"nape centre\""),
         LEVEL HELD " Cut every panel to 9.25 cm at the nape centre."},
        {GUIDE("\"kind\": \"travelling\", \"length\": 9"),
         LEVEL HELD " Cut the first panel to 9 cm and each next one to the panel before it."},
        {GUIDE("\"kind\": \"travelling\", \"length\": 9, \"at\": \"sideburn left\""), LEVEL HELD
         " Cut the first panel to 9 cm at the left sideburn and each next one to the panel before it."},
        {GUIDE("\"kind\": \"stationary\", \"length\": 9"),
         LEVEL HELD " Cut the first panel to 9 cm; it guides all the others."},
        {GUIDE("\"step\": \"before\""),
         LEVEL HELD " Each panel takes its length from the nearest hair of step 1, \xE2\x80\x9C"
                    "before\xE2\x80\x9D."},
        {GUIDE("\"kind\": \"travelling\", \"step\": \"before\""),
         LEVEL HELD " The first panel takes its length from step 1, \xE2\x80\x9C"
                    "before\xE2\x80\x9D; each next one takes it "
                    "from the panel before."},
        {GUIDE("\"kind\": \"stationary\", \"step\": \"before\""),
         LEVEL HELD " The first panel takes its length from step 1, \xE2\x80\x9C"
                    "before\xE2\x80\x9D and guides all the "
                    "others."},
        {ONE("\"kind\": \"travelling\", \"length\": 9, \"at\": \"parietal ridge right\""),
         ONE_HELD " Cut it to 9 cm at the right parietal ridge."},
        {ONE("\"kind\": \"stationary\", \"step\": \"before\""),
         ONE_HELD " It takes its length from the nearest hair of step 1, \xE2\x80\x9C"
                  "before\xE2\x80\x9D."},
    };
    expect_said(LW_CM, "", rows, COUNT(rows));
}

#define TECHNIQUE(json) ALL P4 ", \"technique\": {" json "}" G
#define TOOL(json) ALL P4 ", \"technique\": {" json "}}"

static void test_techniques(void **state) {
    (void)state;
    static const made rows[] = {
        {TECHNIQUE("\"point\": {\"depth\": 1, \"share\": \"half\"}"),
         LEVEL HELD TO_10 " Point into the ends: half of the hairs lose up to 1 cm."},
        {TECHNIQUE("\"point\": {\"depth\": 0.75, \"share\": 0.3}"),
         LEVEL HELD TO_10 " Point into the ends: 30 % of the hairs lose up to 0.75 cm."},
        {TECHNIQUE("\"slide\": {\"depth\": 2}"),
         LEVEL HELD TO_10 " Let the blades slide along the ends, so that hairs lose up to 2 cm."},
        {TECHNIQUE("\"thin\": {\"depth\": 4, \"share\": \"1/4\"}"),
         LEVEL HELD TO_10 " Thin the ends: 25 % of the hairs lose 4 cm."},
        {TOOL("\"over_comb\": {\"distance\": 1.5}"),
         LEVEL " Cut over the comb, held 1.5 cm from the scalp all the way."},
        {TOOL("\"over_comb\": {\"distance\": 1, \"rise\": \"1/4\"}"), LEVEL
         " Cut over the comb, held 1 cm from the scalp at the lowest panel and 0.25 cm further out for every "
         "centimetre it climbs."},
        {TOOL("\"clipper\": {\"guard\": 4}"), LEVEL " Clip every panel with guard 4 (1.3 cm)."},
        {TOOL("\"clipper\": {\"guard\": \"1 1/2\", \"to\": 8}"),
         LEVEL " Clip the first panel with guard 1 1/2 (0.5 cm) and change evenly to guard 8 (2.5 cm) at the "
               "last."},
        {ALL "\"panels\": {\"thickness\": 40}, \"technique\": {\"clipper\": {\"guard\": 4, \"to\": 2}}}",
         "Take the whole head as one panel. Clip it with guard 4 (1.3 cm)."},
        {ALL P4 ", \"cut\": \"wet\"" G,
         LEVEL HELD TO_10 " Cut this step wet, the hair stretched under the comb."},
        {ALL P4 ", \"cut\": \"dry\"" G,
         LEVEL HELD TO_10 " Cut this step dry, the hair straight under the comb."},
        {ALL P4 ", \"cut\": \"curled\"" G, LEVEL HELD TO_10 " Cut this step dry, where the curl lies."},
    };
    expect_said(LW_CM, "", rows, COUNT(rows));
}

static void test_inches_and_bites(void **state) {
    (void)state;
    static const made rows[] = {
        {ALL "\"panels\": {\"thickness\": \"1 3/4\"}, \"line\": \"straight\", \"guide\": {\"length\": \"4 "
             "7/8\"}}",
         "From the bottom of the whole head, take level panels 1 3/4 in thick. Hold each panel at its "
         "own "
         "place, straight out from the scalp (90 degrees), and cut a straight line. Cut every panel to 4 7/8 "
         "in. "
         "Where the line is longer than 2 1/2 in, cut it bite by bite, each to the one beside it."},
        {ALL "\"panels\": {\"thickness\": 2}, \"guide\": {\"length\": 0.07}}",
         "From the bottom of the whole head, take level panels 2 in thick." HELD
         " Cut every panel to 1/8 in."},
        {ALL "\"panels\": {\"thickness\": 2}, \"technique\": {\"over_comb\": {\"distance\": \"3/8\", "
             "\"rise\": 0.5}}}",
         "From the bottom of the whole head, take level panels 2 in thick. Cut over the comb, held "
         "3/8 in from "
         "the scalp at the lowest panel and 1/2 in further out for every inch it climbs."},
    };
    expect_said(LW_INCH, "\"span\": \"2 1/2\", \"bites\": true", rows, COUNT(rows));
}

/* ---- gaps ---- */

static void test_gaps(void **state) {
    (void)state;
    carried_out c;
    char said[SAY_MAX];
    int gap = 7;
    make(
        &c, LW_CM, "\"span\": 7, \"bites\": true",
        ALL
        "\"panels\": {\"run\": \"diagonal back\", \"angle\": 30, \"thickness\": 4}, \"hold\": {\"carry\": "
        "2}, "
        "\"line\": {\"tilt\": 20, \"longer\": \"top\"}, \"technique\": {\"point\": {\"depth\": 1, \"share\": "
        "\"half\"}}" G);
    say_step(said, &c.subject, 1, SAY_GAPS, &gap);
    assert_string_equal(plain(said),
                        "From the bottom of the whole head, take diagonal panels (8) ______ cm thick, "
                        "sloping down toward the "
                        "back of the head at (9) ______ degrees. Carry each panel (10) ______ panels back, "
                        "hold it at (11) ______ "
                        "degrees from the scalp, and cut a straight line tilted by (12) ______ degrees, "
                        "longer upward. Cut every "
                        "panel to (13) ______ cm. Where the line is longer than (14) ______ cm, cut it bite "
                        "by bite, each to the one beside it. "
                        "Point into the ends: (15) ______ of the hairs lose up to (16) ______ cm.");
    assert_int_equal(gap, 16);
    gap = 7;
    say_step(said, &c.subject, 1, SAY_ANSWERS, &gap);
    assert_string_equal(plain(said), "(8) 4 cm   (9) 30 degrees   (10) 2 panels back   (11) 90 degrees   "
                                     "(12) 20 degrees   (13) 10 cm   (14) 7 cm   (15) half of   (16) 1 cm");
    assert_int_equal(gap, 16);
    put_away(&c);
}

/* No number stands in a sentence with gaps but the gaps' own, in their order, and names'. */
static int count_gaps(const char *said, int first) {
    int gaps = 0;
    for (const char *c = said; *c; c++) {
        if (strncmp(c, "\xE2\x80\x9C", 3) == 0) c = strstr(c, "\xE2\x80\x9D");
        if (strncmp(c, "panel 1,", 8) == 0) c += 7;             /* a panel is named by its number */
        if (strncmp(c, "step ", 5) == 0 && c[6] == ',') c += 6; /* so is a step */
        if (strncmp(c, "point 2/5 of", 12) == 0) c += 9;        /* and a place by the way to it */
        if (*c < '0' || *c > '9') continue;
        char *end;
        long number = strtol(c, &end, 10);
        if (number != first + gaps || c[-1] != '(' || strncmp(end, ") ______", 8) != 0)
            fail_msg("a number in \"%s\" at \"%s\"", said, c);
        gaps++;
        c = end;
    }
    return gaps;
}

static void test_gaps_of_examples(void **state) {
    (void)state;
    static const char *const names[] = {"clipper-fade", "disconnected-layers", "one-length-bob",
                                        "short-mixed-shapes", "tight-curls"};
    for (size_t i = 0; i < COUNT(names); i++) {
        carried_out c;
        char said[SAY_MAX], answers[SAY_MAX], find[16];
        int gap = 0, answered = 0;
        carry_out_example(&c, names[i], 1000);
        for (int step = 1; step <= c.plan.step_count; step++)
            for (int part = 0; part < 3; part++) {
                void (*say)(char *, const draw_subject *, int, say_form, int *) = part == 0   ? say_step
                                                                                  : part == 1 ? say_result
                                                                                              : say_warnings;
                int first = gap + 1;
                say(said, &c.subject, step, SAY_GAPS, &gap);
                say(answers, &c.subject, step, SAY_ANSWERS, &answered);
                assert_int_equal(count_gaps(plain(said), first), gap - first + 1);
                assert_int_equal(answered, gap);
                for (int k = first; k <= gap; k++) {
                    snprintf(find, sizeof find, "(%d) ", k);
                    assert_non_null(strstr(plain(answers), find));
                }
            }
        assert_true(gap > 10);
        put_away(&c);
    }
}

/* ---- warnings, cautions, lengths ---- */

static void test_warnings(void **state) {
    (void)state;
    carried_out c;
    char said[SAY_MAX];
    int gap = 0;
    carry_out_example(&c, "short-mixed-shapes", 0);
    say_warnings(said, &c.subject, 2, SAY_PLAIN, NULL);
    assert_string_equal(plain(said),
                        "Watch out: the line is longer than the hand in 6 of 7 panels: 9.5 cm near the "
                        "occipital bone, and the hand spans 9 cm. Take narrower panels, or cut "
                        "the line in bites.");
    say_warnings(said, &c.subject, 2, SAY_GAPS, &gap);
    assert_string_equal(plain(said),
                        "Watch out: the line is longer than the hand in (1) ______ of (2) ______ panels: "
                        "(3) ______ cm near the occipital bone, and the hand spans (4) ______ cm. "
                        "Take narrower panels, or cut the line in bites.");
    say_warnings(said, &c.subject, 1, SAY_PLAIN, NULL);
    assert_string_equal(said, "");
    say_message(said, sizeof said, "\"a\" is 172 cm2 and 20 mm wide", LW_INCH);
    assert_string_equal(plain(said), LQ "a" RQ " is 27 sq in and 3/4 in wide");
    put_away(&c);
}

static void test_cautions(void **state) {
    (void)state;
    carried_out c;
    char said[CAUTION_MAX];
    carry_out_example(&c, "clipper-fade", 500);
    caution_of_step(said, &c.subject, 1); /* the back, by clipper, up to the ears */
    assert_string_equal(
        said, "Check that the guard is locked. Fold the ear down and see it before the blades close.");
    caution_of_step(said, &c.subject,
                    2); /* the sides by clipper, to the temples: what step 1 said is known */
    assert_null(strstr(said, "guard"));
    assert_null(strstr(said, "Fold"));
    caution_of_step(said, &c.subject, 4); /* the top, to the front hairline, as step 3 was to the temples */
    assert_string_equal(said, "");
    c.plan.steps[3].technique.kind = LW_SLIDE;
    caution_of_step(said, &c.subject, 4);
    assert_string_equal(said, "The blades stay open as they slide: keep fingers out of their way.");
    int clipped = 0;
    while (tell_caution(&c.plan, clipped)) clipped++;
    assert_non_null(strstr(tell_caution(&c.plan, 1), "guard is locked"));
    assert_non_null(strstr(tell_caution(&c.plan, clipped - 1), "Local rules"));
    for (int i = 0; i < c.plan.step_count; i++) c.plan.steps[i].technique.kind = LW_SLIDE;
    assert_non_null(tell_caution(&c.plan, clipped - 2));
    assert_null(tell_caution(&c.plan, clipped - 1));
    caution_of_step(said, &c.subject, 3);
    assert_string_equal(said, "Ask for closed eyes, and keep points away from them.");
    put_away(&c);
}

static void test_partings(void **state) {
    (void)state;
    static const struct {
        const char *parting, *says;
    } rows[] = {
        {"{\"centre\": 0}", "down the centre: " LQ "a" RQ " on the left, " LQ "b" RQ " on the right."},
        {"{\"centre\": -1.5}", "from front to back, 1.5 cm to the client's right of the midline: " LQ "a" RQ
                               " on the left, " LQ "b" RQ " on the right."},
        {"{\"level\": \"crown\", \"raise\": -1}",
         "level through the crown, 1 cm lower: " LQ "a" RQ " above, " LQ "b" RQ " below."},
        {"{\"upright\": \"ear top left\", \"forward\": 2}",
         "upright from side to side through the top of the left ear, 2 cm nearer the face: " LQ "a" RQ
         " in front, " LQ "b" RQ " behind."},
        {"{\"through\": [\"apex\", \"temple left\", \"temple right\"], \"toward\": \"crown\"}",
         "flat through the apex, the left temple and the right temple: " LQ "a" RQ
         " on the side of the crown, " LQ "b" RQ " on the other."},
        {"{\"chain\": [\"temple left\", \"apex\", \"temple right\"], \"toward\": \"crown\"}",
         "from the left temple by the apex to the right temple: " LQ "a" RQ " on the side of the crown, " LQ
         "b" RQ " on the other."},
        {"{\"chain\": [\"apex\", \"crown\"], \"closed\": true}",
         "from the apex to the crown and back to the beginning: " LQ "a" RQ " inside, " LQ "b" RQ
         " outside."},
        {"\"parietal ridge\"", "round the parietal ridge: " LQ "a" RQ " inside, " LQ "b" RQ " outside."},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        char text[512], said[SAY_MAX], marked[SAY_MAX], wanted[512];
        lw_plan plan;
        lw_error error;
        snprintf(
            text, sizeof text,
            "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\", \"sections\": [{\"split\": "
            "\"all\", \"parting\": %s, \"into\": [\"a\", \"b\"]}]}",
            rows[i].parting);
        if (lw_plan_read(&plan, text, strlen(text), &error)) fail_msg("%s in %s", error.message, text);
        snprintf(wanted, sizeof wanted, "Part the whole head %s", rows[i].says);
        say_parting(said, &plan, 0, SAY_PLAIN);
        say_parting(marked, &plan, 0, SAY_MARKED);
        assert_true(expect_marks(marked, said) >= 4);
        assert_string_equal(plain(said), wanted);
        lw_plan_clear(&plan);
    }
}

/* A step that is left out stays in the plan; so does one that goes on from it, and a warning says so. */
static void test_left_out(void **state) {
    (void)state;
    carried_out c = {0};
    char said[SAY_MAX], marked[SAY_MAX];
    example_read(&c.plan, "graduated-bob");
    c.plan.scalp.count = 500;
    c.plan.steps[0].off = true;
    carry_out(&c);
    assert_int_equal(lw_cut_panel_count(c.cut), 0);
    const lw_warning *w = lw_cut_warning(c.cut, 0);
    assert_int_equal(w->code, LW_WARN_GUIDE_LEFT_OUT);
    assert_int_equal(w->step, 2);
    assert_string_equal(
        w->message,
        "step 2 (sides) takes its guide from \"back\", which is not cut, so it is not cut either");
    for (int step = 1; step <= 2; step++) {
        assert_false(lw_step_is_cut(&c.plan, step - 1));
        say_step(said, &c.subject, step, SAY_PLAIN, NULL);
        assert_string_equal(said, "This step is left out.");
        say_step(marked, &c.subject, step, SAY_MARKED, NULL);
        assert_non_null(strstr(marked, "25"));
        caution_of_step(said, &c.subject, step);
        assert_string_equal(said, "");
    }
    put_away(&c);
    c = (carried_out){0};
    example_read(&c.plan, "graduated-bob");
    c.plan.scalp.count = 500;
    c.plan.steps[1].off = true;
    carry_out(&c);
    assert_true(lw_step_is_cut(&c.plan, 0) && lw_cut_panel_count(c.cut) > 0);
    for (int i = 0; i < lw_cut_panel_count(c.cut); i++) assert_int_equal(lw_cut_panel(c.cut, i)->step, 1);
    assert_int_equal(lw_cut_warning(c.cut, 0)->code, LW_WARN_UNTOUCHED);
    put_away(&c);
}

/* ---- remedies for a machine ---- */

/* The edits of the first warning with that code, as JSON on one line. */
static void expect_edits(const carried_out *c, lw_warning_code code, const char *wanted) {
    for (int i = 0; i < lw_cut_warning_count(c->cut); i++) {
        const lw_warning *w = lw_cut_warning(c->cut, i);
        if (w->code != code) continue;
        json j = {0};
        put_open_inline(&j, NULL, '{');
        put_edits(&j, "edits", &c->plan, w);
        put_close(&j, '}');
        assert_false(j.text.failed);
        assert_string_equal(j.text.at, wanted);
        free(j.text.at);
        return;
    }
    fail_msg("no warning of \"%s\"", lw_warning_name(code));
}

static void test_remedies(void **state) {
    (void)state;
    carried_out c = {0};
    carry_out_example(&c, "short-mixed-shapes", 500);
    expect_edits(&c, LW_WARN_LINE_TOO_LONG,
                 "{\"edits\": [{\"path\": [\"hands\", \"bites\"], \"value\": true}]}\n");
    expect_edits(&c, LW_WARN_UNEVEN_HALVES, "{\"edits\": null}\n"); /* its centre parting is in the centre */
    put_away(&c);
    carry_out_example(&c, "clipper-fade", 500);
    expect_edits(&c, LW_WARN_UNEVEN_HALVES,
                 "{\"edits\": [{\"path\": [\"sections\", 4, \"parting\", \"centre\"], \"value\": 0}]}\n");
    put_away(&c);
    c = (carried_out){0};
    example_read(&c.plan, "graduated-bob");
    c.plan.scalp.count = 500;
    c.plan.steps[0].off = true;
    carry_out(&c);
    expect_edits(&c, LW_WARN_GUIDE_LEFT_OUT,
                 "{\"edits\": [{\"path\": [\"steps\", 0, \"off\"], \"value\": null}]}\n");
    expect_edits(&c, LW_WARN_UNTOUCHED, "{\"edits\": null}\n"); /* its step is there, and left out */
    put_away(&c);
    c = (carried_out){0};
    example_read(&c.plan, "graduated-bob");
    c.plan.scalp.count = 500;
    c.plan.step_count = 1;
    carry_out(&c);
    expect_edits(
        &c, LW_WARN_UNTOUCHED,
        "{\"edits\": [{\"path\": [\"steps\", 1], \"value\": {\"name\": \"left side\", \"section\": \"left "
        "side\", "
        "\"mirror\": \"right side\", \"guide\": {\"kind\": \"travelling\", \"step\": \"back\"}}}]}\n");
    put_away(&c);
}

static void test_lengths(void **state) {
    (void)state;
    static const struct {
        double metres;
        lw_units units;
        const char *says, *plan;
    } rows[] = {
        {.125, LW_CM, "12.5 cm", "12.5 cm"},
        {.03, LW_CM, "3 cm", "3 cm"},
        {.1, LW_CM, "10 cm", "10 cm"},
        {.00249, LW_CM, "0.2 cm", "0.25 cm"},
        {.0004, LW_CM, "0 cm", "0.04 cm"},
        {-.0004, LW_CM, "0 cm", "-0.04 cm"},
        {0, LW_INCH, "0 in", "0 in"},
        {4.875 * .0254, LW_INCH, "4 7/8 in", "4 7/8 in"},
        {.0254, LW_INCH, "1 in", "1 in"},
        {.0254 * .99, LW_INCH, "1 in", "1 in"},
        {.0254 * .625, LW_INCH, "5/8 in", "5/8 in"},
        {-.0254 * .5, LW_INCH, "-1/2 in", "-1/2 in"},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        char said[32];
        say_length(said, rows[i].metres, rows[i].units);
        assert_string_equal(said, rows[i].says);
        say_plan_length(said, rows[i].metres, rows[i].units);
        assert_string_equal(said, rows[i].plan);
    }
}

/* Every landmark has words for itself. */
static void test_places(void **state) {
    (void)state;
    char one[SAY_PLACE_MAX], other[SAY_PLACE_MAX];
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        say_place(one, (lw_place){i, -1, 0});
        assert_true(strncmp(one, "the ", 4) == 0);
        for (int k = 0; k < i; k++) {
            say_place(other, (lw_place){k, -1, 0});
            assert_string_not_equal(one, other);
        }
    }
    say_place(one, (lw_place){-1, -1, 0});
    assert_string_equal(one, "");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_examples),
        cmocka_unit_test(test_panels),
        cmocka_unit_test(test_holds),
        cmocka_unit_test(test_lines),
        cmocka_unit_test(test_guides),
        cmocka_unit_test(test_techniques),
        cmocka_unit_test(test_inches_and_bites),
        cmocka_unit_test(test_partings),
        cmocka_unit_test(test_left_out),
        cmocka_unit_test(test_remedies),
        cmocka_unit_test(test_gaps),
        cmocka_unit_test(test_gaps_of_examples),
        cmocka_unit_test(test_warnings),
        cmocka_unit_test(test_cautions),
        cmocka_unit_test(test_lengths),
        cmocka_unit_test(test_places),
    };
    return cmocka_run_group_tests(tests, NULL, drop_balls);
}
