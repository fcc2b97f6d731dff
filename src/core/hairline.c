/* The hairline: where the scalp ends.
 *
 * Seen from the star centre, the hairline is a height for every bearing: rise(bearing), the same left and
 * right, through the nine landmarks that lie on it, with monotone cubics between them (Fritsch and Carlson,
 * SIAM J. Numer. Anal. 17:238, 1980) so that it never swings past a landmark. A point is inside by how far it
 * lies above that curve, measured over the skin to first order. */
#include "head.h"

static const lw_landmark knots[HAIRLINE_KNOTS - 2] = {
    LW_NAPE_CENTRE,   LW_NAPE_CORNER_LEFT, LW_BEHIND_EAR_LEFT, LW_EAR_TOP_LEFT,
    LW_SIDEBURN_LEFT, LW_TEMPLE_LEFT,      LW_RECESSION_LEFT};

static double bearing_of(lw_vec3 d) { return arc_tangent(d.z, fabs(d.x)); }
static double rise_of(lw_vec3 d) { return arc_tangent(d.y, sqrt(d.x * d.x + d.z * d.z)); }

static void lay_edge(lw_head *head);

void hairline_lay(lw_head *head) {
    hairline *h = &head->hairline;
    int n = 0;
    for (int i = 0; i < HAIRLINE_KNOTS - 1; i++) {
        lw_landmark id = i < HAIRLINE_KNOTS - 2 ? knots[i] : LW_FRONT_HAIRLINE;
        lw_vec3 d = v3_sub(head->landmark[id], head->surface.centre);
        h->bearing[n] = bearing_of(d);
        h->rise[n++] = rise_of(d);
    }
    h->bearing[n] = LW_PI; /* never reached; closes the table */
    h->rise[n] = h->rise[n - 1];
    h->slope[0] = h->slope[n - 1] = h->slope[n] = 0;
    for (int i = 1; i < n - 1; i++) {
        double w0 = h->bearing[i] - h->bearing[i - 1], w1 = h->bearing[i + 1] - h->bearing[i];
        double m0 = (h->rise[i] - h->rise[i - 1]) / w0, m1 = (h->rise[i + 1] - h->rise[i]) / w1;
        h->slope[i] = m0 * m1 > 0 ? 3 * (w0 + w1) / ((2 * w1 + w0) / m0 + (w1 + 2 * w0) / m1) : 0;
    }
    lay_edge(head);
}

static double rise_at(const hairline *h, double bearing, double *slope) {
    int i = 0;
    while (i < HAIRLINE_KNOTS - 2 && bearing >= h->bearing[i + 1]) i++;
    double w = h->bearing[i + 1] - h->bearing[i], t = (bearing - h->bearing[i]) / w;
    double d = (h->rise[i + 1] - h->rise[i]) / w;
    double c = 3 * d - 2 * h->slope[i] - h->slope[i + 1], e = h->slope[i] + h->slope[i + 1] - 2 * d;
    *slope = h->slope[i] + t * (2 * c + 3 * t * e);
    return h->rise[i] + w * t * (h->slope[i] + t * (c + t * e));
}

/* Even steps in bearing where the line runs level, in height where it runs upright. */
static void lay_edge(lw_head *head) {
    hairline *h = &head->hairline;
    enum { FINE = 1024 };
    double from = h->bearing[0], to = h->bearing[HAIRLINE_KNOTS - 2], slope, way[FINE + 1] = {0};
    for (int i = 1; i <= FINE; i++) {
        double width = (to - from) / FINE;
        double step = rise_at(h, from + i * width, &slope) - rise_at(h, from + (i - 1) * width, &slope);
        way[i] = way[i - 1] + sqrt(width * width + step * step);
    }
    for (int k = 0, i = 0; k < HAIRLINE_EDGE; k++) {
        double want = way[FINE] * k / (HAIRLINE_EDGE - 1);
        while (i < FINE && way[i + 1] < want) i++;
        double bearing = from + (to - from) * i / FINE, rise = rise_at(h, bearing, &slope),
               level = cosine(rise);
        h->edge[k] = surface_point(&head->surface,
                                   v3(level * cosine(bearing), sine(rise), level * sine(bearing)), NULL);
    }
}

double hairline_away(const lw_head *head, lw_vec3 p) {
    double sum = 0;
    for (int k = 0; k < HAIRLINE_EDGE; k++) {
        lw_vec3 d = v3_sub(p, head->hairline.edge[k]);
        double inverse = 1e-4 / (v3_dot(d, d) + 1e-12), square = inverse * inverse; /* of centimetres */
        sum += square * square;
    }
    return .01 / sqrt(sqrt(sqrt(sum)));
}

double lw_head_hairline(const lw_head *head, lw_vec3 surface_point) {
    lw_vec3 d = v3_sub(surface_point, head->surface.centre), g;
    double level2 = d.x * d.x + d.z * d.z, level = sqrt(level2 > 1e-12 ? level2 : 1e-12), r = v3_norm(d),
           slope;
    lw_vec3 u = v3_scale(d, 1 / r);
    double above = rise_of(d) - rise_at(&head->hairline, bearing_of(d), &slope);
    /* How fast `above` changes: upward and round about, less what points out of the skin. */
    double up = 1 / r, round = -slope / level, side = d.x < 0 ? -1 : 1;
    lw_vec3 rises = v3(-d.x * u.y / level, level / r, -d.z * u.y / level);
    lw_vec3 turns = v3(-d.z * side / level, 0, fabs(d.x) / level);
    lw_vec3 f = v3_along(v3_scale(rises, up), turns, round);
    double radius = surface_radius(&head->surface, u.x, u.y, u.z, &g.x, &g.y, &g.z);
    lw_vec3 n = v3_unit(v3_along(u, g, -1 / radius));
    return above / v3_norm(v3_tangent(f, n));
}

/* Nodes and weights of Gauss and Legendre on (-1, 1), the positive half. */
static const double nodes[4] = {.183434642495649805, .525532409916328986, .796666477413626740,
                                .960289856497536232};
static const double weights[4] = {.362683783378361983, .313706645877887287, .222381034453374471,
                                  .101228536290376259};

static double node(int i) { return i < 4 ? -nodes[3 - i] : nodes[i - 4]; }
static double weight(int i) { return i < 4 ? weights[3 - i] : weights[i - 4]; }

/* Area between the curve and straight up, over a unit of bearing. */
static double wedge(const surface *s, double bearing, double low) {
    double sum = 0, half = (LW_PI / 2 - low) / 6;
    for (int part = 0; part < 3; part++)
        for (int i = 0; i < 8; i++) {
            double rise = low + half * (2 * part + 1 + node(i));
            lw_vec3 u = v3(cosine(rise) * cosine(bearing), sine(rise), cosine(rise) * sine(bearing)), g;
            double r = surface_radius(s, u.x, u.y, u.z, &g.x, &g.y, &g.z);
            sum += weight(i) * half * cosine(rise) * r * sqrt(r * r + v3_dot(g, g));
        }
    return sum;
}

double hairline_area(const lw_head *head) {
    const hairline *h = &head->hairline;
    double sum = 0, slope;
    for (int k = 0; k < HAIRLINE_KNOTS - 2; k++) { /* the curve is smooth between knots */
        double half = (h->bearing[k + 1] - h->bearing[k]) / 2;
        for (int i = 0; i < 8; i++) {
            double bearing = h->bearing[k] + half * (1 + node(i));
            sum += weight(i) * half * wedge(&head->surface, bearing, rise_at(h, bearing, &slope));
        }
    }
    return 2 * sum;
}
