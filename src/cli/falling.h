/* A prediction's hair brought to rest. */
#ifndef LW_CLI_FALLING_H
#define LW_CLI_FALLING_H

#include "prediction.h"

/* Sets p->fall. On a terminal it shows how far it is; Ctrl-C stops it; hairs that did not come to rest are
 * told. Complains and returns an exit code on failure, when there is nothing to clear. */
int prediction_let_fall(prediction *p, manner how);

/* Sets p->fallen, from p->fall where that is set; otherwise lets at most `hairs` of the computed hairs fall,
 * 0 all. Complains only where nothing can be read: those that did not come to rest are part of what is read.
 */
int prediction_read_fall(prediction *p, manner how, int hairs);

/* The same, while `work` is done beside it where there are threads, and before it where there are not. What
 * work returns is the caller's to look at, also where the fall failed. */
int prediction_read_fall_beside(prediction *p, manner how, int hairs, void (*work)(void *context),
                                void *context);

bool fall_is_read(const prediction *p);

enum { HAIRS_READ = 4000 }; /* of them; perimeters move by 1 mm from there to all (docs/model.md) */

#define OPTION_NO_FALL                                                                                       \
    { .name = "no-fall", .help = "Leaves out how the cut falls, which takes longer than all the rest." }

#endif
