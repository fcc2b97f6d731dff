/* How a panel is held: carried where, held at which angle, cut along which line. */
#include "saying.h"

#include <math.h>
#include <stdio.h>

static const double DEGREE = 3.14159265358979323846 / 180;
static const char *const CARRY = "steps[].hold.carry", *const TOWARD = "steps[].hold.toward",
                         *const ELEVATION = "steps[].hold.elevation",
                         *const DIRECTION = "steps[].hold.direction", *const LINE = "steps[].line";

static bool is_degrees(double radians, double wanted) { return fabs(radians / DEGREE - wanted) < 0.5; }

static void say_elevation(saying *s, const lw_hold *h) {
    bool scalp = h->reference == LW_FROM_SCALP;
    const char *from = scalp ? "the scalp" : "plumb", *plain = NULL;
    if (say_in_full(s)) {
        if (is_degrees(h->elevation, 0)) plain = scalp ? "flat in natural fall" : "hanging straight down";
        if (is_degrees(h->elevation, 90)) plain = scalp ? "straight out from the scalp" : "level";
        if (is_degrees(h->elevation, 180)) plain = scalp ? "flat against natural fall" : "straight up";
    }
    if (plain)
        say_words(s, "%s (", plain);
    else
        say_words(s, "at ");
    say_degrees(s, ELEVATION, h->elevation);
    bool said = plain && scalp && is_degrees(h->elevation, 90);
    if (!said) say_words(s, " from ");
    if (!said) say_choice(s, "steps[].hold.from", "%s", from);
    if (plain) say_words(s, ")");
    if (fabs(h->turn) < 0.5 * DEGREE) return;
    say_words(s, ", turned ");
    say_degrees(s, "steps[].hold.turn", fabs(h->turn));
    say_words(s, " ");
    say_choice(s, "steps[].hold.turn", "%s", h->turn > 0 ? "clockwise" : "anticlockwise");
    say_words(s, " as you look at the head");
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
        say_choice(s, DIRECTION, "straight %s", h->rise > 0 ? "up" : "down");
        return;
    }
    for (size_t i = 0; i < sizeof named / sizeof *named; i++)
        if (is_degrees(h->bearing, named[i].bearing) && is_degrees(h->rise, named[i].rise)) {
            say_choice(s, DIRECTION, "%s", named[i].words);
            return;
        }
    say_words(s, "at a bearing of ");
    say_degrees(s, "steps[].hold.direction.bearing", fabs(h->bearing));
    say_words(s, " from the front toward the client's %s", h->bearing < 0 ? "right" : "left");
    if (is_degrees(h->rise, 0)) {
        say_words(s, ", ");
        say_choice(s, "steps[].hold.direction.rise", "level");
        return;
    }
    say_words(s, " and ");
    say_degrees(s, "steps[].hold.direction.rise", fabs(h->rise));
    say_words(s, " %s level", h->rise > 0 ? "above" : "below");
}

/* "Carry it halfway to the panel before it, hold it ", or how the sentence begins where nothing is carried.
 */
static void say_carry(saying *s, const lw_hold *h, const char *panel) {
    char to[SAY_PLACE_MAX], text[64], part[32];
    if (fabs(h->carry) < 1e-6) {
        say_words(s, " Hold %s ", panel);
        say_choice(s, CARRY, "at its own place");
        say_words(s, ", ");
        return;
    }
    bool back = h->target == LW_TOWARD_PREVIOUS && h->carry > 1 + 1e-6;
    say_fraction(part, h->carry);
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
    say_words(s, " Carry %s ", panel);
    say_number(s, CARRY, text, back ? " panels back" : "");
    if (!back) say_words(s, " to ");
    if (!back) say_choice(s, TOWARD, "%s", to);
    say_words(s, ", hold it ");
}

static void say_line(saying *s, const lw_line *line) {
    static const char *const longer[] = {[LW_EDGE_BOTTOM] = "downward",
                                         [LW_EDGE_TOP] = "upward",
                                         [LW_EDGE_FRONT] = "toward the face",
                                         [LW_EDGE_BACK] = "toward the back",
                                         [LW_EDGE_LEFT] = "toward the client's left",
                                         [LW_EDGE_RIGHT] = "toward the client's right"};
    if (line->kind == LW_LINE_FOLLOW) {
        say_words(s, ", and cut with the line ");
        say_choice(s, LINE, "following the head");
        return;
    }
    say_words(s, ", and cut ");
    say_choice(s, LINE, "a straight line");
    if (line->kind != LW_LINE_TILT) return;
    say_words(s, " tilted by ");
    say_degrees(s, "steps[].line.tilt", line->tilt);
    if (line->longer == LW_EDGE_DEFAULT || line->longer == LW_EDGE_CENTRE) return;
    say_words(s, ", longer ");
    say_choice(s, "steps[].line.longer", "%s", longer[line->longer]);
}

void say_hold(saying *s, const lw_step *step, bool single) {
    bool fixed = step->hold.reference == LW_FIXED;
    say_carry(s, &step->hold, single ? "it" : fixed ? "every panel" : "each panel");
    if (fixed)
        say_direction(s, &step->hold);
    else
        say_elevation(s, &step->hold);
    say_line(s, &step->line);
    say_words(s, ".");
}
