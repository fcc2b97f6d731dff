/* The secret of a run, and the label of the name that the page is opened by: see docs/threats.md. */
#ifndef LW_SERVE_SECRET_H
#define LW_SERVE_SECRET_H

#include "lengthwise.h"

#define COOKIE_NAME "lengthwise-" /* and the port: two servers of one book have one name */

/* Compares in a time that does not depend on where they differ. */
bool secret_equal(const char *given, const char *secret);

/* Whether a Cookie header has it, as the cookie of a server at that port. */
bool secret_in_cookies(const char *cookies, int port, const char *secret);

/* So many random hexadecimal digits, an even number up to 64, and a closing zero. False where the system has
 * none. */
bool secret_make(char *out, int digits);

/* Whether this is so many hexadecimal digits and nothing else. */
bool secret_digits(const char *text, int digits);

#endif
