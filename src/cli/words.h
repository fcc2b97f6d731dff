/* What the words of the trade and the warnings mean, as lengthwise uses them. */
#ifndef LW_CLI_WORDS_H
#define LW_CLI_WORDS_H

typedef struct entry {
    const char *word;
    const char *also; /* other ways to say it, with | between; "" for none */
    const char *meaning;
    const char *example;
} entry;

/* Each ends with an entry whose word is NULL. */
extern const entry words[];
extern const entry warnings[]; /* by lw_warning_code */

#endif
