/* What one cut leaves for the next of the same scalp: lengths of paths, places carried to, and how the head
 * was parted. Each is a function of what it was asked with, so what is found here is what would be found
 * again, to the bit. */
#ifndef LW_CORE_KEPT_H
#define LW_CORE_KEPT_H

#include "memo.h"
#include "panel.h"
#include "scalp.h"
#include "section.h"

#define KEPT_PLACES 16384 /* slots, a power of two */

/* A place between two others; from.x NAN: none. */
typedef struct kept_place {
    lw_vec3 from, to, at;
    double share;
} kept_place;

/* The panels of a step on some sections, and which points of their middle lines lie in those. */
typedef struct kept_panels {
    bool leaf[PARTS_MAX];
    bool mirrored, square;
    lw_panels panels;
    lw_place start; /* where the guide is measured, or none */
    double span;
    panel_set set;
    uint32_t *own;
    bool asked; /* for the cut that is made now */
} kept_panels;

struct lw_paths {
    const lw_scalp *scalp;
    memo guides;
    memo_slot *hairs, *survey; /* MEMO_OWN for each of its roots, and of its survey's */
    kept_place *places;
    /* The partings, and the section of each root and survey point, where known. */
    part_tree tree;
    bool hairs_parted, survey_parted;
    int16_t *hair_part, *survey_part;
    kept_panels *panels;
    int panels_count, panels_room;
};

/* Some hairs of a batch, each with MEMO_OWN slots and a section of its own, so that threads do not meet. */
typedef struct kept_hairs {
    memo_slot *paths;
    int16_t *part;
    bool parted; /* part is known */
} kept_hairs;

/* A cut begins: what hangs on other partings is dropped. Then it ends: so are panels that it did not ask for.
 */
void kept_begin(lw_paths *kept, const part_tree *tree);
void kept_end(lw_paths *kept);

/* lw_head_between, from what is kept where that is not NULL. */
lw_vec3 kept_between(lw_paths *kept, const lw_head *head, lw_vec3 from, lw_vec3 to, double share);

/* Panels that were made of the same leaf, mirrored, square, panels, start and span; NULL: none. */
const kept_panels *kept_find(lw_paths *kept, const kept_panels *like);

/* Copies of their set and own. */
lw_status kept_copy(panel_set *set, uint32_t **own, const kept_panels *from, lw_error *error);

/* Keeps them, with copies of their set and own. */
lw_status kept_keep(lw_paths *kept, const kept_panels *made, lw_error *error);

#endif
