/* Random digits from the system's own source (getrandom, which waits until there is enough). */
#define _GNU_SOURCE /* getrandom */ // NOLINT(bugprone-reserved-identifier)
#include <stdio.h>
#include <sys/random.h>

#include "secret.h"

bool secret_make(char *out, int digits) {
    unsigned char bytes[32];
    ssize_t size = digits / 2;
    if (getrandom(bytes, (size_t)size, 0) != size) return false;
    for (int i = 0; i < digits / 2; i++) snprintf(out + 2 * i, 3, "%02x", bytes[i]);
    return true;
}
