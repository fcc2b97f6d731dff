/* Every example is a cut that a teacher would recognise: what is held here is what she would look for.
 *
 * The lengths asked for come from the plan itself (a guide of 5 cm cut wet is 5 cm less the stretch when dry)
 * and from common practice; the tolerances are how closely a hand could follow, unless a line says otherwise.
 * All examples together must use all that a plan can say. */
#define _POSIX_C_SOURCE 200809L
#include <dirent.h>
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
#include "lengthwise.h"
#include "near.h"

#define PI 3.14159265358979323846
#define MM 1e-3
#define GUARD (0.0254 / 8) /* common practice: guards step by an eighth of an inch */
#define WARNINGS_MOST 2

typedef struct example {
    const char *name;
    bool even;         /* both sides alike */
    int warning_count; /* and which, in their order */
    lw_warning_code warning[WARNINGS_MOST];
} example;

static const example examples[] = {
    {.name = "one-length-bob", .even = true},
    {.name = "graduated-bob", .even = true},
    {.name = "uniform-layers", .even = true},
    {.name = "increasing-layers", .even = true},
    {.name = "short-mixed-shapes",
     .warning_count = 2,
     .warning = {LW_WARN_LINE_TOO_LONG, LW_WARN_UNEVEN_HALVES}},
    {.name = "clipper-fade", .warning_count = 1, .warning = {LW_WARN_UNEVEN_HALVES}},
    {.name = "fringe", .warning_count = 1, .warning = {LW_WARN_UNTOUCHED}},
    {.name = "tight-curls", .even = true},
    {.name = "disconnected-layers"},
};
enum { EXAMPLES = sizeof examples / sizeof *examples };

static void cut_example(carried_out *d, const char *name) {
    lw_cut_options options = lw_cut_default();
    options.threads = 1;
    example_read(&d->plan, name);
    d->plan.scalp.count = 3000;
    carry_out_with(d, options);
}

static int cut_all(void **state) {
    carried_out *all = calloc(EXAMPLES, sizeof *all);
    if (!all) return -1;
    for (int i = 0; i < EXAMPLES; i++) cut_example(&all[i], examples[i].name);
    *state = all;
    return 0;
}

static int drop_all(void **state) {
    carried_out *all = *state;
    for (int i = 0; i < EXAMPLES; i++) put_away(&all[i]);
    free(all);
    return 0;
}

static const carried_out *example_done(void **state, const char *name) {
    int i = 0;
    while (strcmp(examples[i].name, name)) i++;
    return (const carried_out *)*state + i;
}

static double length_at(const carried_out *d, lw_landmark id) { return d->reading.landmark[id]; }

static int part_index(const carried_out *d, const char *name) {
    for (int i = 0; i < lw_cut_section_count(d->cut); i++)
        if (!strcmp(lw_cut_section(d->cut, i)->name, name)) return i;
    fail_msg("there is no part %s", name);
    return -1;
}

static const lw_strip *strip_named(const carried_out *d, const char *name) {
    for (int i = 0; i < d->reading.strip_count; i++)
        if (!strcmp(d->reading.strips[i].name, name)) return &d->reading.strips[i];
    fail_msg("there is no strip %s", name);
    return NULL;
}

static const lw_band *band_named(const carried_out *d, const char *name) {
    for (int i = 0; i < d->reading.band_count; i++)
        if (!strcmp(d->reading.bands[i].name, name)) return &d->reading.bands[i];
    fail_msg("there is no band %s", name);
    return NULL;
}

static void assert_profile(const carried_out *d, const char *strip, lw_profile wanted) {
    const lw_strip *s = strip_named(d, strip);
    if (s->profile != wanted)
        fail_msg("%s reads %s, not %s (slope %.2f)", strip, lw_profile_name(s->profile),
                 lw_profile_name(wanted), s->slope);
}

static void assert_shape(const carried_out *d, const char *band, lw_shape wanted) {
    const lw_band *b = band_named(d, band);
    if (b->shape != wanted)
        fail_msg("%s reads %s, not %s (gain %.1f mm)", band, lw_shape_name(b->shape), lw_shape_name(wanted),
                 1e3 * b->gain);
}

static int step_index(const carried_out *d, const char *name) {
    for (int i = 0; i < d->plan.step_count; i++)
        if (!strcmp(d->plan.steps[i].name, name)) return i;
    fail_msg("there is no step %s", name);
    return -1;
}

/* Where the panel that set hair i holds its end, from what the panel says of itself; false if none set it. */
static bool held_end(const carried_out *d, int i, lw_vec3 *out) {
    int k = lw_cut_set_by(d->cut)[i];
    if (k < 0) return false;
    const lw_panel *p = lw_cut_panel(d->cut, k);
    const lw_line_point *l = lw_cut_lines(d->cut) + p->line_first;
    if (p->follows || p->line_count != 2) return false;
    lw_vec3 root = lw_scalp_root(d->scalp, i);
    double s = (root.x - p->anchor.x) * p->parting.x + (root.y - p->anchor.y) * p->parting.y +
               (root.z - p->anchor.z) * p->parting.z;
    double t = l[0].t + (s - l[0].s) / (l[1].s - l[0].s) * (l[1].t - l[0].t);
    *out = (lw_vec3){p->place.x + t * p->direction.x + s * p->finger.x,
                     p->place.y + t * p->direction.y + s * p->finger.y,
                     p->place.z + t * p->direction.z + s * p->finger.z};
    return true;
}

static int step_of(const carried_out *d, int i) {
    int k = lw_cut_set_by(d->cut)[i];
    return k < 0 ? -1 : lw_cut_panel(d->cut, k)->step - 1;
}

/* ---- every example ------------------------------------------------------------------------- */

static void check_warnings(const carried_out *d, const example *e) {
    for (int i = 0; i < lw_cut_warning_count(d->cut); i++) {
        const lw_warning *w = lw_cut_warning(d->cut, i);
        if (i >= e->warning_count || w->code != e->warning[i])
            fail_msg("%s warns of %s: %s", e->name, lw_warning_name(w->code), w->message);
    }
    assert_int_equal(lw_cut_warning_count(d->cut), e->warning_count);
}

static void check_hairs(const carried_out *d, const example *e) {
    const double *length = lw_cut_lengths(d->cut), *before = lw_cut_before(d->cut);
    int cut = 0;
    for (int i = 0; i < lw_scalp_count(d->scalp); i++) {
        assert_true(length[i] > 0 && length[i] <= before[i]);
        assert_int_equal(lw_cut_set_by(d->cut)[i] >= 0, length[i] < before[i]);
        cut += length[i] < before[i];
        if (e->even && i % 2) assert_near(length[i], length[i - 1], 1e-9);
    }
    assert_true(cut > 0);
}

static void check_threads(const carried_out *d) {
    lw_cut *two;
    lw_error error;
    lw_cut_options options = lw_cut_default();
    options.threads = 2;
    assert_int_equal(lw_cut_new(&two, d->head, d->scalp, &d->plan, &options, &error), LW_OK);
    size_t size = sizeof(double) * (size_t)lw_scalp_count(d->scalp);
    assert_memory_equal(lw_cut_lengths(two), lw_cut_lengths(d->cut), size);
    lw_cut_free(two);
}

static void every_example_does_what_its_note_says(void **state) {
    for (int i = 0; i < EXAMPLES; i++) {
        carried_out d = *example_done(state, examples[i].name);
        check_warnings(&d, &examples[i]);
        check_hairs(&d, &examples[i]);
        check_threads(&d);
        assert_non_null(strstr(d.plan.note, "Osiermead"));
        assert_non_null(strstr(d.plan.note, "invented"));
    }
}

static void no_example_is_left_out(void **state) {
    (void)state;
    char where[4000];
    example_path(where, sizeof where, "");
    DIR *dir = opendir(where);
    assert_non_null(dir);
    int found = 0;
    for (struct dirent *entry; (entry = readdir(dir));) {
        size_t n = strlen(entry->d_name);
        if (n < 5 || strcmp(entry->d_name + n - 5, ".json")) continue;
        bool listed = false;
        for (int i = 0; i < EXAMPLES; i++)
            listed |= strlen(examples[i].name) == n - 5 && !strncmp(examples[i].name, entry->d_name, n - 5);
        if (!listed) fail_msg("%s has no test", entry->d_name);
        found++;
    }
    closedir(dir);
    assert_int_equal(found, EXAMPLES);
}

/* ---- each for itself ------------------------------------------------------------------------ */

static double dry(const carried_out *d, double wet) { return wet / (1 + d->plan.hair.wet_stretch); }

static void bob_hangs_to_one_line(void **state) {
    carried_out d = *example_done(state, "one-length-bob");
    for (int i = 0; i < d.reading.strip_count - 1; i++) /* all but the front, which is combed to the side */
        assert_profile(&d, d.reading.strips[i].name, LW_ONE_LENGTH);
    assert_near(length_at(&d, LW_NAPE_CENTRE), dry(&d, 0.05), 0.5 * MM);
    /* one line round the head, as even as a comb and a hand make it */
    double low = INFINITY, high = -INFINITY;
    for (int i = 0; i < lw_scalp_count(d.scalp); i++) {
        lw_vec3 end;
        assert_true(held_end(&d, i, &end));
        low = fmin(low, end.y), high = fmax(high, end.y);
    }
    if (high - low > 5 * MM) fail_msg("the ends hang between %.1f and %.1f mm", 1e3 * low, 1e3 * high);
    assert_true(length_at(&d, LW_NAPE_CENTRE) < length_at(&d, LW_OCCIPITAL_BONE));
    assert_true(length_at(&d, LW_OCCIPITAL_BONE) < length_at(&d, LW_CROWN));
    assert_true(length_at(&d, LW_CROWN) < length_at(&d, LW_APEX));
}

static void graduated_bob_builds_upward_and_drops_to_the_face(void **state) {
    carried_out d = *example_done(state, "graduated-bob");
    assert_profile(&d, "centre back, nape to crown", LW_GRADUATED);
    assert_profile(&d, "behind the left ear, up to the crown", LW_GRADUATED);
    assert_profile(&d, "left side, ear to parietal ridge", LW_GRADUATED);
    assert_near(length_at(&d, LW_NAPE_CENTRE), dry(&d, 0.03), 0.5 * MM);
    assert_true(length_at(&d, LW_OCCIPITAL_BONE) > 1.8 * length_at(&d, LW_NAPE_CENTRE));
    assert_true(length_at(&d, LW_CROWN) > 1.5 * length_at(&d, LW_OCCIPITAL_BONE));
    /* round the side the length grows toward the face (this band runs from the back to the front) */
    const lw_band *side = band_named(&d, "left side, above the ear (front to back)");
    assert_true(side->to + 0.02 < side->centre && side->centre < side->from);
}

static void uniform_layers_are_one_length_all_over(void **state) {
    carried_out d = *example_done(state, "uniform-layers");
    for (int i = 0; i < d.reading.strip_count; i++)
        assert_profile(&d, d.reading.strips[i].name, LW_UNIFORM_LAYERS);
    for (int i = 0; i < d.reading.band_count; i++) assert_shape(&d, d.reading.bands[i].name, LW_ROUND);
    for (int i = 0; i < LW_LANDMARK_COUNT; i++)
        assert_near(length_at(&d, (lw_landmark)i), dry(&d, 0.09), 1 * MM);
    assert_true(d.reading.cross_check < 2 * MM);
}

static void increasing_layers_lengthen_downward(void **state) {
    carried_out d = *example_done(state, "increasing-layers");
    for (int i = 0; i < d.reading.strip_count; i++)
        assert_profile(&d, d.reading.strips[i].name, LW_INCREASING_LAYERS);
    assert_near(length_at(&d, LW_APEX), dry(&d, 0.18), 0.5 * MM);
    assert_true(length_at(&d, LW_APEX) < length_at(&d, LW_CROWN));
    assert_true(length_at(&d, LW_CROWN) + 0.05 < length_at(&d, LW_OCCIPITAL_BONE));
    assert_true(length_at(&d, LW_OCCIPITAL_BONE) + 0.05 < length_at(&d, LW_NAPE_CENTRE));
    assert_true(d.reading.cross_check < 10 * MM);
}

static void short_cut_has_a_shape_in_every_section(void **state) {
    carried_out d = *example_done(state, "short-mixed-shapes");
    assert_near(length_at(&d, LW_NAPE_CENTRE), 3 * GUARD, 0.1 * MM);
    /* square back: all ends lie in one upright plane behind the head, so hair further round it is longer */
    int back = step_index(&d, "back"), n = 0;
    double low = INFINITY, high = -INFINITY, middle = NAN, corner = NAN, least = INFINITY, most = 0;
    for (int i = 0; i < lw_scalp_count(d.scalp); i++) {
        lw_vec3 end, root = lw_scalp_root(d.scalp, i);
        if (step_of(&d, i) != back || !held_end(&d, i, &end)) continue;
        low = fmin(low, end.z), high = fmax(high, end.z), n++;
        if (fabs(root.y - 0.04) > 0.01) continue;
        if (fabs(root.x) < least) least = fabs(root.x), middle = lw_cut_lengths(d.cut)[i];
        if (fabs(root.x) > most) most = fabs(root.x), corner = lw_cut_lengths(d.cut)[i];
    }
    assert_true(n > 100 && most > 0.04);
    if (high - low > 3 * MM) fail_msg("the back lies between %.1f and %.1f mm", 1e3 * low, 1e3 * high);
    assert_true(corner > middle + 0.008);
    /* round sides */
    assert_shape(&d, "left side, above the ear (front to back)", LW_ROUND);
    assert_shape(&d, "right side, above the ear (front to back)", LW_ROUND);
    assert_profile(&d, "left side, ear to parietal ridge", LW_UNIFORM_LAYERS);
    /* a top that grows to the left, and is longest in front */
    int top = part_index(&d, "front top");
    assert_true(d.reading.balance[top] > 5 * MM);
    assert_true(length_at(&d, LW_FRONT_HAIRLINE) > length_at(&d, LW_APEX) + 0.02);
    /* a lightened crown: a share of its hairs is up to two centimetres shorter */
    int patch = part_index(&d, "crown patch"), thinned = 0, all = 0;
    for (int i = 0; i < lw_scalp_count(d.scalp); i++) {
        if (lw_cut_sections(d.cut)[i] != patch) continue;
        all++;
        thinned += lw_cut_lengths(d.cut)[i] < lw_cut_at(d.cut, lw_scalp_root(d.scalp, i)) - 0.01;
    }
    assert_true(all > 20);
    assert_near((double)thinned / all, 0.3, 3 * sqrt(0.3 * 0.7 / all)); /* three standard deviations */
}

static void fade_climbs_by_guards(void **state) {
    carried_out d = *example_done(state, "clipper-fade");
    static const lw_landmark low[] = {LW_NAPE_CENTRE, LW_NAPE_CORNER_LEFT, LW_NAPE_CORNER_RIGHT,
                                      LW_SIDEBURN_LEFT, LW_SIDEBURN_RIGHT};
    for (size_t i = 0; i < sizeof low / sizeof *low; i++) assert_near(length_at(&d, low[i]), GUARD, 1e-9);
    assert_near(length_at(&d, LW_EAR_TOP_LEFT), 3 * GUARD, 1e-9);
    assert_near(length_at(&d, LW_EAR_TOP_RIGHT), 3 * GUARD, 1e-9);
    /* between them nothing but the way from guard 1 to guard 3, and never shorter further up */
    int lower = part_index(&d, "lower");
    assert_true(d.reading.sections[lower].low >= GUARD - 1e-9);
    assert_true(d.reading.sections[lower].high <= 3 * GUARD + 1e-9);
    double before = 0;
    for (int i = 0; i <= 40; i++) {
        lw_vec3 p = lw_head_between(d.head, lw_head_landmark(d.head, LW_NAPE_CENTRE),
                                    lw_head_landmark(d.head, LW_CROWN), i / 41.0);
        double here = lw_cut_at(d.cut, p);
        assert_true(here >= before - 1e-9 && here - before < 4 * MM);
        before = here;
    }
    /* carried two back, the top grows to the front */
    assert_true(length_at(&d, LW_HIGH_CROWN) + 0.02 < length_at(&d, LW_APEX));
    assert_true(length_at(&d, LW_APEX) + 0.04 < length_at(&d, LW_FRONT_HAIRLINE));
    /* less lies left of the parting, and it is shorter */
    int left = part_index(&d, "left of the parting"), right = part_index(&d, "right of the parting");
    assert_true(lw_cut_section(d.cut, left)->area < 0.5 * lw_cut_section(d.cut, right)->area);
    assert_true(d.reading.sections[left].high < d.reading.sections[right].mean);
}

static void fringe_hangs_to_the_brow(void **state) {
    carried_out d = *example_done(state, "fringe");
    int fringe = part_index(&d, "fringe"), rest = part_index(&d, "rest"), pointed = 0, all = 0;
    assert_near(length_at(&d, LW_FRONT_HAIRLINE), dry(&d, 0.065), 0.5 * MM);
    for (int i = 0; i < lw_scalp_count(d.scalp); i++) {
        double length = lw_cut_lengths(d.cut)[i], line = lw_cut_at(d.cut, lw_scalp_root(d.scalp, i));
        if (lw_cut_sections(d.cut)[i] == rest) assert_true(length == lw_cut_before(d.cut)[i]);
        if (lw_cut_sections(d.cut)[i] != fringe) continue;
        all++;
        pointed += length < line - 1e-6;
        assert_true(length <= line + 1e-9 && length >= line - 8 * MM - 1e-9);
    }
    assert_true(all > 30);
    assert_near((double)pointed / all, 0.5, 3 * sqrt(0.25 / all)); /* three standard deviations */
    /* further up the forehead hair needs as much more length as it has further to go */
    lw_vec3 from = lw_head_landmark(d.head, LW_FRONT_HAIRLINE), to = lw_head_landmark(d.head, LW_APEX);
    for (int i = 1; i <= 4; i++) {
        lw_vec3 p = lw_head_between(d.head, from, to, i / 10.0);
        double way = lw_head_path(d.head, p, lw_head_between(d.head, from, to, 0), NULL);
        assert_near(lw_cut_at(d.cut, p) - length_at(&d, LW_FRONT_HAIRLINE), way, 3 * MM);
    }
}

static void curls_lie_to_a_round_shape(void **state) {
    carried_out d = *example_done(state, "tight-curls");
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        bool in_front = i == LW_FRONT_HAIRLINE || i == LW_RECESSION_LEFT || i == LW_RECESSION_RIGHT;
        if (!in_front) assert_near(lw_hair_lies(&d.plan.hair, length_at(&d, (lw_landmark)i)), 0.09, 1 * MM);
    }
    for (int i = 0; i < d.reading.band_count - 1; i++) /* all but the front */
        assert_shape(&d, d.reading.bands[i].name, LW_ROUND);
    /* common practice: wet curls are cut longer than they are to end, since they draw up */
    double straight = length_at(&d, LW_FRONT_HAIRLINE);
    assert_near(straight, dry(&d, 0.24), 0.5 * MM);
    assert_true(lw_hair_lies(&d.plan.hair, straight) < 0.24 / 2.5);
}

static void long_layers_fall_over_a_short_nape(void **state) {
    carried_out d = *example_done(state, "disconnected-layers");
    assert_near(length_at(&d, LW_NAPE_CENTRE), dry(&d, 1.5 * 0.0254), 0.1 * MM);
    assert_near(length_at(&d, LW_HIGH_CROWN), dry(&d, 8.5 * 0.0254), 0.5 * MM);
    assert_near(length_at(&d, LW_TEMPLE_LEFT), dry(&d, 7 * 0.0254),
                6 * MM);                              /* its panel's line is straight */
    assert_true(d.reading.cross_check_between > 0.2); /* not connected */
    int nape = part_index(&d, "nape");
    assert_true(d.reading.sections[nape].high - d.reading.sections[nape].low < 1 * MM);
    /* over it the layers lengthen downward, and from the face to the back */
    const lw_vec3 crown = lw_head_landmark(d.head, LW_CROWN),
                  bone = lw_head_landmark(d.head, LW_OCCIPITAL_BONE);
    double before = 0;
    for (int i = 0; i < 5; i++) {
        double here = lw_cut_at(d.cut, lw_head_between(d.head, crown, bone, i / 10.0));
        assert_true(here > before);
        before = here;
    }
    assert_true(length_at(&d, LW_FRONT_HAIRLINE) + 0.03 < length_at(&d, LW_APEX));
    const lw_band *side = band_named(&d, "left side, above the ear (front to back)");
    assert_true(side->from < side->centre && side->centre < side->to);
}

/* ---- all together --------------------------------------------------------------------------- */

typedef struct used {
    bool parting[LW_PARTING_CHAIN + 1], family[LW_FAMILY_RADIAL + 1], reference[LW_FIXED + 1];
    bool line[LW_LINE_TILT + 1], guide[LW_GUIDE_STEP + 1], technique[LW_CLIPPER + 1],
        state[LW_STATE_CURLED + 1];
    bool own, half, whole, two, panel, place, closed, mirror, bites, units[2];
} used;

static void note_use(used *u, const lw_plan *plan) {
    u->units[plan->units] = true;
    u->bites |= plan->hands.bites;
    for (int i = 0; i < plan->split_count; i++) {
        u->parting[plan->splits[i].parting.kind] = true;
        u->closed |= plan->splits[i].parting.closed;
    }
    for (int i = 0; i < plan->step_count; i++) {
        const lw_step *s = &plan->steps[i];
        u->state[s->state == LW_STATE_INHERIT ? plan->hair.state : s->state] = true;
        u->technique[s->technique.kind] = true;
        u->family[s->panels.family] = true;
        u->mirror |= s->mirror[0] != 0;
        if (s->technique.kind == LW_OVER_COMB || s->technique.kind == LW_CLIPPER) continue;
        u->reference[s->hold.reference] = true;
        u->line[s->line.kind] = true;
        u->guide[s->guide.kind] = true;
        u->panel |= s->hold.target == LW_TOWARD_PANEL;
        u->place |= s->hold.target == LW_TOWARD_PLACE;
        u->own |= s->hold.carry == 0;
        u->half |= s->hold.carry == 0.5;
        u->whole |= s->hold.carry == 1;
        u->two |= s->hold.carry == 2;
    }
}

#define ASSERT_ALL(array, first)                                                                             \
    for (size_t i_ = (first); i_ < sizeof(array) / sizeof *(array); i_++)                                    \
        if (!(array)[i_]) fail_msg("no example has " #array " %d", (int)i_)

static void together_they_use_all_that_a_plan_can_say(void **state) {
    (void)state;
    used u = {0};
    for (int i = 0; i < EXAMPLES; i++) {
        lw_plan plan;
        example_read(&plan, examples[i].name);
        note_use(&u, &plan);
        lw_plan_clear(&plan);
    }
    ASSERT_ALL(u.parting, 0);
    ASSERT_ALL(u.family, 0);
    ASSERT_ALL(u.reference, 0);
    ASSERT_ALL(u.line, 0);
    ASSERT_ALL(u.guide, 0);
    ASSERT_ALL(u.technique, 0);
    ASSERT_ALL(u.state, 1);
    ASSERT_ALL(u.units, 0);
    assert_true(u.own && u.half && u.whole && u.two && u.panel && u.place);
    assert_true(u.closed && u.mirror && u.bites);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_example_is_left_out),
        cmocka_unit_test(every_example_does_what_its_note_says),
        cmocka_unit_test(bob_hangs_to_one_line),
        cmocka_unit_test(graduated_bob_builds_upward_and_drops_to_the_face),
        cmocka_unit_test(uniform_layers_are_one_length_all_over),
        cmocka_unit_test(increasing_layers_lengthen_downward),
        cmocka_unit_test(short_cut_has_a_shape_in_every_section),
        cmocka_unit_test(fade_climbs_by_guards),
        cmocka_unit_test(fringe_hangs_to_the_brow),
        cmocka_unit_test(curls_lie_to_a_round_shape),
        cmocka_unit_test(long_layers_fall_over_a_short_nape),
        cmocka_unit_test(together_they_use_all_that_a_plan_can_say),
    };
    return cmocka_run_group_tests(tests, cut_all, drop_all);
}
