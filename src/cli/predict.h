/* The two ways in which a prediction is shown. */
#ifndef LW_CLI_PREDICT_H
#define LW_CLI_PREDICT_H

#include "put.h"
#include "prediction.h"

/* Returns an exit code. */
int prediction_print_json(const prediction *p);

/* How it falls, where that was read: in JSON null otherwise; as text false where memory ran out. */
void prediction_put_fall(json *j, const prediction *p);
bool prediction_print_fall(const prediction *p);

/* Returns an exit code. */
int prediction_print(const prediction *p);

#endif
