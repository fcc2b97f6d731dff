/* Neck muscles, shoulders, chest and back down to the base, in millimetres of the mean man's head (bust.h).
 * Widths and slopes are from memory of adult proportions. */
#include "bust.h"

double bust_torso(lw_vec3 q, double neck, bust_style style) {
    double broad = .93 + .07 * style.man;
    double ribs = bust_egg(q, v3(0, -320, -38), v3(165 * broad, 132, 104));
    double yoke = bust_rod(q, v3(0, -236, -52), v3(158 * broad, -238, -46), 48, 40);
    double f = bust_join(ribs, yoke, 60);
    double back = bust_rod(q, v3(0, -150, -58), v3(0, -270, -82), 36, 56);
    f = bust_join(f, back, 50);
    double slope = bust_rod(q, v3(26, -130, -50), v3(135 * broad, -212, -48), 26, 22);
    f = bust_join(f, slope, 60);
    f = bust_join(f, neck, 30);
    double cord = bust_rod(q, v3(50, -30, -20), v3(12, -190, 20), 8, 5);
    f = bust_join(f, cord, 16);
    double collar = bust_rod(q, v3(14, -197, 20), v3(125 * broad, -206, -18), 5, 6);
    f = bust_join(f, collar, 26);
    double notch = bust_ball(q, v3(0, -190, 36), 9);
    f = bust_carve(f, notch, 16);
    /* The cut: a bowl from shoulder to shoulder, and a flat underside. */
    double bowl = bust_egg(v3(q.x, fmin(q.y, -195), q.z), v3(0, -195, -38), v3(228 * broad, 118, 160));
    f = bust_meet(f, bowl, 8);
    return bust_meet(f, -296 - q.y, 6);
}
