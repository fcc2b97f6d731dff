/* The file system around the book: what is made there is its owner's alone (0600 and 0700), whatever the
 * umask. Files beside the book (-wal, -shm) get the book's rights from SQLite.
 *
 * An existing book is never opened and closed here, only named: closing a descriptor would drop SQLite's
 * locks on it.
 */
#define _DEFAULT_SOURCE /* flock */ // NOLINT(bugprone-reserved-identifier)
#include "place.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "book.h"
#include "fail.h"
#include "grown.h"

char *place_beside(const char *path, const char *ending) {
    size_t room = strlen(path) + strlen(ending) + 1;
    char *out = malloc(room);
    if (out) snprintf(out, room, "%s%s", path, ending);
    return out;
}

int place_create(const char *path) {
    int file = open(path, O_CREAT | O_EXCL | O_RDWR | O_CLOEXEC, 0600);
    if (file < 0) return errno;
    int reason = fchmod(file, 0600) == 0 ? 0 : errno;
    close(file);
    return reason;
}

int place_owner_only(const char *path) {
    struct stat found;
    if (stat(path, &found) != 0) return errno;
    if ((found.st_mode & 077) == 0) return 0;
    return chmod(path, found.st_mode & 0700) == 0 ? 0 : errno;
}

bool place_there(const char *path) {
    struct stat found;
    return lstat(path, &found) == 0;
}

static int sync_name(const char *path, int flags) {
    int file = open(path, flags | O_CLOEXEC);
    if (file < 0) return errno;
    int reason = fsync(file) == 0 ? 0 : errno;
    close(file);
    return reason;
}

/* The folder's part of a path, "." where it has none. */
static char *folder_of(const char *path) {
    const char *slash = strrchr(path, '/');
    if (!slash) return grown_copy(".", 1);
    return slash == path ? grown_copy("/", 1) : grown_copy(path, (size_t)(slash - path));
}

int place_sync_file(const char *path) { return sync_name(path, O_RDONLY); }

int place_sync_folder(const char *path) {
    char *folder = folder_of(path);
    int reason = folder ? sync_name(folder, O_RDONLY | O_DIRECTORY) : ENOMEM;
    free(folder);
    return reason;
}

int place_make_folder(const char *path) {
    char *folder = folder_of(path);
    if (!folder) return ENOMEM;
    int reason = 0;
    for (char *end = folder + 1; reason == 0; end++) {
        end += strcspn(end, "/");
        char kept = *end;
        *end = 0;
        if (mkdir(folder, 0700) == 0)
            reason = place_sync_folder(folder);
        else if (errno != EEXIST)
            reason = errno;
        *end = kept;
        if (!kept) break;
    }
    if (reason == 0) reason = place_owner_only(folder);
    free(folder);
    return reason;
}

int place_lock_open(const char *path) {
    int file = open(path, O_CREAT | O_RDWR | O_CLOEXEC | O_NOFOLLOW, 0600);
    if (file >= 0 && fchmod(file, 0600) != 0) {
        int reason = errno;
        close(file);
        errno = reason;
        return -1;
    }
    return file;
}

int place_lock(int file, int wait) {
    const struct timespec pause = {.tv_nsec = 2000000};
    for (int waited = 0;; waited += 2) {
        if (flock(file, LOCK_EX | LOCK_NB) == 0) return 0;
        if (errno != EWOULDBLOCK && errno != EINTR) return errno;
        if (waited >= wait) return EWOULDBLOCK;
        nanosleep(&pause, NULL);
    }
}

void place_unlock(int file) { flock(file, LOCK_UN); }

lw_status place_fault(lw_error *error, const char *path, const char *what, int reason) {
    if (reason == ENOMEM) return fail_memory(error, "book");
    const char *remedy = reason == ENOSPC || reason == EDQUOT ? "Make room and do it again."
                         : reason == EEXIST ? "Give another name, or put what is there away first."
                         : reason == ENOENT
                             ? "Give the path of a folder that is there."
                             : "See that the folder is yours to write in, or give another with --book FILE.";
    return fail(error, (lw_status)(reason == ENOENT ? BOOK_MISSING : BOOK_DISK), "book", remedy, "%s %s: %s",
                what, path, strerror(reason));
}
