/* Saying on stderr what went wrong, always in one form, and returning the code to exit with. */
#ifndef LW_CLI_COMPLAIN_H
#define LW_CLI_COMPLAIN_H

#include "lengthwise.h"

/* "lengthwise: MESSAGE", and the remedy on a line of its own unless it is NULL or empty. */
__attribute__((format(printf, 3, 4))) int complain(int code, const char *remedy, const char *message, ...);

/* "FILE:LINE:COLUMN: PLACE: MESSAGE" and the remedy; what is not known is left out. file may be NULL. */
int complain_error(const char *file, const lw_error *error);

int complain_memory(void);

#endif
