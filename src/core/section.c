/* Sections: a tree of parts, each inner one divided in two by a parting.
 *
 * A parting is an implicit function of a scalp point, so that a side is a sign: every root ends in
 * exactly one section, and no polygon is ever clipped. Planes serve centre, level, upright and three-point
 * partings; the parietal ridge is where the surface turns over, n_y = sin 45 degrees, which is where a comb
 * held at 45 degrees touches; a chain is a string of great-circle arcs about the star centre, and the side is
 * that of the nearest arc. Its open ends run on to just past the hairline, not round the face to the other
 * side.
 *
 * Landmarks lie on partings that run through them, and there the sign is rounding. So a parting has a
 * breadth, thinner than any hair, and all of it belongs to one side: the same on every machine, and in the
 * mirror.
 */
#include "section.h"

#include "fail.h"

static const double RIDGE_NORMAL_Y = 0.70710678118654752440; /* sin 45 degrees */
static const double ON_IT = 1e-7;       /* metres to either side: a thousandth of a hair's breadth */
static const double RIDGE_RADIUS = 0.1; /* metres of surface over which its normal turns by a radian */

static bool place_valid(lw_place p) {
    return p.from >= 0 && p.from < LW_LANDMARK_COUNT && p.to >= -1 && p.to < LW_LANDMARK_COUNT &&
           isfinite(p.at);
}

/* The angle from a to u, seen along the great circle with pole m; past a the other way than m turns is above
 * 0. */
static double angle_before(lw_vec3 u, lw_vec3 a, lw_vec3 m) {
    return arc_tangent(v3_dot(u, v3_cross(a, m)), v3_dot(u, a));
}

/* How far the great circle from a, away from b, runs on until it has left the scalp. */
static double run_on(const lw_head *head, lw_vec3 a, lw_vec3 b) {
    static const double step = 0.02, past = 0.1; /* radians */
    static const int most = 78;                  /* steps: a quarter turn */
    lw_vec3 m = v3_unit(v3_cross(a, b));
    int steps = 0;
    for (; steps < most; steps++) {
        lw_vec3 p = v3_add(head->surface.centre, v3_turn(a, m, -step * steps));
        if (lw_head_hairline(head, lw_head_project(head, p, NULL)) < 0) break;
    }
    return step * steps + past;
}

/* Signed sine of the angle between u and the nearest arc of the chain, above zero on the first side. */
static double chain_value(const parting *c, lw_vec3 u) {
    int arcs = c->closed ? c->count : c->count - 1;
    double nearest = INFINITY, side = 0;
    for (int k = 0; k < arcs; k++) {
        lw_vec3 a = c->along[k], b = c->along[(k + 1) % c->count];
        lw_vec3 m = v3_unit(v3_cross(a, b));
        double across = v3_dot(u, m);
        bool past_start = v3_dot(u, v3_cross(m, a)) >= 0, before_end = v3_dot(u, v3_cross(b, m)) >= 0;
        bool open_start = !c->closed && k == 0 && angle_before(u, a, m) < c->run_on[0];
        bool open_end = !c->closed && k == arcs - 1 && angle_before(u, b, v3_scale(m, -1)) < c->run_on[1];
        double away;
        if ((past_start || open_start) && (before_end || open_end)) {
            away = fabs(arc_sine(fmax(-1, fmin(1, across))));
        } else {
            double reach = fmax(v3_dot(u, a), v3_dot(u, b));
            away = arc_cosine(fmax(-1, fmin(1, reach)));
        }
        bool closer = away < nearest - 1e-12;
        bool tie = !closer && away < nearest + 1e-12 && fabs(across) > fabs(side);
        if (closer || tie) {
            nearest = fmin(nearest, away);
            side = across;
        }
    }
    return c->sign * side;
}

/* Metres, or nearly: above zero on the first side. */
static double parting_value(const parting *c, const surface *s, lw_vec3 p, lw_vec3 n) {
    if (c->kind == LW_PARTING_RIDGE) return RIDGE_RADIUS * (n.y - RIDGE_NORMAL_Y);
    if (c->kind == LW_PARTING_CHAIN) {
        lw_vec3 d = v3_sub(p, s->centre);
        return v3_norm(d) * chain_value(c, v3_unit(d));
    }
    return v3_dot(c->normal, p) - c->offset;
}

static bool on_first_side(const parting *c, const surface *s, lw_vec3 p, lw_vec3 n) {
    double value = parting_value(c, s, p, n);
    return c->second_has_line ? value > ON_IT : value >= -ON_IT;
}

static lw_status no_side(const lw_split *split, lw_error *error) {
    return fail(error, LW_ERROR_ARGUMENT, split->part, "name a place beside the parting",
                "\"toward\" lies on the parting of \"%s\" and does not say which side is \"%s\"", split->part,
                split->first);
}

static lw_status parting_make(parting *out, const lw_head *head, const lw_split *split, lw_error *error) {
    const lw_parting *in = &split->parting;
    static const int needs[] = {0, 1, 1, 3, 0, 2};
    if (in->kind < LW_PARTING_CENTRE || in->kind > LW_PARTING_CHAIN || in->count < needs[in->kind] ||
        in->count > LW_CHAIN_MAX || !isfinite(in->offset))
        return fail(error, LW_ERROR_ARGUMENT, split->part, "give the parting the places it runs through",
                    "the parting of \"%s\" lacks places", split->part);
    lw_vec3 at[LW_CHAIN_MAX] = {{0}};
    for (int i = 0; i < in->count; i++) {
        if (!place_valid(in->places[i]))
            return fail(error, LW_ERROR_ARGUMENT, split->part, "use a landmark, such as \"occipital bone\"",
                        "place %d of the parting of \"%s\" is not on the head", i + 1, split->part);
        at[i] = lw_head_place(head, in->places[i]);
    }
    *out = (parting){.kind = in->kind, .sign = 1};
    bool sided = in->kind == LW_PARTING_THROUGH || (in->kind == LW_PARTING_CHAIN && !in->closed);
    lw_vec3 toward = {0};
    if (place_valid(in->toward))
        toward = lw_head_place(head, in->toward);
    else if (sided)
        return fail(error, LW_ERROR_ARGUMENT, split->part,
                    "name a place on the side that comes first, such as \"apex\"",
                    "the parting of \"%s\" does not say which side is \"%s\"", split->part, split->first);
    switch (in->kind) {
    case LW_PARTING_CENTRE:
        out->normal = v3(1, 0, 0);
        out->offset = in->offset;
        out->second_has_line = in->offset < 0;
        break;
    case LW_PARTING_LEVEL:
        out->normal = v3(0, 1, 0);
        out->offset = at[0].y + in->offset;
        break;
    case LW_PARTING_UPRIGHT:
        out->normal = v3(0, 0, 1);
        out->offset = at[0].z + in->offset;
        break;
    case LW_PARTING_THROUGH: {
        lw_vec3 m = v3_cross(v3_sub(at[1], at[0]), v3_sub(at[2], at[0]));
        if (v3_norm(m) < 1e-5)
            return fail(error, LW_ERROR_ARGUMENT, split->part,
                        "choose three places that do not lie on one line",
                        "the three places of the parting of \"%s\" lie on one line", split->part);
        out->normal = v3_unit(m);
        out->offset = v3_dot(out->normal, at[0]);
        double side = v3_dot(out->normal, toward) - out->offset;
        if (fabs(side) <= ON_IT) return no_side(split, error);
        if (side < 0) {
            out->normal = v3_scale(out->normal, -1);
            out->offset = -out->offset;
        }
        break;
    }
    case LW_PARTING_RIDGE:
        break;
    case LW_PARTING_CHAIN: {
        out->count = in->count;
        out->closed = in->closed;
        if (in->closed && in->count < 3)
            return fail(error, LW_ERROR_ARGUMENT, split->part, "give a closed chain three places or more",
                        "the closed chain of \"%s\" has only %d places", split->part, in->count);
        lw_vec3 middle = {0};
        for (int i = 0; i < in->count; i++) {
            out->along[i] = v3_unit(v3_sub(at[i], head->surface.centre));
            middle = v3_add(middle, out->along[i]);
            if (i > 0 && v3_norm(v3_sub(out->along[i], out->along[i - 1])) < 1e-6)
                return fail(error, LW_ERROR_ARGUMENT, split->part, "leave out the place that is named twice",
                            "places %d and %d of the chain of \"%s\" are the same", i, i + 1, split->part);
        }
        if (!in->closed) {
            out->run_on[0] = run_on(head, out->along[0], out->along[1]);
            out->run_on[1] = run_on(head, out->along[in->count - 1], out->along[in->count - 2]);
        }
        lw_vec3 inside = place_valid(in->toward) ? v3_sub(toward, head->surface.centre) : middle;
        double side = chain_value(out, v3_unit(inside));
        if (place_valid(in->toward) && fabs(side) * v3_norm(inside) <= ON_IT) return no_side(split, error);
        if (side < 0) out->sign = -1;
        break;
    }
    }
    return LW_OK;
}

int part_find(const part_tree *tree, const char *name) {
    for (int i = 0; i < tree->count; i++)
        if (strcmp(tree->parts[i].name, name) == 0) return i;
    return -1;
}

static lw_status part_add(part_tree *tree, int parent, const char *name, lw_error *error) {
    if (!name[0] || !memchr(name, 0, LW_NAME_MAX) || part_find(tree, name) >= 0)
        return fail(error, LW_ERROR_ARGUMENT, "sections", "give every part a name of its own",
                    "two parts are called \"%.*s\"", LW_NAME_MAX - 1, name);
    part *p = &tree->parts[tree->count++];
    *p = (part){.parent = parent, .first = -1, .second = -1};
    memcpy(p->name, name, strlen(name) + 1);
    return LW_OK;
}

lw_status part_tree_make(part_tree *tree, const lw_head *head, const lw_plan *plan, lw_error *error) {
    if (plan->split_count < 0 || plan->split_count > LW_SPLITS_MAX)
        return fail(error, LW_ERROR_LIMIT, "sections", "use fewer partings", "%d partings; at most %d fit",
                    plan->split_count, LW_SPLITS_MAX);
    tree->count = 0;
    lw_status status = part_add(tree, -1, "all", error);
    for (int i = 0; i < plan->split_count && status == LW_OK; i++) {
        const lw_split *split = &plan->splits[i];
        int p = part_find(tree, split->part);
        if (p < 0)
            return fail(error, LW_ERROR_ARGUMENT, "sections",
                        "divide \"all\" first, or a part made by an earlier parting",
                        "parting %d divides \"%s\", which does not exist", i + 1, split->part);
        if (tree->parts[p].first >= 0)
            return fail(error, LW_ERROR_ARGUMENT, "sections", "divide one of the parts it was divided into",
                        "parting %d divides \"%s\", which is divided already", i + 1, split->part);
        status = parting_make(&tree->parts[p].divide, head, split, error);
        if (status == LW_OK) status = part_add(tree, p, split->first, error);
        if (status == LW_OK) status = part_add(tree, p, split->second, error);
        if (status != LW_OK) break;
        tree->parts[p].first = tree->count - 2;
        tree->parts[p].second = tree->count - 1;
    }
    return status;
}

static bool parting_same(const parting *a, const parting *b) {
    bool same = a->kind == b->kind && v3_same(a->normal, b->normal) && a->offset == b->offset &&
                a->count == b->count && a->closed == b->closed && a->second_has_line == b->second_has_line &&
                a->sign == b->sign && a->run_on[0] == b->run_on[0] && a->run_on[1] == b->run_on[1];
    for (int i = 0; same && i < a->count; i++) same = v3_same(a->along[i], b->along[i]);
    return same;
}

bool part_tree_same(const part_tree *a, const part_tree *b) {
    bool same = a->count == b->count;
    for (int i = 0; same && i < a->count; i++) {
        const part *p = &a->parts[i], *q = &b->parts[i];
        same = p->parent == q->parent && p->first == q->first && p->second == q->second &&
               parting_same(&p->divide, &q->divide);
    }
    return same;
}

int part_leaf(const part_tree *tree, const surface *s, lw_vec3 p, lw_vec3 n) {
    int at = 0;
    while (tree->parts[at].first >= 0) {
        const part *node = &tree->parts[at];
        at = on_first_side(&node->divide, s, p, n) ? node->first : node->second;
    }
    return at;
}

bool part_within(const part_tree *tree, int of, int ancestor) {
    while (of >= 0 && of != ancestor) of = tree->parts[of].parent;
    return of == ancestor;
}
