/* Elementary functions with the same bits from every compiler and on every machine.
 *
 * C libraries differ in the last bits of theirs, and a hair that meets a choice follows the last bits: so
 * core and plan call these, and the page's module has the command line's numbers. sqrt, floor, fabs and the
 * like are exact everywhere and stay as they are.
 *
 * Angles in radians. Errors are in units of the last place of the result. No error is raised: out of range is
 * NAN, infinity or 0 as in C, and NAN gives NAN. */
#ifndef LW_CORE_ELEMENTARY_H
#define LW_CORE_ELEMENTARY_H

/* Within .8; beyond a million radians the argument is first reduced by the double nearest to 2 pi. */
double sine(double x);
double cosine(double x);
double arc_sine(double x);              /* within 2.5 */
double arc_cosine(double x);            /* within 2.5 */
double arc_tangent(double y, double x); /* the bearing of (x, y), -pi to pi; within 1.2 */

double exponential(double x);          /* within .8 */
double logarithm(double x);            /* natural, within .6 */
double power(double x, double y);      /* x > 0; within 1 + |y log x| / 16 */
double hypotenuse(double x, double y); /* within 1.2, unless squares overflow or vanish */
double cube_root(double x);            /* within .6 */

#endif
