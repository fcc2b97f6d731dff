/* What the book promises when things go wrong: a change that was acknowledged is there after kill -9, a full
 * or failing disk and a power cut, each at any moment; a damaged book is refused and what can be read of it
 * is saved; when memory runs out nothing is half done. Everybody in it is invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include <signal.h>
#include <sys/wait.h>
#include <time.h>

#include "failing.h"
#include "faulty.h"
#include "shelf.h"

static uint64_t seed = 20260301;

/* ---- kill -9 ------------------------------------------------------------------------------ */

enum { KILLS = 300 };

/* In a child: keeps one revision after another, a note with each, and tells each that is acknowledged. */
static void keep_on_keeping(const char *path, int to) {
    book_options how = book_default();
    book *b;
    how.wait = 60000;
    if (book_open(&b, path, &how, NULL)) _exit(1);
    book_plan last, kept;
    if (book_plan_get(&last, b, 1, 0, NULL)) _exit(1);
    for (;;) {
        int64_t next = last.revision + 1, note;
        planned p = plan_of("Crop", 1 + (double)(next % 9000) / 1000);
        book_plan wanted = {.id = 1, .revision = last.revision, .text = p.text, .size = strlen(p.text)};
        if (book_plan_put(&kept, b, &wanted, NULL)) _exit(1);
        book_plan_clear(&last);
        last = kept;
        if (write(to, &next, sizeof next) != sizeof next) _exit(1);
        next = -1;
        if (book_note_add(&note, NULL, b, 0, 1, "Kept.", NULL)) _exit(1);
        if (write(to, &next, sizeof next) != sizeof next) _exit(1);
    }
}

static void wait_a_little(void) {
    struct timespec pause = {.tv_nsec = (long)(faulty_random(&seed) % 4000000)};
    nanosleep(&pause, NULL);
}

static void killed_at_any_moment_it_holds_what_was_acknowledged(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    plan_added(s.book, 0, plan_of("Crop", 1).text, "");
    book_close(s.book);
    s.book = NULL;
    int64_t revisions = 1, notes = 0;
    for (int i = 0; i < KILLS; i++) {
        int ends[2], status;
        assert_int_equal(pipe(ends), 0);
        pid_t child = fork();
        if (child == 0) {
            close(ends[0]);
            keep_on_keeping(s.path, ends[1]);
        }
        close(ends[1]);
        int64_t told;
        /* half of them while it opens the book, the others once it is writing */
        if (i % 2) assert_int_equal(read(ends[0], &told, sizeof told), sizeof told);
        if (i % 2) revisions = told;
        wait_a_little();
        kill(child, SIGKILL);
        waitpid(child, &status, 0);
        assert_true(WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL);
        while (read(ends[0], &told, sizeof told) == sizeof told) {
            if (told < 0) notes++;
            if (told > 0) revisions = told;
        }
        close(ends[0]);
        s.book = opened(s.path, false);
        book_plan p;
        fine(book_plan_get(&p, s.book, 1, 0, &error), &error);
        if (p.revision < revisions || p.revision > revisions + 1)
            fail_msg("kill %d: %lld were acknowledged, %lld are there", i, (long long)revisions,
                     (long long)p.revision);
        revisions = p.revision; /* one may have been kept and not yet told */
        book_plan_clear(&p);
        book_counts counts;
        fine(book_check(&counts, s.book, &error), &error);
        assert_int_equal(counts.revisions, revisions);
        assert_true(counts.notes >= notes && counts.notes <= notes + 1);
        notes = counts.notes;
        book_close(s.book);
        s.book = NULL;
    }
    assert_true(revisions >= KILLS / 2);
    print_message("%d kills, %lld revisions, %lld notes\n", KILLS, (long long)revisions, (long long)notes);
    shelf_remove(&s);
}

/* ---- many at once ------------------------------------------------------------------------- */

enum { WRITERS = 5, CHANGES_EACH = 40 };

/* In a child: adds revisions to one plan that all change, and notes of its own; told of a conflict, it looks
 * again. */
static void write_among_others(const char *path, int number) {
    book_options how = book_default();
    book *b;
    book_plan last = {0}, kept;
    int64_t note;
    how.wait = 120000;
    if (book_open(&b, path, &how, NULL)) _exit(1);
    for (int i = 0; i < CHANGES_EACH;) {
        planned p = plan_of("Crop", 2 + number + i / 1000.);
        if (last.id == 0 && book_plan_get(&last, b, 1, 0, NULL)) _exit(2);
        book_plan wanted = {.id = 1, .revision = last.revision, .text = p.text, .size = strlen(p.text)};
        lw_status status = book_plan_put(&kept, b, &wanted, NULL);
        if (status && (int)status != BOOK_CONFLICT) _exit(3);
        book_plan_clear(&last);
        last = kept;
        if (status) continue;
        if (book_note_add(&note, NULL, b, 0, 1, "Kept.", NULL)) _exit(4);
        i++;
    }
    book_plan_clear(&last);
    book_close(b);
    _exit(0);
}

static void among_many_writers_nothing_is_lost(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    pid_t child[WRITERS];
    plan_added(s.book, 0, plan_of("Crop", 1).text, "");
    book_close(s.book);
    for (int i = 0; i < WRITERS; i++) {
        child[i] = fork();
        if (child[i] == 0) write_among_others(s.path, i);
    }
    s.book = opened(s.path, false);
    for (int i = 0; i < WRITERS; i++) {
        int status;
        waitpid(child[i], &status, 0);
        if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) fail_msg("writer %d ended with %d", i, status);
        book_entries seen;
        book_query query = book_query_default();
        fine(book_find(&seen, s.book, &query, &error), &error);
        book_entries_clear(&seen);
    }
    book_counts counts;
    fine(book_check(&counts, s.book, &error), &error);
    assert_int_equal(counts.revisions, 1 + WRITERS * CHANGES_EACH);
    assert_int_equal(counts.notes, WRITERS * CHANGES_EACH);
    shelf_remove(&s);
}

/* ---- a disk that fails -------------------------------------------------------------------- */

/* One change of each kind; how many were acknowledged before one failed. */
enum { CHANGES = 6 };

static int change(book *b, lw_error *error) {
    book_person person = {.name = "Nell Sedge"}, kept;
    book_forgotten gone;
    int64_t id = 0, note;
    lw_status status = book_person_put(&kept, b, &person, error);
    book_person_clear(&kept);
    if (status) return 0;
    if (plan_put(&id, b, 2, 0, plan_of("Fringe", 6).text, "", error)) return 1;
    if (plan_put(&id, b, 2, 1, plan_of("Fringe", 5).text, "", error)) return 2;
    if (book_note_add(&note, NULL, b, 0, id, "Better.", error)) return 3;
    if (book_person_forget(&gone, b, 1, 0, error)) return 4;
    if (book_note_add(&note, NULL, b, 2, 0, "Again in May.", error)) return 5;
    return CHANGES;
}

/* What the book holds after each number of changes. */
static char *after[CHANGES + 1];

static void learn_what_comes(void) {
    for (int changes = 0; changes <= CHANGES; changes++) {
        shelf s = shelf_new();
        lw_error error = {0};
        book_forgotten gone;
        int64_t id = 0, note;
        fill(s.book);
        if (changes > 0) person_added(s.book, "Nell Sedge", "", NULL);
        if (changes > 1) fine(plan_put(&id, s.book, 2, 0, plan_of("Fringe", 6).text, "", &error), &error);
        if (changes > 2) fine(plan_put(&id, s.book, 2, 1, plan_of("Fringe", 5).text, "", &error), &error);
        if (changes > 3) fine(book_note_add(&note, NULL, s.book, 0, id, "Better.", &error), &error);
        if (changes > 4) fine(book_person_forget(&gone, s.book, 1, 0, &error), &error);
        if (changes > 5) fine(book_note_add(&note, NULL, s.book, 2, 0, "Again in May.", &error), &error);
        free(after[changes]);
        after[changes] = exported(s.book, NULL);
        shelf_remove(&s);
    }
}

static book *opened_faulty(const char *path, lw_error *error) {
    book_options how = book_default();
    book *b;
    how.create = true;
    how.now = 1772357400;
    how.vfs = "faulty";
    return book_open(&b, path, &how, error) == LW_OK ? b : NULL;
}

/* Opens it on a sound disk: it must hold so many changes, or one more if that one failed after it was
 * written. */
static void expect_changes(const shelf *s, int acknowledged, int call) {
    lw_error error = {0};
    book *b = opened(s->path, false);
    fine(book_check(NULL, b, &error), &error);
    char *holds = exported(b, NULL);
    bool good = strcmp(holds, after[acknowledged]) == 0 ||
                (acknowledged < CHANGES && strcmp(holds, after[acknowledged + 1]) == 0);
    if (!good)
        fail_msg("failing at call %d: %d changes were acknowledged and are not there", call, acknowledged);
    free(holds);
    book_close(b);
}

/* Fails at call 1, 2, 3 … until nothing fails any more. */
static void fail_everywhere(int code, bool once) {
    int call = 1;
    for (bool failed = true; failed; call++) {
        shelf s = shelf_new();
        lw_error error = {0};
        fill(s.book);
        book_close(s.book);
        faulty_at(call, code, once);
        s.book = opened_faulty(s.path, &error);
        int done = s.book ? change(s.book, &error) : 0;
        failed = disk.failed > 0;
        if (done < CHANGES) assert_true(failed && error.message[0] && error.remedy[0]);
        if (done < CHANGES && (int)error.status != BOOK_DISK && (int)error.status != BOOK_DAMAGED)
            fail_msg("%d: %s", (int)error.status, error.message);
        if (done < CHANGES && s.book && once) { /* the book can be used on */
            char *now = NULL;
            size_t size;
            fine(book_export(&now, &size, s.book, &error), &error);
            free(now);
            faulty_at(0, 0, false);
            person_added(s.book, "Nell Sedge", "", NULL);
            book_close(s.book);
            s.book = opened(s.path, false);
            fine(book_check(NULL, s.book, &error), &error);
            shelf_remove(&s);
            continue;
        }
        book_close(s.book);
        s.book = NULL;
        faulty_at(0, 0, false);
        expect_changes(&s, done, call);
        shelf_remove(&s);
    }
    print_message("%d calls failed, one in each run\n", call - 2);
    assert_true(call > 30);
}

static void a_full_disk_loses_nothing(void **state) {
    (void)state;
    fail_everywhere(SQLITE_FULL, false);
    fail_everywhere(SQLITE_FULL, true);
}

static void a_failing_disk_loses_nothing(void **state) {
    (void)state;
    fail_everywhere(SQLITE_IOERR, false);
    fail_everywhere(SQLITE_IOERR, true);
}

static void a_book_is_made_whole_or_not_at_all(void **state) {
    (void)state;
    int call = 1;
    for (bool failed = true; failed; call++) {
        shelf s = shelf_empty();
        lw_error error = {0};
        faulty_at(call, SQLITE_FULL, false);
        s.book = opened_faulty(s.path, &error);
        failed = disk.failed > 0;
        book_close(s.book);
        faulty_at(0, 0, false);
        s.book = opened(s.path, true);
        fine(book_check(NULL, s.book, &error), &error);
        shelf_remove(&s);
    }
    assert_true(call > 5);
}

static void a_power_cut_loses_nothing(void **state) {
    (void)state;
    int call = 1, cuts = 0;
    for (bool failed = true; failed; call++) {
        for (int again = 0; again < 3; again++, cuts++) { /* each time other sectors are lost */
            shelf s = shelf_new();
            lw_error error = {0};
            fill(s.book);
            book_close(s.book);
            power_on();
            faulty_at(call, SQLITE_IOERR, false);
            s.book = opened_faulty(s.path, &error);
            int done = s.book ? change(s.book, &error) : 0;
            failed = disk.failed > 0;
            book_close(s.book);
            s.book = NULL;
            char shm[128];
            snprintf(shm, sizeof shm, "%s-shm", s.path);
            unlink(shm);
            power_returns(&seed);
            expect_changes(&s, done, call);
            shelf_remove(&s);
        }
    }
    print_message("%d power cuts\n", cuts);
    assert_true(call > 30);
}

/* ---- damage ------------------------------------------------------------------------------- */

static void damage(const char *path, int turns) {
    FILE *file = fopen(path, "r+b");
    assert_non_null(file);
    fseek(file, 0, SEEK_END);
    long size = ftell(file);
    for (int i = 0; i < turns; i++) {
        long at = (long)(faulty_random(&seed) % (uint64_t)size);
        fseek(file, at, SEEK_SET);
        int c = fgetc(file);
        fseek(file, at, SEEK_SET);
        fputc(c ^ 1 << (faulty_random(&seed) & 7), file);
    }
    fclose(file);
}

static unsigned char *bytes_of(const char *path, size_t *size) { return faulty_read(path, size); }

/* Bits turn anywhere in the file: the book is refused, or what it tells is what was written. Whatever it is,
 * looking at it changes nothing in it, and what is saved can be read into a new book. */
static void a_damaged_book_is_refused_or_right(void **state) {
    (void)state;
    int refused = 0, right = 0, saved_some = 0;
    for (int i = 0; i < 150; i++) {
        shelf s = shelf_new();
        lw_error error = {0};
        book_options how = book_default();
        size_t size, saved_size;
        fill(s.book);
        for (int n = 0; n < 30; n++)
            note_added(s.book, 2, 0, "Came again, and had it cut as the time before that.");
        char *was = exported(s.book, NULL), *saved, *now;
        book_close(s.book);
        damage(s.path, 1 + i % 6);
        unsigned char *before = bytes_of(s.path, &size);
        book_saved counts;
        lw_status status = book_salvage(&saved, &saved_size, &counts, s.path, &error);
        if (status == LW_OK) {
            book *other = opened(s.other, true);
            fine(book_import(other, saved, saved_size, &error), &error);
            book_counts there;
            fine(book_check(&there, other, &error), &error);
            assert_int_equal(there.revisions, counts.whole.revisions + counts.doubtful.revisions);
            assert_int_equal(there.notes, counts.whole.notes + counts.doubtful.notes);
            saved_some += there.revisions > 0;
            book_close(other);
            free(saved);
        } else {
            assert_true((int)status == BOOK_DAMAGED && error.message[0] && error.remedy[0]);
        }
        size_t size_after;
        unsigned char *file_after = bytes_of(s.path, &size_after);
        assert_true(size == size_after && memcmp(before, file_after, size) == 0);
        free(before);
        free(file_after);
        status = book_open(&s.book, s.path, &how, &error);
        if (status == LW_OK) status = book_export(&now, &size, s.book, &error);
        if (status == LW_OK) {
            assert_string_equal(was, now);
            free(now);
            right++;
        } else {
            bool said = (int)status == BOOK_DAMAGED || (int)status == BOOK_NEWER ||
                        status == LW_ERROR_ARGUMENT || (int)status == BOOK_DISK;
            if (!said) fail_msg("%d: %s", (int)status, error.message);
            refused++;
        }
        free(was);
        shelf_remove(&s);
    }
    print_message("%d refused, %d right, of %d plans were saved\n", refused, right, saved_some);
    assert_true(refused > 30 && right > 5 && saved_some > 100);
}

/* A whole page is lost: everything that is not on it comes back as it was. */
static void around_a_lost_page_all_is_saved(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    size_t size, saved_size;
    fill(s.book);
    for (int n = 0; n < 600; n++) {
        char text[128];
        snprintf(text, sizeof text, "Visit %d: came again, and had it cut as the time before that.", n);
        note_added(s.book, 2, 0, text);
    }
    book_close(s.book);
    s.book = NULL;
    unsigned char *whole = bytes_of(s.path, &size);
    int lost_some = 0, tried = 0;
    for (size_t page = 1; page < size / 4096; page++, tried++) {
        FILE *file = fopen(s.path, "r+b");
        char zeros[4096] = {0}, *saved;
        fseek(file, (long)(page * 4096), SEEK_SET);
        fwrite(zeros, 1, sizeof zeros, file);
        fclose(file);
        book_saved counts;
        fine(book_salvage(&saved, &saved_size, &counts, s.path, &error), &error);
        int64_t notes = counts.whole.notes + counts.doubtful.notes;
        if (notes < 603) lost_some++;
        bool note_page = counts.whole.people == 2 && counts.whole.plans == 3 && counts.whole.revisions == 4;
        if (note_page && notes < 500 && notes > 0)
            fail_msg("page %zu took %lld notes", page, 603 - (long long)notes);
        assert_int_equal(counts.doubtful.notes, 0);
        free(saved);
        file = fopen(s.path, "r+b");
        fwrite(whole, 1, (page + 1) * 4096, file);
        fclose(file);
    }
    free(whole);
    assert_true(lost_some > 5);
    book_options how = book_default();
    fine(book_open(&s.book, s.path, &how, &error), &error);
    fine(book_check(NULL, s.book, &error), &error);
    shelf_remove(&s);
}

static void a_sound_book_is_saved_whole(void **state) {
    (void)state;
    shelf s = shelf_new();
    lw_error error = {0};
    fill(s.book);
    char *was = exported(s.book, NULL), *saved;
    size_t size;
    book_saved counts;
    fine(book_salvage(&saved, &size, &counts, s.path, &error),
         &error); /* with its log, which another still uses */
    assert_string_equal(was, saved);
    assert_true(counts.whole.people == 2 && counts.whole.plans == 3 && counts.whole.revisions == 4);
    assert_int_equal(counts.whole.notes, 3);
    assert_int_equal(counts.doubtful.people + counts.doubtful.plans + counts.doubtful.revisions +
                         counts.doubtful.notes,
                     0);
    assert_int_equal(counts.lost.people + counts.lost.plans + counts.lost.revisions + counts.lost.notes, 0);
    free(was);
    free(saved);
    shelf_remove(&s);
}

/* ---- memory ------------------------------------------------------------------------------- */

/* SQLite's own allocations fail as ours do. */
static sqlite3_mem_methods ordinary;
static void *sqlite_malloc(int size) { return memory_refuses() ? NULL : ordinary.xMalloc(size); }
static void *sqlite_realloc(void *old, int size) {
    return memory_refuses() ? NULL : ordinary.xRealloc(old, size);
}

static void out_of_memory_nothing_is_half_done(void **state) {
    (void)state;
    bool failed = true;
    int at = 0;
    for (; failed; at = at < 40 ? at + 1 : at + 1 + at / 40) {
        shelf s = shelf_new();
        lw_error error = {0};
        book_options how = book_default();
        char *text = NULL;
        size_t size;
        how.now = 1772357400;
        fill(s.book);
        book_close(s.book);
        int held = memory.live;
        memory_fails_at(at);
        lw_status status = book_open(&s.book, s.path, &how, &error);
        int done = status ? 0 : change(s.book, &error);
        if (!status && done == CHANGES) status = book_export(&text, &size, s.book, &error);
        failed = memory_failed();
        if (!failed) assert_true(status == LW_OK && done == CHANGES);
        if (status || done < CHANGES) assert_true(error.message[0] != 0);
        free(text);
        book_close(s.book);
        s.book = NULL;
        assert_int_equal(memory.live, held);
        expect_changes(&s, done, at);
        shelf_remove(&s);
    }
    print_message("up to allocation %d failed\n", at);
    assert_true(at > 200);
}

static int begin(void **state) {
    (void)state;
    sqlite3_config(SQLITE_CONFIG_GETMALLOC, &ordinary);
    sqlite3_mem_methods failing_too = ordinary;
    failing_too.xMalloc = sqlite_malloc;
    failing_too.xRealloc = sqlite_realloc;
    if (sqlite3_config(SQLITE_CONFIG_MALLOC, &failing_too) != SQLITE_OK) return 1;
    faulty_register();
    learn_what_comes();
    return 0;
}

static int end(void **state) {
    (void)state;
    for (int i = 0; i <= CHANGES; i++) free(after[i]);
    return 0;
}

int main(int count, char **words) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(killed_at_any_moment_it_holds_what_was_acknowledged),
        cmocka_unit_test(among_many_writers_nothing_is_lost),
        cmocka_unit_test(a_full_disk_loses_nothing),
        cmocka_unit_test(a_failing_disk_loses_nothing),
        cmocka_unit_test(a_book_is_made_whole_or_not_at_all),
        cmocka_unit_test(a_power_cut_loses_nothing),
        cmocka_unit_test(a_damaged_book_is_refused_or_right),
        cmocka_unit_test(around_a_lost_page_all_is_saved),
        cmocka_unit_test(a_sound_book_is_saved_whole),
        cmocka_unit_test(out_of_memory_nothing_is_half_done),
    };
    if (count > 1) cmocka_set_test_filter(words[1]);
    return cmocka_run_group_tests(tests, begin, end);
}
