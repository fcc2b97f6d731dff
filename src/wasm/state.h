/* What a page holds: for page.c, which fills it, and for the files beside it that lay more of it out. */
#ifndef LW_WASM_STATE_H
#define LW_WASM_STATE_H

#include "page.h"

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
    lw_cut *cut;
    lw_fall *fall;
    bool went_on;
    double *roots, *normals, *panels, *landmarks;
    lw_vec3 tape[LW_TAPE_POINTS];
};

#endif
