/* The book: people, plans with every revision, notes, search, export, backup, forgetting. Everybody in it is
 * invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>
#include <sqlite3.h>

#include "shelf.h"

static void expect(lw_status status, int wanted, const lw_error *error, const char *said) {
    if ((int)status != wanted) fail_msg("%d instead of %d: %s", (int)status, wanted, error->message);
    assert_int_equal((int)error->status, wanted);
    assert_true(error->message[0] && error->remedy[0] && error->place[0]);
    if (!strstr(error->message, said) && !strstr(error->remedy, said))
        fail_msg("%s / %s", error->message, error->remedy);
}

static int rights(const char *path) {
    struct stat found;
    return stat(path, &found) == 0 ? (int)(found.st_mode & 0777) : -1;
}

/* ---- the file ----------------------------------------------------------------------------- */

static void only_the_owner_can_read(void **state) {
    (void)state;
    mode_t before = umask(0);
    shelf s = shelf_new();
    static const char *const endings[] = {"", "-wal", "-shm", "-lock"};
    fill(s.book);
    for (int i = 0; i < 4; i++) {
        char beside[128];
        snprintf(beside, sizeof beside, "%s%s", s.path, endings[i]);
        assert_int_equal(rights(beside), 0600);
    }
    book_close(s.book);
    assert_int_equal(chmod(s.path, 0664), 0);
    s.book = opened(s.path, false);
    assert_int_equal(rights(s.path), 0600);
    umask(before);
    shelf_remove(&s);
}

static void the_users_own_book_is_where_xdg_says(void **state) {
    (void)state;
    shelf s = shelf_empty();
    lw_error error = {0};
    char *path, wanted[160];
    setenv("XDG_DATA_HOME", s.folder, 1);
    fine(book_path(&path, &error), &error);
    snprintf(wanted, sizeof wanted, "%s/lengthwise/book.sqlite", s.folder);
    assert_string_equal(path, wanted);
    free(path);
    setenv("XDG_DATA_HOME", "not/absolute", 1); /* to be ignored, says the specification */
    setenv("HOME", s.folder, 1);
    fine(book_path(&path, &error), &error);
    snprintf(wanted, sizeof wanted, "%s/.local/share/lengthwise/book.sqlite", s.folder);
    assert_string_equal(path, wanted);
    free(path);
    s.book = opened(NULL, true);
    assert_string_equal(book_file(s.book), wanted);
    *strrchr(wanted, '/') = 0;
    assert_int_equal(rights(wanted), 0700);
    unsetenv("XDG_DATA_HOME");
    unsetenv("HOME");
    expect(book_path(&path, &error), LW_ERROR_ARGUMENT, &error, "--book FILE");
    shelf_remove(&s);
}

static void write_file(const char *path, const void *data, size_t size) {
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(data, 1, size, file), size);
    fclose(file);
}

static long size_of(const char *path) {
    struct stat found;
    return stat(path, &found) == 0 ? (long)found.st_size : -1;
}

static void what_is_no_book_is_refused_and_left_alone(void **state) {
    (void)state;
    shelf s = shelf_empty();
    lw_error error = {0};
    book_options how = book_default();
    book *b;
    expect(book_open(&b, s.path, &how, &error), BOOK_MISSING, &error, "there is no book");
    assert_null(b);
    how.create = true;
    write_file(s.path, "", 0);
    expect(book_open(&b, s.path, &how, &error), BOOK_DAMAGED, &error, "empty");
    assert_int_equal(size_of(s.path), 0);
    assert_int_equal(rights(s.path), 0600);
    char words[5000];
    memset(words, 'x', sizeof words);
    write_file(s.path, words, sizeof words);
    expect(book_open(&b, s.path, &how, &error), BOOK_DAMAGED, &error, "not a database");
    unlink(s.path);
    sqlite3 *db;
    assert_int_equal(sqlite3_open(s.path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "CREATE TABLE other(x); PRAGMA application_id = 7", NULL, NULL, NULL),
                     SQLITE_OK);
    sqlite3_close(db);
    expect(book_open(&b, s.path, &how, &error), LW_ERROR_ARGUMENT, &error, "another program");
    FILE *file = fopen(s.path, "rb");
    fseek(file, 18, SEEK_SET);
    assert_int_equal(fgetc(file), 1); /* not made a file with a log ("Database File Format", section 1.3.3) */
    fclose(file);
    unlink(s.path);
    char log[128];
    snprintf(log, sizeof log, "%s-wal", s.path);
    write_file(log, words, sizeof words);
    expect(book_open(&b, s.path, &how, &error), BOOK_DAMAGED, &error, "its log is still there");
    char nowhere[128];
    snprintf(nowhere, sizeof nowhere, "%s/no/such/book", s.folder);
    expect(book_open(&b, nowhere, &how, &error), BOOK_MISSING, &error, "folder");
    shelf_remove(&s);
}

static void names_that_sqlite_reads_otherwise_are_files(void **state) {
    (void)state;
    shelf s = shelf_empty();
    char before[256];
    assert_non_null(getcwd(before, sizeof before));
    assert_int_equal(chdir(s.folder), 0);
    static const char *const names[] = {":memory:", "file:book?mode=memory", "-x"};
    for (int i = 0; i < 3; i++) {
        book *b = opened(names[i], true);
        person_added(b, "Wilma Osier", "", NULL);
        book_close(b);
        assert_int_equal(rights(names[i]), 0600);
    }
    assert_int_equal(chdir(before), 0);
    shelf_remove(&s);
}

static void a_newer_book_is_refused(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    book_options how = book_default();
    sqlite3 *db;
    book_close(s.book);
    assert_int_equal(sqlite3_open(s.path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "PRAGMA user_version = 99", NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
    expect(book_open(&s.book, s.path, &how, &error), BOOK_NEWER, &error, "version 99");
    shelf_remove(&s);
}

/* ---- people ------------------------------------------------------------------------------- */

static void a_person_is_kept_as_given(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    static const char measures[] =
        "{\"units\": \"in\", \"head\": {\"kind\": \"man\", \"circumference\": \"22 1/2\"}}";
    int64_t id = person_added(s.book, "Théo Marsh", " short ,colour,, short", measures);
    book_close(s.book);
    s.book = opened(s.path, false);
    book_person p;
    fine(book_person_get(&p, s.book, id, &error), &error);
    assert_string_equal(p.name, "Théo Marsh");
    assert_string_equal(p.tags, "colour, short");
    assert_string_equal(p.measures, measures);
    assert_string_equal(p.made, "2026-03-01T09:30:00Z");
    assert_int_equal(p.revision, 1);
    book_person_clear(&p);
    expect(book_person_get(&p, s.book, id + 1, &error), BOOK_MISSING, &error, "no person 2");
    shelf_remove(&s);
}

static void bad_words_are_refused(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    book_person kept, p = {.name = "  "};
    expect(book_person_put(&kept, s.book, &p, &error), LW_ERROR_ARGUMENT, &error, "empty");
    strcpy(p.name, "two\nlines");
    expect(book_person_put(&kept, s.book, &p, &error), LW_ERROR_ARGUMENT, &error, "control characters");
    strcpy(p.name, "\xff\xfe");
    expect(book_person_put(&kept, s.book, &p, &error), LW_ERROR_ARGUMENT, &error, "UTF-8");
    strcpy(p.name, "Wilma Osier");
    strcpy(p.tags, "a\tb");
    expect(book_person_put(&kept, s.book, &p, &error), LW_ERROR_ARGUMENT, &error, "tags");
    p.tags[0] = 0;
    static const char *const bad[][2] = {
        {"{\"units\": \"cm\", \"head\": {\"circumference\": 5}}", "30"},
        {"{\"units\": \"cm\", \"steps\": []}", "only"},
        {"{\"head\": {}}", "units"},
        {"{}", "units"},
        {"{\"units\": \"cm\"", "whole"},
        {"{\"units\": \"cm\"} x", "end of the text"},
        {"[]", "{"},
    };
    for (int i = 0; i < 7; i++) {
        char *copy = copied(bad[i][0]);
        p.measures = copy;
        lw_status status = book_person_put(&kept, s.book, &p, &error);
        if (status == LW_OK || (!strstr(error.message, bad[i][1]) && !strstr(error.remedy, bad[i][1])))
            fail_msg("%s: %d %s / %s", bad[i][0], (int)status, error.message, error.remedy);
        assert_true(error.line == 1 && error.column >= 1);
        free(copy);
    }
    char *copy = copied("\n{\"units\": \"cm\",\n \"hair\": {\"length\": -1}}");
    p.measures = copy;
    assert_int_equal(book_person_put(&kept, s.book, &p, &error), LW_ERROR_PLAN);
    assert_int_equal(error.line, 3);
    assert_int_equal(error.column, 21);
    free(copy);
    shelf_remove(&s);
}

static void two_who_change_a_person_are_told(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    int64_t id = person_added(s.book, "Wilma Osier", "", NULL);
    book *two = opened(s.path, false);
    book_person mine, yours, kept;
    fine(book_person_get(&mine, s.book, id, &error), &error);
    fine(book_person_get(&yours, two, id, &error), &error);
    strcpy(mine.name, "Wilma Reed");
    fine(book_person_put(&kept, s.book, &mine, &error), &error);
    assert_int_equal(kept.revision, 2);
    book_person_clear(&kept);
    strcpy(yours.tags, "vip");
    expect(book_person_put(&kept, two, &yours, &error), BOOK_CONFLICT, &error, "Nothing was overwritten");
    assert_string_equal(kept.name, "Wilma Reed");
    assert_int_equal(kept.revision, 2);
    strcpy(kept.tags, "vip");
    fine(book_person_put(&yours, two, &kept, &error), &error);
    assert_int_equal(yours.revision, 3);
    fine(book_person_put(&mine, two, &yours, &error), &error); /* nothing to change */
    assert_int_equal(mine.revision, 3);
    book_close(two);
    shelf_remove(&s);
}

/* ---- measures ----------------------------------------------------------------------------- */

static void measures_can_be_set_one_by_one(void **state) {
    (void)state;
    lw_error error = {0};
    char *one, *two, *three;
    fine(book_measures_set(&one, NULL, LW_CM, LW_CIRCUMFERENCE, 0.555, &error), &error);
    assert_string_equal(one, "{\"units\": \"cm\", \"head\": {\"circumference\": 55.5}}");
    fine(book_measures_set(&two, one, LW_INCH, LW_NAPE_WIDTH, 0.108, &error),
         &error); /* it is in cm already */
    assert_string_equal(two,
                        "{\"units\": \"cm\", \"head\": {\"circumference\": 55.5, \"nape_width\": 10.8}}");
    fine(book_measures_set(&three, two, LW_CM, LW_CIRCUMFERENCE, 0.56, &error), &error);
    assert_string_equal(three,
                        "{\"units\": \"cm\", \"head\": {\"circumference\": 56, \"nape_width\": 10.8}}");
    free(one);
    fine(book_measures_set(&one, three, LW_CM, LW_MEASURE_COUNT, 0.3, &error), &error);
    assert_string_equal(one, "{\"units\": \"cm\", \"head\": {\"circumference\": 56, \"nape_width\": 10.8}, "
                             "\"hair\": {\"length\": 30}}");
    free(two);
    expect(book_measures_set(&two, one, LW_CM, LW_CIRCUMFERENCE, 3, &error), LW_ERROR_PLAN, &error, "80");
    assert_null(two);
    expect(book_measures_set(&two, one, LW_CM, LW_EAR_TO_EAR_HAIRLINE, .3, &error), LW_ERROR_ARGUMENT, &error,
           "measure");
    free(one);
    free(three);
}

static void a_head_goes_into_a_plan(void **state) {
    (void)state;
    lw_error error = {0};
    char *out, *back;
    planned p = plan_of("Crop", 4);
    static const char measures[] = "{\"units\": \"cm\", \"head\": {\"kind\": \"man\", \"circumference\": "
                                   "58}, \"worn\": {\"parting\": \"left\"}}";
    fine(book_measures_into(&out, p.text, strlen(p.text), measures, "Th\\o \"Marsh\"", &error), &error);
    lw_plan plan;
    fine(lw_plan_read(&plan, out, strlen(out), &error), &error);
    assert_int_equal(plan.head.kind, LW_HEAD_MAN);
    assert_true(plan.head.measure[LW_CIRCUMFERENCE] == 0.58);
    assert_int_equal(plan.worn.way, LW_WORN_LEFT);
    assert_string_equal(plan.title, "Crop");
    assert_string_equal(plan.person, "Th\\o \"Marsh\"");
    assert_int_equal(plan.step_count, 1);
    lw_plan_clear(&plan);
    fine(book_measures_of(&back, out, strlen(out), &error), &error);
    assert_string_equal(back, measures);
    free(back);
    fine(book_measures_into(&back, out, strlen(out), "{\"units\": \"cm\", \"head\": {\"kind\": \"woman\"}}",
                            NULL, &error),
         &error);
    fine(lw_plan_read(&plan, back, strlen(back), &error), &error);
    assert_int_equal(plan.head.kind, LW_HEAD_WOMAN);
    assert_true(plan.head.measure[LW_CIRCUMFERENCE] == 0);
    assert_int_equal(plan.worn.way, LW_WORN_LEFT);
    lw_plan_clear(&plan);
    free(back);
    expect(book_measures_into(&back, out, strlen(out), "{\"units\": \"in\"}", NULL, &error),
           LW_ERROR_ARGUMENT, &error, "inches");
    free(out);
}

/* ---- plans -------------------------------------------------------------------------------- */

static void every_revision_is_kept(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    int64_t id = plan_added(s.book, 0, plan_of("Crop", 1).text, "");
    for (int i = 2; i <= 40; i++)
        fine(plan_put(&id, s.book, 0, i - 1, plan_of("Crop", i).text, "", &error), &error);
    fine(plan_put(&id, s.book, 0, 40, plan_of("Crop", 40).text, "", &error),
         &error); /* the same: no revision 41 */
    book_history h;
    fine(book_plan_history(&h, s.book, id, &error), &error);
    assert_int_equal(h.count, 40);
    assert_int_equal(h.revision[0].revision, 40);
    book_history_clear(&h);
    for (int i = 1; i <= 40; i++) {
        book_plan p;
        planned wanted = plan_of("Crop", i);
        fine(book_plan_get(&p, s.book, id, i, &error), &error);
        assert_string_equal(p.text, wanted.text);
        assert_int_equal(p.size, strlen(wanted.text));
        book_plan_clear(&p);
    }
    book_plan p;
    expect(book_plan_get(&p, s.book, id, 41, &error), BOOK_MISSING, &error, "no revision 41");
    expect(book_plan_get(&p, s.book, id + 1, 0, &error), BOOK_MISSING, &error, "no plan 2");
    expect(plan_put(&(int64_t){0}, s.book, 9, 0, plan_of("Crop", 1).text, "", &error), BOOK_MISSING, &error,
           "no person 9");
    shelf_remove(&s);
}

static void two_who_change_a_plan_are_told_and_see_both(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    int64_t id = plan_added(s.book, 0, plan_of("Crop", 4).text, "");
    book *two = opened(s.path, false);
    fine(plan_put(&id, s.book, 0, 1, plan_of("Crop", 5).text, "", &error), &error);
    planned yours = plan_of("Crop", 6);
    book_plan kept, wanted = {.id = id, .revision = 1, .text = yours.text, .size = strlen(yours.text)};
    expect(book_plan_put(&kept, two, &wanted, &error), BOOK_CONFLICT, &error,
           "revision 1 was looked at, 2 is there");
    assert_string_equal(kept.text, plan_of("Crop", 5).text);
    assert_int_equal(kept.revision, 2);
    wanted.revision = kept.revision;
    book_plan_clear(&kept);
    fine(book_plan_put(&kept, two, &wanted, &error), &error);
    assert_int_equal(kept.revision, 3);
    book_plan_clear(&kept);
    book_close(two);
    shelf_remove(&s);
}

static void only_plans_are_kept_as_plans(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    int64_t id = 0;
    assert_int_equal(plan_put(&id, s.book, 0, 0,
                              "{\"format\": \"lengthwise plan\",\n \"version\": 1, \"units\": \"ell\"}", "",
                              &error),
                     LW_ERROR_PLAN);
    assert_int_equal(error.line, 2);
    assert_int_equal(plan_put(&id, s.book, 0, 0, "", "", &error), LW_ERROR_SYNTAX);
    char padded[400];
    snprintf(padded, sizeof padded, "\xEF\xBB\xBF \n%s\n\n", plan_of("Crop", 4).text);
    id = plan_added(s.book, 0, padded, "");
    book_plan p;
    fine(book_plan_get(&p, s.book, id, 0, &error), &error);
    assert_string_equal(p.text, plan_of("Crop", 4).text);
    book_plan_clear(&p);
    shelf_remove(&s);
}

/* ---- notes and search --------------------------------------------------------------------- */

static void notes_belong_to_one(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    int64_t id;
    fill(s.book);
    expect(book_note_add(&id, NULL, s.book, 1, 1, "x", &error), LW_ERROR_ARGUMENT, &error,
           "a person or to a plan");
    expect(book_note_add(&id, NULL, s.book, 0, 0, "x", &error), LW_ERROR_ARGUMENT, &error,
           "a person or to a plan");
    expect(book_note_add(&id, NULL, s.book, 77, 0, "x", &error), BOOK_MISSING, &error, "no person 77");
    expect(book_note_add(&id, NULL, s.book, 0, 77, "x", &error), BOOK_MISSING, &error, "no plan 77");
    expect(book_note_add(&id, NULL, s.book, 1, 0, " \n", &error), LW_ERROR_ARGUMENT, &error, "empty");
    char *large = malloc(BOOK_NOTE_MAX + 1);
    memset(large, 'a', BOOK_NOTE_MAX);
    large[BOOK_NOTE_MAX] = 0;
    expect(book_note_add(&id, NULL, s.book, 1, 0, large, &error), LW_ERROR_ARGUMENT, &error, "Shorten");
    large[BOOK_NOTE_MAX - 1] = 0;
    fine(book_note_add(&id, NULL, s.book, 1, 0, large, &error), &error);
    book_notes notes;
    fine(book_note_list(&notes, s.book, 1, 0, &error), &error);
    assert_int_equal(notes.count, 2);
    assert_string_equal(notes.note[0].text, "Likes it behind the ear.\nColour: see \"autumn\".");
    assert_string_equal(notes.note[1].text, large);
    book_notes_clear(&notes);
    fine(book_note_list(&notes, s.book, 0, 1, &error), &error);
    assert_int_equal(notes.count, 1);
    book_notes_clear(&notes);
    free(large);
    shelf_remove(&s);
}

static book_entries found(book *b, const char *words, unsigned kinds, const char *tag, int64_t person) {
    lw_error error = {0};
    book_entries out;
    book_query q = book_query_default();
    q.words = words;
    q.kinds = kinds;
    q.tag = tag;
    q.person = person;
    fine(book_find(&out, b, &q, &error), &error);
    return out;
}

static int count(book *b, const char *words) {
    book_entries e = found(b, words, 0, NULL, 0);
    int n = e.count;
    assert_int_equal(e.all, n);
    book_entries_clear(&e);
    return n;
}

static void things_are_found_by_their_words(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    fill(s.book);
    assert_int_equal(count(s.book, "theo"), 1);     /* whatever the accents */
    assert_int_equal(count(s.book, "MARSH th"), 1); /* capitals, order, beginnings */
    assert_int_equal(count(s.book, "autumn"), 1);
    assert_int_equal(count(s.book, "soft"), 1);
    assert_int_equal(count(s.book, "softer chin weight"), 0);
    assert_int_equal(count(s.book, "colour"), 2); /* a tag, a note */
    assert_int_equal(count(s.book, "\"autumn\" * ( : ^ NOT AND -"), 0);
    assert_int_equal(count(s.book, "\"autumn\" *"), 1);
    assert_int_equal(count(s.book, "*"), 0);
    assert_int_equal(count(s.book, ""), 8);
    book_person p, kept;
    fine(book_person_get(&p, s.book, 2, &error), &error);
    strcpy(p.name, "Theodor Brook");
    fine(book_person_put(&kept, s.book, &p, &error), &error);
    book_person_clear(&p);
    book_person_clear(&kept);
    assert_int_equal(count(s.book, "marsh"), 0);
    assert_int_equal(count(s.book, "brook"), 1);
    fine(book_check(NULL, s.book, &error), &error);
    shelf_remove(&s);
}

static void lists_are_in_order_and_can_be_narrowed(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    fill(s.book);
    person_added(s.book, "anne Brook", "short", NULL);
    book_entries e = found(s.book, NULL, 1u << BOOK_PERSON, NULL, 0);
    assert_int_equal(e.count, 3);
    assert_string_equal(e.entry[0].name, "anne Brook");
    assert_string_equal(e.entry[2].name, "Wilma Osier");
    book_entries_clear(&e);
    e = found(s.book, NULL, 1u << BOOK_PLAN, NULL, 1);
    assert_int_equal(e.count, 1);
    assert_string_equal(e.entry[0].name, "Chin bob, softer");
    assert_string_equal(e.entry[0].who, "Wilma Osier");
    assert_int_equal(e.entry[0].revision, 2);
    book_entries_clear(&e);
    e = found(s.book, NULL, 0, "short", 0);
    assert_int_equal(e.count, 2);
    book_entries_clear(&e);
    e = found(s.book, NULL, 0, "shor", 0);
    assert_int_equal(e.count, 0);
    book_query q = book_query_default();
    q.most = 2;
    q.skip = 8;
    fine(book_find(&e, s.book, &q, &error), &error);
    assert_int_equal(e.count, 1);
    assert_int_equal(e.all, 9);
    assert_int_equal(e.entry[0].kind, BOOK_NOTE);
    assert_string_equal(e.entry[0].excerpt, "Likes it behind the ear.\nColour: see \"autumn\".");
    book_entries_clear(&e);
    q.most = 0;
    expect(book_find(&e, s.book, &q, &error), LW_ERROR_ARGUMENT, &error, "1 to 10,000");
    shelf_remove(&s);
}

/* ---- forgetting --------------------------------------------------------------------------- */

static bool file_holds(const char *path, const char *word) {
    FILE *file = fopen(path, "rb");
    if (!file) return false;
    char *data = malloc(1 << 22);
    size_t size = fread(data, 1, 1 << 22, file), length = strlen(word);
    bool found_it = false;
    for (size_t i = 0; i + length <= size && !found_it; i++) found_it = memcmp(data + i, word, length) == 0;
    free(data);
    fclose(file);
    return found_it;
}

static bool book_file_holds(const shelf *s, const char *word) {
    char log[128];
    snprintf(log, sizeof log, "%s-wal", s->path);
    return file_holds(s->path, word) || file_holds(log, word);
}

static void forgetting_a_person_leaves_no_trace(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    fill(s.book);
    char text[512];
    for (int i = 0; i < 300; i++) { /* so that rows fill pages of their own, which are freed */
        snprintf(text, sizeof text, "Quillfeather came on day %d and had it cut as the time before.", i);
        note_added(s.book, 1, 0, text);
    }
    int64_t study = plan_added(s.book, 0, plan_of("After Quillfeather", 3).text, "");
    assert_true(book_file_holds(&s, "Quillfeather") && book_file_holds(&s, "Osier") &&
                book_file_holds(&s, "34 1/2"));
    book_forgotten gone;
    fine(book_person_holds(&gone, s.book, 1, &error), &error);
    assert_int_equal(gone.notes, 302);
    fine(book_person_forget(&gone, s.book, 1, 0, &error), &error);
    assert_int_equal(gone.people, 1);
    assert_int_equal(gone.measures, 1);
    assert_int_equal(gone.plans, 1);
    assert_int_equal(gone.revisions, 2);
    assert_int_equal(gone.notes, 302);
    assert_int_equal(gone.named, 0);
    assert_false(gone.traces);
    static const char *const words[] = {"Osier",  "osier",  "34 1/2", "Chin", "chin",
                                        "behind", "autumn", "Weight", "55.5"};
    for (int i = 0; i < 9; i++)
        if (book_file_holds(&s, words[i])) fail_msg("%s is still in the file", words[i]);
    fine(book_plan_forget(&gone, s.book, study, 0, &error), &error);
    assert_int_equal(gone.plans, 1);
    assert_false(book_file_holds(&s, "Quillfeather") || book_file_holds(&s, "quillfeather"));
    fine(book_check(NULL, s.book, &error), &error);
    assert_int_equal(count(s.book, NULL), 4); /* Théo, his crop, his note, the study */
    expect(book_person_forget(&gone, s.book, 1, 0, &error), BOOK_MISSING, &error, "no person 1");
    assert_int_equal(person_added(s.book, "Nell Sedge", "", NULL), 3); /* no number is given twice */
    shelf_remove(&s);
}

static void what_still_names_them_is_counted(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    fill(s.book);
    note_added(s.book, 2, 0, "Came with wilma  osier.");
    int64_t note = note_added(s.book, 2, 0, "Wilma: no; Osier: yes.");
    book_forgotten gone;
    fine(book_person_forget(&gone, s.book, 1, 0, &error), &error);
    assert_int_equal(gone.named, 1);
    fine(book_note_forget(&gone, s.book, note, &error), &error);
    assert_int_equal(gone.notes, 1);
    shelf_remove(&s);
}

static void a_reader_may_keep_the_log_and_that_is_said(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    fill(s.book);
    sqlite3 *reader;
    assert_int_equal(sqlite3_open(s.path, &reader), SQLITE_OK);
    assert_int_equal(sqlite3_exec(reader, "BEGIN; SELECT count(*) FROM person", NULL, NULL, NULL), SQLITE_OK);
    book_options how = book_default();
    how.wait = 50;
    book_close(s.book);
    fine(book_open(&s.book, s.path, &how, &error), &error);
    book_forgotten gone;
    fine(book_person_forget(&gone, s.book, 1, 0, &error), &error);
    assert_true(gone.traces);
    sqlite3_close_v2(reader);
    shelf_remove(&s);
}

/* ---- the whole ---------------------------------------------------------------------------- */

static void a_round_trip_is_exact(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    fill(s.book);
    person_added(s.book, "Quote \" back \\ slash", "", NULL);
    note_added(s.book, 3, 0, "tab\t, line\n, 髪, \xF0\x9F\x92\x87");
    book_forgotten gone;
    fine(book_person_forget(&gone, s.book, 2, 0, &error), &error); /* a gap in the numbers */
    size_t size, size_again;
    char *text = exported(s.book, &size);
    book *other = opened(s.other, true);
    fine(book_import(other, text, size, &error), &error);
    fine(book_check(NULL, other, &error), &error);
    char *again = exported(other, &size_again);
    assert_int_equal(size, size_again);
    assert_memory_equal(text, again, size);
    assert_int_equal(count(other, "autumn"), 1);
    expect(book_import(other, text, size, &error), LW_ERROR_ARGUMENT, &error, "holds something");
    free(again);
    again = exported(other, NULL);
    assert_string_equal(text, again);
    free(text);
    free(again);
    book_close(other);
    shelf_remove(&s);
}

/* Cut short anywhere, or with one byte changed: refused with a place, and the book stays empty; or, where the
 * change says something else that is right, taken whole. */
static void a_faulty_export_is_refused_whole(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    size_t size;
    fill(s.book);
    char *text = exported(s.book, &size);
    book *other = opened(s.other, true);
    int refused = 0;
    for (size_t cut = 0; cut < size - 2; cut += 7) {
        lw_status status = book_import(other, text, cut, &error);
        if (status == LW_OK) fail_msg("taken though cut at %zu of %zu", cut, size);
        assert_true(error.line > 0 && error.column > 0 && error.message[0] && error.remedy[0]);
        refused++;
    }
    assert_int_equal(count(other, NULL), 0);
    static const char changes[] = "\"{}[],:0x\\\x01\xff";
    for (size_t at = 3; at < size - 2; at += 11) {
        char before = text[at];
        text[at] = changes[at % (sizeof changes - 1)];
        lw_status status = book_import(other, text, size, &error);
        if (status != LW_OK) {
            assert_true(error.line > 0 && error.message[0] && error.remedy[0]);
            refused++;
        } else {
            fine(book_check(NULL, other, &error), &error);
            book_close(other);
            assert_int_equal(unlink(s.other), 0);
            other = opened(s.other, true);
        }
        text[at] = before;
    }
    assert_true(refused > 300);
    fine(book_import(other, text, size, &error), &error);
    free(text);
    book_close(other);
    shelf_remove(&s);
}

static void faults_of_an_import_have_their_place(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    static const struct {
        const char *text, *said;
        int status, line;
    } bad[] = {
        {"{\"format\": \"lengthwise plan\"}", "no exported book", LW_ERROR_ARGUMENT, 1},
        {"{\"format\": \"lengthwise book\",\n\"version\": 2}", "newer", BOOK_NEWER, 2},
        {"{\"format\": \"lengthwise book\",\n\"people\": []}", "out of order", LW_ERROR_ARGUMENT, 2},
        {"{\"format\": \"lengthwise book\", \"version\": 1, \"people\": [\n{\"id\": 1}], \"plans\": []}",
         "no \"revision\"", LW_ERROR_ARGUMENT, 2},
        {"{\"format\": \"lengthwise book\", \"version\": 1, \"people\": [], \"plans\": [\n{\"id\": 1, "
         "\"person\": 4,"
         " \"made\": \"2026-03-01T09:30:00Z\", \"revisions\": []}]}",
         "no person", LW_ERROR_ARGUMENT, 2},
        {"{\"format\": \"lengthwise book\", \"version\": 1, \"people\": [], \"plans\": [\n{\"id\": 1,"
         " \"made\": \"2026-03-01\", \"revisions\": []}]}",
         "no time", LW_ERROR_ARGUMENT, 2},
        {"{\"format\": \"lengthwise book\", \"version\": 1, \"people\": [], \"plans\": [\n{\"id\": 1,"
         " \"made\": \"2026-03-01T09:30:00Z\", \"revisions\": [{\"revision\": 1, \"tags\": \"\", \"made\":"
         " \"2026-03-01T09:30:00Z\", \"plan\":\n{\"format\": \"lengthwise plan\",\n\"version\": 7}}]}]}",
         "version 7", LW_ERROR_PLAN, 4},
        {"{\"format\": \"lengthwise book\", \"version\": 1, \"people\": [], \"plans\": [], \"x\": 1}",
         "no key \"x\"", LW_ERROR_ARGUMENT, 1},
        {"{\"format\": \"lengthwise book\", \"version\": 1, \"version\": 1}", "twice", LW_ERROR_ARGUMENT, 1},
    };
    for (int i = 0; i < (int)(sizeof bad / sizeof *bad); i++) {
        lw_status status = book_import(s.book, bad[i].text, strlen(bad[i].text), &error);
        if ((int)status != bad[i].status || error.line != bad[i].line ||
            (!strstr(error.message, bad[i].said) && !strstr(error.remedy, bad[i].said)))
            fail_msg("%d: %d, line %d: %s / %s", i, (int)status, error.line, error.message, error.remedy);
    }
    assert_int_equal(count(s.book, NULL), 0);
    shelf_remove(&s);
}

static void a_backup_is_whole_while_others_write(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    fill(s.book);
    book *two = opened(s.path, false);
    int64_t id = 1;
    for (int i = 0; i < 20; i++) {
        char name[128];
        fine(plan_put(&id, two, 0, 2 + i, plan_of("Chin bob", 10 + i).text, "", &error), &error);
        snprintf(name, sizeof name, "%s/backup-%d", s.folder, i);
        fine(book_backup(s.book, name, &error), &error);
        assert_int_equal(rights(name), 0600);
        char *now = exported(two, NULL);
        book *copy = opened(name, false);
        fine(book_check(NULL, copy, &error), &error);
        char *kept = exported(copy, NULL);
        assert_string_equal(now, kept);
        free(now);
        free(kept);
        book_close(copy);
        expect(book_backup(s.book, name, &error), BOOK_DISK, &error, "exists");
    }
    book_close(two);
    char nowhere[128];
    snprintf(nowhere, sizeof nowhere, "%s/no/such", s.folder);
    expect(book_backup(s.book, nowhere, &error), BOOK_MISSING, &error, "folder");
    shelf_remove(&s);
}

static void who_writes_for_long_is_waited_for_and_then_told(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    book_options how = book_default();
    sqlite3 *writer;
    book_close(s.book);
    how.wait = 30;
    fine(book_open(&s.book, s.path, &how, &error), &error);
    assert_int_equal(sqlite3_open(s.path, &writer), SQLITE_OK);
    assert_int_equal(sqlite3_exec(writer, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
    book_person kept, p = {.name = "Wilma Osier"};
    expect(book_person_put(&kept, s.book, &p, &error), BOOK_BUSY, &error, "Do it again");
    assert_int_equal(count(s.book, NULL), 0); /* reading goes on */
    sqlite3_close(writer);
    fine(book_person_put(&kept, s.book, &p, &error), &error);
    book_person_clear(&kept);
    shelf_remove(&s);
}

/* A book as version 1 made it, written out here so that no later change of the tables can change it. */
static const char version_1[] =
    "CREATE TABLE person(id INTEGER PRIMARY KEY AUTOINCREMENT, revision INTEGER NOT NULL, name TEXT NOT "
    "NULL, tags TEXT "
    "NOT NULL, measures TEXT, made TEXT NOT NULL, changed TEXT NOT NULL) STRICT;"
    "CREATE TABLE plan(id INTEGER PRIMARY KEY AUTOINCREMENT, person INTEGER REFERENCES person ON DELETE "
    "CASCADE, made "
    "TEXT NOT NULL) STRICT;"
    "CREATE INDEX plan_of ON plan(person);"
    "CREATE TABLE plan_text(plan INTEGER NOT NULL REFERENCES plan ON DELETE CASCADE, revision INTEGER NOT "
    "NULL, title "
    "TEXT NOT NULL, tags TEXT NOT NULL, words TEXT NOT NULL, text TEXT NOT NULL, made TEXT NOT NULL) STRICT;"
    "CREATE UNIQUE INDEX plan_text_of ON plan_text(plan, revision);"
    "CREATE TABLE note(id INTEGER PRIMARY KEY AUTOINCREMENT, person INTEGER REFERENCES person ON DELETE "
    "CASCADE, plan "
    "INTEGER REFERENCES plan ON DELETE CASCADE, text TEXT NOT NULL, made TEXT NOT NULL, CHECK((person IS "
    "NULL) <> (plan "
    "IS NULL))) STRICT;"
    "CREATE INDEX note_of ON note(person);"
    "CREATE INDEX note_on ON note(plan);"
    "PRAGMA user_version = 1; PRAGMA application_id = 1819765602;"
    "INSERT INTO person VALUES(1, 2, 'Wilma Osier', 'short', NULL, '2026-02-01T10:00:00Z', "
    "'2026-02-02T10:00:00Z');"
    "INSERT INTO plan VALUES(5, 1, '2026-02-01T10:00:00Z');"
    "INSERT INTO plan_text VALUES(5, 1, 'Crop', '', '', '{\"format\": \"lengthwise plan\", \"version\": 1, "
    "\"units\": "
    "\"cm\", \"title\": \"Crop\", \"steps\": []}', '2026-02-01T10:00:00Z');"
    "INSERT INTO note VALUES(3, NULL, 5, 'Too short at the nape.', '2026-02-01T10:00:00Z');";

static void a_book_of_version_1_is_brought_up_to_date(void **state) {
    (void)state;
    shelf s = shelf_empty();
    lw_error error = {0};
    sqlite3 *db;
    assert_int_equal(sqlite3_open(s.path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, version_1, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
    s.book = opened(s.path, false);
    book_counts counts;
    fine(book_check(&counts, s.book, &error), &error);
    assert_true(counts.people == 1 && counts.plans == 1 && counts.revisions == 1 && counts.notes == 1);
    assert_int_equal(count(s.book, "nape"), 1);
    assert_int_equal(count(s.book, "osier"), 1);
    char *text = exported(s.book, NULL);
    book *fresh = opened(s.other, true);
    fine(book_import(fresh, text, strlen(text), &error), &error);
    char *again = exported(fresh, NULL);
    assert_string_equal(text, again);
    free(text);
    free(again);
    book_close(fresh);
    int64_t id = 5;
    fine(plan_put(&id, s.book, 1, 1, plan_of("Crop", 5).text, "", &error), &error);
    shelf_remove(&s);
}

static char *tables_of(const char *path) {
    sqlite3 *db;
    sqlite3_stmt *asked;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(
        sqlite3_prepare_v2(db,
                           "SELECT group_concat(type || name || replace(replace(sql, ' ', ''), char(10), ''),"
                           " char(10)) FROM (SELECT * FROM sqlite_schema ORDER BY type, name)",
                           -1, &asked, NULL),
        SQLITE_OK);
    assert_int_equal(sqlite3_step(asked), SQLITE_ROW);
    char *out = copied((const char *)sqlite3_column_text(asked, 0));
    sqlite3_finalize(asked);
    sqlite3_close(db);
    return out;
}

static void a_book_brought_up_has_the_tables_of_a_new_one(void **state) {
    (void)state;
    shelf s = shelf_empty();
    sqlite3 *db;
    assert_int_equal(sqlite3_open(s.path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, version_1, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
    book_close(opened(s.path, false));
    book_close(opened(s.other, true));
    char *old = tables_of(s.path), *new = tables_of(s.other);
    assert_string_equal(old, new);
    free(old);
    free(new);
    shelf_remove(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(only_the_owner_can_read),
        cmocka_unit_test(the_users_own_book_is_where_xdg_says),
        cmocka_unit_test(what_is_no_book_is_refused_and_left_alone),
        cmocka_unit_test(names_that_sqlite_reads_otherwise_are_files),
        cmocka_unit_test(a_newer_book_is_refused),
        cmocka_unit_test(a_person_is_kept_as_given),
        cmocka_unit_test(bad_words_are_refused),
        cmocka_unit_test(two_who_change_a_person_are_told),
        cmocka_unit_test(measures_can_be_set_one_by_one),
        cmocka_unit_test(a_head_goes_into_a_plan),
        cmocka_unit_test(every_revision_is_kept),
        cmocka_unit_test(two_who_change_a_plan_are_told_and_see_both),
        cmocka_unit_test(only_plans_are_kept_as_plans),
        cmocka_unit_test(notes_belong_to_one),
        cmocka_unit_test(things_are_found_by_their_words),
        cmocka_unit_test(lists_are_in_order_and_can_be_narrowed),
        cmocka_unit_test(forgetting_a_person_leaves_no_trace),
        cmocka_unit_test(what_still_names_them_is_counted),
        cmocka_unit_test(a_reader_may_keep_the_log_and_that_is_said),
        cmocka_unit_test(a_round_trip_is_exact),
        cmocka_unit_test(a_faulty_export_is_refused_whole),
        cmocka_unit_test(faults_of_an_import_have_their_place),
        cmocka_unit_test(a_backup_is_whole_while_others_write),
        cmocka_unit_test(who_writes_for_long_is_waited_for_and_then_told),
        cmocka_unit_test(a_book_of_version_1_is_brought_up_to_date),
        cmocka_unit_test(a_book_brought_up_has_the_tables_of_a_new_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
