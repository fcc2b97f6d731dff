/* The room that hair takes: how much of every place is filled with hair, and what that costs a hair there.
 *
 * Strands leave the volume of their hair on an even grid, each with a quadratic B-spline; divided by what of
 * the B-spline's volume lies outside the bust that is the volume fraction phi. A mass of fibres that is
 * packed closer than it lies loosely pushes back with the pressure (C. M. van Wyk, J. Text. Inst. 37:T285,
 * 1946)
 *
 *   p = firm (phi^3 - loose^3)
 *
 * so a volume of hair costs the potential mu with d mu = dp / phi:
 *
 *   mu = 1.5 firm (phi^2 - loose^2), 0 where it is less: joules per cubic metre of hair.
 *
 * It is looked up with the same B-spline that the hair was left with, and so its slope is exactly what the
 * energy of all hair together loses for a move of one.
 *
 * The grid stands still in the head's frame, whoever fills it. It is kept as two halves, each laid out as a
 * ground (ground.h) and looked up as one: the mirror image of a head of hair has the mirror image's bits. */
#ifndef LW_CORE_ROOM_H
#define LW_CORE_ROOM_H

#include "ground.h"

/* How hair packs. */
typedef struct room_law {
    double loose; /* volume fraction at which it lies without being pressed */
    double firm;  /* pascals */
} room_law;

typedef struct room_options {
    double spacing;   /* metres between samples, .001 to .05; grows where hair reaches so far that there would
                         be more than 4 million in a half */
    double up, front; /* metres by which the grid is moved, for tests */
    room_law law;
    double hold; /* share of the spring that holds hair to where it was (rods_pose.h): below 1 it moves
                    farther at once, and may swing */
    int threads;
} room_options;

typedef struct room_wall {
    int at;
    float value;
} room_wall;

typedef struct room {
    room_law law;
    double hold;
    ground half[2];    /* potential, J/m^3 of hair, for x >= 0 and x < 0 */
    double *filled[2]; /* m^3 of hair at each of their samples, those beside x = 0 being in both */
    size_t samples;    /* of a half, for which there is memory; and threads */
    int threads;
    double *own;        /* what each thread but the first has left */
    room_wall *wall[2]; /* the samples of walls */
} room;

/* What fibre this is packs like, with the modulus that its bending stiffness tells. */
room_law room_law_of(double bend, double area);

/* 5 mm, held fully, one thread; how hair packs is left open. */
room_options room_default(void);

/* The room that strands take. section[i]: m^2 of hair that strand i lays side by side, over all real hairs it
 * stands for. ground (may be NULL): the bust. *r is all zeros or was filled before; then its memory is used
 * again. room_empty frees that. Same bits for any order of the strands and any number of
 * threads. Takes time in proportion to the metres of strand, and memory of 8 bytes a sample and thread.
 * Errors: memory; a spacing out of range. */
lw_status room_fill(room *r, const lw_strands *strands, const double *section, const ground *bust,
                    const room_options *options, lw_error *error);
void room_empty(room *r);

/* The potential at p, J/m^3 of hair, and its derivatives. */
ground_shape room_shape_at(const room *r, lw_vec3 p);

/* All hair in it, m^3. */
double room_volume(const room *r);

#endif
