/* The manual page and the completion, written from the table of commands. */
#ifndef LW_CLI_REFERENCE_H
#define LW_CLI_REFERENCE_H

void manual_print(void);
void completion_print(void);

#endif
