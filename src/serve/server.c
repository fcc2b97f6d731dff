/* Starting and stopping. One thread, the porter, takes connections in and watches the clock; each connection
 * then has a thread of its own, so that nobody waits for a slow answer to somebody else. Their number is
 * bounded, and who comes beyond it is told at once. */
#define _GNU_SOURCE /* accept4, pipe2 */ // NOLINT(bugprone-reserved-identifier)
#include "server.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#include "assets.h"
#include "fail.h"
#include "openapi.h"
#include "secret.h"

enum {
    HEAD_BYTES = 32 * 1024, /* of the first line and all headers */
    TICK = 100,             /* milliseconds between looks at the clock */
    FINISHING_MOST = 120000 /* milliseconds that running requests have when the server stops */
};

serve_options serve_default(void) { return (serve_options){.port = SERVE_PORT, .patience = 20}; }

const char *serve_link(const server *s) { return s->link; }
int serve_port(const server *s) { return s->doors.port; }
const char *serve_book(const server *s) { return handles_path(s->rooms.handles); }
bool serve_has_page(void) { return asset_find("/bare.txt") == NULL; }

lw_status serve_openapi(char **out, lw_error *error) {
    json j = {0};
    openapi_put(&j);
    return grown_end(&j.text, out, NULL, error);
}

/* Milliseconds between two looks at what only time can mend. */
enum { NAP = 10 };

static void nap(void) {
    struct timespec time = {.tv_nsec = NAP * 1000000L};
    nanosleep(&time, NULL);
}

/* ---- the porter --------------------------------------------------------------------------- */

static void take_in(server *s, int door) {
    struct sockaddr_storage from;
    socklen_t size = sizeof from;
    int guest = accept4(door, (struct sockaddr *)&from, &size, SOCK_CLOEXEC | SOCK_NONBLOCK);
    if (guest < 0 && (errno == EMFILE || errno == ENFILE || errno == ENOBUFS || errno == ENOMEM)) nap();
    if (guest < 0) return;
    if (!watch_admit(s->watch, guest)) {
        door_turn_away(guest);
    } else if (MHD_add_connection(s->daemon, guest, (struct sockaddr *)&from, size) != MHD_YES) {
        watch_leave(s->watch, guest); /* and it is closed */
    }
}

static void *porter(void *context) {
    server *s = context;
    struct pollfd at[DOORS_MOST + 1];
    for (int i = 0; i < s->doors.count; i++) at[i] = (struct pollfd){s->doors.socket[i], POLLIN, 0};
    at[s->doors.count] = (struct pollfd){s->bell[0], POLLIN, 0};
    while (!at[s->doors.count].revents) {
        int ready = poll(at, (nfds_t)s->doors.count + 1, TICK);
        watch_cut(s->watch);
        if (ready < 0 && errno != EINTR) break;
        for (int i = 0; ready > 0 && i < s->doors.count; i++)
            if (at[i].revents) take_in(s, at[i].fd);
    }
    return NULL;
}

/* ---- starting ----------------------------------------------------------------------------- */

static lw_status open_rooms(server *s, const serve_options *options, lw_error *error) {
    patience p = {.most = {1000 * options->patience, 3000 * options->patience, 0, 6000 * options->patience}};
    lw_status status = handles_open(&s->rooms.handles, options->book, error);
    if (!status) status = paper_start(&s->rooms.paper, error);
    if (!status && (s->watch = watch_new(&p)) == NULL) status = fail_memory(error, "serve");
    return status;
}

static lw_status make_sign(server *s, lw_error *error) {
    bool made = secret_make(s->sign.secret, SECRET_SIZE) && label_of(s->sign.label, serve_book(s));
    if (!made)
        return fail(error, LW_ERROR_ARGUMENT, "secret", "Is this a very old system?",
                    "the system has no random numbers");
    s->sign.port = s->doors.port;
    snprintf(s->link, sizeof s->link, "http://%s.localhost:%d/open?secret=%s", s->sign.label, s->sign.port,
             s->sign.secret);
    return LW_OK;
}

static size_t as_it_came(void *cls, struct MHD_Connection *connection, char *text) {
    (void)cls;
    (void)connection;
    return strlen(text);
}

static lw_status start_daemon(server *s, lw_error *error) {
    unsigned flags = MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_THREAD_PER_CONNECTION | MHD_USE_POLL |
                     MHD_USE_NO_LISTEN_SOCKET | MHD_USE_ITC;
    s->daemon = MHD_start_daemon(flags, 0, NULL, NULL, exchange_goes_on, s,              /* */
                                 MHD_OPTION_URI_LOG_CALLBACK, exchange_begins, s,        /* */
                                 MHD_OPTION_NOTIFY_COMPLETED, exchange_ends, s,          /* */
                                 MHD_OPTION_NOTIFY_CONNECTION, connection_changes, s,    /* */
                                 MHD_OPTION_UNESCAPE_CALLBACK, as_it_came, NULL,         /* */
                                 MHD_OPTION_STRICT_FOR_CLIENT, 1,                        /* */
                                 MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)HEAD_BYTES, /* */
                                 MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS_MOST + 8, MHD_OPTION_END);
    if (s->daemon) return LW_OK;
    return fail(error, LW_ERROR_MEMORY, "serve", "Close something and try again.",
                "the server cannot be started");
}

static lw_status start_porter(server *s, lw_error *error) {
    s->has_porter = pipe2(s->bell, O_CLOEXEC) == 0 && pthread_create(&s->porter, NULL, porter, s) == 0;
    if (s->has_porter) return LW_OK;
    return fail(error, LW_ERROR_MEMORY, "serve", "Close something and try again.",
                "no thread can be started");
}

lw_status serve_start(server **out, const serve_options *options, lw_error *error) {
    server *s = *out = calloc(1, sizeof *s);
    if (!s) return fail_memory(error, "serve");
    s->bell[0] = s->bell[1] = -1;
    lw_status status = open_rooms(s, options, error);
    if (!status) status = doors_open(&s->doors, options->port, error);
    if (!status) status = make_sign(s, error);
    if (!status) status = start_daemon(s, error);
    if (!status) status = start_porter(s, error);
    if (status) {
        serve_stop(s);
        *out = NULL;
    }
    return status;
}

/* ---- stopping ----------------------------------------------------------------------------- */

static void let_finish(server *s) {
    for (int waited = 0; waited < FINISHING_MOST && watch_wind_down(s->watch) > 0; waited += NAP) {
        nap();
        watch_cut(s->watch);
    }
}

void serve_stop(server *s) {
    if (!s) return;
    if (s->has_porter) {
        (void)!write(s->bell[1], "", 1);
        pthread_join(s->porter, NULL);
    }
    doors_close(&s->doors);
    if (s->daemon) let_finish(s);
    paper_stop(s->rooms.paper);
    if (s->daemon) MHD_stop_daemon(s->daemon);
    handles_close(s->rooms.handles);
    watch_free(s->watch);
    for (int i = 0; i < 2; i++)
        if (s->bell[i] >= 0) close(s->bell[i]);
    free(s);
}
