/* The two ways in which a prediction is shown. */
#ifndef LW_CLI_PREDICT_H
#define LW_CLI_PREDICT_H

#include "prediction.h"

void prediction_print_json(const prediction *p);

/* Returns an exit code. */
int prediction_print(const prediction *p);

#endif
