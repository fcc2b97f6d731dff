/* What is asked of a rod: defaults, checks, the held pose, and the public functions. Whatever passes the
 * checks has an energy that is a finite number in every pose and a least one, so that nothing after them can
 * fail but memory and the ground. */
#include <float.h>
#include <stdlib.h>

#include "fail.h"
#include "rod.h"

lw_rod lw_rod_default(void) {
    lw_rod r = {.length = 0.16,
                .nodes = 24,
                .tangent = {1, 0, 0},
                .section = {0, 0, 1},
                .down = {0, -1, 0},
                .lean = {1, 0, 0},
                .skin = 1e-4,
                .press = 1,
                .iterations = 2000};
    lw_rod_fibre(&r, 4e9, 1320, 70e-6, 1, 0.43);
    return r;
}

void lw_rod_fibre(lw_rod *out, double modulus, double density, double diameter, double ellipticity,
                  double twist_ratio) {
    const double gravity = 9.80665;
    double radius = diameter / 2, a = radius * sqrt(ellipticity), b = radius / sqrt(ellipticity);
    out->bend[0] = modulus * LW_PI * a * b * b * b / 4;
    out->bend[1] = modulus * LW_PI * a * a * a * b / 4;
    out->twist = twist_ratio * sqrt(out->bend[0] * out->bend[1]);
    out->weight = density * LW_PI * radius * radius * gravity;
    out->diameter = diameter;
}

/* ---- checks */

/* One value out of its range; NAN is out of every one. */
static lw_status out_of(lw_error *error, const char *name, double value, double low, double high) {
    char remedy[96];
    snprintf(remedy, sizeof remedy, "give a number from %g to %g", low, high);
    return fail(error, LW_ERROR_ARGUMENT, name, remedy, "%s is %g", name, value);
}

static lw_status check_values(const lw_rod *in, lw_error *error) {
    const struct {
        const char *name;
        double value, low, high;
    } rows[] = {
        {"length", in->length, 1e-4, 10},       {"weight", in->weight, 0, 1e3},
        {"bend[0]", in->bend[0], 1e-20, 1e3},   {"bend[1]", in->bend[1], 1e-20, 1e3},
        {"twist", in->twist, 1e-20, 1e3},       {"curl[0]", in->curl[0], -1e6, 1e6},
        {"curl[1]", in->curl[1], -1e6, 1e6},    {"curl[2]", in->curl[2], -1e6, 1e6},
        {"diameter", in->diameter, 0, 1e-2},    {"tip_load", in->tip_load, 0, 1e3},
        {"nodes", in->nodes, 3, ROD_NODES_MAX}, {"iterations", in->iterations, 1, 100000},
        {"press", in->press, 0, 1e3},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (!(rows[i].value >= rows[i].low && rows[i].value <= rows[i].high))
            return out_of(error, rows[i].name, rows[i].value, rows[i].low, rows[i].high);
    if (in->ground && !(in->skin >= 1e-7 && in->skin <= in->length / 4))
        return out_of(error, "skin", in->skin, 1e-7, in->length / 4);
    return LW_OK;
}

static double largest(const double *v) { return fmax(fmax(fabs(v[0]), fabs(v[1])), fabs(v[2])); }
static double least(const double *v) { return fmin(fmin(v[0], v[1]), v[2]); }

/* Proportions beyond which double precision or the iteration would not hold. */
static lw_status check_proportions(const lw_rod *in, lw_error *error) {
    double stiffness[3] = {in->bend[0], in->bend[1], in->twist}, l = in->length;
    if (largest(stiffness) > 1e6 * least(stiffness))
        return fail(error, LW_ERROR_ARGUMENT, "bend", "give stiffnesses at most a million times apart",
                    "bending and twisting stiffness are %g times apart",
                    largest(stiffness) / least(stiffness));
    double limp = (in->weight * l + in->tip_load) * l * l / least(stiffness);
    if (limp > 1e9)
        return fail(error, LW_ERROR_ARGUMENT, "bend",
                    "give more stiffness, or take it for limp: lw_scalp_hang has no stiffness",
                    "load times length squared over stiffness is %g, more than 1e9", limp);
    return LW_OK;
}

static lw_status check_curl(const lw_rod *in, lw_error *error) {
    double bend = hypotenuse(in->curl[0], in->curl[1]), all = hypotenuse(bend, in->curl[2]);
    double turn = all * in->length / (in->nodes - 1);
    if (bend * in->diameter / 2 >= 1)
        return fail(error, LW_ERROR_ARGUMENT, "curl", "give a wider curl or a finer fibre",
                    "the curl's radius of %g m is within the fibre, %g m thick", 1 / bend, in->diameter);
    if (turn > 2) {
        char remedy[96];
        snprintf(remedy, sizeof remedy, "give %.0f nodes or more, or a wider curl",
                 ceil(all * in->length / 2) + 1);
        return fail(error, LW_ERROR_ARGUMENT, "curl", remedy,
                    "the curl turns by %.3g radians from node to node, more than 2", turn);
    }
    return LW_OK;
}

/* A direction: finite, and longer than nothing. */
static bool is_direction(lw_vec3 v) {
    double n = v3_norm(v);
    return isfinite(n) && n > 1e-100;
}

static lw_status no_direction(lw_error *error, const char *name) {
    return fail(error, LW_ERROR_ARGUMENT, name, "give a vector of finite length above 0, such as {0, -1, 0}",
                "%s is no direction", name);
}

static lw_status check_directions(const lw_rod *in, lw_error *error) {
    if (!is_direction(in->tangent)) return no_direction(error, "tangent");
    if (!is_direction(in->section)) return no_direction(error, "section");
    if (!is_direction(in->down)) return no_direction(error, "down");
    if (!is_direction(in->lean)) return no_direction(error, "lean");
    if (v3_norm(v3_cross(v3_unit(in->section), v3_unit(in->tangent))) < 1e-6)
        return fail(error, LW_ERROR_ARGUMENT, "section", "give a direction across the tangent",
                    "the section's axis lies along the tangent");
    for (int i = 0; in->start && i < in->nodes - 1; i++)
        if (!is_direction(in->start[i])) return no_direction(error, "start");
    if (!(v3_norm(in->root) <= 1e6))
        return fail(error, LW_ERROR_ARGUMENT, "root", "give a place within 1e6 m of the origin",
                    "the root is no place");
    return LW_OK;
}

static lw_status check_ground(const lw_rod *in, lw_error *error) {
    if (!in->ground) return LW_OK;
    lw_vec3 gradient;
    double distance = in->ground(&gradient, in->root, in->context);
    if (!isfinite(distance))
        return fail(error, LW_ERROR_ARGUMENT, "ground", "give a distance wherever the hair may be",
                    "the ground gives no number at the root");
    if (distance < -in->skin)
        return fail(error, LW_ERROR_ARGUMENT, "root", "move the root out onto the ground, or the ground away",
                    "the ground swallows the root: it is %g m inside", -distance);
    return LW_OK;
}

/* ---- made ready */

/* The ground must hold up whatever can press on one node: the whole weight and tip load, or a bend within one
 * edge (EI/l^2). It gives k h/2 at its surface, so k = 2 (EI/l^2 + q L + P)/h keeps every node outside or on
 * it; more would only make the problem harder. Hair that is not bent over the ground needs less of the first,
 * and press says how much. */
static double ground_stiffness(const lw_rod *in, double edge) {
    double load = in->weight * in->length + in->tip_load;
    return 2 * (in->press * fmax(in->bend[0], in->bend[1]) / (edge * edge) + load) / in->skin;
}

lw_status rod_make(struct rod *out, const lw_rod *in, lw_error *error) {
    lw_status status = check_values(in, error);
    if (!status) status = check_proportions(in, error);
    if (!status) status = check_curl(in, error);
    if (!status) status = check_directions(in, error);
    if (!status) status = check_ground(in, error);
    if (status) return status;
    lw_vec3 tangent = v3_unit(in->tangent);
    lw_vec3 first = v3_unit(v3_tangent(v3_unit(in->section), tangent));
    double edge = in->length / (in->nodes - 1), stiff = fmax(fmax(in->bend[0], in->bend[1]), in->twist);
    *out = (struct rod){.in = *in, .edge = edge, .down = v3_unit(in->down), .lean = v3_unit(in->lean)};
    out->stiffness = in->ground ? ground_stiffness(in, edge) : 0;
    out->moment = stiff / in->length + (in->weight * in->length + in->tip_load) * in->length;
    out->clamp = quat_of_axes(first, v3_cross(tangent, first), tangent);
    return LW_OK;
}

/* Tangent of the held pose at node i. */
static lw_vec3 held_tangent(const struct rod *r, int i) {
    const lw_vec3 *start = r->in.start;
    int last = r->in.nodes - 1;
    if (i == 0 || !start) return v3_unit(r->in.tangent);
    lw_vec3 before = v3_unit(start[i - 1]), after = i < last ? v3_unit(start[i]) : before;
    lw_vec3 between = v3_unit(v3_add(before, after));
    return v3_norm(between) > 0 ? between : before;
}

/* Each frame is the one before, turned by the shortest way to the next tangent and then about it by the
 * natural twist: a hair that is held is free to turn about itself. */
void rod_start(quat *frame, const struct rod *r) {
    frame[0] = r->clamp;
    lw_vec3 twist = {0, 0, r->in.curl[2] * r->edge};
    for (int i = 1; i < r->in.nodes; i++) {
        quat bend = quat_between(held_tangent(r, i - 1), held_tangent(r, i));
        frame[i] = quat_unit(quat_times(quat_times(bend, frame[i - 1]), quat_turn(twist)));
    }
}

/* ---- public */

/* Neighbours the shorter way round. */
static void pose_of(quat *pose, const lw_frame *frame, int nodes) {
    for (int i = 0; i < nodes; i++) {
        quat q = quat_of_axes(frame[i].first, frame[i].second, frame[i].tangent);
        bool far = i > 0 && q.w * pose[i - 1].w + v3_dot(q.v, pose[i - 1].v) < 0;
        pose[i] = far ? (quat){-q.w, v3_scale(q.v, -1)} : q;
    }
}

static lw_frame frame_of_quat(quat q) {
    mat3 m = quat_matrix(q);
    return (lw_frame){v3(m.m[0][0], m.m[1][0], m.m[2][0]), v3(m.m[0][1], m.m[1][1], m.m[2][1]),
                      v3(m.m[0][2], m.m[1][2], m.m[2][2])};
}

lw_status lw_rod_rest(lw_vec3 *node, lw_frame *frame, lw_rod_report *report, const lw_rod *rod,
                      lw_error *error) {
    struct rod r;
    quat pose[ROD_NODES_MAX];
    lw_rod_report unread;
    lw_status status = rod_make(&r, rod, error);
    if (status) return status;
    rod_start(pose, &r);
    status = rod_settle(pose, node, report ? report : &unread, &r, error);
    for (int i = 0; !status && frame && i < rod->nodes; i++) frame[i] = frame_of_quat(pose[i]);
    return status;
}

double lw_rod_energy(lw_vec3 *node, const lw_rod *rod, const lw_frame *frame) {
    struct rod r;
    quat pose[ROD_NODES_MAX];
    lw_vec3 unread[ROD_NODES_MAX];
    if (rod_make(&r, rod, NULL)) return NAN;
    pose_of(pose, frame, rod->nodes);
    return rod_energy(node ? node : unread, &r, pose);
}

bool lw_rod_moments(lw_vec3 *moment, const lw_rod *rod, const lw_frame *frame) {
    struct rod r;
    quat pose[ROD_NODES_MAX];
    if (rod_make(&r, rod, NULL)) return false;
    pose_of(pose, frame, rod->nodes);
    rod_moments(moment, &r, pose);
    return true;
}
