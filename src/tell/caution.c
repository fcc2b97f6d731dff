/* The cautions: for a plan as a whole, and for one step by its tool and by the places it works near. */
#include "tell.h"

#include <stdio.h>
#include <string.h>

static bool clips(const lw_technique *t) { return t->kind == LW_CLIPPER || t->kind == LW_OVER_COMB; }

static bool any_clips(const lw_plan *plan) {
    for (int i = 0; i < plan->step_count; i++)
        if (lw_step_is_cut(plan, i) && clips(&plan->steps[i].technique)) return true;
    return false;
}

const char *tell_caution(const lw_plan *plan, int i) {
    static const char *const cautions[] = {
        "Clean and disinfect tools between people; look at the scalp first and leave broken or irritated "
        "skin "
        "alone.",
        "Check blade and guard before use, and that the guard is locked; go round moles, scars and ears; "
        "skin "
        "is closer than it looks.",
        "Mind points and blades near eyes and ears. With children, cut only while the head is still, and "
        "keep "
        "blades out of their reach.",
        "Local rules and a licensed practitioner's judgement come before this plan."};
    enum { COUNT = sizeof cautions / sizeof *cautions, FOR_CLIPPERS = 1 };
    if (i >= FOR_CLIPPERS && !any_clips(plan)) i++;
    return i >= 0 && i < COUNT ? cautions[i] : NULL;
}

static bool works_at(const tell_subject *of, int step, lw_landmark id) {
    return lw_cut_panel_at(of->cut, step, lw_head_landmark(of->head, id)) >= 0;
}

static bool works_at_either(const tell_subject *of, int step, lw_landmark id) {
    return works_at(of, step, id) || works_at(of, step, lw_landmark_mirror(id));
}

/* What a step calls for, as bits. */
enum { LOCK = 1, LEAD = 2, SLIDING = 4, EAR = 8, EYES = 16 };

static int calls_for(const tell_subject *of, int step) {
    if (!lw_step_is_cut(of->plan, step - 1)) return 0;
    lw_technique_kind kind = of->plan->steps[step - 1].technique.kind;
    int bits = kind == LW_CLIPPER ? LOCK : kind == LW_OVER_COMB ? LEAD : kind == LW_SLIDE ? SLIDING : 0;
    if (works_at_either(of, step, LW_EAR_TOP_LEFT) || works_at_either(of, step, LW_BEHIND_EAR_LEFT))
        bits |= EAR;
    if (works_at(of, step, LW_FRONT_HAIRLINE) || works_at_either(of, step, LW_TEMPLE_LEFT)) bits |= EYES;
    return bits;
}

void caution_of_step(char out[CAUTION_MAX], const tell_subject *of, int step) {
    static const struct {
        int bit;
        const char *sentence;
    } cautions[] = {{LOCK, "Check that the guard is locked."},
                    {LEAD, "Lead with the comb, its back to the skin."},
                    {SLIDING, "The blades stay open as they slide: keep fingers out of their way."},
                    {EAR, "Fold the ear down and see it before the blades close."},
                    {EYES, "Ask for closed eyes, and keep points away from them."}};
    int bits = calls_for(of, step);
    for (int earlier = 1; earlier < step && bits; earlier++) bits &= ~calls_for(of, earlier);
    out[0] = 0;
    for (size_t i = 0; i < sizeof cautions / sizeof *cautions; i++) {
        size_t n = strlen(out);
        if (bits & cautions[i].bit)
            snprintf(out + n, CAUTION_MAX - n, "%s%s", n ? " " : "", cautions[i].sentence);
    }
}
