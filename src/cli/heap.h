/* Where memory comes from. */
#ifndef LW_CLI_HEAP_H
#define LW_CLI_HEAP_H

/* Asks the C library to keep what is given back rather than return it to the system, and the system for large
 * pages: a cut takes and gives back large arrays many times, and each time small pages would be cleared one
 * by one, which took a fifth of the time of a sheet. Before any thread starts. Where the C library or the
 * system has no such thing, nothing changes. */
void heap_ready(void);

#endif
