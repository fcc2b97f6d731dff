/* Whether a step can be understood at all. What a hairdresser can live with is a warning (warn.c), not an
 * error here. */
#include "check.h"

#include "fail.h"

static bool within(double x, double low, double high) { return x >= low && x <= high; }

static bool place_ok(lw_place p, bool needed) {
    if (p.from < 0) return !needed;
    return p.from < LW_LANDMARK_COUNT && p.to < LW_LANDMARK_COUNT && within(p.at, -1, 2);
}

typedef struct rule {
    bool good;
    const char *what, *remedy;
} rule;

static bool ended(const char *name) { return memchr(name, 0, LW_NAME_MAX) != NULL; }

static lw_status first_broken(const rule *rules, size_t n, int i, lw_error *error) {
    for (size_t k = 0; k < n; k++) {
        if (rules[k].good) continue;
        char place[LW_NAME_MAX];
        snprintf(place, sizeof place, "steps[%d]", i);
        return fail(error, LW_ERROR_ARGUMENT, place, rules[k].remedy, "step %d: %s", i + 1, rules[k].what);
    }
    return LW_OK;
}

/* The guide's step must be an earlier one. */
static lw_status check_guide(const lw_plan *plan, int i, lw_error *error) {
    const char *name = plan->steps[i].guide.step;
    for (int k = 0; name[0] && k < plan->step_count; k++) {
        if (strcmp(plan->steps[k].name, name) != 0) continue;
        if (k < i) return LW_OK;
        return fail(error, LW_ERROR_ARGUMENT, plan->steps[i].name,
                    "take the guide from a step that is cut before this one",
                    "step %d takes its guide from \"%s\", which is not cut yet", i + 1, name);
    }
    if (!name[0]) return LW_OK;
    return fail(error, LW_ERROR_ARGUMENT, plan->steps[i].name, "use the name of an earlier step",
                "step %d takes its guide from \"%s\", which does not exist", i + 1, name);
}

lw_status check_steps(const lw_plan *plan, lw_error *error) {
    if (!within(plan->step_count, 0, LW_STEPS_MAX))
        return fail(error, LW_ERROR_LIMIT, "steps", "use fewer steps", "%d steps; at most %d fit",
                    plan->step_count, LW_STEPS_MAX);
    for (int i = 0; i < plan->step_count; i++) {
        const lw_step *s = &plan->steps[i];
        const lw_technique *t = &s->technique;
        bool set = t->kind == LW_OVER_COMB || t->kind == LW_CLIPPER;
        const rule rules[] = {
            {ended(s->name) && ended(s->section) && ended(s->mirror) && ended(s->guide.step),
             "a name does not end", "keep names under 96 bytes"},
            {within(s->panels.family, LW_FAMILY_LEVEL, LW_FAMILY_RADIAL) &&
                 within(s->panels.start, LW_EDGE_DEFAULT, LW_EDGE_CENTRE),
             "unknown kind of panels", "use level, upright, diagonal, across, along or radial"},
            {within(s->panels.thickness, 1e-4, 1), "panel thickness out of range",
             "use 0.1 mm to 1 m, such as 2 cm"},
            {within(s->panels.angle, 0, 0.5 * LW_PI), "panel angle out of range", "use 0 to 90 degrees"},
            {place_ok(s->panels.pivot, s->panels.family == LW_FAMILY_RADIAL),
             "radial panels lack their pivot", "name a landmark, such as \"crown\""},
            {within(s->hold.reference, LW_FROM_SCALP, LW_FIXED) && within(s->hold.elevation, 0, LW_PI) &&
                 within(s->hold.turn, -LW_PI, LW_PI) && within(s->hold.bearing, -2 * LW_PI, 2 * LW_PI) &&
                 within(s->hold.rise, -0.5 * LW_PI, 0.5 * LW_PI),
             "hold angle out of range", "use elevations of 0 to 180 degrees"},
            {within(s->hold.carry, 0, 100), "carry out of range", "use 0 (own place) to 100 panels"},
            {s->hold.target != LW_TOWARD_PANEL || within(s->hold.panel, 1, LW_PANELS_MAX),
             "no such panel to carry to", "panels count from 1"},
            {place_ok(s->hold.place, s->hold.target == LW_TOWARD_PLACE), "no place to carry to",
             "name a landmark"},
            {within(s->line.kind, LW_LINE_FOLLOW, LW_LINE_TILT) && within(s->line.tilt, 0, 0.49 * LW_PI) &&
                 within(s->line.longer, LW_EDGE_DEFAULT, LW_EDGE_RIGHT),
             "finger line out of range", "tilt by 0 to 88 degrees, longer to one edge"},
            {within(s->guide.kind, LW_GUIDE_LENGTH, LW_GUIDE_STEP) && within(s->guide.length, 0, 3),
             "guide length out of range", "use up to 3 m"},
            {set || s->guide.length > 0 || s->guide.step[0], "the guide has neither a length nor a step",
             "give it a length, such as 10 cm"},
            {place_ok(s->guide.at, false), "the guide's place is not on the head", "name a landmark"},
            {within(t->kind, LW_BLUNT, LW_CLIPPER) && within(t->depth, 0, 1) && within(t->share, 0, 1) &&
                 within(t->distance, 0, 1) && within(t->rise, -10, 10) && within(t->guard, 0, 32) &&
                 t->guard_to <= 32,
             "technique out of range", "see explain technique"},
        };
        lw_status status = first_broken(rules, sizeof rules / sizeof *rules, i, error);
        if (status == LW_OK) status = check_guide(plan, i, error);
        if (status != LW_OK) return status;
    }
    return LW_OK;
}

lw_status check_hair(const lw_hair *h, const lw_hands *hands, lw_error *error) {
    if (!within(h->length, 0, 3) || !within(h->length_at_count, 0, LW_LANDMARK_COUNT))
        return fail(error, LW_ERROR_ARGUMENT, "hair.length", "use 0 to 3 m", "hair %g m long", h->length);
    for (int i = 0; i < h->length_at_count; i++)
        if (!within(h->length_at[i].length, 0, 3) || !place_ok(h->length_at[i].at, true))
            return fail(error, LW_ERROR_ARGUMENT, "hair.lengths", "use a landmark and 0 to 3 m",
                        "entry %d of the hair's lengths is out of range", i + 1);
    if (!within(h->coil_diameter, 0, 1) || !within(h->coil_pitch, 0, 1) ||
        (h->coil_diameter > 0 && h->coil_pitch <= 0))
        return fail(error, LW_ERROR_ARGUMENT, "hair.curl",
                    "give the coil's diameter and the length of one turn", "the curl's coil is out of range");
    if (!within(h->wet_stretch, 0, 1) || !within(h->section_area, 1e-11, 1e-7))
        return fail(error, LW_ERROR_ARGUMENT, "hair",
                    "use a wet stretch of 0 to 1 and a fibre of 10 to 100,000 square micrometres",
                    "the fibre is out of range");
    if (!within(hands->span, 0, 1) || !within(hands->knuckle, 0, 1) || !within(hands->slack, 0, 10) ||
        !within(hands->error_elevation, 0, LW_PI) || !within(hands->error_carry, 0, 10) ||
        !within(hands->error_length, 0, 1) || (hands->bites && !(hands->span >= 5e-3)))
        return fail(error, LW_ERROR_ARGUMENT, "hands",
                    "use a span such as 8 cm and errors of a few degrees and millimetres",
                    "the hand is out of range");
    return LW_OK;
}
