/* The inside of a cut: what resolving a plan leaves behind, enough to say the length of a hair rooted
 * anywhere. */
#ifndef LW_CORE_CUT_H
#define LW_CORE_CUT_H

#include "hold.h"
#include "kept.h"
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
    uint32_t *own;        /* of each strip: which points of its middle line lie in them, a bit each */
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
    bool *idle;     /* steps that are not carried out */
    bool reference;
    int threads;
    bool checked;      /* warnings have been looked for */
    const memo *known; /* while panels are resolved, one after another; NULL afterwards */
    lw_paths *kept;    /* the caller's; NULL: none */
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
 * call to the next; NULL: within this one. kept: NULL or what is kept of these hairs from cut to cut.
 * tallies (may be NULL) has panel_count entries and is added to. */
void cut_replay(const lw_cut *cut, const memo *known, const kept_hairs *kept, batch *b, int limit,
                tally *tallies);

/* t at s on a panel's finger line. */
double cut_line_at(const lw_cut *cut, const cutting *c, double s);

/* Hairs that ask for the length of their taut path, n <= BATCH, from (x, y, z) with normal (nx, ny, nz) to
 * (tx, ty, tz); own: NULL or the slots of each hair[]. */
typedef struct asked {
    int n;
    double x[BATCH], y[BATCH], z[BATCH], nx[BATCH], ny[BATCH], nz[BATCH], tx[BATCH], ty[BATCH], tz[BATCH];
    double path[BATCH]; /* the answer */
    int hair[BATCH];
    memo_slot *own;
} asked;

void cut_paths(const lw_cut *cut, const memo *known, asked *of);

/* Works out strip k of passes[p] and appends its panel (guide.c). */
lw_status cut_resolve(lw_cut *cut, int p, int k, lw_error *error);

/* Appends the warnings that the survey shows (warn.c). tallies has panel_count entries. */
lw_status cut_warn(lw_cut *cut, const tally *tallies, lw_error *error);

#endif
