/* Deadlines. The library counts only how long a connection is idle, so a request that drips in a byte at a
 * time would be read for ever; here each phase of a request has its time, however much happens in it. Who is
 * late is shut down, which its owner sees as an end of what it reads.
 *
 * A socket is known here from before the library has it until just before the library closes it, so its
 * number is never that of another.
 */
#include "watch.h"

#include <pthread.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <time.h>

typedef struct watched {
    int socket; /* -1: this place is free */
    phase phase;
    int64_t since;
} watched;

struct watch {
    pthread_mutex_t lock;
    patience patience;
    bool winding_down;
    watched at[CONNECTIONS_MOST];
};

static int64_t milliseconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

watch *watch_new(const patience *p) {
    watch *w = calloc(1, sizeof *w);
    if (!w) return NULL;
    pthread_mutex_init(&w->lock, NULL);
    w->patience = *p;
    for (int i = 0; i < CONNECTIONS_MOST; i++) w->at[i].socket = -1;
    return w;
}

void watch_free(watch *w) {
    if (!w) return;
    pthread_mutex_destroy(&w->lock);
    free(w);
}

/* -1 finds a free place. */
static watched *find(watch *w, int socket) {
    for (int i = 0; i < CONNECTIONS_MOST; i++)
        if (w->at[i].socket == socket) return &w->at[i];
    return NULL;
}

bool watch_admit(watch *w, int socket) {
    pthread_mutex_lock(&w->lock);
    watched *place = w->winding_down ? NULL : find(w, -1);
    if (place) *place = (watched){socket, PHASE_HEAD, milliseconds()};
    pthread_mutex_unlock(&w->lock);
    return place != NULL;
}

void watch_phase(watch *w, int socket, phase now) {
    pthread_mutex_lock(&w->lock);
    watched *place = find(w, socket);
    if (place) {
        place->phase = now;
        place->since = milliseconds();
        if (w->winding_down && now == PHASE_HEAD) shutdown(socket, SHUT_RDWR);
    }
    pthread_mutex_unlock(&w->lock);
}

void watch_leave(watch *w, int socket) {
    pthread_mutex_lock(&w->lock);
    watched *place = find(w, socket);
    if (place) place->socket = -1;
    pthread_mutex_unlock(&w->lock);
}

void watch_cut(watch *w) {
    pthread_mutex_lock(&w->lock);
    int64_t now = milliseconds();
    for (int i = 0; i < CONNECTIONS_MOST; i++) {
        watched *one = &w->at[i];
        int64_t most = w->patience.most[one->phase];
        if (one->socket >= 0 && most && now - one->since >= most) shutdown(one->socket, SHUT_RDWR);
    }
    pthread_mutex_unlock(&w->lock);
}

int watch_wind_down(watch *w) {
    int busy = 0;
    pthread_mutex_lock(&w->lock);
    w->winding_down = true;
    for (int i = 0; i < CONNECTIONS_MOST; i++) {
        if (w->at[i].socket < 0) continue;
        if (w->at[i].phase == PHASE_HEAD)
            shutdown(w->at[i].socket, SHUT_RDWR);
        else
            busy++;
    }
    pthread_mutex_unlock(&w->lock);
    return busy;
}
