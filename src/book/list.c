/* Finding people, plans and notes, by words or simply all of them.
 *
 * The search is SQLite's FTS5, in step with what is kept by two calls around every change: FTS5 wants to hear
 * the old words to take them out ("External Content Tables", https://www.sqlite.org/fts5.html). What was
 * taken out stays in its index until segments are merged, so forgetting makes the index anew.
 */
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "find.h"
#include "grown.h"

enum { MOST = 10000 };

void find_forget(book *b, int64_t findable) {
    db_do(b, "INSERT INTO search(search, rowid, words) SELECT 'delete', id, words FROM findable WHERE id = ?",
          "i", findable);
}

void find_learn(book *b, int64_t findable) {
    db_do(b, "INSERT INTO search(rowid, words) SELECT id, words FROM findable WHERE id = ?", "i", findable);
}

void find_renew(book *b) { db_do(b, "INSERT INTO search(search) VALUES('rebuild')", ""); }

/* One word, or several in order, in FTS5's quotes. */
static void quote(grown *t, const char *word, size_t size) {
    grown_add(t, "\"", 1);
    for (size_t i = 0; i < size; i++)
        grown_add(t, word[i] == '"' ? "\"\"" : &word[i], word[i] == '"' ? 2 : 1);
    grown_add(t, "\"", 1);
}

static bool has_letter(const char *word, size_t size) {
    for (size_t i = 0; i < size; i++) {
        unsigned char c = (unsigned char)word[i];
        if (c >= 0x80 || (c >= '0' && c <= '9') || ((c | 0x20) >= 'a' && (c | 0x20) <= 'z')) return true;
    }
    return false;
}

int64_t find_phrase(book *b, const char *words) {
    grown t = {0};
    if (!has_letter(words, strlen(words))) return 0;
    quote(&t, words, strlen(words));
    if (t.failed) b->trouble = SQLITE_NOMEM;
    int64_t count =
        t.failed ? 0 : db_number(b, "SELECT count(*) FROM search WHERE search MATCH ?", "t", t.at);
    free(t.at);
    return count;
}

/* "ann bob" as FTS5 asks for words that begin so: "ann"* "bob"*. False where there is no word. */
static bool match_of(grown *t, const char *words) {
    static const char space[] = " \t\r\n";
    for (words += strspn(words, space); *words; words += strspn(words, space)) {
        size_t size = strcspn(words, space);
        if (has_letter(words, size)) {
            quote(t, words, size);
            grown_add(t, "* ", 2);
        }
        words += size;
    }
    return t->failed || t->size > 0;
}

/* ---- lists -------------------------------------------------------------------------------- */

#define ENTRIES                                                                                              \
    "WITH entry(kind, id, person, plan, revision, name, who, tags, changed, excerpt) AS ("                   \
    " SELECT 0, id, id, 0, revision, name, name, tags, changed, '' FROM person"                              \
    " UNION ALL SELECT 1, l.id, coalesce(l.person, 0), l.id, t.revision, t.title, coalesce(p.name, ''), "    \
    "t.tags,"                                                                                                \
    "  t.made, '' FROM plan l JOIN plan_text t ON t.plan = l.id"                                             \
    "  AND t.revision = (SELECT max(revision) FROM plan_text WHERE plan = l.id)"                             \
    "  LEFT JOIN person p ON p.id = l.person"                                                                \
    " UNION ALL SELECT 2, n.id, coalesce(n.person, l.person, 0), coalesce(n.plan, 0), 0, '',"                \
    "  coalesce(p.name, ''), '', n.made, substr(n.text, 1, 100) FROM note n LEFT JOIN plan l ON l.id = "     \
    "n.plan"                                                                                                 \
    "  LEFT JOIN person p ON p.id = coalesce(n.person, l.person))"                                           \
    " SELECT e.*, count(*) OVER () FROM entry e"
#define WHERE                                                                                                \
    " WHERE (?1 >> kind) & 1 AND (?2 = 0 OR person = ?2)"                                                    \
    " AND (?3 IS NULL OR instr(', ' || tags || ', ', ', ' || ?3 || ', '))"

static sqlite3_stmt *ask(book *b, const book_query *query, const char *match) {
    int64_t kinds = query->kinds ? query->kinds : (1u << BOOK_KIND_COUNT) - 1;
    if (match)
        return db_ask(b,
                      ENTRIES " JOIN search ON search.rowid = 4 * e.id + e.kind" WHERE
                              " AND search MATCH ?6 ORDER BY search.rank, kind, id LIMIT ?5 OFFSET ?4",
                      "iitiit", kinds, query->person, query->tag, query->skip, (int64_t)query->most, match);
    return db_ask(b,
                  ENTRIES WHERE
                  " ORDER BY kind, CASE kind WHEN 0 THEN name ELSE '' END COLLATE NOCASE, changed DESC,"
                  " id DESC LIMIT ?5 OFFSET ?4",
                  "iitii", kinds, query->person, query->tag, query->skip, (int64_t)query->most);
}

/* Whole characters only. */
static void cut_off(char *out, size_t room, const char *from) {
    size_t size = strlen(from);
    if (size >= room) {
        size = room - 1;
        while (size > 0 && ((unsigned char)from[size] & 0xC0) == 0x80) size--;
    }
    memcpy(out, from, size);
    out[size] = 0;
}

static void read_entry(book_entry *e, sqlite3_stmt *row) {
    *e = (book_entry){.kind = (book_kind)sqlite3_column_int(row, 0),
                      .id = sqlite3_column_int64(row, 1),
                      .person = sqlite3_column_int64(row, 2),
                      .plan = sqlite3_column_int64(row, 3),
                      .revision = sqlite3_column_int64(row, 4)};
    db_text_into(e->name, sizeof e->name, row, 5);
    db_text_into(e->who, sizeof e->who, row, 6);
    db_text_into(e->tags, sizeof e->tags, row, 7);
    db_text_into(e->changed, sizeof e->changed, row, 8);
    cut_off(e->excerpt, sizeof e->excerpt, db_text(row, 9));
}

static void read_entries(book_entries *out, book *b, const book_query *query, const char *match) {
    sqlite3_stmt *asked = ask(b, query, match);
    for (int room = 0; db_row(b, asked); out->count++) {
        if (out->count == room) {
            room = 2 * room + 16;
            book_entry *more = realloc(out->entry, (size_t)room * sizeof *more);
            if (!more) {
                b->trouble = SQLITE_NOMEM;
                break;
            }
            out->entry = more;
        }
        read_entry(&out->entry[out->count], asked);
        out->all = sqlite3_column_int64(asked, 10);
    }
    sqlite3_finalize(asked);
}

book_query book_query_default(void) { return (book_query){.most = 1000}; }

void book_entries_clear(book_entries *entries) {
    free(entries->entry);
    *entries = (book_entries){0};
}

lw_status book_find(book_entries *out, book *b, const book_query *query, lw_error *error) {
    grown match = {0};
    *out = (book_entries){0};
    if (query->most < 1 || query->most > MOST || query->skip < 0)
        return fail(error, LW_ERROR_ARGUMENT, "most", "Give 1 to 10,000.", "cannot list %d at once",
                    query->most);
    bool words = query->words && query->words[strspn(query->words, " \t\r\n")];
    if (words && !match_of(&match, query->words)) return LW_OK;
    lw_status status = match.failed ? fail_memory(error, "book") : db_read(b, error);
    if (!status) {
        read_entries(out, b, query, words ? match.at : NULL);
        status = db_end(b, LW_OK, error);
    }
    free(match.at);
    if (status) book_entries_clear(out);
    return status;
}
