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
    double yoke = bust_egg(b, v3(0, -268, -47), v3(215, 76, 78));
    double f = bust_join(ribs, yoke, 40);
    double back = bust_egg(b, v3(0, -250, -66), v3(105, 105, 58));
    f = bust_join(f, back, 50);
    double slope = bust_rod(s, v3(10, -128, -52), v3(125, -210, -50), 27, 25);
    f = bust_join(f, slope, 60);
    f = bust_join(f, neck, 30);
    double cord = bust_rod(q, v3(50, -30, -20), v3(12, -190, 20), 8, 5);
    f = bust_join(f, cord, 16);
    double collar = bust_rod(b, v3(14, -196, 18), v3(135, -206, -24), 5, 6);
    f = bust_join(f, collar, 26);
    double notch = bust_ball(q, v3(0, -190, 36), 9);
    f = bust_carve(f, notch, 16);
    /* The cut: a bowl from shoulder to shoulder, and a flat underside. */
    double bowl = bust_egg(v3(b.x, fmin(q.y, -215), q.z), v3(0, -215, -38), v3(200, 108, 260));
    f = bust_meet(f, bowl, 30);
    return bust_meet(f, -292 - q.y, 6);
}
