/* The bust with its hair as a picture.
 *
 * Strands become the fine hairs they stand for (hair_fine.h); what light gets to each of their points is
 * found (hair_light.h), what they make of it (hair_shine.h), and they are drawn as lines (hair_line.h) over a
 * picture of the bust in their shadow (render.h). */
#include "hair.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "hair_line.h"
#include "hair_scalp.h"
#include "hair_shine.h"
#include "raster.h"
#include "render.h"
#include "vec.h"

#define NEARBY .002   /* metres */
#define GLIMPSED .75f /* of the light on skin, taken where hair covers all round */

typedef struct scene {
    const hair_options *options;
    const stage *on;
    hair_fine hair;
    hair_light light;
    float *bust;  /* [2 height][2 width]: see hair_lines */
    float *layer; /* [height][width][4] */
    float *wide;  /* [height][width] */
    uint8_t *closed;
} scene;

/* ---- the bust ---- */

static void view_corner(const stage *on, double *left, double *top) {
    *left = v3_dot(on->centre, on->view.right) - on->middle.x / on->scale;
    *top = v3_dot(on->centre, on->view.up) + on->middle.y / on->scale;
}

static lw_status find_bust(scene *s, lw_error *error) {
    const hair_options *o = s->options;
    raster r = {0, 2 * o->width, 2 * o->height, NULL, NULL};
    flat *at = malloc(((size_t)o->mesh->vertex_count + 1) * sizeof *at);
    r.depth = s->bust = malloc((size_t)r.width * (size_t)r.height * sizeof *s->bust);
    lw_status status = at && s->bust ? LW_OK : fail_memory(error, "picture");
    if (!status) {
        double left, top;
        view_corner(s->on, &left, &top);
        raster_flatten(at, o->mesh, s->on->view, left, top, .5 / s->on->scale);
        raster_wipe(&r);
        raster_mesh(&r, o->mesh, at);
    }
    free(at);
    return status;
}

/* Skin between roots: darker than bare skin, and of the hair's own colour in part. */
static void colour_roots(double out[3], draw_hair_colour colour) {
    static const double skin[3] = {.29, .235, .19};
    hair_body hair = hair_body_of(colour, .5f, .5f);
    for (int k = 0; k < 3; k++) out[k] = .75 * skin[k] + .3 * (double)hair.cast[k];
}

static lw_status paint_bust(image *out, const scene *s, lw_error *error) {
    const hair_options *o = s->options;
    size_t n = (size_t)o->mesh->vertex_count + 1;
    size_t pixels = (size_t)o->width * (size_t)o->height;
    float *sky = malloc(n * sizeof *sky), *key = malloc(n * sizeof *key), *grown = malloc(n * sizeof *grown);
    uint8_t *unseen = malloc(pixels);
    lw_status status = sky && key && grown && unseen ? LW_OK : fail_memory(error, "picture");
    for (size_t i = 0; !status && i < pixels; i++) unseen[i] = s->layer[4 * i + 3] > .9999f;
    if (!status) status = hair_light_on_bust(sky, key, &s->light, o->mesh, error);
    if (!status) status = hair_scalp(grown, &s->hair, &s->on->view, o->mesh, error);
    render_options look = {.mesh = o->mesh,
                           .head = o->head,
                           .on = s->on,
                           .width = o->width,
                           .height = o->height,
                           .transparent = true,
                           .sky = sky,
                           .key = key,
                           .grown = grown,
                           .unseen = unseen};
    colour_roots(look.roots, o->colour);
    if (!status) status = render(out, &look, error);
    free(sky);
    free(key);
    free(grown);
    free(unseen);
    return status;
}

/* ---- light on every point ---- */

static void along(float t[3], const hair_fine *f, int hair, int k) {
    int a = k > f->first[hair] ? k - 1 : k, b = k + 1 < f->first[hair + 1] ? k + 1 : k;
    float x = f->at[b].x - f->at[a].x, y = f->at[b].y - f->at[a].y, z = f->at[b].z - f->at[a].z;
    float n = sqrtf(x * x + y * y + z * z), one = n > 1e-9f ? 1 / n : 0;
    t[0] = x * one, t[1] = y * one, t[2] = z * one;
}

static void unit(float out[3], lw_vec3 v) {
    v = v3_unit(v);
    out[0] = (float)v.x, out[1] = (float)v.y, out[2] = (float)v.z;
}

/* Shares of light that a hair across its way takes; the sky's comes from wide around, past many. */
#define TAKES .45f
#define TAKES_WIDE .20f

static void add_lamp(float sum[3], const hair_body *body, const float t[3], const hair_lamp *lamp,
                     float depth, float takes) {
    float toward[3], reach[3], out[3];
    unit(toward, lamp->toward);
    for (int k = 0; k < 3; k++) reach[k] = (float)lamp->light[k] * expf(-takes * body->block[k] * depth);
    hair_shine(out, body, t, toward, reach);
    for (int k = 0; k < 3; k++) sum[k] += out[k];
}

static float exposed(float c) { return c < .6f ? c : 1 - .4f * expf((.6f - c) / .4f); }

static void light_point(float out[3], const void *context, int hair, int k) {
    const scene *s = context;
    const hair_lamps *lamps = &s->options->lamps;
    hair_body body = hair_body_of(s->options->colour, s->hair.tint[hair], s->hair.lock[hair]);
    hair_depths d = hair_light_at(&s->light, s->hair.at[k]);
    float t[3], sum[3] = {0};
    along(t, &s->hair, hair, k);
    add_lamp(sum, &body, t, &lamps->key, d.key, TAKES);
    add_lamp(sum, &body, t, &lamps->fill, d.fill, TAKES_WIDE);
    add_lamp(sum, &body, t, &lamps->rim, d.rim, TAKES_WIDE);
    /* what lies in among hair the sky hardly reaches, and most of it from the eye's side */
    float open = .1f + .9f * fminf(1, fmaxf(0, d.sky)) * expf(-.09f * d.eye);
    for (int c = 0; c < 3; c++) {
        float sky = .5f * (float)(lamps->above[c] + lamps->below[c]) + .12f * (float)lamps->above[c];
        out[c] = exposed(sum[c] + 1.5f * open * sky * (body.cast[c] + .008f));
    }
}

/* ---- in all ---- */

static float linear(unsigned char coded) { /* sRGB, IEC 61966-2-1 */
    float c = (float)coded / 255;
    return c <= .04045f ? c / 12.92f : powf((c + .055f) / 1.055f, 2.4f);
}

static unsigned char coded(float light) {
    float c = fminf(1, fmaxf(0, light));
    c = c <= .0031308f ? 12.92f * c : 1.055f * powf(c, 1 / 2.4f) - .055f;
    return (unsigned char)(255 * c + .5f);
}

/* out[width]: the mean of a row's values, `apart` floats from each other, over `reach` to both sides. */
static void blur(float *out, const float *from, size_t apart, int count, int reach) {
    float sum = 0;
    for (int i = -reach; i < count; i++) {
        if (i + reach < count) sum += from[(size_t)(i + reach) * apart];
        if (i - reach - 1 >= 0) sum -= from[(size_t)(i - reach - 1) * apart];
        if (i >= 0) out[i] = fmaxf(0, sum) / (float)(2 * reach + 1);
    }
}

/* wide[height][width]: how much of what lies round a pixel, out to NEARBY metres, hair covers. */
static lw_status cover_around(float *wide, const scene *s, lw_error *error) {
    int width = s->options->width, height = s->options->height,
        reach = (int)fmin(.5 + NEARBY * s->on->scale, 64), failed = 0;
    float *rows = malloc((size_t)width * (size_t)height * sizeof *rows);
    if (!rows) return fail_memory(error, "picture");
#pragma omp parallel for schedule(static)
    for (int y = 0; y < height; y++)
        blur(rows + (size_t)y * (size_t)width, s->layer + 4 * (size_t)y * (size_t)width + 3, 4, width, reach);
#pragma omp parallel reduction(+ : failed)
    {
        float *column = malloc((size_t)height * sizeof *column);
        failed = !column;
#pragma omp for schedule(static)
        for (int x = 0; x < width; x++) {
            if (!column) continue;
            blur(column, rows + x, (size_t)width, height, reach);
            for (int y = 0; y < height; y++) wide[(size_t)y * (size_t)width + (size_t)x] = column[y];
        }
        free(column);
    }
    free(rows);
    return failed ? fail_memory(error, "picture") : LW_OK;
}

/* How much of a pixel hair and bust cover. */
static float cover_of(const image *picture, const float *layer, size_t i) {
    return fminf(1, layer[4 * i + 3] + (float)picture->rgba[4 * i + 3] / 255);
}

/* closed[height][width]: whether a pixel at the bust's edge lies between hair and bust, to both sides of it
 * or above and below. What little the edges of both leave of it is then none of the background. */
static void find_closed(uint8_t *closed, const image *picture, const float *layer) {
    enum { ASIDE = 2 };
    ptrdiff_t across = picture->width;
#pragma omp parallel for schedule(static)
    for (int y = 0; y < picture->height; y++)
        for (int x = 0; x < picture->width; x++) {
            ptrdiff_t i = y * across + x, steps[2] = {ASIDE, ASIDE * across};
            bool in = x >= ASIDE && y >= ASIDE && x < picture->width - ASIDE && y < picture->height - ASIDE;
            closed[i] = 0;
            for (int k = 0; in && k < 2; k++) {
                size_t one = (size_t)(i + steps[k]), other = (size_t)(i - steps[k]);
                bool bust = picture->rgba[4 * i + 3] > 0 || picture->rgba[4 * one + 3] > 200 ||
                            picture->rgba[4 * other + 3] > 200;
                closed[i] |=
                    bust && cover_of(picture, layer, one) > .95f && cover_of(picture, layer, other) > .95f;
            }
        }
}

/* The hair with the bust, which is there already and transparent round about. Where both share a pixel with
 * what lies behind them, hair hides that before it hides the bust: hair before the bust covers it elsewhere.
 * Skin that is glimpsed between hairs lies in their shadow, more finely than that is told on the bust. */
static void lay_over(image *picture, const scene *s) {
    const float *layer = s->layer, *wide = s->wide;
    bool transparent = s->options->transparent;
    float table[256];
    for (int i = 0; i < 256; i++) table[i] = linear((unsigned char)i);
#pragma omp parallel for schedule(static)
    for (int i = 0; i < picture->width * picture->height; i++) {
        const float *h = layer + 4 * (size_t)i;
        unsigned char *p = picture->rgba + 4 * (size_t)i;
        double behind[3] = {0};
        float bust = fminf((float)p[3] / 255, 1 - h[3]), hair = 1;
        if (s->closed[i] && h[3] > .05f)
            hair = (1 - bust) / h[3];
        else if (s->closed[i])
            bust = 1 - h[3];
        float rest = fmaxf(0, 1 - hair * h[3] - bust), cover = transparent ? 1 - rest : 1,
              lit = 1 - GLIMPSED * wide[i] * wide[i];
        if (cover <= 0 || (wide[i] <= 0 && transparent)) continue;
        if (transparent)
            rest = 0;
        else
            render_backdrop(behind, picture->width, picture->height, i % picture->width, i / picture->width);
        for (int k = 0; k < 3; k++)
            p[k] = coded((hair * h[k] + bust * lit * table[p[k]] + rest * (float)behind[k]) / cover);
        p[3] = (unsigned char)(255 * cover + .5f);
    }
}

static lw_status draw(image *out, scene *s, lw_error *error) {
    const hair_options *o = s->options;
    hair_fine_options how = {.seen = s->on->view,
                             .centre = lw_head_centre(o->head),
                             .sample = 1 / (s->on->scale * HAIR_GRID),
                             .step = fmax(.005, 4 / s->on->scale),
                             .plain = o->plain};
    lw_status status = hair_fine_new(&s->hair, o->strands, &how, error);
    if (!status) status = hair_light_new(&s->light, &s->hair, o->head, &how.seen, &o->lamps, error);
    if (!status) status = find_bust(s, error);
    s->layer = malloc(((size_t)o->width * (size_t)o->height * 4 + 1) * sizeof *s->layer);
    if (!status && !s->layer) status = fail_memory(error, "picture");
    hair_lines lines = {.hair = &s->hair,
                        .light = light_point,
                        .scene = s,
                        .samples = 1 / how.sample,
                        .width = o->width,
                        .height = o->height,
                        .bust = s->bust};
    view_corner(s->on, &lines.left, &lines.top);
    if (!status) status = hair_lines_draw(s->layer, &lines, error);
    if (!status) status = paint_bust(out, s, error);
    s->wide = malloc(((size_t)o->width * (size_t)o->height + 1) * sizeof *s->wide);
    if (!status && !s->wide) status = fail_memory(error, "picture");
    if (!status) status = cover_around(s->wide, s, error);
    s->closed = malloc((size_t)o->width * (size_t)o->height + 1);
    if (!status && !s->closed) status = fail_memory(error, "picture");
    if (!status) find_closed(s->closed, out, s->layer);
    if (!status) lay_over(out, s);
    if (status) image_clear(out);
    return status;
}

lw_status hair_picture(image *out, const hair_options *options, lw_error *error) {
    *out = (image){0};
    scene s = {.options = options, .on = options->on};
    lw_status status = draw(out, &s, error);
    hair_fine_clear(&s.hair);
    hair_light_clear(&s.light);
    free(s.bust);
    free(s.layer);
    free(s.wide);
    free(s.closed);
    return status;
}
