/* Comparing the secret. Where two texts differ must not show in how long it takes to say so: that they do not
 * have one length may. */
#include "secret.h"

#include <stdio.h>
#include <string.h>

static bool equal(const char *given, size_t size, const char *secret) {
    unsigned char differs = 0;
    if (size != strlen(secret)) return false;
    for (size_t i = 0; i < size; i++) differs |= (unsigned char)(given[i] ^ secret[i]);
    return differs == 0;
}

bool secret_equal(const char *given, const char *secret) { return equal(given, strlen(given), secret); }

bool secret_in_cookies(const char *cookies, int port, const char *secret) {
    char name[sizeof COOKIE_NAME + 8];
    size_t key = (size_t)snprintf(name, sizeof name, COOKIE_NAME "%d=", port);
    for (const char *at = cookies; *at;) {
        at += strspn(at, " \t;");
        size_t size = strcspn(at, ";");
        if (size > key && memcmp(at, name, key) == 0 && equal(at + key, size - key, secret)) return true;
        at += size;
    }
    return false;
}

bool secret_digits(const char *text, int digits) {
    return strlen(text) == (size_t)digits && strspn(text, "0123456789abcdef") == (size_t)digits;
}
