/* One hair as an elastic rod: its energy with first and second variation (rod_energy.c), and what it comes to
 * rest at (rod.c). lw_rod in the public header says what a rod is; docs/model.md defines the energy.
 *
 * A pose is one frame a node: the rotation whose columns are the two axes of the section and the tangent. The
 * sign of its quaternion counts: neighbours whose product is below 0 are more than half a turn apart. Frame 0
 * is the clamp's and never moves. Variations are turns exp(u_i) of frame i by world vectors u_i, i from 1;
 * vectors of variables hold them one after the other, 3 (nodes - 1) numbers. */
#ifndef LW_CORE_ROD_H
#define LW_CORE_ROD_H

#include "quat.h"

enum { ROD_NODES_MAX = 256 };

/* What lw_rod says, checked and made ready. */
struct rod {
    lw_rod in;
    double edge;      /* metres between nodes */
    lw_vec3 down;     /* unit */
    lw_vec3 lean;     /* unit */
    double stiffness; /* of the ground, N/m */
    double moment; /* of the largest loads and the largest stiffness: what a residual is held against, N m */
    quat clamp;    /* frame 0 */
};

/* Checks what was given and makes it ready. */
lw_status rod_make(struct rod *out, const lw_rod *in, lw_error *error);

/* The held pose. */
void rod_start(quat *frame, const struct rod *r);

/* Energy of a pose in joules; its nodes go to at[nodes]. Not finite where the ground is not. */
double rod_energy(lw_vec3 *at, const struct rod *r, const quat *frame);

/* First variation of the energy at a pose whose nodes are `at`: slope[variables]; and, unless NULL, the
 * second: the whole of curvature[variables * variables]. */
void rod_variation(double *slope, double *curvature, const struct rod *r, const quat *frame,
                   const lw_vec3 *at);

/* Moment in each edge, N m, along its section's axes: moment[nodes - 1]. */
void rod_moments(lw_vec3 *moment, const struct rod *r, const quat *frame);

/* Lets the rod go from the pose in frame[] and leaves it at rest there, with its nodes in at[]. */
lw_status rod_settle(quat *frame, lw_vec3 *at, lw_rod_report *report, const struct rod *r, lw_error *error);

static inline int rod_variables(const struct rod *r) { return 3 * (r->in.nodes - 1); }

#endif
