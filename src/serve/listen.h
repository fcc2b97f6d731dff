/* The doors: sockets of this machine alone, at one port. See listen.c. */
#ifndef LW_SERVE_LISTEN_H
#define LW_SERVE_LISTEN_H

#include "lengthwise.h"

enum { DOORS_MOST = 2 };

typedef struct doors {
    int count, port;
    int socket[DOORS_MOST]; /* 127.0.0.1, and ::1 where the machine has it */
} doors;

/* Opens them at `port`, or at the next that is free; out->port says which. */
lw_status doors_open(doors *out, int port, lw_error *error);
void doors_close(doors *d);

/* Says to whoever came that there are too many already, and closes. Does not wait. */
void door_turn_away(int socket);

#endif
