/* A curve in space as it is seen from a side.
 *
 * The curve is gone along in steps of STEP, and every point asked how it is seen; where two neighbours differ
 * the place between them is found by halving. So the curve falls into runs of one kind each. Runs are then
 * tidied as one would with an eraser: a gap too short to mean anything is closed, a stroke too short to be
 * read is taken out. */
#include "trace.h"

#include <stdlib.h>

#include "grow.h"
#include "vec.h"

#define STEP .001

typedef struct run {
    sight seen;
    int first, count; /* points; neighbouring runs share one */
    double length;
} run;

typedef struct trace {
    int point_count, point_room;
    lw_vec3 *points;
    int run_count, run_room;
    run *runs;
    bool failed;
} trace;

/* ---- an even, smooth line ---- */

static void add_point(trace *t, lw_vec3 p) {
    lw_vec3 *points = grow(t->points, &t->point_room, t->point_count + 1, sizeof *points);
    t->failed |= !points;
    if (!points) return;
    t->points = points;
    points[t->point_count++] = p;
}

/* Steps no longer than STEP; a closed line comes back to its first point. */
static void lay_points(trace *t, const lw_vec3 *p, int count, bool closed) {
    add_point(t, p[0]);
    for (int i = 1; i < count + closed; i++) {
        lw_vec3 a = p[i - 1], way = v3_sub(p[i % count], a);
        int steps = 1 + (int)(v3_norm(way) / STEP);
        for (int k = 1; k <= steps; k++) add_point(t, v3_along(a, way, (double)k / steps));
    }
}

static void smooth_points(lw_vec3 *p, int count, bool closed) {
    lw_vec3 before = closed ? p[count - 2] : p[0];
    for (int i = closed ? 0 : 1; i < count - 1; i++) {
        lw_vec3 after = p[i + 1], now = p[i];
        p[i] = v3_along(v3_scale(now, .5), v3_add(before, after), .25);
        before = now;
    }
    p[count - 1] = closed ? p[0] : p[count - 1];
}

/* ---- runs ---- */

static void open_run(trace *t, sight seen, int first) {
    run *runs = grow(t->runs, &t->run_room, t->run_count + 1, sizeof *runs);
    t->failed |= !runs;
    if (!runs) return;
    t->runs = runs;
    runs[t->run_count++] = (run){seen, first, 0, 0};
}

static lw_vec3 change_between(const trace_how *how, lw_vec3 a, lw_vec3 b, sight seen) {
    lw_vec3 tangent = v3_sub(b, a);
    for (int i = 0; i < 7; i++) {
        lw_vec3 middle = v3_scale(v3_add(a, b), .5);
        if (how->sight(how->context, middle, tangent) == seen)
            a = middle;
        else
            b = middle;
    }
    return v3_scale(v3_add(a, b), .5);
}

/* Goes along the laid points `p` and fills t with runs. */
static void make_runs(trace *t, const lw_vec3 *p, int count, const trace_how *how) {
    sight before = how->sight(how->context, p[0], v3_sub(p[1], p[0]));
    open_run(t, before, 0);
    add_point(t, p[0]);
    for (int i = 1; i < count && !t->failed; i++) {
        lw_vec3 tangent = v3_sub(p[i + 1 < count ? i + 1 : i], p[i - 1]);
        sight now = how->sight(how->context, p[i], tangent);
        if (now != before) {
            add_point(t, change_between(how, p[i - 1], p[i], before));
            open_run(t, now, t->point_count - 1);
        }
        add_point(t, p[i]);
        before = now;
    }
    for (int i = 0; i < t->run_count && !t->failed; i++) {
        run *r = &t->runs[i];
        r->count = (i + 1 < t->run_count ? t->runs[i + 1].first + 1 : t->point_count) - r->first;
        for (int k = 1; k < r->count; k++)
            r->length += v3_norm(v3_sub(t->points[r->first + k], t->points[r->first + k - 1]));
    }
}

static bool drawn(sight s) { return s == SIGHT_SHOWN || s == SIGHT_EDGE; }

static void join_runs(trace *t) {
    int kept = 0;
    for (int i = 1; i < t->run_count; i++) {
        run *last = &t->runs[kept], *r = &t->runs[i];
        if (r->seen == last->seen) {
            last->count += r->count - 1;
            last->length += r->length;
        } else {
            t->runs[++kept] = *r;
        }
    }
    if (t->run_count) t->run_count = kept + 1;
}

static void bridge_gaps(trace *t, double bridge) {
    for (int i = 1; i + 1 < t->run_count; i++) {
        run *r = &t->runs[i];
        sight a = t->runs[i - 1].seen, b = t->runs[i + 1].seen;
        if (r->length <= bridge && drawn(a) && drawn(b)) r->seen = a;
    }
    join_runs(t);
}

static void drop_specks(trace *t, double speck, bool closed) {
    for (int i = 0; i < t->run_count; i++) {
        if (!drawn(t->runs[i].seen)) continue;
        int last = i;
        double length = 0;
        for (; last < t->run_count && drawn(t->runs[last].seen); last++) length += t->runs[last].length;
        bool seam = closed && (i == 0 || last == t->run_count); /* goes on at the other end */
        for (int k = i; k < last && length <= speck && !seam; k++) t->runs[k].seen = SIGHT_HIDDEN;
        i = last;
    }
    join_runs(t);
}

static void draw_run(drawing *d, const stage *on, const trace *t, const run *r, bool closed,
                     const trace_how *how) {
    if (how->role[r->seen] >= LINE_ROLES || r->count < 2) return;
    point *flat = malloc((size_t)r->count * sizeof *flat);
    if (!flat) {
        d->failed = true;
        return;
    }
    int kept = 0;
    for (int i = 0; i < r->count; i++) {
        point p = stage_point(on, t->points[r->first + i]);
        double x = kept ? p.x - flat[kept - 1].x : 1, y = kept ? p.y - flat[kept - 1].y : 1;
        if (i + 1 < r->count && x * x + y * y < .09) continue; /* finer than a third of a point */
        flat[kept++] = p;
    }
    draw_line(d, (line_role)how->role[r->seen], how->about, flat, closed ? kept - 1 : kept, closed);
    free(flat);
}

void trace_draw(drawing *d, const stage *on, const lw_vec3 *points, int count, bool closed,
                const trace_how *how) {
    if (count < 2) return;
    trace laid = {0}, t = {0};
    lay_points(&laid, points, count, closed);
    for (int i = 0; i < how->smooth && !laid.failed; i++)
        smooth_points(laid.points, laid.point_count, closed);
    if (!laid.failed) make_runs(&t, laid.points, laid.point_count, how);
    if (!laid.failed && !t.failed) {
        bridge_gaps(&t, how->bridge);
        drop_specks(&t, how->speck, closed);
        for (int i = 0; i < t.run_count; i++)
            draw_run(d, on, &t, &t.runs[i], closed && t.run_count == 1, how);
    }
    d->failed |= laid.failed || t.failed;
    free(laid.points);
    free(t.points);
    free(t.runs);
}
