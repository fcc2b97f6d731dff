/* Judging a request by its head, one question after another; the first that it fails refuses it.
 *
 * The library reads lengths its own way and takes two of them, so the first question is whether everybody
 * would read the same ones (RFC 9112, 6.3 and 11.2). Then: is it meant for us, by the name it came by (DNS
 * rebinding); does it come from our own page; does whoever asks know the secret of this run; and only then
 * what is asked for. Nothing here waits, allocates or looks anything up.
 */
#include "judge.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "etag.h"
#include "fail.h"
#include "secret.h"

const char *request_header(const request *r, const char *name, int *count) {
    const char *value = NULL;
    int found = 0;
    for (int i = 0; i < r->header_count; i++)
        if (strcasecmp(r->headers[i].name, name) == 0 && found++ == 0) value = r->headers[i].value;
    if (count) *count = found;
    return value;
}

static bool refuse(judged *out, problem p, const char *place, const char *message, const char *remedy) {
    out->verdict = VERDICT_REFUSED;
    out->problem = p;
    fail(&out->error, LW_ERROR_ARGUMENT, place, remedy, "%s", message);
    return false;
}

/* ---- where it ends ------------------------------------------------------------------------ */

static bool refuse_framing(judged *out, const char *place, const char *message) {
    out->close = true;
    return refuse(out, PROBLEM_MALFORMED, place, message, "Send one Content-Length of digits, or none.");
}

static bool is_length(const char *text, uint64_t *length) {
    size_t digits = strspn(text, "0123456789");
    *length = digits > 0 && digits <= 18 ? strtoull(text, NULL, 10) : 0;
    return digits > 0 && digits <= 18 && !text[digits];
}

static bool ends_where_it_says(judged *out, request *r, const door_sign *sign) {
    int lengths, codings;
    (void)sign;
    const char *length = request_header(r, "Content-Length", &lengths);
    const char *coding = request_header(r, "Transfer-Encoding", &codings);
    if (r->headers_over) {
        out->close = true;
        return refuse(out, PROBLEM_MALFORMED, "headers", "there are too many headers", "Send fewer.");
    }
    if (lengths > 1) return refuse_framing(out, "Content-Length", "there is more than one length");
    if (lengths && codings)
        return refuse_framing(out, "Transfer-Encoding", "there is a length and a coding as well");
    if (codings > 1 || (coding && strcasecmp(coding, "chunked") != 0))
        return refuse_framing(out, "Transfer-Encoding", "only the coding \"chunked\" is known here");
    if (length && !is_length(length, &out->length))
        return refuse_framing(out, "Content-Length", "the length is no number");
    out->chunked = coding != NULL;
    return true;
}

/* ---- whether it is meant for us ----------------------------------------------------------- */

static bool names_us(judged *out, request *r, const door_sign *sign) {
    int hosts;
    const char *host = request_header(r, "Host", &hosts);
    char own[64], numbers[64], local[64];
    snprintf(own, sizeof own, "%s.localhost:%d", sign->label, sign->port);
    snprintf(numbers, sizeof numbers, "127.0.0.1:%d", sign->port);
    snprintf(local, sizeof local, "localhost:%d", sign->port);
    if (hosts != 1)
        return refuse(out, PROBLEM_MALFORMED, "Host", "there is not exactly one Host", "Send it once.");
    out->shared_name = strcasecmp(host, numbers) == 0 || strcasecmp(host, local) == 0;
    if (out->shared_name || strcasecmp(host, own) == 0) return true;
    return refuse(out, PROBLEM_MISDIRECTED, "Host", "this server is not called so",
                  "Use the link that lengthwise serve printed.");
}

static bool asks_plainly(judged *out, request *r, const door_sign *sign) {
    (void)sign;
    if (target_read(&out->target, r->target, &out->error) == LW_OK) return true;
    out->verdict = VERDICT_REFUSED;
    out->problem = PROBLEM_MALFORMED;
    return false;
}

/* ---- who asks ----------------------------------------------------------------------------- */

/* Path below the API, "" where it is outside. */
static const char *api_path(const judged *j) {
    size_t length = strlen(API);
    const char *path = j->target.path;
    return strncmp(path, API, length) == 0 && path[length] == '/' ? path + length : "";
}

static bool comes_from_our_page(judged *out, request *r, const door_sign *sign) {
    static const char remedy[] = "Use the page that lengthwise serve opened.";
    int origins, sites;
    (void)sign;
    const char *origin = request_header(r, "Origin", &origins);
    const char *site = request_header(r, "Sec-Fetch-Site", &sites);
    const char *host = request_header(r, "Host", NULL);
    bool reads = strcmp(r->method, "GET") == 0 || strcmp(r->method, "HEAD") == 0;
    if (strcmp(r->method, "OPTIONS") == 0 || (reads && !api_path(out)[0])) return true;
    if (origins > 1 ||
        (origin && (strncasecmp(origin, "http://", 7) != 0 || strcasecmp(origin + 7, host) != 0)))
        return refuse(out, PROBLEM_FOREIGN, "Origin", "this comes from another site", remedy);
    if (sites > 1 || (site && strcmp(site, "same-origin") != 0 && !(reads && strcmp(site, "none") == 0)))
        return refuse(out, PROBLEM_FOREIGN, "Sec-Fetch-Site", "this comes from another site", remedy);
    return true;
}

/* ---- what may be done here ---------------------------------------------------------------- */

static unsigned methods_of(uint32_t found) {
    unsigned allow = 0;
    for (int i = 0; i < ROUTES; i++)
        if (found >> i & 1) allow |= 1u << routes[i].method;
    return allow;
}

/* The page's files can be had by anybody, and what may be asked as well. */
static bool is_within_the_api(judged *out, request *r, const door_sign *sign) {
    (void)sign;
    bool known = method_find(&out->method, r->method);
    const char *path = api_path(out);
    uint32_t found = routes_at(path, out->number);
    out->allow = path[0] ? methods_of(found) : 1u << METHOD_GET;
    if (strcmp(r->method, "OPTIONS") == 0) {
        out->verdict = VERDICT_OPTIONS;
        return false;
    }
    if (path[0]) return true;
    if (!known || out->method != METHOD_GET)
        return refuse(out, PROBLEM_METHOD, "method", "this cannot be done with a file", "GET it.");
    out->verdict = strcmp(out->target.path, "/open") == 0 ? VERDICT_OPEN : VERDICT_FILE;
    const char *secret = target_value(&out->target, "secret");
    if (out->verdict == VERDICT_OPEN && !(secret && secret_equal(secret, sign->secret)))
        return refuse(out, PROBLEM_SECRET, "link", "this link is of another run of lengthwise serve",
                      "Use the link that lengthwise serve printed last.");
    return false;
}

static bool knows_the_secret(judged *out, request *r, const door_sign *sign) {
    static const char scheme[] = "Bearer ";
    for (int i = 0; i < r->header_count; i++) {
        const header *h = &r->headers[i];
        bool cookie = strcasecmp(h->name, "Cookie") == 0, bearer = strcasecmp(h->name, "Authorization") == 0;
        if (cookie && secret_in_cookies(h->value, sign->port, sign->secret)) return true;
        if (bearer && strncasecmp(h->value, scheme, sizeof scheme - 1) == 0 &&
            secret_equal(h->value + sizeof scheme - 1, sign->secret))
            return true;
    }
    return refuse(
        out, PROBLEM_SECRET, "secret", "only who has the secret of this run may read the book",
        "Open the link that lengthwise serve printed; a script sends \"Authorization: Bearer SECRET\".");
}

static bool has_a_route(judged *out, request *r, const door_sign *sign) {
    (void)sign;
    uint32_t found = routes_at(api_path(out), out->number);
    bool known = method_find(&out->method, r->method);
    if (!found)
        return refuse(out, PROBLEM_MISSING, "address", "there is no such address",
                      API "/openapi.json lists what there is.");
    for (int i = 0; i < ROUTES; i++) {
        if (!(found >> i & 1) || !known || routes[i].method != out->method) continue;
        out->route = (route_id)i;
        return true;
    }
    return refuse(out, PROBLEM_METHOD, "method", "this cannot be done with what is at this address",
                  "The header Allow lists what can.");
}

/* ---- what is sent ------------------------------------------------------------------------- */

void judge_too_large(judged *out) {
    char message[96];
    snprintf(message, sizeof message, "at most %zu bytes are taken here", routes[out->route].most);
    refuse(out, PROBLEM_TOO_LARGE, "body", message, "Send less.");
}

static bool is_json(const char *type) {
    static const char wanted[] = "application/json";
    size_t length = strlen(wanted);
    if (!type || strncasecmp(type, wanted, length) != 0) return false;
    const char *rest = type + length + strspn(type + length, " \t");
    if (!*rest) return true;
    rest += *rest == ';' ? 1 + strspn(rest + 1, " \t") : 0;
    return strcasecmp(rest, "charset=utf-8") == 0 || strcasecmp(rest, "charset=\"utf-8\"") == 0;
}

static bool sends_what_is_taken(judged *out, request *r, const door_sign *sign) {
    const route *way = &routes[out->route];
    bool body = out->length > 0 || out->chunked;
    int types;
    (void)sign;
    const char *type = request_header(r, "Content-Type", &types);
    if (way->takes == TAKES_NOTHING && body)
        return refuse(out, PROBLEM_MALFORMED, "body", "nothing is to be sent here", "Send no body.");
    if (way->takes == TAKES_NOTHING) return true;
    if (types != 1 || !is_json(type))
        return refuse(out, PROBLEM_MEDIA, "Content-Type", "JSON is wanted here",
                      "Send Content-Type: application/json, in UTF-8.");
    if (request_header(r, "Content-Encoding", NULL))
        return refuse(out, PROBLEM_MEDIA, "Content-Encoding", "what is packed is not taken",
                      "Send it plain.");
    if (out->length <= way->most) return true;
    judge_too_large(out);
    return false;
}

static bool says_what_it_looked_at(judged *out, request *r, const door_sign *sign) {
    int count, none;
    (void)sign;
    out->if_match = request_header(r, "If-Match", &count);
    out->if_none_match = request_header(r, "If-None-Match", &none);
    if (routes[out->route].conditional && !count)
        return refuse(out, PROBLEM_UNCONDITIONAL, "If-Match", "which revision was looked at is not said",
                      "Send its ETag as If-Match.");
    bool fine = count <= 1 && none <= 1 && (!count || etag_well_formed(out->if_match)) &&
                (!none || etag_well_formed(out->if_none_match));
    if (fine) return true;
    return refuse(out, PROBLEM_MALFORMED, count ? "If-Match" : "If-None-Match", "this is no list of ETags",
                  "Send it once, as it came: \"3\", with its quotes.");
}

/* ---- what follows the ? ------------------------------------------------------------------- */

static int two_digits(const char *text) { return 10 * (text[0] - '0') + text[1] - '0'; }

static bool is_day(const char *text) {
    static const char form[] = "0000-00-00";
    if (strlen(text) != strlen(form)) return false;
    for (int i = 0; form[i]; i++)
        if (form[i] == '0' ? text[i] < '0' || text[i] > '9' : text[i] != form[i]) return false;
    int month = two_digits(text + 5), day = two_digits(text + 8);
    return month >= 1 && month <= 12 && day >= 1 && day <= 31;
}

static bool read_argument(argument *out, const parameter *p) {
    uint64_t whole;
    switch (p->kind) {
    case PARAMETER_TEXT:
        return true;
    case PARAMETER_DATE:
        return is_day(out->text);
    case PARAMETER_WHOLE:
        if (!is_length(out->text, &whole)) return false;
        out->whole = (int64_t)whole;
        return out->whole >= p->low && out->whole <= p->high;
    case PARAMETER_WORD:
        for (out->word = 0; p->words[out->word]; out->word++)
            if (strcmp(p->words[out->word], out->text) == 0) return true;
        return false;
    }
    return false;
}

static const parameter *parameter_called(const parameter *all, const char *name) {
    for (const parameter *p = all; p && p->name; p++)
        if (strcmp(p->name, name) == 0) return p;
    return NULL;
}

static bool asks_for_what_there_is(judged *out, request *r, const door_sign *sign) {
    const parameter *all = routes[out->route].parameters;
    (void)r;
    (void)sign;
    for (int i = 0; i < out->target.count; i++) {
        const target_pair *pair = &out->target.pair[i];
        const parameter *p = parameter_called(all, pair->name);
        if (!p)
            return refuse(out, PROBLEM_MALFORMED, pair->name[0] ? pair->name : "address",
                          "this cannot be asked for here", API "/openapi.json lists what can.");
        argument *a = &out->argument[p - all];
        *a = (argument){.given = true, .text = pair->value};
        if (!read_argument(a, p))
            return refuse(out, PROBLEM_MALFORMED, p->name, "this is not what it can be", p->help);
    }
    return true;
}

void judge(judged *out, request *r, const door_sign *sign) {
    static bool (*const asks[])(judged *, request *, const door_sign *) = {
        ends_where_it_says, names_us,    asks_plainly,        comes_from_our_page,    is_within_the_api,
        knows_the_secret,   has_a_route, sends_what_is_taken, says_what_it_looked_at, asks_for_what_there_is,
    };
    *out = (judged){.verdict = VERDICT_ROUTE};
    for (size_t i = 0; i < sizeof asks / sizeof *asks; i++)
        if (!asks[i](out, r, sign)) return;
}
