/* One request and its answer, between the library and what answers.
 *
 * The library calls when the first line is there, when the head is, for each piece of the body, and when it
 * is whole. The head decides (judge.c); a body that is not wanted is read and dropped, up to a limit, so that
 * the refusal arrives; then it is answered, in the connection's own thread.
 */
#include <stdlib.h>
#include <string.h>

#include "assets.h"
#include "grown.h"
#include "secret.h"
#include "server.h"

enum { DROPPED_MOST = 32 << 20 };

typedef struct exchange {
    bool begun;
    int socket;
    judged judged;
    request request;
    grown body;
    size_t dropped;
    char target[]; /* as it came in */
} exchange;

static int socket_of(struct MHD_Connection *connection) {
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    return info ? info->connect_fd : -1;
}

void connection_changes(void *cls, struct MHD_Connection *connection, void **own,
                        enum MHD_ConnectionNotificationCode how) {
    server *s = cls;
    (void)own;
    if (how == MHD_CONNECTION_NOTIFY_CLOSED) watch_leave(s->watch, socket_of(connection));
}

void *exchange_begins(void *cls, const char *line, struct MHD_Connection *connection) {
    size_t size = strlen(line) + 1;
    exchange *x = calloc(1, sizeof *x + size);
    (void)cls;
    if (!x) return NULL;
    memcpy(x->target, line, size);
    x->socket = socket_of(connection);
    return x;
}

void exchange_ends(void *cls, struct MHD_Connection *connection, void **own,
                   enum MHD_RequestTerminationCode how) {
    server *s = cls;
    exchange *x = *own;
    (void)connection;
    (void)how;
    if (!x) return;
    watch_phase(s->watch, x->socket, PHASE_HEAD);
    free(x->body.at);
    free(x);
    *own = NULL;
}

/* ---- the answer --------------------------------------------------------------------------- */

static const header always[] = {
    {"Content-Security-Policy",
     "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob: "
     "data:; "
     "worker-src 'self'; connect-src 'self'; object-src 'none'; base-uri 'none'; form-action 'none'; "
     "frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
    {"Cross-Origin-Embedder-Policy", "require-corp"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
    {"Permissions-Policy", "camera=(), geolocation=(), microphone=(), payment=(), usb=()"},
};

static enum MHD_Result send_response(struct MHD_Connection *connection, struct MHD_Response *response,
                                     int status, bool close) {
    if (!response) return MHD_NO;
    for (size_t i = 0; i < sizeof always / sizeof *always; i++)
        MHD_add_response_header(response, always[i].name, always[i].value);
    if (close) MHD_add_response_header(response, "Connection", "close");
    enum MHD_Result result = MHD_queue_response(connection, (unsigned)status, response);
    MHD_destroy_response(response);
    return result;
}

static struct MHD_Response *response_of(reply *r) {
    struct MHD_Response *response;
    off_t size = r->file >= 0 ? lseek(r->file, 0, SEEK_END) : -1;
    if (size >= 0) {
        response = MHD_create_response_from_fd64((uint64_t)size, r->file);
        if (response) r->file = -1; /* its own now */
    } else if (r->data) {
        response = MHD_create_response_from_buffer(r->size, r->data, MHD_RESPMEM_MUST_FREE);
        if (response) r->data = NULL;
    } else {
        response = MHD_create_response_from_buffer(0, NULL, MHD_RESPMEM_PERSISTENT);
    }
    return response;
}

static void add_if(struct MHD_Response *response, const char *name, const char *value) {
    if (response && value && value[0]) MHD_add_response_header(response, name, value);
}

static void add_allow(struct MHD_Response *response, unsigned allow) {
    char text[64] = "OPTIONS";
    for (int m = 0; m < METHODS; m++) {
        size_t used = strlen(text);
        if (allow >> m & 1)
            snprintf(text + used, sizeof text - used, ", %s%s", method_name((method)m),
                     m == METHOD_GET ? ", HEAD" : "");
    }
    add_if(response, "Allow", text);
}

static enum MHD_Result send_reply(struct MHD_Connection *connection, reply *r, const judged *j) {
    char kept_as[64] = "";
    struct MHD_Response *response = response_of(r);
    if (r->file_name) snprintf(kept_as, sizeof kept_as, "attachment; filename=\"%s\"", r->file_name);
    add_if(response, "Content-Type", r->media);
    add_if(response, "ETag", r->etag);
    add_if(response, "Location", r->location);
    add_if(response, "Content-Disposition", kept_as);
    add_if(response, "Cache-Control", "no-store");
    if (r->status == 401) add_if(response, "WWW-Authenticate", "Bearer");
    if (r->status == 503) add_if(response, "Retry-After", "2");
    if (r->status == 405) add_allow(response, j->allow);
    enum MHD_Result result = send_response(connection, response, r->status, j->close);
    reply_clear(r);
    return result;
}

/* Whoever opens a page, and not what a page asks for, gets it to read. */
static bool is_read_by_people(const request *r) {
    const char *accept = request_header(r, "Accept", NULL), *mode = request_header(r, "Sec-Fetch-Mode", NULL);
    return accept && strncmp(accept, "text/html", 9) == 0 && (!mode || strcmp(mode, "navigate") == 0);
}

static enum MHD_Result send_problem(struct MHD_Connection *connection, const judged *j,
                                    const request *asked) {
    reply r = {.file = -1};
    grown page = {0};
    answer_problem(&r, j->problem, &j->error, NULL);
    if (is_read_by_people(asked)) problem_page(&page, j->problem, &j->error);
    if (page.at && !page.failed) {
        free(r.data);
        r.media = "text/html; charset=utf-8";
        r.data = page.at;
        r.size = page.size;
    } else {
        free(page.at);
    }
    return send_reply(connection, &r, j);
}

static enum MHD_Result send_options(struct MHD_Connection *connection, const judged *j) {
    struct MHD_Response *response = MHD_create_response_from_buffer(0, NULL, MHD_RESPMEM_PERSISTENT);
    if (response) add_allow(response, j->allow);
    return send_response(connection, response, 204, false);
}

/* The secret becomes a cookie of a name that only we have; from a name that others share it leads there
 * first. */
static enum MHD_Result send_opening(struct MHD_Connection *connection, const judged *j, const server *s) {
    char cookie[160];
    struct MHD_Response *response = MHD_create_response_from_buffer(0, NULL, MHD_RESPMEM_PERSISTENT);
    snprintf(cookie, sizeof cookie, COOKIE_NAME "%d=%s; Path=/; HttpOnly; SameSite=Strict", s->sign.port,
             s->sign.secret);
    add_if(response, "Location", j->shared_name ? s->link : "/");
    add_if(response, "Cache-Control", "no-store");
    if (!j->shared_name) add_if(response, "Set-Cookie", cookie);
    return send_response(connection, response, 303, false);
}

static enum MHD_Result send_file(struct MHD_Connection *connection, judged *j, const request *r) {
    const asset *a = asset_find(j->target.path);
    const char *known = request_header(r, "If-None-Match", NULL);
    if (!a) {
        lw_error none = {.place = "address", .message = "there is no such file", .remedy = "Begin at /."};
        j->problem = PROBLEM_MISSING;
        j->error = none;
        return send_problem(connection, j, r);
    }
    void *bytes; /* the library only reads them, but does not say so */
    memcpy(&bytes, &a->data, sizeof bytes);
    bool same = known && etag_well_formed(known) && etag_listed(known, a->etag, true);
    struct MHD_Response *response =
        MHD_create_response_from_buffer(same ? 0 : a->size, bytes, MHD_RESPMEM_PERSISTENT);
    add_if(response, "Content-Type", a->media);
    add_if(response, "ETag", a->etag);
    add_if(response, "Cache-Control", a->lasting ? "public, max-age=31536000, immutable" : "no-cache");
    return send_response(connection, response, same ? 304 : 200, false);
}

static enum MHD_Result send_answer(struct MHD_Connection *connection, exchange *x, server *s) {
    reply r;
    watch_phase(s->watch, x->socket, PHASE_WORK);
    answer(&r, &x->judged, x->body.at ? x->body.at : "", x->body.size, &s->rooms);
    watch_phase(s->watch, x->socket, PHASE_SEND);
    return send_reply(connection, &r, &x->judged);
}

static enum MHD_Result send_verdict(struct MHD_Connection *connection, exchange *x, server *s) {
    watch_phase(s->watch, x->socket, PHASE_SEND);
    switch (x->judged.verdict) {
    case VERDICT_REFUSED:
        return send_problem(connection, &x->judged, &x->request);
    case VERDICT_OPTIONS:
        return send_options(connection, &x->judged);
    case VERDICT_OPEN:
        return send_opening(connection, &x->judged, s);
    case VERDICT_FILE:
        return send_file(connection, &x->judged, &x->request);
    case VERDICT_ROUTE:
        return send_answer(connection, x, s);
    }
    return MHD_NO;
}

/* ---- the request -------------------------------------------------------------------------- */

static enum MHD_Result note_header(void *cls, enum MHD_ValueKind kind, const char *name, const char *value) {
    request *r = cls;
    (void)kind;
    if (r->header_count == HEADERS_MAX)
        r->headers_over = true;
    else
        r->headers[r->header_count++] = (header){name, value ? value : ""};
    return MHD_YES;
}

static enum MHD_Result begin(exchange *x, struct MHD_Connection *connection, const char *verb, server *s) {
    x->begun = true;
    x->request.method = verb;
    x->request.target = x->target;
    MHD_get_connection_values(connection, MHD_HEADER_KIND, note_header, &x->request);
    judge(&x->judged, &x->request, &s->sign);
    watch_phase(s->watch, x->socket, PHASE_BODY);
    return x->judged.close ? send_verdict(connection, x, s) : MHD_YES;
}

/* A piece of the body: kept where it is wanted. */
static enum MHD_Result take(exchange *x, const char *data, size_t size) {
    judged *j = &x->judged;
    if (j->verdict == VERDICT_ROUTE && x->body.size + size <= routes[j->route].most) {
        grown_add(&x->body, data, size);
        return x->body.failed ? MHD_NO : MHD_YES;
    }
    if (j->verdict == VERDICT_ROUTE) judge_too_large(j);
    free(x->body.at);
    x->body = (grown){0};
    x->dropped += size;
    return x->dropped > DROPPED_MOST ? MHD_NO : MHD_YES;
}

enum MHD_Result exchange_goes_on(void *cls, struct MHD_Connection *connection, const char *url,
                                 const char *verb, const char *version, const char *data, size_t *size,
                                 void **own) {
    exchange *x = *own;
    (void)url;
    (void)version;
    if (!x) return MHD_NO; /* no memory */
    if (!x->begun) return begin(x, connection, verb, cls);
    if (*size == 0) return send_verdict(connection, x, cls);
    enum MHD_Result result = take(x, data, *size);
    *size = 0;
    return result;
}
