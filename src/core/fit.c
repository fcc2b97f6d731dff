/* From the figures of a head to its surface.
 *
 * The mean man's head is described once, in metres; another head is that one stretched to its
 * breadth, length and height, with the terms of the skull's polynomial for what is left. */
#include "fail.h"
#include "head.h"

static const double mean_breadth = .1543, mean_length = .1995, mean_top = .1312;

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

head_form form_mean(lw_head_kind kind) {
    static const double figures[3][4] = {
        {.15105, .19465, .12885, .93}, {.1478, .1898, .1265, .86}, {.1543, .1995, .1312, 1}};
    const double *f = figures[kind];
    return (head_form){.breadth = f[0],
                       .length = f[1],
                       .top = f[2],
                       .neck = f[3],
                       .shape = {[SHAPE_PLAN] = .055,
                                 [SHAPE_CORONAL] = .03,
                                 [SHAPE_EGG] = -.05,
                                 [SHAPE_SAGITTAL] = .02,
                                 [SHAPE_OCCIPUT] = .05}};
}

void surface_from_form(surface *out, const head_form *form) {
    double kx = form->breadth / mean_breadth, ky = form->top / mean_top, kz = form->length / mean_length;
    surface s = {.axes = v3(form->breadth / 2, form->top - .042 * ky, form->length / 2)};
    s.centre = v3(0, .042 * ky, -.0040 * kz);
    s.inverse = v3(1 / s.axes.x, 1 / s.axes.y, 1 / s.axes.z);
    for (int i = 0; i < SHAPE_TERMS; i++) s.shape[i] = form->shape[i];
    double oy = -.45, oz = -.9, on = sqrt(oy * oy + oz * oz);
    s.occiput_y = oy / on;
    s.occiput_z = oz / on;
    s.occiput_edge = .8;
    s.occiput_scale = 1 / (1 - s.occiput_edge);
    s.face = lump(s.centre, v3(0, -.022 * ky, .024 * kz), v3(.072 * kx, .085 * ky, .070 * kz), -.2);
    s.neck = lump(s.centre, v3(0, -.100 * ky, -.019 * kz),
                  v3(.058 * form->neck * kx, .190 * ky, .060 * form->neck * kz), .22);
    s.foot = 1 / (.165 * ky + s.centre.y);
    s.blend = 2;
    s.blend_inverse = 1 / s.blend;
    *out = s;
}

lw_status head_fit(lw_head *head, lw_error *error) {
    (void)error;
    head_form form = form_mean(head->given.kind);
    surface_from_form(&head->surface, &form);
    landmarks_place(head);
    hairline_lay(head);
    return LW_OK;
}
