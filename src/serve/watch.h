/* The connections and how long each may take. See watch.c. */
#ifndef LW_SERVE_WATCH_H
#define LW_SERVE_WATCH_H

#include <stdbool.h>
#include <stdint.h>

enum { CONNECTIONS_MOST = 64 };

/* What a connection is at. */
typedef enum phase {
    PHASE_HEAD, /* waits for a request, or reads the head of one */
    PHASE_BODY, /* reads its body */
    PHASE_WORK, /* the answer is being made */
    PHASE_SEND, /* the answer is being sent */
    PHASES
} phase;

typedef struct patience {
    int64_t most[PHASES]; /* milliseconds; 0 for ever */
} patience;

typedef struct watch watch;

/* NULL without memory. */
watch *watch_new(const patience *p);
void watch_free(watch *w);

/* Takes a connection's socket in; false where there are CONNECTIONS_MOST. */
bool watch_admit(watch *w, int socket);

/* It moves on; its time begins anew. */
void watch_phase(watch *w, int socket, phase now);

/* The socket is about to be closed by its owner: nothing is done with it from here on. */
void watch_leave(watch *w, int socket);

/* Shuts down what took too long. */
void watch_cut(watch *w);

/* Shuts down what waits for a request; how many are at work on one still. From here on every one that becomes
 * idle is shut down as well. */
int watch_wind_down(watch *w);

#endif
