/* Words as they can be printed. */
#ifndef LW_DRAW_PRINTABLE_H
#define LW_DRAW_PRINTABLE_H

/* A copy in which what is no character (bytes that are not UTF-8, control characters but for line breaks and
 * tabs, Unicode's noncharacters) is U+FFFD: cairo, XML and PDF refuse each its own of these. Free it with
 * g_free. */
char *printable(const char *text);

#endif
