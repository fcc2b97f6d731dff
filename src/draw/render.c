/* The bust as a picture.
 *
 * Every pixel is looked at in GRID x GRID samples: what is nearest the eye there (raster.h), its normal
 * blended from the triangle's corners, and how much light gets there (light.h). A pixel is the mean of its
 * samples in linear light. Lamps stand still for the viewer, not for the bust, so that every side is lit
 * alike: a large lamp above on the left, a weak one on the right, one behind that draws the edge, and the
 * sky.
 *
 * Lids, lips and the folds of an ear are finer than the mesh. Where the normals at a triangle's corners
 * disagree, the surface itself is looked up along the line of sight (sphere tracing: Hart 1996,
 * doi 10.1007/s003710050084), for its normal and for how open it lies within a few millimetres.
 *
 * The picture is made in bands of rows, each on its own, by any number of threads. */
#include "render.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "light.h"
#include "raster.h"
#include "vec.h"

#define CREASE .92 /* cosine of the angle between normals at a triangle's corners */

enum { GRID = 3, BAND = 16 /* rows of pixels */ };

typedef struct colour {
    double r, g, b;
} colour;

static colour mix(colour a, colour b, double t) {
    return (colour){a.r + t * (b.r - a.r), a.g + t * (b.g - a.g), a.b + t * (b.b - a.b)};
}

static void add(colour *to, colour a, double k) { to->r += k * a.r, to->g += k * a.g, to->b += k * a.b; }

static colour times(colour a, colour b) { return (colour){a.r * b.r, a.g * b.g, a.b * b.b}; }

typedef struct scene {
    const render_options *options;
    const lw_mesh *mesh;
    const stage *on;
    image *picture;
    flat *at;
    float *sky, *key;          /* how much of each gets to a vertex */
    float *sharp;              /* 0 where the mesh will do to 1 where the surface itself is asked */
    int32_t *first, *triangle; /* those of band i are triangle[first[i]] to triangle[first[i + 1]] */
    int bands;
} scene;

/* ---- light ---- */

/* Toward the lamps, as the viewer sees them: right, up, toward. */
static const lw_vec3 key_lamp = {-.60, .62, .50}, fill_lamp = {.80, .10, .58}, rim_lamp = {.62, .42, -.66};

static lw_vec3 as_seen(const scene *s, lw_vec3 n) {
    const view *v = &s->on->view;
    return v3(v3_dot(n, v->right), v3_dot(n, v->up), v3_dot(n, v->toward));
}

/* How squarely light falls, reaching `wrap` past the edge of the lit side. */
static double falls(lw_vec3 n, lw_vec3 lamp, double wrap) {
    double square = (v3_dot(n, v3_unit(lamp)) + wrap) / (1 + wrap);
    return square > 0 ? square : 0;
}

/* Occlusion with the light that bounces back out of a hollow of that colour (Jimenez and others 2016,
 * "Practical real-time strategies for accurate indirect occlusion"). */
static double bounced(double open, double albedo) {
    double a = 2.0404 * albedo - .3324, b = -4.7951 * albedo + .6417, c = 2.7552 * albedo + .6903;
    return fmax(open, ((open * a + b) * open + c) * open);
}

/* `round` is how much of what comes from behind gets round the edge. */
static colour clay(lw_vec3 n, colour skin, double sky, double key, double round) {
    static const colour lamp = {1.55, 1.47, 1.36}, fill = {.15, .165, .19}, rim = {.30, .32, .35};
    static const colour above = {.33, .345, .37}, below = {.13, .12, .11};
    colour open = {bounced(sky, skin.r), bounced(sky, skin.g), bounced(sky, skin.b)};
    colour sum = times(mix(below, above, .5 + .5 * n.y), open);
    double lit = falls(n, key_lamp, .15);
    add(&sum, lamp, pow(lit, 1.4) * (.08 * sky + .92 * key));
    add(&sum, times(fill, open), falls(n, fill_lamp, .3));
    add(&sum, times(rim, open), round * falls(n, rim_lamp, .1));
    colour c = times(skin, sum);
    lw_vec3 half = v3_unit(v3_add(v3_unit(key_lamp), v3(0, 0, 1)));
    double gloss = .07 * pow(fmax(0, v3_dot(n, half)), 24) * key;
    double edge = .10 * pow(1 - fmin(1, fmax(0, n.z)), 4) * sky * round;
    add(&c, (colour){1, .98, .95}, gloss + edge);
    return c;
}

/* ---- finer than the mesh ---- */

/* Metres of the line of sight that are looked along, before the mesh and behind it. */
#define BEFORE .003
#define BEHIND .010

/* Where the line of sight through p, on the mesh, meets the bust; p itself where that is within a quarter of
 * a pixel. */
static bool sight(const scene *s, lw_vec3 p, lw_vec3 *on) {
    lw_vec3 toward = s->on->view.toward;
    double near = .25 / s->on->scale, t = BEFORE;
    *on = p;
    if (fabs(lw_head_bust(s->options->head, p, NULL)) < near) return true;
    for (int i = 0; i < 40 && t > -BEHIND; i++) {
        *on = v3_along(p, toward, t);
        double f = lw_head_bust(s->options->head, *on, NULL);
        if (f < .2 * near) return f > -near; /* not inside from the start */
        t -= f;
    }
    return false;
}

/* How open the surface lies at p: how far from it one gets by going straight out. */
static double openness(const scene *s, lw_vec3 p, lw_vec3 n) {
    static const double out[] = {.002, .006};
    double sum = 0;
    for (int k = 0; k < 2; k++)
        sum += .5 * lw_head_bust(s->options->head, v3_along(p, n, out[k]), NULL) / out[k];
    return fmin(1, fmax(0, sum));
}

static void look_closer(const scene *s, double sharp, lw_vec3 p, lw_vec3 *n, double *sky, double *key) {
    lw_vec3 on, g;
    if (!sight(s, p, &on)) return;
    lw_head_bust(s->options->head, on, &g);
    g = v3_unit(g);
    *n = v3_unit(v3_along(v3_scale(g, sharp), *n, 1 - sharp));
    double open = 1 + sharp * (openness(s, on, g) - 1);
    *sky *= .25 + .75 * open;
    *key *= .5 + .5 * open;
}

/* ---- a band ---- */

typedef struct sums {
    colour colour;
    double cover;
} sums;

static double blend(const float *value, const int32_t *t, const double w[3]) {
    return w[0] * value[t[0]] + w[1] * value[t[1]] + w[2] * value[t[2]];
}

static colour shade(const scene *s, int32_t index, double x, double y) {
    const int32_t *t = s->mesh->triangle[index];
    double w[3];
    raster_weights(&s->at[t[0]], &s->at[t[1]], &s->at[t[2]], x, y, w);
    lw_vec3 n = v3(0, 0, 0), p = v3(0, 0, 0);
    for (int k = 0; k < 3; k++) {
        n = v3_along(n, s->mesh->normal[t[k]], w[k]);
        p = v3_along(p, s->mesh->position[t[k]], w[k]);
    }
    n = v3_unit(n);
    double sky = fmin(1, fmax(0, blend(s->sky, t, w))), key = fmin(1, fmax(0, blend(s->key, t, w)));
    double sharp = s->options->head ? fmin(1, blend(s->sharp, t, w)) : 0;
    if (sharp > .1) look_closer(s, sharp, p, &n, &sky, &key);
    colour skin = {.54, .495, .45};
    const double *roots = s->options->roots;
    if (s->options->grown)
        skin = mix(skin, (colour){roots[0], roots[1], roots[2]}, blend(s->options->grown, t, w));
    double open = s->options->sky ? blend(s->options->sky, t, w) : 1;
    return clay(as_seen(s, n), skin, sky, key, open * open * open);
}

static double least_agreement(const lw_mesh *mesh, const int32_t *t) {
    double least = 1;
    for (int k = 0; k < 3; k++) least = fmin(least, v3_dot(mesh->normal[t[k]], mesh->normal[t[(k + 1) % 3]]));
    return least;
}

/* Whether a triangle lies in a crease: its samples are then shaded one by one. */
static bool creased(const scene *s, int32_t index) {
    return s->options->head && least_agreement(s->mesh, s->mesh->triangle[index]) < CREASE;
}

/* Samples of one triangle in one pixel are shaded together, at their middle, where that will do. */
static sums pixel(const scene *s, const raster *r, int column, int row) {
    sums out = {{0}, 0};
    const uint8_t *unseen = s->options->unseen;
    if (unseen && unseen[(size_t)row * (size_t)s->picture->width + (size_t)column]) return out;
    int32_t found[GRID * GRID];
    for (int k = 0; k < GRID * GRID; k++)
        found[k] = r->triangle[(size_t)(row * GRID + k / GRID - r->first) * (size_t)r->width +
                               (size_t)(column * GRID + k % GRID)];
    for (int k = 0; k < GRID * GRID; k++) {
        if (found[k] < 0) continue;
        int32_t index = found[k];
        int count = 0, past = creased(s, index) ? k + 1 : GRID * GRID;
        double x = 0, y = 0;
        for (int j = k; j < past; j++) {
            if (found[j] != index) continue;
            x += column * GRID + j % GRID + .5;
            y += row * GRID + j / GRID + .5;
            count++;
            found[j] = -1;
        }
        double share = (double)count / (GRID * GRID);
        add(&out.colour, shade(s, index, x / count, y / count), share);
        out.cover += share;
    }
    return out;
}

static colour background(int width, int height, int column, int row) {
    double x = (column + .5) / width - .5, y = (row + .5) / height;
    static const colour top = {.90, .895, .885}, foot = {.76, .75, .735};
    colour c = mix(top, foot, y * y);
    double edge = x * x + (y - .45) * (y - .45);
    return mix(c, (colour){.66, .65, .64}, .35 * fmin(1, edge));
}

void render_backdrop(double out[3], int width, int height, int column, int row) {
    colour c = background(width, height, column, row);
    out[0] = c.r, out[1] = c.g, out[2] = c.b;
}

static unsigned char coded(double linear) { /* sRGB, IEC 61966-2-1 */
    double c = linear < 0 ? 0 : linear > 1 ? 1 : linear;
    c = c <= .0031308 ? 12.92 * c : 1.055 * pow(c, 1 / 2.4) - .055;
    return (unsigned char)(255 * c + .5);
}

/* Bright light saturates softly. */
static double exposed(double c) { return c < .6 ? c : 1 - .4 * exp((.6 - c) / .4); }

static void put(const scene *s, sums found, int column, int row) {
    unsigned char *p = s->picture->rgba + 4 * ((size_t)row * (size_t)s->picture->width + (size_t)column);
    colour c = {exposed(found.colour.r), exposed(found.colour.g), exposed(found.colour.b)};
    p[3] = 255;
    if (s->options->transparent) {
        double k = found.cover > 0 ? 1 / found.cover : 0;
        c = (colour){exposed(k * found.colour.r), exposed(k * found.colour.g), exposed(k * found.colour.b)};
        p[3] = (unsigned char)(255 * found.cover + .5);
    } else {
        add(&c, background(s->picture->width, s->picture->height, column, row), 1 - found.cover);
    }
    p[0] = coded(c.r), p[1] = coded(c.g), p[2] = coded(c.b);
}

static lw_status band(const scene *s, int index) {
    int from = index * BAND, to = from + BAND;
    if (to > s->picture->height) to = s->picture->height;
    raster r = {from * GRID, s->picture->width * GRID, (to - from) * GRID, NULL, NULL};
    size_t count = (size_t)r.width * (size_t)r.height;
    r.depth = malloc(count * sizeof *r.depth);
    r.triangle = malloc(count * sizeof *r.triangle);
    lw_status status = r.depth && r.triangle ? LW_OK : LW_ERROR_MEMORY;
    if (!status) {
        raster_wipe(&r);
        for (int32_t i = s->first[index]; i < s->first[index + 1]; i++)
            raster_triangle(&r, s->mesh, s->at, s->triangle[i]);
        for (int row = from; row < to; row++)
            for (int column = 0; column < s->picture->width; column++)
                put(s, pixel(s, &r, column, row), column, row);
    }
    free(r.depth);
    free(r.triangle);
    return status;
}

/* ---- in all ---- */

/* The first and last band that a triangle can touch. */
static void bands_of(const scene *s, int32_t index, int *from, int *to) {
    const int32_t *t = s->mesh->triangle[index];
    double a = s->at[t[0]].y, b = s->at[t[1]].y, c = s->at[t[2]].y;
    double low = floor(fmin(a, fmin(b, c)) / (BAND * GRID)),
           high = floor(fmax(a, fmax(b, c)) / (BAND * GRID));
    *from = low > 0 ? (int)fmin(low, s->bands) : 0;
    *to = high < s->bands ? (int)fmax(high, -1) : s->bands - 1;
}

static lw_status sort_bands(scene *s, lw_error *error) {
    int from, to;
    s->first = calloc((size_t)s->bands + 2, sizeof *s->first);
    if (!s->first) return fail_memory(error, "picture");
    for (int32_t i = 0; i < s->mesh->triangle_count; i++) {
        bands_of(s, i, &from, &to);
        for (int k = from; k <= to; k++) s->first[k + 2]++;
    }
    for (int k = 0; k < s->bands; k++) s->first[k + 2] += s->first[k + 1];
    s->triangle = malloc(((size_t)s->first[s->bands + 1] + 1) * sizeof *s->triangle);
    if (!s->triangle) return fail_memory(error, "picture");
    for (int32_t i = 0; i < s->mesh->triangle_count; i++) {
        bands_of(s, i, &from, &to);
        for (int k = from; k <= to; k++) s->triangle[s->first[k + 1]++] = i;
    }
    return LW_OK;
}

static lw_status cast_light(scene *s, lw_error *error) {
    light sky = {0}, key = {0};
    const view *v = &s->on->view;
    lw_vec3 lamp =
        v3_along(v3_along(v3_scale(v->right, key_lamp.x), v->up, key_lamp.y), v->toward, key_lamp.z);
    lw_status status = light_sky(&sky, 64, error);
    if (!status) status = light_reach(s->sky, s->mesh, &sky, error);
    if (!status) status = light_lamp(&key, lamp, .28, 24, error);
    if (!status) status = light_reach(s->key, s->mesh, &key, error);
    light_clear(&sky);
    light_clear(&key);
    for (int i = 0; !status && i < s->mesh->vertex_count; i++) {
        if (s->options->sky) s->sky[i] *= s->options->sky[i];
        if (s->options->key) s->key[i] *= s->options->key[i];
    }
    return status;
}

/* A triangle is sharp by how far its corners' normals disagree, by 3 degrees not yet, by 8 altogether; a
 * vertex by its sharpest triangle, and fading out over those around. */
static bool find_sharp(scene *s) {
    float *scratch = malloc((2 * (size_t)s->mesh->vertex_count + 1) * sizeof *scratch);
    if (!scratch) return false;
    for (int i = 0; i < s->mesh->vertex_count; i++) s->sharp[i] = 0;
    for (int i = 0; i < s->mesh->triangle_count; i++) {
        const int32_t *t = s->mesh->triangle[i];
        double least = least_agreement(s->mesh, t);
        float sharp = (float)(2 * fmin(1, fmax(0, (.9986 - least) / (.9986 - .990))));
        for (int k = 0; k < 3; k++) s->sharp[t[k]] = fmaxf(s->sharp[t[k]], sharp);
    }
    for (int k = 0; k < 4; k++) light_smooth(s->sharp, scratch, s->mesh);
    free(scratch);
    return true;
}

static lw_status set_scene(scene *s, lw_error *error) {
    size_t n = (size_t)s->mesh->vertex_count + 1;
    s->at = malloc(n * sizeof *s->at);
    s->sky = malloc(n * sizeof *s->sky);
    s->key = malloc(n * sizeof *s->key);
    s->sharp = malloc(n * sizeof *s->sharp);
    if (!s->at || !s->sky || !s->key || !s->sharp || !find_sharp(s)) return fail_memory(error, "picture");
    const stage *on = s->on;
    double left = v3_dot(on->centre, on->view.right) - on->middle.x / on->scale;
    double top = v3_dot(on->centre, on->view.up) + on->middle.y / on->scale;
    raster_flatten(s->at, s->mesh, on->view, left, top, 1 / (on->scale * GRID));
    lw_status status = sort_bands(s, error);
    return status ? status : cast_light(s, error);
}

lw_status render(image *out, const render_options *options, lw_error *error) {
    lw_status status = image_new(out, options->width, options->height, error);
    if (status) return status;
    scene s = {.options = options,
               .mesh = options->mesh,
               .on = options->on,
               .picture = out,
               .bands = (options->height + BAND - 1) / BAND};
    status = set_scene(&s, error);
    int failed = 0;
    if (!status) {
#pragma omp parallel for schedule(dynamic, 1) reduction(+ : failed)
        for (int i = 0; i < s.bands; i++) failed += band(&s, i) != LW_OK;
    }
    if (failed) status = fail_memory(error, "picture");
    free(s.at);
    free(s.sky);
    free(s.key);
    free(s.sharp);
    free(s.first);
    free(s.triangle);
    if (status) image_clear(out);
    return status;
}
