/* The file system around the book: rights, names, locks. See place.c. */
#ifndef LW_BOOK_PLACE_H
#define LW_BOOK_PLACE_H

#include "lengthwise.h"

/* path with an ending; free() it. NULL where memory ran out. */
char *place_beside(const char *path, const char *ending);

/* Creates an empty file that its owner alone may read and write. 0 or an errno. */
int place_create(const char *path);

/* Takes everybody else's rights from a file that is there. 0 or an errno. */
int place_owner_only(const char *path);

bool place_there(const char *path);

/* What a folder has of this name is on the disk, not only in memory. 0 or an errno. */
int place_sync_folder(const char *path);
int place_sync_file(const char *path);

/* Makes the folder of `path` and those above it, for the owner alone. 0 or an errno. */
int place_make_folder(const char *path);

/* A file to lock; -1 and errno. place_lock waits so many milliseconds, then EWOULDBLOCK; 0 or an errno. */
int place_lock_open(const char *path);
int place_lock(int file, int wait);
void place_unlock(int file);

lw_status place_fault(lw_error *error, const char *path, const char *what, int reason);

#endif
