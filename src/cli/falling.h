/* A prediction's hair brought to rest. */
#ifndef LW_CLI_FALLING_H
#define LW_CLI_FALLING_H

#include "prediction.h"

/* Sets p->fall. On a terminal it shows how far it is; Ctrl-C stops it; hairs that did not come to rest are
 * told. Complains and returns an exit code on failure, when there is nothing to clear. */
int prediction_let_fall(prediction *p, manner how);

#endif
