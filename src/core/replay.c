/* The length of a hair is a function of its root: every panel whose hair it is may shorten it, in order.
 *
 * That function is all there is. Hairs, landmarks and the points that stand in for a guide go through
 * the same code, so they agree, and no hair's length depends on another's: any number of threads gives the
 * same bits. A batch goes through the passes together, since the taut paths of many hairs are found
 * faster at once (path_fast.c). A path is at least as long as the straight way, so a hair that is
 * shorter than that already needs no path.
 */
#include "cut.h"
#include "hash.h"
#include "path.h"

static double length_before(const lw_cut *cut, lw_vec3 p) {
    const lw_hair *h = &cut->hair;
    if (h->length_at_count == 0) return h->length;
    static const double far =
        1 / (0.06 * 0.06 * 0.06); /* where the head's own length weighs as much, 1 / m^3 */
    double sum = far * h->length, weight = far;
    for (int i = 0; i < h->length_at_count; i++) {
        double d = fmax(1e-4, v3_norm(v3_sub(p, lw_head_place(cut->head, h->length_at[i].at))));
        double w = 1 / (d * d * d);
        sum += w * h->length_at[i].length;
        weight += w;
    }
    return sum / weight;
}

double cut_line_at(const lw_cut *cut, const cutting *c, double s) {
    const lw_line_point *p = cut->lines + c->line_first;
    int n = c->line_count;
    if (n == 1) return p[0].t;
    if (c->follows && s <= p[0].s) return p[0].t;
    if (c->follows && s >= p[n - 1].s) return p[n - 1].t;
    int low = 0, high = n - 1;
    while (high - low > 1) {
        int mid = (low + high) / 2;
        if (p[mid].s <= s)
            low = mid;
        else
            high = mid;
    }
    double step = p[high].s - p[low].s;
    return step > 0 ? p[low].t + (s - p[low].s) / step * (p[high].t - p[low].t) : p[low].t;
}

static void find_paths(const lw_cut *cut, asked *of) {
    const surface *s = &cut->head->surface;
    if (!cut->reference) {
        path_lengths(s, cut->threads, of->n, of->x, of->y, of->z, of->nx, of->ny, of->nz, of->tx, of->ty,
                     of->tz, of->path);
        return;
    }
    for (int i = 0; i < of->n; i++)
        of->path[i] =
            path_length(s, v3(of->x[i], of->y[i], of->z[i]), v3(of->tx[i], of->ty[i], of->tz[i]), NULL);
}

static void ask(asked *of, lw_vec3 root, lw_vec3 normal, lw_vec3 end, int hair) {
    int at = of->n++;
    of->x[at] = root.x, of->y[at] = root.y, of->z[at] = root.z;
    of->nx[at] = normal.x, of->ny[at] = normal.y, of->nz[at] = normal.z;
    of->tx[at] = end.x, of->ty[at] = end.y, of->tz[at] = end.z;
    of->hair[at] = hair;
}

void cut_paths(const lw_cut *cut, const memo *known, asked *of) {
    asked new;
    new.n = 0;
    memo own = {.slots = MEMO_OWN};
    for (int i = 0; i < of->n; i++) {
        double ends[6] = {of->x[i], of->y[i], of->z[i], of->tx[i], of->ty[i], of->tz[i]};
        own.slot = of->own ? of->own + (size_t)of->hair[i] * MEMO_OWN : NULL;
        if (memo_find(known, ends, &of->path[i])) {
            if (of->own) memo_keep(&own, ends, of->path[i]);
        } else if (!of->own || !memo_find(&own, ends, &of->path[i])) {
            ask(&new, v3(ends[0], ends[1], ends[2]), v3(of->nx[i], of->ny[i], of->nz[i]),
                v3(ends[3], ends[4], ends[5]), i);
        }
    }
    find_paths(cut, &new);
    for (int k = 0; k < new.n; k++) {
        double ends[6] = {new.x[k], new.y[k], new.z[k], new.tx[k], new.ty[k], new.tz[k]};
        int i = new.hair[k];
        of->path[i] = new.path[k];
        memo_keep(known, ends, new.path[k]);
        own.slot = of->own ? of->own + (size_t)of->hair[i] * MEMO_OWN : NULL;
        if (of->own) memo_keep(&own, ends, new.path[k]);
    }
}

/* What the technique takes off this hair beyond the line, metres. */
static double taken_off(const lw_technique *t, uint64_t seed, int panel, int hair) {
    if (hair < 0 || t->kind == LW_BLUNT || t->kind == LW_OVER_COMB || t->kind == LW_CLIPPER) return 0;
    uint64_t a = (uint64_t)panel, b = (uint64_t)hair;
    double depth = hash_uniform(seed, a, 2 * b), chosen = hash_uniform(seed, a, 2 * b + 1);
    if (t->kind == LW_SLIDE) return t->depth * depth;
    if (chosen >= t->share) return 0;
    return t->kind == LW_POINT ? t->depth * depth : t->depth;
}

/* Hairs of the batch that wait for their path, with what the panel's rule says up to it. */
typedef struct waiting {
    asked of;
    int panel[BATCH];
    double slack[BATCH];
} waiting;

static void shorten(const lw_cut *cut, batch *b, int i, int panel, double path, tally *tallies) {
    const lw_step *step = &cut->steps[cut->panels[panel].step - 1];
    double length = cut->cuttings[panel].factor * path;
    if (tallies && length > b->before[i] + 1e-3) tallies[panel].too_short++;
    length -= taken_off(&step->technique, cut->hands.seed, panel, b->number[i]);
    if (length < 0) length = 0;
    if (!(length < b->length[i])) return;
    b->length[i] = length;
    b->set_by[i] = panel;
    if (tallies) tallies[panel].cut++;
}

static double slack_at(const lw_hands *hands, const cutting *c, double s) {
    if (!(hands->knuckle > 0) || !(hands->slack > 0)) return 0;
    return hands->slack * fmax(0, fabs(s - c->s_middle) - hands->knuckle);
}

static void one_hair(const lw_cut *cut, const pass *p, batch *b, int i, int limit, waiting *w,
                     tally *tallies) {
    double flip = p->mirrored ? -1 : 1;
    lw_vec3 root = v3(flip * b->x[i], b->y[i], b->z[i]);
    int k = panel_of(&p->set, root), panel = p->first + k;
    if (k < 0 || panel >= limit) return;
    const cutting *c = &cut->cuttings[panel];
    if (tallies) tallies[panel].hairs++;
    if (c->blocked) return;
    double s = v3_dot(v3_sub(root, c->anchor), c->parting), t = cut_line_at(cut, c, s);
    if (c->follows) {
        shorten(cut, b, i, panel, t, tallies);
        return;
    }
    lw_vec3 end = v3_along(v3_along(c->place, c->direction, t), c->finger, s);
    double slack = slack_at(&cut->hands, c, s), least = c->factor * (v3_norm(v3_sub(end, root)) + slack);
    const lw_technique *technique = &cut->steps[p->step].technique;
    if (least - technique->depth >= b->length[i]) {
        if (tallies && least > b->before[i] + 1e-3) tallies[panel].too_short++;
        return;
    }
    w->panel[w->of.n] = panel;
    w->slack[w->of.n] = slack;
    ask(&w->of, root, v3(flip * b->nx[i], b->ny[i], b->nz[i]), end, i);
}

void cut_replay(const lw_cut *cut, const memo *known, const kept_hairs *kept, batch *b, int limit,
                tally *tallies) {
    memo_slot few[MEMO_FEW];
    memo here;
    if (!known) {
        here = memo_empty(few, MEMO_FEW);
        known = &here;
    }
    const surface *surf = &cut->head->surface;
    for (int i = 0; i < b->n; i++) {
        lw_vec3 p = v3(b->x[i], b->y[i], b->z[i]);
        b->leaf[i] = kept && kept->parted ? kept->part[i]
                                          : part_leaf(&cut->tree, surf, p, v3(b->nx[i], b->ny[i], b->nz[i]));
        if (kept && !kept->parted) kept->part[i] = (int16_t)b->leaf[i];
        b->before[i] = b->length[i] = length_before(cut, p);
        b->set_by[i] = -1;
    }
    waiting w;
    w.of.own = kept ? kept->paths : NULL;
    for (int k = 0; k < cut->pass_count && cut->passes[k].first < limit; k++) {
        const pass *p = &cut->passes[k];
        w.of.n = 0;
        for (int i = 0; i < b->n; i++)
            if (p->leaf[b->leaf[i]]) one_hair(cut, p, b, i, limit, &w, tallies);
        cut_paths(cut, known, &w.of);
        for (int j = 0; j < w.of.n; j++) {
            if (isnan(w.of.path[j])) {
                if (tallies) tallies[w.panel[j]].inside++;
            } else {
                shorten(cut, b, w.of.hair[j], w.panel[j], w.of.path[j] + w.slack[j], tallies);
            }
        }
    }
}
