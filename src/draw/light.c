/* Light on the bust.
 *
 * A light is a handful of directions. From each the bust is seen as a map of depths (depth.h); a vertex that
 * is hidden on the map is in the shadow of that direction (Williams 1978, doi 10.1145/800248.807402). Taken
 * over the whole sky the mean is ambient occlusion, over a lamp its soft shadow. Every direction has its own
 * row of answers and the rows are summed in order, so the sum is the same for any number of threads. */
#include "light.h"

#include <math.h>
#include <stdlib.h>

#include "depth.h"
#include "fail.h"
#include "vec.h"

#define GOLDEN (LW_PI * (3 - sqrt(5))) /* radians */
enum { MAP_SIDE = 200, SMOOTHINGS = 2 };

void light_clear(light *l) {
    free(l->toward);
    *l = (light){0};
}

static lw_status light_room(light *out, int count, lw_error *error) {
    out->count = count;
    out->toward = malloc((size_t)count * sizeof *out->toward);
    return out->toward ? LW_OK : fail_memory(error, "light");
}

/* A golden spiral over the sphere. */
lw_status light_sky(light *out, int count, lw_error *error) {
    lw_status status = light_room(out, count, error);
    for (int i = 0; !status && i < count; i++) {
        double y = 1 - (2 * i + 1.0) / count, level = sqrt(1 - y * y);
        out->toward[i] = v3(level * cos(i * GOLDEN), y, level * sin(i * GOLDEN));
    }
    return status;
}

lw_status light_lamp(light *out, lw_vec3 toward, double spread, int count, lw_error *error) {
    lw_status status = light_room(out, count, error);
    view v = view_from(toward);
    for (int i = 0; !status && i < count; i++) {
        double r = tan(spread) * sqrt((i + .5) / count);
        lw_vec3 aside = v3_along(v3_scale(v.right, r * cos(i * GOLDEN)), v.up, r * sin(i * GOLDEN));
        out->toward[i] = v3_unit(v3_add(v.toward, aside));
    }
    return status;
}

static double widest(const lw_mesh *mesh) {
    double far = 0;
    for (int i = 0; i < mesh->vertex_count; i++)
        far = fmax(far, v3_norm(v3_sub(mesh->position[i], mesh->position[0])));
    return far;
}

/* seen[vertex_count]: whether the direction reaches it. */
static lw_status look(unsigned char *seen, const lw_mesh *mesh, lw_vec3 toward, double pixel) {
    depth_map map;
    lw_status status = depth_map_new(&map, mesh, view_from(toward), pixel, NULL);
    if (status) return status;
    for (int i = 0; i < mesh->vertex_count; i++)
        seen[i] = v3_dot(mesh->normal[i], toward) > 0 &&
                  !depth_map_hides(&map, v3_along(mesh->position[i], mesh->normal[i], .5 * pixel), pixel);
    depth_map_clear(&map);
    return LW_OK;
}

static void gather(float *reach, const lw_mesh *mesh, const light *from, const unsigned char *seen) {
#pragma omp parallel for schedule(static)
    for (int i = 0; i < mesh->vertex_count; i++) {
        double all = 0, some = 0;
        for (int k = 0; k < from->count; k++) {
            double square = fmax(0, v3_dot(mesh->normal[i], from->toward[k]));
            all += square;
            some += seen[(size_t)k * (size_t)mesh->vertex_count + (size_t)i] ? square : 0;
        }
        reach[i] = all > 0 ? (float)(some / all) : 1;
    }
}

void light_smooth(float *value, float *scratch, const lw_mesh *mesh) {
    float *sum = scratch, *weight = scratch + mesh->vertex_count;
    for (int i = 0; i < mesh->vertex_count; i++) sum[i] = 2 * value[i], weight[i] = 2;
    for (int i = 0; i < mesh->triangle_count; i++)
        for (int k = 0; k < 3; k++) {
            int32_t at = mesh->triangle[i][k], next = mesh->triangle[i][(k + 1) % 3];
            sum[at] += value[next];
            weight[at] += 1;
        }
    for (int i = 0; i < mesh->vertex_count; i++) value[i] = sum[i] / weight[i];
}

lw_status light_reach(float *reach, const lw_mesh *mesh, const light *from, lw_error *error) {
    size_t n = (size_t)mesh->vertex_count;
    unsigned char *seen = malloc(n * (size_t)from->count + 1);
    float *sum = malloc((2 * n + 1) * sizeof *sum);
    int failed = !seen || !sum;
    double pixel = widest(mesh) / MAP_SIDE;
    if (!failed) {
#pragma omp parallel for schedule(dynamic, 1) reduction(+ : failed)
        for (int k = 0; k < from->count; k++)
            failed += look(seen + (size_t)k * n, mesh, from->toward[k], pixel) != LW_OK;
    }
    if (!failed) {
        gather(reach, mesh, from, seen);
        for (int k = 0; k < SMOOTHINGS; k++) light_smooth(reach, sum, mesh);
    }
    free(seen);
    free(sum);
    return failed ? fail_memory(error, "light") : LW_OK;
}
