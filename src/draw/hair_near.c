/* Which strands grow next to a strand: roots are sorted into the cells of a grid, and those of 27 cells
 * looked through. */
#include "hair_near.h"

#include <math.h>
#include <stdlib.h>

#include "hair_chance.h"
#include "vec.h"

#define NEAR_MOST .012 /* metres: strands that grow farther apart are not neighbours */

static lw_vec3 root_of(const lw_strands *s, int i) { return s->at[(size_t)i * (size_t)s->nodes]; }

static int bucket_of(const hair_roots *r, long x, long y, long z) {
    uint64_t key = (uint64_t)x * 73856093u ^ (uint64_t)y * 19349663u ^ (uint64_t)z * 83492791u;
    return (int)(stir(key) % (uint64_t)r->buckets);
}

static long slot(const hair_roots *r, double at) { return (long)floor(at / r->cell); }

static int home(const hair_roots *r, int i) {
    lw_vec3 p = root_of(r->strands, i);
    return bucket_of(r, slot(r, p.x), slot(r, p.y), slot(r, p.z));
}

bool hair_roots_new(hair_roots *r, const lw_strands *s) {
    /* A scalp is some 775 cm^2 (J Soc Cosmet Chem 28:222, 1977): a cell holds a handful. */
    *r = (hair_roots){
        .strands = s, .cell = fmin(NEAR_MOST, 1.6 * sqrt(.0775 / s->count)), .buckets = s->count};
    r->first = calloc((size_t)r->buckets + 2, sizeof *r->first);
    r->member = malloc((size_t)s->count * sizeof *r->member);
    if (!r->first || !r->member) return false;
    for (int i = 0; i < s->count; i++) r->first[home(r, i) + 2]++;
    for (int b = 0; b < r->buckets; b++) r->first[b + 2] += r->first[b + 1];
    for (int i = 0; i < s->count; i++) r->member[r->first[home(r, i) + 1]++] = i;
    return true;
}

void hair_roots_clear(hair_roots *r) {
    free(r->first);
    free(r->member);
}

static void keep(hair_near *n, int32_t strand, double apart) {
    int at = n->count < NEIGHBOURS ? n->count++ : NEIGHBOURS;
    for (; at > 0 && n->apart[at - 1] > apart; at--) {
        if (at == NEIGHBOURS) continue;
        n->strand[at] = n->strand[at - 1], n->apart[at] = n->apart[at - 1];
    }
    if (at < NEIGHBOURS) n->strand[at] = strand, n->apart[at] = apart;
}

/* Neighbouring cells may share a bucket: a strand counts once, in its own cell. */
hair_near hair_near_of(const hair_roots *r, int i) {
    hair_near out = {0};
    lw_vec3 p = root_of(r->strands, i);
    long x = slot(r, p.x), y = slot(r, p.y), z = slot(r, p.z);
    for (int k = 0; k < 27; k++) {
        long cx = x + k % 3 - 1, cy = y + k / 3 % 3 - 1, cz = z + k / 9 - 1;
        int b = bucket_of(r, cx, cy, cz);
        for (int32_t m = r->first[b]; m < r->first[b + 1]; m++) {
            lw_vec3 q = root_of(r->strands, r->member[m]);
            if (r->member[m] == i || slot(r, q.x) != cx || slot(r, q.y) != cy || slot(r, q.z) != cz) continue;
            double apart = v3_norm(v3_sub(p, q));
            if (apart < NEAR_MOST) keep(&out, r->member[m], apart);
        }
    }
    return out;
}
