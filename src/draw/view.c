#include "view.h"

#include <math.h>

#include "vec.h"

static const struct {
    const char *name;
    view view;
} sides[VIEW_SIDES] = {
    [VIEW_FRONT] = {"front", {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
    [VIEW_BACK] = {"back", {{-1, 0, 0}, {0, 1, 0}, {0, 0, -1}}},
    [VIEW_LEFT] = {"left", {{0, 0, -1}, {0, 1, 0}, {1, 0, 0}}},
    [VIEW_RIGHT] = {"right", {{0, 0, 1}, {0, 1, 0}, {-1, 0, 0}}},
    [VIEW_ABOVE] = {"above", {{-1, 0, 0}, {0, 0, 1}, {0, 1, 0}}},
    [VIEW_THREE_QUARTER_LEFT] = {"three-quarter left", {{0}, {0}, {.64, .18, .75}}},
    [VIEW_THREE_QUARTER_RIGHT] = {"three-quarter right", {{0}, {0}, {-.64, .18, .75}}},
};

const char *view_name(view_side side) { return (unsigned)side < VIEW_SIDES ? sides[side].name : ""; }

view view_of(view_side side) {
    if ((unsigned)side >= VIEW_SIDES) side = VIEW_FRONT;
    view v = sides[side].view;
    return v3_norm(v.up) > 0 ? v : view_from(v.toward);
}

view view_from(lw_vec3 toward) {
    lw_vec3 t = v3_unit(toward);
    lw_vec3 up = fabs(t.y) < .999 ? v3(0, 1, 0) : v3(0, 0, 1);
    lw_vec3 right = v3_unit(v3_cross(up, t));
    return (view){right, v3_cross(t, right), t};
}

static void corners(double *low, double *high, lw_vec3 along, lw_vec3 a, lw_vec3 b) {
    double x[2] = {along.x * a.x, along.x * b.x}, y[2] = {along.y * a.y, along.y * b.y},
           z[2] = {along.z * a.z, along.z * b.z};
    *low = fmin(x[0], x[1]) + fmin(y[0], y[1]) + fmin(z[0], z[1]);
    *high = fmax(x[0], x[1]) + fmax(y[0], y[1]) + fmax(z[0], z[1]);
}

stage stage_fit(view v, lw_vec3 low, lw_vec3 high, frame at, double scale) {
    double left, right, bottom, top;
    corners(&left, &right, v.right, low, high);
    corners(&bottom, &top, v.up, low, high);
    double fits = fmin(at.width / fmax(1e-6, right - left), at.height / fmax(1e-6, top - bottom));
    return (stage){.view = v,
                   .centre = v3_scale(v3_add(low, high), .5),
                   .middle = {at.x + at.width / 2, at.y + at.height / 2},
                   .scale = scale > 0 && scale < fits ? scale : fits};
}

point stage_point(const stage *s, lw_vec3 p) {
    lw_vec3 d = v3_sub(p, s->centre);
    return (point){s->middle.x + s->scale * v3_dot(d, s->view.right),
                   s->middle.y - s->scale * v3_dot(d, s->view.up)};
}

double stage_depth(const stage *s, lw_vec3 p) { return v3_dot(v3_sub(p, s->centre), s->view.toward); }
