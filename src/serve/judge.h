/* Whether a request is answered, and as what: everything that can be said from its first line and headers.
 * See judge.c and docs/threats.md. */
#ifndef LW_SERVE_JUDGE_H
#define LW_SERVE_JUDGE_H

#include "problems.h"
#include "routes.h"
#include "target.h"

enum { HEADERS_MAX = 64, SECRET_SIZE = 64, LABEL_SIZE = 12 };

typedef struct header {
    const char *name, *value;
} header;

/* As it came in. */
typedef struct request {
    const char *method;
    char *target; /* is decoded where it stands */
    int header_count;
    bool headers_over; /* there were more than HEADERS_MAX */
    header headers[HEADERS_MAX];
} request;

/* At whose door it came in. */
typedef struct door_sign {
    int port;
    char label[LABEL_SIZE + 1];   /* of the host name LABEL.localhost, which nobody else knows */
    char secret[SECRET_SIZE + 1]; /* of this run */
} door_sign;

typedef enum verdict {
    VERDICT_REFUSED,
    VERDICT_OPTIONS, /* only what may be asked is asked */
    VERDICT_OPEN,    /* the link with the right secret */
    VERDICT_FILE,    /* one of the page's files, which may not be there */
    VERDICT_ROUTE
} verdict;

typedef struct argument {
    bool given;
    const char *text;
    int64_t whole;
    int word;
} argument;

typedef struct judged {
    verdict verdict;
    problem problem;  /* where it is refused */
    lw_error error;   /* says so */
    bool close;       /* what follows on this connection cannot be trusted */
    unsigned allow;   /* of VERDICT_OPTIONS and PROBLEM_METHOD: bits, 1 << method */
    bool shared_name; /* it came by a name that other programs of this machine have too */
    target target;
    method method;
    route_id route;
    int64_t number[NUMBERS_MAX];
    argument argument[PARAMETERS_MAX];
    uint64_t length; /* of the body as it is announced */
    bool chunked;
    const char *if_match, *if_none_match; /* NULL where there is none */
} judged;

void judge(judged *out, request *r, const door_sign *sign);

/* Refuses what turned out larger than its route takes. */
void judge_too_large(judged *out);

/* The value of a header that is there once; NULL where it is not. */
const char *request_header(const request *r, const char *name, int *count);

#endif
