/* Every hair as a row of CSV. */
#ifndef LW_CLI_HAIRS_H
#define LW_CLI_HAIRS_H

#include "prediction.h"

/* Of a prediction that has fallen. Complains and returns an exit code on failure. */
int hairs_write(const prediction *p, const char *path);

#endif
