/* Where ends lie round the head: the perimeter and the weight line.
 *
 * A hair whose end lies at the height y and which is l long would have its root at S = y + l if it hung
 * straight. Hairs of one length lie just as close together with their ends as with their S, whatever the
 * head and however they fall: they build no weight. Where lengths grow upward, ends lie closer than roots do,
 * up to one length, where all end at one height. So weight is the stretch of heights in which ends lie more
 * than CLOSER times as close together as the S of the same hairs; it is found as the stretch that holds most
 * ends beyond what that would put there (the largest sum of a run: Bentley, Communications of the ACM 27:865,
 * 1984, cited from memory). The weight line is its upper edge: above it hair lies in layers or has not ended
 * at all.
 *
 * Few strands bunch by chance. Of n whose ends lay just as close as their S, the most that such a stretch
 * would hold is that of a walk with steps of 1 - CLOSER E, E exponential with mean 1: above x with a chance
 * of less than n exp(-r x), r the root above 0 of exp(r) = 1 + CLOSER r (Iglehart, Annals of Mathematical
 * Statistics 43:627, 1972; Karlin and Altschul, PNAS 87:2264, 1990; cited from memory). So a weight line
 * holds more than what has a chance of CHANCE. */
#include <math.h>
#include <stdlib.h>

#include "fail.h"
#include "fallen.h"
#include "vec.h"

#define LOWEST .02  /* the percentile of the perimeter */
#define CLOSER 1.5  /* times as close as roots: where ends lie so there is weight */
#define PILED .1    /* the least share of hairs beyond that for a weight line */
#define HALVES .909 /* strands more by which half the chance is left: log(2) / r */
#define CHANCE .01  /* that strands which build no weight are told to build some, at a bearing */
#define NEAR .01    /* metres: what lies at a line */
#define ROUND .02   /* metres of S to both sides over which its density is taken */
#define REACH .5    /* metres from the axis, beyond all busts */
#define FEWEST 20   /* strands that can be read */
#define AROUND LW_BEARINGS

typedef struct hair_end {
    double y, far, root; /* height; distance from the axis; S */
    int64_t weight;
    int64_t crowd; /* hairs within ROUND of this one's S */
    int order;     /* from the lowest */
} hair_end;

typedef struct bearings {
    int first[AROUND + 1];
    hair_end *ends; /* by bearing: first[k] to first[k + 1] */
    hair_end *near; /* those round one bearing, and room to sort as many otherwise */
} bearings;

static int by(double a, double b) { return (a > b) - (a < b); }

static int by_height(const void *a, const void *b) {
    const hair_end *p = a, *q = b;
    int order = by(p->y, q->y);
    if (!order) order = by(p->far, q->far);
    if (!order) order = by(p->root, q->root);
    return order ? order : (p->weight > q->weight) - (p->weight < q->weight);
}

static int by_root(const void *a, const void *b) {
    const hair_end *p = a, *q = b;
    return by(p->root, q->root);
}

static void sort_by_bearing(bearings *b, const fallen_hairs *h) {
    lw_vec3 centre = lw_head_centre(h->head);
    int next[AROUND];
    for (int i = 0; i < h->strands->count; i++)
        b->first[fallen_bearing(h->head, fallen_end(h, i), AROUND) + 1]++;
    for (int k = 0; k < AROUND; k++) b->first[k + 1] += b->first[k], next[k] = b->first[k];
    for (int i = 0; i < h->strands->count; i++) {
        lw_vec3 p = fallen_end(h, i);
        hair_end *end = &b->ends[next[fallen_bearing(h->head, p, AROUND)]++];
        *end = (hair_end){p.y, hypotenuse(p.x, p.z - centre.z), p.y + h->length[i], h->weight[i], 0, 0};
    }
}

/* The ends at a bearing and on both sides of it, from the lowest. */
static int gather(bearings *b, int k) {
    int n = 0;
    for (int side = -1; side <= 1; side++) {
        int j = (k + side + AROUND) % AROUND;
        for (int i = b->first[j]; i < b->first[j + 1]; i++)
            if (b->ends[i].weight > 0) b->near[n++] = b->ends[i];
    }
    qsort(b->near, (size_t)n, sizeof *b->near, by_height);
    return n;
}

static int64_t weight_of(const hair_end *ends, int n) {
    int64_t sum = 0;
    for (int i = 0; i < n; i++) sum += ends[i].weight;
    return sum;
}

/* The first at which `share` of the hairs is reached. */
static const hair_end *at_share(const hair_end *ends, int n, double share) {
    double wanted = share * (double)weight_of(ends, n);
    int64_t sum = 0;
    for (int i = 0; i < n; i++) {
        sum += ends[i].weight;
        if ((double)sum >= wanted) return &ends[i];
    }
    return &ends[n - 1];
}

/* Their weight, and their mean distance from the axis. */
static int64_t at_line(double *far, const hair_end *ends, int n, double y) {
    int64_t weight = 0, metres = 0;
    for (int i = 0; i < n; i++) {
        if (fabs(ends[i].y - y) > NEAR) continue;
        weight += ends[i].weight;
        metres += ends[i].weight * llround(ends[i].far * FALLEN_METRE);
    }
    *far = (double)metres / (double)weight / FALLEN_METRE;
    return weight;
}

/* Where n hairs would be rooted: fills in their crowds, and returns what a crowd is on the whole, between the
 * quartiles. */
static double crowd(hair_end *room, hair_end *ends, int n) {
    for (int i = 0; i < n; i++) ends[i].order = i, room[i] = ends[i];
    qsort(room, (size_t)n, sizeof *room, by_root);
    int64_t sum = 0;
    for (int i = 0, from = 0, to = 0; i < n; i++) {
        while (to < n && room[to].root <= room[i].root + ROUND) sum += room[to++].weight;
        while (room[from].root < room[i].root - ROUND) sum -= room[from++].weight;
        ends[room[i].order].crowd = sum;
    }
    double middle = at_share(room, n, .75)->root - at_share(room, n, .25)->root;
    return middle > 0 ? .5 * (double)weight_of(room, n) / middle * 2 * ROUND : 0;
}

/* The height of the weight line, and how many hairs pile up below it. */
static double heaviest(double *height, const hair_end *ends, int n, double usual) {
    double most = 0, run = 0;
    for (int i = 0; i < n; i++) {
        double layers = 0;
        if (i) {
            double crowds = fmax(usual, .5 * (double)(ends[i].crowd + ends[i - 1].crowd));
            layers = CLOSER * crowds / (2 * ROUND) * (ends[i].y - ends[i - 1].y);
        }
        run = fmax(run - layers, 0) + (double)ends[i].weight;
        if (run > most) most = run, *height = ends[i].y;
    }
    return most;
}

/* As many strands of one weight would bunch as much by chance (Kish's effective sample size, Survey Sampling,
 * 1965, cited from memory). */
static double strands_in(const hair_end *ends, int n) {
    double sum = 0, squares = 0;
    for (int i = 0; i < n; i++) {
        double w = (double)ends[i].weight;
        sum += w, squares += w * w;
    }
    return sum * sum / squares;
}

/* The share of so many strands that bunches by chance. */
static double by_chance(double strands) {
    double most = 0;
    for (double chance = strands; chance > CHANCE; chance *= .5) most += HALVES;
    return most / strands;
}

static void read_weight(lw_around *out, bearings *b, int n) {
    double height = 0, all = (double)weight_of(b->near, n);
    double usual = crowd(b->near + n, b->near, n);
    double piled = heaviest(&height, b->near, n, usual) / all;
    if (piled < fmax(PILED, by_chance(strands_in(b->near, n)))) return;
    out->weight = height;
    out->piled = piled;
    out->sharpness = (double)at_line(&out->weight_far, b->near, n, height) / all;
}

/* Where the bust is met on the way from the axis toward p, at p's height. False where the axis is not in it.
 */
static bool below_hair(lw_vec3 *on, const lw_head *head, lw_vec3 p) {
    lw_vec3 in = v3(0, p.y, lw_head_centre(head).z), out = v3_along(in, v3_unit(v3_sub(p, in)), REACH);
    if (!(lw_head_bust(head, in, NULL) < 0)) return false;
    for (int i = 0; i < 30; i++) {
        lw_vec3 middle = v3_scale(v3_add(in, out), .5);
        if (lw_head_bust(head, middle, NULL) < 0)
            in = middle;
        else
            out = middle;
    }
    *on = in;
    return true;
}

/* The ear reaches about as far below the tragion as above it. */
static lw_over lies_over(const lw_head *head, lw_vec3 p) {
    lw_vec3 on;
    if (!below_hair(&on, head, p)) return LW_OVER_NOTHING;
    if (lw_head_hairline(head, on) > 0) return LW_OVER_SCALP;
    if (on.y < lw_head_level(head, LW_COLLAR)) return LW_OVER_SHOULDER;
    if (on.y >= lw_head_level(head, LW_CHIN) && on.z > 0) return LW_OVER_FACE;
    bool beside = on.z > lw_head_landmark(head, LW_BEHIND_EAR_LEFT).z;
    return beside && on.y > -lw_head_landmark(head, LW_EAR_TOP_LEFT).y ? LW_OVER_EAR : LW_OVER_NECK;
}

static lw_around read_bearing(bearings *b, const fallen_hairs *h, int k) {
    int turn = 2 * k > AROUND ? k - AROUND : k, n = gather(b, k);
    double none = (double)NAN;
    lw_around out = {.bearing = 2 * LW_PI * turn / AROUND, .weight = none, .weight_far = none};
    out.perimeter = out.perimeter_far = none;
    out.hairs = (double)weight_of(b->near, n) * h->step;
    if (n < FEWEST) return out;
    out.perimeter = at_share(b->near, n, LOWEST)->y;
    at_line(&out.perimeter_far, b->near, n, out.perimeter);
    lw_vec3 p = v3(out.perimeter_far * sine(out.bearing), out.perimeter,
                   lw_head_centre(h->head).z + out.perimeter_far * cosine(out.bearing));
    out.over = lies_over(h->head, p);
    read_weight(&out, b, n);
    return out;
}

static int by_value(const void *a, const void *b) { return by(*(const double *)a, *(const double *)b); }

/* The lower of two in the middle; NAN of none. */
static double median(double *values, int n) {
    qsort(values, (size_t)n, sizeof *values, by_value);
    return n ? values[(n - 1) / 2] : (double)NAN;
}

static lw_side side_of(const lw_around *a) {
    double turn = fabs(a->bearing) * 4 / LW_PI; /* 1 and 3 at the edges between the sides */
    if (turn < 1 - 1e-9) return LW_SIDE_FRONT;
    if (turn > 3 + 1e-9) return LW_SIDE_BACK;
    return a->bearing > 0 ? LW_SIDE_LEFT : LW_SIDE_RIGHT;
}

static lw_side_reading read_side(const lw_around *around, lw_side side) {
    double perimeter[AROUND], weight[AROUND], piled[AROUND], sharpness[AROUND], none = (double)NAN;
    int n = 0, heavy = 0;
    lw_side_reading out = {.weight = none};
    for (int k = 0; k < AROUND; k++) {
        const lw_around *a = &around[k];
        if (side_of(a) != side || isnan(a->perimeter)) continue;
        perimeter[n++] = a->perimeter;
        if (isnan(a->weight)) continue;
        piled[heavy] = a->piled, sharpness[heavy] = a->sharpness;
        weight[heavy++] = a->weight;
    }
    out.perimeter = median(perimeter, n);
    if (!heavy || 2 * heavy < n) return out;
    out.weight = median(weight, heavy);
    out.piled = median(piled, heavy);
    out.sharpness = median(sharpness, heavy);
    return out;
}

static void read_all(lw_fallen *out, bearings *b, const fallen_hairs *h) {
    int64_t hairs[LW_SIDE_COUNT] = {0};
    sort_by_bearing(b, h);
    for (int k = 0; k < AROUND; k++) {
        out->around[k] = read_bearing(b, h, k);
        hairs[side_of(&out->around[k])] += weight_of(b->ends + b->first[k], b->first[k + 1] - b->first[k]);
    }
    for (int i = 0; i < LW_SIDE_COUNT; i++) {
        out->side[i] = read_side(out->around, (lw_side)i);
        out->side[i].hairs = (double)hairs[i] * h->step;
    }
}

lw_status fallen_read_ends(lw_fallen *out, const fallen_hairs *hairs, lw_error *error) {
    size_t room = (size_t)hairs->strands->count + 1;
    bearings b = {.first = {0}};
    b.ends = malloc(sizeof *b.ends * room);
    b.near = malloc(sizeof *b.near * room * 2);
    bool fine = b.ends && b.near;
    if (fine) read_all(out, &b, hairs);
    free(b.ends);
    free(b.near);
    return fine ? LW_OK : fail_memory(error, "fallen cut");
}
