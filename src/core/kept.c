#include "kept.h"

#include <stdlib.h>

#include "fail.h"
#include "hash.h"
#include "vec.h"

static uint32_t *own_copy(const uint32_t *own, int count) {
    size_t size = sizeof *own * ((size_t)count + 1);
    uint32_t *copy = malloc(size);
    if (copy) memcpy(copy, own, size);
    return copy;
}

static void panels_drop(kept_panels *p) {
    panel_set_clear(&p->set);
    free(p->own);
}

lw_status lw_paths_new(lw_paths **out, const lw_scalp *scalp, lw_error *error) {
    size_t hairs = (size_t)scalp->count, survey = (size_t)scalp->survey->count, all = hairs + survey;
    lw_paths *kept = *out = calloc(1, sizeof *kept);
    memo_slot *slot = malloc(sizeof *slot * (MEMO_MANY + MEMO_OWN * all));
    kept_place *places = malloc(sizeof *places * KEPT_PLACES);
    int16_t *parts = malloc(sizeof *parts * all);
    if (!kept || !slot || !places || !parts) {
        free(parts);
        free(places);
        free(slot);
        free(kept);
        *out = NULL;
        return fail_memory(error, "paths");
    }
    *kept = (lw_paths){.scalp = scalp,
                       .guides = memo_empty(slot, MEMO_MANY),
                       .hairs = slot + MEMO_MANY,
                       .survey = slot + MEMO_MANY + MEMO_OWN * hairs,
                       .places = places,
                       .hair_part = parts,
                       .survey_part = parts + hairs};
    memo_empty(kept->hairs, MEMO_OWN * all);
    for (int i = 0; i < KEPT_PLACES; i++) places[i].from.x = (double)NAN;
    return LW_OK;
}

void lw_paths_free(lw_paths *paths) {
    if (!paths) return;
    for (int i = 0; i < paths->panels_count; i++) panels_drop(&paths->panels[i]);
    free(paths->panels);
    free(paths->hair_part);
    free(paths->places);
    free(paths->guides.slot);
    free(paths);
}

void kept_begin(lw_paths *kept, const part_tree *tree) {
    bool same = part_tree_same(&kept->tree, tree);
    for (int i = 0; i < kept->panels_count; i++) {
        kept->panels[i].asked = false;
        if (!same) panels_drop(&kept->panels[i]);
    }
    if (same) return;
    kept->panels_count = 0;
    kept->tree = *tree;
    kept->hairs_parted = kept->survey_parted = false;
}

void kept_end(lw_paths *kept) {
    int left = 0;
    for (int i = 0; i < kept->panels_count; i++)
        if (kept->panels[i].asked)
            kept->panels[left++] = kept->panels[i];
        else
            panels_drop(&kept->panels[i]);
    kept->panels_count = left;
}

lw_vec3 kept_between(lw_paths *kept, const lw_head *head, lw_vec3 from, lw_vec3 to, double share) {
    if (!kept) return lw_head_between(head, from, to, share);
    double key[] = {from.x, from.y, from.z, to.x, to.y, to.z, share};
    uint64_t word[sizeof key / sizeof *key], sum = 0;
    memcpy(word, key, sizeof word);
    for (size_t i = 0; i < sizeof word / sizeof *word; i++) sum = hash_mix(sum ^ word[i]);
    kept_place *at = &kept->places[sum & (KEPT_PLACES - 1)];
    if (!v3_same(at->from, from) || !v3_same(at->to, to) || at->share != share)
        *at = (kept_place){from, to, lw_head_between(head, from, to, share), share};
    return at->at;
}

static bool place_same(lw_place a, lw_place b) { return a.from == b.from && a.to == b.to && a.at == b.at; }

static bool panels_same(const lw_panels *a, const lw_panels *b) {
    return a->family == b->family && a->angle == b->angle && a->thickness == b->thickness &&
           a->start == b->start && a->order == b->order && place_same(a->pivot, b->pivot);
}

const kept_panels *kept_find(lw_paths *kept, const kept_panels *like) {
    for (int i = 0; i < kept->panels_count; i++) {
        kept_panels *p = &kept->panels[i];
        if (p->mirrored == like->mirrored && p->square == like->square && p->span == like->span &&
            panels_same(&p->panels, &like->panels) && place_same(p->start, like->start) &&
            memcmp(p->leaf, like->leaf, sizeof p->leaf) == 0) {
            p->asked = true;
            return p;
        }
    }
    return NULL;
}

lw_status kept_copy(panel_set *set, uint32_t **own, const kept_panels *from, lw_error *error) {
    lw_status status = panel_set_copy(set, &from->set, error);
    if (status) return status;
    *own = own_copy(from->own, from->set.count);
    return *own ? LW_OK : fail_memory(error, "panels");
}

lw_status kept_keep(lw_paths *kept, const kept_panels *made, lw_error *error) {
    if (kept->panels_count == kept->panels_room) {
        int room = kept->panels_room ? 2 * kept->panels_room : 16;
        kept_panels *more = realloc(kept->panels, sizeof *more * (size_t)room);
        if (!more) return fail_memory(error, "panels");
        kept->panels = more, kept->panels_room = room;
    }
    kept_panels *p = &kept->panels[kept->panels_count];
    *p = *made;
    p->asked = true;
    p->own = NULL;
    lw_status status = kept_copy(&p->set, &p->own, made, error);
    if (status)
        panels_drop(p);
    else
        kept->panels_count++;
    return status;
}
