/* The face, in millimetres of the mean man's head (bust.h).
 *
 * Nose, lips, brows and eyes are solids joined to the hull, or carved out of it, with fillets (smooth
 * minimum: A. Ricci, The Computer Journal 16:157, 1973; its polynomial form is common practice). The eyes are
 * open and blank, as a sculptor leaves them. Where each lies is from memory of adult proportions, the levels
 * of sellion and chin from the USAF survey of 1967. */
#include "bust.h"

/* 1 at 0, falling smoothly to 0 at -1 and 1. */
static double bump(double t) {
    double s = 1 - t * t;
    return s > 0 ? s * s : 0;
}

/* The bridge: a wedge whose ridge runs from between the brows to the tip, cut off below. */
static double bridge(lw_vec3 q, double small) {
    double down = fmin(27 - q.y, 70), rise = .345 - .025 * small;
    double ridge = 86.8 + rise * down + rise * sqrt(down * down + 64);
    double round = 5.5 + .05 * fmax(down, 0), slope = .46 - .001 * down;
    double across = sqrt(q.x * q.x + round * round) - round;
    double wedge = across * sqrt(1 - slope * slope) + (q.z - ridge) * slope;
    double under = (-22 - q.y) * .94 + (q.z - 107) * .34;
    return bust_meet(bust_meet(wedge, under, 5), q.x - 19, 6);
}

static double nose(lw_vec3 q, double face, bust_style style) {
    double small = 1 - style.man; /* a woman's nose is */
    q.x *= 1 + .07 * small;
    double f = bust_join(face, bridge(q, small), 6);
    double tip = bust_egg(q, v3(0, -14.2 + .6 * small, 105.4 - 2 * small), v3(9.2, 8, 10));
    f = bust_join(f, tip, 8);
    double wing = bust_egg(q, v3(11.2, -17, 99), v3(5.8, 7, 9.8));
    f = bust_join(f, wing, 6.5);
    double column = bust_rod(q, v3(0, -19.5, 110), v3(0, -23, 98), 3, 3.4);
    f = bust_join(f, column, 3);
    double hole = bust_egg(q, v3(5.8, -25.5, 103), v3(2.4, 5, 5));
    return bust_carve(f, hole, 2);
}

/* A lip is a rod bent round the teeth: an ellipse of height `above` and `below` its own line and thickness
 * `out`, that shrinks toward the corner of the mouth. */
typedef struct lip {
    double y, z; /* its middle */
    double above, below, out;
    double width; /* from the middle to the corner */
    double droop; /* how much lower the corner lies */
    double lean;  /* forward per unit of height lost */
} lip;

static double lip_distance(lw_vec3 q, const lip *l) {
    double x = q.x / l->width, bend = 38 * x / l->width, left = 1 - x * x;
    double taper = power(.5 * (left + sqrt(left * left + .02)), .65);
    double dy = q.y - l->y + l->droop * x * x, dz = q.z - l->z + 19 * x * x + l->lean * (q.y - l->y);
    lw_vec3 radius = v3(1, (dy > 0 ? l->above : l->below) * taper, l->out * taper);
    double d = bust_egg(v3(0, dy, dz), v3(0, 0, 0), radius) / sqrt(1 + .5 * bend * bend);
    double past = fmax(0, q.x - l->width);
    return past > 0 ? sqrt(past * past + fmax(d, 0) * fmax(d, 0)) : d;
}

static double mouth(lw_vec3 q, double face, bust_style style) {
    double full = 1 - style.man; /* a woman's lips are fuller */
    double soft = sqrt(q.x * q.x + 1) - 1;
    double bow = 1.2 * exponential(-(soft - 5) * (soft - 5) / 16) - 0.9 * exponential(-soft * soft / 8);
    double middle = exponential(-soft * soft / 60);
    lip upper = {BUST_UPPER_LIP, 97, 6.2 + .5 * full + bow, 3.2 + .7 * middle, 4.7 + .3 * full, 26, -.2, .25};
    lip lower = {BUST_LOWER_LIP, 96.6, 4.6, 6.4 + .6 * full, 5.6 + .3 * full, 24.5, -3, -.1};
    double philtrum = bump(q.x / 4) - .4 * bump((soft - 5.5) / 3.5);
    double f = face + (q.z > 80 ? .9 * philtrum * bump((q.y + 34) / 10) : 0);
    f = bust_join(f, lip_distance(q, &lower), 6);
    return bust_join(f, lip_distance(q, &upper), 4);
}

/* The eyebrow, a low arched band. */
static double eyebrow(lw_vec3 q, double face) {
    double u = (q.x - 29) / 22, line = BUST_BROW - 4 * u * u + 1.6 * u, half = 4.6 - 1.4 * u;
    return q.z > 30 ? face - .9 * bump((q.y - line) / half) * bump(u) : face;
}

/* Ball and lids; the lids are a shell round the ball, slit open. */
static double eye(lw_vec3 q, double face) {
    lw_vec3 c = v3(31.8, BUST_EYE, 68.2);
    double far = v3_norm(v3_sub(q, c));
    if (far > 40) return face;
    lw_vec3 e = v3(q.x, q.y, q.z + .18 * (q.x - c.x)); /* turned a little outward */
    double ball = bust_egg(e, c, v3(16.6, 14.6, 14.6)), lids = bust_egg(e, c, v3(18.4, 16, 16));
    double t = (q.x - 32) / 13.6, arch = fmax(-1.5, 1 - t * t), line = 17.8 + .04 * (q.x - 32);
    double up = q.y - line - 4.8 * arch, low = line - 3.2 * arch - q.y;
    double open = bust_meet(up, low, 1);
    double f = bust_join(face, lids, 7), floor = f + 1.8;
    f += .7 * bump((up - 4.6) / 2.2) * bump(t / 1.35) * bump(fmin(1, fabs(lids) / 6));
    f = bust_carve(f, open, .8);
    return fmin(f, fmin(ball, floor));
}

double bust_face(lw_vec3 q, bust_style style) {
    double f = bust_hull(q, style);
    if (f > 60 || v3_norm(v3_sub(q, v3(0, -15, 95))) > 90) return f;
    f = eye(q, eyebrow(q, f));
    f = nose(q, f, style);
    f = mouth(q, f, style);
    double chin = bust_egg(q, v3(0, -81, 80 + style.man), v3(15.5 + 3.5 * style.man, 12, 14.5));
    return bust_join(f, chin, 16);
}
