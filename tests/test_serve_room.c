/* Answering without a socket: what comes of requests when memory runs out, and handles that are lent.
 * Everybody in the book is invented. */
#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "failing.h"
#include "shelf.h"
#include "work.h"

#define SECRET "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"

static const door_sign sign = {.port = 7370, .label = "0123456789ab", .secret = SECRET};

enum { HANDLES = 6 };

typedef struct asking {
    const char *method, *target, *body, *match;
    int status; /* where nothing fails */
} asking;

static judged judged_as(const asking *a, char room[256]) {
    request r = {.method = a->method,
                 .target = room,
                 .header_count = 3,
                 .headers = {{"Host", "localhost:7370"},
                             {"Authorization", "Bearer " SECRET},
                             {"Content-Type", "application/json"},
                             {"If-Match", a->match}}};
    judged j;
    if (a->match) r.header_count++;
    snprintf(room, 256, "%s", a->target);
    judge(&j, &r, &sign);
    assert_int_equal(j.verdict, VERDICT_ROUTE);
    return j;
}

static int status_of(const asking *a, const rooms *all) {
    char room[256];
    judged j = judged_as(a, room);
    reply r;
    answer(&r, &j, a->body, strlen(a->body), all);
    int status = r.status;
    if (r.data && strcmp(r.media, "application/problem+json") == 0)
        assert_non_null(strstr(r.data, "\"detail\""));
    reply_clear(&r);
    return status;
}

#define PLAN                                                                                                 \
    "{\\\"format\\\": \\\"lengthwise plan\\\", \\\"version\\\": 1, \\\"units\\\": \\\"cm\\\", "              \
    "\\\"steps\\\": [{\\\"section\\\": \\\"all\\\", \\\"guide\\\": {\\\"length\\\": 9}}]}"
#define WHOLE                                                                                                \
    "{\"format\": \"lengthwise book\", \"version\": 1, \"people\": [{\"id\": 1, \"revision\": 1, \"name\": " \
    "\"Nell Sedge\", \"tags\": \"\", \"made\": \"2026-03-01T09:30:00Z\", \"changed\": "                      \
    "\"2026-03-01T09:30:00Z\"}], \"plans\": []}"

static const asking askings[] = {
    {"POST", "/api/v1/book/import", WHOLE, NULL, 200},
    {"GET", "/api/v1/about", "", NULL, 200},
    {"GET", "/api/v1/openapi.json", "", NULL, 200},
    {"POST", "/api/v1/people",
     "{\"name\": \"Wilma Osier\", \"tags\": [\"a\", \"b\"], \"measures\": {\"units\": \"cm\"}}", NULL, 201},
    {"PUT", "/api/v1/people/1", "{\"name\": \"Nell\", \"tags\": [\"c\"], \"measures\": {\"units\": \"cm\"}}",
     "*", 200},
    {"PUT", "/api/v1/people/1", "{\"name\": \"Nell\", \"tags\": [], \"measures\": null}", "\"77\"", 412},
    {"POST", "/api/v1/people/1/notes", "{\"text\": \"Likes it behind the ear.\"}", NULL, 201},
    {"GET", "/api/v1/people/1/notes", "", NULL, 200},
    {"POST", "/api/v1/plans", "{\"person\": 1, \"text\": \"" PLAN "\"}", NULL, 201},
    {"PUT", "/api/v1/plans/1", "{\"tags\": [\"x\"], \"text\": \"" PLAN "\"}", "*", 200},
    {"GET", "/api/v1/plans/1/revisions", "", NULL, 200},
    {"GET", "/api/v1/find?words=nell", "", NULL, 200},
    {"POST", "/api/v1/measures/into",
     "{\"plan\": \"" PLAN "\", \"measures\": {\"units\": \"cm\"}, \"name\": \"Nell\"}", NULL, 200},
    {"POST", "/api/v1/measures/of", "{\"plan\": \"" PLAN "\"}", NULL, 200},
    {"GET", "/api/v1/book/export", "", NULL, 200},
    {"GET", "/api/v1/book/backup", "", NULL, 200},
    {"GET", "/api/v1/people/99", "", NULL, 404},
    {"POST", "/api/v1/people", "{\"name\": ", NULL, 422},
    {"DELETE", "/api/v1/plans/1", "", "*", 200},
    {"DELETE", "/api/v1/people/1", "", "*", 200},
};

/* A change that failed changed nothing, so the same request then does what it would have done. */
static int refusals_of(const asking *a, const rooms *all) {
    int refusals = 0;
    for (int n = 0;; n++) {
        int before = memory.live;
        memory_fails_at(n);
        int status = status_of(a, all);
        bool failed = memory_failed();
        assert_int_equal(memory.live, before);
        if (!failed) {
            if (status != a->status)
                fail_msg("%s %s: %d instead of %d", a->method, a->target, status, a->status);
            return refusals;
        }
        if (status == a->status) {
            /* it did without; a change is done then, and cannot be tried again */
            if (strcmp(a->method, "GET") != 0) return refusals;
            continue;
        }
        if (status != 503) fail_msg("%s %s without memory: %d", a->method, a->target, status);
        refusals++;
    }
}

static void without_memory_a_request_is_refused_and_nothing_is_done(void **state) {
    (void)state;
    shelf s = shelf_empty();
    rooms all = {0};
    lw_error error = {0};
    fine(handles_open(&all.handles, s.path, &error), &error);
    int refusals = 0;
    for (size_t i = 0; i < sizeof askings / sizeof *askings; i++) refusals += refusals_of(&askings[i], &all);
    assert_true(refusals > 50);
    handles_close(all.handles);
    shelf_remove(&s);
}

/* ---- handles ------------------------------------------------------------------------------ */

enum { BORROWERS = 24, TURNS = 40 };

typedef struct borrowing {
    handles *all;
    _Atomic int *lent, *most;
} borrowing;

static void *borrow(void *context) {
    borrowing *b = context;
    for (int i = 0; i < TURNS; i++) {
        book *one;
        lw_error error = {0};
        if (handles_take(&one, b->all, &error) != LW_OK) return "refused";
        int now = ++*b->lent, most = *b->most;
        while (now > most && !atomic_compare_exchange_weak(b->most, &most, now)) {
        }
        book_person p;
        lw_status status = book_person_get(&p, one, 1, &error);
        --*b->lent;
        handles_give(b->all, one);
        if ((int)status != BOOK_MISSING) return "read";
    }
    return NULL;
}

static void more_borrowers_than_handles_wait_for_each_other(void **state) {
    (void)state;
    shelf s = shelf_empty();
    lw_error error = {0};
    _Atomic int lent = 0, most = 0;
    borrowing b = {.lent = &lent, .most = &most};
    fine(handles_open(&b.all, s.path, &error), &error);
    pthread_t threads[BORROWERS];
    for (int i = 0; i < BORROWERS; i++) assert_int_equal(pthread_create(&threads[i], NULL, borrow, &b), 0);
    for (int i = 0; i < BORROWERS; i++) {
        void *trouble;
        pthread_join(threads[i], &trouble);
        if (trouble) fail_msg("%s", (const char *)trouble);
    }
    assert_in_range(most, 1, HANDLES);
    handles_close(b.all);
    shelf_remove(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_memory_a_request_is_refused_and_nothing_is_done),
        cmocka_unit_test(more_borrowers_than_handles_wait_for_each_other),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
