/* Walking through JSON text in order. See scan.c. */
#ifndef LW_TEXT_SCAN_H
#define LW_TEXT_SCAN_H

#include "lengthwise.h"

typedef struct scan {
    const char *text;
    size_t size, at;
    lw_error *error; /* its status is LW_OK until the first fault; never NULL */
} scan;

scan scan_begin(const char *text, size_t size, lw_error *error);

/* An object or a list:  for (bool first = scan_open(s, '{'); scan_more(s, '}', &first);) … */
bool scan_open(scan *s, char bracket);
bool scan_more(scan *s, char bracket, bool *first);

/* The key and the colon after it; a key of `room` bytes or more is a fault. */
bool scan_key(scan *s, char *out, size_t room);

/* A string of up to `most` bytes, decoded; free() it. NULL after a fault. */
char *scan_text(scan *s, size_t most);

/* A whole number from 1 up. */
int64_t scan_whole(scan *s);

/* Steps over an object and says where it stands; what is in it is not looked at beyond strings and brackets.
 */
bool scan_object(scan *s, const char **start, size_t *size);

/* Steps over any value. */
bool scan_value(scan *s, const char **start, size_t *size);

/* The byte at which what comes next begins. */
size_t scan_here(scan *s);

/* Nothing but white space to the end. */
bool scan_end(scan *s);

/* Says what is wrong here, unless something was before. Always false. */
bool scan_fault(scan *s, lw_status status, const char *message, const char *remedy);

/* Line and column of a byte. */
void scan_where(const char *text, size_t at, int *line, int *column);

#endif
