/* Reading an exported book into an empty one, in one transaction: all of it or nothing.
 *
 * Nothing is ignored: a key that is not known, stands where it does not belong or is missing is a fault with
 * its line, and so is whatever keeping the same thing by hand would have refused.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "db.h"
#include "fail.h"
#include "find.h"
#include "grown.h"
#include "notes.h"
#include "plans.h"
#include "scan.h"
#include "sum.h"
#include "words.h"

typedef struct import {
    scan s;
    book *b;
} import;

/* What stands at a byte is not what it should be: said there, whatever said it first. */
static void moved(import *in, size_t at, const char *place, const lw_error *found) {
    lw_error *e = in->s.error;
    int line, column;
    scan_where(in->s.text, at, &line, &column);
    *e = *found;
    if (found->line == 0) {
        e->line = line;
        e->column = column;
    } else {
        e->line = found->line + line - 1;
        e->column = found->line == 1 ? found->column + column - 1 : found->column;
    }
    if (found->place[0])
        snprintf(e->place, sizeof e->place, "%.40s: %.50s", place, found->place);
    else
        snprintf(e->place, sizeof e->place, "%s", place);
}

static bool refuse(import *in, size_t at, const char *message, const char *remedy) {
    in->s.at = at;
    return scan_fault(&in->s, LW_ERROR_ARGUMENT, message, remedy);
}

static bool good(const import *in) { return in->s.error->status == LW_OK && in->b->trouble == SQLITE_OK; }

static bool read_text_into(import *in, char *out, size_t room) {
    char *value = scan_text(&in->s, room - 1);
    if (value) memcpy(out, value, strlen(value) + 1);
    free(value);
    return value != NULL;
}

static bool read_time(import *in, char out[BOOK_TIME_MAX]) {
    size_t at = scan_here(&in->s);
    if (!read_text_into(in, out, BOOK_TIME_MAX)) return false;
    return words_time(out) ||
           refuse(in, at, "this is no time", "Write, for example, \"2026-03-01T09:30:00Z\".");
}

/* Which of the keys this is; -1 and a fault for any other, and for one that was there before. */
static int key_of(import *in, const char *const *keys, unsigned *seen) {
    char key[24], message[96];
    size_t at = scan_here(&in->s);
    if (!scan_key(&in->s, key, sizeof key)) return -1;
    for (int i = 0; keys[i]; i++) {
        if (strcmp(keys[i], key) != 0) continue;
        if (*seen & 1u << i) {
            refuse(in, at, "this key stands here twice", "Keep one of them.");
            return -1;
        }
        *seen |= 1u << i;
        return i;
    }
    snprintf(message, sizeof message, "there is no key \"%s\" here", key);
    refuse(in, at, message, "docs/book.md lists the keys.");
    return -1;
}

static bool all_there(import *in, size_t at, const char *const *keys, unsigned seen, unsigned needed) {
    char message[64];
    for (int i = 0; keys[i]; i++)
        if ((needed & ~seen) & 1u << i) {
            snprintf(message, sizeof message, "this has no \"%s\"", keys[i]);
            return refuse(in, at, message, "Is it a book that lengthwise exported?");
        }
    return good(in);
}

/* Each number is given once, in rising order. */
static bool read_number(import *in, int64_t *last, int64_t *out) {
    size_t at = scan_here(&in->s);
    *out = scan_whole(&in->s);
    if (*out == 0) return false;
    if (*out <= *last)
        return refuse(in, at, "these numbers do not rise", "Give each its own, the least first.");
    *last = *out;
    return true;
}

/* ---- notes -------------------------------------------------------------------------------- */

static const char *const note_keys[] = {"id", "made", "text", NULL};

static bool read_note(import *in, int64_t *last, int64_t person, int64_t plan) {
    char made[BOOK_TIME_MAX] = "", *words = NULL;
    int64_t id = 0;
    unsigned seen = 0;
    lw_error found = {0};
    size_t at = scan_here(&in->s);
    for (bool first = scan_open(&in->s, '{'); scan_more(&in->s, '}', &first);) {
        int key = key_of(in, note_keys, &seen);
        if (key == 0) read_number(in, last, &id);
        if (key == 1) read_time(in, made);
        if (key == 2) words = scan_text(&in->s, BOOK_NOTE_MAX - 1);
        if (!good(in)) break;
    }
    bool fine = good(in) && all_there(in, at, note_keys, seen, 7);
    if (fine && words_note(words, &found) != LW_OK) {
        moved(in, at, "notes", &found);
        fine = false;
    }
    if (fine && db_number(in->b, "SELECT count(*) FROM note WHERE id = ?", "i", id) > 0)
        fine = refuse(in, at, "a note of this number was there before", "Give each its own.");
    if (fine) notes_add_row(in->b, id, person, plan, words, made);
    free(words);
    return fine;
}

static bool read_notes(import *in, int64_t person, int64_t plan) {
    int64_t last = 0;
    for (bool first = scan_open(&in->s, '['); scan_more(&in->s, ']', &first);)
        if (!read_note(in, &last, person, plan)) return false;
    return good(in);
}

/* ---- people ------------------------------------------------------------------------------- */

static const char *const person_keys[] = {"id",      "revision", "name",  "tags", "made",
                                          "changed", "measures", "notes", NULL};
enum { ID, REVISION, NAME, TAGS, MADE, CHANGED, MEASURES, NOTES };

static bool read_measures(import *in, char **out) {
    const char *start;
    size_t size;
    lw_error found = {0};
    if (!scan_object(&in->s, &start, &size)) return false;
    *out = grown_copy(start, size);
    if (!*out) return scan_fault(&in->s, LW_ERROR_MEMORY, "out of memory", "Close something and try again.");
    if (book_measures_check(*out, &found) == LW_OK) return true;
    moved(in, (size_t)(start - in->s.text), "measures", &found);
    return false;
}

static void add_person(import *in, const book_person *p) {
    db_do(in->b,
          "INSERT INTO person(id, revision, name, tags, measures, made, changed) VALUES(?, ?, ?, ?, ?, ?, ?)",
          "iittttt", p->id, p->revision, p->name, p->tags, p->measures, p->made, p->changed);
    db_do(in->b, "UPDATE person SET sum = " PERSON_SUM " WHERE id = ?", "i", p->id);
}

static bool check_words(import *in, size_t at, book_person *p) {
    lw_error found = {0};
    char tags[BOOK_TAGS_MAX];
    lw_status status = words_name(p->name, &found);
    if (!status) status = words_tags(tags, p->tags, &found);
    if (!status && strcmp(tags, p->tags) != 0)
        return refuse(in, at, "tags stand sorted, each once, with \", \" between", "Write them so.");
    if (status) moved(in, at, "people", &found);
    return status == LW_OK;
}

static bool read_person(import *in, int64_t *last) {
    book_person p = {0};
    unsigned seen = 0;
    size_t at = scan_here(&in->s);
    bool added = false;
    for (bool first = scan_open(&in->s, '{'); scan_more(&in->s, '}', &first) && good(in);) {
        int key = key_of(in, person_keys, &seen);
        if (key == ID) read_number(in, last, &p.id);
        if (key == REVISION) p.revision = scan_whole(&in->s);
        if (key == NAME) read_text_into(in, p.name, sizeof p.name);
        if (key == TAGS) read_text_into(in, p.tags, sizeof p.tags);
        if (key == MADE) read_time(in, p.made);
        if (key == CHANGED) read_time(in, p.changed);
        if (key == MEASURES) read_measures(in, &p.measures);
        if (key == NOTES) { /* the last */
            if (!all_there(in, at, person_keys, seen, 0x3f) || !check_words(in, at, &p)) break;
            add_person(in, &p);
            added = true;
            read_notes(in, p.id, 0);
        }
    }
    if (!added && good(in) && all_there(in, at, person_keys, seen, 0x3f) && check_words(in, at, &p))
        add_person(in, &p);
    book_person_clear(&p);
    return good(in);
}

/* ---- plans -------------------------------------------------------------------------------- */

static const char *const revision_keys[] = {"revision", "tags", "made", "plan", NULL};

static bool read_revision(import *in, int64_t *last, int64_t plan) {
    char tags[BOOK_TAGS_MAX] = "", made[BOOK_TIME_MAX] = "";
    const char *start = NULL;
    size_t size = 0, at = scan_here(&in->s);
    int64_t revision = 0;
    unsigned seen = 0;
    lw_error found = {0};
    plans_text t;
    for (bool first = scan_open(&in->s, '{'); scan_more(&in->s, '}', &first) && good(in);) {
        int key = key_of(in, revision_keys, &seen);
        if (key == 0) read_number(in, last, &revision);
        if (key == 1) read_text_into(in, tags, sizeof tags);
        if (key == 2) read_time(in, made);
        if (key == 3) scan_object(&in->s, &start, &size);
    }
    if (!good(in) || !all_there(in, at, revision_keys, seen, 15)) return false;
    if (plans_text_read(&t, start, size, tags, &found) != LW_OK) {
        moved(in, (size_t)(start - in->s.text), "plan", &found);
        return false;
    }
    if (strcmp(tags, t.tags) != 0)
        return refuse(in, at, "tags stand sorted, each once, with \", \" between", "Write them so.");
    memcpy(t.made, made, sizeof t.made);
    plans_add_text(in->b, plan, revision, &t);
    return good(in);
}

static const char *const plan_keys[] = {"id", "person", "made", "revisions", "notes", NULL};

static bool read_revisions(import *in, size_t at, unsigned seen, int64_t id, int64_t person,
                           const char *made) {
    int64_t last = 0;
    if (!all_there(in, at, plan_keys, seen, 5)) return false;
    if (person && db_number(in->b, "SELECT count(*) FROM person WHERE id = ?", "i", person) == 0)
        return refuse(in, at, "there is no person of the number that \"person\" gives",
                      "Leave it out for nobody's.");
    plans_add_row(in->b, id, person, made);
    for (bool first = scan_open(&in->s, '['); scan_more(&in->s, ']', &first);)
        if (!read_revision(in, &last, id)) return false;
    return last > 0 || refuse(in, at, "this plan has no revision", "Take it out.");
}

static bool read_plan(import *in, int64_t *last) {
    char made[BOOK_TIME_MAX] = "";
    int64_t id = 0, person = 0;
    unsigned seen = 0;
    size_t at = scan_here(&in->s);
    for (bool first = scan_open(&in->s, '{'); scan_more(&in->s, '}', &first) && good(in);) {
        size_t here = scan_here(&in->s);
        int key = key_of(in, plan_keys, &seen);
        if (key == 0) read_number(in, last, &id);
        if (key == 1) person = scan_whole(&in->s);
        if (key == 2) read_time(in, made);
        if (key == 3) read_revisions(in, at, seen, id, person, made);
        if (key == 4 && !(seen & 8)) refuse(in, here, "notes stand after revisions", "Put them there.");
        if (key == 4 && good(in)) read_notes(in, 0, id);
    }
    return good(in) && all_there(in, at, plan_keys, seen, 13);
}

/* ---- the whole ---------------------------------------------------------------------------- */

static bool read_list(import *in, bool (*read)(import *in, int64_t *last)) {
    int64_t last = 0;
    for (bool first = scan_open(&in->s, '['); scan_more(&in->s, ']', &first);)
        if (!read(in, &last)) return false;
    return good(in);
}

static bool read_format(import *in) {
    char format[32] = "";
    size_t at = scan_here(&in->s);
    if (!read_text_into(in, format, sizeof format)) return false;
    return strcmp(format, "lengthwise book") == 0 ||
           refuse(in, at, "this is no exported book",
                  "Its \"format\" is \"lengthwise book\"; a plan is kept with keep.");
}

static bool read_version(import *in) {
    size_t at = scan_here(&in->s);
    int64_t version = scan_whole(&in->s);
    if (version > 1) {
        in->s.at = at;
        return scan_fault(&in->s, (lw_status)BOOK_NEWER, "a newer lengthwise wrote this",
                          "Use a newer lengthwise.");
    }
    return good(in);
}

static bool read_all(import *in) {
    static const char *const keys[] = {"format", "version", "people", "plans", NULL};
    unsigned seen = 0;
    for (bool first = scan_open(&in->s, '{'); scan_more(&in->s, '}', &first) && good(in);) {
        size_t at = scan_here(&in->s);
        int key = key_of(in, keys, &seen);
        if (key > 0 && (seen & ((1u << key) - 1)) != (1u << key) - 1)
            refuse(in, at, "this stands out of order", "The order is format, version, people, plans.");
        if (key == 0) read_format(in);
        if (good(in) && key == 1) read_version(in);
        if (good(in) && key == 2) read_list(in, read_person);
        if (good(in) && key == 3) read_list(in, read_plan);
    }
    return good(in) && all_there(in, 0, keys, seen, 15) && scan_end(&in->s);
}

static bool holds_nothing(book *b) {
    return db_number(b, "SELECT (SELECT count(*) FROM person) + (SELECT count(*) FROM plan)", "") == 0;
}

lw_status book_import(book *b, const char *text, size_t size, lw_error *error) {
    lw_error unseen;
    lw_status status = db_write(b, error);
    if (status) return status;
    if (!error) error = &unseen;
    *error = (lw_error){0};
    if (!holds_nothing(b) && !b->trouble) {
        status = fail(error, LW_ERROR_ARGUMENT, "book", "Give a new one: --book FILE.",
                      "the book holds something already");
    } else {
import in = {.s = scan_begin(text, size, error), .b = b };
        read_all(&in);
        status = error->status;
        if (!status) find_renew(b);
    }
    return db_end(b, status, error);
}
