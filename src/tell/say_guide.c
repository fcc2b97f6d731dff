/* Where the length comes from. */
#include "saying.h"

#include <string.h>

static const char *const KIND = "steps[].guide.kind";

static void say_measured(saying *s, const lw_guide *guide) {
    char at[SAY_PLACE_MAX];
    say_plan_metres(s, "steps[].guide.length", guide->length);
    say_place(at, guide->at);
    if (at[0]) say_words(s, " at ");
    if (at[0]) say_choice(s, "steps[].guide.at", "%s", at);
}

/* "step 1, “back”": whoever reads can turn to it. */
static void say_earlier(saying *s, const lw_plan *plan, const char *name) {
    int at = 0;
    while (at < plan->step_count && strcmp(plan->steps[at].name, name) != 0) at++;
    say_choice(s, "steps[].guide.step", "step %d, \xE2\x80\x9C%s\xE2\x80\x9D", at + 1, name);
}

void say_guide(saying *s, const lw_plan *plan, const lw_step *step, bool single) {
    const lw_guide *guide = &step->guide;
    bool chain = !single && (guide->kind == LW_GUIDE_TRAVELLING || guide->kind == LW_GUIDE_STATIONARY);
    bool measured = guide->length > 0;
    if (!measured && !guide->step[0]) return;
    if (chain && measured) {
        say_words(s, " Cut the first panel to ");
        say_measured(s, guide);
    } else if (chain) {
        say_words(s, " The first panel takes its length from ");
        say_earlier(s, plan, guide->step);
    } else if (measured) {
        say_words(s, " Cut ");
        say_choice(s, single ? NULL : KIND, "%s", single ? "it" : "every panel");
        say_words(s, " to ");
        say_measured(s, guide);
    } else {
        say_words(s, " ");
        say_choice(s, single ? NULL : KIND, "%s", single ? "It" : "Each panel");
        say_words(s, " takes its length from the nearest hair of ");
        say_earlier(s, plan, guide->step);
    }
    bool travels = guide->kind == LW_GUIDE_TRAVELLING;
    if (chain && measured) {
        say_words(s, travels ? " and " : "; ");
        say_choice(s, KIND, "%s",
                   travels ? "each next one to the panel before it" : "it guides all the others");
    } else if (chain) {
        say_words(s, travels ? "; " : " and ");
        say_choice(s, KIND, "%s",
                   travels ? "each next one takes it from the panel before" : "guides all the others");
    }
    say_words(s, ".");
}

void say_bites(saying *s, const lw_hands *hands, const lw_step *step) {
    if (!hands->bites || step->line.kind == LW_LINE_FOLLOW) return;
    say_words(s, " Where the line is longer than ");
    say_plan_metres(s, "hands.span", hands->span);
    say_words(s, ", cut it ");
    say_choice(s, "hands.bites", "bite by bite");
    say_words(s, ", each to the one beside it.");
}
