/* What a page reads off a cut: core's readings, and lengths along a line that was drawn on the head. */
#include <math.h>
#include <stdlib.h>

#include "state.h"
#include "tell_json.h"
#include "vec.h"

static const char *keep(page *p, json *j) {
    if (j->text.failed) {
        free(j->text.at);
        j->text.at = NULL;
    }
    free(p->words);
    return p->words = j->text.at;
}

static tell_subject subject(const page *p) {
    return (tell_subject){.plan = &p->plan, .head = p->head, .scalp = p->scalp, .cut = p->cut};
}

const char *page_reading(page *p) {
    lw_reading reading;
    json j = {0};
    if (page_warning_count(p) < 0 || !p->cut || lw_reading_new(&reading, p->cut, &p->error) != LW_OK)
        return NULL;
    tell_subject of = subject(p);
    of.reading = &reading;
    put_reading(&j, &of);
    lw_reading_clear(&reading);
    return keep(p, &j);
}

const char *page_fallen(page *p) {
    lw_fallen fallen;
    json j = {0};
    if (!p->fall ||
        (!p->bust.vertex_count && lw_mesh_new(&p->bust, p->head, LW_FALLEN_EDGE, &p->error) != LW_OK))
        return NULL;
    lw_fallen_options options = {.bust = &p->bust, .progress = page_progress};
    if (lw_fallen_new(&fallen, p->head, lw_fall_strands(p->fall), lw_fall_section(p->fall), &options,
                      &p->error) != LW_OK)
        return NULL;
    tell_subject of = subject(p);
    of.fallen = &fallen;
    put_fallen(&j, &of, p->fall);
    lw_fallen_clear(&fallen);
    return keep(p, &j);
}

/* ---- a line on the head ---- */

enum { BETWEEN, ROUND, UP, POINTS = 181 };

/* Where the ray from a hub inside the head leaves it. */
static lw_vec3 out_from(const lw_head *head, lw_vec3 hub, lw_vec3 direction) {
    double low = 0, high = .4;
    for (int i = 0; i < 40; i++) {
        double mid = .5 * (low + high);
        lw_vec3 w = v3_sub(v3_along(hub, direction, mid), lw_head_centre(head));
        if (v3_norm(w) < lw_head_radius(head, w))
            low = mid;
        else
            high = mid;
    }
    return v3_along(hub, direction, low);
}

static lw_vec3 at_share(const lw_head *head, int kind, lw_vec3 a, lw_vec3 b, double t) {
    lw_vec3 centre = lw_head_centre(head);
    double bearing = arc_tangent(a.x, a.z - centre.z);
    if (kind == BETWEEN) return lw_head_between(head, a, b, t);
    if (kind == ROUND) {
        double angle = bearing + 2 * LW_PI * t;
        return out_from(head, v3(0, a.y, centre.z), v3(sine(angle), 0, cosine(angle)));
    }
    double rise = LW_PI * (t - .5), level = cosine(rise);
    return lw_head_project(
        head, v3_along(centre, v3(level * sine(bearing), sine(rise), level * cosine(bearing)), .1), NULL);
}

/* Places with hair on the line, in its order; returns how many. Round the head they begin after its widest
 * gap, so that a line that a face interrupts is one piece. */
static int places(lw_vec3 *out, const lw_head *head, int kind, lw_vec3 a, lw_vec3 b) {
    lw_vec3 on[POINTS];
    bool hair[POINTS];
    int all = kind == ROUND ? POINTS - 1 : POINTS, first = 0, n = 0;
    for (int i = 0; i < all; i++) {
        on[i] = at_share(head, kind, a, b, (double)i / (POINTS - 1));
        hair[i] = lw_head_hairline(head, on[i]) > 0;
    }
    for (int i = 0, gap = 0, widest = 0; kind == ROUND && i < 2 * all; i++) {
        gap = hair[i % all] ? 0 : gap + 1;
        if (gap > widest && gap < all) widest = gap, first = (i + 1) % all;
    }
    for (int i = 0; i < all; i++)
        if (hair[(first + i) % all]) out[n++] = on[(first + i) % all];
    return n;
}

static double mean(const double *x, int first, int last) {
    double sum = 0;
    for (int i = first; i <= last; i++) sum += x[i];
    return sum / (last - first + 1);
}

static void put_line(json *j, int kind, const lw_vec3 *at, const double *way, const double *length, int n) {
    static const char *const kinds[] = {"between", "level", "upright"};
    double slope = NAN;
    bool enough = n >= 8;
    int few = n / 10 + 1;
    lw_profile profile = enough ? lw_profile_along(&slope, way, length, n) : LW_PROFILE_NONE;
    put_open(j, NULL, '{');
    put_text(j, "kind", kinds[kind]);
    put_number(j, "way", n ? way[n - 1] : 0);
    put_text(j, "shape", enough ? lw_shape_name(lw_shape_along(length, n)) : "");
    put_text(j, "profile", lw_profile_name(profile));
    put_number(j, "slope", slope);
    double from = enough ? mean(length, 0, few - 1) : NAN, to = enough ? mean(length, n - few, n - 1) : NAN;
    double centre = enough ? mean(length, (n - few) / 2, (n - few) / 2 + few - 1) : NAN;
    put_number(j, "from", from);
    put_number(j, "centre", centre);
    put_number(j, "to", to);
    put_number(j, "gain", .5 * (from + to) - centre);
    put_open_inline(j, "points", '[');
    for (int i = 0; i < n; i++) {
        put_open(j, NULL, '[');
        put_number(j, NULL, at[i].x);
        put_number(j, NULL, at[i].y);
        put_number(j, NULL, at[i].z);
        put_number(j, NULL, way[i]);
        put_number(j, NULL, length[i]);
        put_close(j, ']');
    }
    put_close(j, ']');
    put_close(j, '}');
}

const char *page_band(page *p, int kind, double ax, double ay, double az, double bx, double by, double bz) {
    lw_vec3 at[POINTS];
    double way[POINTS] = {0}, length[POINTS];
    json j = {0};
    if (!p->cut || kind < BETWEEN || kind > UP) return NULL;
    lw_vec3 a = lw_head_project(p->head, v3(ax, ay, az), NULL),
            b = lw_head_project(p->head, v3(bx, by, bz), NULL);
    int n = places(at, p->head, kind, a, b);
    lw_cut_at_points(p->cut, n, at, length);
    for (int i = 1; i < n; i++) way[i] = way[i - 1] + v3_norm(v3_sub(at[i], at[i - 1]));
    put_line(&j, kind, at, way, length, n);
    return keep(p, &j);
}
