/* What hair is made of: from what a plan says of it to the constants of an elastic rod.
 *
 * A rod has weight, resists bending about the two axes of its section and twisting, and has a shape that it
 * takes where nothing pulls: docs/model.md, "What hair is made of", has the formulas and where each number
 * comes from. Everything that is done to hair appears here as one of these: water, product and a blow-dry
 * change weight, stiffness or natural shape, and nothing else. */
#ifndef LW_CORE_FIBRE_H
#define LW_CORE_FIBRE_H

#include "lengthwise.h"

/* One strand: a hair, or several that product holds together. SI. The long axis of the section is the one
 * about which it bends easily. */
typedef struct fibre {
    int hairs;      /* in it */
    double weight;  /* N/m */
    double bend[2]; /* N m^2: about the long axis, and about the short one */
    double twist;   /* N m^2 */
    double area;    /* m^2 of section, swollen where it is wet: the room it takes */
    double curl;    /* 1/m: its own curvature, about the long axis */
    double turn;    /* rad/m: its own twist; a right-handed coil, of which a mirrored hair has the negative */
    double curve; /* 1/m: curvature from a blow-dry, about the long axis; above 0 toward the head (worn.h) */
    double ends;  /* metres from the tip that have it, the rest being straight; 0: all of it */
    double taken; /* share of the blow-dry in its natural shape, 0 to 1; the rest is curl and turn */
} fibre;

/* The strand that a plan's hair is, worn like this. Values out of the ranges in lengthwise.h, and a coil
 * that its own fibre would not fit into, are LW_ERROR_ARGUMENT. */
lw_status fibre_of(fibre *out, const lw_hair *hair, const lw_worn *worn, lw_error *error);

/* Natural curvature about the long axis (1/m) and twist (rad/m) of the piece between `from` and `to` metres
 * from the root of a hair of `length`: the mean over it, so that pieces of any size add up to the same turn.
 */
void fibre_shape(double *curvature, double *twist, const fibre *f, double from, double to, double length);

/* The greatest length at which the strand stands straight up by itself, metres: L^3 = 7.837347 EI / weight
 * about the soft axis, natural shape left aside. A. G. Greenhill, Proc. Camb. Phil. Soc. 4:65, 1881. */
double fibre_stands(const fibre *f);

#endif
