/* The bust against the background.
 *
 * A silhouette falls into pieces where the surface folds behind itself, and pieces leave gaps. The outline is
 * therefore walked round the pixels that are filled, which always closes, and then each of its points is
 * moved onto the nearest piece of silhouette, which is exact. The walk keeps the filled pixels on its right
 * hand, from crack to crack between pixels; a point is the middle of a crack. */
#include "outline.h"

#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "grow.h"
#include "vec.h"

#define REACH 1.5 /* pixels to a silhouette */

enum { RIGHT, DOWN, LEFT, UP };

typedef struct filled {
    const depth_map *map;
    bool *is;     /* [height][width] */
    bool *walked; /* [height + 1][width + 1]: the crack that leaves a corner to the right is done */
} filled;

static bool is_filled(const filled *f, int x, int y) {
    return x >= 0 && y >= 0 && x < f->map->width && y < f->map->height && f->is[y * f->map->width + x];
}

static lw_vec3 place_of(const depth_map *m, double x, double y, double depth) {
    const view *v = &m->view;
    lw_vec3 p = v3_scale(v->right, m->left + x * m->pixel);
    return v3_along(v3_along(p, v->up, m->top - y * m->pixel), v->toward, depth);
}

static bool fill(filled *f, outline_part *part, const void *context) {
    const depth_map *m = f->map;
    size_t count = (size_t)m->width * (size_t)m->height;
    f->is = calloc(count, sizeof *f->is);
    f->walked = calloc((size_t)(m->width + 1) * (size_t)(m->height + 1), sizeof *f->walked);
    if (!f->is || !f->walked) return false;
    for (int y = 0; y < m->height; y++)
        for (int x = 0; x < m->width; x++) {
            float depth = m->depth[y * m->width + x];
            f->is[y * m->width + x] = depth > -INFINITY && part(context, place_of(m, x + .5, y + .5, depth));
        }
    return true;
}

/* The pixels ahead of a corner, on the left and on the right of the way. */
static void ahead(const filled *f, int x, int y, int way, bool *left, bool *right) {
    static const int of[4][2][2] = {
        {{0, -1}, {0, 0}}, {{0, 0}, {-1, 0}}, {{-1, 0}, {-1, -1}}, {{-1, -1}, {0, -1}}};
    *left = is_filled(f, x + of[way][0][0], y + of[way][0][1]);
    *right = is_filled(f, x + of[way][1][0], y + of[way][1][1]);
}

static bool add(curves *c, lw_vec3 p) {
    lw_vec3 *points = grow(c->points, &c->point_room, c->point_count + 1, sizeof *points);
    if (!points) return false;
    c->points = points;
    points[c->point_count++] = p;
    return true;
}

/* Walks from the corner along the crack, filled pixels on the right, round to where it began. Where filled
 * pixels touch at a corner only, they stay apart. */
static bool walk(filled *f, curves *c, int x, int y) {
    static const int step[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    const depth_map *m = f->map;
    int way = RIGHT, first_x = x, first_y = y;
    do {
        if (way == RIGHT) f->walked[y * (m->width + 1) + x] = true;
        int px = x + (way == DOWN || way == LEFT ? -1 : 0), py = y + (way == LEFT || way == UP ? -1 : 0);
        double depth = m->depth[py * m->width + px];
        if (!add(c, place_of(m, x + .5 * step[way][0], y + .5 * step[way][1], depth))) return false;
        x += step[way][0], y += step[way][1];
        bool left, right;
        ahead(f, x, y, way, &left, &right);
        way = !right ? (way + 1) % 4 : left ? (way + 3) % 4 : way;
    } while (x != first_x || y != first_y || way != RIGHT);
    return true;
}

static bool walk_all(filled *f, curves *out) {
    for (int y = 0; y < f->map->height; y++)
        for (int x = 0; x < f->map->width; x++) {
            if (!is_filled(f, x, y) || is_filled(f, x, y - 1) || f->walked[y * (f->map->width + 1) + x])
                continue;
            curve *all = grow(out->curves, &out->curve_room, out->curve_count + 1, sizeof *all);
            if (!all) return false;
            out->curves = all;
            curve *made = &all[out->curve_count++];
            *made = (curve){.first = out->point_count, .closed = true, .one = -1, .other = -1};
            if (!walk(f, out, x, y)) return false;
            made->count = out->point_count - made->first;
        }
    return true;
}

/* The place of the segment a b nearest to p in the view's plane. */
static lw_vec3 nearest(lw_vec3 a, lw_vec3 b, lw_vec3 p, lw_vec3 toward) {
    lw_vec3 way = v3_tangent(v3_sub(b, a), toward), to = v3_tangent(v3_sub(p, a), toward);
    double t = v3_dot(to, way) / fmax(1e-18, v3_dot(way, way));
    return v3_along(a, v3_sub(b, a), fmin(1, fmax(0, t)));
}

/* BLOCK neighbouring segments of a curve and the box round them in the view's plane. */
enum { BLOCK = 16 };

typedef struct block {
    const curve *of;
    int first;
    double left, right, low, high;
} block;

static block block_at(const curves *c, const curve *of, int first, const view *v) {
    block b = {of, first, INFINITY, -INFINITY, INFINITY, -INFINITY};
    for (int k = first; k <= first + BLOCK && k < of->count + of->closed; k++) {
        lw_vec3 p = c->points[of->first + k % of->count];
        double x = v3_dot(p, v->right), y = v3_dot(p, v->up);
        b.left = fmin(b.left, x), b.right = fmax(b.right, x), b.low = fmin(b.low, y),
        b.high = fmax(b.high, y);
    }
    return b;
}

static block *blocks_of(int *count, const curves *c, const view *v) {
    block *blocks = malloc(((size_t)c->point_count / BLOCK + (size_t)c->curve_count + 1) * sizeof *blocks);
    *count = 0;
    for (int i = 0; blocks && i < c->curve_count; i++)
        for (int k = 0; k + 1 < c->curves[i].count + c->curves[i].closed; k += BLOCK)
            blocks[(*count)++] = block_at(c, &c->curves[i], k, v);
    return blocks;
}

/* The place of the block's segments nearest to p, where it is nearer than *reach. */
static void try_block(lw_vec3 *best, double *reach, const curves *c, const block *b, lw_vec3 p,
                      const view *v) {
    double x = v3_dot(p, v->right), y = v3_dot(p, v->up);
    if (x < b->left - *reach || x > b->right + *reach || y < b->low - *reach || y > b->high + *reach) return;
    for (int k = b->first + 1; k <= b->first + BLOCK && k < b->of->count + b->of->closed; k++) {
        lw_vec3 q = nearest(c->points[b->of->first + k - 1], c->points[b->of->first + k % b->of->count], p,
                            v->toward);
        double away = v3_norm(v3_tangent(v3_sub(q, p), v->toward));
        if (away < *reach) *reach = away, *best = q;
    }
}

static bool snap(curves *out, const curves *to, const depth_map *m) {
    int count;
    block *blocks = blocks_of(&count, to, &m->view);
    if (!blocks) return false;
#pragma omp parallel for schedule(static)
    for (int i = 0; i < out->point_count; i++) {
        lw_vec3 best = out->points[i];
        double reach = REACH * m->pixel;
        for (int k = 0; k < count; k++) try_block(&best, &reach, to, &blocks[k], out->points[i], &m->view);
        out->points[i] = best;
    }
    free(blocks);
    return true;
}

lw_status outline_new(curves *out, const depth_map *map, const curves *silhouette, outline_part *part,
                      const void *context, lw_error *error) {
    *out = (curves){0};
    filled f = {.map = map};
    bool made = fill(&f, part, context) && walk_all(&f, out) && snap(out, silhouette, map);
    free(f.is);
    free(f.walked);
    if (!made) {
        curves_clear(out);
        return fail_memory(error, "outline");
    }
    return LW_OK;
}
