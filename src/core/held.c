/* Where a hair was held at the moment it was cut: the panel's rule (docs/model.md) up to the end.
 *
 * A line that does not follow the head ends every hair on h + t d + s f'. Under one that does, a hair is held
 * at its own place in its own direction; where that place has slid down natural fall from the root, the hair
 * lies over the head to it, and ends as far out as its taut path is t long. */
#include "cut.h"
#include "path.h"

static const pass *pass_of(const lw_cut *cut, int panel) {
    const pass *p = cut->passes;
    while (panel >= p->first + p->set.count) p++;
    return p;
}

/* The point on from at.place along at.direction to which the taut path from root is `length`: paths grow no
 * faster than the straight part, so each round adds at most what is missing. */
static lw_vec3 reach_from(const lw_head *head, lw_vec3 root, const held *at, double length) {
    double way = v3_norm(v3_sub(at->place, root)), t = length;
    if (way < 1e-9) return v3_along(at->place, at->direction, length);
    way = path_length(&head->surface, root, at->place, NULL);
    if (!(way < length)) return lw_head_between(head, root, at->place, length / way);
    t = length - way;
    for (int i = 0; i < 50; i++) {
        double got = path_length(&head->surface, root, v3_along(at->place, at->direction, t), NULL);
        if (isnan(got) || fabs(got - length) < 1e-7) break;
        t += length - got;
    }
    return v3_along(at->place, at->direction, t);
}

static lw_vec3 own_end(const lw_cut *cut, const pass *p, int panel, lw_vec3 root, lw_vec3 normal, double t) {
    const lw_step *step = &cut->steps[p->step];
    bool out = step->technique.kind == LW_OVER_COMB || step->technique.kind == LW_CLIPPER;
    if (out) return v3_along(root, normal, t);
    held at = hold_at(cut->head, cut->scalp, &step->hold, cut->panels[panel].elevation, root);
    return reach_from(cut->head, root, &at, t);
}

bool lw_cut_held_end(lw_vec3 *out, const lw_cut *cut, int i) {
    int panel = cut->set_by[i];
    if (panel < 0) return false;
    const pass *p = pass_of(cut, panel);
    const cutting *c = &cut->cuttings[panel];
    lw_vec3 root = lw_scalp_root(cut->scalp, i), normal = lw_scalp_normal(cut->scalp, i);
    if (p->mirrored) root = v3_mirror(root), normal = v3_mirror(normal);
    double s = v3_dot(v3_sub(root, c->anchor), c->parting), t = cut_line_at(cut, c, s);
    lw_vec3 end = c->follows ? own_end(cut, p, panel, root, normal, t)
                             : v3_along(v3_along(c->place, c->direction, t), c->finger, s);
    *out = p->mirrored ? v3_mirror(end) : end;
    return true;
}

double lw_cut_held_points(lw_vec3 *out, int n, const lw_cut *cut, int i) {
    lw_vec3 end;
    if (!lw_cut_held_end(&end, cut, i)) return 0;
    double length = cut->length[i] / cut->panels[cut->set_by[i]].factor;
    path_points(out, n, &cut->head->surface, lw_scalp_root(cut->scalp, i), end, length);
    return length;
}
