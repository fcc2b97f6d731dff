/* A step of Newton's method for as many hairs as a register holds floats: what it needs to be found, and the
 * step. A pose wants doubles: the energy of two poses is compared, and slopes cancel where hair is at rest.
 * From slopes that have cancelled a step can be found in floats; a ten-thousandth of it, which that costs,
 * the next step makes good.
 *
 * Lengths are in edges and energies in what it takes to bend an edge by a radian, hair for hair, so that
 * whatever the hair its numbers are near 1; but how deep in the ground is in metres, and how the ground bends
 * in 1/m. */
#ifndef LW_CORE_RODS_STEP_H
#define LW_CORE_RODS_STEP_H

#include "rods.h"
#include "rods_lanes.h"

#ifdef RODS_EXACT
#define RODS_STEP RODS_NAMED(rods_exact_step)
#else
#define RODS_STEP RODS_NAMED(rods_step)
#endif

#define SLIP 5e-4 /* metres by which a node must be dragged for most of its friction */

/* A symmetric matrix as L D L', low pivots raised: what is below the diagonal of -L, and -1 / D. */
typedef struct factors {
    step_lanes a21, a31, a32, d1, d2, d3;
} factors;

typedef struct step_node {
    /* The edge that leads to it: its direction and the section's second axis, halfway; what it pulls at its
     * ends with; and the moment, what that is along the difference of their turns. The middle turns by
     * (u + u')/2 - lag x (u' - u) where they turn by u and u'. twice is 2 C, C the cosine of a quarter of the
     * turn between them. */
    step_lanes3 tangent, second, pull, moment, lag;
    step_lanes twice;
    step_lanes3 force; /* slope of all that hangs from its middle, along its place */
    step_lanes3 slope; /* of all there is, along that difference */
    /* The ground: how deep in it, gradient, second derivatives. */
    step_lanes depth;
    step_lanes3 out;
    step_lanes6 bent;
    /* Friction: with what it is held; by how much it was dragged, and an edge, over sqrt(that^2 + SLIP^2). */
    step_lanes grip, per;
    step_lanes3 dragged;
    step_lanes6 crowd; /* what other hair does, quadratic */
    step_lanes3 turn;  /* out: the step */

    step_lanes6 elastic; /* second variation along the difference of the turns */
    /* For u and r, turn and move of the node before: L' (turn - u) = by_one + by_turn u + by_place r. */
    factors factors;
    step_lanes9 by_turn, by_place;
    step_lanes3 by_one;
    bool touches; /* in: some hair feels ground, friction or other hair there */
    bool held;    /* in: some hair is held there by friction */
    bool places;  /* by_place is known: some hair touched there or further out when it was last found */
} step_node;

typedef struct step {
    int nodes;
    bool grounded, crowded;  /* there is ground; other hair takes room */
    step_lanes bend2, twist; /* stiffnesses over the first */
    step_lanes near;         /* share of what makes the second variation indefinite that is taken along */
    step_lanes least;        /* pivot */
    step_lanes firm;         /* of the ground: its spring over the depth */
    step_lanes edge;         /* metres */
    step_lanes slips;        /* edges in SLIP, squared, times 1.5 */
    step_lanes most;         /* out: largest turn; not finite if any is not */
    step_lanes sure;         /* out: 1 where all pivots were above zero */
    step_lanes missed;       /* out: what ground and friction, being no springs, leave to turn after it */
    step_node node[RODS_NODES_MAX];
} step;

/* B' a, where the edge's middle turns by u + B d, B d = d / 2 - lag x d, if its near end turns by u and its
 * far end by u + d. */
INLINE lanes3 half_way(lanes3 a, lanes3 lag) { return along(cross(lag, a), a, all(.5)); }

/* The step and, if `whole`, all that is found with it; otherwise with the second variation found last, of
 * tangents, lags and slopes alone. */
void RODS_STEP(step *s, bool whole);

#endif
