/* Partings and the tree of parts they divide the scalp into. */
#ifndef LW_CORE_SECTION_H
#define LW_CORE_SECTION_H

#include "head.h"

#define PARTS_MAX (2 * LW_SPLITS_MAX + 1)

/* A parting made ready for one head: value > 0 on its first side, which has the line as well. */
typedef struct parting {
    lw_parting_kind kind;
    lw_vec3 normal; /* planes: value = normal . p - offset */
    double offset;
    int count; /* chains: unit directions from the star centre */
    bool closed;
    bool second_has_line; /* off the middle, so that its mirror image is one that gives it to the first */
    double sign;
    lw_vec3 along[LW_CHAIN_MAX];
    double run_on[2]; /* radians by which an open chain's first and last end run on */
} parting;

typedef struct part {
    char name[LW_NAME_MAX];
    int parent, first, second; /* -1: none; a part with first < 0 is a section */
    parting divide;
} part;

typedef struct part_tree {
    int count;
    part parts[PARTS_MAX];
} part_tree;

lw_status part_tree_make(part_tree *tree, const lw_head *head, const lw_plan *plan, lw_error *error);

/* Whether two trees of one head divide it alike; names do not count. */
bool part_tree_same(const part_tree *a, const part_tree *b);

/* Index of the part of that name, or -1. */
int part_find(const part_tree *tree, const char *name);

/* The one section the surface point p with normal n lies in. */
int part_leaf(const part_tree *tree, const surface *s, lw_vec3 p, lw_vec3 n);

/* Whether the part `of` is `ancestor` or was made from it. */
bool part_within(const part_tree *tree, int of, int ancestor);

#endif
