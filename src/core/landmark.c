/* Named places on the head.
 *
 * On a measured head each follows the shape. On the midline: the front hairline lies a measured way
 * along the skin above the glabella; the apex is the highest point, the high crown and the crown lie where
 * the skin has turned 20 and 40 degrees to the back. The parietal ridge is where a comb held at 45 degrees
 * touches: the landmark is its point straight above the star centre's side. The ear's places are measured
 * from the tragion. Temple, nape centre and nape corner are moved along the skin until the tape that ends at
 * them reads right. The rest, and all of them but apex, crown and ridge on a verification head, are
 * directions from the star centre, in proportion to the semi-axes of the skull. */
#include <string.h>

#include "head.h"

typedef struct row {
    const char *name;
    double x, y, z; /* direction from the star centre, over the skull's semi-axes */
} row;

static const row rows[LW_LANDMARK_COUNT] = {
    [LW_FRONT_HAIRLINE] = {"front hairline", 0, .64, .82},
    [LW_APEX] = {"apex", 0, 1, 0},
    [LW_HIGH_CROWN] = {"high crown", 0, .94, -.34},
    [LW_CROWN] = {"crown", 0, .77, -.64},
    [LW_OCCIPITAL_BONE] = {"occipital bone", 0, -.40, -.92},
    [LW_NAPE_CENTRE] = {"nape centre", 0, -1.28, -.71},
    [LW_RECESSION_LEFT] = {"recession left", .50, .64, .60},
    [LW_RECESSION_RIGHT] = {"recession right", -.50, .64, .60},
    [LW_TEMPLE_LEFT] = {"temple left", .80, .32, .56},
    [LW_TEMPLE_RIGHT] = {"temple right", -.80, .32, .56},
    [LW_SIDEBURN_LEFT] = {"sideburn left", .93, -.41, .22},
    [LW_SIDEBURN_RIGHT] = {"sideburn right", -.93, -.41, .22},
    [LW_EAR_TOP_LEFT] = {"ear top left", .98, -.10, -.02},
    [LW_EAR_TOP_RIGHT] = {"ear top right", -.98, -.10, -.02},
    [LW_BEHIND_EAR_LEFT] = {"behind ear left", .88, -.56, -.30},
    [LW_BEHIND_EAR_RIGHT] = {"behind ear right", -.88, -.56, -.30},
    [LW_NAPE_CORNER_LEFT] = {"nape corner left", .65, -1.28, -.42},
    [LW_NAPE_CORNER_RIGHT] = {"nape corner right", -.65, -1.28, -.42},
    [LW_PARIETAL_RIDGE_LEFT] = {"parietal ridge left", .71, .71, 0},
    [LW_PARIETAL_RIDGE_RIGHT] = {"parietal ridge right", -.71, .71, 0},
};

const char *lw_landmark_name(lw_landmark id) { return (unsigned)id < LW_LANDMARK_COUNT ? rows[id].name : ""; }

int lw_landmark_find(const char *name) {
    for (int i = 0; i < LW_LANDMARK_COUNT; i++)
        if (strcmp(name, rows[i].name) == 0) return i;
    return -1;
}

lw_landmark lw_landmark_mirror(lw_landmark id) {
    return id < LW_RECESSION_LEFT ? id : (lw_landmark)((unsigned)id ^ 1U);
}

lw_vec3 lw_head_landmark(const lw_head *head, lw_landmark id) {
    return (unsigned)id < LW_LANDMARK_COUNT ? head->landmark[id] : v3((double)NAN, (double)NAN, (double)NAN);
}

lw_vec3 lw_head_place(const lw_head *head, lw_place place) {
    lw_vec3 from = lw_head_landmark(head, (lw_landmark)place.from);
    if (place.to < 0) return from;
    return lw_head_between(head, from, lw_head_landmark(head, (lw_landmark)place.to), place.at);
}

lw_landmark lw_head_nearest_landmark(const lw_head *head, lw_vec3 p) {
    int nearest = 0;
    for (int i = 1; i < LW_LANDMARK_COUNT; i++)
        if (v3_norm(v3_sub(p, head->landmark[i])) < v3_norm(v3_sub(p, head->landmark[nearest]))) nearest = i;
    return (lw_landmark)nearest;
}

/* Turned up round the ear-to-ear axis. */
static lw_vec3 tip(lw_vec3 d, double up) {
    return v3(d.x, d.y * cosine(up) + d.z * sine(up), d.z * cosine(up) - d.y * sine(up));
}

/* What the shape of the hairline does to the recession and the temple: tips them back, radians. */
static double recede(lw_hairline_shape shape, lw_landmark id) {
    static const double recession[] = {[LW_HAIRLINE_ROUNDED] = 0,
                                       [LW_HAIRLINE_STRAIGHT] = -.07,
                                       [LW_HAIRLINE_RECEDED] = .30,
                                       [LW_HAIRLINE_PEAKED] = .11};
    return id == LW_RECESSION_LEFT ? recession[shape] : id == LW_TEMPLE_LEFT ? recession[shape] * .3 : 0;
}

lw_vec3 landmark_direction(const surface *s, lw_hairline_shape shape, lw_landmark id) {
    lw_vec3 d = tip(v3(rows[id].x, rows[id].y, rows[id].z), recede(shape, id));
    return v3(d.x * s->axes.x, d.y * s->axes.y, d.z * s->axes.z);
}

lw_vec3 landmark_tipped(const surface *s, lw_hairline_shape shape, lw_landmark id, double up) {
    lw_vec3 d = tip(v3(rows[id].x, rows[id].y, rows[id].z), recede(shape, id) + up);
    return surface_point(s, v3(d.x * s->axes.x, d.y * s->axes.y, d.z * s->axes.z), NULL);
}

/* Where the normal has turned `back` from straight up, on the midline behind the forehead. */
static lw_vec3 turned_back(const surface *s, double back) {
    double low = .2 * LW_PI, high = LW_PI; /* from the front over the top */
    lw_vec3 p, n;
    do {
        double mid = .5 * (low + high);
        p = surface_point(s, v3(0, sine(mid), cosine(mid)), &n);
        if (n.y * sine(back) + n.z * cosine(back) > 0)
            low = mid;
        else
            high = mid;
    } while (high - low > 1e-12);
    return p;
}

/* Where the parietal ridge passes straight above the side of the star centre. */
static lw_vec3 ridge_left(const surface *s) {
    double low = 0, high = LW_PI / 2;
    lw_vec3 p, n;
    do {
        double mid = .5 * (low + high);
        p = surface_point(s, v3(cosine(mid), sine(mid), 0), &n);
        if (n.y < sqrt(.5))
            low = mid;
        else
            high = mid;
    } while (high - low > 1e-12);
    return p;
}

void landmarks_mirror(lw_vec3 *landmark) {
    for (int i = LW_RECESSION_LEFT; i < LW_LANDMARK_COUNT; i += 2) landmark[i + 1] = v3_mirror(landmark[i]);
}

void landmarks_on_top(const surface *s, lw_vec3 *landmark) {
    landmark[LW_APEX] = turned_back(s, 0);
    landmark[LW_HIGH_CROWN] = turned_back(s, 20 * LW_PI / 180);
    landmark[LW_CROWN] = turned_back(s, 40 * LW_PI / 180);
    landmark[LW_PARIETAL_RIDGE_LEFT] = ridge_left(s);
}

void landmarks_by_direction(const surface *s, lw_hairline_shape shape, lw_vec3 *landmark) {
    for (int i = 0; i < LW_LANDMARK_COUNT; i++)
        landmark[i] = surface_point(s, landmark_direction(s, shape, (lw_landmark)i), NULL);
    landmarks_on_top(s, landmark);
    landmarks_mirror(landmark);
}

lw_vec3 landmark_front(const surface *s, double arc) {
    double at = 0, step = arc / 8; /* angle above the glabella; Runge-Kutta in length along the skin */
    for (int i = 0; i < 8; i++) {
        double k[4];
        for (int j = 0; j < 4; j++) {
            double a = at + (j ? k[j - 1] * step * (j < 3 ? .5 : 1) : 0);
            lw_vec3 g;
            double r = surface_radius(s, 0, sine(a), cosine(a), &g.x, &g.y, &g.z);
            k[j] = 1 / sqrt(r * r + v3_dot(g, g));
        }
        at += step * (k[0] + 2 * k[1] + 2 * k[2] + k[3]) / 6;
    }
    return surface_point(s, v3(0, sine(at), cosine(at)), NULL);
}

lw_vec3 landmark_beside(const surface *s, double y, double z) {
    double x = s->axes.x;
    lw_vec3 p;
    for (int i = 0; i < 60; i++) { /* the side is nearly upright, so this closes in fast */
        p = surface_point(s, v3_sub(v3(x, y, z), s->centre), NULL);
        if (fabs(p.x - x) < 1e-12) break;
        x = p.x;
    }
    return p;
}

lw_vec3 landmark_below(const surface *s, lw_vec3 toward, double y) {
    double low = -1.45, high = -.1;
    lw_vec3 p;
    do {
        double mid = .5 * (low + high);
        p = surface_point(s, v3_along(v3(0, sine(mid), 0), toward, cosine(mid)), NULL);
        if (p.y > y)
            high = mid;
        else
            low = mid;
    } while (high - low > 1e-12);
    return p;
}
