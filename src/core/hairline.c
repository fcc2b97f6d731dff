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

static double bearing_of(lw_vec3 d) { return atan2(d.z, fabs(d.x)); }
static double rise_of(lw_vec3 d) { return atan2(d.y, sqrt(d.x * d.x + d.z * d.z)); }

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

double lw_head_hairline(const lw_head *head, lw_vec3 surface_point) {
    lw_vec3 d = v3_sub(surface_point, head->surface.centre);
    double level = sqrt(d.x * d.x + d.z * d.z), slope;
    double above = rise_of(d) - rise_at(&head->hairline, bearing_of(d), &slope);
    double lean = slope * v3_norm(d) / (level > 1e-9 ? level : 1e-9);
    return above * v3_norm(d) / sqrt(1 + lean * lean);
}

/* Simpson over bearing, Gauss over the sine of the rise would do; the midpoint rule is enough here. */
double hairline_area(const lw_head *head) {
    int rows = 96, columns = 192;
    double sum = 0;
    for (int i = 0; i < columns; i++) {
        double bearing = -LW_PI / 2 + (i + .5) * LW_PI / columns, slope;
        double low = sin(rise_at(&head->hairline, bearing, &slope));
        for (int j = 0; j < rows; j++) {
            double y = low + (j + .5) * (1 - low) / rows, level = sqrt(1 - y * y);
            lw_vec3 u = v3(level * cos(bearing), y, level * sin(bearing)), g;
            double r = surface_radius(&head->surface, u.x, u.y, u.z, &g.x, &g.y, &g.z);
            sum += r * sqrt(r * r + v3_dot(g, g)) * (1 - low) / rows;
        }
    }
    return 2 * sum * LW_PI / columns;
}
