/* Neck muscles, shoulders, chest and back down to the base, in millimetres of the mean man's head (bust.h).
 *
 * The shoulders are cut by a bowl from tip to tip and stand on a flat base, as display busts do. Widths and
 * slopes are from memory of adult proportions: shoulders two and a half to three breadths of the head wide.
 */
#include "bust.h"

#define RISE 6 /* the drawing below is that much too low */

/* x with its mirror crease at the midline rounded off over r. */
static lw_vec3 soft(lw_vec3 q, double r) { return v3(sqrt(q.x * q.x + r * r) - r, q.y, q.z); }

/* Chest, shoulders and back; b is narrowed to a man's breadth. */
static double trunk(lw_vec3 b) {
    double ribs = bust_egg(b, v3(0, -330, -38), v3(165, 140, 102));
    double yoke = bust_egg(b, v3(0, -268, -47), v3(238, 75, 78));
    double back = bust_egg(b, v3(0, -262, -64), v3(108, 105, 58));
    double trapezius = bust_rod(soft(b, 20), v3(20, -172, -54), v3(150, -220, -52), 27, 24);
    return bust_join(bust_join(bust_join(ribs, yoke, 40), back, 50), trapezius, 60);
}

/* Sternomastoids, larynx, collarbones and the hollow between them. */
static double throat(lw_vec3 q, lw_vec3 b, double f, bust_style style) {
    double front = 23.8 + 14.2 * style.man; /* how far forward the neck reaches: build.c */
    double cord = bust_rod(soft(q, 7), v3(50, -30, -20), v3(10, -195, 9 + 8 * style.man), 9, 4);
    f = bust_join(f, cord, 14);
    double larynx = bust_egg(q, v3(0, -126, front - 9 + 1.5 * style.man), v3(8, 16, 9));
    f = bust_join(f, larynx, 12);
    double collar = bust_rod(soft(b, 7), v3(11, -196, 15 + 2 * style.man), v3(150, -208, -34), 5, 4);
    f = bust_join(f, collar, 30);
    return bust_carve(f, bust_egg(q, v3(0, -188, 40 + 4 * style.man), v3(13, 17, 15)), 24);
}

double bust_torso(lw_vec3 q, double neck, bust_style style) {
    q.y -= RISE;
    lw_vec3 b = v3(q.x / (.93 + .07 * style.man), q.y, q.z);
    /* Next to the hairline the neck stays as it is; further down it flares, behind more than in front. */
    double flare = bust_step(84, 175, -q.y) * (22 + 54 * bust_step(-25, 30, -q.z));
    double f = throat(q, b, bust_join(trunk(b), neck, 8 + flare), style);
    double bowl = bust_egg(v3(b.x, fmin(q.y, -206), q.z), v3(0, -206, -38), v3(202, 112, 260));
    return bust_meet(bust_meet(f, bowl, 40), -302 - q.y, 6);
}
