/* What the serving room offers: the page, the book and the paper, over HTTP to this machine alone. What is
 * answered is in docs/serve.md, what is defended in docs/threats.md. */
#ifndef LW_SERVE_SERVE_H
#define LW_SERVE_SERVE_H

#include "lengthwise.h"

enum { SERVE_PORT = 7370, SERVE_LINK_MAX = 192 };

typedef struct serve_options {
    const char *book; /* NULL: the user's own */
    int port;         /* or the next that is free */
    int patience;     /* seconds that a request may take to come in, 1 to 600 */
} serve_options;

/* The user's own book, SERVE_PORT, 20 s. */
serve_options serve_default(void);

typedef struct server server;

/* Opens the book, makes it where there is none, and answers from threads of its own until serve_stop. Threads
 * inherit the caller's mask of signals: block what is waited for before. An lw_status, or one of the book's.
 */
lw_status serve_start(server **out, const serve_options *options, lw_error *error);

/* The link that opens the page; whoever has it can read the book. */
const char *serve_link(const server *s);
int serve_port(const server *s);
const char *serve_book(const server *s);

/* Takes no more requests, finishes those that are there, closes the book. NULL is fine. */
void serve_stop(server *s);

/* The OpenAPI document; free() it. */
lw_status serve_openapi(char **out, lw_error *error);

/* Whether this build carries the page. */
bool serve_has_page(void);

#endif
