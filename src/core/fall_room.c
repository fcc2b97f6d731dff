/* Hair that lies makes room for hair.
 *
 * Alone, every hair falls to the scalp. All of them together then are a field of how full each place is
 * (room.h), and that field lifts each of them; where they come to lie is the next field. In a round a
 * hair takes a few steps only, against a spring that holds it to where it was. In the last rounds that is
 * stiff enough for all hair together to lose energy though each moves as if the others stood still (a
 * proximal method: N. Parikh and S. Boyd, Found. Trends Optim. 1:127, 2014); in the first ones it is slack,
 * and the grid coarse, so that hair swings out at once, far and in company; grid and spring become finer and
 * stiffer evenly, so that it swings no more. The spring pulls no longer where hair no longer moves, and does
 * not change where that is. */
#include "fall_room.h"

#include <math.h>
#include <stdlib.h>

#include "elementary.h"
#include "fail.h"

#define STEPS 2        /* of a hair in a round, but for the last */
#define COARSE 3.      /* times the spacing: the first rounds */
#define HOLD_FIRST .03 /* of the stiffness that makes sure that energy falls: far too little at first */
#define HOLD_LAST 1.

static double *sections_of(const lw_fall *f) {
    double *out = malloc(sizeof *out * (size_t)f->strands.count);
    if (!out) return NULL;
    for (int i = 0; i < f->strands.count; i++)
        out[i] = f->hair[i].section * f->strands.hairs[i] / f->fibre.hairs;
    return out;
}

/* What the last pass moved hairs by: the greatest, and the mean by hairs. */
static void tell_moves(lw_fall *f) {
    double greatest = 0, sum = 0, hairs = 0;
    for (int i = 0; i < f->strands.count; i++) {
        double moved = f->hair[i].moved;
        greatest = fmax(greatest, moved);
        sum += moved * f->strands.hairs[i], hairs += f->strands.hairs[i];
    }
    f->report.moved_most = greatest;
    f->report.moved = hairs > 0 ? sum / hairs : 0;
}

/* How far the rounds have come, 0 to 1. */
static double share_made(const lw_fall *f, int rounds) {
    return f->tight || rounds < 2 ? 1 : fmin(1, f->made / (rounds - 1.));
}

/* The room that the hair of `lies` takes. */
static lw_status fill(room *r, const lw_fall *lies, const room_options *options, lw_error *error) {
    double *section = sections_of(lies);
    if (!section) return fail_memory(error, "fall");
    lw_status status = room_fill(r, &lies->strands, section, lies->ground, options, error);
    free(section);
    return status;
}

lw_status fall_make_room(lw_fall *f, const lw_fall *from, const lw_fall_options *o, int parts,
                         const room_options *grid, fall_pass pass, lw_error *error) {
    lw_status status = LW_OK;
    const fibre *of = &f->fibre;
    double area = of->area / of->hairs, hairs = of->hairs;
    double bend = 2 / (1 / of->bend[0] + 1 / of->bend[1]) / (hairs * hairs);
    room_options options = *grid;
    options.law = room_law_of(bend, area);
    options.threads = f->threads;
    room r = {0};
    for (; f->report.left > 0 && parts > 0; parts--, from = NULL) {
        double share = share_made(f, o->packings);
        options.hold = HOLD_FIRST * power(HOLD_LAST / HOLD_FIRST, share);
        options.spacing = grid->spacing * power(COARSE, fmax(0, 1 - 2 * share));
        status = fill(&r, from ? from : f, &options, error);
        if (status) break;
        bool last = f->report.left == 1 || (f->report.packings > 0 && f->report.moved < o->still);
        for (int i = 0; i < f->strands.count; i++) {
            f->hair[i].goes_on = f->tight, f->hair[i].at_rest = false;
            f->hair[i].loose &= from != NULL;
        }
        status = pass(f, o, &r, last || from ? o->rounds : STEPS, error);
        if (status) break;
        tell_moves(f);
        f->made++, f->report.packings++, f->report.left = last ? 0 : f->report.left - 1;
        f->tight = f->tight || last || f->made >= o->packings;
    }
    room_empty(&r);
    return status;
}
