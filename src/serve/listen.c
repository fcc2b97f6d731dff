/* Listening on loopback alone.
 *
 * Browsers take names under localhost for 127.0.0.1 and for ::1, and try one after the other: whoever held
 * our port at the one we do not would be sent what is meant for us, cookie and all. So both are held, and a
 * port is free only where both are.
 */
#define _GNU_SOURCE /* accept4, SOCK_CLOEXEC */ // NOLINT(bugprone-reserved-identifier)
#include "listen.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "fail.h"

enum { PORTS_TRIED = 50, WAITING = 128 };

static int listen_at(int family, const struct sockaddr *address, socklen_t size) {
    int on = 1, door = socket(family, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    if (door < 0) return -1;
    setsockopt(door, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on);
    if (family == AF_INET6) setsockopt(door, IPPROTO_IPV6, IPV6_V6ONLY, &on, sizeof on);
    if (bind(door, address, size) == 0 && listen(door, WAITING) == 0) return door;
    int reason = errno;
    close(door);
    errno = reason;
    return -1;
}

/* False, and errno, where one of the two is not to be had. A machine without IPv6 has no ::1 to hold. */
static bool open_at(doors *out, int port) {
    struct sockaddr_in four = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
    struct sockaddr_in6 six = {
        .sin6_family = AF_INET6, .sin6_port = htons((uint16_t)port), .sin6_addr = in6addr_loopback};
    four.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    *out = (doors){.port = port};
    int door = listen_at(AF_INET, (struct sockaddr *)&four, sizeof four);
    if (door < 0) return false;
    out->socket[out->count++] = door;
    door = listen_at(AF_INET6, (struct sockaddr *)&six, sizeof six);
    if (door >= 0)
        out->socket[out->count++] = door;
    else if (errno != EAFNOSUPPORT && errno != EADDRNOTAVAIL) {
        int reason = errno;
        doors_close(out);
        errno = reason;
        return false;
    }
    return true;
}

lw_status doors_open(doors *out, int port, lw_error *error) {
    for (int i = 0; i < PORTS_TRIED && port + i <= 65535; i++) {
        if (open_at(out, port + i)) return LW_OK;
        if (errno != EADDRINUSE && errno != EACCES) break;
    }
    return fail(error, LW_ERROR_ARGUMENT, "port", "Give another with --port N.",
                "cannot listen at port %d or above: %s", port, strerror(errno));
}

void doors_close(doors *d) {
    for (int i = 0; i < d->count; i++) close(d->socket[i]);
    d->count = 0;
}

void door_turn_away(int socket) {
    static const char answer[] = "HTTP/1.1 503 Service Unavailable\r\nConnection: close\r\nRetry-After: 2\r\n"
                                 "Content-Type: text/plain; charset=utf-8\r\nContent-Length: 43\r\n\r\n"
                                 "Too many connections. Try again in a moment";
    char unread[4096];
    (void)send(socket, answer, sizeof answer - 1, MSG_NOSIGNAL | MSG_DONTWAIT);
    shutdown(socket, SHUT_WR);
    while (recv(socket, unread, sizeof unread, MSG_DONTWAIT) > 0) {
    } /* unread bytes would reset the answer away */
    close(socket);
}
