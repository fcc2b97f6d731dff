/* Neck muscles, shoulders, chest and back down to the base, in millimetres of the mean man's head (bust.h).
 * Widths and slopes are from memory of adult proportions. */
#include "bust.h"

double bust_torso(lw_vec3 q, double neck, bust_style style) {
    double broad = .93 + .07 * style.man;
    double ribs = bust_egg(q, v3(0, -310, -38), v3(165 * broad, 130, 105));
    double yoke = bust_rod(q, v3(0, -228, -50), v3(165 * broad, -232, -45), 44, 38);
    double f = bust_join(ribs, yoke, 60);
    double slope = bust_rod(q, v3(30, -125, -52), v3(140 * broad, -208, -46), 24, 20);
    f = bust_join(f, slope, 40);
    f = bust_join(f, neck, 30);
    double cord = bust_rod(q, v3(55, -45, -18), v3(13, -188, 22), 9, 6);
    f = bust_join(f, cord, 16);
    double collar = bust_rod(q, v3(16, -192, 22), v3(130 * broad, -203, -12), 7, 7);
    f = bust_join(f, collar, 16);
    double notch = bust_ball(q, v3(0, -190, 36), 11);
    f = bust_carve(f, notch, 16);
    /* The cut: a bowl from shoulder to shoulder, and a flat underside. */
    double bowl = bust_egg(v3(q.x, fmin(q.y, -170), q.z), v3(0, -170, -38), v3(200 * broad, 150, 150));
    f = bust_meet(f, bowl, 6);
    return bust_meet(f, -296 - q.y, 6);
}
