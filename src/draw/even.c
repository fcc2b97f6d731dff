/* Values on the scalp evened out.
 *
 * Panels are a finger wide and lengths step a little from one to the next, so a contour of the bare lengths
 * is a staircase. At every vertex a plane is fitted to the values round it, nearer ones counting more
 * (Cleveland, "Robust locally weighted regression and smoothing scatterplots", J Am Stat Assoc 74:829, 1979),
 * in coordinates along the skin, and read off at the vertex. Unlike a mean, a plane does not sag at a
 * parting. Vertices are sorted into boxes as wide as the fit reaches, so only neighbours are looked at. */
#include "even.h"

#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "vec.h"

typedef struct boxes {
    lw_vec3 low;
    double side;
    int count[3];    /* along each axis */
    int32_t *first;  /* per box, and one more: into vertex */
    int32_t *vertex; /* by box */
} boxes;

static int along(double p, double low, double side, int count) {
    int i = (int)((p - low) / side);
    return i < 0 ? 0 : i < count ? i : count - 1;
}

static int box_of(const boxes *b, lw_vec3 p, int at[3]) {
    at[0] = along(p.x, b->low.x, b->side, b->count[0]);
    at[1] = along(p.y, b->low.y, b->side, b->count[1]);
    at[2] = along(p.z, b->low.z, b->side, b->count[2]);
    return (at[2] * b->count[1] + at[1]) * b->count[0] + at[0];
}

static bool boxes_make(boxes *b, const lw_mesh *mesh, double side) {
    lw_vec3 high = b->low = mesh->vertex_count ? mesh->position[0] : v3(0, 0, 0);
    for (int i = 0; i < mesh->vertex_count; i++) {
        lw_vec3 p = mesh->position[i];
        b->low = v3(fmin(b->low.x, p.x), fmin(b->low.y, p.y), fmin(b->low.z, p.z));
        high = v3(fmax(high.x, p.x), fmax(high.y, p.y), fmax(high.z, p.z));
    }
    b->side = side;
    b->count[0] = 1 + (int)((high.x - b->low.x) / side);
    b->count[1] = 1 + (int)((high.y - b->low.y) / side);
    b->count[2] = 1 + (int)((high.z - b->low.z) / side);
    size_t all = (size_t)b->count[0] * (size_t)b->count[1] * (size_t)b->count[2];
    b->first = calloc(all + 2, sizeof *b->first);
    b->vertex = malloc(((size_t)mesh->vertex_count + 1) * sizeof *b->vertex);
    if (!b->first || !b->vertex) return false;
    int at[3];
    for (int i = 0; i < mesh->vertex_count; i++) b->first[box_of(b, mesh->position[i], at) + 2]++;
    for (size_t i = 2; i < all + 2; i++) b->first[i] += b->first[i - 1];
    for (int i = 0; i < mesh->vertex_count; i++)
        b->vertex[b->first[box_of(b, mesh->position[i], at) + 1]++] = i;
    return true;
}

/* Sums of a weighted fit of value = a + b x + c y. */
typedef struct fit {
    double w, x, y, xx, xy, yy, v, vx, vy;
} fit;

static void add(fit *f, double w, double x, double y, double v) {
    f->w += w, f->x += w * x, f->y += w * y;
    f->xx += w * x * x, f->xy += w * x * y, f->yy += w * y * y;
    f->v += w * v, f->vx += w * v * x, f->vy += w * v * y;
}

/* The plane's value at the origin; the mean where the points do not span a plane. */
static double at_origin(const fit *f) {
    double mx = f->x / f->w, my = f->y / f->w, mv = f->v / f->w;
    double xx = f->xx / f->w - mx * mx, yy = f->yy / f->w - my * my, xy = f->xy / f->w - mx * my;
    double vx = f->vx / f->w - mv * mx, vy = f->vy / f->w - mv * my, det = xx * yy - xy * xy;
    if (det <= 1e-3 * (xx + yy) * (xx + yy)) return mv;
    return mv - ((vx * yy - vy * xy) * mx + (vy * xx - vx * xy) * my) / det;
}

static double even_at(const boxes *b, const patch *p, const double *value, int vertex, double spread) {
    const lw_mesh *m = &p->mesh;
    lw_vec3 here = m->position[vertex], n = m->normal[vertex];
    lw_vec3 x = v3_unit(v3_tangent(fabs(n.y) < .7 ? v3(0, 1, 0) : v3(0, 0, 1), n)), y = v3_cross(n, x);
    fit f = {0};
    int at[3];
    box_of(b, here, at);
    for (int k = -1; k <= 1; k++)
        for (int j = -1; j <= 1; j++)
            for (int i = -1; i <= 1; i++) {
                int bx = at[0] + i, by = at[1] + j, bz = at[2] + k;
                if (bx < 0 || by < 0 || bz < 0 || bx >= b->count[0] || by >= b->count[1] || bz >= b->count[2])
                    continue;
                int box = (bz * b->count[1] + by) * b->count[0] + bx;
                for (int32_t l = b->first[box]; l < b->first[box + 1]; l++) {
                    int other = b->vertex[l];
                    lw_vec3 d = v3_sub(m->position[other], here);
                    double far = v3_dot(d, d) / (4 * spread * spread);
                    if (far >= 1 || p->section[other] != p->section[vertex]) continue;
                    add(&f, (1 - far) * (1 - far), v3_dot(d, x), v3_dot(d, y), value[other]);
                }
            }
    return at_origin(&f);
}

static void fit_all(double *out, const boxes *b, const patch *p, const double *value, double spread) {
#pragma omp parallel for schedule(dynamic, 256)
    for (int i = 0; i < p->mesh.vertex_count; i++) out[i] = even_at(b, p, value, i, spread);
}

lw_status even_out(double *out, const patch *p, const double *value, double spread, lw_error *error) {
    boxes b = {0};
    int count = p->mesh.vertex_count;
    double *left = malloc(((size_t)count + 1) * sizeof *left),
           *more = malloc(((size_t)count + 1) * sizeof *more);
    bool made = left && more && boxes_make(&b, &p->mesh, 2 * spread);
    if (made) {
        fit_all(out, &b, p, value, spread);
        for (int i = 0; i < count; i++) left[i] = value[i] - out[i];
        fit_all(more, &b, p, left, spread);
        for (int i = 0; i < count; i++) out[i] += more[i];
    }
    free(left);
    free(more);
    free(b.first);
    free(b.vertex);
    return made ? LW_OK : fail_memory(error, "contours");
}
