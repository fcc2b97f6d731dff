/* Entity tags and the conditions that name them (RFC 9110, 8.8.3 and 13.1). A person or plan has its revision
 * as its tag: "3" with its quotes. */
#ifndef LW_SERVE_ETAG_H
#define LW_SERVE_ETAG_H

#include "lengthwise.h"

enum { ETAG_MAX = 48 };

/* "3", quotes and all. */
void etag_revision(char out[ETAG_MAX], int64_t revision);

/* Whether a condition (If-Match, If-None-Match) is well formed: *, or tags with commas between. */
bool etag_well_formed(const char *condition);

/* Whether `tag`, with its quotes, is among those of a well-formed condition; * is all of them. Weak ones
 * count only where `weak`. */
bool etag_listed(const char *condition, const char *tag, bool weak);

#endif
