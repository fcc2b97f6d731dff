/* From section, modulus and coil to a rod; fibre.h says what a rod is.
 *
 * Dry and wet hair are worked out each by itself and mixed by wetness, constant for constant. The section is
 * an ellipse. Of twisting only a ratio was measured, GJ/EI on nearly round hair. For an ellipse
 * Saint-Venant's J = pi a^3 b^3 / (a^2 + b^2) is twice the harmonic mean of the two moments of area, so the
 * ratio is taken to that mean: this is exact where hair is alike all over its section, and for round hair it
 * is what was measured.
 *
 * n hairs that lie side by side and slide are n times as stiff; stuck together to one solid strand they are
 * n^2 times as stiff, as stiffness goes with the square of the section at the same shape. Sections of real
 * strands come near that: of seven round hairs packed closest 55 against 49 (parallel axes; J. Cosmet. Sci.
 * 53:249, 2002, has this for layers of hair under spray). */
#include "fibre.h"

#include "fail.h"
#include "vec.h"

#define GRAVITY 9.80665
#define DENSITY 1320.0 /* kg/m^3 of hair: from memory */
#define WATER 1000.0
/* GJ/EI = 2 G/E: between .41 and .46, from E 3.89 with G .795 (hair with its cuticle: J. Cosmet. Sci. 69:385,
 * 2018, at second hand) and .89 GPa (Robbins' handbook, at second hand). An isotropic fibre would have 2/3.
 */
#define TWIST_TO_BEND 0.435
/* Of the dry modulus: that is two to three times the wet one (J. Cosmet. Sci. 72:673, 2021). */
#define WET_MODULUS 0.4
/* The same in shear: from memory. Water softens what lies between the filaments, which bear stretch but not
 * twist (Feughelman, Text. Res. J. 29:223, 1959). */
#define WET_SHEAR 0.2
#define WET_WIDTH 1.14   /* wet diameter over dry: from memory */
#define UPRIGHT 7.837347 /* Greenhill: 9/4 of the square of the first zero of J_-1/3 */

static bool within(double x, double low, double high) { return x >= low && x <= high; }

static lw_status check(const lw_hair *h, const lw_worn *w, lw_error *error) {
    if (!within(h->section_area, 1e-11, 1e-7) || !within(h->ellipticity, 1, 3) ||
        !within(h->modulus, 1e8, 2e10))
        return fail(error, LW_ERROR_ARGUMENT, "hair",
                    "use 10 to 100,000 square micrometres, an ellipticity of 1 to 3 and 0.1 to 20 GPa",
                    "the fibre is out of range");
    if (!within(h->coil_diameter, 0, 1) || !within(h->coil_pitch, 0, 1))
        return fail(error, LW_ERROR_ARGUMENT, "hair.curl",
                    "give the coil's diameter and the length of one turn", "the curl's coil is out of range");
    double thin = 2 * sqrt(h->section_area / (LW_PI * h->ellipticity));
    if (h->coil_diameter > 0 && (h->coil_diameter <= thin || h->coil_pitch < thin))
        return fail(error, LW_ERROR_ARGUMENT, "hair.curl",
                    "make the coil wider and its turns longer than a hair is thick, or give no curl",
                    "the coil is tighter than its own fibre, which is %.3g mm thick", 1e3 * thin);
    if (!within(w->wetness, 0, 1))
        return fail(error, LW_ERROR_ARGUMENT, "worn.wetness", "use 0 for dry to 1 for soaked through",
                    "wetness out of range");
    if (!within(w->stiffness, .1, 100) || !within(w->load, 0, 5) || !within(w->bundle, 1, 1000))
        return fail(error, LW_ERROR_ARGUMENT, "worn.product",
                    "use 0.1 to 100 times the stiffness, 0 to 5 times the weight and bundles of 1 to 1000",
                    "product out of range");
    bool curved = w->dried == LW_DRIED_UNDER || w->dried == LW_DRIED_OUT;
    if (!within(w->dried, LW_DRIED_NATURAL, LW_DRIED_OUT) || !within(w->taken, 0, 1) ||
        !within(w->ends, 0, 3) || (curved && !within(w->brush, 1e-3, 1)))
        return fail(error, LW_ERROR_ARGUMENT, "worn.blow_dry",
                    "use a brush such as 4 cm, ends of 0 to 3 m, and 0 to 1 for what is taken",
                    "blow-dry out of range");
    return LW_OK;
}

typedef struct constants {
    double weight, bend[2], twist, area;
} constants;

static constants section(double area, double ellipticity, double modulus, double twist_to_bend,
                         double weight) {
    double b = sqrt(area / (LW_PI * ellipticity)), a = ellipticity * b, k = modulus * LW_PI / 4;
    constants c = {.weight = weight, .bend = {k * a * b * b * b, k * a * a * a * b}, .area = area};
    c.twist = twist_to_bend * 2 * c.bend[0] * c.bend[1] / (c.bend[0] + c.bend[1]);
    return c;
}

static double mix(double dry, double wet, double wetness) { return dry + wetness * (wet - dry); }

static constants dry_or_wet(const lw_hair *h, double wetness) {
    double area = h->section_area, swollen = area * WET_WIDTH * WET_WIDTH;
    constants dry = section(area, h->ellipticity, h->modulus, TWIST_TO_BEND, GRAVITY * DENSITY * area);
    constants wet =
        section(swollen, h->ellipticity, h->modulus * WET_MODULUS, TWIST_TO_BEND * WET_SHEAR / WET_MODULUS,
                dry.weight + GRAVITY * WATER * (swollen - area));
    return (constants){
        .weight = mix(dry.weight, wet.weight, wetness),
        .bend = {mix(dry.bend[0], wet.bend[0], wetness), mix(dry.bend[1], wet.bend[1], wetness)},
        .twist = mix(dry.twist, wet.twist, wetness),
        .area = mix(dry.area, wet.area, wetness)};
}

/* A helix of radius r that climbs c in a radian. */
static void coil(fibre *f, const lw_hair *h) {
    double r = h->coil_diameter / 2, c = h->coil_pitch / (2 * LW_PI), square = r * r + c * c;
    f->curl = r > 0 ? r / square : 0;
    f->turn = r > 0 ? c / square : 0;
}

static void blow_dry(fibre *f, const lw_worn *w) {
    double curve = w->dried == LW_DRIED_UNDER || w->dried == LW_DRIED_OUT ? 2 / w->brush : 0;
    f->curve = w->dried == LW_DRIED_OUT ? -curve : curve;
    f->ends = curve > 0 ? w->ends : 0;
    f->taken = w->dried == LW_DRIED_NATURAL ? 0 : w->taken * (1 - w->wetness);
}

lw_status fibre_of(fibre *out, const lw_hair *hair, const lw_worn *worn, lw_error *error) {
    *out = (fibre){0};
    lw_status status = check(hair, worn, error);
    if (status != LW_OK) return status;
    constants one = dry_or_wet(hair, worn->wetness);
    double hairs = worn->bundle, firm = worn->stiffness * hairs * hairs;
    *out = (fibre){.hairs = worn->bundle,
                   .weight = hairs * (one.weight + worn->load * GRAVITY * DENSITY * hair->section_area),
                   .bend = {firm * one.bend[0], firm * one.bend[1]},
                   .twist = firm * one.twist,
                   .area = hairs * one.area};
    coil(out, hair);
    blow_dry(out, worn);
    return LW_OK;
}

void fibre_shape(double *curvature, double *twist, const fibre *f, double from, double to, double length) {
    double share = 1, edge = length - f->ends;
    if (f->ends > 0) share = to > from ? fmin(fmax((to - edge) / (to - from), 0), 1) : to > edge;
    *curvature = (1 - f->taken) * f->curl + f->taken * share * f->curve;
    *twist = (1 - f->taken) * f->turn;
}

double fibre_stands(const fibre *f) { return cube_root(UPRIGHT * f->bend[0] / f->weight); }
