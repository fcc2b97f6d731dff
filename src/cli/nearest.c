/* Which known word someone meant: the fewest letters changed, added, dropped or swapped with the next
 * (Damerau's distance, Commun ACM 7:171, 1964, restricted to one edit a place). */
#include <ctype.h>
#include <string.h>

#include "command.h"

enum { LETTERS_MAX = 64 };

static int lower(const char *s, int i) { return tolower((unsigned char)s[i]); }

static int least(int a, int b) { return a < b ? a : b; }

static int distance(const char *a, const char *b) {
    int n = (int)strlen(a), m = (int)strlen(b);
    if (n > LETTERS_MAX || m > LETTERS_MAX) return LETTERS_MAX;
    int rows[3][LETTERS_MAX + 1], *before = rows[0], *last = rows[1], *row = rows[2];
    for (int j = 0; j <= m; j++) last[j] = j;
    memcpy(before, last, sizeof rows[0]);
    for (int i = 1; i <= n; i++) {
        row[0] = i;
        for (int j = 1; j <= m; j++) {
            row[j] =
                least(least(last[j], row[j - 1]) + 1, last[j - 1] + (lower(a, i - 1) != lower(b, j - 1)));
            bool swapped =
                i > 1 && j > 1 && lower(a, i - 1) == lower(b, j - 2) && lower(a, i - 2) == lower(b, j - 1);
            if (swapped) row[j] = least(row[j], before[j - 2] + 1);
        }
        int *spare = before;
        before = last;
        last = row;
        row = spare;
    }
    return last[m];
}

const char *nearest_word(const char *word, const char *const *words, int count) {
    int limit = (int)strlen(word) / 3, best = (limit > 2 ? limit : 2) + 1;
    const char *found = NULL;
    for (int i = 0; i < count; i++) {
        int d = distance(word, words[i]);
        if (d < best && d < (int)strlen(words[i])) best = d, found = words[i];
    }
    return found;
}
