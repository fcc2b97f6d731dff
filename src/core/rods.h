/* Many hairs brought to rest at once (rods.c): the rods of lw_rod_rest, LANES of them side by side. */
#ifndef LW_CORE_RODS_H
#define LW_CORE_RODS_H

#include "ground.h"

struct room;

enum { RODS_NODES_MAX = 32 };

typedef struct rods_hair {
    double length;     /* metres */
    double weight;     /* N/m */
    double bend[2];    /* N m^2, about the section's first and second axis */
    double twist;      /* N m^2 */
    double curl[3];    /* 1/m: natural curvature about the two axes, natural twist */
    lw_vec3 root;      /* metres */
    double clear;      /* metres over which the ground takes up its load: skin of lw_rod */
    double press;      /* of lw_rod */
    double friction;   /* coefficient, against what it lies on */
    double section;    /* m^2 of hair: the room it takes */
    bool goes_on;      /* near where it came out: held and firmed are in, too; at_rest, it is left alone */
    bool loose;        /* in room: no spring holds it to where it was, so that it may go far in one pass */
    float moved;       /* out: metres by which its place was another before, where most */
    int16_t rounds;    /* out: iterations it took */
    int16_t firmed;    /* out: how often the ground was made 8 times as firm, since a node lay inside it */
    bool at_rest;      /* out: false where they ran out: the pose is then the lowest that was reached */
    bool straightened; /* out: it was pushed off a saddle */
    bool exact;        /* out: its steps were found in doubles; to rods_exact in: it is one of theirs */
} rods_hair;

typedef struct rods_job {
    int count, nodes;     /* hairs; nodes of each, 3 to RODS_NODES_MAX */
    rods_hair *hair;      /* count */
    float (*frame)[4];    /* count * nodes quaternions w, x, y, z. In: the pose it is let go from, frame 0 the
                             clamp's; out: at rest */
    lw_vec3 *at;          /* count * nodes, metres. In: any, for the hairs' moved; out: at rest */
    const ground *ground; /* NULL: none */
    const struct room *room; /* that other hair takes, seen from where each node begins; NULL: none */
    float (*held)[4]; /* out: count * nodes, or NULL: x, y, z by which friction let it be dragged, metres,
                         and with what force it holds, newtons; below 0: it is not down */
    int iterations;   /* at most so many for a hair */
    double rough;     /* radians: a step that turns no node by more ends the hair; 0: as exact as can be */
    int threads;
} rods_job;

/* Brings hairs `first` to `past` to rest. A hair's bits do not depend on the others, on their order or on
 * threads. */
void rods_rest(const rods_job *job, int first, int past);

/* rods.c and rods_step.c as compiled for every machine of the kind, and for one with AVX2 or AVX-512: hairs
 * first to past, on this thread. */
typedef void rods_kernel(const rods_job *job, int first, int past);
rods_kernel rods_some_narrow, rods_some_wide, rods_some_widest;
/* And those of them that are `exact`, with steps in doubles. */
rods_kernel rods_exact_narrow, rods_exact_wide, rods_exact_widest;

/* Names in what is compiled for each. */
#ifndef RODS_KIND
#define RODS_KIND narrow
#endif
#define RODS_JOINED(what, kind) what##_##kind
#define RODS_OF(what, kind) RODS_JOINED(what, kind)
#define RODS_NAMED(what) RODS_OF(what, RODS_KIND)

/* Those that this machine can run, the widest last; how many. */
int rods_kernels(rods_kernel *out[3]);

#endif
