/* Remedies that need no judgement, as edits of the plan file.
 *
 * A warning's words say what a hairdresser may do. Where one thing alone is meant by them, and where it
 * leaves everything else of the plan as it is, it is told once more for a machine. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "tell_json.h"

static void path(json *j, const char *first, int at, const char *second, const char *third) {
    put_open(j, NULL, '{');
    put_open(j, "path", '[');
    put_text(j, NULL, first);
    if (at >= 0) put_number(j, NULL, at);
    if (second) put_text(j, NULL, second);
    if (third) put_text(j, NULL, third);
    put_close(j, ']');
}

static void flag(json *j, const char *first, int at, const char *second, bool value) {
    path(j, first, at, second, NULL);
    if (value)
        put_flag(j, "value", true);
    else
        put_nothing(j, "value");
    put_close(j, '}');
}

/* The step that the chain of guides comes to, which is left out. */
static int left_out(const lw_plan *plan, int i) {
    while (i >= 0 && !plan->steps[i].off) {
        int k = i - 1;
        while (k >= 0 && strcmp(plan->steps[k].name, plan->steps[i].guide.step) != 0) k--;
        i = k;
    }
    return i;
}

/* The other side's part: the name with its word exchanged, where there is such a part; "" where not. */
static void twin(char out[LW_NAME_MAX + 2], const lw_plan *plan, const char *name) {
    const char *left = strstr(name, "left"), *right = strstr(name, "right"), *at = left ? left : right;
    out[0] = 0;
    if (!at) return;
    snprintf(out, LW_NAME_MAX + 2, "%.*s%s%s", (int)(at - name), name, left ? "right" : "left",
             at + (left ? 4 : 5));
    for (int i = 0; i < plan->split_count; i++)
        if (!strcmp(plan->splits[i].first, out) || !strcmp(plan->splits[i].second, out)) return;
    out[0] = 0;
}

static bool worked_on(const lw_plan *plan, const char *part) {
    for (int i = 0; i < plan->step_count; i++)
        if (!strcmp(plan->steps[i].section, part) || !strcmp(plan->steps[i].mirror, part)) return true;
    return false;
}

static bool is_name(const lw_plan *plan, const char *name) {
    for (int i = 0; i < plan->step_count; i++)
        if (!strcmp(plan->steps[i].name, name)) return true;
    return false;
}

/* A step for a part that none works on, both sides of it where it has two; it goes on from the step before,
 * or begins at a length that a hand can hold. */
static void add_step(json *j, const lw_plan *plan, const char *part) {
    char other[LW_NAME_MAX + 2];
    twin(other, plan, part);
    int last = plan->step_count - 1;
    while (last >= 0 && !lw_step_is_cut(plan, last)) last--;
    path(j, "steps", plan->step_count, NULL, NULL);
    put_open(j, "value", '{');
    if (!is_name(plan, part)) put_text(j, "name", part);
    put_text(j, "section", part);
    if (other[0] && !worked_on(plan, other)) put_text(j, "mirror", other);
    put_open(j, "guide", '{');
    put_text(j, "kind", "travelling");
    if (last >= 0)
        put_text(j, "step", plan->steps[last].name);
    else
        put_number(j, "length", plan->units == LW_INCH ? 4 : 10);
    put_close(j, '}');
    put_close(j, '}');
    put_close(j, '}');
}

/* Which entry of the file a split is: the mirror image of an entry has its line. */
static int entry(const lw_plan *plan, int split) {
    int n = 0;
    for (int i = 1; i <= split; i++) n += plan->splits[i].line != plan->splits[i - 1].line;
    return n;
}

/* The centre parting that makes a half, where it lies off the centre; -1 none. */
static int off_centre(const lw_plan *plan, const char *half) {
    for (int i = 0; i < plan->split_count; i++) {
        const lw_split *s = &plan->splits[i];
        bool makes = !strcmp(s->first, half) || !strcmp(s->second, half);
        if (makes && s->parting.kind == LW_PARTING_CENTRE && fabs(s->parting.offset) > 1e-6) return i;
    }
    return -1;
}

void put_edits(json *j, const char *key, const lw_plan *plan, const lw_warning *w) {
    int step = w->step - 1, split = -1, source = -1;
    bool knows = w->code == LW_WARN_LINE_TOO_LONG || w->code == LW_WARN_CUTS_NOTHING;
    if (w->code == LW_WARN_UNTOUCHED) knows = plan->step_count < LW_STEPS_MAX && !worked_on(plan, w->section);
    if (w->code == LW_WARN_UNEVEN_HALVES) knows = (split = off_centre(plan, w->section)) >= 0;
    if (w->code == LW_WARN_GUIDE_LEFT_OUT) knows = (source = left_out(plan, step)) >= 0;
    if (!knows) {
        put_nothing(j, key);
        return;
    }
    put_open_inline(j, key, '[');
    if (w->code == LW_WARN_LINE_TOO_LONG) flag(j, "hands", -1, "bites", true);
    if (w->code == LW_WARN_CUTS_NOTHING) flag(j, "steps", step, "off", true);
    if (w->code == LW_WARN_GUIDE_LEFT_OUT) flag(j, "steps", source, "off", false);
    if (w->code == LW_WARN_UNTOUCHED) add_step(j, plan, w->section);
    if (w->code == LW_WARN_UNEVEN_HALVES) {
        path(j, "sections", entry(plan, split), "parting", "centre");
        put_number(j, "value", 0);
        put_close(j, '}');
    }
    put_close(j, ']');
}
