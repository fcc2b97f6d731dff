/* A prediction's hair brought to rest. */
#ifndef LW_CLI_FALLING_H
#define LW_CLI_FALLING_H

#include "draw.h"
#include "prediction.h"

/* Sets p->fall. On a terminal it shows how far it is; Ctrl-C stops it; hairs that did not come to rest are
 * told. Complains and returns an exit code on failure, when there is nothing to clear. */
int prediction_let_fall(prediction *p, manner how);

/* Sets p->fallen, from p->fall where that is set; otherwise lets LW_FALL_HAIRS_READ of the computed hairs
 * fall. Complains only where nothing can be read: those that did not come to rest are part of what is read.
 */
int prediction_read_fall(prediction *p, manner how);

/* The same of a prediction whose hair has not fallen, with the head made ready for drawing beside it. */
int prediction_read_fall_ready(draw_ready **ready, prediction *p, manner how);

bool fall_is_read(const prediction *p);
draw_subject prediction_subject(const prediction *p);

#define OPTION_NO_FALL                                                                                       \
    { .name = "no-fall", .help = "Leaves out how the cut falls, which takes longer than all the rest." }

#endif
