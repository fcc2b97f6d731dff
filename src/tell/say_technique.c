/* What cuts, and what is done to the ends. */
#include "saying.h"

#include <math.h>
#include <stdio.h>

static void share(saying *s, const char *path, double value) {
    char text[32];
    if (fabs(value - 0.5) < 1e-3) {
        say_number(s, path, "half", s->form == SAY_GAPS ? "" : " of");
        say_words(s, s->form == SAY_GAPS ? " of the hairs" : " the hairs");
        return;
    }
    snprintf(text, sizeof text, "%.0f", value * 100);
    say_number(s, path, text, s->form == SAY_GAPS ? "" : " %");
    say_words(s, " of the hairs");
}

static void guard(saying *s, const char *path, double eighths_of_inch) {
    char text[32], measure[32];
    say_fraction(text, eighths_of_inch);
    say_words(s, "guard ");
    say_number(s, path, text, "");
    if (!say_in_full(s)) return;
    say_length(measure, eighths_of_inch * 0.0254 / 8, s->units);
    say_words(s, " (%s)", measure);
}

void say_clipper(saying *s, const lw_technique *t, bool single) {
    bool fades = !single && t->guard_to >= 0 && fabs(t->guard_to - t->guard) > 1e-9;
    say_words(s, fades    ? " Clip the first panel with "
                 : single ? " Clip it with "
                          : " Clip every panel with ");
    guard(s, "steps[].technique.clipper.guard", t->guard);
    if (fades) {
        say_words(s, " and change evenly to ");
        guard(s, "steps[].technique.clipper.to", t->guard_to);
        say_words(s, " at the last");
    }
    say_words(s, ".");
}

void say_comb(saying *s, const lw_technique *t) {
    say_words(s, " Cut ");
    say_choice(s, "steps[].technique", "over the comb");
    say_words(s, ", held ");
    say_plan_metres(s, "steps[].technique.over_comb.distance", t->distance);
    if (t->rise > 0) {
        say_words(s, " from the scalp at the lowest panel and ");
        say_plan_metres(s, "steps[].technique.over_comb.rise",
                        t->rise * (s->units == LW_INCH ? 0.0254 : 0.01));
        say_words(s, " further out for every %s it climbs", s->units == LW_INCH ? "inch" : "centimetre");
    } else {
        say_words(s, " from the scalp ");
        say_choice(s, "steps[].technique.over_comb.rise", "all the way");
    }
    say_words(s, ".");
}

void say_ends(saying *s, const lw_technique *t) {
    if (t->kind == LW_POINT) {
        say_words(s, " ");
        say_choice(s, "steps[].technique", "Point into the ends");
        say_words(s, ": ");
        share(s, "steps[].technique.point.share", t->share);
        say_words(s, " lose up to ");
        say_plan_metres(s, "steps[].technique.point.depth", t->depth);
        say_words(s, ".");
    } else if (t->kind == LW_SLIDE) {
        say_words(s, " ");
        say_choice(s, "steps[].technique", "Let the blades slide");
        say_words(s, " along the ends, so that hairs lose up to ");
        say_plan_metres(s, "steps[].technique.slide.depth", t->depth);
        say_words(s, ".");
    } else if (t->kind == LW_THIN) {
        say_words(s, " ");
        say_choice(s, "steps[].technique", "Thin the ends");
        say_words(s, ": ");
        share(s, "steps[].technique.thin.share", t->share);
        say_words(s, " lose ");
        say_plan_metres(s, "steps[].technique.thin.depth", t->depth);
        say_words(s, ".");
    }
}

void say_state(saying *s, lw_state state) {
    static const char *const how[] = {
        [LW_STATE_DRY] = "dry", [LW_STATE_WET] = "wet", [LW_STATE_CURLED] = "dry"};
    if (state == LW_STATE_INHERIT) return;
    say_words(s, " Cut this step ");
    say_choice(s, "steps[].cut", "%s", how[state]);
    say_words(s, state == LW_STATE_WET   ? ", the hair stretched under the comb."
                 : state == LW_STATE_DRY ? ", the hair straight under the comb."
                                         : ", where the curl lies.");
}
