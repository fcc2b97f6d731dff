/* How much hair lies between a place and one direction.
 *
 * A deep opacity map (Yuksel and Keyser 2008, doi 10.1111/j.1467-8659.2008.01165.x; after Lokovic and Veach
 * 2000, doi 10.1145/344779.344958): a grid of pixels across the direction; behind the first hair that each
 * pixel meets, layers that get thicker with depth, each with how much hair there is down to its end. */
#include "hair_veil.h"

#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "vec.h"

enum { SIDE_MAX = 2048 };

/* Where each layer ends, metres behind the first hair. */
static const float ends[VEIL_LAYERS] = {.0006f, .0014f, .0026f, .0045f, .008f, .014f, .026f, .400f};

static float along(const float axis[3], hair_point p) {
    return p.x * axis[0] + p.y * axis[1] + p.z * axis[2];
}

static hair_point turned(const hair_veil *v, hair_point p) {
    return (hair_point){along(v->right, p), along(v->up, p), along(v->toward, p)};
}

static void set_axis(float out[3], lw_vec3 v) {
    out[0] = (float)v.x, out[1] = (float)v.y, out[2] = (float)v.z;
}

static lw_status size_up(hair_veil *v, const hair_fine *hair, double size, lw_error *error) {
    float low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};
    for (int i = 0; i < 8; i++) { /* the corners of the box that holds it */
        hair_point p = {i & 1 ? hair->low.x : hair->high.x, i & 2 ? hair->low.y : hair->high.y,
                        i & 4 ? hair->low.z : hair->high.z};
        float x = along(v->right, p), y = along(v->up, p);
        low[0] = fminf(low[0], x), high[0] = fmaxf(high[0], x);
        low[1] = fminf(low[1], y), high[1] = fmaxf(high[1], y);
    }
    float most = fmaxf(high[0] - low[0], high[1] - low[1]) / (SIDE_MAX - 4);
    v->size = fmaxf((float)size, most);
    v->left = low[0] - v->size, v->top = high[1] + v->size;
    v->width = (int)((high[0] - low[0]) / v->size) + 3;
    v->height = (int)((high[1] - low[1]) / v->size) + 3;
    v->pixel = malloc((size_t)v->width * (size_t)v->height * sizeof *v->pixel);
    if (!v->pixel) return fail_memory(error, "light");
    for (int i = 0; i < v->width * v->height; i++) v->pixel[i] = (veil_pixel){.nearest = -INFINITY};
    return LW_OK;
}

static veil_pixel *pixel_of(const hair_veil *v, hair_point p) {
    int x = (int)((p.x - v->left) / v->size), y = (int)((v->top - p.y) / v->size);
    return &v->pixel[(size_t)y * (size_t)v->width + (size_t)x];
}

static int layer_of(float behind) {
    int k = 0;
    while (k < VEIL_LAYERS - 1 && behind > ends[k]) k++;
    return k;
}

/* Calls for the stretch from a to b, cut so finely that no pixel is missed: shade is what each part adds. */
static void add_stretch(const hair_veil *v, hair_point a, hair_point b, float width, bool nearest) {
    float dx = b.x - a.x, dy = b.y - a.y, dz = b.z - a.z, across = sqrtf(dx * dx + dy * dy);
    int parts = (int)(across / v->size) + 1;
    float each = 1 / (float)parts, shade = across * each * width / (v->size * v->size);
    for (int k = 0; k < parts; k++) {
        float t = ((float)k + .5f) * each;
        hair_point p = {a.x + t * dx, a.y + t * dy, a.z + t * dz};
        veil_pixel *to = pixel_of(v, p);
        if (nearest)
            to->nearest = p.z > to->nearest ? p.z : to->nearest;
        else
            to->depth[layer_of(to->nearest - p.z)] += shade;
    }
}

static void add_hair(hair_veil *v, const hair_fine *hair, int from, int every, bool nearest) {
    for (int i = from; i < hair->count; i += every) {
        hair_point a = turned(v, hair->at[hair->first[i]]);
        for (int k = hair->first[i] + 1; k < hair->first[i + 1]; k++) {
            hair_point b = turned(v, hair->at[k]);
            add_stretch(v, a, b, (float)(hair->width * every), nearest);
            a = b;
        }
    }
}

lw_status hair_veil_new(hair_veil *out, const hair_fine *hair, lw_vec3 toward, double size, int from,
                        int every, lw_error *error) {
    view across = view_from(toward);
    *out = (hair_veil){.pixel = NULL};
    set_axis(out->right, across.right);
    set_axis(out->up, across.up);
    set_axis(out->toward, across.toward);
    lw_status status = size_up(out, hair, size, error);
    if (status) return status;
    add_hair(out, hair, from, every, true);
    add_hair(out, hair, from, every, false);
    for (int i = 0; i < out->width * out->height; i++)
        for (int k = 1; k < VEIL_LAYERS; k++) out->pixel[i].depth[k] += out->pixel[i].depth[k - 1];
    return LW_OK;
}

void hair_veil_clear(hair_veil *veil) {
    free(veil->pixel);
    veil->pixel = NULL;
}

/* In one pixel: straight between the ends of the layers. */
static float down_to(const hair_veil *v, int x, int y, float z) {
    if (x < 0 || y < 0 || x >= v->width || y >= v->height) return 0;
    const veil_pixel *p = &v->pixel[(size_t)y * (size_t)v->width + (size_t)x];
    float behind = p->nearest - z;
    if (!(behind > 0)) return 0;
    int k = layer_of(behind);
    float from = k ? ends[k - 1] : 0, before = k ? p->depth[k - 1] : 0;
    /* the last layer has no end: hair thins out as it goes on */
    float to = k < VEIL_LAYERS - 1 ? ends[k] : 2 * from, part = (behind - from) / (to - from);
    return before + (p->depth[k] - before) * (part < 1 ? part : 1);
}

float hair_veil_at(const hair_veil *v, hair_point at) {
    hair_point p = turned(v, at);
    float fx = (p.x - v->left) / v->size - .5f, fy = (v->top - p.y) / v->size - .5f;
    int x = (int)floorf(fx), y = (int)floorf(fy);
    float u = fx - (float)x, w = fy - (float)y;
    return (1 - w) * ((1 - u) * down_to(v, x, y, p.z) + u * down_to(v, x + 1, y, p.z)) +
           w * ((1 - u) * down_to(v, x, y + 1, p.z) + u * down_to(v, x + 1, y + 1, p.z));
}
