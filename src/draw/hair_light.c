/* The light on hair, and the shadow of hair on the bust.
 *
 * The large lamp casts the shadows that are looked at, so it is followed finely, from several of its parts
 * (hair_veil.h) through the hair; their mean is a soft shadow. Past the bust, and from the weak lamps and the
 * sky, it is followed coarsely (hair_air.h). Depth is told in hairs, not in light, as how much light a hair
 * takes depends on its colour. */
#include "hair_light.h"

#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "light.h"
#include "vec.h"

#define PIXEL .0011   /* metres */
#define CELL .005     /* metres */
#define SPREAD .24    /* of the large lamp: tangent of the angle from its middle to its edge */
#define WALL 40.f     /* hairs that a cell of the bust counts as */
#define SOFT_WALL 5.f /* the same for the large lamp, past whose edge light reaches round */
#define TAKES .45f    /* share of light that a hair across its way takes, of which means are formed */
#define SKY_TAKES .16f
#define ROOTS .75f /* of the light on a scalp, taken by the hair right on it */

enum {
    SKY_PARTS = 22,
    SMOOTHINGS = 2, /* of the shadow on the bust, over its corners */
    CASTING = 8000  /* hairs: of more, some cast the shadow of all, in each part others */
};

hair_lamps hair_lamps_default(void) {
    return (hair_lamps){.key = {{-.60, .62, .50}, {1.55, 1.47, 1.36}},
                        .fill = {{.80, .10, .58}, {.27, .28, .30}},
                        .rim = {{.62, .42, -.66}, {.30, .32, .35}},
                        .above = {.33, .345, .37},
                        .below = {.13, .12, .11}};
}

static lw_vec3 in_space(const view *v, lw_vec3 seen) {
    return v3_along(v3_along(v3_scale(v->right, seen.x), v->up, seen.y), v->toward, seen.z);
}

static lw_vec3 part_of(lw_vec3 toward, int k) {
    view v = view_from(toward);
    double turn = 2 * LW_PI * (k + .5) / (KEY_PARTS - 1), r = k == KEY_PARTS - 1 ? 0 : SPREAD;
    return v3_unit(v3_along(v3_along(v.toward, v.right, r * cos(turn)), v.up, r * sin(turn)));
}

/* A golden spiral over half of the sphere, each part with its mirror image. */
static lw_vec3 sky_part(int k) {
    int i = k / 2;
    double y = 1 - (2 * i + 1.0) / (SKY_PARTS / 2), level = sqrt(1 - y * y), turn = i * LW_PI * (3 - sqrt(5));
    double x = fabs(level * cos(turn));
    return v3(k % 2 ? -x : x, y, level * sin(turn));
}

static lw_status light_key_part(hair_light *l, const hair_fine *hair, const hair_lamps *lamps, int k) {
    int every = hair->count < 2 * CASTING ? 1 : hair->count / CASTING;
    if (k == KEY_PARTS) return hair_veil_new(&l->eye, hair, v3(0, 0, 1), PIXEL, 0, every, NULL);
    return hair_veil_new(&l->key[k], hair, part_of(lamps->key.toward, k), PIXEL, k % every, every, NULL);
}

static lw_status light_key(hair_light *l, const hair_fine *hair, const hair_lamps *lamps, lw_error *error) {
    int failed = 0;
#pragma omp parallel for schedule(dynamic, 1) reduction(+ : failed)
    for (int k = 0; k <= KEY_PARTS; k++) failed += light_key_part(l, hair, lamps, k) != LW_OK;
    return failed ? fail_memory(error, "light") : LW_OK;
}

static lw_status light_sky_parts(hair_light *l, lw_error *error) {
    size_t cells = hair_air_cells(&l->air);
    float *depth = malloc(cells * sizeof *depth);
    if (!depth) return fail_memory(error, "light");
    double all = 0;
    for (int k = 0; k < SKY_PARTS; k++) {
        lw_vec3 toward = sky_part(k);
        double bright = .23 + .11 * toward.y;
        hair_air_depth(depth, &l->air, toward, 1, WALL);
#pragma omp parallel for schedule(static)
        for (size_t i = 0; i < cells; i++) l->sky[i] += (float)bright * expf(-SKY_TAKES * depth[i]);
        all += bright;
    }
    for (size_t i = 0; i < cells; i++) l->sky[i] /= (float)all;
    free(depth);
    return LW_OK;
}

static lw_status light_air(hair_light *l, const hair_fine *hair, const lw_head *head, const hair_lamps *lamps,
                           lw_error *error) {
    lw_status status = hair_air_new(&l->air, hair, head, &l->seen, CELL, error);
    if (status) return status;
    size_t cells = hair_air_cells(&l->air);
    l->fill = malloc(cells * sizeof *l->fill);
    l->rim = malloc(cells * sizeof *l->rim);
    l->behind = malloc(cells * sizeof *l->behind);
    l->sky = calloc(cells, sizeof *l->sky);
    if (!l->fill || !l->rim || !l->behind || !l->sky) return fail_memory(error, "light");
    hair_air_depth(l->behind, &l->air, lamps->key.toward, 0, SOFT_WALL);
    hair_air_depth(l->fill, &l->air, lamps->fill.toward, 1, WALL);
    hair_air_depth(l->rim, &l->air, lamps->rim.toward, 1, WALL);
    return light_sky_parts(l, error);
}

lw_status hair_light_new(hair_light *out, const hair_fine *hair, const lw_head *head, const view *seen,
                         const hair_lamps *lamps, lw_error *error) {
    *out = (hair_light){.seen = *seen};
    lw_status status = light_key(out, hair, lamps, error);
    if (!status) status = light_air(out, hair, head, lamps, error);
    if (status) hair_light_clear(out);
    return status;
}

void hair_light_clear(hair_light *l) {
    for (int k = 0; k < KEY_PARTS; k++) {
        hair_veil_clear(&l->key[k]);
    }
    hair_veil_clear(&l->eye);
    hair_air_clear(&l->air);
    free(l->fill);
    free(l->rim);
    free(l->behind);
    free(l->sky);
    *l = (hair_light){0};
}

/* Of the lamp's light, what hair lets past. */
static float key_share(const hair_light *l, hair_point p) {
    float sum = 0;
    for (int k = 0; k < KEY_PARTS; k++) sum += expf(-TAKES * hair_veil_at(&l->key[k], p));
    return sum / KEY_PARTS;
}

hair_depths hair_light_at(const hair_light *l, hair_point p) {
    return (hair_depths){.eye = hair_veil_at(&l->eye, p),
                         .key = hair_air_at(l->behind, &l->air, p, 0) -
                                logf(fmaxf(key_share(l, p), 1e-8f)) / TAKES,
                         .fill = hair_air_at(l->fill, &l->air, p, 0),
                         .rim = hair_air_at(l->rim, &l->air, p, 0),
                         .sky = hair_air_at(l->sky, &l->air, p, 1)};
}

/* ---- the bust ---- */

lw_status hair_light_on_bust(float *sky, float *key, const hair_light *l, const lw_mesh *mesh,
                             lw_error *error) {
    int n = mesh->vertex_count;
    float *depth = malloc(hair_air_cells(&l->air) * sizeof *depth), *all = calloc((size_t)n + 1, sizeof *all);
    hair_point *at = malloc(((size_t)n + 1) * sizeof *at), *out = malloc(((size_t)n + 1) * sizeof *out);
    bool fine = depth && all && at && out;
    const view *v = &l->seen;
    for (int i = 0; fine && i < n; i++) {
        lw_vec3 p = mesh->position[i], q = v3_along(p, mesh->normal[i], CELL);
        at[i] =
            (hair_point){(float)v3_dot(p, v->right), (float)v3_dot(p, v->up), (float)v3_dot(p, v->toward)};
        out[i] =
            (hair_point){(float)v3_dot(q, v->right), (float)v3_dot(q, v->up), (float)v3_dot(q, v->toward)};
        sky[i] = 0;
    }
    for (int k = 0; fine && k < SKY_PARTS; k++) {
        lw_vec3 toward = sky_part(k), d = in_space(v, toward);
        hair_air_depth(depth, &l->air, toward, 1, 0);
#pragma omp parallel for schedule(static)
        for (int i = 0; i < n; i++) {
            float square = (float)v3_dot(mesh->normal[i], d);
            if (square <= 0) continue;
            sky[i] += square * expf(-2 * SKY_TAKES * hair_air_at(depth, &l->air, out[i], 0));
            all[i] += square;
        }
    }
#pragma omp parallel for schedule(dynamic, 256)
    for (int i = 0; i < (fine ? n : 0); i++) {
        float among = 1 - ROOTS * (1 - expf(-(float)CELL * hair_air_at(l->air.hair, &l->air, at[i], 0)));
        sky[i] = all[i] > 0 ? among * sky[i] / all[i] : 1;
        key[i] = among * key_share(l, at[i]);
    }
    float *scratch = malloc((2 * (size_t)n + 1) * sizeof *scratch);
    fine = fine && scratch;
    for (int k = 0; fine && k < SMOOTHINGS; k++) light_smooth(key, scratch, mesh);
    free(scratch);
    free(depth);
    free(all);
    free(at);
    free(out);
    return fine ? LW_OK : fail_memory(error, "light");
}
