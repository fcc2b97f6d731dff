/* The inside of a cut: what resolving a plan leaves behind, enough to say the length of a hair rooted
 * anywhere. */
#ifndef LW_CORE_CUT_H
#define LW_CORE_CUT_H

#include "hold.h"
#include "memo.h"
#include "scalp.h"
#include "section.h"

#define BATCH 256                  /* hairs worked on at once by one thread */
#define LINE_MAX (MIDLINE_MAX + 2) /* points of t(s) in one panel */

/* One step on one part. A mirrored pass works on the mirror image of its part, in which the step is as
 * written. */
typedef struct pass {
    int step; /* index into plan.steps */
    bool mirrored;
    int part;
    int first; /* index of its first panel */
    panel_set set;
    bool leaf[PARTS_MAX]; /* sections it works on */
} pass;

/* What decides one panel's lengths, in the frame of its pass. */
typedef struct cutting {
    lw_vec3 anchor, parting;          /* a, f */
    lw_vec3 place, direction, finger; /* h, d, f' */
    bool follows, blocked;            /* blocked: no guide reaches it, so it cuts nothing */
    int line_first, line_count;
    double factor, s_middle;
} cutting;

typedef struct tally {
    int hairs, cut, too_short, inside;
} tally;

struct lw_cut {
    const lw_head *head;
    const lw_scalp *scalp;
    lw_hair hair;
    lw_hands hands;
    int step_count;
    lw_step *steps; /* copies */
    bool reference;
    int threads;
    memo *known; /* while panels are resolved, one after another; NULL afterwards */
    part_tree tree;
    lw_section *sections;
    int pass_count;
    pass *passes;
    int panel_count, panel_room;
    lw_panel *panels; /* as the plan's reader sees them */
    cutting *cuttings;
    int line_count, line_room;
    lw_line_point *lines;
    int warning_count, warning_room;
    lw_warning *warnings;
    double *length, *before;
    int16_t *section;
    int32_t *set_by;
};

/* Up to BATCH hairs, as structure of arrays. */
typedef struct batch {
    int n;
    double x[BATCH], y[BATCH], z[BATCH], nx[BATCH], ny[BATCH], nz[BATCH];
    int number[BATCH]; /* of the hair, for what technique does to single hairs; -1: none is done */
    int leaf[BATCH];
    double before[BATCH], length[BATCH];
    int set_by[BATCH];
} batch;

/* Fills leaf and before, then lets every panel with an index below `limit` cut. `known` holds paths from one
 * call to the next; NULL: within this one. tallies (may be NULL) has panel_count entries and is added to. */
void cut_replay(const lw_cut *cut, memo *known, batch *b, int limit, tally *tallies);

/* t at s on a panel's finger line. */
double cut_line_at(const lw_cut *cut, const cutting *c, double s);

/* Taut path lengths of n <= BATCH hairs from (x, y, z) with normals to (tx, ty, tz). */
void cut_paths(const lw_cut *cut, memo *known, int n, const double *x, const double *y, const double *z,
               const double *nx, const double *ny, const double *nz, const double *tx, const double *ty,
               const double *tz, double *out);

/* Works out strip k of passes[p] and appends its panel (guide.c). */
lw_status cut_resolve(lw_cut *cut, int p, int k, lw_error *error);

/* Appends the warnings that the survey shows (warn.c). tallies has panel_count entries. */
lw_status cut_warn(lw_cut *cut, const tally *tallies, lw_error *error);

#endif
