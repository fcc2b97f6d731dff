/* A parting: where its line runs, and what it parts. */
#include "saying.h"

#include <math.h>
#include <stdio.h>

/* "the crown, the apex and the recessions": places of a list, each its own control. */
static void say_places(saying *s, const char *path, const lw_place *places, int count, const char *first,
                       const char *last) {
    char place[SAY_PLACE_MAX], at[64];
    for (int i = 0; i < count; i++) {
        say_place(place, places[i]);
        snprintf(at, sizeof at, "%s[%d]", path, i);
        if (i > 0) say_words(s, "%s", i + 1 == count ? last : i == 1 ? first : ", ");
        say_choice(s, at, "%s", place);
    }
}

/* Where the line runs. */
static void say_way(saying *s, const lw_parting *p) {
    char place[SAY_PLACE_MAX];
    say_place(place, p->places[0]);
    if (p->kind == LW_PARTING_CENTRE && fabs(p->offset) < 1e-6) {
        say_choice(s, "sections[].parting.centre", "down the centre");
    } else if (p->kind == LW_PARTING_CENTRE) {
        say_words(s, "from front to back, ");
        say_plan_metres(s, "sections[].parting.centre", fabs(p->offset));
        say_words(s, " to the client's %s of the midline", p->offset > 0 ? "left" : "right");
    } else if (p->kind == LW_PARTING_LEVEL) {
        say_words(s, "level through ");
        say_choice(s, "sections[].parting.level", "%s", place);
    } else if (p->kind == LW_PARTING_UPRIGHT) {
        say_words(s, "upright from side to side through ");
        say_choice(s, "sections[].parting.upright", "%s", place);
    } else if (p->kind == LW_PARTING_RIDGE) {
        say_words(s, "round ");
        say_choice(s, "sections[].parting", "the parietal ridge");
    } else if (p->kind == LW_PARTING_THROUGH) {
        say_words(s, "flat through ");
        say_places(s, "sections[].parting.through", p->places, p->count, ", ", " and ");
    } else {
        say_words(s, "from ");
        say_places(s, "sections[].parting.chain", p->places, p->count, " by ", " to ");
        if (p->closed) say_words(s, " and back to the beginning");
    }
    bool moved = p->kind == LW_PARTING_LEVEL || p->kind == LW_PARTING_UPRIGHT;
    if (!moved || fabs(p->offset) < 1e-6) return;
    bool level = p->kind == LW_PARTING_LEVEL;
    say_words(s, ", ");
    say_plan_metres(s, level ? "sections[].parting.raise" : "sections[].parting.forward", fabs(p->offset));
    say_words(s, level ? (p->offset > 0 ? " higher" : " lower")
                       : (p->offset > 0 ? " nearer the face" : " further back"));
}

typedef enum sides { ROUND, TOWARD, LEVEL, UPRIGHT, CENTRE } sides;

static const char *const SIDES[][2] = {
    [ROUND] = {" inside, ", " outside."},
    [TOWARD] = {", ", " on the other."},
    [LEVEL] = {" above, ", " below."},
    [UPRIGHT] = {" in front, ", " behind."},
    [CENTRE] = {" on the left, ", " on the right."},
};

static sides sides_of(const lw_parting *p) {
    switch (p->kind) {
    case LW_PARTING_RIDGE:
        return ROUND;
    case LW_PARTING_CHAIN:
        return p->closed ? ROUND : TOWARD;
    case LW_PARTING_THROUGH:
        return TOWARD;
    case LW_PARTING_LEVEL:
        return LEVEL;
    case LW_PARTING_UPRIGHT:
        return UPRIGHT;
    case LW_PARTING_CENTRE:
        break;
    }
    return CENTRE;
}

void say_parting(char out[SAY_MAX], const lw_plan *plan, int split, say_form form) {
    const lw_split *of = &plan->splits[split];
    const lw_parting *p = &of->parting;
    saying s = say_begin(out, SAY_MAX, plan->units, form, NULL);
    char part[LW_NAME_MAX + 16], first[LW_NAME_MAX + 16], second[LW_NAME_MAX + 16], toward[SAY_PLACE_MAX];
    say_part(part, sizeof part, of->part);
    say_part(first, sizeof first, of->first);
    say_part(second, sizeof second, of->second);
    say_place(toward, p->toward);
    say_words(&s, "Part ");
    say_choice(&s, "sections[].split", "%s", part);
    say_words(&s, " ");
    say_way(&s, p);
    say_words(&s, ": ");
    say_choice(&s, "sections[].into[0]", "%s", first);
    sides at = sides_of(p);
    if (at == TOWARD) {
        say_words(&s, " on the side of ");
        say_choice(&s, "sections[].parting.toward", "%s", toward);
    }
    say_words(&s, "%s", SIDES[at][0]);
    say_choice(&s, "sections[].into[1]", "%s", second);
    say_words(&s, "%s", SIDES[at][1]);
}
