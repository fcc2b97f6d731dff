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

#define ARC_MAX TAPE_POINTS

typedef struct plane {
    lw_vec3 origin, right, up; /* a point inside the section; unit, at right angles */
} plane;

typedef struct sample {
    double x, y, nx, ny; /* in the plane: place and unit normal of the section */
} sample;

/* The section's point at `angle` from right toward up. *r is a first guess at its distance and becomes it. */
static sample sample_at(const surface *s, const plane *in, double angle, double *r) {
    double c = cosine(angle), d = sine(angle);
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

/* Samples of a section in order of angle. */
typedef struct arc {
    plane in;
    int count;
    sample at[ARC_MAX];
} arc;

static void sample_arc(arc *out, const surface *s, double from, double to, int count) {
    double r = .08;
    out->count = count;
    for (int i = 0; i < count; i++)
        out->at[i] = sample_at(s, &out->in, from + (to - from) * i / (count - 1), &r);
}

/* Indices of the samples that the tape over them touches, a stack; returns how many. */
static int touches(int touched[ARC_MAX], const arc *a) {
    const sample *p = a->at;
    int n = 0;
    for (int i = 0; i < a->count; i++) {
        while (n > 1) {
            const sample *b = &p[touched[n - 2]], *c = &p[touched[n - 1]];
            double turn = (c->x - b->x) * (p[i].y - c->y) - (c->y - b->y) * (p[i].x - c->x);
            if (turn > 0) break;
            n--;
        }
        touched[n++] = i;
    }
    return n;
}

/* Length of the tape over the samples. */
static double taut(const arc *over) {
    int touched[ARC_MAX] = {0}, n = touches(touched, over);
    const sample *p = over->at;
    double length = 0;
    for (int i = 1; i < n; i++) {
        const sample *a = &p[touched[i - 1]], *b = &p[touched[i]];
        double chord = hypotenuse(b->x - a->x, b->y - a->y), turn = a->nx * b->ny - a->ny * b->nx;
        double half2 = turn * turn * (1 + turn * turn / 3) / 4; /* (a/2)^2, turn being sin a */
        bool lies = touched[i] == touched[i - 1] + 1;
        length += lies ? chord * (1 + half2 / 6 * (1 + half2 * 7 / 60)) : chord;
    }
    return length;
}

/* From the angle `from` (left) over up to its mirror image, in a plane that holds x. */
static void mirrored(arc *out, const surface *s, double from, double to) {
    int half = (int)((to - from) / LW_PI * 48) + 8;
    sample_arc(out, s, from, to, half);
    for (int i = 1; i < half; i++) {
        sample q = out->at[half - 1 - i];
        out->at[half - 1 + i] = (sample){-q.x, q.y, -q.nx, q.ny};
    }
    out->count = 2 * half - 1;
}

static void across(arc *out, const surface *s, lw_vec3 origin, lw_vec3 through) {
    out->in = (plane){origin, v3(1, 0, 0), v3_unit(v3_sub(through, origin))};
    mirrored(out, s, 0, LW_PI / 2);
}

static void circumference(arc *out, const surface *s) {
    out->in = (plane){s->centre, v3(1, 0, 0), v3(0, 0, -1)};
    mirrored(out, s, -LW_PI / 2, LW_PI / 2);
}

/* Angle of p about the centre in the midline plane, from the front over the top. */
static double midline_angle(const surface *s, lw_vec3 p) {
    double a = arc_tangent(p.y - s->centre.y, p.z - s->centre.z);
    return a < -LW_PI / 2 ? a + 2 * LW_PI : a;
}

static void midline(arc *out, const surface *s, lw_vec3 from, lw_vec3 to) {
    out->in = (plane){s->centre, v3(0, 0, 1), v3(0, 1, 0)};
    sample_arc(out, s, midline_angle(s, from), midline_angle(s, to), 81);
}

/* Round the back from one temple to the other, over the occipital bone. */
static void temples(arc *out, const surface *s, lw_vec3 temple, lw_vec3 occiput) {
    lw_vec3 up = v3_unit(v3_sub(occiput, v3(0, temple.y, temple.z)));
    lw_vec3 origin =
        v3_along(v3(0, temple.y, temple.z), up, .3 * v3_norm(v3_sub(occiput, v3(0, temple.y, temple.z))));
    out->in = (plane){origin, v3(1, 0, 0), up};
    mirrored(out, s, arc_tangent(v3_dot(v3_sub(temple, origin), up), temple.x), LW_PI / 2);
}

static void nape(arc *out, const surface *s, lw_vec3 corner, lw_vec3 centre) {
    across(out, s, v3(0, corner.y, corner.z), centre);
}

double tape_midline(const surface *s, lw_vec3 from, lw_vec3 to) {
    arc over;
    midline(&over, s, from, to);
    return taut(&over);
}

double tape_temples(const surface *s, lw_vec3 temple, lw_vec3 occiput) {
    arc over;
    temples(&over, s, temple, occiput);
    return taut(&over);
}

double tape_nape(const surface *s, lw_vec3 corner, lw_vec3 centre) {
    arc over;
    nape(&over, s, corner, centre);
    return taut(&over);
}

/* The midline's point between the angles low and high (from the front over the top) that lies furthest along
 * `aim`, or furthest from it. */
static lw_vec3 midline_extreme(const surface *s, double low, double high, lw_vec3 aim, bool from) {
    lw_vec3 p, n;
    do {
        double mid = .5 * (low + high);
        p = surface_point(s, v3(0, sine(mid), cosine(mid)), &n);
        lw_vec3 to = from ? v3_sub(p, aim) : aim;
        if (to.y * n.z - to.z * n.y > 0)
            low = mid;
        else
            high = mid;
    } while (high - low > 1e-9);
    return p;
}

/* The two ends of the caliper. */
static void head_length(lw_vec3 end[2], const surface *s) {
    end[0] = surface_point(s, v3(0, 0, 1), NULL); /* glabella */
    end[1] = midline_extreme(s, LW_PI * .75, LW_PI * 1.25, end[0], true);
}

static lw_vec3 top(const surface *s) {
    return midline_extreme(s, LW_PI * .25, LW_PI * .75, v3(0, 1, 0), false);
}

/* Slope of x over the unit sphere, at u = (1, y, z). */
static void slope_of_x(const surface *s, double y, double z, double *value, double *dy, double *dz) {
    lw_vec3 u = v3_unit(v3(1, y, z)), g;
    double r = surface_radius(s, u.x, u.y, u.z, &g.x, &g.y, &g.z);
    *value = r * u.x;
    *dy = u.x * g.y - r * u.x * u.y;
    *dz = u.x * g.z - r * u.x * u.z;
}

/* The widest point of the left side. */
static lw_vec3 widest(const surface *s) {
    double y = 0, z = 0, h = 1e-5;
    lw_vec3 best = {0};
    for (int i = 0; i < 12; i++) {
        double v, a, b, w, ay, by, az, bz;
        slope_of_x(s, y, z, &v, &a, &b);
        best = v3_along(s->centre, v3(1, y, z), v);
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
        double size = hypotenuse(sy, sz), keep = size > .2 ? .2 / size : 1;
        y += keep * sy;
        z += keep * sz;
        if (size < 1e-8) break;
    }
    return best;
}

/* Where the tape across the forehead crosses the midline: just above the brow, in the direction that is 18 mm
 * above the glabella on the mean man (from memory). */
static lw_vec3 forehead_point(const surface *s) {
    return surface_point(s, v3(0, .2 * s->axes.y, s->axes.z), NULL);
}

/* The samples under the tape; false where it is no tape that measures. */
static bool lay(arc *out, const surface *s, const lw_vec3 *landmark, lw_measure id) {
    lw_vec3 origin = v3(0, 0, 0);
    switch (id) {
    case LW_CIRCUMFERENCE:
        circumference(out, s);
        return true;
    case LW_EAR_TO_EAR_OVER_TOP:
        across(out, s, origin, v3(0, 1, 0));
        return true;
    case LW_HAIRLINE_TO_NAPE:
        midline(out, s, landmark[LW_FRONT_HAIRLINE], landmark[LW_NAPE_CENTRE]);
        return true;
    case LW_EAR_TO_EAR_FOREHEAD:
        across(out, s, origin, forehead_point(s));
        return true;
    case LW_TEMPLE_TO_TEMPLE_BACK:
        temples(out, s, landmark[LW_TEMPLE_LEFT], landmark[LW_OCCIPITAL_BONE]);
        return true;
    case LW_NAPE_WIDTH:
        nape(out, s, landmark[LW_NAPE_CORNER_LEFT], landmark[LW_NAPE_CENTRE]);
        return true;
    case LW_EAR_TO_EAR_HAIRLINE:
        across(out, s, origin, landmark[LW_FRONT_HAIRLINE]);
        return true;
    default:
        return false;
    }
}

double tape_measure(const surface *s, const lw_vec3 *landmark, lw_measure id) {
    arc over;
    lw_vec3 end[2];
    if (lay(&over, s, landmark, id)) return taut(&over);
    switch (id) {
    case LW_HEAD_LENGTH:
        head_length(end, s);
        return v3_norm(v3_sub(end[1], end[0]));
    case LW_HEAD_BREADTH:
        return 2 * widest(s).x;
    case LW_EAR_TO_TOP: /* above the tragions */
        return top(s).y;
    default:
        return (double)NAN;
    }
}

int tape_line(lw_vec3 out[TAPE_POINTS], const surface *s, const lw_vec3 *landmark, lw_measure id) {
    arc over;
    int touched[ARC_MAX] = {0}, n = 0;
    if (lay(&over, s, landmark, id)) {
        n = touches(touched, &over);
        for (int i = 0; i < n; i++) {
            const sample *at = &over.at[touched[i]];
            out[i] = v3_along(v3_along(over.in.origin, over.in.right, at->x), over.in.up, at->y);
        }
    } else if (id == LW_HEAD_LENGTH) {
        head_length(out, s);
        n = 2;
    } else if (id == LW_HEAD_BREADTH) {
        lw_vec3 left = widest(s);
        out[0] = left;
        out[1] = v3(-left.x, left.y, left.z);
        n = 2;
    } else if (id == LW_EAR_TO_TOP) {
        lw_vec3 ear = surface_point(s, v3(1, 0, 0), NULL), high = top(s);
        out[0] = v3(ear.x, 0, 0);
        out[1] = v3(ear.x, high.y, 0);
        out[2] = high;
        n = 3;
    }
    return n;
}
