/* lengthwise book: people and their plans, kept. */
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "book_use.h"
#include "measured.h"
#include "names.h"

static const char *const units[] = {"cm", "in", NULL}; /* by lw_units */
static const char *const people[] = {"adult", "woman", "man", NULL};

static const option options[] = {
    [BOOK_FILE] = {.name = "book",
                   .kind = OPTION_FILE,
                   .argument = "FILE",
                   .help =
                       "Another book than your own, which is lengthwise/book.sqlite in $XDG_DATA_HOME or, "
                       "where that is not set, in ~/.local/share."},
    [BOOK_OUTPUT] = {.name = "output",
                     .letter = 'o',
                     .kind = OPTION_FILE,
                     .argument = "FILE",
                     .help = "Where it goes, for your eyes alone; printed if left out."},
    [BOOK_FOR] = {.name = "for",
                  .kind = OPTION_TEXT,
                  .argument = "PERSON",
                  .help = "Whose: a number, a name, or words that only one person has."},
    [BOOK_ON_PLAN] =
        {.name = "plan", .kind = OPTION_WHOLE, .argument = "N", .low = 1, .high = 1e15, .help = "Plan N."},
    [BOOK_ON_NOTE] =
        {.name = "note", .kind = OPTION_WHOLE, .argument = "N", .low = 1, .high = 1e15, .help = "Note N."},
    [BOOK_REVISION] = {.name = "revision",
                       .kind = OPTION_WHOLE,
                       .argument = "N",
                       .low = 1,
                       .high = 1e15,
                       .help =
                           "take: revision N; the newest if left out. keep: the revision that this one was "
                           "made from; refused if the plan was changed since."},
    [BOOK_TAGS] = {.name = "tags",
                   .kind = OPTION_TEXT,
                   .argument = "TAGS",
                   .help = "Words or phrases with commas between. list, find: only what has this one."},
    [BOOK_ON] = {.name = "on",
                 .kind = OPTION_TEXT,
                 .argument = "PERSON",
                 .help = "take: with this person's name, head and hair in the plan."},
    [BOOK_YES] = {.name = "yes", .help = "forget: does it. Without, it only says what would be gone."},
    [BOOK_UNITS] = {.name = "units",
                    .kind = OPTION_WORD,
                    .argument = "UNIT",
                    .words = units,
                    .help = "cm or in: in which first measures are noted. [cm]"},
    [BOOK_HEAD_KIND] = {.name = "kind",
                        .kind = OPTION_WORD,
                        .argument = "KIND",
                        .words = people,
                        .help = "Whose measures fill in what is not given: woman, man or adult."},
    [BOOK_HAIRLINE] = {.name = "hairline",
                       .kind = OPTION_WORD,
                       .argument = "SHAPE",
                       .words = tell_hairlines,
                       .help = "The front hairline: rounded, straight, receded or peaked."},
    [BOOK_HAIR] = {.name = "hair",
                   .kind = OPTION_LENGTH,
                   .argument = "LENGTH",
                   .low = 0.1,
                   .high = 300,
                   .help = "The hair as it is now, dry and straightened."},
    OPTION_MEASURES,
    {0},
};
_Static_assert(sizeof options / sizeof options[0] <= OPTIONS_MAX + 1, "room for every option's value");
_Static_assert(sizeof options / sizeof options[0] == BOOK_OPTIONS + 1, "options and their names agree");

#define TAKES(option) (UINT32_C(1) << (option))
#define TAKES_MEASURES                                                                                       \
    (TAKES(BOOK_UNITS) | TAKES(BOOK_HEAD_KIND) | TAKES(BOOK_HAIRLINE) | TAKES(BOOK_HAIR) |                   \
     ((TAKES(LW_MEASURE_INPUTS) - 1) << BOOK_MEASURES))

static const verb verbs[] = {
    {"add", "NAME", "Adds a person; the first one begins the book.", 1, 1, TAKES(BOOK_TAGS) | TAKES_MEASURES,
     book_add},
    {"list", "[people|plans|notes]", "Lists people, or plans or notes, all or of one person.", 0, 1,
     TAKES(BOOK_FOR) | TAKES(BOOK_TAGS), book_list},
    {"find", "WORDS", "Finds people, plans and notes that have all these words or their beginnings.", 1,
     OPERANDS_MAX - 1, TAKES(BOOK_FOR) | TAKES(BOOK_TAGS), book_search},
    {"show", "PERSON", "Shows a person: measures, plans, notes.", 1, 1, 0, book_show},
    {"measure", "PERSON [PLAN]",
     "Notes measures: those given as options, over those of a plan file or those noted before.", 1, 2,
     TAKES_MEASURES, book_measure},
    {"note", "[PERSON] TEXT", "Adds a note to a person, or with --plan to a plan.", 1, 2, TAKES(BOOK_ON_PLAN),
     book_note_down},
    {"tag", "[PERSON] TAGS", "Gives a person, or with --plan a plan, these tags in place of what it had.", 1,
     2, TAKES(BOOK_ON_PLAN), book_tag},
    {"rename", "PERSON NAME", "Calls a person otherwise.", 2, 2, 0, book_rename},
    {"keep", "PLAN",
     "Keeps a plan file: as a new plan, with --for a person's; or with --plan as plan N's next revision.", 1,
     1, TAKES(BOOK_FOR) | TAKES(BOOK_ON_PLAN) | TAKES(BOOK_REVISION) | TAKES(BOOK_TAGS), book_keep},
    {"history", "N", "Lists the revisions of plan N.", 1, 1, 0, book_history_of},
    {"take", "N", "Takes plan N out again, as a plan file.", 1, 1,
     TAKES(BOOK_OUTPUT) | TAKES(BOOK_REVISION) | TAKES(BOOK_ON), book_take},
    {"forget", "[PERSON]",
     "Removes a person and all that is theirs for ever; or with --plan a plan with every revision, with "
     "--note a note.",
     0, 1, TAKES(BOOK_ON_PLAN) | TAKES(BOOK_ON_NOTE) | TAKES(BOOK_YES), book_forget},
    {"backup", "FILE", "Copies the book, also while it is in use. FILE is then a book itself.", 1, 1, 0,
     book_back_up},
    {"export", "", "Writes all of it as one JSON text.", 0, 0, TAKES(BOOK_OUTPUT), book_write_out},
    {"import", "FILE", "Reads an exported text into a book that holds nothing yet.", 1, 1, 0, book_read_in},
    {"check", "", "Reads all of it and says whether it is sound.", 0, 0, 0, book_look_over},
    {"rescue", "", "Writes what can be read of a damaged book as an exported text; touches nothing in it.", 0,
     0, TAKES(BOOK_OUTPUT), book_rescue},
    {0},
};
enum { VERBS = sizeof verbs / sizeof *verbs - 1 };

static int unknown(const char *name) {
    const char *names[VERBS];
    for (int i = 0; i < VERBS; i++) names[i] = verbs[i].name;
    const char *nearest = nearest_word(name, names, VERBS);
    if (nearest)
        return complain(EXIT_USAGE, NULL, "book has no verb \"%s\"; the nearest is %s", name, nearest);
    return complain(EXIT_USAGE, "lengthwise book --help lists what there is", "book has no verb \"%s\"",
                    name);
}

static int check(const verb *v, const arguments *args) {
    char usage[160];
    int operands = args->operand_count - 1;
    snprintf(usage, sizeof usage, "Usage: lengthwise book %s%s%s; lengthwise book --help says more.", v->name,
             v->operands[0] ? " " : "", v->operands);
    if (operands < v->least) return complain(EXIT_USAGE, usage, "book %s needs %s", v->name, v->operands);
    if (operands > v->most)
        return complain(EXIT_USAGE, usage, "book %s: \"%s\" is more than it takes", v->name,
                        args->operand[v->most + 1]);
    for (int i = 0; i < BOOK_OPTIONS; i++)
        if (args->value[i].given && i != BOOK_FILE && !(v->options & TAKES(i)))
            return complain(EXIT_USAGE, usage, "book %s takes no --%s", v->name, options[i].name);
    return EXIT_FINE;
}

static int run(const arguments *args) {
    const verb *v = verbs;
    while (v->name && strcmp(v->name, args->operand[0]) != 0) v++;
    if (!v->name) return unknown(args->operand[0]);
    int code = check(v, args);
    if (code) return code;
    umask(077); /* whatever it writes is about people */
    return v->run(args);
}

extern const command command_book;
const command command_book = {
    .name = "book",
    .summary = "Keeps people, their heads and hair, and their plans with every revision.",
    .operands = "VERB ...",
    .operands_least = 1,
    .operands_most = OPERANDS_MAX,
    .operands_are_plans = true,
    .about =
        (const char *const[]){
            "The book is one file that you alone can read. A change that was acknowledged stays, whatever "
            "happens to "
            "the machine after; two who change the same thing are told, and nothing is overwritten. What "
            "belongs to a "
            "person is personal data: keep no more than you need, and mind the rules of your place.",
            "PERSON is a number, a name, or words that only one person has; plans and notes go by number.",
            NULL},
    .verbs = verbs,
    .options = options,
    .examples =
        (const char *const[]){
            "lengthwise book add \"Wilma Osier\" --kind woman --circumference 55.5 --hair 35",
            "Adds a person with two measures.",
            "lengthwise book keep examples/graduated-bob.json --for Wilma", "Keeps a plan for her.",
            "lengthwise book keep bob.json --plan 1", "Keeps a changed file as the next revision of plan 1.",
            "lengthwise book take 1 --on Wilma -o bob.json", "Takes it out again, on her head.",
            "lengthwise book backup /media/stick/book-2026-03-01.sqlite", "Copies the book to a stick.",
            NULL},
    .run = run,
};
