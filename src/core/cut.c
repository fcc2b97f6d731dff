/* A plan carried out on a head.
 *
 * Two phases. First the panels are resolved one after another, since a guide is hair that earlier panels cut:
 * this needs a few dozen points a panel and no hairs. Then every hair is replayed through all panels on its
 * own (replay.c). The survey, a fixed even sample of the scalp, gives panels their places and
 * warnings their evidence, so neither depends on how many hairs are asked for.
 */
#include "cut.h"

#include "check.h"
#include "fail.h"
#include "threads.h"
#include <stdlib.h>

/* Hairs that a thread takes at a time: fewer than a batch holds, as the slow ones lie together. */
#define PIECE 64

lw_cut_options lw_cut_default(void) { return (lw_cut_options){0}; }

double lw_hair_lies(const lw_hair *hair, double length) {
    if (!(hair->coil_diameter > 0)) return length;
    double round = LW_PI * hair->coil_diameter;
    return length * hair->coil_pitch / sqrt(round * round + hair->coil_pitch * hair->coil_pitch);
}

/* A guide is an earlier step, so this ends. */
bool lw_step_is_cut(const lw_plan *plan, int i) {
    while (!plan->steps[i].off && plan->steps[i].guide.step[0]) {
        int k = i - 1;
        while (k >= 0 && strcmp(plan->steps[k].name, plan->steps[i].guide.step) != 0) k--;
        if (k < 0) return true;
        i = k;
    }
    return !plan->steps[i].off;
}

static lw_status copy_plan(lw_cut *cut, const lw_plan *plan, lw_error *error) {
    cut->hair = plan->hair;
    cut->hands = plan->hands;
    cut->step_count = plan->step_count;
    if (plan->step_count == 0) return LW_OK;
    size_t size = sizeof *cut->steps * (size_t)plan->step_count;
    cut->steps = malloc(size);
    cut->passes = calloc(2 * (size_t)plan->step_count, sizeof *cut->passes);
    cut->idle = calloc((size_t)plan->step_count, sizeof *cut->idle);
    if (!cut->steps || !cut->passes || !cut->idle) return fail_memory(error, "steps");
    memcpy(cut->steps, plan->steps, size);
    for (int i = 0; i < plan->step_count; i++) cut->idle[i] = !lw_step_is_cut(plan, i);
    return LW_OK;
}

/* Section of every survey point. */
static lw_status survey_sections(const lw_cut *cut, int **leaf, lw_error *error) {
    const lw_scalp *survey = cut->scalp->survey;
    *leaf = malloc(sizeof **leaf * (size_t)(survey->count + 1));
    if (!*leaf) return fail_memory(error, "survey");
    lw_paths *kept = cut->kept;
    bool known = kept && kept->survey_parted;
    for (int i = 0; i < survey->count; i++) {
        (*leaf)[i] = known ? kept->survey_part[i]
                           : part_leaf(&cut->tree, &cut->head->surface, lw_scalp_root(survey, i),
                                       lw_scalp_normal(survey, i));
        if (kept) kept->survey_part[i] = (int16_t)(*leaf)[i];
    }
    if (kept) kept->survey_parted = true;
    return LW_OK;
}

static lw_status section_areas(lw_cut *cut, const int *leaf, lw_error *error) {
    cut->sections = calloc((size_t)cut->tree.count, sizeof *cut->sections);
    if (!cut->sections) return fail_memory(error, "sections");
    const lw_scalp *survey = cut->scalp->survey;
    double each = cut->head->scalp_area / survey->count;
    for (int k = 0; k < cut->tree.count; k++) {
        memcpy(cut->sections[k].name, cut->tree.parts[k].name, LW_NAME_MAX);
        cut->sections[k].leaf = cut->tree.parts[k].first < 0;
    }
    for (int i = 0; i < survey->count; i++)
        for (int k = leaf[i]; k >= 0; k = cut->tree.parts[k].parent) cut->sections[k].area += each;
    return LW_OK;
}

/* Which points of the middle lines are hair of the pass's sections, and not a neighbour's. */
static lw_status mark_own(const lw_cut *cut, pass *p, lw_error *error) {
    p->own = calloc((size_t)p->set.count + 1, sizeof *p->own);
    if (!p->own) return fail_memory(error, cut->steps[p->step].name);
    for (int k = 0; k < p->set.count; k++) {
        const strip *st = &p->set.strips[k];
        for (int i = 0; i < st->midline_count; i++) {
            lw_vec3 at = p->mirrored ? v3_mirror(st->midline[i]) : st->midline[i], normal;
            at = lw_head_project(cut->head, at, &normal);
            if (p->leaf[part_leaf(&cut->tree, &cut->head->surface, at, normal)]) p->own[k] |= 1u << i;
        }
    }
    return LW_OK;
}

/* The survey's points in the sections of a pass, as that sees them. */
static int points_of(const lw_cut *cut, const pass *p, const int *leaf, lw_vec3 *points) {
    const lw_scalp *survey = cut->scalp->survey;
    int n = 0;
    for (int i = 0; i < survey->count; i++) {
        int own = p->mirrored ? i ^ 1 : i; /* partners swap, so that both sides add up in the same order */
        if (!p->leaf[leaf[own]]) continue;
        points[n++] = p->mirrored ? v3_mirror(lw_scalp_root(survey, own)) : lw_scalp_root(survey, own);
    }
    return n;
}

/* The pass before this one, where that is the same step on the same points: what a step and its mirror image
 * are on a section and its mirror image. */
static const pass *twin_of(const lw_cut *cut, const pass *p, const int *leaf, const lw_vec3 *points, int n,
                           lw_vec3 *other) {
    const pass *before = p - 1;
    if (!p->mirrored || points_of(cut, before, leaf, other) != n) return NULL;
    for (int i = 0; i < n; i++)
        if (points[i].x != other[i].x || points[i].y != other[i].y || points[i].z != other[i].z) return NULL;
    return before;
}

/* What panels are made of, besides the head. */
static kept_panels panels_like(const pass *p, const lw_step *s, double span) {
    bool measured = s->guide.length > 0 && s->guide.at.from >= 0;
    kept_panels like = {.mirrored = p->mirrored,
                        .square = s->hold.reference == LW_FIXED,
                        .panels = s->panels,
                        .start = measured ? s->guide.at : (lw_place){.from = -1, .to = -1},
                        .span = span};
    memcpy(like.leaf, p->leaf, sizeof like.leaf);
    return like;
}

/* points, other: room for the whole survey each. */
static lw_status add_pass(lw_cut *cut, int step, const char *name, bool mirrored, const int *leaf,
                          lw_vec3 *points, lw_vec3 *other, lw_error *error) {
    pass *p = &cut->passes[cut->pass_count];
    const lw_step *s = &cut->steps[step];
    *p = (pass){.step = step, .mirrored = mirrored, .part = part_find(&cut->tree, name)};
    if (p->part < 0)
        return fail(error, LW_ERROR_ARGUMENT, s->name, "use \"all\" or a part that a parting makes",
                    "step %d works on \"%s\", which does not exist", step + 1, name);
    for (int k = 0; k < cut->tree.count; k++) {
        p->leaf[k] = part_within(&cut->tree, k, p->part);
        if (p->leaf[k]) cut->sections[k].touched = true;
    }
    bool set = s->technique.kind == LW_OVER_COMB || s->technique.kind == LW_CLIPPER;
    double span = cut->hands.bites && s->line.kind != LW_LINE_FOLLOW && !set ? cut->hands.span : 0;
    kept_panels like = panels_like(p, s, span);
    const kept_panels *known = cut->kept ? kept_find(cut->kept, &like) : NULL;
    cut->pass_count++;
    if (known) return kept_copy(&p->set, &p->own, known, error);
    int n = points_of(cut, p, leaf, points);
    const pass *twin = twin_of(cut, p, leaf, points, n, other);
    double each = cut->head->scalp_area / cut->scalp->survey->count;
    lw_status status = twin ? panel_set_copy(&p->set, &twin->set, error)
                            : panel_set_make(&p->set, cut->head, s, points, n, each, span, error);
    if (!status) status = mark_own(cut, p, error);
    if (status || !cut->kept) return status;
    like.set = p->set, like.own = p->own;
    return kept_keep(cut->kept, &like, error);
}

static lw_status add_passes(lw_cut *cut, const int *leaf, lw_error *error) {
    size_t room = (size_t)cut->scalp->survey->count + 1;
    lw_vec3 *points = malloc(sizeof *points * 2 * room);
    if (!points) return fail_memory(error, "survey");
    lw_status status = LW_OK;
    for (int i = 0; i < cut->step_count && status == LW_OK; i++) {
        const lw_step *s = &cut->steps[i];
        if (cut->idle[i]) continue;
        status = add_pass(cut, i, s->section, false, leaf, points, points + room, error);
        if (status == LW_OK && s->mirror[0])
            status = add_pass(cut, i, s->mirror, true, leaf, points, points + room, error);
    }
    free(points);
    return status;
}

static lw_status resolve(lw_cut *cut, lw_error *error) {
    for (int p = 0; p < cut->pass_count; p++) {
        cut->passes[p].first = cut->panel_room;
        cut->panel_room += cut->passes[p].set.count;
    }
    if (cut->panel_room == 0) return LW_OK;
    cut->panels = calloc((size_t)cut->panel_room, sizeof *cut->panels);
    cut->cuttings = calloc((size_t)cut->panel_room, sizeof *cut->cuttings);
    memo_slot *many = cut->kept ? NULL : malloc(MEMO_MANY * sizeof *many);
    if (!cut->panels || !cut->cuttings || (!cut->kept && !many)) {
        free(many);
        return fail_memory(error, "panels");
    }
    lw_status status = LW_OK;
    const memo known = cut->kept ? cut->kept->guides : memo_empty(many, MEMO_MANY);
    cut->known = &known;
    for (int p = 0; p < cut->pass_count; p++)
        for (int k = 0; k < cut->passes[p].set.count && status == LW_OK; k++)
            status = cut_resolve(cut, p, k, error);
    cut->known = NULL;
    free(many);
    return status;
}

static void load(const lw_scalp *scalp, int first, batch *b) {
    b->n = scalp->count - first < PIECE ? scalp->count - first : PIECE;
    size_t size = sizeof(double) * (size_t)b->n;
    memcpy(b->x, scalp->x + first, size);
    memcpy(b->y, scalp->y + first, size);
    memcpy(b->z, scalp->z + first, size);
    memcpy(b->nx, scalp->nx + first, size);
    memcpy(b->ny, scalp->ny + first, size);
    memcpy(b->nz, scalp->nz + first, size);
    for (int i = 0; i < b->n; i++) b->number[i] = first + i;
}

/* What is kept of a scalp's hairs from `first` on. */
static kept_hairs kept_from(const lw_cut *cut, const lw_scalp *scalp, int first) {
    const lw_paths *kept = cut->kept;
    bool own = scalp == cut->scalp;
    return (kept_hairs){(own ? kept->hairs : kept->survey) + (size_t)first * MEMO_OWN,
                        (own ? kept->hair_part : kept->survey_part) + first,
                        own ? kept->hairs_parted : kept->survey_parted};
}

static void store(lw_cut *cut, int first, const batch *b) {
    size_t size = sizeof(double) * (size_t)b->n;
    memcpy(cut->length + first, b->length, size);
    memcpy(cut->before + first, b->before, size);
    for (int i = 0; i < b->n; i++) {
        cut->section[first + i] = (int16_t)b->leaf[i];
        cut->set_by[first + i] = b->set_by[i];
    }
}

static int thread_number(void) {
#ifdef _OPENMP
    return omp_get_thread_num();
#else
    return 0;
#endif
}

/* Replays all roots of a scalp. keep: into the cut's arrays. tallies get panel_count entries a thread. */
static void replay_all(lw_cut *cut, const lw_scalp *scalp, bool keep, tally *tallies, int threads) {
    (void)threads;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (int first = 0; first < scalp->count; first += PIECE) {
        batch b;
        load(scalp, first, &b);
        kept_hairs kept = {0};
        if (cut->kept) kept = kept_from(cut, scalp, first);
        cut_replay(cut, NULL, cut->kept ? &kept : NULL, &b, cut->panel_count,
                   tallies + (size_t)thread_number() * (size_t)cut->panel_count);
        if (keep) store(cut, first, &b);
    }
}

static void sum_tallies(tally *tallies, int threads, int panels) {
    for (int t = 1; t < threads; t++)
        for (int k = 0; k < panels; k++) {
            const tally *more = &tallies[(size_t)t * (size_t)panels + (size_t)k];
            tallies[k].hairs += more->hairs;
            tallies[k].cut += more->cut;
            tallies[k].too_short += more->too_short;
            tallies[k].inside += more->inside;
        }
}

static void count_section_hairs(lw_cut *cut) {
    const lw_scalp *scalp = cut->scalp;
    for (int i = 0; i < scalp->count; i++)
        for (int k = cut->section[i]; k >= 0; k = cut->tree.parts[k].parent) {
            lw_section *s = &cut->sections[k];
            s->hairs += scalp->weight[i];
            *(scalp->x[i] > 0 ? &s->hairs_left : &s->hairs_right) += scalp->weight[i];
        }
}

static tally *room_for_tallies(const lw_cut *cut) {
    return calloc((size_t)cut->threads * (size_t)cut->panel_count + 1, sizeof(tally));
}

static lw_status evaluate(lw_cut *cut, lw_error *error) {
    size_t n = (size_t)cut->scalp->count;
    cut->length = malloc(sizeof *cut->length * n);
    cut->before = malloc(sizeof *cut->before * n);
    cut->section = malloc(sizeof *cut->section * n);
    cut->set_by = malloc(sizeof *cut->set_by * n);
    tally *tallies = room_for_tallies(cut);
    bool room = cut->length && cut->before && cut->section && cut->set_by && tallies;
    if (room) {
        replay_all(cut, cut->scalp, true, tallies, cut->threads);
        if (cut->kept) cut->kept->hairs_parted = true;
        sum_tallies(tallies, cut->threads, cut->panel_count);
        for (int k = 0; k < cut->panel_count; k++) {
            cut->panels[k].hairs = tallies[k].hairs;
            cut->panels[k].cut = tallies[k].cut;
        }
        count_section_hairs(cut);
    }
    free(tallies);
    return room ? LW_OK : fail_memory(error, "hairs");
}

lw_status lw_cut_check(lw_cut *cut, lw_error *error) {
    if (cut->checked) return LW_OK;
    tally *tallies = room_for_tallies(cut);
    if (!tallies) return fail_memory(error, "warnings");
    replay_all(cut, cut->scalp->survey, false, tallies, cut->threads);
    sum_tallies(tallies, cut->threads, cut->panel_count);
    lw_status status = cut_warn(cut, tallies, error);
    free(tallies);
    if (status == LW_OK)
        cut->checked = true;
    else
        cut->warning_count = 0;
    return status;
}

lw_status lw_cut_new(lw_cut **out, const lw_head *head, const lw_scalp *scalp, const lw_plan *plan,
                     const lw_cut_options *options, lw_error *error) {
    *out = NULL;
    if (options && options->paths && options->paths->scalp != scalp)
        return fail(error, LW_ERROR_ARGUMENT, "paths", "make them of the scalp that is cut",
                    "paths of one scalp are of no use on another");
    lw_status status = check_steps(plan, error);
    if (status == LW_OK) status = check_hair(&plan->hair, &plan->hands, error);
    if (status != LW_OK) return status;
    lw_cut *cut = calloc(1, sizeof *cut);
    if (!cut) return fail_memory(error, "cut");
    cut->head = head;
    cut->scalp = scalp;
    cut->reference = options && options->reference;
    cut->threads = threads_of(options ? options->threads : 0);
    cut->kept = options && !options->reference ? options->paths : NULL;
    int *leaf = NULL;
    status = copy_plan(cut, plan, error);
    if (status == LW_OK) status = part_tree_make(&cut->tree, head, plan, error);
    if (status == LW_OK && cut->kept) kept_begin(cut->kept, &cut->tree);
    if (status == LW_OK) status = survey_sections(cut, &leaf, error);
    if (status == LW_OK) status = section_areas(cut, leaf, error);
    if (status == LW_OK) status = add_passes(cut, leaf, error);
    free(leaf);
    if (status == LW_OK && cut->kept) kept_end(cut->kept);
    if (status == LW_OK) status = resolve(cut, error);
    if (status == LW_OK) status = evaluate(cut, error);
    if (status == LW_OK && !(options && options->check_later)) status = lw_cut_check(cut, error);
    if (status != LW_OK) {
        lw_cut_free(cut);
        return status;
    }
    *out = cut;
    return LW_OK;
}

void lw_cut_free(lw_cut *cut) {
    if (!cut) return;
    for (int p = 0; cut->passes && p < cut->pass_count; p++) {
        panel_set_clear(&cut->passes[p].set);
        free(cut->passes[p].own);
    }
    free(cut->passes);
    free(cut->steps);
    free(cut->idle);
    free(cut->sections);
    free(cut->panels);
    free(cut->cuttings);
    free(cut->lines);
    free(cut->warnings);
    free(cut->length);
    free(cut->before);
    free(cut->section);
    free(cut->set_by);
    free(cut);
}

const double *lw_cut_lengths(const lw_cut *cut) { return cut->length; }
const double *lw_cut_before(const lw_cut *cut) { return cut->before; }
const int16_t *lw_cut_sections(const lw_cut *cut) { return cut->section; }
const int32_t *lw_cut_set_by(const lw_cut *cut) { return cut->set_by; }
int lw_cut_section_count(const lw_cut *cut) { return cut->tree.count; }
const lw_section *lw_cut_section(const lw_cut *cut, int i) { return &cut->sections[i]; }
int lw_cut_panel_count(const lw_cut *cut) { return cut->panel_count; }
const lw_panel *lw_cut_panel(const lw_cut *cut, int i) { return &cut->panels[i]; }
const lw_line_point *lw_cut_lines(const lw_cut *cut) { return cut->lines; }
int lw_cut_warning_count(const lw_cut *cut) { return cut->warning_count; }
const lw_warning *lw_cut_warning(const lw_cut *cut, int i) { return &cut->warnings[i]; }

static void batch_points(batch *b, const lw_head *head, int n, const lw_vec3 *points) {
    b->n = n;
    for (int i = 0; i < n; i++) {
        lw_vec3 normal, p = lw_head_project(head, points[i], &normal);
        b->number[i] = -1;
        b->x[i] = p.x, b->y[i] = p.y, b->z[i] = p.z;
        b->nx[i] = normal.x, b->ny[i] = normal.y, b->nz[i] = normal.z;
    }
}

void lw_cut_at_points(const lw_cut *cut, int n, const lw_vec3 *p, double *out) {
    int threads = cut->threads;
    (void)threads;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (int first = 0; first < n; first += PIECE) {
        batch b;
        batch_points(&b, cut->head, n - first < PIECE ? n - first : PIECE, p + first);
        cut_replay(cut, NULL, NULL, &b, cut->panel_count, NULL);
        memcpy(out + first, b.length, (size_t)b.n * sizeof *out);
    }
}

double lw_cut_at(const lw_cut *cut, lw_vec3 p) {
    double length;
    lw_cut_at_points(cut, 1, &p, &length);
    return length;
}

int lw_cut_section_at(const lw_cut *cut, lw_vec3 p) {
    lw_vec3 normal, on = lw_head_project(cut->head, p, &normal);
    return part_leaf(&cut->tree, &cut->head->surface, on, normal);
}

int lw_cut_panel_at(const lw_cut *cut, int step, lw_vec3 p) {
    lw_vec3 normal, on = lw_head_project(cut->head, p, &normal);
    int leaf = part_leaf(&cut->tree, &cut->head->surface, on, normal);
    for (int k = 0; k < cut->pass_count; k++) {
        const pass *at = &cut->passes[k];
        if (at->step != step - 1 || !at->leaf[leaf]) continue;
        int own = panel_of(&at->set, v3(at->mirrored ? -on.x : on.x, on.y, on.z));
        if (own >= 0) return at->first + own;
    }
    return -1;
}

double lw_cut_landmark(const lw_cut *cut, lw_landmark id) {
    return lw_cut_at(cut, lw_head_landmark(cut->head, id));
}
