/* What cannot work out, said with step, place and remedy.
 *
 * The survey's hairs are the evidence, one message a step and fault: the first panel that shows it stands
 * for the others.
 */
#include <stdlib.h>

#include "cut.h"
#include "fail.h"

static const double SHORT_SHARE = 0.05;  /* of a panel's hairs too short for the guide */
static const double UNEVEN_SHARE = 0.05; /* of the larger half */
static const double INTO_HEAD = -1e-3;   /* direction . normal */

const char *lw_warning_name(lw_warning_code code) {
    static const char *const names[] = {"cuts nothing",  "untouched section", "too short",
                                        "line too long", "through the head",  "out of reach",
                                        "uneven halves", "empty section",     "guide left out"};
    return code >= 0 && code < LW_WARNING_COUNT ? names[code] : "";
}

/* Adds a warning; room grows as needed. */
__attribute__((format(printf, 7, 8))) static lw_status warn(lw_cut *cut, lw_warning_code code, int step,
                                                            int panel, const char *section,
                                                            const char *remedy, const char *message, ...) {
    if (cut->warning_count == cut->warning_room) {
        int room = 2 * cut->warning_room + 16;
        lw_warning *more = realloc(cut->warnings, sizeof *more * (size_t)room);
        if (!more) return LW_ERROR_MEMORY;
        cut->warnings = more;
        cut->warning_room = room;
    }
    lw_warning *w = &cut->warnings[cut->warning_count++];
    *w = (lw_warning){.code = code, .step = step, .panel = panel};
    snprintf(w->section, sizeof w->section, "%s", section);
    snprintf(w->remedy, sizeof w->remedy, "%s", remedy);
    va_list args;
    va_start(args, message);
    vsnprintf(w->message, sizeof w->message, message, args);
    va_end(args);
    return LW_OK;
}

static const char *near(const lw_cut *cut, int panel) {
    return lw_landmark_name(lw_head_nearest_landmark(cut->head, cut->panels[panel].anchor));
}

/* One fault of panels: how many of a step's panels show it, and the first. */
typedef struct found {
    int count, first;
} found;

static void note(found *f, int panel) {
    if (f->count++ == 0) f->first = panel;
}

/* "what" in some of a step's panels; "then". */
static lw_status warn_panels(lw_cut *cut, lw_warning_code code, int step, const found *f, int panels,
                             const char *remedy, const char *what, const char *then) {
    if (!f->count) return LW_OK;
    return warn(cut, code, step + 1, cut->panels[f->first].panel, cut->steps[step].section, remedy,
                "%s in %d of %d panels, first near the %s; %s", what, f->count, panels, near(cut, f->first),
                then);
}

static bool points_in(const lw_cut *cut, int panel) {
    const lw_panel *p = &cut->panels[panel];
    lw_vec3 normal;
    lw_head_project(cut->head, p->place, &normal);
    return v3_dot(normal, p->direction) < INTO_HEAD;
}

static lw_status warn_idle(lw_cut *cut, int step) {
    const lw_step *s = &cut->steps[step];
    if (s->off) return LW_OK;
    return warn(cut, LW_WARN_GUIDE_LEFT_OUT, step + 1, 0, s->section,
                "put that step back, or give this one a length of its own",
                "step %d (%.60s) takes its guide from \"%.60s\", which is not cut, so it is not cut either",
                step + 1, s->name, s->guide.step);
}

static lw_status warn_step(lw_cut *cut, int step, const tally *tallies) {
    const lw_step *s = &cut->steps[step];
    if (cut->idle[step]) return warn_idle(cut, step);
    found shorts = {0}, longs = {0}, through = {0}, blocked = {0};
    int cuts = 0, panels = 0;
    double span = cut->hands.bites ? 0 : cut->hands.span;
    for (int k = 0; k < cut->panel_count; k++) {
        const lw_panel *p = &cut->panels[k];
        if (p->step != step + 1) continue;
        panels++;
        cuts += tallies[k].cut;
        if (tallies[k].too_short > SHORT_SHARE * tallies[k].hairs) note(&shorts, k);
        if (!p->follows && span > 0 && p->line_length > span) note(&longs, k);
        if (cut->cuttings[k].blocked)
            note(&blocked, k);
        else if (points_in(cut, k) || tallies[k].inside > 0)
            note(&through, k);
    }
    lw_status status = warn_panels(cut, LW_WARN_OUT_OF_REACH, step, &blocked, panels,
                                   "carry the panel nearer to its guide, or take a longer guide",
                                   "the guide does not reach the hold", "they are not cut");
    if (status == LW_OK)
        status = warn_panels(cut, LW_WARN_THROUGH_HEAD, step, &through, panels,
                             "hold the panel on its own side of the head, or raise it",
                             "the hold drags hair through the head", "it is bent round instead");
    if (status == LW_OK)
        status = warn_panels(cut, LW_WARN_TOO_SHORT, step, &shorts, panels,
                             "shorten the guide, or leave this hair for a later cut",
                             "hair is too short for its guide", "it is left alone");
    if (status == LW_OK && longs.count)
        status = warn(cut, LW_WARN_LINE_TOO_LONG, step + 1, cut->panels[longs.first].panel, s->section,
                      "take narrower panels, or cut the line in bites",
                      "the line is longer than the hand in %d of %d panels: %.0f mm near the %s, and the "
                      "hand spans %.0f mm",
                      longs.count, panels, 1e3 * cut->panels[longs.first].line_length, near(cut, longs.first),
                      1e3 * span);
    if (status == LW_OK && cuts == 0)
        status = warn(cut, LW_WARN_CUTS_NOTHING, step + 1, 0, s->section,
                      "shorten its guide, or leave the step out", "step %d (%s) shortens no hair", step + 1,
                      s->name);
    return status;
}

static lw_status warn_halves(lw_cut *cut, int first, int second) {
    const lw_section *a = &cut->sections[first], *b = &cut->sections[second];
    const lw_section *more = a->area >= b->area ? a : b, *less = more == a ? b : a;
    if (more->area - less->area <= UNEVEN_SHARE * more->area) return LW_OK;
    return warn(cut, LW_WARN_UNEVEN_HALVES, 0, 0, more->name,
                "part again down the centre, unless the difference is meant",
                "\"%s\" is %.0f cm2 and \"%s\" %.0f cm2: %.0f %% more", more->name, 1e4 * more->area,
                less->name, 1e4 * less->area, 100 * (more->area / fmax(less->area, 1e-9) - 1));
}

/* Index of the part whose name has the other side's word in place of this one's; -1 for none. */
static int twin(const lw_cut *cut, int k) {
    const char *name = cut->sections[k].name, *left = strstr(name, "left");
    if (!left) return -1;
    char other[LW_NAME_MAX + 2];
    snprintf(other, sizeof other, "%.*sright%s", (int)(left - name), name, left + 4);
    return part_find(&cut->tree, other);
}

static lw_status warn_sections(lw_cut *cut) {
    lw_status status = LW_OK;
    for (int k = 0; k < cut->tree.count && status == LW_OK; k++) {
        const part *p = &cut->tree.parts[k];
        const lw_section *s = &cut->sections[k];
        int other = twin(cut, k);
        bool halved = p->first >= 0 && p->divide.kind == LW_PARTING_CENTRE;
        if (halved) status = warn_halves(cut, p->first, p->second);
        if (status == LW_OK && other >= 0 && cut->tree.parts[other].parent != p->parent)
            status = warn_halves(cut, k, other);
        if (status == LW_OK && s->leaf && s->area == 0)
            status = warn(cut, LW_WARN_EMPTY_SECTION, 0, 0, s->name, "move the parting that makes it",
                          "there is no hair in \"%s\"", s->name);
        else if (status == LW_OK && s->leaf && !s->touched)
            status = warn(cut, LW_WARN_UNTOUCHED, 0, 0, s->name, "add a step for it, if it is to be cut",
                          "no step touches \"%s\"", s->name);
    }
    return status;
}

lw_status cut_warn(lw_cut *cut, const tally *tallies, lw_error *error) {
    lw_status status = LW_OK;
    for (int i = 0; i < cut->step_count && status == LW_OK; i++) status = warn_step(cut, i, tallies);
    if (status == LW_OK) status = warn_sections(cut);
    return status == LW_OK ? LW_OK : fail_memory(error, "warnings");
}
