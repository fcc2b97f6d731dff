/* The head's measures, for whoever enters them and wants to see where the tape goes. */
#include <math.h>

#include "state.h"

int page_measure_count(void) { return LW_MEASURE_COUNT; }
const char *page_measure_name(int i) { return lw_measure_name((lw_measure)i); }

double page_measure(const page *p, int i) {
    return p->head ? lw_head_measure(p->head, (lw_measure)i) : (double)NAN;
}

int page_tape(page *p, int i) { return p->head ? lw_head_tape(p->tape, p->head, (lw_measure)i) : 0; }
const double *page_tape_at(const page *p) { return &p->tape[0].x; }
