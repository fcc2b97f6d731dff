/* Looking up the ground, and the order in which it is made; ground_fill.c does the work. */
#include "ground.h"

#include <stdlib.h>

#include "fail.h"
#include "ground_fill.h"
#include "head.h"
#include "spline.h"
#include "vec.h"

#define SPACING 2e-3
#define DEFAULT_MOST 16e6 /* samples, where the spacing was left open */
#define MOST 2e8
#define COARSE .016 /* metres: the longest spacing of the coarsest level */
#define SIDE .02    /* metres between bust and box */
#define ABOVE .05
#define BASE .02 /* from a bust's base up to the box */

ground_options ground_default(void) { return (ground_options){0}; }

/* ---- looking up ---- */

double ground_distance(const ground *g, lw_vec3 p, lw_vec3 *gradient) {
    double per = 1 / g->spacing, value = 0;
    along x = place_along(fabs(p.x) * per, g->nx), y = place_along((p.y - g->low.y) * per, g->ny),
          z = place_along((p.z - g->low.z) * per, g->nz);
    lw_vec3 slope = v3(0, 0, 0);
    for (int k = 0; k < 3; k++)
        for (int j = 0; j < 3; j++) {
            const float *c = g->at + ((size_t)(z.at + k) * g->ny + (y.at + j)) * g->row + x.at;
            double on = x.b[0] * c[0] + x.b[1] * c[1] + x.b[2] * c[2];
            double across = x.d[0] * c[0] + x.d[1] * c[1] + x.d[2] * c[2];
            value += y.b[j] * z.b[k] * on;
            slope = v3_add(slope, v3(y.b[j] * z.b[k] * across, y.d[j] * z.b[k] * on, y.b[j] * z.d[k] * on));
        }
    if (gradient) *gradient = v3_scale(p.x < 0 ? v3_mirror(slope) : slope, per);
    return value;
}

/* Four coefficients in a row; the last has no weight. */
typedef float four_stored __attribute__((vector_size(16), aligned(4)));
typedef double four __attribute__((vector_size(32)));

static double weigh(const four *c, const double *w) {
    return w[0] * (*c)[0] + w[1] * (*c)[1] + w[2] * (*c)[2];
}

ground_shape ground_shape_at(const ground *g, lw_vec3 p) {
    static const double second[3] = {1, -2, 1};
    double per = 1 / g->spacing, side = p.x < 0 ? -per : per;
    along x = place_along(fabs(p.x) * per, g->nx), y = place_along((p.y - g->low.y) * per, g->ny),
          z = place_along((p.z - g->low.z) * per, g->nz);
    four on = {0}, dy = {0}, dz = {0}, yy = {0}, yz = {0}, zz = {0};
    const float *run = g->at + ((size_t)z.at * g->ny + y.at) * g->row + x.at;
    for (int k = 0; k < 3; k++, run += (size_t)g->ny * g->row) {
        four b = {0}, d = {0}, e = {0};
        for (int j = 0; j < 3; j++) {
            four c =
                __builtin_convertvector(*(const four_stored *)(const void *)(run + (size_t)j * g->row), four);
            b += y.b[j] * c, d += y.d[j] * c, e += second[j] * c;
        }
        on += z.b[k] * b, dy += z.b[k] * d, yy += z.b[k] * e;
        dz += z.d[k] * b, yz += z.d[k] * d, zz += second[k] * b;
    }
    double square = per * per;
    return (ground_shape){.distance = weigh(&on, x.b),
                          .slope = v3(side * weigh(&on, x.d), per * weigh(&dy, x.b), per * weigh(&dz, x.b)),
                          .xx = square * weigh(&on, second),
                          .xy = side * per * weigh(&dy, x.d),
                          .xz = side * per * weigh(&dz, x.d),
                          .yy = square * weigh(&yy, x.b),
                          .yz = square * weigh(&yz, x.b),
                          .zz = square * weigh(&zz, x.b)};
}

/* ---- making ---- */

/* The box: its corners, without regard to the grid. */
static void box_of(const lw_head *head, lw_vec3 *low, lw_vec3 *high) {
    bust_reach(head, low, high);
    bool measured = head->given.kind <= LW_HEAD_MAN;
    *low = v3(0, low->y + (measured ? BASE : -SIDE), low->z - SIDE);
    *high = v3(high->x + SIDE, high->y + ABOVE, high->z + SIDE);
}

static int levels_for(double spacing) {
    int levels = 1;
    while (spacing * (2 << levels) <= COARSE * (1 + 1e-9)) levels++;
    return levels;
}

/* As many samples as cover `reach`, and a whole number of steps of the coarsest level. */
static int samples_along(double reach, double spacing, int levels) {
    int steps = (int)ceil((reach / spacing + 1) / (1 << levels));
    return ((steps < 3 ? 3 : steps) << levels) + 1;
}

static lw_status lay_out(ground *g, const lw_head *head, const ground_options *options, lw_error *error) {
    lw_vec3 reach;
    double wanted = options->spacing;
    if (!(wanted == 0 || (wanted >= .0005 && wanted <= .005)))
        return fail(error, LW_ERROR_ARGUMENT, "spacing", "take .5 to 5 mm, or 0 for the default",
                    "a spacing of %g m is out of range", wanted);
    box_of(head, &g->low, &reach);
    reach = v3_sub(reach, g->low);
    g->spacing = wanted > 0 ? wanted : fmax(SPACING, cube_root(reach.x * reach.y * reach.z / DEFAULT_MOST));
    int levels = levels_for(g->spacing);
    g->nx = samples_along(reach.x, g->spacing, levels);
    g->ny = samples_along(reach.y, g->spacing, levels);
    g->nz = samples_along(reach.z, g->spacing, levels);
    g->row = (g->nx + 3) / 4 * 4;
    g->high = v3_add(g->low, v3_scale(v3(g->nx - 2, g->ny - 2, g->nz - 2), g->spacing));
    if ((double)g->row * g->ny * g->nz > MOST)
        return fail(error, LW_ERROR_LIMIT, "spacing", "take a larger spacing",
                    "a spacing of %g m makes %d by %d by %d samples", g->spacing, g->nx, g->ny, g->nz);
    return LW_OK;
}

lw_status ground_new(ground **out, const lw_head *head, const ground_options *options, lw_error *error) {
    *out = NULL;
    ground *g = calloc(1, sizeof *g);
    if (!g) return fail_memory(error, "ground");
    lw_status status = lay_out(g, head, options, error);
    bool made = !status && ground_fill(g, head, levels_for(g->spacing)) && ground_clear(g);
    if (!status && !made) status = fail_memory(error, "ground");
    if (status)
        ground_free(g);
    else
        *out = g;
    return status;
}

void ground_free(ground *g) {
    if (!g) return;
    free(g->at);
    free(g->clear);
    free(g);
}
