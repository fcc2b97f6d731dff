/* A step as a teacher would tell it: where, in which panels, and then what is done with them. */
#include "saying.h"

#include <stddef.h>

static const char *const RUN = "steps[].panels.run", *const SECTION = "steps[].section";

static const char *edge_name(lw_edge edge) {
    static const char *const at[] = {
        [LW_EDGE_BOTTOM] = "bottom", [LW_EDGE_TOP] = "top",   [LW_EDGE_FRONT] = "front",
        [LW_EDGE_BACK] = "back",     [LW_EDGE_LEFT] = "left", [LW_EDGE_RIGHT] = "right",
        [LW_EDGE_CENTRE] = "middle"};
    return at[edge];
}

static void say_panels(saying *s, const lw_panels *p) {
    char pivot[SAY_PLACE_MAX];
    bool diagonal = p->family == LW_FAMILY_DIAGONAL_FORWARD || p->family == LW_FAMILY_DIAGONAL_BACK;
    const char *kind = p->family == LW_FAMILY_LEVEL     ? "level"
                       : p->family == LW_FAMILY_UPRIGHT ? "upright"
                       : diagonal                       ? "diagonal"
                                                        : NULL;
    if (kind) say_choice(s, RUN, "%s", kind);
    say_words(s, kind ? " panels " : "panels ");
    if (p->family == LW_FAMILY_ACROSS) say_choice(s, RUN, "from side to side");
    if (p->family == LW_FAMILY_ALONG) say_choice(s, RUN, "from front to back");
    if (p->family == LW_FAMILY_RADIAL) {
        say_place(pivot, p->pivot);
        say_choice(s, RUN, "that fan");
        say_words(s, " about ");
        say_choice(s, "steps[].panels.pivot", "%s", pivot);
    }
    if (!kind) say_words(s, ", ");
    say_plan_metres(s, "steps[].panels.thickness", p->thickness);
    say_words(s, p->family == LW_FAMILY_RADIAL ? " thick at the outer edge" : " thick");
    if (!diagonal) return;
    say_words(s, ", sloping down toward the ");
    say_choice(s, RUN, "%s", p->family == LW_FAMILY_DIAGONAL_FORWARD ? "face" : "back of the head");
    say_words(s, " at ");
    say_degrees(s, "steps[].panels.angle", p->angle);
}

static void say_start(saying *s, const lw_step *step, bool single) {
    char part[LW_NAME_MAX + 16];
    say_part(part, sizeof part, step->section);
    if (single) {
        say_words(s, "Take ");
        say_choice(s, SECTION, "%s", part);
        say_words(s, " as ");
        say_choice(s, "steps[].panels.thickness", "one panel");
        say_words(s, ".");
        return;
    }
    lw_edge edge = lw_panels_start(&step->panels);
    say_words(s, "From the ");
    say_choice(s, "steps[].panels.start", "%s", edge_name(edge));
    say_words(s, " of ");
    say_choice(s, SECTION, "%s", part);
    say_words(s, ", take ");
    say_panels(s, &step->panels);
    if (edge == LW_EDGE_CENTRE) {
        say_words(s, ", going outward ");
        say_choice(s, "steps[].panels.order", "%s",
                   step->panels.order == LW_ORDER_ALTERNATE ? "one panel on each side in turn"
                                                            : "over one side and then over the other");
    }
    say_words(s, ".");
}

int say_panel_count(const tell_subject *of, int step) {
    int n = 0;
    if (!of->cut) return n;
    for (int i = 0; i < lw_cut_panel_count(of->cut); i++) n += lw_cut_panel(of->cut, i)->step == step;
    return n;
}

void say_step(char out[SAY_MAX], const tell_subject *of, int step, say_form form, int *gap) {
    const lw_step *does = &of->plan->steps[step - 1];
    saying s = say_begin(out, SAY_MAX, of->plan->units, form, gap);
    if (form != SAY_MARKED && !lw_step_is_cut(of->plan, step - 1)) {
        say_words(&s, "This step is left out.");
        return;
    }
    bool single = say_panel_count(of, step) == (does->mirror[0] ? 2 : 1);
    say_start(&s, does, single);
    if (does->technique.kind == LW_CLIPPER) {
        say_clipper(&s, &does->technique, single);
    } else if (does->technique.kind == LW_OVER_COMB) {
        say_comb(&s, &does->technique);
    } else {
        say_hold(&s, does, single);
        say_guide(&s, of->plan, does, single);
        say_bites(&s, &of->plan->hands, does);
        say_ends(&s, &does->technique);
    }
    say_state(&s, does->state);
    if (does->mirror[0]) {
        char part[LW_NAME_MAX + 16];
        say_part(part, sizeof part, does->mirror);
        say_words(&s, " Then do the same, mirrored, on ");
        say_choice(&s, "steps[].mirror", "%s", part);
        say_words(&s, ".");
    }
    say_end(&s, gap);
}
