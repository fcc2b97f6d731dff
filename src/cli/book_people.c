/* People: listing, finding and showing them, and changing what is kept of them. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book_use.h"
#include "files.h"
#include "names.h"
#include "text.h"

static figure number(int64_t n) {
    figure out;
    snprintf(out.s, sizeof out.s, "%lld", (long long)n);
    return out;
}

/* The first line of a note, as far as it fits beside the rest. */
static const char *line_of(char *excerpt) {
    enum { SHOWN = 36 };
    size_t end = strcspn(excerpt, "\n");
    bool more = excerpt[end] != 0 || end > SHOWN;
    if (end > SHOWN) end = SHOWN;
    while (end > 0 && ((unsigned char)excerpt[end] & 0xC0) == 0x80) end--;
    snprintf(excerpt + end, BOOK_EXCERPT_MAX - end, "%s", more ? " ..." : "");
    return excerpt;
}

/* ---- lists -------------------------------------------------------------------------------- */

static const char *const kind_names[BOOK_KIND_COUNT] = {"people", "plans", "notes"};
static const char *const kind_titles[BOOK_KIND_COUNT] = {"People", "Plans", "Notes"};

static bool print_kind(const book_entries *found, book_kind kind, bool whose) {
    table t = table_begin(kind == BOOK_PERSON ? "rlll" : whose ? "rlrlll" : "rlrll");
    table_cell(&t, "no.");
    table_cell(&t, kind == BOOK_NOTE ? "note" : kind == BOOK_PLAN ? "plan" : "name");
    if (kind != BOOK_PERSON) table_cell(&t, kind == BOOK_NOTE ? "on plan" : "revision");
    if (kind != BOOK_PERSON && whose) table_cell(&t, "whose");
    table_cell(&t, "changed");
    table_cell(&t, kind == BOOK_NOTE ? "" : "tags");
    for (int i = 0; i < found->count; i++) {
        book_entry *e = &found->entry[i];
        if (e->kind != kind) continue;
        int64_t third = kind == BOOK_NOTE ? e->plan : e->revision;
        table_cell(&t, number(e->id).s);
        table_cell(&t, kind == BOOK_NOTE ? line_of(e->excerpt) : e->name[0] ? e->name : "(no title)");
        if (kind != BOOK_PERSON) table_cell(&t, third ? number(third).s : "-");
        if (kind != BOOK_PERSON && whose) table_cell(&t, e->who[0] ? e->who : "-");
        table_cell(&t, day_of(e->changed).s);
        table_cell(&t, e->tags);
    }
    return table_end(&t, kind_titles[kind]);
}

static int print_found(book *b, book_query *query, bool whose, const char *none) {
    book_entries found;
    lw_error error = {0};
    if (book_find(&found, b, query, &error) != LW_OK) return book_refused(b, &error);
    bool printed = true;
    for (int kind = 0; kind < BOOK_KIND_COUNT; kind++)
        printed = print_kind(&found, (book_kind)kind, whose) && printed;
    if (found.count == 0) puts(none);
    if (found.all > found.count) printf("... and %lld more\n", (long long)(found.all - found.count));
    book_entries_clear(&found);
    return printed ? EXIT_FINE : complain_memory();
}

static int list(const arguments *args, unsigned kinds, const char *words) {
    book *b;
    book_query query = book_query_default();
    int code = book_use(&b, args, false);
    if (code) return code;
    query.kinds = kinds;
    query.words = words;
    if (args->value[BOOK_TAGS].given) query.tag = args->value[BOOK_TAGS].text;
    if (args->value[BOOK_FOR].given) code = book_who(&query.person, b, args->value[BOOK_FOR].text);
    if (!code) code = print_found(b, &query, true, "Nothing of that is in the book.");
    book_close(b);
    return code;
}

int book_list(const arguments *args) {
    if (args->operand_count < 2) return list(args, 1u << BOOK_PERSON, NULL);
    for (int i = 0; i < BOOK_KIND_COUNT; i++)
        if (strcmp(args->operand[1], kind_names[i]) == 0) return list(args, 1u << i, NULL);
    return complain(EXIT_USAGE, "lengthwise book find WORDS looks for words.",
                    "book list takes people, plans or notes, not \"%s\"", args->operand[1]);
}

int book_search(const arguments *args) {
    char words[1024] = "";
    size_t used = 0;
    for (int i = 1; i < args->operand_count; i++) {
        int n = snprintf(words + used, sizeof words - used, "%s%s", i > 1 ? " " : "", args->operand[i]);
        if (n < 0 || used + (size_t)n >= sizeof words)
            return complain(EXIT_USAGE, "Use fewer.", "too many words");
        used += (size_t)n;
    }
    return list(args, 0, words);
}

/* ---- one person --------------------------------------------------------------------------- */

static int show(book *b, int64_t id) {
    book_person p;
    book_notes notes;
    book_query query = book_query_default();
    lw_error error = {0};
    if (book_person_get(&p, b, id, &error) != LW_OK) return book_refused(b, &error);
    printf("%s (number %lld)\n", p.name, (long long)p.id);
    if (p.tags[0]) printf("Tags: %s\n", p.tags);
    printf("In the book since %s; changed %s\n", day_of(p.made).s, day_of(p.changed).s);
    printf("Measures: %s\n", p.measures ? p.measures : "none yet");
    book_person_clear(&p);
    query.person = id;
    query.kinds = 1u << BOOK_PLAN;
    int code = print_found(b, &query, false, "Plans and notes: none yet");
    if (code) return code;
    if (book_note_list(&notes, b, id, 0, &error) != LW_OK) return book_refused(b, &error);
    if (notes.count > 0) puts("Notes");
    for (int i = 0; i < notes.count; i++) {
        int used = printf("  %s  note %lld: ", day_of(notes.note[i].made).s, (long long)notes.note[i].id);
        wrapped(notes.note[i].text, 4, used);
    }
    book_notes_clear(&notes);
    return EXIT_FINE;
}

int book_show(const arguments *args) {
    book *b;
    int64_t id = 0;
    int code = book_use(&b, args, false);
    if (code) return code;
    code = book_who(&id, b, args->operand[1]);
    if (!code) code = show(b, id);
    book_close(b);
    return code;
}

/* Sets the text of an array; complains where it does not fit. */
static int fit(char *out, size_t room, const char *text, const char *what) {
    if (strlen(text) >= room)
        return complain(EXIT_INPUT, "Shorten it.", "the %s has %zu bytes; up to %zu fit", what, strlen(text),
                        room - 1);
    memcpy(out, text, strlen(text) + 1);
    return EXIT_FINE;
}

/* ---- measures ----------------------------------------------------------------------------- */

/* Takes the place of *measures. */
static int renew(char **measures, char *next, lw_status status, const lw_error *error) {
    if (status) return complain_error("measures", error);
    free(*measures);
    *measures = next;
    return EXIT_FINE;
}

/* What the options say, over *measures. */
static int measures_from(char **measures, const value *given) {
    lw_units units = given[BOOK_UNITS].given ? (lw_units)given[BOOK_UNITS].word : LW_CM;
    lw_error error = {0};
    char *next;
    int code = EXIT_FINE;
    static const char *const keys[] = {"kind", "hairline"};
    for (int i = 0; i < 2 && !code; i++) {
        const value *v = &given[BOOK_HEAD_KIND + i];
        if (!v->given) continue;
        lw_status status = book_measures_word(&next, *measures, units, keys[i], v->text, &error);
        code = renew(measures, next, status, &error);
    }
    for (int i = 0; i <= LW_MEASURE_INPUTS && !code; i++) {
        bool hair = i == LW_MEASURE_INPUTS;
        const value *v = &given[hair ? BOOK_HAIR : BOOK_MEASURES + i];
        if (!v->given) continue;
        lw_measure measure = hair ? LW_MEASURE_COUNT : (lw_measure)i;
        lw_status status = book_measures_set(&next, *measures, units, measure, v->length[0], &error);
        code = renew(measures, next, status, &error);
    }
    return code;
}

/* Measures that no head has are noted as they are, and that is said. */
static void warn_of_contradiction(const char *measures) {
    char plan[256];
    char *text = NULL;
    lw_plan read;
    lw_head *head = NULL;
    lw_error error = {0};
    bool inches = strstr(measures, "\"in\"") != NULL;
    int n = snprintf(plan, sizeof plan,
                     "{\"format\": \"lengthwise plan\", \"version\": 1, \"units\": \"%s\", \"steps\": []}",
                     inches ? "in" : "cm");
    if (book_measures_into(&text, plan, (size_t)n, measures, NULL, NULL) != LW_OK) return;
    lw_status status = lw_plan_read(&read, text, strlen(text), NULL);
    if (!status) status = lw_head_new(&head, &read.head, &error);
    if (status == LW_ERROR_MEASURES) complain_error("measures", &error);
    if (status == LW_ERROR_MEASURES) fputs("  They are noted all the same. Measure again.\n", stderr);
    lw_head_free(head);
    lw_plan_clear(&read);
    free(text);
}

static int measures_of_file(char **out, const char *path) {
    char *text = NULL;
    size_t size;
    lw_error error = {0};
    int code = file_read(&text, &size, path);
    if (code) return code;
    lw_status status = book_measures_of(out, text, size, &error);
    free(text);
    return status ? complain_error(file_name(path), &error) : EXIT_FINE;
}

/* ---- changes ------------------------------------------------------------------------------ */

static int put(book *b, const book_person *p, const char *done) {
    book_person kept;
    lw_error error = {0};
    lw_status status = book_person_put(&kept, b, p, &error);
    if (!status) printf("%s is %s, number %lld.\n", kept.name, done, (long long)kept.id);
    if (!status && p->measures) warn_of_contradiction(p->measures);
    book_person_clear(&kept);
    return status ? book_refused(b, &error) : EXIT_FINE;
}

int book_add(const arguments *args) {
    book *b;
    book_person p = {0};
    const value *tags = &args->value[BOOK_TAGS];
    int code = fit(p.name, sizeof p.name, args->operand[1], "name");
    if (!code && tags->given) code = fit(p.tags, sizeof p.tags, tags->text, "tags");
    if (!code) code = measures_from(&p.measures, args->value);
    if (!code) code = book_use(&b, args, true);
    if (!code) {
        code = put(b, &p, "in the book");
        book_close(b);
    }
    book_person_clear(&p);
    return code;
}

/* Opens the book and gets who is meant. */
static int get(book **b, book_person *p, const arguments *args) {
    int64_t id = 0;
    lw_error error = {0};
    *p = (book_person){0};
    int code = book_use(b, args, false);
    if (code) return code;
    code = book_who(&id, *b, args->operand[1]);
    if (!code && book_person_get(p, *b, id, &error) != LW_OK) code = book_refused(*b, &error);
    if (code) book_close(*b);
    return code;
}

int book_rename(const arguments *args) {
    book *b;
    book_person p;
    int code = get(&b, &p, args);
    if (code) return code;
    code = fit(p.name, sizeof p.name, args->operand[2], "name");
    if (!code) code = put(b, &p, "the new name");
    book_person_clear(&p);
    book_close(b);
    return code;
}

static int measure(book *b, book_person *p, const arguments *args) {
    int code = EXIT_FINE;
    if (args->operand_count > 2) {
        char *from = NULL;
        code = measures_of_file(&from, args->operand[2]);
        if (!code) {
            free(p->measures);
            p->measures = from;
        }
    }
    if (!code) code = measures_from(&p->measures, args->value);
    return code ? code : put(b, p, "measured");
}

int book_measure(const arguments *args) {
    book *b;
    book_person p;
    bool given = args->operand_count > 2;
    for (int i = BOOK_HEAD_KIND; i < BOOK_OPTIONS; i++) given |= args->value[i].given;
    if (!given)
        return complain(EXIT_USAGE, "Such as --circumference 55.5, or the name of a plan file that has them.",
                        "book measure needs a measure");
    int code = get(&b, &p, args);
    if (code) return code;
    code = measure(b, &p, args);
    book_person_clear(&p);
    book_close(b);
    return code;
}

/* ---- notes and tags ----------------------------------------------------------------------- */

/* Person and text, or text and --plan. */
static int two_or_plan(const arguments *args) {
    bool plan = args->value[BOOK_ON_PLAN].given;
    if (plan == (args->operand_count == 2)) return EXIT_FINE;
    return complain(EXIT_USAGE, "Name a person, or a plan with --plan N.",
                    plan ? "book %s takes a person or --plan, not both" : "book %s: whose?",
                    args->operand[0]);
}

int book_note_down(const arguments *args) {
    book *b;
    int64_t id, person = 0, plan = (int64_t)args->value[BOOK_ON_PLAN].whole;
    lw_error error = {0};
    int code = two_or_plan(args);
    if (!code) code = book_use(&b, args, false);
    if (code) return code;
    if (!plan) code = book_who(&person, b, args->operand[1]);
    if (!code && book_note_add(&id, NULL, b, person, plan, args->operand[plan ? 1 : 2], &error) != LW_OK)
        code = book_refused(b, &error);
    if (!code) printf("Noted, note %lld.\n", (long long)id);
    book_close(b);
    return code;
}

static int tag_plan(book *b, int64_t id, const char *tags) {
    book_plan p, kept = {0};
    lw_error error = {0};
    lw_status status = book_plan_get(&p, b, id, 0, &error);
    if (status) return book_refused(b, &error);
    int code = fit(p.tags, sizeof p.tags, tags, "tags");
    if (!code) status = book_plan_put(&kept, b, &p, &error);
    if (!code && !status)
        printf("Plan %lld is tagged, revision %lld.\n", (long long)id, (long long)kept.revision);
    book_plan_clear(&p);
    book_plan_clear(&kept);
    return status ? book_refused(b, &error) : code;
}

static int tag_person(const arguments *args) {
    book *b;
    book_person p;
    int code = get(&b, &p, args);
    if (code) return code;
    code = fit(p.tags, sizeof p.tags, args->operand[2], "tags");
    if (!code) code = put(b, &p, "tagged");
    book_person_clear(&p);
    book_close(b);
    return code;
}

int book_tag(const arguments *args) {
    book *b;
    int code = two_or_plan(args);
    if (code) return code;
    if (!args->value[BOOK_ON_PLAN].given) return tag_person(args);
    code = book_use(&b, args, false);
    if (code) return code;
    code = tag_plan(b, (int64_t)args->value[BOOK_ON_PLAN].whole, args->operand[1]);
    book_close(b);
    return code;
}

/* ---- forgetting --------------------------------------------------------------------------- */

static void say_gone(const book_forgotten *gone, const char *what) {
    printf("%s: ", what);
    if (gone->people > 0) printf("a person%s, ", gone->measures ? " with measures" : "");
    if (gone->people + gone->plans > 0)
        printf("%lld %s (%lld %s), ", (long long)gone->plans, gone->plans == 1 ? "plan" : "plans",
               (long long)gone->revisions, gone->revisions == 1 ? "revision" : "revisions");
    printf("%lld %s.\n", (long long)gone->notes, gone->notes == 1 ? "note" : "notes");
}

static void say_left(const book_forgotten *gone) {
    say_gone(gone, "Forgotten");
    if (gone->named > 0)
        printf("The name still stands in %lld other places: lengthwise book find shows them.\n",
               (long long)gone->named);
    if (gone->traces) puts("Somebody has the book open; traces stay in its log until all have closed it.");
    puts("Backups and exports made before still hold it.");
}

static int forget(book *b, const arguments *args, int64_t person) {
    const value *plan = &args->value[BOOK_ON_PLAN], *note = &args->value[BOOK_ON_NOTE];
    book_forgotten gone;
    lw_error error = {0};
    lw_status status;
    if (plan->given)
        status = book_plan_forget(&gone, b, (int64_t)plan->whole, 0, &error);
    else if (note->given)
        status = book_note_forget(&gone, b, (int64_t)note->whole, &error);
    else
        status = book_person_forget(&gone, b, person, 0, &error);
    if (status) return book_refused(b, &error);
    say_left(&gone);
    return EXIT_FINE;
}

static int would_forget(book *b, int64_t person) {
    book_forgotten gone = {0};
    lw_error error = {0};
    if (person && book_person_holds(&gone, b, person, &error) != LW_OK) return book_refused(b, &error);
    if (person) say_gone(&gone, "Would be forgotten for ever");
    return complain(EXIT_USAGE, "Add --yes to do it.", "nothing was forgotten yet");
}

int book_forget(const arguments *args) {
    book *b;
    int64_t person = 0;
    int what = args->value[BOOK_ON_PLAN].given + args->value[BOOK_ON_NOTE].given + (args->operand_count > 1);
    if (what != 1)
        return complain(EXIT_USAGE, "Name a person, or a plan with --plan N, or a note with --note N.",
                        what == 0 ? "book forget: whom or what?" : "book forget takes one at a time");
    int code = book_use(&b, args, false);
    if (code) return code;
    if (args->operand_count > 1) code = book_who(&person, b, args->operand[1]);
    if (!code) code = args->value[BOOK_YES].given ? forget(b, args, person) : would_forget(b, person);
    book_close(b);
    return code;
}
