/* Filling the room that hair takes; room.h says what it is.
 *
 * The bust is a wall: a sample beside it has less room, and one that lies so deep inside that almost none is
 * left takes the highest potential beside it, so that no slope leads in. */
#include "room.h"

#include <stdlib.h>
#include <string.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include "fail.h"
#include "room_leave.h"
#include "vec.h"

#define LOOSE                                                                                                \
    .025 /* of hair that hangs or lies combed: from memory, a hair switch of 25 cm and its girth             \
          */
/* Of the modulus: van Wyk's .01 of wool that lies every way (from memory), times the cube of .2 radians, by
 * which combed hairs lean to each other (ours): both the contacts and the bends between them need it. */
#define FIRM 8e-5
#define SPACING 5e-3
#define MOST 4e6  /* samples of a half */
#define MARGIN 2  /* samples between hair and box */
#define CLOSED .1 /* of a sample's room left by the bust: less is none */
#define DEEP 4    /* spacings into the bust that are filled */

enum { CHUNK = 64 };

room_law room_law_of(double bend, double area) {
    return (room_law){LOOSE, FIRM * 4 * LW_PI * bend / (area * area)};
}

room_options room_default(void) { return (room_options){.spacing = SPACING, .hold = 1, .threads = 1}; }

/* ---- where the grid stands ---- */

static lw_vec3 reach_of(lw_vec3 *low, const lw_strands *s, int threads) {
    int64_t points = (int64_t)s->count * s->nodes;
    double side = 0, up = s->at[0].y, front = s->at[0].z, down = up, back = front;
    (void)threads;
#pragma omp parallel for schedule(static) num_threads(threads) reduction(max                                 \
                                                                         : side, up, front)                  \
    reduction(min                                                                                            \
              : down, back)
    for (int64_t i = 0; i < points; i++) {
        lw_vec3 p = s->at[i];
        double x = fabs(p.x);
        side = x > side ? x : side;
        up = p.y > up ? p.y : up, down = p.y < down ? p.y : down;
        front = p.z > front ? p.z : front, back = p.z < back ? p.z : back;
    }
    *low = v3(0, down, back);
    return v3(side, up, front);
}

static double whole_steps(double from, double moved, double spacing) {
    return (floor((from - moved) / spacing) - MARGIN) * spacing + moved;
}

static int samples(double reach, double spacing) { return (int)ceil(reach / spacing) + MARGIN + 3; }

static void lay_out(room *r, const lw_strands *s, const room_options *o) {
    lw_vec3 from, to = reach_of(&from, s, o->threads);
    ground own = {0}, *g = &own;
    for (g->spacing = o->spacing;; g->spacing *= 1.25) {
        double h = g->spacing;
        g->low = v3(0, whole_steps(from.y, o->up, h), whole_steps(from.z, o->front, h));
        double cells = (to.x / h + 9) * ((to.y - g->low.y) / h + 9) * ((to.z - g->low.z) / h + 9);
        if (!(cells > MOST)) break;
    }
    g->nx = samples(to.x, g->spacing);
    g->ny = samples(to.y - g->low.y, g->spacing);
    g->nz = samples(to.z - g->low.z, g->spacing);
    g->row = (g->nx + 3) / 4 * 4;
    g->high = v3_add(g->low, v3_scale(v3(g->nx - 2, g->ny - 2, g->nz - 2), g->spacing));
    for (int side = 0; side < 2; side++) {
        own.at = r->half[side].at;
        r->half[side] = own;
    }
}

static size_t size_of(const ground *g) { return (size_t)g->row * (size_t)g->ny * (size_t)g->nz + 4; }

/* ---- leaving hair ---- */

/* Adding and taking away this rounds to a multiple of the quantum. */
static double rounder(const lw_strands *s, const double *section, int threads) {
    double most = 0, longest = 0;
    (void)threads;
#pragma omp parallel for schedule(static) num_threads(threads) reduction(max : most, longest)
    for (int i = 0; i < s->count; i++) {
        const lw_vec3 *p = s->at + (size_t)i * s->nodes;
        double metres = 0;
        for (int e = 0; e + 1 < s->nodes; e++) metres += v3_norm(v3_sub(p[e + 1], p[e]));
        most = section[i] > most ? section[i] : most;
        longest = metres > longest ? metres : longest;
    }
    int exponent;
    frexp(1.001 * most * longest * s->count, &exponent);
    return ldexp(1.5, exponent - 51 + 52);
}

/* Samples on both sides of x = 0 are in both halves. */
static void join_halves(room *r) {
    const ground *g = &r->half[0];
    for (size_t run = 0; run < (size_t)g->ny * (size_t)g->nz; run++) {
        double *a = r->filled[0] + run * (size_t)g->row, *b = r->filled[1] + run * (size_t)g->row;
        a[0] = b[1] = a[0] + b[1];
        b[0] = a[1] = a[1] + b[0];
    }
}

static void leave_all(room *r, const lw_strands *s, const double *section, int threads) {
    const ground *g = &r->half[0];
    size_t size = size_of(g);
    for (int side = 0; side < 2; side++) memset(r->filled[side], 0, size * sizeof *r->filled[side]);
    if (threads > 1) memset(r->own, 0, 2 * size * (size_t)(threads - 1) * sizeof *r->own);
    room_hair hair = {s, section, rounder(s, section, threads)};
    room_leaver *leave = room_leave_on_this_machine();
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (int first = 0; first < s->count; first += CHUNK) {
        int thread = 0;
#ifdef _OPENMP
        thread = omp_get_thread_num();
#endif
        double *at = thread ? r->own + 2 * size * (size_t)(thread - 1) : NULL;
        leave(at ? at : r->filled[0], at ? at + size : r->filled[1], g, &hair, first,
              s->count - first < CHUNK ? s->count : first + CHUNK);
    }
#pragma omp parallel for schedule(static) num_threads(threads)
    for (int side = 0; side < 2; side++) {
        double *sum = r->filled[side];
        for (int t = 0; t + 1 < threads; t++) {
            const double *more = r->own + (2 * (size_t)t + (size_t)side) * size;
            for (size_t i = 0; i < size; i++) sum[i] += more[i];
        }
    }
    join_halves(r);
}

/* ---- from hair to potential ---- */

/* The share of a sample's B-spline that lies outside a wall at u spacings from it. */
static double open_share(double u) {
    double a = fabs(u), inside = a >= 1.5 ? 0 : a > .5 ? (1.5 - a) * (1.5 - a) * (1.5 - a) / 6 : 0;
    if (a <= .5) inside = .5 - (.75 * a - a * a * a / 3);
    return u < 0 ? inside : 1 - inside;
}

static float potential(const room *r, double fraction) {
    double mu = 1.5 * r->law.firm * (fraction * fraction - r->law.loose * r->law.loose);
    return (float)fmax(0, mu);
}

static lw_vec3 sample_at(const ground *g, int i, int j, int k) {
    double h = g->spacing;
    return v3((i - .5) * h, g->low.y + (j - .5) * h, g->low.z + (k - .5) * h);
}

/* The bust being its own mirror image, so are the shares. */
static void fill_layer(room *r, const ground *bust, int k) {
    const ground *g = &r->half[0];
    double per = 1 / (g->spacing * g->spacing * g->spacing);
    for (int j = 0; j < g->ny; j++)
        for (int i = 0; i < g->nx; i++) {
            size_t at = ((size_t)k * g->ny + j) * g->row + i;
            double a = r->filled[0][at], b = r->filled[1][at], share = 1;
            if (a == 0 && b == 0) continue;
            if (bust) share = open_share(ground_distance(bust, sample_at(g, i, j, k), NULL) / g->spacing);
            bool closed = share < CLOSED;
            r->half[0].at[at] = closed ? -1 : potential(r, a * per / share);
            r->half[1].at[at] = closed ? -1 : potential(r, b * per / share);
        }
}

static float highest_beside(const ground *g, int at) {
    int i = at % g->row, j = at / g->row % g->ny, k = at / g->row / g->ny;
    float most = -1;
    for (int c = k > 0 ? k - 1 : 0; c <= k + 1 && c < g->nz; c++)
        for (int b = j > 0 ? j - 1 : 0; b <= j + 1 && b < g->ny; b++)
            for (int a = i > 0 ? i - 1 : 0; a <= i + 1 && a < g->nx; a++) {
                float here = g->at[((size_t)c * g->ny + b) * g->row + a];
                most = here > most ? here : most;
            }
    return most;
}

/* From outside inward, a sample at a time. */
static void fill_wall(ground *g, room_wall *wall) {
    int left = 0, size = (int)size_of(g);
    for (int i = 0; i < size; i++)
        if (g->at[i] < 0) wall[left++].at = i;
    for (int deep = 0; deep < DEEP; deep++) {
        int open = 0;
        for (int i = 0; i < left; i++) wall[i].value = highest_beside(g, wall[i].at);
        for (int i = 0; i < left; i++) {
            g->at[wall[i].at] = wall[i].value;
            if (wall[i].value < 0) wall[open++] = wall[i];
        }
        left = open;
    }
    for (int i = 0; i < left; i++) g->at[wall[i].at] = 0;
}

/* Memory for the grid as it is laid out now, and to work in. */
static bool make_samples(room *r, int threads) {
    size_t size = size_of(&r->half[0]);
    if (size <= r->samples && threads <= r->threads) return true;
    room_empty(r);
    for (int side = 0; side < 2; side++) {
        r->half[side].at = malloc(size * sizeof(float));
        r->filled[side] = malloc(size * sizeof(double));
        r->wall[side] = malloc(size * sizeof *r->wall[side]);
    }
    r->own = threads > 1 ? malloc(2 * size * (size_t)(threads - 1) * sizeof *r->own) : NULL;
    bool all = r->own || threads == 1;
    for (int side = 0; side < 2; side++) all = all && r->half[side].at && r->filled[side] && r->wall[side];
    r->samples = all ? size : 0, r->threads = threads;
    return all;
}

lw_status room_fill(room *r, const lw_strands *strands, const double *section, const ground *bust,
                    const room_options *options, lw_error *error) {
    if (!(options->spacing >= .001 && options->spacing <= .05))
        return fail(error, LW_ERROR_ARGUMENT, "spacing", "take 1 to 50 mm",
                    "a spacing of %g m is out of range", options->spacing);
    int threads = options->threads > 1 ? options->threads : 1;
    r->law = options->law;
    r->hold = options->hold;
    lay_out(r, strands, options);
    if (!make_samples(r, threads)) return fail_memory(error, "room");
    leave_all(r, strands, section, threads);
    for (int side = 0; side < 2; side++) memset(r->half[side].at, 0, size_of(&r->half[side]) * sizeof(float));
    int layers = r->half[0].nz;
#pragma omp parallel for schedule(dynamic, 4) num_threads(threads)
    for (int k = 0; k < layers; k++) fill_layer(r, bust, k);
#pragma omp parallel for schedule(static) num_threads(threads)
    for (int side = 0; side < 2; side++) fill_wall(&r->half[side], r->wall[side]);
    return LW_OK;
}

void room_empty(room *r) {
    for (int side = 0; side < 2; side++) {
        free(r->half[side].at);
        free(r->filled[side]);
        free(r->wall[side]);
        r->half[side].at = NULL, r->filled[side] = NULL, r->wall[side] = NULL;
    }
    free(r->own);
    r->own = NULL;
    r->samples = 0;
}

/* ---- asking ---- */

ground_shape room_shape_at(const room *r, lw_vec3 p) { return ground_shape_at(&r->half[p.x < 0], p); }

double room_volume(const room *r) {
    const ground *g = &r->half[0];
    double sum = 0;
    for (int side = 0; side < 2; side++)
        for (size_t run = 0; run < (size_t)g->ny * (size_t)g->nz; run++)
            for (int i = 1; i < g->nx; i++) sum += r->filled[side][run * (size_t)g->row + i];
    return sum;
}
