/* Places roots on the scalp: equal-area, evenly spread, mirrored, the same for the same seed.
 *
 * Idea: a golden-ratio lattice in a rectangle is carried to the left half of the head by a map that keeps
 * areas, and the points outside the hairline are dropped. The lattice is chosen because no stretch of the map
 * can bring its points close together: the golden ratio is the number worst approximated by fractions, so
 * that the nearest neighbour stays beyond 0.88 of the hexagonal ideal under any diagonal stretch (Swinbank &
 * Purser 2006 use it on the sphere for this reason, doi 10.1256/qj.05.227). A little jitter then hides the
 * lattice from the eye, and the seed rotates the lattice (Cranley & Patterson 1976).
 *
 * The map: directions from the star centre are written as c, the cosine of the angle from an axis through the
 * left ear, and an azimuth about it (0 over the top, growing to the front), since then solid angle is dc
 * d(azimuth). With rho the area per solid angle and w(c) its mean over the upper half of a ring, X = integral
 * of rho / w over azimuth from the top,  V = integral of w over c keep areas, and bend little: shear, which a
 * lattice bears less well than stretch, comes only from what changes round the ring between the top and the
 * place. The axis and the seam, under the ear, lie outside the scalp. Both inverses are tabulated on nodes
 * and interpolated.
 *
 * How many points of a lattice fall inside the hairline is not known beforehand: the size of the lattice is
 * searched until the number is right. Cells of the chart that are surely in or out are marked, so that only
 * points near an edge are tested against the head, and the whole takes time in proportion to the roots. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "fail.h"
#include "scalp.h"
#include "vec.h"

#define RINGS 128        /* cells in c */
#define SPOKES 384       /* cells in azimuth */
#define COLUMNS 384      /* cells of the inverse of X */
#define HEIGHTS 1024     /* cells of the inverse of V */
#define TILT (LW_PI / 6) /* of the axis, below level */
#define LEAST_C (-0.5)   /* at the top of the midline: no place on the left has less */
#define NEAR_EDGE 0.04   /* of the radius: more than a cell: one whose corners are that far in is all in */
#define IN_DOUBT 0.02    /* of the radius: more than the hairline's interpolation can be wrong by */
#define JITTER 0.12      /* of the spacing, each way */
#define SURPLUS 2000     /* one root in so many may be one too many, and is dropped */
#define SEARCHES 12
#define NEIGHBOURS 24

enum cell { OUTSIDE, INSIDE, EDGE };

typedef struct chart {
    const lw_head *head;
    lw_vec3 centre;
    double radius;       /* mean over the scalp */
    double area, inside; /* of the rectangle and of the part of it inside the hairline, m^2 */
    double from, to;     /* X runs over these */
    double nearest;      /* least sine from the midline: keeps mirrored pairs apart */
    double azimuth[RINGS + 1][COLUMNS + 1]; /* by c and X */
    double height[HEIGHTS + 1];             /* c by V, from the axis upward */
    double density[RINGS + 1][SPOKES + 1];  /* rho, m^2 */
    double edge[RINGS + 1][SPOKES + 1];     /* hairline, metres; far out on the right */
    unsigned char cell[RINGS][SPOKES];
} chart;

typedef struct lattice {
    int64_t size;
    uint64_t seed, turn; /* turn: rotation of X */
    double shift;        /* rotation of V, in points */
    double jitter;       /* radians */
} lattice;

typedef struct spot {
    double c, azimuth;
} spot;

/* Steele, Lea & Flood 2014, doi 10.1145/2660193.2660195 (splitmix64). */
static uint64_t scramble(uint64_t z) {
    z += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

static double unit(uint64_t bits) { return (double)(bits >> 11) * 0x1p-53; }

static double ring_c(int j) { return LEAST_C + (1 - LEAST_C) * j / RINGS; }

static double spoke_azimuth(int k) { return LW_PI * (2 * k - SPOKES) / SPOKES; }

static lw_vec3 spot_direction(spot at) {
    double s = sqrt(1 - at.c * at.c), up = s * cosine(at.azimuth);
    return v3(cosine(TILT) * at.c + sine(TILT) * up, cosine(TILT) * up - sine(TILT) * at.c,
              s * sine(at.azimuth));
}

static lw_vec3 chart_surface(const chart *map, spot at, lw_vec3 *normal) {
    return lw_head_project(map->head, v3_add(map->centre, spot_direction(at)), normal);
}

typedef struct ring_sums {
    double density, radii;
    int count; /* of samples on the left inside the hairline */
} ring_sums;

static ring_sums chart_sample_ring(chart *map, int j) {
    ring_sums sums = {0};
    for (int k = 0; k <= SPOKES; k++) {
        lw_vec3 normal, p = chart_surface(map, (spot){ring_c(j), spoke_azimuth(k)}, &normal);
        lw_vec3 arm = v3_sub(p, map->centre);
        double r = v3_norm(arm);
        map->edge[j][k] = p.x > -0.1 * r ? lw_head_hairline(map->head, p) : -r;
        map->density[j][k] = r * r * r / fmax(v3_dot(arm, normal), 0.1 * r);
        if (map->edge[j][k] < 0 || p.x < 0) continue;
        sums.density += map->density[j][k];
        sums.radii += r;
        sums.count++;
    }
    return sums;
}

/* Ring by ring, so that the sums are the same whoever adds them. */
static void chart_sample(chart *map) {
    ring_sums ring[RINGS + 1], all = {0};
#pragma omp parallel for schedule(dynamic)
    for (int j = 0; j <= RINGS; j++) ring[j] = chart_sample_ring(map, j);
    for (int j = 0; j <= RINGS; j++) {
        all.density += ring[j].density;
        all.radii += ring[j].radii;
        all.count += ring[j].count;
    }
    map->inside = all.density * 2 * LW_PI * (1 - LEAST_C) / (RINGS * SPOKES);
    map->radius = all.count > 0 ? all.radii / all.count : lw_head_radius(map->head, v3(0, 1, 0));
}

static void chart_mark_cells(chart *map) {
    for (int j = 0; j < RINGS; j++)
        for (int k = 0; k < SPOKES; k++) {
            const double *near = &map->edge[j][k], *far = &map->edge[j + 1][k];
            double low = fmin(fmin(near[0], near[1]), fmin(far[0], far[1]));
            double high = fmax(fmax(near[0], near[1]), fmax(far[0], far[1]));
            double x = spot_direction((spot){ring_c(j), spoke_azimuth(k)}).x,
                   near_edge = NEAR_EDGE * map->radius;
            bool in = low > near_edge && x > 2 * NEAR_EDGE, out = high < -near_edge || x < -2 * NEAR_EDGE;
            map->cell[j][k] = in ? INSIDE : out ? OUTSIDE : EDGE;
        }
}

/* Running integral, in cells, of a density given at the ends of n cells and linear between them. */
static void accumulate(double *sum, const double *density, int n) {
    sum[0] = 0;
    for (int k = 0; k < n; k++) sum[k + 1] = sum[k] + 0.5 * (density[k] + density[k + 1]);
}

/* Where, in cells, that integral reaches `from` + i * `step`, for i from 0 to m. Within a cell it is a
 * parabola; past either end it goes on with the density there. */
static void invert(double *out, int m, double from, double step, const double *sum, const double *density,
                   int n) {
    for (int i = 0, k = 0; i <= m; i++) {
        double want = from + step * i;
        while (k < n - 1 && sum[k + 1] < want) k++;
        double a = density[k], slope = density[k + 1] - a, part = want - sum[k];
        if (part < 0)
            out[i] = part / density[0];
        else if (want > sum[n])
            out[i] = n + (want - sum[n]) / density[n];
        else
            out[i] = k + 2 * part / (a + sqrt(fmax(a * a + 2 * slope * part, 0)));
    }
}

/* Mean density over the upper half of a ring. */
static double ring_width(const double *density) {
    double sum = 0;
    for (int k = SPOKES / 4; k < 3 * SPOKES / 4; k++) sum += 0.5 * (density[k] + density[k + 1]);
    return sum / (SPOKES / 2.0);
}

static void chart_invert(chart *map) {
    double width[RINGS + 1], sum[SPOKES + 1], cell = 2 * LW_PI / SPOKES;
    map->from = map->to = 0;
    for (int j = 0; j <= RINGS; j++) {
        width[RINGS - j] = ring_width(map->density[j]);
        accumulate(sum, map->density[j], SPOKES);
        for (int k = 0; k <= SPOKES; k++) {
            double x = (sum[k] - sum[SPOKES / 2]) * cell / width[RINGS - j];
            if (map->edge[j][k] < -NEAR_EDGE * map->radius) continue;
            map->from = fmin(map->from, x);
            map->to = fmax(map->to, x);
        }
    }
    for (int j = 0; j <= RINGS; j++) {
        double *row = map->azimuth[j], scale = width[RINGS - j] / cell;
        accumulate(sum, map->density[j], SPOKES);
        invert(row, COLUMNS, sum[SPOKES / 2] + map->from * scale, (map->to - map->from) * scale / COLUMNS,
               sum, map->density[j], SPOKES);
        for (int k = 0; k <= COLUMNS; k++) row[k] = row[k] * cell - LW_PI;
    }
    double heights[RINGS + 1];
    accumulate(heights, width, RINGS);
    invert(map->height, HEIGHTS, 0, heights[RINGS] / HEIGHTS, heights, width, RINGS);
    for (int i = 0; i <= HEIGHTS; i++) map->height[i] = 1 - map->height[i] * (1 - LEAST_C) / RINGS;
    map->area = heights[RINGS] * (1 - LEAST_C) / RINGS * (map->to - map->from);
}

static chart *chart_new(const lw_head *head) {
    chart *map = malloc(sizeof *map);
    if (!map) return NULL;
    map->head = head;
    map->centre = lw_head_centre(head);
    chart_sample(map);
    chart_mark_cells(map);
    chart_invert(map);
    return map;
}

/* The cell of c, and how far into it. */
static int spot_ring(double c, double *into) {
    double at = (c - LEAST_C) / (1 - LEAST_C) * RINGS;
    int j = at < RINGS ? (int)at : RINGS - 1;
    *into = at - j;
    return j;
}

static spot lattice_spot(const lattice *net, const chart *map, int64_t i) {
    double v = ((double)i + net->shift) / (double)net->size * HEIGHTS;
    int h = v < HEIGHTS ? (int)v : HEIGHTS - 1;
    double c = map->height[h] + (v - h) * (map->height[h + 1] - map->height[h]);

    double u = unit((uint64_t)i * 0x9e3779b97f4a7c15u + net->turn) * COLUMNS, ring;
    int k = (int)u, j = spot_ring(c, &ring);
    double s = u - k;
    const double *low = &map->azimuth[j][k], *high = &map->azimuth[j + 1][k];
    double azimuth =
        (1 - ring) * (low[0] + s * (low[1] - low[0])) + ring * (high[0] + s * (high[1] - high[0]));

    uint64_t bits = scramble(net->seed ^ (uint64_t)i);
    double sine = fmax(sqrt(1 - c * c), net->jitter);
    c += net->jitter * sine * (2 * unit(bits << 32) - 1);
    azimuth += net->jitter / sine * (2 * unit(bits & 0xffffffff00000000u) - 1);
    return (spot){fmax(c > 1 ? 2 - c : c, LEAST_C), azimuth};
}

static bool spot_inside(const chart *map, spot at) {
    if (!(fabs(at.azimuth) < LW_PI)) return false;
    double ring, spoke = (at.azimuth / LW_PI + 1) / 2 * SPOKES;
    int j = spot_ring(at.c, &ring), k = (int)spoke;
    if (map->cell[j][k] != EDGE) return map->cell[j][k] == INSIDE;
    if (spot_direction(at).x <= map->nearest) return false;
    const double *low = &map->edge[j][k], *high = &map->edge[j + 1][k];
    double s = spoke - k;
    double edge = (1 - ring) * (low[0] + s * (low[1] - low[0])) + ring * (high[0] + s * (high[1] - high[0]));
    if (fabs(edge) > IN_DOUBT * map->radius) return edge > 0;
    return lw_head_hairline(map->head, chart_surface(map, at, NULL)) > 0;
}

static int64_t lattice_inside(const lattice *net, const chart *map) {
    int64_t n = 0;
#pragma omp parallel for reduction(+ : n) schedule(static)
    for (int64_t i = 0; i < net->size; i++) n += spot_inside(map, lattice_spot(net, map, i));
    return n;
}

static void lattice_resize(lattice *net, const chart *map, int64_t size) {
    net->size = size > 1 ? size : 1;
    net->jitter = JITTER * sqrt(map->area / (double)net->size) / map->radius;
}

/* Finds a lattice with `want` points inside the hairline, or with as few more as there are; returns how many.
 */
static int64_t lattice_fit(lattice *net, const chart *map, int64_t want) {
    double share = map->inside / map->area;
    int64_t size = (int64_t)((double)want / share) + 1, best = 0, best_inside = INT64_MAX;
    for (int trial = 0; trial < SEARCHES + NEIGHBOURS || best_inside == INT64_MAX; trial++) {
        lattice_resize(net, map, size);
        int64_t n = lattice_inside(net, map), missing = want - n;
        if (n >= want && n < best_inside) best = net->size, best_inside = n;
        if (missing <= 0 && -missing <= want / SURPLUS) return n;
        int64_t step = (int64_t)((double)missing / share);
        size = net->size + (step != 0 && trial < SEARCHES ? step : missing > 0 ? 1 + trial / SEARCHES : -1);
    }
    lattice_resize(net, map, best);
    return best_inside;
}

/* Writes the chart's coordinates of the roots on the left into x and y. Where the lattice has more points
 * than are wanted, those dropped lie evenly among the rest. */
static void lattice_collect(lw_scalp *scalp, const lattice *net, const chart *map, int64_t found,
                            int64_t want) {
    int64_t seen = 0, kept = 0;
    for (int64_t i = 0; i < net->size && kept < want; i++) {
        spot at = lattice_spot(net, map, i);
        if (!spot_inside(map, at)) continue;
        seen++;
        if (seen * want / found == kept) continue;
        scalp->x[2 * kept] = at.c;
        scalp->y[2 * kept] = at.azimuth;
        kept++;
    }
}

static void place_pair(lw_scalp *scalp, const chart *map, int left) {
    lw_vec3 n, p = chart_surface(map, (spot){scalp->x[left], scalp->y[left]}, &n);
    for (int i = left; i <= left + 1 && i < scalp->count; i++, p = v3_mirror(p), n = v3_mirror(n)) {
        scalp->x[i] = p.x, scalp->y[i] = p.y, scalp->z[i] = p.z;
        scalp->nx[i] = n.x, scalp->ny[i] = n.y, scalp->nz[i] = n.z;
    }
}

static void place_all(lw_scalp *scalp, chart *map) {
    int64_t want = (scalp->count + 1) / 2;
    double spacing = sqrt(map->inside / (double)want);
    map->nearest = fmin(0.25 * spacing / map->radius, 0.05);
    uint64_t seed = scramble(scalp->options.seed);
    lattice net = {.seed = seed, .turn = scramble(seed + 1), .shift = unit(scramble(seed + 2))};
    int64_t found = lattice_fit(&net, map, want);
    lattice_collect(scalp, &net, map, found, want);
#pragma omp parallel for schedule(static)
    for (int left = 0; left < scalp->count; left += 2) place_pair(scalp, map, left);
}

lw_status roots_place(lw_scalp *scalp, lw_error *error) {
    chart *map = chart_new(scalp->head);
    if (!map) return fail_memory(error, "roots");
    place_all(scalp, map);
    if (scalp->survey) place_all(scalp->survey, map);
    free(map);
    return LW_OK;
}
