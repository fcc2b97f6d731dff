/* What can be said of a request without a socket: its target, its head, its conditions, its body; and the
 * deadlines. Everybody in it is invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

#include "body.h"
#include "etag.h"
#include "failing.h"
#include "judge.h"
#include "secret.h"
#include "watch.h"

/* ---- the target --------------------------------------------------------------------------- */

static lw_status read_target(target *out, const char *text) {
    static char room[1024];
    lw_error error;
    snprintf(room, sizeof room, "%s", text);
    lw_status status = target_read(out, room, &error);
    if (status) assert_true(error.message[0] && error.remedy[0] && error.place[0]);
    return status;
}

static void a_target_is_decoded_once(void **state) {
    (void)state;
    target t;
    assert_int_equal(read_target(&t, "/api/v1/find?words=Th%C3%A9o+M&tag=%2525&empty=&flag"), LW_OK);
    assert_string_equal(t.path, "/api/v1/find");
    assert_string_equal(target_value(&t, "words"), "Th\xC3\xA9o M");
    assert_string_equal(target_value(&t, "tag"), "%25");
    assert_string_equal(target_value(&t, "empty"), "");
    assert_string_equal(target_value(&t, "flag"), "");
    assert_null(target_value(&t, "word"));
    assert_int_equal(read_target(&t, "/a+b/"), LW_OK);
    assert_string_equal(t.path, "/a+b/");
    assert_int_equal(read_target(&t, "/"), LW_OK);
    assert_int_equal(read_target(&t, "*"), LW_OK);
}

static void what_two_could_read_differently_is_refused(void **state) {
    (void)state;
    static const char *const bad[] = {
        "",         "a",        "http://a/",  "/../etc", "/a/..",    "/a/./b",     "/%2e%2e/a",
        "/a%2fb",   "/a\\b",    "/a%5Cb",     "//a",     "/a//b",    "/a%00b",     "/a%0ab",
        "/a%7f",    "/a%",      "/a%4",       "/a%g1",   "/a%C3",    "/a%C0%AE",   "/...",
        "/a?b=%zz", "/a?b=%00", "/a?b=1&b=2", "/a#b",    "/a?b=%FF", "/%ED%A0%80", "/a?%62=1&b=2",
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        target t;
        if (read_target(&t, bad[i]) == LW_OK) fail_msg("\"%s\" was taken as \"%s\"", bad[i], t.path);
    }
    char many[256] = "/a?";
    for (int i = 0; i <= TARGET_PAIRS_MAX; i++)
        snprintf(many + strlen(many), sizeof many - strlen(many), "p%d&", i);
    target t;
    assert_int_equal(read_target(&t, many), LW_ERROR_SYNTAX);
}

/* ---- conditions --------------------------------------------------------------------------- */

static void tags_are_compared_as_they_are_meant(void **state) {
    (void)state;
    static const struct {
        const char *condition;
        bool well_formed, strong, weak; /* for "3" */
    } rows[] = {
        {"\"3\"", true, true, true},
        {"*", true, true, true},
        {" * ", true, true, true},
        {"\"2\", \"3\"", true, true, true},
        {"\"2\",\"33\"", true, false, false},
        {"W/\"3\"", true, false, true},
        {"\"\"", true, false, false},
        {"3", false, false, false},
        {"\"3", false, false, false},
        {"", false, false, false},
        {"\"3\" \"4\"", false, false, false},
        {"W\"3\"", false, false, false},
        {"\"2\", W/\"3\"", true, false, true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *c = rows[i].condition;
        if (etag_well_formed(c) != rows[i].well_formed) fail_msg("%s: well formed?", c);
        if (!rows[i].well_formed) continue;
        if (etag_listed(c, "\"3\"", false) != rows[i].strong) fail_msg("%s: strong?", c);
        if (etag_listed(c, "\"3\"", true) != rows[i].weak) fail_msg("%s: weak?", c);
    }
}

/* ---- the secret --------------------------------------------------------------------------- */

static void a_secret_is_random_digits(void **state) {
    (void)state;
    char a[SECRET_SIZE + 1], b[SECRET_SIZE + 1], label[LABEL_SIZE + 1];
    assert_true(secret_make(a, SECRET_SIZE) && secret_make(b, SECRET_SIZE) && secret_make(label, LABEL_SIZE));
    assert_true(secret_digits(a, SECRET_SIZE) && secret_digits(label, LABEL_SIZE));
    assert_string_not_equal(a, b);
    assert_true(secret_equal(a, a));
    assert_false(secret_equal(a, b) || secret_equal("", a) || secret_equal(label, a));
    assert_false(secret_digits("12345678901g", LABEL_SIZE) || secret_digits("123", LABEL_SIZE));
}

static void a_cookie_is_found_among_others(void **state) {
    (void)state;
    assert_true(secret_in_cookies("lengthwise-7370=s3", 7370, "s3"));
    assert_true(secret_in_cookies("a=b; lengthwise-7370=s3", 7370, "s3"));
    assert_true(secret_in_cookies("lengthwise-7370=old; lengthwise-7370=s3;", 7370, "s3"));
    assert_false(secret_in_cookies("", 7370, "s3"));
    assert_false(secret_in_cookies("lengthwise-7370=", 7370, "s3"));
    assert_false(secret_in_cookies("lengthwise-7370=s3", 7371, "s3"));
    assert_false(secret_in_cookies("lengthwise-7370=s33; xlengthwise-7370=s3", 7370, "s3"));
    assert_false(secret_in_cookies("a=lengthwise-7370=s3", 7370, "s3"));
}

/* ---- the head ----------------------------------------------------------------------------- */

#define OWN "0123456789ab.localhost:7370"
#define SECRET "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"

static const door_sign sign = {.port = 7370, .label = "0123456789ab", .secret = SECRET};

/* One request a line: what is sent, as pairs of header and value, and what becomes of it. */
typedef struct asked {
    const char *method, *target;
    const char *headers[12];
    verdict verdict;
    problem problem;
} asked;

#define HOST "Host", OWN
#define KEY "Cookie", "lengthwise-7370=" SECRET
#define JSON "Content-Type", "application/json"
#define REFUSED(p) VERDICT_REFUSED, p

static const asked requests[] = {
    /* the page is anybody's, the book is not */
    {"GET", "/", {HOST}, VERDICT_FILE, PROBLEM_NONE},
    {"HEAD", "/assets/index.js", {"Host", "127.0.0.1:7370"}, VERDICT_FILE, PROBLEM_NONE},
    {"GET", "/api/v1/find", {HOST, KEY}, VERDICT_ROUTE, PROBLEM_NONE},
    {"GET", "/api/v1/find", {"host", OWN, "AUTHORIZATION", "bearer " SECRET}, VERDICT_ROUTE, PROBLEM_NONE},
    {"GET", "/api/v1/find", {HOST}, REFUSED(PROBLEM_SECRET)},
    {"GET", "/api/v1/find", {HOST, "Cookie", "lengthwise-7370=" SECRET "0"}, REFUSED(PROBLEM_SECRET)},
    {"GET", "/api/v1/find", {HOST, "Authorization", "Basic " SECRET}, REFUSED(PROBLEM_SECRET)},
    {"GET", "/api/v1/nothing", {HOST}, REFUSED(PROBLEM_SECRET)},
    {"GET", "/open?secret=" SECRET, {HOST}, VERDICT_OPEN, PROBLEM_NONE},
    {"GET", "/open?secret=0" SECRET, {HOST}, REFUSED(PROBLEM_SECRET)},
    {"GET", "/open", {HOST}, REFUSED(PROBLEM_SECRET)},
    {"POST", "/open?secret=" SECRET, {HOST}, REFUSED(PROBLEM_METHOD)},
    /* by what name */
    {"GET", "/", {"Host", "LOCALHOST:7370"}, VERDICT_FILE, PROBLEM_NONE},
    {"GET", "/", {"Host", "localhost"}, REFUSED(PROBLEM_MISDIRECTED)},
    {"GET", "/", {"Host", "localhost:7371"}, REFUSED(PROBLEM_MISDIRECTED)},
    {"GET", "/", {"Host", "0123456789ac.localhost:7370"}, REFUSED(PROBLEM_MISDIRECTED)},
    {"GET", "/", {"Host", "salon.example:7370"}, REFUSED(PROBLEM_MISDIRECTED)},
    {"GET", "/", {"Host", "127.0.0.1:7370.salon.example"}, REFUSED(PROBLEM_MISDIRECTED)},
    {"GET", "/", {"Host", ""}, REFUSED(PROBLEM_MISDIRECTED)},
    {"GET", "/", {NULL}, REFUSED(PROBLEM_MALFORMED)},
    {"GET", "/", {HOST, HOST}, REFUSED(PROBLEM_MALFORMED)},
    /* from where */
    {"POST",
     "/api/v1/people",
     {HOST, KEY, JSON, "Content-Length", "2", "Origin", "http://" OWN},
     VERDICT_ROUTE,
     PROBLEM_NONE},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, "Origin", "http://salon.example"}, REFUSED(PROBLEM_FOREIGN)},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, "Origin", "null"}, REFUSED(PROBLEM_FOREIGN)},
    {"POST",
     "/api/v1/people",
     {HOST, KEY, JSON, "Origin", "http://localhost:7370"},
     REFUSED(PROBLEM_FOREIGN)},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, "Origin", "https://" OWN}, REFUSED(PROBLEM_FOREIGN)},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, "Sec-Fetch-Site", "same-site"}, REFUSED(PROBLEM_FOREIGN)},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, "Sec-Fetch-Site", "none"}, REFUSED(PROBLEM_FOREIGN)},
    {"POST",
     "/api/v1/people",
     {HOST, KEY, JSON, "Sec-Fetch-Site", "same-origin"},
     VERDICT_ROUTE,
     PROBLEM_NONE},
    {"GET", "/api/v1/find", {HOST, KEY, "Sec-Fetch-Site", "none"}, VERDICT_ROUTE, PROBLEM_NONE},
    {"GET", "/api/v1/find", {HOST, KEY, "Sec-Fetch-Site", "cross-site"}, REFUSED(PROBLEM_FOREIGN)},
    {"GET", "/api/v1/find", {HOST, KEY, "Origin", "http://salon.example"}, REFUSED(PROBLEM_FOREIGN)},
    {"GET", "/open?secret=" SECRET, {HOST, "Sec-Fetch-Site", "cross-site"}, VERDICT_OPEN, PROBLEM_NONE},
    /* where it ends */
    {"POST",
     "/api/v1/people",
     {HOST, KEY, JSON, "Content-Length", "2", "Content-Length", "2"},
     REFUSED(PROBLEM_MALFORMED)},
    {"POST",
     "/api/v1/people",
     {HOST, KEY, JSON, "Content-Length", "2", "content-length", "9"},
     REFUSED(PROBLEM_MALFORMED)},
    {"POST",
     "/api/v1/people",
     {HOST, KEY, JSON, "Content-Length", "2", "Transfer-Encoding", "chunked"},
     REFUSED(PROBLEM_MALFORMED)},
    {"POST",
     "/api/v1/people",
     {HOST, KEY, JSON, "Transfer-Encoding", "gzip, chunked"},
     REFUSED(PROBLEM_MALFORMED)},
    {"POST",
     "/api/v1/people",
     {HOST, KEY, JSON, "Transfer-Encoding", "identity"},
     REFUSED(PROBLEM_MALFORMED)},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, "Content-Length", "2, 2"}, REFUSED(PROBLEM_MALFORMED)},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, "Content-Length", "+2"}, REFUSED(PROBLEM_MALFORMED)},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, "Content-Length", ""}, REFUSED(PROBLEM_MALFORMED)},
    {"POST",
     "/api/v1/people",
     {HOST, KEY, JSON, "Transfer-Encoding", "chunked"},
     VERDICT_ROUTE,
     PROBLEM_NONE},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, "Content-Length", "99999999"}, REFUSED(PROBLEM_TOO_LARGE)},
    {"GET", "/api/v1/find", {HOST, KEY, "Content-Length", "2"}, REFUSED(PROBLEM_MALFORMED)},
    {"GET", "/api/v1/find", {HOST, KEY, "Content-Length", "0"}, VERDICT_ROUTE, PROBLEM_NONE},
    /* what it is */
    {"POST",
     "/api/v1/people",
     {HOST, KEY, "Content-Type", "application/json; charset=UTF-8"},
     VERDICT_ROUTE,
     PROBLEM_NONE},
    {"POST", "/api/v1/people", {HOST, KEY, "Content-Type", "application/jsonp"}, REFUSED(PROBLEM_MEDIA)},
    {"POST", "/api/v1/people", {HOST, KEY, "Content-Type", "text/plain"}, REFUSED(PROBLEM_MEDIA)},
    {"POST",
     "/api/v1/people",
     {HOST, KEY, "Content-Type", "application/json; charset=latin1"},
     REFUSED(PROBLEM_MEDIA)},
    {"POST", "/api/v1/people", {HOST, KEY}, REFUSED(PROBLEM_MEDIA)},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, JSON}, REFUSED(PROBLEM_MEDIA)},
    {"POST", "/api/v1/people", {HOST, KEY, JSON, "Content-Encoding", "gzip"}, REFUSED(PROBLEM_MEDIA)},
    /* what may be done */
    {"GET", "/api/v1/nothing", {HOST, KEY}, REFUSED(PROBLEM_MISSING)},
    {"GET", "/api/v1/people/0", {HOST, KEY}, REFUSED(PROBLEM_MISSING)},
    {"GET", "/api/v1/people/1x", {HOST, KEY}, REFUSED(PROBLEM_MISSING)},
    {"GET", "/api/v1/people/1234567890123456789", {HOST, KEY}, REFUSED(PROBLEM_MISSING)},
    {"GET", "/api/v1/people/1/", {HOST, KEY}, REFUSED(PROBLEM_MISSING)},
    {"PATCH", "/api/v1/people/1", {HOST, KEY}, REFUSED(PROBLEM_METHOD)},
    {"POST", "/api/v1/people/1", {HOST, KEY}, REFUSED(PROBLEM_METHOD)},
    {"PUT", "/", {HOST}, REFUSED(PROBLEM_METHOD)},
    {"OPTIONS", "/api/v1/people/1", {HOST}, VERDICT_OPTIONS, PROBLEM_NONE},
    {"OPTIONS", "*", {HOST}, VERDICT_OPTIONS, PROBLEM_NONE},
    {"OPTIONS", "/api/v1/people/1", {"Host", "salon.example"}, REFUSED(PROBLEM_MISDIRECTED)},
    /* which revision */
    {"PUT", "/api/v1/people/1", {HOST, KEY, JSON}, REFUSED(PROBLEM_UNCONDITIONAL)},
    {"DELETE", "/api/v1/plans/1", {HOST, KEY}, REFUSED(PROBLEM_UNCONDITIONAL)},
    {"DELETE", "/api/v1/plans/1", {HOST, KEY, "If-Match", "1"}, REFUSED(PROBLEM_MALFORMED)},
    {"DELETE",
     "/api/v1/plans/1",
     {HOST, KEY, "If-Match", "\"1\"", "If-Match", "\"2\""},
     REFUSED(PROBLEM_MALFORMED)},
    {"DELETE", "/api/v1/plans/1", {HOST, KEY, "If-Match", "\"1\""}, VERDICT_ROUTE, PROBLEM_NONE},
    {"DELETE", "/api/v1/notes/1", {HOST, KEY}, VERDICT_ROUTE, PROBLEM_NONE},
    {"GET", "/api/v1/people/1", {HOST, KEY, "If-None-Match", "x"}, REFUSED(PROBLEM_MALFORMED)},
    /* what is asked for */
    {"GET", "/api/v1/find?kind=plan&most=10000", {HOST, KEY}, VERDICT_ROUTE, PROBLEM_NONE},
    {"GET", "/api/v1/find?kind=plans", {HOST, KEY}, REFUSED(PROBLEM_MALFORMED)},
    {"GET", "/api/v1/find?most=10001", {HOST, KEY}, REFUSED(PROBLEM_MALFORMED)},
    {"GET", "/api/v1/find?most=-1", {HOST, KEY}, REFUSED(PROBLEM_MALFORMED)},
    {"GET", "/api/v1/find?skip=99999999999999999999", {HOST, KEY}, REFUSED(PROBLEM_MALFORMED)},
    {"GET", "/api/v1/find?colour=red", {HOST, KEY}, REFUSED(PROBLEM_MALFORMED)},
    {"POST", "/api/v1/sheet?date=2026-03-01", {HOST, KEY, JSON}, VERDICT_ROUTE, PROBLEM_NONE},
    {"POST", "/api/v1/sheet?date=2026-13-01", {HOST, KEY, JSON}, REFUSED(PROBLEM_MALFORMED)},
    {"POST", "/api/v1/sheet?date=2026-3-01", {HOST, KEY, JSON}, REFUSED(PROBLEM_MALFORMED)},
    {"GET", "/api/v1/find/../about", {HOST, KEY}, REFUSED(PROBLEM_MALFORMED)},
};

static judged judge_one(const asked *a) {
    static char room[256];
    request r = {.method = a->method, .target = room};
    judged j;
    snprintf(room, sizeof room, "%s", a->target);
    for (int i = 0; i + 1 < 12 && a->headers[i]; i += 2)
        r.headers[r.header_count++] = (header){a->headers[i], a->headers[i + 1]};
    judge(&j, &r, &sign);
    return j;
}

static void requests_are_judged(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof requests / sizeof *requests; i++) {
        const asked *a = &requests[i];
        judged j = judge_one(a);
        if (j.verdict != a->verdict || j.problem != a->problem)
            fail_msg("row %zu, %s %s: verdict %d, problem %s: %s", i, a->method, a->target, (int)j.verdict,
                     problem_of(j.problem)->name, j.error.message);
        bool said = j.error.message[0] && j.error.remedy[0] && j.error.place[0];
        assert_int_equal(said, j.verdict == VERDICT_REFUSED);
    }
}

static void only_doubtful_ends_close_the_connection(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof requests / sizeof *requests; i++) {
        judged j = judge_one(&requests[i]);
        bool framing =
            strcmp(j.error.place, "Content-Length") == 0 || strcmp(j.error.place, "Transfer-Encoding") == 0;
        assert_int_equal(j.close, framing);
    }
    request r = {.method = "GET", .headers_over = true};
    judged j;
    judge(&j, &r, &sign);
    assert_true(j.verdict == VERDICT_REFUSED && j.close);
}

static void what_can_be_done_is_listed(void **state) {
    (void)state;
    judged j = judge_one(&(asked){"PATCH", "/api/v1/people/7", {HOST, KEY}, REFUSED(PROBLEM_METHOD)});
    assert_int_equal(j.allow, 1u << METHOD_GET | 1u << METHOD_PUT | 1u << METHOD_DELETE);
    j = judge_one(&(asked){"OPTIONS", "/icon.svg", {HOST}, VERDICT_OPTIONS, PROBLEM_NONE});
    assert_int_equal(j.allow, 1u << METHOD_GET);
}

static void numbers_and_words_arrive(void **state) {
    (void)state;
    judged j =
        judge_one(&(asked){"GET", "/api/v1/plans/12/revisions/3", {HOST, KEY}, VERDICT_ROUTE, PROBLEM_NONE});
    assert_int_equal(j.route, ROUTE_PLAN_REVISION);
    assert_int_equal(j.number[0], 12);
    assert_int_equal(j.number[1], 3);
    j = judge_one(&(asked){
        "HEAD", "/api/v1/find?kind=note&words=a+b&skip=0", {HOST, KEY}, VERDICT_ROUTE, PROBLEM_NONE});
    assert_int_equal(j.route, ROUTE_FIND);
    assert_int_equal(j.argument[FIND_KIND].word, 2);
    assert_string_equal(j.argument[FIND_WORDS].text, "a b");
    assert_true(j.argument[FIND_SKIP].given && !j.argument[FIND_MOST].given);
}

/* ---- the tables --------------------------------------------------------------------------- */

static void every_route_is_complete_and_met_by_its_own_path(void **state) {
    (void)state;
    for (int i = 0; i < ROUTES; i++) {
        const route *r = &routes[i];
        char path[96];
        size_t used = 0;
        for (const char *p = r->path; *p; p++) {
            path[used++] = *p == '{' ? '1' : *p;
            if (*p == '{') p += strcspn(p, "}");
        }
        path[used] = 0;
        int64_t numbers[NUMBERS_MAX];
        assert_true(routes_at(path, numbers) >> i & 1);
        assert_true(r->name && r->help && r->status >= 200 && (r->out != NULL) != (r->media != NULL));
        assert_int_equal(r->takes == TAKES_SHAPE, r->in != NULL);
        assert_int_equal(r->takes != TAKES_NOTHING, r->most > 0);
        for (int k = 0; k < i; k++) assert_string_not_equal(r->name, routes[k].name);
    }
}

/* ---- bodies ------------------------------------------------------------------------------- */

static lw_status read_body(body *out, const shape *s, const char *text, lw_error *error) {
    lw_status status = body_read(out, s, text, strlen(text), error);
    if (status) assert_true(error->message[0] && error->remedy[0] && error->place[0] && error->line > 0);
    return status;
}

static void a_body_is_read_by_its_shape(void **state) {
    (void)state;
    body b;
    lw_error error;
    static const char text[] = "{\"tags\": [\"colour\", \"wedding party\"],\n \"name\": \"Th\\u00e9o\",\n"
                               " \"measures\": {\"units\": \"cm\"}}";
    assert_int_equal(read_body(&b, &shape_changed_person, text, &error), LW_OK);
    assert_string_equal(b.value[0].text, "Th\xC3\xA9o");
    assert_string_equal(b.value[1].text, "colour, wedding party");
    assert_string_equal(b.value[2].text, "{\"units\": \"cm\"}");
    lw_error inside = {.line = 1, .column = 3};
    body_place(&b.value[2], &inside);
    assert_int_equal(inside.line, 3);
    assert_int_equal(inside.column, 16);
    body_clear(&b);
    assert_int_equal(
        read_body(&b, &shape_changed_person, "{\"name\":\"a\",\"tags\":[],\"measures\":null}", &error),
        LW_OK);
    assert_true(b.value[2].given && !b.value[2].text && !b.value[1].text[0]);
    body_clear(&b);
    assert_int_equal(read_body(&b, &shape_new_plan, "{\"text\":\"{}\",\"person\":0}", &error), LW_OK);
    assert_true(b.value[0].given && b.value[0].whole == 0 && !b.value[1].given);
    body_clear(&b);
}

static void a_body_that_is_none_is_refused(void **state) {
    (void)state;
    static const struct {
        const char *text, *place;
    } rows[] = {
        {"", "body"},
        {"[]", "body"},
        {"null", "body"},
        {"{}", "name"},
        {"{\"name\":\"a\"} x", "body"},
        {"{\"name\":\"a\",\"name\":\"b\"}", "name"},
        {"{\"name\":\"a\",\"nam\":\"b\"}", "nam"},
        {"{\"name\":1}", "name"},
        {"{\"name\":\"a\",\"tags\":\"x\"}", "tags"},
        {"{\"name\":\"a\",\"tags\":[\"x,y\"]}", "tags"},
        {"{\"name\":\"a\",\"tags\":[\"\"]}", "tags"},
        {"{\"name\":\"a\",\"tags\":[\"x\"", "tags"},
        {"{\"name\":\"a\",\"measures\":[]}", "measures"},
        {"{\"name\":\"a\",\"measures\":nul}", "measures"},
        {"{\"name\":\"a\",\"measures\":{\"a\":[}}", "measures"},
        {"{\"name\":\"\xFF\"}", "name"},
        {"{\"name\":\"a\\u0000\"}", "name"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        body b;
        lw_error error;
        if (read_body(&b, &shape_new_person, rows[i].text, &error) == LW_OK)
            fail_msg("%s was taken", rows[i].text);
        assert_string_equal(error.place, rows[i].place);
    }
    char longest[600];
    body b;
    lw_error error;
    snprintf(longest, sizeof longest, "{\"name\":\"%0*d\"}", LW_TITLE_MAX - 1, 0);
    assert_int_equal(read_body(&b, &shape_new_person, longest, &error), LW_OK);
    body_clear(&b);
    snprintf(longest, sizeof longest, "{\"name\":\"%0*d\"}", LW_TITLE_MAX, 0);
    assert_int_equal(read_body(&b, &shape_new_person, longest, &error), LW_ERROR_LIMIT);
    assert_int_equal(read_body(&b, &shape_new_plan, "{\"text\":\"\",\"person\":01}", &error), LW_ERROR_PLAN);
    assert_int_equal(read_body(&b, &shape_new_plan, "{\"text\":\"\",\"person\":-1}", &error),
                     LW_ERROR_SYNTAX);
}

static void a_body_without_memory_is_refused_and_nothing_is_kept(void **state) {
    (void)state;
    static const char text[] = "{\"name\":\"a\",\"tags\":[\"x\",\"y\"],\"measures\":{\"units\":\"cm\"}}";
    int failures = 0;
    for (int n = 0;; n++) {
        body b;
        lw_error error;
        int before = memory.live;
        memory_fails_from(n);
        lw_status status = body_read(&b, &shape_new_person, text, sizeof text - 1, &error);
        bool failed = memory_failed();
        body_clear(&b);
        assert_int_equal(memory.live, before);
        if (!failed) {
            assert_int_equal(status, LW_OK);
            break;
        }
        assert_int_equal(status, LW_ERROR_MEMORY);
        failures++;
    }
    assert_true(failures >= 4);
}

/* ---- deadlines ---------------------------------------------------------------------------- */

typedef struct line {
    int ours, theirs;
} line;

static line line_new(void) {
    int both[2];
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, both), 0);
    return (line){both[0], both[1]};
}

static bool is_cut(line l) { return recv(l.theirs, &(char){0}, 1, MSG_DONTWAIT) == 0; }

static void line_end(line l) {
    close(l.ours);
    close(l.theirs);
}

static void nap(int milliseconds) {
    struct timespec time = {.tv_nsec = milliseconds * 1000000L};
    nanosleep(&time, NULL);
}

/* Long after a deadline it is past, however slow the machine; before one that is an hour away it is not. */
static void who_is_late_is_cut_off(void **state) {
    (void)state;
    patience p = {.most = {20, 3600000, 0, 20}};
    watch *w = watch_new(&p);
    line late = line_new(), slow = line_new(), work = line_new(), gone = line_new();
    assert_true(watch_admit(w, late.ours) && watch_admit(w, slow.ours) && watch_admit(w, work.ours) &&
                watch_admit(w, gone.ours));
    watch_phase(w, slow.ours, PHASE_BODY);
    watch_phase(w, work.ours, PHASE_WORK);
    watch_leave(w, gone.ours);
    nap(100);
    watch_cut(w);
    assert_true(is_cut(late));
    assert_false(is_cut(slow) || is_cut(work) || is_cut(gone));
    assert_int_equal(watch_wind_down(w), 2);
    assert_false(watch_admit(w, gone.ours));
    watch_phase(w, slow.ours, PHASE_HEAD);
    assert_true(is_cut(slow));
    assert_int_equal(watch_wind_down(w), 1);
    watch_free(w);
    line_end(late), line_end(slow), line_end(work), line_end(gone);
}

static void there_is_room_for_so_many(void **state) {
    (void)state;
    patience p = {.most = {0}};
    watch *w = watch_new(&p);
    for (int i = 0; i < CONNECTIONS_MOST; i++) assert_true(watch_admit(w, 1000000 + i));
    assert_false(watch_admit(w, 2000000));
    watch_leave(w, 1000007);
    assert_true(watch_admit(w, 2000000));
    watch_free(w);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_target_is_decoded_once),
        cmocka_unit_test(what_two_could_read_differently_is_refused),
        cmocka_unit_test(tags_are_compared_as_they_are_meant),
        cmocka_unit_test(a_secret_is_random_digits),
        cmocka_unit_test(a_cookie_is_found_among_others),
        cmocka_unit_test(requests_are_judged),
        cmocka_unit_test(only_doubtful_ends_close_the_connection),
        cmocka_unit_test(what_can_be_done_is_listed),
        cmocka_unit_test(numbers_and_words_arrive),
        cmocka_unit_test(every_route_is_complete_and_met_by_its_own_path),
        cmocka_unit_test(a_body_is_read_by_its_shape),
        cmocka_unit_test(a_body_that_is_none_is_refused),
        cmocka_unit_test(a_body_without_memory_is_refused_and_nothing_is_kept),
        cmocka_unit_test(who_is_late_is_cut_off),
        cmocka_unit_test(there_is_room_for_so_many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
