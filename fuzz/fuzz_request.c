/* Fuzzes what is said of a request before anything is done: its first line, its headers, its body. Whatever
 * the bytes: a refusal that says why, or a request that keeps every rule.
 *
 * An input is lines that end with a line feed: method, target, "name: value" for each header, an empty line;
 * the rest is the body. "~" stands for the secret of the run and "^" for its host, so that an input can have
 * them.
 */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "body.h"
#include "etag.h"
#include "judge.h"
#include "secret.h"

#define OWN "0123456789ab.localhost:7370"
#define SECRET "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const door_sign sign = {.port = 7370, .label = "0123456789ab", .secret = SECRET};

static void require(bool condition) {
    if (!condition) abort();
}

/* The input with its two signs replaced, zero-terminated. */
static char *written_out(const uint8_t *data, size_t size) {
    char *out = malloc(size * (sizeof SECRET) + 1), *to = out;
    require(out != NULL);
    for (size_t i = 0; i < size; i++) {
        const char *whole = data[i] == '~' ? SECRET : data[i] == '^' ? OWN : NULL;
        if (whole)
            to = stpcpy(to, whole);
        else
            *to++ = data[i] ? (char)data[i] : ' '; /* the library lets no zero through */
    }
    *to = 0;
    return out;
}

static char *line(char **rest) {
    char *start = *rest, *end = strchr(start, '\n');
    *rest = end ? end + 1 : start + strlen(start);
    if (end) *end = 0;
    return start;
}

static request read_request(char **rest) {
    request r = {.method = line(rest)};
    r.target = line(rest);
    for (char *at = line(rest); *at; at = line(rest)) {
        char *colon = strchr(at, ':');
        if (colon) *colon++ = 0;
        if (r.header_count == HEADERS_MAX)
            r.headers_over = true;
        else
            r.headers[r.header_count++] = (header){at, colon ? colon + strspn(colon, " ") : ""};
    }
    return r;
}

static void check_route(const judged *j, const request *r) {
    const route *way = &routes[j->route];
    int lengths, codings, hosts, matches;
    request_header(r, "Content-Length", &lengths);
    request_header(r, "Transfer-Encoding", &codings);
    const char *origin = request_header(r, "Origin", NULL), *host = request_header(r, "Host", &hosts);
    request_header(r, "If-Match", &matches);
    require(lengths + codings <= 1 && hosts == 1 && !r->headers_over);
    require(j->length <= way->most);
    require(!origin || (strlen(origin) == strlen(host) + 7 && strcasecmp(origin + 7, host) == 0));
    require(!way->conditional || (matches == 1 && etag_well_formed(j->if_match)));
    bool knows = false;
    for (int i = 0; i < r->header_count; i++) knows = knows || strstr(r->headers[i].value, SECRET);
    require(knows);
    require(!strstr(j->target.path, "..") && strncmp(j->target.path, API "/", strlen(API "/")) == 0);
    if (strchr(way->path, '{')) require(j->number[0] > 0);
}

static void check_body(const route *way, const char *text, size_t size) {
    body b;
    lw_error error;
    lw_status status = body_read(&b, way->in, text, size, &error);
    if (status != LW_OK) {
        require(error.status == status && error.message[0] && error.remedy[0] && error.place[0] &&
                error.line > 0);
        return;
    }
    for (int i = 0; way->in->fields[i].key; i++) {
        const field *f = &way->in->fields[i];
        require(f->optional || b.value[i].given);
        if (f->kind == FIELD_TEXT && b.value[i].given) require(strlen(b.value[i].text) <= f->most);
    }
    body_clear(&b);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char *text = written_out(data, size), *rest = text;
    request r = read_request(&rest);
    judged j;
    judge(&j, &r, &sign);
    require((j.verdict == VERDICT_REFUSED) == (j.problem != PROBLEM_NONE));
    if (j.verdict == VERDICT_REFUSED) require(j.error.message[0] && j.error.remedy[0] && j.error.place[0]);
    if (j.verdict == VERDICT_FILE) require(j.target.path[0] == '/' && !strstr(j.target.path, "/../"));
    if (j.verdict == VERDICT_ROUTE) check_route(&j, &r);
    if (j.verdict == VERDICT_ROUTE && routes[j.route].in) check_body(&routes[j.route], rest, strlen(rest));
    free(text);
    return 0;
}
