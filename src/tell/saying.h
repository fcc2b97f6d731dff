/* A sentence that is being said, in one of its forms: saying.c. What the files of sentences, say_*.c, ask of
 * it and of each other. */
#ifndef LW_TELL_SAYING_H
#define LW_TELL_SAYING_H

#include "tell.h"

typedef struct saying {
    char *out;
    size_t size, room;
    say_form form;
    int gap;
    lw_units units;
} saying;

/* gap may be NULL, as for say_step; say_end tells it the number of the last gap. */
saying say_begin(char *out, size_t room, lw_units units, say_form form, const int *gap);
void say_end(const saying *s, int *gap);

/* Whether the sentence is whole. */
bool say_in_full(const saying *s);

/* Words of the sentence: in every form but the answers. */
__attribute__((format(printf, 2, 3))) void say_words(saying *s, const char *format, ...);

/* Words that a field of the plan chose. path: as in the table of fields; NULL: of no field. */
__attribute__((format(printf, 3, 4))) void say_choice(saying *s, const char *path, const char *format, ...);

/* A number and the unit after it. */
void say_number(saying *s, const char *path, const char *text, const char *unit);
void say_degrees(saying *s, const char *path, double radians);
void say_metres(saying *s, double metres); /* a result's, in the plan's unit */
void say_plan_metres(saying *s, const char *path, double metres);

/* "3/4", "2/3", "1 1/2", or a decimal where it is none of the fractions people use. */
void say_fraction(char out[32], double value);

/* ---- places: say_place.c ---- */

void say_landmark(char *out, size_t size, lw_landmark id, bool both);
void say_part(char *out, size_t size, const char *name);

/* ---- what a step does, of a single panel or of several ---- */

void say_hold(saying *s, const lw_step *step, bool single);
void say_guide(saying *s, const lw_plan *plan, const lw_step *step, bool single);
void say_bites(saying *s, const lw_hands *hands, const lw_step *step);

void say_clipper(saying *s, const lw_technique *t, bool single);
void say_comb(saying *s, const lw_technique *t);
void say_ends(saying *s, const lw_technique *t); /* of a line cut with the fingers */
void say_state(saying *s, lw_state state);

#endif
