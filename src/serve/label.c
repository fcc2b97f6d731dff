/* The label of the host name, LABEL.localhost.
 *
 * Cookies know no ports: one that is set for 127.0.0.1 is sent to every server of this machine that the
 * browser is led to, another user's as well. A name that only we know keeps it to us. It is kept beside the
 * book, so that what the browser stores for the page (drafts, the way back) is there again the next time.
 * Where it cannot be kept it is made anew for each run.
 */
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "secret.h"
#include "server.h"

static bool read_label(char out[LABEL_SIZE + 1], const char *path) {
    int file = open(path, O_RDONLY | O_CLOEXEC | O_NOFOLLOW);
    if (file < 0) return false;
    ssize_t size = read(file, out, LABEL_SIZE);
    close(file);
    out[LABEL_SIZE] = 0;
    return size == LABEL_SIZE && secret_digits(out, LABEL_SIZE);
}

static void keep_label(const char *label, const char *path) {
    unlink(path); /* whatever is there is no label */
    int file = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (file < 0) return;
    bool kept = write(file, label, LABEL_SIZE) == LABEL_SIZE;
    if (close(file) != 0 || !kept) unlink(path);
}

bool label_of(char out[LABEL_SIZE + 1], const char *file) {
    static const char ending[] = "-name";
    size_t size = strlen(file) + sizeof ending;
    char *path = malloc(size);
    if (path) snprintf(path, size, "%s%s", file, ending);
    bool there = path && read_label(out, path);
    bool made = !there && secret_make(out, LABEL_SIZE);
    if (made && path) keep_label(out, path);
    free(path);
    return there || made;
}
