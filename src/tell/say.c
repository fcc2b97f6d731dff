/* Sentences about a step.
 *
 * Each sentence is written once, as a row of words, numbers and choices. A saying writes it in one of four
 * forms: whole; with a numbered gap for every number; as the list of what belongs in the gaps; or whole with
 * a mark around each number and choice that says which field of the plan it is. So a worksheet, its key and
 * a page on which the numbers can be changed cannot disagree with the sheet, or with each other. */
#include "tell.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double DEGREE = 3.14159265358979323846 / 180;
static const char *const GAP = "______", *const NO_BREAK = "\xC2\xA0";

typedef struct saying {
    char *out;
    size_t size, room;
    say_form form;
    int gap;
    lw_units units;
} saying;

static void add(saying *s, const char *format, va_list list) {
    int n = vsnprintf(s->out + s->size, s->room - s->size, format, list);
    if (n > 0) s->size = s->size + (size_t)n < s->room ? s->size + (size_t)n : s->room - 1;
}

__attribute__((format(printf, 2, 3))) static void put(saying *s, const char *format, ...) {
    va_list list;
    va_start(list, format);
    add(s, format, list);
    va_end(list);
}

/* Words of the sentence: in every form but the answers. */
__attribute__((format(printf, 2, 3))) static void words(saying *s, const char *format, ...) {
    if (s->form == SAY_ANSWERS) return;
    va_list list;
    va_start(list, format);
    add(s, format, list);
    va_end(list);
}

/* A number's own spaces, as in 4 7/8, are no place for a line to end either. */
static void put_figure(saying *s, const char *text) {
    for (; *text; text++)
        if (*text == ' ' && text[1] >= '0' && text[1] <= '9')
            put(s, "%s", NO_BREAK);
        else
            put(s, "%c", *text);
}

/* A unit after its number, which no line may end between. */
static void put_unit(saying *s, const char *unit) {
    bool space = unit[0] == ' ';
    put(s, "%s%s", space ? NO_BREAK : "", unit + space);
}

/* Whether the sentence is whole. */
static bool in_full(const saying *s) { return s->form == SAY_PLAIN || s->form == SAY_MARKED; }

/* Where a field's own words begin and end. path: as in the table of fields; NULL: of no field. */
static void mark(saying *s, const char *path) {
    if (s->form == SAY_MARKED && path) put(s, "%c%s%c", SAY_MARK, path, SAY_MARK_TEXT);
}

static void unmark(saying *s, const char *path) {
    if (s->form == SAY_MARKED && path) put(s, "%c", SAY_MARK_END);
}

/* Words that a field of the plan chose. */
__attribute__((format(printf, 3, 4))) static void choice(saying *s, const char *path, const char *format,
                                                         ...) {
    if (s->form == SAY_ANSWERS) return;
    mark(s, path);
    va_list list;
    va_start(list, format);
    add(s, format, list);
    va_end(list);
    unmark(s, path);
}

/* A number and the unit after it. */
static void number(saying *s, const char *path, const char *text, const char *unit) {
    mark(s, path);
    s->gap += !in_full(s);
    if (s->form == SAY_GAPS)
        put(s, "(%d)%s%s", s->gap, NO_BREAK, GAP);
    else if (s->form == SAY_ANSWERS)
        put(s, "%s(%d)%s", s->size ? "   " : "", s->gap, NO_BREAK);
    if (s->form != SAY_GAPS) put_figure(s, text);
    put_unit(s, unit);
    unmark(s, path);
}

static saying begin(char *out, size_t room, lw_units units, say_form form, const int *gap) {
    out[0] = 0;
    return (saying){.out = out, .room = room, .form = form, .gap = gap ? *gap : 0, .units = units};
}

static void end(const saying *s, int *gap) {
    if (gap) *gap = s->gap;
}

/* ---- numbers ------------------------------------------------------------------------------ */

/* "4 7/8": to the eighth. */
static void eighths(char out[32], double value) {
    static const char *const parts[] = {"", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"};
    long all = lround(fabs(value) * 8), whole = all / 8, part = all % 8;
    const char *sign = value < 0 && all ? "-" : "";
    if (part && whole)
        snprintf(out, 32, "%s%ld %s", sign, whole, parts[part]);
    else if (part)
        snprintf(out, 32, "%s%s", sign, parts[part]);
    else
        snprintf(out, 32, "%s%ld", sign, whole);
}

/* Without noughts at its end. */
static void decimals(char out[32], double value, int most) {
    double unit = pow(10, most), rounded = round(value * unit) / unit;
    snprintf(out, 32, "%.*f", most, rounded == 0 ? 0 : rounded);
    if (!strchr(out, '.')) return;
    size_t n = strlen(out);
    while (out[n - 1] == '0') out[--n] = 0;
    if (out[n - 1] == '.') out[n - 1] = 0;
}

static void bare_length(char out[32], double metres, lw_units units, int most) {
    if (!isfinite(metres))
        snprintf(out, 32, "-");
    else if (units == LW_INCH)
        eighths(out, metres / 0.0254);
    else
        decimals(out, metres * 100, most);
}

static const char *unit_after(lw_units units) { return units == LW_INCH ? " in" : " cm"; }

static void with_unit(char out[32], double metres, lw_units units, int most) {
    char bare[32];
    bare_length(bare, metres, units, most);
    snprintf(out, 32, "%.24s%s", bare, unit_after(units));
}

void say_length(char out[32], double metres, lw_units units) { with_unit(out, metres, units, 1); }
void say_plan_length(char out[32], double metres, lw_units units) { with_unit(out, metres, units, 2); }

static void length_of(saying *s, const char *path, double metres, int most) {
    char text[32];
    bare_length(text, metres, s->units, most);
    number(s, path, text, unit_after(s->units));
}

static void plan_length(saying *s, const char *path, double metres) { length_of(s, path, metres, 2); }
static void length(saying *s, double metres) { length_of(s, NULL, metres, 1); }

static void degrees(saying *s, const char *path, double radians) {
    char text[32];
    long whole = lround(radians / DEGREE);
    snprintf(text, sizeof text, "%ld", whole);
    number(s, path, text, s->form != SAY_GAPS && labs(whole) == 1 ? " degree" : " degrees");
}

/* "3/4", "2/3", "1 1/2", or a decimal where it is none of the fractions people use. */
static void fraction_text(char out[32], double value) {
    static const int below[] = {2, 3, 4, 5, 6, 8};
    double whole = floor(value + 1e-6), rest = value - whole;
    if (fabs(rest) < 1e-3) {
        snprintf(out, 32, "%.0f", whole);
        return;
    }
    for (size_t i = 0; i < sizeof below / sizeof *below; i++) {
        double over = round(rest * below[i]);
        if (over < 1 || fabs(rest - over / below[i]) > 1e-3) continue;
        if (whole > 0)
            snprintf(out, 32, "%.0f %.0f/%d", whole, over, below[i]);
        else
            snprintf(out, 32, "%.0f/%d", over, below[i]);
        return;
    }
    decimals(out, value, 2);
}

/* ---- places ------------------------------------------------------------------------------- */

typedef struct spoken {
    const char *one; /* %s is the side */
    const char *both;
} spoken;

static const spoken landmarks[LW_LANDMARK_COUNT] = {
    [LW_FRONT_HAIRLINE] = {"the front hairline", NULL},
    [LW_APEX] = {"the apex", NULL},
    [LW_HIGH_CROWN] = {"the high crown", NULL},
    [LW_CROWN] = {"the crown", NULL},
    [LW_OCCIPITAL_BONE] = {"the occipital bone", NULL},
    [LW_NAPE_CENTRE] = {"the nape centre", NULL},
    [LW_RECESSION_LEFT] = {"the %s recession", "the recessions"},
    [LW_TEMPLE_LEFT] = {"the %s temple", "the temples"},
    [LW_SIDEBURN_LEFT] = {"the %s sideburn", "the sideburns"},
    [LW_EAR_TOP_LEFT] = {"the top of the %s ear", "the tops of the ears"},
    [LW_BEHIND_EAR_LEFT] = {"the hairline behind the %s ear", "the hairline behind the ears"},
    [LW_NAPE_CORNER_LEFT] = {"the %s nape corner", "the nape corners"},
    [LW_PARIETAL_RIDGE_LEFT] = {"the %s parietal ridge", "the parietal ridge"},
};

/* The paired landmarks come left then right. */
static bool paired(lw_landmark id) { return lw_landmark_mirror(id) != id; }
static bool is_right(lw_landmark id) { return paired(id) && (id & 1); }
static lw_landmark left_of(lw_landmark id) { return is_right(id) ? lw_landmark_mirror(id) : id; }

static void say_landmark(char *out, size_t size, lw_landmark id, bool both) {
    const spoken *s = &landmarks[left_of(id)];
    const char *form = both && s->both ? s->both : s->one, *at = strstr(form, "%s");
    if (at)
        snprintf(out, size, "%.*s%s%s", (int)(at - form), form, is_right(id) ? "right" : "left", at + 2);
    else
        snprintf(out, size, "%s", form);
}

void say_place(char out[SAY_PLACE_MAX], lw_place place) {
    char from[64], to[64], part[32];
    if (place.from < 0) {
        out[0] = 0;
        return;
    }
    say_landmark(from, sizeof from, (lw_landmark)place.from, false);
    if (place.to < 0) {
        snprintf(out, SAY_PLACE_MAX, "%s", from);
        return;
    }
    say_landmark(to, sizeof to, (lw_landmark)place.to, false);
    fraction_text(part, place.at);
    if (fabs(place.at - 0.5) < 1e-3)
        snprintf(out, SAY_PLACE_MAX, "the point halfway from %s to %s", from, to);
    else
        snprintf(out, SAY_PLACE_MAX, "the point %s of the way from %s to %s", part, from, to);
}

static void part_name(char *out, size_t size, const char *name) {
    if (strcmp(name, "all") == 0)
        snprintf(out, size, "the whole head");
    else
        snprintf(out, size, "\xE2\x80\x9C%s\xE2\x80\x9D", name);
}

/* ---- where, and in which panels ----------------------------------------------------------- */

static const char *edge_name(lw_edge edge) {
    static const char *const at[] = {
        [LW_EDGE_BOTTOM] = "bottom", [LW_EDGE_TOP] = "top",   [LW_EDGE_FRONT] = "front",
        [LW_EDGE_BACK] = "back",     [LW_EDGE_LEFT] = "left", [LW_EDGE_RIGHT] = "right",
        [LW_EDGE_CENTRE] = "middle"};
    return at[edge];
}

static const char *const RUN = "steps[].panels.run", *const SECTION = "steps[].section",
                         *const CARRY = "steps[].hold.carry", *const TOWARD = "steps[].hold.toward",
                         *const ELEVATION = "steps[].hold.elevation",
                         *const DIRECTION = "steps[].hold.direction", *const LINE = "steps[].line",
                         *const KIND = "steps[].guide.kind";

static void say_panels(saying *s, const lw_panels *p) {
    char pivot[SAY_PLACE_MAX];
    bool diagonal = p->family == LW_FAMILY_DIAGONAL_FORWARD || p->family == LW_FAMILY_DIAGONAL_BACK;
    const char *kind = p->family == LW_FAMILY_LEVEL     ? "level"
                       : p->family == LW_FAMILY_UPRIGHT ? "upright"
                       : diagonal                       ? "diagonal"
                                                        : NULL;
    if (kind) choice(s, RUN, "%s", kind);
    words(s, kind ? " panels " : "panels ");
    if (p->family == LW_FAMILY_ACROSS) choice(s, RUN, "from side to side");
    if (p->family == LW_FAMILY_ALONG) choice(s, RUN, "from front to back");
    if (p->family == LW_FAMILY_RADIAL) {
        say_place(pivot, p->pivot);
        choice(s, RUN, "that fan");
        words(s, " about ");
        choice(s, "steps[].panels.pivot", "%s", pivot);
    }
    if (!kind) words(s, ", ");
    plan_length(s, "steps[].panels.thickness", p->thickness);
    words(s, p->family == LW_FAMILY_RADIAL ? " thick at the outer edge" : " thick");
    if (!diagonal) return;
    words(s, ", sloping down toward the ");
    choice(s, RUN, "%s", p->family == LW_FAMILY_DIAGONAL_FORWARD ? "face" : "back of the head");
    words(s, " at ");
    degrees(s, "steps[].panels.angle", p->angle);
}

static void say_start(saying *s, const lw_step *step, bool single) {
    char part[LW_NAME_MAX + 16];
    part_name(part, sizeof part, step->section);
    if (single) {
        words(s, "Take ");
        choice(s, SECTION, "%s", part);
        words(s, " as ");
        choice(s, "steps[].panels.thickness", "one panel");
        words(s, ".");
        return;
    }
    lw_edge edge = lw_panels_start(&step->panels);
    words(s, "From the ");
    choice(s, "steps[].panels.start", "%s", edge_name(edge));
    words(s, " of ");
    choice(s, SECTION, "%s", part);
    words(s, ", take ");
    say_panels(s, &step->panels);
    if (edge == LW_EDGE_CENTRE) {
        words(s, ", going outward ");
        choice(s, "steps[].panels.order", "%s",
               step->panels.order == LW_ORDER_ALTERNATE ? "one panel on each side in turn"
                                                        : "over one side and then over the other");
    }
    words(s, ".");
}

/* ---- the hold ----------------------------------------------------------------------------- */

static bool is_degrees(double radians, double wanted) { return fabs(radians / DEGREE - wanted) < 0.5; }

static void say_elevation(saying *s, const lw_hold *h) {
    bool scalp = h->reference == LW_FROM_SCALP;
    const char *from = scalp ? "the scalp" : "plumb", *plain = NULL;
    if (in_full(s)) {
        if (is_degrees(h->elevation, 0)) plain = scalp ? "flat in natural fall" : "hanging straight down";
        if (is_degrees(h->elevation, 90)) plain = scalp ? "straight out from the scalp" : "level";
        if (is_degrees(h->elevation, 180)) plain = scalp ? "flat against natural fall" : "straight up";
    }
    if (plain)
        words(s, "%s (", plain);
    else
        words(s, "at ");
    degrees(s, ELEVATION, h->elevation);
    bool said = plain && scalp && is_degrees(h->elevation, 90);
    if (!said) words(s, " from ");
    if (!said) choice(s, "steps[].hold.from", "%s", from);
    if (plain) words(s, ")");
    if (fabs(h->turn) < 0.5 * DEGREE) return;
    words(s, ", turned ");
    degrees(s, "steps[].hold.turn", fabs(h->turn));
    words(s, " ");
    choice(s, "steps[].hold.turn", "%s", h->turn > 0 ? "clockwise" : "anticlockwise");
    words(s, " as you look at the head");
}

/* One direction for the whole step, by name where it has one. */
static void say_direction(saying *s, const lw_hold *h) {
    static const struct {
        double bearing, rise;
        const char *words;
    } named[] = {{0, 0, "straight to the front"},
                 {90, 0, "straight out to the client's left"},
                 {180, 0, "straight back"},
                 {-180, 0, "straight back"},
                 {-90, 0, "straight out to the client's right"}};
    if (is_degrees(h->rise, 90) || is_degrees(h->rise, -90)) {
        choice(s, DIRECTION, "straight %s", h->rise > 0 ? "up" : "down");
        return;
    }
    for (size_t i = 0; i < sizeof named / sizeof *named; i++)
        if (is_degrees(h->bearing, named[i].bearing) && is_degrees(h->rise, named[i].rise)) {
            choice(s, DIRECTION, "%s", named[i].words);
            return;
        }
    words(s, "at a bearing of ");
    degrees(s, "steps[].hold.direction.bearing", fabs(h->bearing));
    words(s, " from the front toward the client's %s", h->bearing < 0 ? "right" : "left");
    if (is_degrees(h->rise, 0)) {
        words(s, ", ");
        choice(s, "steps[].hold.direction.rise", "level");
        return;
    }
    words(s, " and ");
    degrees(s, "steps[].hold.direction.rise", fabs(h->rise));
    words(s, " %s level", h->rise > 0 ? "above" : "below");
}

/* "Carry it halfway to the panel before it, hold it ", or how the sentence begins where nothing is carried.
 */
static void say_carry(saying *s, const lw_hold *h, const char *panel) {
    char to[SAY_PLACE_MAX], text[64], part[32];
    if (fabs(h->carry) < 1e-6) {
        words(s, " Hold %s ", panel);
        choice(s, CARRY, "at its own place");
        words(s, ", ");
        return;
    }
    bool back = h->target == LW_TOWARD_PREVIOUS && h->carry > 1 + 1e-6;
    fraction_text(part, h->carry);
    if (back)
        snprintf(text, sizeof text, "%s", part);
    else if (fabs(h->carry - 1) < 1e-6)
        snprintf(text, sizeof text, "all the way");
    else if (fabs(h->carry - 0.5) < 1e-3)
        snprintf(text, sizeof text, "halfway");
    else
        snprintf(text, sizeof text, "%s of the way", part);
    if (h->target == LW_TOWARD_PREVIOUS)
        snprintf(to, sizeof to, "the panel before it");
    else if (h->target == LW_TOWARD_PANEL)
        snprintf(to, sizeof to, "panel %d", h->panel);
    else
        say_place(to, h->place);
    words(s, " Carry %s ", panel);
    number(s, CARRY, text, back ? " panels back" : "");
    if (!back) words(s, " to ");
    if (!back) choice(s, TOWARD, "%s", to);
    words(s, ", hold it ");
}

static void say_line(saying *s, const lw_line *line) {
    static const char *const longer[] = {[LW_EDGE_BOTTOM] = "downward",
                                         [LW_EDGE_TOP] = "upward",
                                         [LW_EDGE_FRONT] = "toward the face",
                                         [LW_EDGE_BACK] = "toward the back",
                                         [LW_EDGE_LEFT] = "toward the client's left",
                                         [LW_EDGE_RIGHT] = "toward the client's right"};
    if (line->kind == LW_LINE_FOLLOW) {
        words(s, ", and cut with the line ");
        choice(s, LINE, "following the head");
        return;
    }
    words(s, ", and cut ");
    choice(s, LINE, "a straight line");
    if (line->kind != LW_LINE_TILT) return;
    words(s, " tilted by ");
    degrees(s, "steps[].line.tilt", line->tilt);
    if (line->longer == LW_EDGE_DEFAULT || line->longer == LW_EDGE_CENTRE) return;
    words(s, ", longer ");
    choice(s, "steps[].line.longer", "%s", longer[line->longer]);
}

static void say_hold(saying *s, const lw_step *step, bool single) {
    bool fixed = step->hold.reference == LW_FIXED;
    say_carry(s, &step->hold, single ? "it" : fixed ? "every panel" : "each panel");
    if (fixed)
        say_direction(s, &step->hold);
    else
        say_elevation(s, &step->hold);
    say_line(s, &step->line);
    words(s, ".");
}

/* ---- the guide ---------------------------------------------------------------------------- */

static void say_measured(saying *s, const lw_guide *guide) {
    char at[SAY_PLACE_MAX];
    plan_length(s, "steps[].guide.length", guide->length);
    say_place(at, guide->at);
    if (at[0]) words(s, " at ");
    if (at[0]) choice(s, "steps[].guide.at", "%s", at);
}

/* "step 1, “back”": whoever reads can turn to it. */
static void say_earlier(saying *s, const lw_plan *plan, const char *name) {
    int at = 0;
    while (at < plan->step_count && strcmp(plan->steps[at].name, name) != 0) at++;
    choice(s, "steps[].guide.step", "step %d, \xE2\x80\x9C%s\xE2\x80\x9D", at + 1, name);
}

static void say_guide(saying *s, const lw_plan *plan, const lw_step *step, bool single) {
    const lw_guide *guide = &step->guide;
    bool chain = !single && (guide->kind == LW_GUIDE_TRAVELLING || guide->kind == LW_GUIDE_STATIONARY);
    bool measured = guide->length > 0;
    if (!measured && !guide->step[0]) return;
    if (chain && measured) {
        words(s, " Cut the first panel to ");
        say_measured(s, guide);
    } else if (chain) {
        words(s, " The first panel takes its length from ");
        say_earlier(s, plan, guide->step);
    } else if (measured) {
        words(s, " Cut ");
        choice(s, single ? NULL : KIND, "%s", single ? "it" : "every panel");
        words(s, " to ");
        say_measured(s, guide);
    } else {
        words(s, " ");
        choice(s, single ? NULL : KIND, "%s", single ? "It" : "Each panel");
        words(s, " takes its length from the nearest hair of ");
        say_earlier(s, plan, guide->step);
    }
    bool travels = guide->kind == LW_GUIDE_TRAVELLING;
    if (chain && measured) {
        words(s, travels ? " and " : "; ");
        choice(s, KIND, "%s", travels ? "each next one to the panel before it" : "it guides all the others");
    } else if (chain) {
        words(s, travels ? "; " : " and ");
        choice(s, KIND, "%s",
               travels ? "each next one takes it from the panel before" : "guides all the others");
    }
    words(s, ".");
}

static void say_bites(saying *s, const lw_hands *hands, const lw_step *step) {
    if (!hands->bites || step->line.kind == LW_LINE_FOLLOW) return;
    words(s, " Where the line is longer than ");
    plan_length(s, "hands.span", hands->span);
    words(s, ", cut it ");
    choice(s, "hands.bites", "bite by bite");
    words(s, ", each to the one beside it.");
}

/* ---- the technique ------------------------------------------------------------------------ */

static void share(saying *s, const char *path, double value) {
    char text[32];
    if (fabs(value - 0.5) < 1e-3) {
        number(s, path, "half", s->form == SAY_GAPS ? "" : " of");
        words(s, s->form == SAY_GAPS ? " of the hairs" : " the hairs");
        return;
    }
    snprintf(text, sizeof text, "%.0f", value * 100);
    number(s, path, text, s->form == SAY_GAPS ? "" : " %");
    words(s, " of the hairs");
}

static void guard(saying *s, const char *path, double eighths_of_inch) {
    char text[32], measure[32];
    fraction_text(text, eighths_of_inch);
    words(s, "guard ");
    number(s, path, text, "");
    if (!in_full(s)) return;
    say_length(measure, eighths_of_inch * 0.0254 / 8, s->units);
    words(s, " (%s)", measure);
}

static void say_clipper(saying *s, const lw_technique *t, bool single) {
    bool fades = !single && t->guard_to >= 0 && fabs(t->guard_to - t->guard) > 1e-9;
    words(s, fades ? " Clip the first panel with " : single ? " Clip it with " : " Clip every panel with ");
    guard(s, "steps[].technique.clipper.guard", t->guard);
    if (fades) {
        words(s, " and change evenly to ");
        guard(s, "steps[].technique.clipper.to", t->guard_to);
        words(s, " at the last");
    }
    words(s, ".");
}

static void say_comb(saying *s, const lw_technique *t) {
    words(s, " Cut ");
    choice(s, "steps[].technique", "over the comb");
    words(s, ", held ");
    plan_length(s, "steps[].technique.over_comb.distance", t->distance);
    if (t->rise > 0) {
        words(s, " from the scalp at the lowest panel and ");
        plan_length(s, "steps[].technique.over_comb.rise", t->rise * (s->units == LW_INCH ? 0.0254 : 0.01));
        words(s, " further out for every %s it climbs", s->units == LW_INCH ? "inch" : "centimetre");
    } else {
        words(s, " from the scalp ");
        choice(s, "steps[].technique.over_comb.rise", "all the way");
    }
    words(s, ".");
}

/* What is done to the ends of a line cut with the fingers. */
static void say_ends(saying *s, const lw_technique *t) {
    if (t->kind == LW_POINT) {
        words(s, " ");
        choice(s, "steps[].technique", "Point into the ends");
        words(s, ": ");
        share(s, "steps[].technique.point.share", t->share);
        words(s, " lose up to ");
        plan_length(s, "steps[].technique.point.depth", t->depth);
        words(s, ".");
    } else if (t->kind == LW_SLIDE) {
        words(s, " ");
        choice(s, "steps[].technique", "Let the blades slide");
        words(s, " along the ends, so that hairs lose up to ");
        plan_length(s, "steps[].technique.slide.depth", t->depth);
        words(s, ".");
    } else if (t->kind == LW_THIN) {
        words(s, " ");
        choice(s, "steps[].technique", "Thin the ends");
        words(s, ": ");
        share(s, "steps[].technique.thin.share", t->share);
        words(s, " lose ");
        plan_length(s, "steps[].technique.thin.depth", t->depth);
        words(s, ".");
    }
}

static void say_state(saying *s, lw_state state) {
    static const char *const how[] = {
        [LW_STATE_DRY] = "dry", [LW_STATE_WET] = "wet", [LW_STATE_CURLED] = "dry"};
    if (state == LW_STATE_INHERIT) return;
    words(s, " Cut this step ");
    choice(s, "steps[].cut", "%s", how[state]);
    words(s, state == LW_STATE_WET   ? ", the hair stretched under the comb."
             : state == LW_STATE_DRY ? ", the hair straight under the comb."
                                     : ", where the curl lies.");
}

/* ---- the whole step ----------------------------------------------------------------------- */

int say_panel_count(const tell_subject *of, int step) {
    int n = 0;
    if (!of->cut) return n;
    for (int i = 0; i < lw_cut_panel_count(of->cut); i++) n += lw_cut_panel(of->cut, i)->step == step;
    return n;
}

void say_step(char out[SAY_MAX], const tell_subject *of, int step, say_form form, int *gap) {
    const lw_step *does = &of->plan->steps[step - 1];
    saying s = begin(out, SAY_MAX, of->plan->units, form, gap);
    if (form != SAY_MARKED && !lw_step_is_cut(of->plan, step - 1)) {
        words(&s, "This step is left out.");
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
        part_name(part, sizeof part, does->mirror);
        words(&s, " Then do the same, mirrored, on ");
        choice(&s, "steps[].mirror", "%s", part);
        words(&s, ".");
    }
    end(&s, gap);
}

/* ---- partings ----------------------------------------------------------------------------- */

/* "the crown, the apex and the recessions": places of a list, each its own control. */
static void say_places(saying *s, const char *path, const lw_place *places, int count, const char *first,
                       const char *last) {
    char place[SAY_PLACE_MAX], at[64];
    for (int i = 0; i < count; i++) {
        say_place(place, places[i]);
        snprintf(at, sizeof at, "%s[%d]", path, i);
        if (i > 0) words(s, "%s", i + 1 == count ? last : i == 1 ? first : ", ");
        choice(s, at, "%s", place);
    }
}

/* Where the line runs. */
static void say_way(saying *s, const lw_parting *p) {
    char place[SAY_PLACE_MAX];
    say_place(place, p->places[0]);
    if (p->kind == LW_PARTING_CENTRE && fabs(p->offset) < 1e-6) {
        choice(s, "sections[].parting.centre", "down the centre");
    } else if (p->kind == LW_PARTING_CENTRE) {
        words(s, "from front to back, ");
        plan_length(s, "sections[].parting.centre", fabs(p->offset));
        words(s, " to the client's %s of the midline", p->offset > 0 ? "left" : "right");
    } else if (p->kind == LW_PARTING_LEVEL) {
        words(s, "level through ");
        choice(s, "sections[].parting.level", "%s", place);
    } else if (p->kind == LW_PARTING_UPRIGHT) {
        words(s, "upright from side to side through ");
        choice(s, "sections[].parting.upright", "%s", place);
    } else if (p->kind == LW_PARTING_RIDGE) {
        words(s, "round ");
        choice(s, "sections[].parting", "the parietal ridge");
    } else if (p->kind == LW_PARTING_THROUGH) {
        words(s, "flat through ");
        say_places(s, "sections[].parting.through", p->places, p->count, ", ", " and ");
    } else {
        words(s, "from ");
        say_places(s, "sections[].parting.chain", p->places, p->count, " by ", " to ");
        if (p->closed) words(s, " and back to the beginning");
    }
    bool moved = p->kind == LW_PARTING_LEVEL || p->kind == LW_PARTING_UPRIGHT;
    if (!moved || fabs(p->offset) < 1e-6) return;
    bool level = p->kind == LW_PARTING_LEVEL;
    words(s, ", ");
    plan_length(s, level ? "sections[].parting.raise" : "sections[].parting.forward", fabs(p->offset));
    words(s, level ? (p->offset > 0 ? " higher" : " lower")
                   : (p->offset > 0 ? " nearer the face" : " further back"));
}

void say_parting(char out[SAY_MAX], const lw_plan *plan, int split, say_form form) {
    const lw_split *of = &plan->splits[split];
    const lw_parting *p = &of->parting;
    saying s = begin(out, SAY_MAX, plan->units, form, NULL);
    char part[LW_NAME_MAX + 16], first[LW_NAME_MAX + 16], second[LW_NAME_MAX + 16], toward[SAY_PLACE_MAX];
    part_name(part, sizeof part, of->part);
    part_name(first, sizeof first, of->first);
    part_name(second, sizeof second, of->second);
    say_place(toward, p->toward);
    words(&s, "Part ");
    choice(&s, "sections[].split", "%s", part);
    words(&s, " ");
    say_way(&s, p);
    words(&s, ": ");
    choice(&s, "sections[].into[0]", "%s", first);
    bool inside = p->kind == LW_PARTING_RIDGE || (p->kind == LW_PARTING_CHAIN && p->closed);
    bool sided = !inside && (p->kind == LW_PARTING_THROUGH || p->kind == LW_PARTING_CHAIN);
    if (sided) {
        words(&s, " on the side of ");
        choice(&s, "sections[].parting.toward", "%s", toward);
    }
    words(&s, inside                          ? " inside, "
              : sided                         ? ", "
              : p->kind == LW_PARTING_LEVEL   ? " above, "
              : p->kind == LW_PARTING_UPRIGHT ? " in front, "
                                              : " on the left, ");
    choice(&s, "sections[].into[1]", "%s", second);
    words(&s, inside                          ? " outside."
              : sided                         ? " on the other."
              : p->kind == LW_PARTING_LEVEL   ? " below."
              : p->kind == LW_PARTING_UPRIGHT ? " behind."
                                              : " on the right.");
}

/* ---- what it leaves ----------------------------------------------------------------------- */

/* The least difference that is worth telling: 4 mm, or 6 % of the length. Ours, as for plan shapes. */
static double telling(double length) { return fmax(4e-3, 0.06 * length); }

/* The step that sets the hair nearest to p; 0 none. */
static int step_at(const tell_subject *of, lw_vec3 p) {
    int best = -1;
    double nearest = INFINITY;
    for (int i = 0; i < lw_scalp_count(of->scalp); i++) {
        lw_vec3 r = lw_scalp_root(of->scalp, i);
        double x = r.x - p.x, y = r.y - p.y, z = r.z - p.z, d = x * x + y * y + z * z;
        if (d < nearest) nearest = d, best = i;
    }
    int panel = best < 0 ? -1 : lw_cut_set_by(of->cut)[best];
    return panel < 0 ? 0 : lw_cut_panel(of->cut, panel)->step;
}

static int by_length(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* 5th and 95th percentile of the lengths that a step sets; false where it sets none or memory runs out. */
static bool spread(const tell_subject *of, int step, double *low, double *high) {
    int all = lw_scalp_count(of->scalp), n = 0;
    double *lengths = malloc((size_t)all * sizeof *lengths);
    for (int i = 0; lengths && i < all; i++) {
        int panel = lw_cut_set_by(of->cut)[i];
        if (panel >= 0 && lw_cut_panel(of->cut, panel)->step == step)
            lengths[n++] = lw_cut_lengths(of->cut)[i];
    }
    if (n) {
        qsort(lengths, (size_t)n, sizeof *lengths, by_length);
        *low = lengths[(int)(0.05 * (n - 1))];
        *high = lengths[(int)(0.95 * (n - 1))];
    }
    free(lengths);
    return n > 0;
}

typedef struct leaves {
    int shortest, longest; /* landmarks; -1 none */
    bool has[LW_LANDMARK_COUNT];
} leaves;

static leaves find_leaves(const tell_subject *of, int step) {
    leaves l = {.shortest = -1, .longest = -1};
    const double *length = of->reading->landmark;
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        lw_vec3 at = lw_head_landmark(of->head, (lw_landmark)i);
        if (!isfinite(length[i]) || lw_cut_panel_at(of->cut, step, at) < 0) continue;
        l.has[i] = step_at(of, at) == step;
        if (!l.has[i]) continue;
        if (l.shortest < 0 || length[i] < length[l.shortest] - 1e-4) l.shortest = i;
        if (l.longest < 0 || length[i] > length[l.longest] + 1e-4) l.longest = i;
    }
    return l;
}

/* "3.2 cm at the nape corners": both of a pair where both are the step's and as long as each other. */
static void length_at(saying *s, const tell_subject *of, const leaves *l, int id) {
    char at[64];
    const double *length_there = of->reading->landmark;
    int other = (int)lw_landmark_mirror((lw_landmark)id);
    bool both = l->has[other] && fabs(length_there[id] - length_there[other]) < 5e-4;
    length(s, length_there[id]);
    say_landmark(at, sizeof at, (lw_landmark)id, both);
    words(s, " at %s", at);
}

static bool cuts_something(const tell_subject *of, int step) {
    for (int i = 0; i < lw_cut_panel_count(of->cut); i++) {
        const lw_panel *p = lw_cut_panel(of->cut, i);
        if (p->step == step && p->cut > 0) return true;
    }
    return false;
}

static void say_curl(saying *s, const lw_hair *hair) {
    char text[32];
    if (!(hair->coil_diameter > 0)) return;
    snprintf(text, sizeof text, "%.0f", 100 * lw_hair_lies(hair, 1));
    words(s, " That is drawn straight; where the curl lies it measures ");
    number(s, NULL, text, " %");
    words(s, " of it.");
}

void say_result(char out[SAY_MAX], const tell_subject *of, int step, say_form form, int *gap) {
    saying s = begin(out, SAY_MAX, of->plan->units, form, gap);
    double low, high;
    if (!spread(of, step, &low, &high)) {
        if (cuts_something(of, step)) words(&s, "What it leaves is cut again by later steps.");
        return;
    }
    leaves l = find_leaves(of, step);
    const double *at = of->reading->landmark;
    bool two = l.shortest >= 0 && at[l.longest] - at[l.shortest] > telling(at[l.shortest]);
    words(&s, "It leaves ");
    if (high - low <= telling(low) && !two) {
        words(&s, "about ");
        length(&s, (low + high) / 2);
        words(&s, " everywhere");
    } else if (two) {
        double rise = lw_head_landmark(of->head, (lw_landmark)l.longest).y -
                      lw_head_landmark(of->head, (lw_landmark)l.shortest).y;
        length_at(&s, of, &l, l.shortest);
        words(&s, rise > 0.01 ? ", rising to " : rise < -0.01 ? ", lengthening down to " : ", growing to ");
        length_at(&s, of, &l, l.longest);
    } else {
        words(&s, "lengths from ");
        length(&s, low);
        words(&s, " to ");
        length(&s, high);
    }
    words(&s, ".");
    say_curl(&s, &of->plan->hair);
    end(&s, gap);
}

/* ---- warnings ----------------------------------------------------------------------------- */

/* The cut's own words, in which lengths are in mm and areas in cm2, with numbers as gaps where gaps are
 * wanted.
 */
static void retell(saying *s, const char *message) {
    for (const char *c = message; *c;) {
        char *after;
        if (*c == '"') {
            words(s, c == message || c[-1] == ' ' ? "\xE2\x80\x9C" : "\xE2\x80\x9D");
            c++;
            continue;
        }
        if (*c < '0' || *c > '9') {
            words(s, "%c", *c++);
            continue;
        }
        double value = strtod(c, &after);
        char text[32];
        if (strncmp(after, " mm", 3) == 0) {
            length(s, value / 1000);
            after += 3;
        } else if (strncmp(after, " cm2", 4) == 0) {
            bool inches = s->units == LW_INCH;
            snprintf(text, sizeof text, "%.0f", inches ? value / (2.54 * 2.54) : value);
            number(s, NULL, text, inches ? " sq in" : " sq cm");
            after += 4;
        } else {
            snprintf(text, sizeof text, "%.*s", (int)(after - c < 31 ? after - c : 31), c);
            number(s, NULL, text, "");
        }
        c = after;
    }
}

void say_capital(char *text) {
    if (*text >= 'a' && *text <= 'z') *text = (char)(*text - 'a' + 'A');
}

void say_message(char *out, size_t size, const char *message, lw_units units) {
    saying s = begin(out, size, units, SAY_PLAIN, NULL);
    retell(&s, message);
}

void say_warnings(char out[SAY_MAX], const tell_subject *of, int step, say_form form, int *gap) {
    saying s = begin(out, SAY_MAX, of->plan->units, form, gap);
    for (int i = 0; i < lw_cut_warning_count(of->cut); i++) {
        const lw_warning *w = lw_cut_warning(of->cut, i);
        if (w->step != step) continue;
        words(&s, "%sWatch out: ", s.size ? " " : "");
        retell(&s, w->message);
        char remedy[sizeof w->remedy];
        snprintf(remedy, sizeof remedy, "%s", w->remedy);
        say_capital(remedy);
        words(&s, ". %s.", remedy);
    }
    end(&s, gap);
}
