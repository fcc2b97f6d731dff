/* The virtual tape: what a tape or a caliper reads on the finished surface.
 *
 * A tape lies in a plane and is pulled tight, so it reads the convex hull of the surface's section by that
 * plane: it bridges hollows. A section is sampled at equal angles about a point inside it; each sample
 * is found by Newton's method along its ray. Between neighbours the length is the chord times
 * (a/2) / sin(a/2), a the turn of the tangent, which is exact on a circle and of fourth order elsewhere;
 * 96 samples to the turn leave less than 0.01 mm.
 *
 * All the planes but the midline's contain the direction of x, and the head is its own mirror image, so
 * only the left half of those is sampled. */
#include "head.h"

#define ARC_MAX 128

typedef struct plane {
    lw_vec3 origin, right, up; /* a point inside the section; unit, at right angles */
} plane;

typedef struct sample {
    double x, y, nx, ny; /* in the plane: place and unit normal of the section */
} sample;

/* The section's point at `angle` from right toward up. *r is a first guess at its distance and becomes it. */
static sample sample_at(const surface *s, const plane *in, double angle, double *r) {
    double c = cos(angle), d = sin(angle);
    lw_vec3 ray = v3_along(v3_scale(in->right, c), in->up, d), n = ray;
    for (int i = 0; i < 50; i++) {
        lw_vec3 to = v3_sub(v3_along(in->origin, ray, *r), s->centre), g;
        double far = v3_norm(to);
        lw_vec3 u = v3_scale(to, 1 / far);
        double radius = surface_radius(s, u.x, u.y, u.z, &g.x, &g.y, &g.z);
        n = v3_along(u, g, -1 / far); /* gradient of far - radius(u) */
        double climb = v3_dot(n, ray), step = (radius - far) / (climb > .2 ? climb : .2);
        double most = .3 * *r;
        step = step > most ? most : step < -most ? -most : step;
        *r += step;
        if (fabs(step) < 1e-10) break;
    }
    double nx = v3_dot(n, in->right), ny = v3_dot(n, in->up), k = 1 / sqrt(nx * nx + ny * ny);
    return (sample){*r * c, *r * d, nx * k, ny * k};
}

static void sample_arc(sample *out, const surface *s, const plane *in, double from, double to, int count) {
    double r = .08;
    for (int i = 0; i < count; i++) out[i] = sample_at(s, in, from + (to - from) * i / (count - 1), &r);
}

/* Length of the tape over samples in order of angle: a stack of those it touches. */
static double taut(const sample *p, int count) {
    int touched[ARC_MAX] = {0}, n = 0;
    for (int i = 0; i < count; i++) {
        while (n > 1) {
            const sample *a = &p[touched[n - 2]], *b = &p[touched[n - 1]];
            double turn = (b->x - a->x) * (p[i].y - b->y) - (b->y - a->y) * (p[i].x - b->x);
            if (turn > 0) break;
            n--;
        }
        touched[n++] = i;
    }
    double length = 0;
    for (int i = 1; i < n; i++) {
        const sample *a = &p[touched[i - 1]], *b = &p[touched[i]];
        double chord = hypot(b->x - a->x, b->y - a->y), turn = a->nx * b->ny - a->ny * b->nx;
        double half2 = turn * turn * (1 + turn * turn / 3) / 4; /* (a/2)^2, turn being sin a */
        bool lies = touched[i] == touched[i - 1] + 1;
        length += lies ? chord * (1 + half2 / 6 * (1 + half2 * 7 / 60)) : chord;
    }
    return length;
}

/* Length from the angle `from` (left) over up to its mirror image, in a plane that holds x. */
static double mirrored(const surface *s, const plane *in, double from, double to) {
    int half = (int)((to - from) / LW_PI * 48) + 8;
    sample p[ARC_MAX] = {{0}};
    sample_arc(p, s, in, from, to, half);
    for (int i = 1; i < half; i++) {
        sample q = p[half - 1 - i];
        p[half - 1 + i] = (sample){-q.x, q.y, -q.nx, q.ny};
    }
    return taut(p, 2 * half - 1);
}

static double across(const surface *s, lw_vec3 origin, lw_vec3 through) {
    plane in = {origin, v3(1, 0, 0), v3_unit(v3_sub(through, origin))};
    return mirrored(s, &in, 0, LW_PI / 2);
}

static double circumference(const surface *s) {
    plane in = {s->centre, v3(1, 0, 0), v3(0, 0, -1)};
    return mirrored(s, &in, -LW_PI / 2, LW_PI / 2);
}

/* Angle of p about the centre in the midline plane, from the front over the top. */
static double midline_angle(const surface *s, lw_vec3 p) {
    double a = atan2(p.y - s->centre.y, p.z - s->centre.z);
    return a < -LW_PI / 2 ? a + 2 * LW_PI : a;
}

double tape_midline(const surface *s, lw_vec3 from, lw_vec3 to) {
    plane in = {s->centre, v3(0, 0, 1), v3(0, 1, 0)};
    sample p[ARC_MAX] = {{0}};
    sample_arc(p, s, &in, midline_angle(s, from), midline_angle(s, to), 81);
    return taut(p, 81);
}

/* Round the back from one temple to the other, over the occipital bone. */
double tape_temples(const surface *s, lw_vec3 temple, lw_vec3 occiput) {
    lw_vec3 up = v3_unit(v3_sub(occiput, v3(0, temple.y, temple.z)));
    lw_vec3 origin =
        v3_along(v3(0, temple.y, temple.z), up, .3 * v3_norm(v3_sub(occiput, v3(0, temple.y, temple.z))));
    plane in = {origin, v3(1, 0, 0), up};
    return mirrored(s, &in, atan2(v3_dot(v3_sub(temple, origin), up), temple.x), LW_PI / 2);
}

double tape_nape(const surface *s, lw_vec3 corner, lw_vec3 centre) {
    return across(s, v3(0, corner.y, corner.z), centre);
}

/* The midline's point between the angles low and high (from the front over the top) that lies furthest along
 * `aim`, or furthest from it. */
static lw_vec3 midline_extreme(const surface *s, double low, double high, lw_vec3 aim, bool from) {
    lw_vec3 p, n;
    do {
        double mid = .5 * (low + high);
        p = surface_point(s, v3(0, sin(mid), cos(mid)), &n);
        lw_vec3 to = from ? v3_sub(p, aim) : aim;
        if (to.y * n.z - to.z * n.y > 0)
            low = mid;
        else
            high = mid;
    } while (high - low > 1e-9);
    return p;
}

static double head_length(const surface *s) {
    lw_vec3 glabella = surface_point(s, v3(0, 0, 1), NULL);
    return v3_norm(v3_sub(midline_extreme(s, LW_PI * .75, LW_PI * 1.25, glabella, true), glabella));
}

/* Height of the highest point above the tragions. */
static double ear_to_top(const surface *s) {
    return midline_extreme(s, LW_PI * .25, LW_PI * .75, v3(0, 1, 0), false).y;
}

/* Slope of x over the unit sphere, at u = (1, y, z). */
static void slope_of_x(const surface *s, double y, double z, double *value, double *dy, double *dz) {
    lw_vec3 u = v3_unit(v3(1, y, z)), g;
    double r = surface_radius(s, u.x, u.y, u.z, &g.x, &g.y, &g.z);
    *value = r * u.x;
    *dy = u.x * g.y - r * u.x * u.y;
    *dz = u.x * g.z - r * u.x * u.z;
}

static double head_breadth(const surface *s) {
    double y = 0, z = 0, best = 0, h = 1e-5;
    for (int i = 0; i < 12; i++) {
        double v, a, b, w, ay, by, az, bz;
        slope_of_x(s, y, z, &v, &a, &b);
        best = v;
        slope_of_x(s, y + h, z, &w, &ay, &by);
        slope_of_x(s, y, z + h, &w, &az, &bz);
        ay = (ay - a) / h;
        by = (by - b) / h;
        az = (az - a) / h;
        bz = (bz - b) / h;
        double det = ay * bz - az * by;
        if (!(ay < 0 && det > 0)) { /* not yet a hilltop: climb */
            ay = bz = -s->axes.x;
            az = by = 0;
            det = ay * bz;
        }
        double sy = -(a * bz - az * b) / det, sz = -(ay * b - by * a) / det;
        double size = hypot(sy, sz), keep = size > .2 ? .2 / size : 1;
        y += keep * sy;
        z += keep * sz;
        if (size < 1e-8) break;
    }
    return 2 * best;
}

/* Where the tape across the forehead crosses the midline: just above the brow, in the direction that is 18 mm
 * above the glabella on the mean man (from memory). */
static lw_vec3 forehead_point(const surface *s) {
    return surface_point(s, v3(0, .2 * s->axes.y, s->axes.z), NULL);
}

double tape_measure(const surface *s, const lw_vec3 *landmark, lw_measure id) {
    lw_vec3 origin = v3(0, 0, 0);
    switch (id) {
    case LW_CIRCUMFERENCE:
        return circumference(s);
    case LW_EAR_TO_EAR_OVER_TOP:
        return across(s, origin, v3(0, 1, 0));
    case LW_HAIRLINE_TO_NAPE:
        return tape_midline(s, landmark[LW_FRONT_HAIRLINE], landmark[LW_NAPE_CENTRE]);
    case LW_EAR_TO_EAR_FOREHEAD:
        return across(s, origin, forehead_point(s));
    case LW_TEMPLE_TO_TEMPLE_BACK:
        return tape_temples(s, landmark[LW_TEMPLE_LEFT], landmark[LW_OCCIPITAL_BONE]);
    case LW_NAPE_WIDTH:
        return tape_nape(s, landmark[LW_NAPE_CORNER_LEFT], landmark[LW_NAPE_CENTRE]);
    case LW_HEAD_LENGTH:
        return head_length(s);
    case LW_HEAD_BREADTH:
        return head_breadth(s);
    case LW_EAR_TO_TOP:
        return ear_to_top(s);
    case LW_EAR_TO_EAR_HAIRLINE:
        return across(s, origin, landmark[LW_FRONT_HAIRLINE]);
    default:
        return (double)NAN;
    }
}
