/* Neck muscles, shoulders, chest and back down to the base, in millimetres of the mean man's head (bust.h).
 * Widths and slopes are from memory of adult proportions. */
#include "bust.h"

/* x with its mirror crease at the midline rounded off over r. */
static lw_vec3 soft(lw_vec3 q, double r) { return v3(sqrt(q.x * q.x + r * r) - r, q.y, q.z); }

double bust_torso(lw_vec3 q, double neck, bust_style style) {
    q.y -= 6;
    double broad = .93 + .07 * style.man;
    lw_vec3 b = v3(q.x / broad, q.y, q.z), s = soft(b, 20);
    double ribs = bust_egg(b, v3(0, -330, -38), v3(165, 140, 102));
    double yoke = bust_egg(b, v3(0, -268, -47), v3(238, 75, 78));
    double f = bust_join(ribs, yoke, 40);
    double back = bust_egg(b, v3(0, -262, -64), v3(108, 105, 58));
    f = bust_join(f, back, 50);
    double slope = bust_rod(s, v3(20, -172, -54), v3(150, -220, -52), 27, 24);
    f = bust_join(f, slope, 60);
    double fillet = bust_step(84, 175, -q.y) * (22 + 54 * bust_step(-25, 30, -q.z));
    f = bust_join(f, neck, 8 + fillet);
    double throat = 23.8 + 14.2 * style.man; /* how far forward the neck reaches: build.c */
    double cord = bust_rod(soft(q, 7), v3(50, -30, -20), v3(10, -195, 9 + 8 * style.man), 9, 4);
    f = bust_join(f, cord, 14);
    double apple = bust_egg(q, v3(0, -126, throat - 9 + 1.5 * style.man), v3(8, 16, 9));
    f = bust_join(f, apple, 12);
    double collar = bust_rod(soft(b, 7), v3(11, -196, 18), v3(135, -206, -24), 5, 6);
    f = bust_join(f, collar, 26);
    double notch = bust_ball(q, v3(0, -186, 40), 15);
    f = bust_carve(f, notch, 22);
    /* The cut: a bowl from shoulder to shoulder, and a flat underside. */
    double bowl = bust_egg(v3(b.x, fmin(q.y, -206), q.z), v3(0, -206, -38), v3(202, 112, 260));
    f = bust_meet(f, bowl, 40);
    return bust_meet(f, -302 - q.y, 6);
}
