/* What a command is: a name, its help, its options and the function that carries it out.
 *
 * Each command stands in one file as one `const command`, with its options in a table that the parser,
 * --help, the manual and the completion all read, so that none of them can disagree with another.
 */
#ifndef LW_CLI_COMMAND_H
#define LW_CLI_COMMAND_H

#include <stdbool.h>
#include <stdint.h>

/* How a command ends. */
enum {
    EXIT_FINE = 0,
    EXIT_INPUT = 1,    /* something is wrong with what was given: the plan, the measures */
    EXIT_USAGE = 2,    /* the command line cannot be understood */
    EXIT_MACHINE = 3,  /* memory, the disk or the reader of the output failed */
    EXIT_STOPPED = 130 /* Ctrl-C; main then dies of it, which a shell calls 130 */
};

enum { OPTIONS_MAX = 24, OPERANDS_MAX = 8 };

typedef enum option_kind {
    OPTION_FLAG,
    OPTION_FILE,
    OPTION_TEXT,    /* whatever it is, but empty */
    OPTION_WHOLE,   /* low to high */
    OPTION_NUMBER,  /* low to high, in the unit that the name says */
    OPTION_NUMBERS, /* three of them with commas */
    OPTION_LENGTH,  /* low to high in cm; also written with "cm" or "in" */
    OPTION_LENGTHS, /* three of them with commas */
    OPTION_WORD,    /* one of `words` */
    OPTION_DATE     /* 2026-03-01 */
} option_kind;

typedef struct option {
    const char *name; /* without the dashes */
    option_kind kind;
    char letter;          /* a short name: "-o"; 0 none */
    const char *argument; /* what the help calls its value; NULL for flags */
    const char *help;
    double low, high;
    const char *const *words; /* ends with NULL */
} option;

typedef struct value {
    bool given;
    const char *text;
    uint64_t whole;
    double length[3]; /* metres */
    double number[3];
    int word; /* index into `words` */
} value;

typedef struct arguments {
    int operand_count;
    const char *operand[OPERANDS_MAX];
    value value[OPTIONS_MAX]; /* one per option of the command */
} arguments;

/* A command that does several things takes the name of one as its first operand. */
typedef struct verb {
    const char *name, *operands, *help;
    int least, most;  /* operands after the name */
    uint32_t options; /* bits, 1 << index: those it takes, besides --book */
    int (*run)(const arguments *args);
} verb;

typedef struct command {
    const char *name, *summary;
    const char *operands; /* as the help shows them: "PLAN" */
    int operands_least, operands_most;
    bool operands_are_plans;     /* completed as files */
    const char *const *about;    /* paragraphs; ends with NULL */
    const verb *verbs;           /* ends with a NULL name; NULL for none */
    const option *options;       /* ends with a NULL name; NULL for none */
    const char *const *examples; /* pairs of what to type and what it does; ends with NULL */
    bool hidden;                 /* left out of the help */
    int (*run)(const arguments *args);
} command;

/* commands.c: all of them; ends with NULL. */
extern const command *const commands[];
const command *command_find(const char *name);

/* options.c. On failure says what is wrong on stderr and returns EXIT_USAGE. `*help` is set where the help
 * was asked for. */
int arguments_parse(arguments *out, const command *cmd, int count, char **words, bool *help);

/* help.c */
void help_all(void);
void help_command(const command *cmd);

/* nearest.c: the one of `count` words most like `word`, or NULL where none is like it. */
const char *nearest_word(const char *word, const char *const *words, int count);

#endif
