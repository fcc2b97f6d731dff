/* The ground that hair lies on: the bust's field sampled once on an even grid, so that distance and gradient
 * cost some tens of loads and multiplications instead of a walk through the sculpture.
 *
 * Between the samples it is a tensor product of uniform quadratic B-splines, so once continuously
 * differentiable everywhere. The bust is its own mirror image, so only x >= 0 is stored and |x| is looked up;
 * what is stored for x just below 0 repeats what is just above it, which makes the slope across the midline
 * exactly zero there.
 *
 * ---- layout, for kernels ----
 * Coefficient (i, j, k), 0 <= i < nx and so on, is at[(k * ny + j) * row + i] and belongs to the place
 *   ((i - 1/2) h, low.y + (j - 1/2) h, low.z + (k - 1/2) h),   h = spacing.
 * At p:  u = |x| / h,  v = (y - low.y) / h,  w = (z - low.z) / h, each brought to 0 .. n - 2;
 *   i = min((int)u, nx - 3),  t = u - i, and likewise j, k for v, w;
 *   weights          b = {(1 - t)^2 / 2,  1/2 + t (1 - t),  t^2 / 2}   of the coefficients i, i + 1, i + 2
 *   and their slopes d = {t - 1,  1 - 2 t,  t};
 *   distance = sum b_x b_y b_z c,  gradient = (sign(x) sum d_x b_y b_z c, sum b_x d_y b_z c, sum b_x b_y d_z
 * c) / h. That is nine runs of three floats; four floats may be loaded from the beginning of any of them. row
 * is a multiple of four, at is 64-byte aligned. No lookup needs a branch; an index fits 32 bits.
 *
 * ---- what it is worth ----
 * From about 2 mm inside to 8 mm outside it is the distance, to the second order: where the sculpture's own
 * field climbs more slowly or faster than a distance (.7 on the shoulders, .2 in folds of the ear), that has
 * been divided out. Adding a constant moves the surface by so much. At the default spacing the surface lies
 * within .005 mm of the bust's on the scalp, the neck and the shoulders, but for .1 mm in the crease where
 * the ear's root meets the hairline; within .15 mm on 98 % of the ear and .05 mm on 98 % of the face. What
 * bends more sharply than the samples lie apart comes out rounder: folds inside the ear are filled by up
 * to .5 mm, its edges sunk by up to .25, eyelids and the wings of the nose off by up to .6.
 * tests/test_ground.c holds this.
 *
 * Further away, on either side, it passes over into a rough distance, right to a few millimetres, whose
 * gradient leads out however deep inside the place is. A few places in a thousand, in nose and eye sockets,
 * are caught under a crease instead.
 *
 * ---- where it ends ----
 * Above, beside, before and behind, the box ends some centimetres outside the bust, and a point further out
 * is given the value and the gradient of the nearest point of the box: above zero, outward, and no more than
 * its distance.
 *
 * Below, a measured head's bust ends on a flat base, which a body does not: hair can be longer than the bust
 * is high. So the box ends 2 cm above the base, and what is below it repeats the section there, without slope
 * up or down: chest and back go straight down, as on a body they about do, and hair that hangs in front of
 * the shoulder or down the back lies on them however long it is. To the sides the sculptor's bowl has drawn
 * the bust in by 4 cm from the tips of the shoulders by then, and there are no arms: what hangs over a
 * shoulder's tip hangs free. Nothing can swing in under the bust. A sphere and an ellipsoid stand free, and
 * below them is air. */
#ifndef LW_CORE_GROUND_H
#define LW_CORE_GROUND_H

#include "lengthwise.h"

typedef struct ground_options {
    double spacing; /* metres between samples, .0005 to .005; 0: the default */
} ground_options;

typedef struct ground {
    float *at;      /* nz * ny * row coefficients, metres */
    int nx, ny, nz; /* coefficients along each axis */
    int row;        /* from one y to the next */
    double spacing; /* metres */
    lw_vec3 low;    /* the box's low corner, metres; low.x = 0 */
    lw_vec3 high;   /* and its high one: low + (n - 2) spacing */
    float *clear;   /* metres, for each block of GROUND_BLOCK^3 cells: no distance in it is less. Block
                       (i, j, k) is [(k * block_ny + j) * block_nx + i] and begins at cell GROUND_BLOCK times
                       that; NULL where it was not asked for */
    int block_nx, block_ny, block_nz;
} ground;

enum { GROUND_BLOCK = 4 };

/* The default spacing: 2 mm; for verification heads far larger than a person's more, so that there are not
 * more than 16 million samples. */
ground_options ground_default(void);

/* Samples the bust. The head is not needed afterwards. Same bits for any number of threads. Peak memory is
 * half as much again as what it keeps. Errors: a spacing out of range; more than 2e8 samples; memory. */
lw_status ground_new(ground **out, const lw_head *head, const ground_options *options, lw_error *error);
void ground_free(ground *g);

/* Fills in clear from the coefficients: the least that a block's cells are made of, which no sum with weights
 * that add up to 1 comes below (the convex hull property of B-splines). False where memory fails. */
bool ground_clear(ground *g);

/* Signed distance from p to the bust, metres, below zero inside; gradient (may be NULL) becomes the exact
 * gradient of what is returned, for p in the box or below it. Points that are mirror images give the same
 * bits. A coordinate that is not a number counts as the low end of the box. */
double ground_distance(const ground *g, lw_vec3 p, lw_vec3 *gradient);

/* The same with its second derivatives, which jump from cell to cell. */
typedef struct ground_shape {
    double distance;
    lw_vec3 slope;
    double xx, xy, xz, yy, yz, zz; /* 1/m */
} ground_shape;

ground_shape ground_shape_at(const ground *g, lw_vec3 p);

#endif
