/* Building the surface: from semi-axes, or from the form of a head.
 *
 * The mean man's head is described once, in metres in the frame of the tragions; face and neck of
 * another head are those stretched to its breadth, length and height. The star centre lies at the
 * glabella's level, midway between forehead and back. Heights and the way from the tragion to the back are
 * those of the USAF survey of 1967 (n 2420); widths and depths of face and neck are from memory of adult
 * proportions, and no hair grows there. */
#include "head.h"

#define MEAN_BREADTH .1543
#define MEAN_LENGTH .1995
#define MEAN_TOP .1312
#define LEVEL .0417 /* glabella above the tragions: 134.5 - 92.8 mm */
#define BACK                                                                                                 \
    .1042 /* tragions to the back: 103.4 mm on the survey's own heads, some 1.5 mm shorter (from memory) */

/* An ellipsoid with its middle at m and semi-axes a, its axis leaning back by `lean` per metre down, seen
 * from the star centre c. */
static surface_lump lump(lw_vec3 c, lw_vec3 m, lw_vec3 a, double lean) {
    surface_lump e = {.ix = 1 / a.x, .iy = 1 / a.y, .iz = 1 / a.z, .lean = lean};
    double y = c.y - m.y, z = c.z - m.z;
    e.dy = y * e.iy;
    e.dz = (z - lean * y) * e.iz;
    e.c = 1 - e.dy * e.dy - e.dz * e.dz;
    e.ic = 1 / e.c;
    return e;
}

void surface_from_axes(surface *out, lw_vec3 axes) {
    surface s = {.axes = axes, .inverse = v3(1 / axes.x, 1 / axes.y, 1 / axes.z)};
    s.face = s.neck = lump(v3(0, 0, 0), v3(0, 0, 0), v3(1e-6, 1e-6, 1e-6), 0);
    s.occiput_z = -1;
    s.occiput_scale = 1;
    s.blend = 1;
    s.blend_inverse = 1;
    *out = s;
}

void surface_from_form(surface *out, const head_form *form) {
    double kx = form->breadth / MEAN_BREADTH, ky = form->top / MEAN_TOP, kz = form->length / MEAN_LENGTH;
    double girth = form->neck;
    surface s = {.centre = v3(0, LEVEL * ky, (MEAN_LENGTH / 2 - BACK) * kz)};
    s.axes = v3(form->breadth / 2, form->top - s.centre.y, form->length / 2);
    s.inverse = v3(1 / s.axes.x, 1 / s.axes.y, 1 / s.axes.z);
    for (int i = 0; i < SHAPE_TERMS; i++) s.shape[i] = form->shape[i];
    lw_vec3 bump = v3_unit(v3(0, -.42, -.91));
    s.occiput_y = bump.y;
    s.occiput_z = bump.z;
    s.occiput_edge = .75;
    s.occiput_scale = 1 / (1 - s.occiput_edge);
    s.face = lump(s.centre, v3(0, -.008 * ky, .030 * kz), v3(.0713 * kx, .091 * ky, .066 * kz), -.2);
    double deep = .059 * girth; /* the nape stays where it is on a thinner neck */
    s.neck = lump(s.centre, v3(0, -.100 * ky, (deep - .080) * kz),
                  v3(.058 * girth * kx, .190 * ky, deep * kz), .05);
    s.foot = 1 / (.165 * ky + s.centre.y);
    s.blend = 3.5;
    s.blend_inverse = 1 / s.blend;
    *out = s;
}
