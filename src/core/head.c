/* A head as an object: made from measures, and asked where its surface is.
 *
 * The surface is met once by every ray from the star centre, so a point is on it, inside or outside by
 * one evaluation of surface_radius(). The true distance is found from there by Newton's method on
 * the closest-point condition. */
#include <stdlib.h>

#include "fail.h"
#include "head.h"

lw_vec3 surface_point(const surface *s, lw_vec3 direction, lw_vec3 *normal) {
    lw_vec3 u = v3_unit(direction), g;
    double r = surface_radius(s, u.x, u.y, u.z, &g.x, &g.y, &g.z);
    if (normal) *normal = v3_unit(v3_along(u, g, -1 / r));
    return v3_along(s->centre, u, r);
}

lw_head_options lw_head_default(void) { return (lw_head_options){.kind = LW_HEAD_ADULT}; }

static lw_status check_axes(const lw_head_options *o, lw_error *error) {
    static const char *const names[3] = {"semi-axis x", "semi-axis y", "semi-axis z"};
    int count = o->kind == LW_HEAD_SPHERE ? 1 : 3;
    for (int i = 0; i < count; i++)
        if (!(o->axes[i] >= .02 && o->axes[i] <= .5))
            return fail(error, LW_ERROR_ARGUMENT, names[i], "give semi-axes between 2 and 50 cm",
                        "a semi-axis of %g m is out of range", o->axes[i]);
    return LW_OK;
}

/* A net of surface points about 15 mm apart: a golden spiral over the directions. */
static void cast_net(lw_head *head) {
    for (int i = 0; i < HEAD_NET; i++) {
        double y = 1 - (2 * i + 1.0) / HEAD_NET, level = sqrt(1 - y * y), turn = i * LW_PI * (3 - sqrt(5));
        head->net[i] = surface_point(&head->surface, v3(level * cosine(turn), y, level * sine(turn)), NULL);
    }
}

static lw_status make(lw_head *head, lw_error *error) {
    const lw_head_options *o = &head->given;
    if (o->kind == LW_HEAD_SPHERE || o->kind == LW_HEAD_ELLIPSOID) {
        lw_status status = check_axes(o, error);
        if (status) return status;
        bool ball = o->kind == LW_HEAD_SPHERE;
        surface_from_axes(&head->surface,
                          v3(o->axes[0], ball ? o->axes[0] : o->axes[1], ball ? o->axes[0] : o->axes[2]));
        landmarks_by_direction(&head->surface, o->hairline, head->landmark);
        hairline_lay(head);
    } else {
        lw_status status = head_fit(head, error);
        if (status) return status;
    }
    for (int i = 0; i < LW_MEASURE_COUNT; i++)
        head->measured[i] = tape_measure(&head->surface, head->landmark, (lw_measure)i);
    head->scalp_area = hairline_area(head);
    cast_net(head);
    return LW_OK;
}

lw_status lw_head_new(lw_head **out, const lw_head_options *options, lw_error *error) {
    *out = NULL;
    if (options->kind < LW_HEAD_ADULT || options->kind > LW_HEAD_ELLIPSOID)
        return fail(error, LW_ERROR_ARGUMENT, "kind", "take adult, woman, man, sphere or ellipsoid",
                    "there is no head of kind %d", (int)options->kind);
    if (options->hairline < LW_HAIRLINE_ROUNDED || options->hairline > LW_HAIRLINE_PEAKED)
        return fail(error, LW_ERROR_ARGUMENT, "hairline", "take rounded, straight, receded or peaked",
                    "there is no hairline of shape %d", (int)options->hairline);
    lw_head *head = calloc(1, sizeof *head);
    if (!head) return fail_memory(error, "head");
    head->given = *options;
    lw_status status = make(head, error);
    if (status)
        lw_head_free(head);
    else
        *out = head;
    return status;
}

void lw_head_free(lw_head *head) { free(head); }

const lw_head_options *lw_head_given(const lw_head *head) { return &head->given; }

double lw_head_measure(const lw_head *head, lw_measure id) {
    return (unsigned)id < LW_MEASURE_COUNT ? head->measured[id] : (double)NAN;
}

int lw_head_tape(lw_vec3 out[LW_TAPE_POINTS], const lw_head *head, lw_measure id) {
    return tape_line(out, &head->surface, head->landmark, id);
}

lw_vec3 lw_head_centre(const lw_head *head) { return head->surface.centre; }

double lw_head_radius(const lw_head *head, lw_vec3 direction) {
    lw_vec3 u = v3_unit(direction), g;
    return surface_radius(&head->surface, u.x, u.y, u.z, &g.x, &g.y, &g.z);
}

lw_vec3 lw_head_project(const lw_head *head, lw_vec3 p, lw_vec3 *normal) {
    return surface_point(&head->surface, v3_sub(p, head->surface.centre), normal);
}

double lw_head_scalp_area(const lw_head *head) { return head->scalp_area; }

/* One step toward the closest point: from the surface point x in direction n, along the tangential part
 * of the miss, shortened by how much the surface bends toward p (`stretch`: 1 + distance * curvature). */
static lw_vec3 closer(const surface *s, lw_vec3 p, lw_vec3 x, lw_vec3 n, lw_vec3 *normal) {
    lw_vec3 miss = v3_tangent(v3_sub(p, x), n);
    double length = v3_norm(miss);
    if (length < 1e-12) {
        *normal = n;
        return x;
    }
    lw_vec3 e = v3_scale(miss, 1 / length);
    double probe = 1e-4, height = v3_dot(v3_sub(p, x), n);
    lw_vec3 m, y = surface_point(s, v3_sub(v3_along(x, e, probe), s->centre), &m);
    double moved = v3_dot(v3_sub(y, x), e);
    double curvature = v3_dot(v3_sub(m, n), e) / (moved > 1e-6 ? moved : 1e-6);
    double stretch = 1 + height * curvature;
    double step = length / (stretch > .25 ? stretch : .25);
    return surface_point(s, v3_sub(v3_along(x, e, step), s->centre), normal);
}

/* The nearest surface point that is found from x, with its normal. */
static lw_vec3 settle(const surface *s, lw_vec3 p, lw_vec3 direction, lw_vec3 *normal) {
    lw_vec3 n, x = surface_point(s, direction, &n);
    for (int i = 0; i < 60; i++) {
        lw_vec3 y = closer(s, p, x, n, normal);
        double moved = v3_norm(v3_sub(y, x));
        x = y;
        n = *normal;
        if (moved < 1e-8) break;
    }
    return x;
}

/* The net's point nearest to p among those 25 mm and more from the `count` in `apart`. */
static lw_vec3 nearest_in_net(const lw_head *head, lw_vec3 p, const lw_vec3 *apart, int count) {
    double least = INFINITY;
    lw_vec3 nearest = head->net[0];
    for (int i = 0; i < HEAD_NET; i++) {
        lw_vec3 q = head->net[i], d = v3_sub(q, p);
        double far = v3_dot(d, d);
        for (int k = 0; k < count && far < least; k++)
            if (v3_norm(v3_sub(q, apart[k])) < .025) far = INFINITY;
        if (far < least) {
            least = far;
            nearest = q;
        }
    }
    return nearest;
}

/* The head has hollows and thus several places that are nearest to p round about: the search starts on p's
 * own ray and at the three nearest places of the net that are well apart. */
double lw_head_distance(const lw_head *head, lw_vec3 p, lw_vec3 *gradient) {
    const surface *s = &head->surface;
    lw_vec3 to = v3_sub(p, s->centre), n, best, from[3];
    double far = v3_norm(to), nearest = v3_norm(v3_sub(p, settle(s, p, far > 0 ? to : v3(0, 1, 0), &best)));
    bool outside = far > 0 && far > lw_head_radius(head, to);
    for (int i = 0; i < 3; i++) {
        from[i] = nearest_in_net(head, p, from, i);
        double d = v3_norm(v3_sub(p, settle(s, p, v3_sub(from[i], s->centre), &n)));
        if (d < nearest - 1e-9) {
            nearest = d;
            best = n;
        }
    }
    if (gradient) *gradient = best;
    return outside ? nearest : -nearest;
}
