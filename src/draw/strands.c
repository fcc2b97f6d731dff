/* Traces every hair finely and keeps only the points that it bends at. A hair at rest runs between its nodes
 * as a Catmull-Rom spline (1974), so that it goes round the head as the head does.
 *
 * A point is dropped where the chord that spans it passes within FLAT of it (Douglas and Peucker 1973,
 * Cartographica 10:112, cited from memory), so a hair costs what it bends. Hairs are traced in batches on all
 * threads and added in order: the same bits for any number of threads. */
#include "strands.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "vec.h"

#define SPACING 4e-3 /* metres between the points of a trace: a chord on a head lies 2e-5 m under its arc */
#define FLAT 2e-5    /* metres */
#define LIFT                                                                                                 \
    2.5e-4 /* metres that held hair, whose taut path touches the scalp, keeps off it, so that no triangle of \
              the bust's mesh shows through */

enum { TRACE_MAX = 768, EACH = 8 /* points from node to node */, BATCH = 256 };
_Static_assert((STRANDS_NODES_MAX - 1) * EACH < TRACE_MAX, "room for a hair at rest");

typedef struct trace {
    int n;
    lw_vec3 p[TRACE_MAX];
} trace;

static int points_for(double length) { return (int)fmin(fmax(ceil(length / SPACING), 1) + 1, TRACE_MAX); }

static double off_chord(lw_vec3 p, lw_vec3 a, lw_vec3 b) {
    lw_vec3 way = v3_sub(b, a), from = v3_sub(p, a);
    double square = v3_dot(way, way), along = square > 0 ? v3_dot(from, way) / square : 0;
    return v3_norm(v3_along(from, way, -fmin(fmax(along, 0), 1)));
}

/* Marks which of the points between a and b are kept. */
static void keep_bends(const lw_vec3 *p, int a, int b, bool *kept) {
    int far = 0;
    double most = FLAT;
    for (int i = a + 1; i < b; i++) {
        double off = off_chord(p[i], p[a], p[b]);
        if (off > most) most = off, far = i;
    }
    if (!far) return;
    kept[far] = true;
    keep_bends(p, a, far, kept);
    keep_bends(p, far, b, kept);
}

static void straighten(trace *t) {
    bool kept[TRACE_MAX] = {0};
    int n = 0;
    kept[0] = kept[t->n - 1] = true;
    keep_bends(t->p, 0, t->n - 1, kept);
    for (int i = 0; i < t->n; i++)
        if (kept[i]) t->p[n++] = t->p[i];
    t->n = n;
}

/* Lifts what lies on the scalp a little off it; the end moves along with the rest. */
static void lift(trace *t, const lw_head *head) {
    for (int i = 1; i < t->n; i++) {
        lw_vec3 normal, on = lw_head_project(head, t->p[i], &normal);
        double short_of = LIFT - v3_dot(v3_sub(t->p[i], on), normal);
        if (short_of > 0) t->p[i] = v3_along(t->p[i], normal, short_of);
    }
}

/* Between b and c, of four nodes in a row. */
static lw_vec3 between(lw_vec3 a, lw_vec3 b, lw_vec3 c, lw_vec3 d, double t) {
    lw_vec3 p = v3_scale(a, -.5 * t * (1 - t) * (1 - t));
    p = v3_along(p, b, 1 - t * t * (2.5 - 1.5 * t));
    p = v3_along(p, c, .5 * t * (1 + t * (4 - 3 * t)));
    return v3_along(p, d, -.5 * t * t * (1 - t));
}

/* The node past an end lies as far on as the last one was. */
static void round_nodes(trace *t, const lw_vec3 *node, int n) {
    t->n = 0;
    t->p[t->n++] = node[0];
    for (int i = 0; i + 1 < n; i++) {
        lw_vec3 b = node[i], c = node[i + 1];
        lw_vec3 a = i > 0 ? node[i - 1] : v3_along(v3_scale(b, 2), c, -1);
        lw_vec3 d = i + 2 < n ? node[i + 2] : v3_along(v3_scale(c, 2), b, -1);
        for (int k = 1; k < EACH; k++) t->p[t->n++] = between(a, b, c, d, (double)k / EACH);
        t->p[t->n++] = c;
    }
}

static void follow(trace *t, const draw_subject *s, const lw_strands *fallen, draw_hair hair, int i) {
    int panel = lw_cut_set_by(s->cut)[i];
    if (hair == DRAW_HAIR_HELD && panel >= 0) {
        t->n = points_for(lw_cut_lengths(s->cut)[i] / lw_cut_panel(s->cut, panel)->factor);
        lw_cut_held_points(t->p, t->n, s->cut, i);
        lift(t, s->head);
    } else {
        round_nodes(t, fallen->at + (size_t)i * (size_t)fallen->nodes, fallen->nodes);
    }
    straighten(t);
}

/* Adds the traces' points after the `used` ones that are there. */
static bool add(strands *s, size_t *used, size_t *room, const trace *traces, int from, int n) {
    size_t more = 0;
    for (int i = 0; i < n; i++) more += (size_t)traces[i].n;
    if (*used + more > INT32_MAX) return false;
    if (*used + more > *room) {
        *room = 2 * (*used + more);
        lw_vec3 *point = realloc(s->point, sizeof *point * *room);
        if (!point) return false;
        s->point = point;
    }
    for (int i = 0; i < n; i++) {
        memcpy(s->point + *used, traces[i].p, sizeof *traces[i].p * (size_t)traces[i].n);
        *used += (size_t)traces[i].n;
        s->first[from + i + 1] = (int)*used;
    }
    return true;
}

lw_status strands_new(strands *out, const draw_subject *subject, const lw_strands *fallen, draw_hair hair,
                      lw_error *error) {
    int count = hair == DRAW_HAIR_NONE ? 0 : lw_scalp_count(subject->scalp);
    *out = (strands){.count = count};
    out->first = calloc((size_t)count + 1, sizeof *out->first);
    trace *traces = malloc(sizeof *traces * BATCH);
    bool fine = out->first && traces;
    size_t used = 0, room = 0;
    for (int from = 0; from < count && fine; from += BATCH) {
        int n = count - from < BATCH ? count - from : BATCH;
#pragma omp parallel for schedule(dynamic, 8)
        for (int i = 0; i < n; i++) follow(&traces[i], subject, fallen, hair, from + i);
        fine = add(out, &used, &room, traces, from, n);
    }
    free(traces);
    if (fine) return LW_OK;
    strands_clear(out);
    return fail_memory(error, "hairs");
}

void strands_clear(strands *s) {
    free(s->first);
    free(s->point);
    *s = (strands){0};
}
