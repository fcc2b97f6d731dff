/* The book: what a hairdresser keeps of people and plans, in one file.
 *
 *   person  name, tags, measures (head and hair, as a plan file says them), dated notes
 *   plan    somebody's or nobody's; every revision of its text is kept, and dated notes
 *
 * The file is SQLite in WAL mode, readable by its owner alone. Functions that change it return LW_OK only
 * when the change is on the disk; one that fails changed nothing. Each writes in one transaction. People and
 * plans carry a revision number that grows by one with every change: who changes one says which revision was
 * looked at, and is refused with BOOK_CONFLICT, and shown what is there, where somebody else was faster.
 * Nothing is overwritten.
 *
 * A book is used by one thread at a time. Threads and processes of one machine may each open the same file. A
 * process that forks must not use in the child what was opened before. Texts are UTF-8; times are UTC and
 * written "2026-03-01T09:30:00Z"; ids are above 0 and never given twice. What a function puts into its first
 * argument is emptied first, and stays empty where it fails unless it says otherwise. docs/book.md tells what
 * is promised.
 */
#ifndef LW_BOOK_BOOK_H
#define LW_BOOK_BOOK_H

#include "lengthwise.h"

/* lw_status values of the book alone. */
enum {
    BOOK_MISSING = -20,  /* no such file, person, plan, revision or note */
    BOOK_CONFLICT = -21, /* it was changed by somebody else since it was looked at */
    BOOK_DAMAGED = -22,  /* the file is not what was written */
    BOOK_NEWER = -23,    /* a newer lengthwise wrote it */
    BOOK_BUSY = -24,     /* somebody else is writing and did not end in time */
    BOOK_DISK = -25      /* the disk is full or fails, or the file may not be touched */
};

#define BOOK_TIME_MAX 21     /* bytes of a time, with its closing zero */
#define BOOK_TAGS_MAX 256    /* of all tags of a person or plan */
#define BOOK_NOTE_MAX 16384  /* of a note */
#define BOOK_EXCERPT_MAX 160 /* of the start of a note in a list */
#define BOOK_MEASURES_MAX 65536

typedef struct book book;

/* ---- opening ------------------------------------------------------------------------------ */

typedef struct book_options {
    bool create;     /* makes the book, and lengthwise's own data folder, where there is none */
    bool unchecked;  /* leaves out SQLite's check of the whole file, for a further handle on a book just
                        opened */
    int64_t now;     /* the time that changes get, seconds since 1970; 0: the clock */
    int wait;        /* milliseconds to wait for somebody else's change, 0 to 600,000 */
    const char *vfs; /* SQLite's name of the file system to go through; NULL: the usual one */
} book_options;

/* Makes none, checked, by the clock, waits for 5 s. */
book_options book_default(void);

/* Where the user's own book is: lengthwise/book.sqlite in $XDG_DATA_HOME, or in ~/.local/share where that is
 * not an absolute path (XDG Base Directory Specification 0.8). free() it. LW_ERROR_ARGUMENT where there is no
 * home either. */
lw_status book_path(char **out, lw_error *error);

/* Opens the book at `path`, NULL for the user's own, and brings one of an earlier version up to date in one
 * transaction. Its rights become the owner's alone. LW_ERROR_ARGUMENT: an SQLite file of another program.
 * BOOK_MISSING: there is none and it was not to be made. BOOK_DAMAGED: book_salvage reads what can be read.
 */
lw_status book_open(book **out, const char *path, const book_options *options, lw_error *error);

/* NULL is fine. */
void book_close(book *b);

/* The path it was opened by. */
const char *book_file(const book *b);

/* ---- people ------------------------------------------------------------------------------- */

typedef struct book_person {
    int64_t id, revision;
    char name[LW_TITLE_MAX];  /* one line, not empty; two people may share one */
    char tags[BOOK_TAGS_MAX]; /* words or phrases with commas between: "colour, wedding party"; kept sorted,
                                 each once */
    char *measures;           /* JSON, zero-terminated: below; NULL none */
    char made[BOOK_TIME_MAX], changed[BOOK_TIME_MAX];
} book_person;

/* Measures are the part of a plan file that belongs to the person: an object with "units" and any of "head",
 * "hair" and "worn", which mean and may hold what they do in a plan (docs/plan-fields.md). They are kept as
 * they are written. */

/* Keeps a person: a new one where wanted->id is 0, otherwise a change of the one with that id, whose revision
 * must still be wanted->revision. made and changed are not read. `kept` is what the book then holds; on
 * BOOK_CONFLICT what it holds already, so that both can be shown. A change that changes nothing keeps its
 * revision. LW_ERROR_ARGUMENT: name or tags are no such text; LW_ERROR_SYNTAX, LW_ERROR_PLAN, LW_ERROR_LIMIT:
 * the measures, with line and column. */
lw_status book_person_put(book_person *kept, book *b, const book_person *wanted, lw_error *error);

lw_status book_person_get(book_person *out, book *b, int64_t id, lw_error *error);
void book_person_clear(book_person *person);

/* Whether the text is measures, without keeping it. */
lw_status book_measures_check(const char *measures, lw_error *error);

/* The measures that a plan's text has in it; free() them. */
lw_status book_measures_of(char **out, const char *plan, size_t size, lw_error *error);

/* Measures with one length set in "head", or with `measure` LW_MEASURE_COUNT in "hair" as its "length", in
 * the measures' own unit; `measures` may be NULL, which is then in `units`. metres above 0. free() the
 * result. */
lw_status book_measures_set(char **out, const char *measures, lw_units units, lw_measure measure,
                            double metres, lw_error *error);

/* The same with a word of "head": key is "kind" or "hairline". */
lw_status book_measures_word(char **out, const char *measures, lw_units units, const char *key,
                             const char *word, lw_error *error);

/* A plan's text with the head, hair and way of wearing it of these measures in place of its own, and `name`
 * as its "person"; what they do not tell stays. Either may be NULL. free() it. LW_ERROR_ARGUMENT where one is
 * in cm and the other in inches. */
lw_status book_measures_into(char **out, const char *plan, size_t size, const char *measures,
                             const char *name, lw_error *error);

/* ---- plans -------------------------------------------------------------------------------- */

typedef struct book_plan {
    int64_t id;
    int64_t person;           /* whose; 0 nobody's. Given with the first revision, and stays */
    int64_t revision;         /* 1, 2 …; of a plan that is put, the one that was looked at */
    char title[LW_TITLE_MAX]; /* the text's own "title" */
    char tags[BOOK_TAGS_MAX]; /* as a person's; each revision has its own */
    char *text;               /* the plan file, zero-terminated, from its first brace to its last */
    size_t size;              /* bytes of text, without the zero */
    char made[BOOK_TIME_MAX]; /* this revision */
} book_plan;

/* Keeps a plan's text as its next revision, or as revision 1 of a new plan where wanted->id is 0; of another,
 * the newest revision must still be wanted->revision. title and made are not read. `kept` is the newest
 * revision the book then holds; on BOOK_CONFLICT the newest that is there. The same text with the same tags
 * makes no new revision. What lw_plan_read says of a text that is not a plan is passed on. BOOK_MISSING: no
 * such plan or person. */
lw_status book_plan_put(book_plan *kept, book *b, const book_plan *wanted, lw_error *error);

/* Revision `revision`, 0 for the newest. */
lw_status book_plan_get(book_plan *out, book *b, int64_t id, int64_t revision, lw_error *error);
void book_plan_clear(book_plan *plan);

typedef struct book_revision {
    int64_t revision;
    char made[BOOK_TIME_MAX];
    char title[LW_TITLE_MAX];
    char tags[BOOK_TAGS_MAX];
    size_t size; /* bytes of its text */
} book_revision;

typedef struct book_history {
    int count;
    book_revision *revision; /* the newest first */
} book_history;

lw_status book_plan_history(book_history *out, book *b, int64_t id, lw_error *error);
void book_history_clear(book_history *history);

/* ---- notes -------------------------------------------------------------------------------- */

typedef struct book_note {
    int64_t id;
    int64_t person, plan; /* one of them is 0 */
    char made[BOOK_TIME_MAX];
    char *text; /* lines; not empty */
} book_note;

typedef struct book_notes {
    int count;
    book_note *note; /* the oldest first */
} book_notes;

/* Adds a note to a person or to a plan; the other is 0. made (BOOK_TIME_MAX bytes, or NULL) is its time. */
lw_status book_note_add(int64_t *id, char *made, book *b, int64_t person, int64_t plan, const char *text,
                        lw_error *error);

/* Notes of one person or of one plan; the other is 0. */
lw_status book_note_list(book_notes *out, book *b, int64_t person, int64_t plan, lw_error *error);
void book_notes_clear(book_notes *notes);

/* ---- finding ------------------------------------------------------------------------------ */

typedef enum book_kind { BOOK_PERSON, BOOK_PLAN, BOOK_NOTE, BOOK_KIND_COUNT } book_kind;

typedef struct book_query {
    unsigned kinds; /* bits, 1 << book_kind; 0 all */
    const char
        *words; /* all of them, or their beginnings, must be there, whatever their accents and capitals: in
                   names, titles, tags, notes, and what a plan says as "person" and "note". NULL or "" any */
    const char *tag; /* has this tag, capitals and all; NULL any */
    int64_t person;  /* this person and what is theirs; 0 any */
    int64_t skip;    /* leaves out so many of the first */
    int most;        /* 1 to 10,000 */
} book_query;

/* Everything, 1,000 at most. */
book_query book_query_default(void);

typedef struct book_entry {
    book_kind kind;
    int64_t id;
    int64_t person;          /* itself, or whose; 0 nobody's */
    int64_t plan;            /* itself, or on which a note is; 0 none */
    int64_t revision;        /* 0 of a note */
    char name[LW_TITLE_MAX]; /* name, title; "" of a note */
    char who[LW_TITLE_MAX];  /* the person's name; "" nobody's */
    char tags[BOOK_TAGS_MAX];
    char changed[BOOK_TIME_MAX];
    char excerpt[BOOK_EXCERPT_MAX]; /* the start of a note */
} book_entry;

typedef struct book_entries {
    int count;
    int64_t all; /* how many there are in the book */
    book_entry *entry;
} book_entries;

/* With words the likeliest first; without, people by name, then plans and notes, the newest first. */
lw_status book_find(book_entries *out, book *b, const book_query *query, lw_error *error);
void book_entries_clear(book_entries *entries);

/* ---- forgetting --------------------------------------------------------------------------- */

typedef struct book_forgotten {
    int64_t people, measures, plans, revisions, notes; /* how many of each are gone */
    int64_t named; /* people, plans and notes left over in which the person's whole name still stands */
    bool traces; /* somebody was reading, so removed text may stand in the book's -wal file until the last one
                    closes the book */
} book_forgotten;

/* What would be forgotten with a person; changes nothing. */
lw_status book_person_holds(book_forgotten *out, book *b, int64_t id, lw_error *error);

/* Removes a person with measures, notes, and all their plans with every revision and note; or a plan with
 * every revision and note; or a note. What is removed is overwritten in the file, in the search as well.
 * Backups and exports made before still hold it, and so may a disk's own spare blocks. revision is the one
 * that was looked at, and BOOK_CONFLICT where there is another; 0 removes whichever is there. */
lw_status book_person_forget(book_forgotten *out, book *b, int64_t id, int64_t revision, lw_error *error);
lw_status book_plan_forget(book_forgotten *out, book *b, int64_t id, int64_t revision, lw_error *error);
lw_status book_note_forget(book_forgotten *out, book *b, int64_t id, lw_error *error);

/* ---- the whole book ----------------------------------------------------------------------- */

/* Everything as one JSON text (docs/book.md); free() it. It is as the book was at one moment. The same book
 * gives the same bytes. */
lw_status book_export(char **out, size_t *size, book *b, lw_error *error);

/* Fills a book that holds nothing from such a text; its export is then the same to the byte.
 * LW_ERROR_ARGUMENT: the book holds something. Faults of the text have line and column; the book then stays
 * empty. */
lw_status book_import(book *b, const char *text, size_t size, lw_error *error);

/* Writes a copy to `path`, which must not exist: a book itself, as it was at one moment, while others go on.
 * It is whole and on the disk when LW_OK is returned, and not there otherwise. */
lw_status book_backup(book *b, const char *path, lw_error *error);

typedef struct book_counts {
    int64_t people, plans, revisions, notes;
} book_counts;

/* Reads all of it: SQLite's integrity check, every row's own sum, every plan, every measure, the search.
 * `found` (may be NULL) is how many there are. BOOK_DAMAGED says what was found first. */
lw_status book_check(book_counts *found, book *b, lw_error *error);

typedef struct book_saved {
    book_counts whole;    /* whose sums are right */
    book_counts doubtful; /* saved as well, but not as they were written */
    book_counts lost;     /* known to have been there and not readable */
} book_saved;

/* Reads what can be read of a damaged book into a text for book_import; free() it. The book is not touched: a
 * copy beside it is read, and removed. Whoever lost the name is called "(name lost) N". BOOK_DAMAGED: nothing
 * can be read, or what is there is no book. */
lw_status book_salvage(char **out, size_t *size, book_saved *saved, const char *path, lw_error *error);

#endif
