/* What a page holds: for page.c, which fills it, and for the files beside it that lay more of it out. */
#ifndef LW_WASM_STATE_H
#define LW_WASM_STATE_H

#include "page.h"

/* What page_view.c laid out last. The first goes with the head, the others with the prediction. */
typedef struct page_shown {
    int heads; /* how many heads there have been */
    lw_mesh bust;
    double bust_cell, bust_foot;
    uint8_t *scalp; /* by vertex of the bust: 1 where hair can grow */
    float *open;    /* the same: page_bust_open */
    float *field;
    float *held;
    double *holds, *places;
    int line_count, place_count;
    double *lines;
    int32_t *beside;
} page_shown;

struct page {
    char *text;
    size_t size;
    lw_error error;
    char message[LW_NAME_MAX + 2 * 384 + 8];
    lw_plan plan;
    lw_head_options head_of; /* what head and scalp were made of */
    lw_scalp_options scalp_of;
    lw_head *head;
    lw_scalp *scalp;
    lw_paths *paths; /* of the scalp */
    lw_cut *cut;
    lw_fall *fall;
    bool went_on;
    lw_mesh bust; /* that how hair lies is read on; made when it first is */
    char *words;  /* the last text that was written for the page */
    double *roots, *normals, *panels, *landmarks;
    double *given; /* lengths by root, where the page gives them and nothing is cut */
    lw_vec3 tape[LW_TAPE_POINTS];
    page_shown shown;
};

/* What long work in core asks: lw_fall_options, lw_fallen_options. */
bool page_progress(void *context, double share);

void page_shown_drop_head(page_shown *s);
void page_shown_drop_cut(page_shown *s);

#endif
