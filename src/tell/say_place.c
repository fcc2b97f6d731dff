/* Places and parts of the head as they are said. */
#include "saying.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

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

void say_landmark(char *out, size_t size, lw_landmark id, bool both) {
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
    say_fraction(part, place.at);
    if (fabs(place.at - 0.5) < 1e-3)
        snprintf(out, SAY_PLACE_MAX, "the point halfway from %s to %s", from, to);
    else
        snprintf(out, SAY_PLACE_MAX, "the point %s of the way from %s to %s", part, from, to);
}

void say_part(char *out, size_t size, const char *name) {
    if (strcmp(name, "all") == 0)
        snprintf(out, size, "the whole head");
    else
        snprintf(out, size, "\xE2\x80\x9C%s\xE2\x80\x9D", name);
}
