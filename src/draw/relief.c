/* The bust's relief.
 *
 * Lines: where the curvature along the line of sight passes through zero while growing toward the eye, a
 * contour would appear if the head were turned a little; a draughtsman draws it already (DeCarlo,
 * Finkelstein, Rusinkiewicz and Santella, "Suggestive contours for conveying shape", SIGGRAPH 2003).
 * Curvature comes from how the vertices' normals change over a triangle, averaged at the vertices (after
 * Rusinkiewicz, "Estimating curvatures and their derivatives on triangle meshes", 3DPVT 2004).
 *
 * Tone: hollows are dark by how hollow they are, and what turns away from a lamp at the upper left a little.
 * It is kept pale: lines and labels go on it. */
#include "relief.h"

#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "raster.h"
#include "vec.h"

#define STEEP 6e3 /* 1/m^2: how fast the curvature must grow across a crease */
#define TOO_SQUARE                                                                                           \
    .25             /* sine of the angle to the normal below which the surface faces the eye too squarely */
#define HOLLOW 130. /* 1/m: curvature of a hollow as dark as can be */

enum { GRID = 2, CALMING = 2 /* rounds */ };

/* ---- derivatives on a triangle ---- */

typedef struct slopes {
    lw_vec3 of[3]; /* gradient of the function that is 1 at a corner and 0 at the others, times area */
    double area;   /* the square of twice its area */
} slopes;

static slopes slopes_of(const lw_mesh *m, const int32_t t[3]) {
    lw_vec3 a = m->position[t[0]], b = v3_sub(m->position[t[1]], a), c = v3_sub(m->position[t[2]], a);
    lw_vec3 n = v3_cross(b, c), second = v3_cross(c, n), third = v3_cross(n, b);
    return (slopes){{v3_scale(v3_add(second, third), -1), second, third}, v3_dot(n, n)};
}

/* ---- mean curvature ---- */

static void add_edge(const lw_mesh *m, int a, int b, double *sum, int *count) {
    lw_vec3 way = v3_sub(m->position[b], m->position[a]), turn = v3_sub(m->normal[b], m->normal[a]);
    double bend = v3_dot(turn, way) / fmax(1e-12, v3_dot(way, way));
    sum[a] += bend, sum[b] += bend;
    count[a]++, count[b]++;
}

/* Every vertex takes the mean of itself and its neighbours' mean. */
static void calm(double *value, double *sum, const int *count, const lw_mesh *mesh) {
    for (int i = 0; i < mesh->vertex_count; i++) sum[i] = 0;
    for (int i = 0; i < mesh->triangle_count; i++) {
        const int32_t *t = mesh->triangle[i];
        for (int k = 0; k < 3; k++) {
            sum[t[k]] += value[t[(k + 1) % 3]];
            sum[t[(k + 1) % 3]] += value[t[k]];
        }
    }
    for (int i = 0; i < mesh->vertex_count; i++) value[i] = (value[i] + sum[i] / fmax(1, count[i])) / 2;
}

lw_status relief_curvature(double *out, const lw_mesh *mesh, lw_error *error) {
    int *count = calloc((size_t)mesh->vertex_count, sizeof *count);
    double *sum = malloc((size_t)mesh->vertex_count * sizeof *sum);
    if (count && sum) {
        for (int i = 0; i < mesh->vertex_count; i++) out[i] = 0;
        for (int i = 0; i < mesh->triangle_count; i++) {
            const int32_t *t = mesh->triangle[i];
            for (int k = 0; k < 3; k++) add_edge(mesh, t[k], t[(k + 1) % 3], out, count);
        }
        for (int i = 0; i < mesh->vertex_count; i++) out[i] /= count[i] ? count[i] : 1;
        for (int i = 0; i < CALMING; i++) calm(out, sum, count, mesh);
    }
    bool made = count && sum;
    free(count);
    free(sum);
    return made ? LW_OK : fail_memory(error, "relief");
}

/* ---- creases ---- */

/* Toward the eye along the surface, not of unit length. */
static lw_vec3 toward_eye(const lw_mesh *m, const int32_t t[3], view v) {
    lw_vec3 n = v3_unit(v3_add(v3_add(m->normal[t[0]], m->normal[t[1]]), m->normal[t[2]]));
    return v3_tangent(v.toward, n);
}

/* Whether any corner is wanted and any faces the eye. */
static bool matters(const lw_mesh *m, const bool *wanted, const int32_t t[3], view v) {
    bool faces = false, asked = !wanted;
    for (int k = 0; k < 3; k++) {
        faces |= v3_dot(m->normal[t[k]], v.toward) > 0;
        asked |= wanted && wanted[t[k]];
    }
    return faces && asked;
}

/* Curvature along the line of sight, at vertices; NAN where the surface is too square to the eye or does not
 * matter. */
static bool radial_curvature(double *out, const lw_mesh *m, const bool *wanted, view v) {
    double *weight = calloc((size_t)m->vertex_count, sizeof *weight);
    if (!weight) return false;
    for (int i = 0; i < m->vertex_count; i++) out[i] = 0;
    for (int i = 0; i < m->triangle_count; i++) {
        const int32_t *t = m->triangle[i];
        if (!matters(m, wanted, t, v)) continue;
        lw_vec3 w = toward_eye(m, t, v);
        slopes g = slopes_of(m, t);
        double along = v3_dot(w, w), bend = 0;
        if (along < TOO_SQUARE * TOO_SQUARE || g.area == 0) continue;
        for (int k = 0; k < 3; k++) bend += v3_dot(m->normal[t[k]], w) * v3_dot(g.of[k], w) / g.area;
        for (int k = 0; k < 3; k++) {
            out[t[k]] += bend / along * sqrt(g.area);
            weight[t[k]] += sqrt(g.area);
        }
    }
    for (int i = 0; i < m->vertex_count; i++) out[i] = weight[i] > 0 ? out[i] / weight[i] : NAN;
    free(weight);
    return true;
}

static bool is_crease(const lw_mesh *m, const double *radial, const bool *wanted, const int32_t t[3],
                      view v) {
    int above = 0;
    for (int k = 0; k < 3; k++) {
        if ((wanted && !wanted[t[k]]) || v3_dot(m->normal[t[k]], v.toward) < 0) return false;
        above += radial[t[k]] >= 0;
    }
    if (above == 0 || above == 3) return false;
    slopes g = slopes_of(m, t);
    lw_vec3 w = toward_eye(m, t, v);
    double grows = 0, length = v3_norm(w);
    if (g.area == 0 || length < TOO_SQUARE) return false;
    for (int k = 0; k < 3; k++) grows += radial[t[k]] * v3_dot(g.of[k], w) / g.area;
    return grows / length > STEEP;
}

lw_status relief_creases(curves *out, const lw_mesh *mesh, const bool *wanted, view v, lw_error *error) {
    *out = (curves){0};
    double *radial = malloc((size_t)mesh->vertex_count * sizeof *radial);
    bool *keep = malloc((size_t)mesh->triangle_count * sizeof *keep);
    lw_status status =
        radial && keep && radial_curvature(radial, mesh, wanted, v) ? LW_OK : fail_memory(error, "relief");
    if (!status) {
        for (int i = 0; i < mesh->triangle_count; i++)
            keep[i] = is_crease(mesh, radial, wanted, mesh->triangle[i], v);
        status = curves_level_on(out, mesh, radial, keep, 0, error);
    }
    free(radial);
    free(keep);
    return status;
}

/* ---- tone ---- */

typedef struct toning {
    const lw_mesh *mesh;
    const double *curvature;
    view view;
    const flat *at;
    raster seen;
    double top, size; /* of samples, metres */
    const double *fade;
} toning;

static double dark_at(const toning *of, int column, int row) {
    int32_t index = of->seen.triangle[(size_t)row * (size_t)of->seen.width + (size_t)column];
    if (index < 0) return 0;
    const int32_t *t = of->mesh->triangle[index];
    double w[3], bend = 0, y = 0;
    lw_vec3 n = {0};
    raster_weights(&of->at[t[0]], &of->at[t[1]], &of->at[t[2]], column + .5, row + .5, w);
    for (int k = 0; k < 3; k++) {
        bend += w[k] * of->curvature[t[k]];
        y += w[k] * of->mesh->position[t[k]].y;
        n = v3_along(n, of->mesh->normal[t[k]], w[k]);
    }
    n = v3_unit(n);
    lw_vec3 lamp = v3_add(v3_scale(of->view.right, -.45), v3_add(v3_scale(of->view.up, .6), of->view.toward));
    double lit = .5 + .5 * v3_dot(n, v3_unit(lamp)), hollow = fmin(1, fmax(0, -bend) / HOLLOW);
    double facing = fmax(0, v3_dot(n, of->view.toward));
    double dark = .30 * (1 - lit) + .42 * hollow + .10 * (1 - facing) * (1 - facing);
    double left = (y - of->fade[0]) / (of->fade[1] - of->fade[0]);
    return dark * fmin(1, fmax(0, left));
}

static void tone_row(image *out, const toning *of, int row) {
    for (int column = 0; column < out->width; column++) {
        double sum = 0;
        for (int k = 0; k < GRID * GRID; k++)
            sum += dark_at(of, column * GRID + k % GRID, row * GRID + k / GRID);
        uint8_t *pixel = out->rgba + 4 * ((size_t)row * (size_t)out->width + (size_t)column);
        pixel[3] = (uint8_t)lround(255 * fmin(1, sum / (GRID * GRID)));
    }
}

lw_status relief_shade(image *out, const lw_mesh *mesh, const double *curvature, view v, frame at, int width,
                       int height, const double fade[2], lw_error *error) {
    lw_status status = image_new(out, width, height, error);
    if (status) return status;
    toning of = {.mesh = mesh, .curvature = curvature, .view = v, .fade = fade};
    of.seen.width = width * GRID, of.seen.height = height * GRID;
    size_t samples = (size_t)of.seen.width * (size_t)of.seen.height;
    flat *corners = malloc((size_t)mesh->vertex_count * sizeof *corners);
    of.seen.depth = malloc(samples * sizeof *of.seen.depth);
    of.seen.triangle = malloc(samples * sizeof *of.seen.triangle);
    if (corners && of.seen.depth && of.seen.triangle) {
        raster_flatten(corners, mesh, v, at.x, at.y, at.width / of.seen.width);
        of.at = corners;
        raster_wipe(&of.seen);
        raster_mesh(&of.seen, mesh, corners);
        for (int row = 0; row < height; row++) tone_row(out, &of, row);
    } else {
        image_clear(out);
        status = fail_memory(error, "relief");
    }
    free(corners);
    free(of.seen.depth);
    free(of.seen.triangle);
    return status;
}
