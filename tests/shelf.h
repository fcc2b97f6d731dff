/* A folder of its own for each test, and a book in it with invented people. After cmocka.h. */
#ifndef LW_TESTS_SHELF_H
#define LW_TESTS_SHELF_H

#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "book.h"

typedef struct shelf {
    char folder[64], path[96], other[96];
    book *book;
} shelf;

/* A plan of so many cm, with a title. */
typedef struct planned {
    char text[256];
} planned;

static inline planned plan_of(const char *title, double cm) {
    planned p;
    snprintf(p.text, sizeof p.text,
             "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"cm\", \"title\": \"%s\",\n"
             " \"steps\": [{\"section\": \"all\", \"guide\": {\"length\": %.3f}}]}",
             title, cm);
    return p;
}

/* strdup, whose memory failing.h counts. */
static inline char *copied(const char *text) {
    char *out = malloc(strlen(text) + 1);
    assert_non_null(out);
    return strcpy(out, text);
}

static inline void fine(lw_status status, const lw_error *error) {
    if (status != LW_OK) fail_msg("%d: %s: %s", (int)status, error->place, error->message);
}

static inline book *opened(const char *path, bool create) {
    book_options how = book_default();
    lw_error error = {0};
    book *b;
    how.create = create;
    how.now = 1772357400; /* 2026-03-01T09:30:00Z */
    fine(book_open(&b, path, &how, &error), &error);
    return b;
}

static inline shelf shelf_empty(void) {
    shelf s = {.folder = "/tmp/lw-book-XXXXXX"};
    if (access("/dev/shm", W_OK) == 0) strcpy(s.folder, "/dev/shm/lw-book-XXXXXX"); /* waits for no disk */
    assert_non_null(mkdtemp(s.folder));
    snprintf(s.path, sizeof s.path, "%s/book.sqlite", s.folder);
    snprintf(s.other, sizeof s.other, "%s/other.sqlite", s.folder);
    return s;
}

static inline shelf shelf_new(void) {
    shelf s = shelf_empty();
    s.book = opened(s.path, true);
    return s;
}

/* Only what a test of ours can have left there. */
static inline void shelf_remove(shelf *s) {
    book_close(s->book);
    DIR *folder = opendir(s->folder);
    assert_non_null(folder);
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        char path[400];
        snprintf(path, sizeof path, "%s/%s", s->folder, entry->d_name);
        unlink(path);
    }
    closedir(folder);
    if (rmdir(s->folder) == 0) return;
    char command[128]; /* there are folders in it */
    snprintf(command, sizeof command, "rm -rf '%s'", s->folder);
    assert_int_equal(system(command), 0);
}

static inline int64_t person_added(book *b, const char *name, const char *tags, const char *measures) {
    lw_error error = {0};
    book_person wanted = {0}, kept;
    snprintf(wanted.name, sizeof wanted.name, "%s", name);
    snprintf(wanted.tags, sizeof wanted.tags, "%s", tags);
    char *copy = measures ? copied(measures) : NULL;
    wanted.measures = copy;
    fine(book_person_put(&kept, b, &wanted, &error), &error);
    int64_t id = kept.id;
    book_person_clear(&kept);
    free(copy);
    return id;
}

/* Puts a text after revision `after` of plan `id`; both 0 for a new one. What came of it. */
static inline lw_status plan_put(int64_t *id, book *b, int64_t person, int64_t after, const char *text,
                                 const char *tags, lw_error *error) {
    book_plan wanted = {.id = *id, .person = person, .revision = after}, kept;
    char *copy = copied(text);
    wanted.text = copy;
    wanted.size = strlen(text);
    snprintf(wanted.tags, sizeof wanted.tags, "%s", tags);
    lw_status status = book_plan_put(&kept, b, &wanted, error);
    if (status == LW_OK) *id = kept.id;
    book_plan_clear(&kept);
    free(copy);
    return status;
}

static inline int64_t plan_added(book *b, int64_t person, const char *text, const char *tags) {
    lw_error error = {0};
    int64_t id = 0;
    fine(plan_put(&id, b, person, 0, text, tags, &error), &error);
    return id;
}

static inline int64_t note_added(book *b, int64_t person, int64_t plan, const char *text) {
    lw_error error = {0};
    int64_t id;
    fine(book_note_add(&id, NULL, b, person, plan, text, &error), &error);
    return id;
}

/* Two people of the made-up Osiermead salon, three plans, one of them nobody's, four revisions, three notes.
 */
static inline void fill(book *b) {
    lw_error error = {0};
    int64_t wilma =
        person_added(b, "Wilma Osier", "colour, short",
                     "{\"units\": \"cm\", \"head\": {\"kind\": \"woman\", \"circumference\": 55.5},\n"
                     " \"hair\": {\"length\": \"34 1/2\"}}");
    int64_t theo = person_added(b, "Théo Marsh", "", NULL);
    int64_t bob = plan_added(b, wilma, plan_of("Chin bob", 20).text, "bob");
    fine(plan_put(&bob, b, wilma, 1, plan_of("Chin bob, softer", 18.5).text, "bob, soft", &error), &error);
    plan_added(b, theo, plan_of("Crop", 4).text, "");
    plan_added(b, 0, plan_of("Study of one length \\\"A\\\"", 12).text, "school");
    note_added(b, wilma, 0, "Likes it behind the ear.\nColour: see \"autumn\".");
    note_added(b, 0, bob, "Weight sat too low.");
    note_added(b, theo, 0, "Cowlick at the front.");
}

static inline char *exported(book *b, size_t *size) {
    lw_error error = {0};
    char *text;
    size_t unseen;
    fine(book_export(&text, size ? size : &unseen, b, &error), &error);
    return text;
}

#endif
