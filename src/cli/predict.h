/* The two ways in which a prediction is shown. */
#ifndef LW_CLI_PREDICT_H
#define LW_CLI_PREDICT_H

#include "prediction.h"

/* How it falls, where that was read; false where memory ran out. */
bool prediction_print_fall(const prediction *p);

/* Returns an exit code. */
int prediction_print(const prediction *p);

#endif
