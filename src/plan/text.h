/* Text that grows up to a ceiling. A failed allocation or a full ceiling is remembered in `failed`, so that
 * writers need not check each call. */
#ifndef LW_PLAN_TEXT_H
#define LW_PLAN_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#define TEXT_MAX ((size_t)1 << 20)

typedef struct textbuf {
    char *data; /* zero-terminated; NULL before the first byte */
    size_t size, room;
    bool failed;
} textbuf;

#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
void text_add(textbuf *t, const char *format, ...);

/* Edit distance between two words (insert, delete, replace or swap neighbours), ignoring case and taking _
 * and - for spaces; only the first 95 bytes count. */
int word_distance(const char *a, const char *b);

/* Whether a word written so can be a slip for `candidate`, and how far it is; smaller is nearer. */
bool word_near(const char *written, const char *candidate, int *distance);

/* Keeps in *best the candidate that the written word is nearest to; *least begins at WORD_FAR. */
#define WORD_FAR 1000
void word_nearer(const char *written, const char *candidate, const char **best, int *least);

#endif
