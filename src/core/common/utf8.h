/* UTF-8 (RFC 3629): no overlong forms, no surrogates. */
#ifndef LW_UTF8_H
#define LW_UTF8_H

#include <stddef.h>

/* Bytes of the character at text, of which `left` bytes, at least one, may be read; 0 where it is none. */
static inline size_t utf8_size(const char *text, size_t left) {
    const unsigned char *p = (const unsigned char *)text;
    unsigned c = p[0];
    if (c < 0x80) return 1;
    size_t n = c >= 0xC2 && c < 0xE0 ? 2 : (c & 0xF0) == 0xE0 ? 3 : c >= 0xF0 && c < 0xF5 ? 4 : 0;
    if (n == 0 || left < n) return 0;
    for (size_t i = 1; i < n; i++)
        if ((p[i] & 0xC0) != 0x80) return 0;
    if ((c == 0xE0 && p[1] < 0xA0) || (c == 0xED && p[1] > 0x9F)) return 0;
    if ((c == 0xF0 && p[1] < 0x90) || (c == 0xF4 && p[1] > 0x8F)) return 0;
    return n;
}

/* Writes character c, below 0x110000, into at most 4 bytes; how many. */
static inline size_t utf8_put(char *out, unsigned c) {
    if (c < 0x80) {
        out[0] = (char)c;
        return 1;
    }
    size_t n = c < 0x800 ? 2 : c < 0x10000 ? 3 : 4;
    for (size_t i = n - 1; i > 0; i--, c >>= 6) out[i] = (char)(0x80 | (c & 0x3F));
    out[0] = (char)((n == 2 ? 0xC0u : n == 3 ? 0xE0u : 0xF0u) | c);
    return n;
}

#endif
