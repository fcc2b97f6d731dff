/* The server's own state, for those who start it and those who answer in it. */
#ifndef LW_SERVE_SERVER_H
#define LW_SERVE_SERVER_H

#include <pthread.h>
#include <stdatomic.h>

#include <microhttpd.h>

#include "listen.h"
#include "serve.h"
#include "watch.h"
#include "work.h"

struct server {
    rooms rooms;
    door_sign sign;
    doors doors;
    watch *watch;
    struct MHD_Daemon *daemon;
    pthread_t porter; /* takes connections in, and cuts off who is late */
    int bell[2];      /* a pipe: wakes the porter to go */
    bool has_porter;
    char link[SERVE_LINK_MAX];
};

/* exchange.c: the library's callbacks; cls is the server. */
void *exchange_begins(void *cls, const char *line, struct MHD_Connection *connection);
enum MHD_Result exchange_goes_on(void *cls, struct MHD_Connection *connection, const char *url,
                                 const char *verb, const char *version, const char *data, size_t *size,
                                 void **own);
void exchange_ends(void *cls, struct MHD_Connection *connection, void **own,
                   enum MHD_RequestTerminationCode how);
void connection_changes(void *cls, struct MHD_Connection *connection, void **own,
                        enum MHD_ConnectionNotificationCode how);

/* label.c: the part of our host name that nobody else knows, kept beside the book. False where there is no
 * chance to be had. */
bool label_of(char out[LABEL_SIZE + 1], const char *file);

#endif
