/* What light does at one hair.
 *
 * A hair is a cylinder of glass with scales that tip its surface toward the root (Marschner and others 2003,
 * doi 10.1145/882262.882345). Light that glances off keeps its colour and makes the first highlight; light
 * that crosses the hair, turns back at its far side and comes out again makes the second, coloured and nearer
 * the root; light that goes right through shines against a lamp behind. Each is a bell over the angle along
 * the hair times a lobe round it. What has gone through many hairs comes back without a direction, as from a
 * thread that is matt (Kajiya and Kay 1989, doi 10.1145/74334.74361).
 *
 * Colour is pigment: how much light the two melanins take is that of d'Eon and others 2011 (doi
 * 10.1111/j.1467-8659.2011.01976.x), and what a whole head of such hairs sends back follows from the fit of
 * Chiang and others 2016 (doi 10.1111/cgf.12830); grey hair is white hairs among others. How much pigment a
 * word stands for is ours, by eye. */
#include "hair_shine.h"

#include <math.h>

static const struct {
    float dark, red; /* eumelanin, pheomelanin */
    float white;     /* share of hairs without either */
} colours[DRAW_HAIR_COLOURS] = {
    [DRAW_HAIR_BLACK] = {3.2f, .1f, 0},     [DRAW_HAIR_DARK_BROWN] = {1.25f, .12f, 0},
    [DRAW_HAIR_MID_BROWN] = {.55f, .1f, 0}, [DRAW_HAIR_FAIR] = {.1f, .05f, 0},
    [DRAW_HAIR_RED] = {.22f, .95f, 0},      [DRAW_HAIR_GREY] = {.27f, .03f, .5f},
};

#define TILT .06f /* radians by which hairs that lie side by side differ, at most */

hair_body hair_body_of(draw_hair_colour colour, float tint, float lock) {
    static const float takes_dark[3] = {.419f, .697f, 1.37f}, takes_red[3] = {.187f, .4f, 1.05f};
    float white = colours[colour].white;
    bool bare = tint < white;
    float among = bare ? tint / fmaxf(white, 1e-6f) : (tint - white) / (1 - white);
    float amount = .6f + .55f * among + .35f * lock;
    float dark = bare ? .02f : amount * colours[colour].dark,
          red = bare ? .006f : (1.15f - .3f * among) * colours[colour].red;
    hair_body b = {.tilt = TILT * (2 * fmodf(tint * 97, 1) - 1)};
    for (int k = 0; k < 3; k++) {
        float takes = dark * takes_dark[k] + red * takes_red[k];
        b.once[k] = expf(-1.7f * takes); /* a mean way of .85 of the width, which is 2 */
        b.cast[k] = .008f + .65f * expf(-3.5f * sqrtf(takes));
        b.block[k] = 1 - .8f * b.once[k];
    }
    /* scales and what lies between hairs send back light that no pigment has met */
    float plain = .3f * b.cast[0] + .6f * b.cast[1] + .1f * b.cast[2];
    for (int k = 0; k < 3; k++) b.cast[k] += .2f * (plain - b.cast[k]);
    return b;
}

static float bell(float x, float width) {
    float u = x / width;
    return expf(-.5f * u * u);
}

/* Radians: how far the scales turn each highlight along the hair, and how wide it is. */
#define TURN_OFF (-.09f)
#define TURN_THROUGH .05f
#define TURN_BACK .13f
#define WIDTH_OFF .095f
#define WIDTH_THROUGH .10f
#define WIDTH_BACK .24f

void hair_shine(float out[3], const hair_body *body, const float t[3], const float lamp[3],
                const float reach[3]) {
    float sin_lamp = t[0] * lamp[0] + t[1] * lamp[1] + t[2] * lamp[2], sin_eye = t[2];
    float cos_lamp = sqrtf(fmaxf(1e-4f, 1 - sin_lamp * sin_lamp)),
          cos_eye = sqrtf(fmaxf(1e-4f, 1 - sin_eye * sin_eye));
    float round = (lamp[2] - sin_lamp * sin_eye) / (cos_lamp * cos_eye); /* cosine of the angle round it */
    round = fminf(1, fmaxf(-1, round));
    float half =
        body->tilt + .5f * (asinf(fminf(1, fmaxf(-1, sin_lamp))) + asinf(fminf(1, fmaxf(-1, sin_eye))));
    float front = sqrtf(.5f + .5f * round); /* cosine of half that angle: 1 lamp beside the eye */
    float slant = sqrtf(fmaxf(0, .5f + .5f * (cos_lamp * cos_eye * round + sin_lamp * sin_eye)));
    /* Schlick 1994, doi 10.1111/1467-8659.1330233, for keratin's index of 1.55; scales are rough, and never a
     * mirror however flat the light falls */
    float glance = .05f + .35f * powf(1 - fminf(1, slant), 5);
    float off = 2.4f * glance * front * bell(half - TURN_OFF, WIDTH_OFF);
    float back = .1f * front * front * bell(half - TURN_BACK, WIDTH_BACK);
    float through = .9f * bell(half - TURN_THROUGH, WIDTH_THROUGH) * expf(-4.5f * (1 + round));
    float matt = .55f * cos_lamp + .25f * cos_lamp * (1 + round);
    for (int k = 0; k < 3; k++) {
        float once = body->once[k];
        out[k] =
            reach[k] * (cos_lamp * (off + back * powf(once, 1.4f) + through * once) + matt * body->cast[k]);
    }
}
