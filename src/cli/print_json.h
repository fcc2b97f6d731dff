/* JSON that was written into memory, onto stdout. */
#ifndef LW_CLI_PRINT_JSON_H
#define LW_CLI_PRINT_JSON_H

#include "put.h"

/* Prints it and frees it; complains where memory ran out. Returns an exit code. */
int print_json(json *j);

#endif
