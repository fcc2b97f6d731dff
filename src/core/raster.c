/* A mesh's shadow, at 4 by 4 places of every pixel: line by line of places, each triangle covers those
 * between its two sides. */
#include "raster.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

enum { PLACES = 4 };

typedef struct fine {
    int wide, high; /* places */
    uint8_t *covered;
} fine;

/* A corner in places, whole numbers at their middles. */
typedef struct corner {
    double u, v;
} corner;

static corner corner_of(const raster *r, lw_vec3 p) {
    double shift = (PLACES - 1) / 2.0;
    return (corner){(raster_u(&r->view, p) / r->pixel + r->middle) * PLACES + shift,
                    (raster_v(&r->view, p) / r->pixel - r->low) * PLACES + shift};
}

static void cover_row(const fine *f, int row, const corner c[3]) {
    double from = INFINITY, to = -INFINITY;
    for (int i = 0; i < 3; i++) {
        corner a = c[i], b = c[(i + 1) % 3];
        if ((a.v > row) == (b.v > row)) continue;
        double u = a.u + (b.u - a.u) * ((row - a.v) / (b.v - a.v));
        from = fmin(from, u), to = fmax(to, u);
    }
    if (!(from <= to)) return;
    int last = (int)fmin(floor(to), f->wide - 1);
    for (int i = (int)fmax(ceil(from), 0); i <= last; i++)
        f->covered[(size_t)row * (size_t)f->wide + (size_t)i] = 1;
}

static void cover(const fine *f, const corner c[3]) {
    double low = fmin(c[0].v, fmin(c[1].v, c[2].v)), high = fmax(c[0].v, fmax(c[1].v, c[2].v));
    int last = (int)fmin(floor(high), f->high - 1);
    for (int row = (int)fmax(ceil(low), 0); row <= last; row++) cover_row(f, row, c);
}

static void shade(raster *out, const fine *f) {
    for (int y = 0; y < out->high; y++)
        for (int x = 0; x < out->wide; x++) {
            int n = 0;
            for (int k = 0; k < PLACES * PLACES; k++)
                n += f->covered[(size_t)(y * PLACES + k / PLACES) * (size_t)f->wide +
                                (size_t)(x * PLACES + k % PLACES)];
            out->share[(size_t)y * (size_t)out->wide + (size_t)x] = (float)n / (PLACES * PLACES);
        }
}

bool raster_cover(raster *out, const lw_mesh *mesh) {
    fine f = {out->wide * PLACES, out->high * PLACES, NULL};
    f.covered = calloc((size_t)f.wide * (size_t)f.high, 1);
    if (!f.covered) return false;
    for (int i = 0; i < mesh->triangle_count; i++) {
        corner c[3];
        bool counts = true;
        for (int k = 0; k < 3; k++) {
            lw_vec3 p = mesh->position[mesh->triangle[i][k]];
            counts = counts && p.y >= out->view.floor;
            c[k] = corner_of(out, p);
        }
        if (counts) cover(&f, c);
    }
    shade(out, &f);
    free(f.covered);
    return true;
}

bool raster_reach(double *from, double *to, const raster *r, int row) {
    const float *share = r->share + (size_t)row * (size_t)r->wide;
    int first = 1, last = r->wide - 2;
    while (first <= last && !(share[first] > .5F)) first++;
    while (last >= first && !(share[last] > .5F)) last--;
    if (last < first) return false;
    double in = (double)share[first], out = (double)share[first - 1];
    *from = (first - (in - .5) / (in - out) - r->middle) * r->pixel;
    in = (double)share[last], out = (double)share[last + 1];
    *to = (last + (in - .5) / (in - out) - r->middle) * r->pixel;
    return true;
}
