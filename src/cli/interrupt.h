/* Ctrl-C. Without these the program ends at once, which is right wherever nothing is left behind. One of the
 * two is on at a time; interrupt_end ends either. Where the program was told to ignore Ctrl-C it still does.
 */
#ifndef LW_CLI_INTERRUPT_H
#define LW_CLI_INTERRUPT_H

#include <stdbool.h>

/* Long work that asks for itself whether to go on: the first Ctrl-C only makes interrupt_came true; a second
 * ends the program at once. */
void interrupt_watch(void);
bool interrupt_came(void);

/* A file that is not whole yet: Ctrl-C, a hang-up and an order to terminate remove it first. path lasts until
 * interrupt_end. */
void interrupt_removes(const char *path);

void interrupt_end(void);

/* Ends the program as Ctrl-C would have, so that a script that waits for it stops as well. */
void interrupt_die(void);

#endif
