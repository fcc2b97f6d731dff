/* A plan carried out: what the tests of cuts and of their drawings look at. After cmocka.h. */
#ifndef LW_TESTS_CARRIED_OUT_H
#define LW_TESTS_CARRIED_OUT_H

#include <string.h>

#include "draw.h"
#include "example.h"

typedef struct carried_out {
    lw_plan plan;
    lw_head *head;
    lw_scalp *scalp;
    lw_cut *cut;
    lw_reading reading;
    lw_fall *fall;
    lw_fallen fallen;
    draw_subject subject; /* of the above: carried_out stays where it is */
    bool lent;            /* the head and its roots are not its own */
} carried_out;

/* The plan and, where lent, the head and its roots are there already. */
static inline void carry_out_with(carried_out *c, lw_cut_options options) {
    lw_error error = {0};
    if ((!c->lent && (lw_head_new(&c->head, &c->plan.head, &error) ||
                      lw_scalp_new(&c->scalp, c->head, &c->plan.scalp, &error))) ||
        lw_cut_new(&c->cut, c->head, c->scalp, &c->plan, &options, &error) ||
        lw_reading_new(&c->reading, c->cut, &error))
        fail_msg("%s: %s", error.place, error.message);
    c->subject = (draw_subject){&c->plan, c->head, c->scalp, c->cut, &c->reading, NULL};
}

static inline void carry_out(carried_out *c) { carry_out_with(c, lw_cut_default()); }

/* hairs is 0 for as many as the plan says. */
static inline void carry_out_example(carried_out *c, const char *name, int hairs) {
    *c = (carried_out){0};
    example_read(&c->plan, name);
    if (hairs) c->plan.scalp.count = hairs;
    carry_out(c);
}

/* Some of its hair falls, makes room up to so many times, and is read. */
static inline void let_it_fall(carried_out *c, int hairs, int packings) {
    lw_error error = {0};
    lw_fall_options options = lw_fall_default();
    options.hairs = hairs, options.packings = packings;
    if (lw_fall_new(&c->fall, c->scalp, lw_cut_lengths(c->cut), &c->plan, &options, &error) ||
        lw_fallen_new(&c->fallen, c->head, lw_fall_strands(c->fall), lw_fall_section(c->fall), NULL, &error))
        fail_msg("%s: %s", error.place, error.message);
    c->subject.fallen = &c->fallen;
}

/* text is JSON. */
static inline void carried_out_read(carried_out *c, const char *text, int hairs) {
    lw_error error = {0};
    *c = (carried_out){0};
    if (lw_plan_read(&c->plan, text, strlen(text), &error))
        fail_msg("%d: %s: %s in %s", error.line, error.place, error.message, text);
    c->plan.scalp.count = hairs;
}

static inline void put_away(carried_out *c) {
    lw_reading_clear(&c->reading);
    lw_fallen_clear(&c->fallen);
    lw_fall_free(c->fall);
    lw_cut_free(c->cut);
    if (!c->lent) lw_scalp_free(c->scalp);
    if (!c->lent) lw_head_free(c->head);
    lw_plan_clear(&c->plan);
}

#endif
