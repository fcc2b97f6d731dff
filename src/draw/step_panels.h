/* The drawing of a step's panels: what its parts share. */
#ifndef LW_DRAW_STEP_PANELS_H
#define LW_DRAW_STEP_PANELS_H

#include "head_drawing.h"
#include "step_mask.h"
#include "step_show.h"

/* A panel with all its bites, and where its number goes. */
typedef struct whole {
    int first, last; /* index into lw_cut_panel */
    int number;
    bool end;  /* the first or the last of its side */
    bool held; /* the one whose hold is drawn: numbered whenever it is seen */
    bool seen, fits, numbered;
    point at;     /* of its number */
    point column; /* unit: the way the numbers of its side run; 0 where they have none */
    double room;  /* points about `at` */
} whole;

typedef struct panels_page {
    drawing *d;
    const study *s;
    const lw_cut *cut;
    const lw_step *step;
    int number; /* of the step */
    view_side side;
    stage on;
    frame at;
    bool blank;
    int first, count, shown; /* panels */
    int since;               /* the drawing's marks before this one */
    int *label;
    int group, *stand_in; /* panels that are drawn as one */
    mask mask;
    lw_error *error;
} panels_page;

whole whole_of(const panels_page *g, int panel);

/* The guide by its pattern; a measured length by a dot, and in words. */
lw_status panels_guide_area(panels_page *g);
void panels_guide_length(panels_page *g);

lw_status panels_numbers(panels_page *g);

#endif
