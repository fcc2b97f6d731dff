/* Building text, and finding the word that was meant: the distance of Damerau (1964), neighbours swapped only
 * once. */
#include "text.h"

#include <ctype.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool reserve(textbuf *t, size_t more) {
    if (t->failed) return false;
    if (t->size + more + 1 <= t->room) return true;
    size_t room = t->room ? t->room : 4096;
    while (room < t->size + more + 1) room *= 2;
    char *data = room <= TEXT_MAX ? realloc(t->data, room) : NULL;
    if (!data) {
        t->failed = true;
        return false;
    }
    t->data = data;
    t->room = room;
    return true;
}

void text_add(textbuf *t, const char *format, ...) {
    va_list list, again;
    va_start(list, format);
    va_copy(again, list);
    int n = vsnprintf(NULL, 0, format, list);
    va_end(list);
    if (n >= 0 && reserve(t, (size_t)n)) {
        vsnprintf(t->data + t->size, (size_t)n + 1, format, again);
        t->size += (size_t)n;
    }
    va_end(again);
}

enum { WORD_MAX = 95 };

static int plain(char c) { return c == '_' || c == '-' ? ' ' : tolower((unsigned char)c); }

static int least(int a, int b) { return a < b ? a : b; }

int word_distance(const char *a, const char *b) {
    int rows[3][WORD_MAX + 1] = {{0}};
    int *before = rows[0], *last = rows[1], *row = rows[2];
    int la = (int)strnlen(a, WORD_MAX), lb = (int)strnlen(b, WORD_MAX);
    for (int j = 0; j <= lb; j++) last[j] = j;
    for (int i = 1; i <= la; i++) {
        row[0] = i;
        for (int j = 1; j <= lb; j++) {
            int same = plain(a[i - 1]) == plain(b[j - 1]);
            row[j] = least(least(row[j - 1], last[j]) + 1, last[j - 1] + !same);
            if (i > 1 && j > 1 && plain(a[i - 1]) == plain(b[j - 2]) && plain(a[i - 2]) == plain(b[j - 1]))
                row[j] = least(row[j], before[j - 2] + 1);
        }
        int *free_row = before;
        before = last;
        last = row;
        row = free_row;
    }
    return last[lb];
}

static bool holds(const char *whole, const char *part) {
    size_t n = strnlen(part, WORD_MAX), m = strnlen(whole, WORD_MAX);
    for (size_t at = 0; at + n <= m && (n >= 3 || (n == 2 && at == 0)); at++) {
        size_t i = 0;
        while (i < n && plain(whole[at + i]) == plain(part[i])) i++;
        if (i == n) return true;
    }
    return false;
}

bool word_near(const char *written, const char *candidate, int *distance) {
    int d = word_distance(written, candidate);
    int allowed = least(3, 1 + (int)strnlen(candidate, WORD_MAX) / 4);
    *distance = 2 * d;
    if (d <= allowed) return true;
    *distance = 5 + d; /* "ear to top of head" for "ear_to_top" */
    return holds(written, candidate) || holds(candidate, written);
}

void word_nearer(const char *written, const char *candidate, const char **best, int *least) {
    int distance;
    if (word_near(written, candidate, &distance) && distance < *least) {
        *least = distance;
        *best = candidate;
    }
}
