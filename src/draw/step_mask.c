/* Where on the page each panel is seen.
 *
 * What has a label is drawn on a grid of samples, less what the view's depth hides. A sample in a triangle of
 * one label takes it; in a mixed one the cut itself is asked about the very place, so that areas are as exact
 * as the partings drawn over them. Outlines run along the cracks between samples, cut across the corners. */
#include "step_mask.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "grow.h"
#include "raster.h"
#include "vec.h"

#define SAMPLE .7     /* points */
#define SLACK .002    /* metres behind what is seen that are still seen */
#define SPECK 12      /* samples: smaller pieces are left out */
#define TOLERANCE .45 /* samples by which an outline may be straightened */
#define WIDE .8       /* share of the widest that is wide enough */

void mask_clear(mask *m) {
    free(m->label);
    *m = (mask){0};
}

static lw_vec3 place_in(const lw_mesh *mesh, const flat *at, const int32_t *t, double x, double y) {
    double w[3];
    raster_weights(&at[t[0]], &at[t[1]], &at[t[2]], x, y, w);
    lw_vec3 p = {0};
    for (int i = 0; i < 3; i++) p = v3_along(p, mesh->position[t[i]], w[i]);
    return p;
}

typedef struct asking {
    const study *s;
    const int *label;
    const flat *flat;
    const depth_map *depth;
    curve_label *at;
    const void *context;
} asking;

static int label_of(const asking *q, int32_t triangle, double x, double y) {
    if (triangle < 0) return -1;
    const int32_t *t = q->s->mesh.triangle[triangle];
    lw_vec3 place = place_in(&q->s->mesh, q->flat, t, x, y);
    if (depth_map_hides(q->depth, place, SLACK)) return -1;
    int a = q->label[t[0]], b = q->label[t[1]], c = q->label[t[2]];
    if (a == b && b == c) return a;
    const lw_head *head = q->s->subject.head;
    lw_vec3 on = lw_head_project(head, place, NULL);
    return lw_head_hairline(head, on) <= 0 ? -1 : q->at(q->context, on);
}

static void fill(mask *m, const asking *q, const raster *r) {
#pragma omp parallel for schedule(static, 8)
    for (int y = 0; y < m->height; y++)
        for (int x = 0; x < m->width; x++) {
            size_t k = (size_t)y * (size_t)m->width + (size_t)x;
            m->label[k] = label_of(q, r->triangle[k], x + .5, y + .5);
        }
}

static void draw_labelled(raster *r, const study *s, const int *label, const flat *at) {
    for (int32_t i = 0; i < s->mesh.triangle_count; i++) {
        const int32_t *t = s->mesh.triangle[i];
        if (label[t[0]] >= 0 || label[t[1]] >= 0 || label[t[2]] >= 0) raster_triangle(r, &s->mesh, at, i);
    }
}

lw_status mask_new(mask *out, const study *s, const study_view *from, const stage *on, frame within,
                   const int *vertex_label, curve_label *at, const void *context, lw_error *error) {
    *out = (mask){.width = (int)ceil(within.width / SAMPLE),
                  .height = (int)ceil(within.height / SAMPLE),
                  .x = within.x,
                  .y = within.y,
                  .size = SAMPLE};
    size_t samples = (size_t)out->width * (size_t)out->height;
    raster r = {.width = out->width, .height = out->height};
    flat *flats = malloc(sizeof *flats * (size_t)s->mesh.vertex_count);
    r.depth = malloc(sizeof *r.depth * samples);
    r.triangle = malloc(sizeof *r.triangle * samples);
    out->label = malloc(sizeof *out->label * samples);
    lw_status status = LW_OK;
    if (flats && r.depth && r.triangle && out->label) {
        const view *v = &on->view;
        double left = v3_dot(on->centre, v->right) + (within.x - on->middle.x) / on->scale;
        double top = v3_dot(on->centre, v->up) + (on->middle.y - within.y) / on->scale;
        raster_flatten(flats, &s->mesh, *v, left, top, SAMPLE / on->scale);
        raster_wipe(&r);
        draw_labelled(&r, s, vertex_label, flats);
        fill(out, &(asking){s, vertex_label, flats, &from->depth, at, context}, &r);
    } else {
        mask_clear(out);
        status = fail_memory(error, "step");
    }
    free(flats);
    free(r.depth);
    free(r.triangle);
    return status;
}

static int label_at(const mask *m, int x, int y) {
    bool inside = x >= 0 && y >= 0 && x < m->width && y < m->height;
    return inside ? m->label[(size_t)y * (size_t)m->width + (size_t)x] : -1;
}

int mask_at(const mask *m, point p) {
    return label_at(m, (int)floor((p.x - m->x) / m->size), (int)floor((p.y - m->y) / m->size));
}

int mask_count(const mask *m, int low, int high) {
    int n = 0;
    for (size_t i = 0; i < (size_t)m->width * (size_t)m->height; i++)
        n += m->label[i] >= low && m->label[i] <= high;
    return n;
}

/* ---- outlines ---- */

typedef struct loop {
    int first, count;
    double area; /* samples, above zero round a piece, below zero round a hole */
} loop;

typedef struct outline {
    const mask *m;
    int low, high;
    unsigned char *done; /* per sample: its upper edge has been walked */
    int loop_count, loop_room, point_count, point_room;
    loop *loops;
    point *points; /* samples */
    bool failed;
} outline;

static bool within(const outline *o, int x, int y) {
    int l = label_at(o->m, x, y);
    return l >= o->low && l <= o->high;
}

static void add_point(outline *o, double x, double y) {
    point *more = grow(o->points, &o->point_room, o->point_count + 1, sizeof *more);
    if (!more) {
        o->failed = true;
        return;
    }
    o->points = more;
    o->points[o->point_count++] = (point){x, y};
}

/* Round the cracks from the upper edge of sample (x, y), the inside on the right hand as y points down.
 * Points are the middles of cracks. */
static void walk(outline *o, int x, int y) {
    static const int dx[4] = {1, 0, -1, 0}, dy[4] = {0, 1, 0, -1};
    loop *more = grow(o->loops, &o->loop_room, o->loop_count + 1, sizeof *more);
    if (!more) {
        o->failed = true;
        return;
    }
    o->loops = more;
    loop *l = &o->loops[o->loop_count++];
    *l = (loop){.first = o->point_count};
    int cx = x, cy = y, way = 0; /* a corner of the grid, and where the crack leads */
    do {
        if (way == 0) o->done[(size_t)cy * (size_t)o->m->width + (size_t)cx] = 1;
        add_point(o, cx + .5 * dx[way], cy + .5 * dy[way]);
        l->area += way == 0 ? -cy : way == 2 ? cy : 0;
        cx += dx[way];
        cy += dy[way];
        /* the two samples ahead of the corner, right and left of the way */
        int rx = cx - (way == 1 || way == 2), ry = cy - (way == 2 || way == 3);
        int lx = cx - (way == 2 || way == 3), ly = cy - (way == 0 || way == 3);
        bool right = within(o, rx, ry), left = within(o, lx, ly);
        if (!right)
            way = (way + 1) % 4;
        else if (left)
            way = (way + 3) % 4;
    } while (!o->failed && !(cx == x && cy == y && way == 0));
    l->count = o->point_count - l->first;
}

static double off_chord(point p, point a, point b) {
    double x = b.x - a.x, y = b.y - a.y, n = hypot(x, y);
    return n > 0 ? fabs(x * (p.y - a.y) - y * (p.x - a.x)) / n : hypot(p.x - a.x, p.y - a.y);
}

/* Keeps what a straight piece cannot stand for (Ramer 1972, Douglas and Peucker 1973), by a stack of its own.
 */
static int straighten(const point *in, int n, point *out, int *stack, unsigned char *keep) {
    int far = 0, depth = 0, kept = 0;
    memset(keep, 0, (size_t)n + 1);
    for (int i = 1; i < n; i++)
        if (hypot(in[i].x - in[0].x, in[i].y - in[0].y) > hypot(in[far].x - in[0].x, in[far].y - in[0].y))
            far = i;
    keep[0] = keep[far] = 1;
    stack[depth++] = 0, stack[depth++] = far, stack[depth++] = far, stack[depth++] = n;
    while (depth) {
        int b = stack[--depth], a = stack[--depth], worst = -1;
        double most = TOLERANCE;
        for (int i = a + 1; i < b; i++) {
            double away = off_chord(in[i], in[a], in[b % n]);
            if (away > most) most = away, worst = i;
        }
        if (worst < 0) continue;
        keep[worst] = 1;
        stack[depth++] = a, stack[depth++] = worst, stack[depth++] = worst, stack[depth++] = b;
    }
    for (int i = 0; i < n; i++)
        if (keep[i]) out[kept++] = in[i];
    return kept;
}

static bool encloses(const point *round, int n, point p) {
    bool in = false;
    for (int i = 0, j = n - 1; i < n; j = i++)
        if ((round[i].y > p.y) != (round[j].y > p.y) &&
            p.x < (round[j].x - round[i].x) * (p.y - round[i].y) / (round[j].y - round[i].y) + round[i].x)
            in = !in;
    return in;
}

/* Puts a hole into a piece: over a bridge from the nearest point, round the hole and back. Returns the new
 * count. */
static int bridge(point *piece, int n, const point *hole, int m) {
    int from = 0, to = 0;
    double least = INFINITY;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < m; j++) {
            double away = hypot(piece[i].x - hole[j].x, piece[i].y - hole[j].y);
            if (away < least) least = away, from = i, to = j;
        }
    memmove(piece + from + m + 2, piece + from, sizeof *piece * (size_t)(n - from));
    for (int j = 0; j <= m; j++) piece[from + 1 + j] = hole[(to + j) % m];
    return n + m + 2;
}

static void on_page(point *p, int n, const mask *m) {
    for (int i = 0; i < n; i++) p[i] = (point){m->x + m->size * p[i].x, m->y + m->size * p[i].y};
}

/* Each piece with the holes that lie in it. scratch holds as many points as all loops and two more for each.
 */
static void draw_pieces(drawing *d, outline *o, area_role role, int about, point *scratch) {
    for (int i = 0; i < o->loop_count; i++) {
        const loop *piece = &o->loops[i];
        if (piece->area < SPECK) continue;
        int n = piece->count;
        memcpy(scratch, o->points + piece->first, sizeof *scratch * (size_t)n);
        for (int k = 0; k < o->loop_count; k++) {
            const loop *hole = &o->loops[k];
            if (hole->area > -SPECK ||
                !encloses(o->points + piece->first, piece->count, o->points[hole->first]))
                continue;
            n = bridge(scratch, n, o->points + hole->first, hole->count);
        }
        on_page(scratch, n, o->m);
        draw_area(d, role, about, scratch, n);
    }
}

static bool straighten_all(outline *o) {
    size_t most = (size_t)o->point_count + 1;
    int *stack = malloc(sizeof *stack * (4 * most + 8));
    unsigned char *keep = malloc(most + 1);
    for (int i = 0; stack && keep && i < o->loop_count; i++) {
        loop *l = &o->loops[i];
        l->count = straighten(o->points + l->first, l->count, o->points + l->first, stack, keep);
    }
    bool done = stack && keep;
    free(stack);
    free(keep);
    return done;
}

lw_status mask_area(drawing *d, const mask *m, area_role role, int about, int low, int high,
                    lw_error *error) {
    outline o = {.m = m, .low = low, .high = high};
    o.done = calloc((size_t)m->width * (size_t)m->height, 1);
    bool fine = o.done;
    for (int y = 0; fine && y < m->height; y++)
        for (int x = 0; x < m->width && fine; x++)
            if (within(&o, x, y) && !within(&o, x, y - 1) &&
                !o.done[(size_t)y * (size_t)m->width + (size_t)x]) {
                walk(&o, x, y);
                fine = !o.failed;
            }
    point *scratch = NULL;
    if (fine && o.loop_count) {
        scratch = malloc(sizeof *scratch * (size_t)(o.point_count + 2 * o.loop_count));
        fine = scratch && straighten_all(&o);
        if (fine) draw_pieces(d, &o, role, about, scratch);
    }
    free(scratch);
    free(o.done);
    free(o.loops);
    free(o.points);
    return fine ? LW_OK : fail_memory(error, "step");
}

/* ---- room ---- */

typedef struct box {
    int left, top, right, bottom; /* samples; right and bottom are beyond */
} box;

static box box_of(const mask *m, int low, int high) {
    box b = {m->width, m->height, 0, 0};
    for (int y = 0; y < m->height; y++)
        for (int x = 0; x < m->width; x++) {
            int l = m->label[(size_t)y * (size_t)m->width + (size_t)x];
            if (l < low || l > high) continue;
            if (x < b.left) b.left = x;
            if (x >= b.right) b.right = x + 1;
            if (y < b.top) b.top = y;
            b.bottom = y + 1;
        }
    return b;
}

static float least3(float a, float b, float c) { return fminf(a, fminf(b, c)); }

/* Distance to the nearest sample outside, by two sweeps of a 3-4 chamfer (Borgefors 1986), in samples; out is
 * a grid one sample wider than the box all round, on which it is 0. */
static void distances(const mask *m, box b, int low, int high, float *out) {
    int w = b.right - b.left + 2, h = b.bottom - b.top + 2;
    const float slant = 4 / 3.f;
    memset(out, 0, sizeof *out * (size_t)w * (size_t)h);
    for (int y = 1; y < h - 1; y++)
        for (int x = 1; x < w - 1; x++) {
            int l = label_at(m, b.left + x - 1, b.top + y - 1);
            float *here = out + (size_t)y * (size_t)w + (size_t)x;
            if (l >= low && l <= high)
                *here = fminf(here[-1] + 1, fminf(here[-w] + 1, fminf(here[-w - 1], here[-w + 1]) + slant));
        }
    for (int y = h - 2; y > 0; y--)
        for (int x = w - 2; x > 0; x--) {
            float *here = out + (size_t)y * (size_t)w + (size_t)x;
            *here = fminf(*here, least3(here[1] + 1, here[w] + 1, fminf(here[w - 1], here[w + 1]) + slant));
        }
}

bool mask_room(const mask *m, int low, int high, point near, point line, point *at, double *room,
               lw_status *status) {
    box b = box_of(m, low, high);
    *status = LW_OK;
    if (b.right <= b.left) return false;
    size_t w = (size_t)b.right - (size_t)b.left + 2, h = (size_t)b.bottom - (size_t)b.top + 2;
    float *away = malloc(sizeof *away * (w * h + 1)), most = 0;
    if (!away) {
        *status = LW_ERROR_MEMORY;
        return false;
    }
    distances(m, b, low, high, away);
    for (size_t i = 0; i < w * h; i++) most = fmaxf(most, away[i]);
    double least = INFINITY;
    for (size_t i = 0; i < w * h; i++) {
        if (away[i] < WIDE * most) continue;
        point p = {m->x + m->size * (b.left + (double)(i % w) - .5),
                   m->y + m->size * (b.top + (double)(i / w) - .5)};
        double x = p.x - near.x, y = p.y - near.y;
        double far =
            line.x != 0 || line.y != 0 ? fabs(x * line.y - y * line.x) + .01 * hypot(x, y) : hypot(x, y);
        if (far < least) least = far, *at = p, *room = m->size * away[i];
    }
    free(away);
    return true;
}
