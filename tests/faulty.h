/* A disk that fails on demand, as an SQLite VFS over the usual one, named "faulty".
 *
 * It counts the calls that touch the disk. From the chosen call on (or only at it) they fail: the disk is
 * full, the disk fails, or the power is gone. For the last it remembers what of each file had been synced
 * when; `power_returns` then leaves of every 512-byte sector that was written since at random the old or the
 * new, as a drive may that was free to write in any order. That is what SQLite asks of a disk and no more
 * ("Atomic Commit In SQLite", section 2, with power-safe overwrite).
 */
#ifndef LW_TESTS_FAULTY_H
#define LW_TESTS_FAULTY_H

#include <sqlite3.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { FAULTY_FILES = 8, FAULTY_SECTOR = 512 };

typedef struct faulty_kept {
    char path[160];
    unsigned char *data; /* as it was when it was last synced */
    size_t size;
} faulty_kept;

static struct {
    sqlite3_vfs *real;
    int calls, fails_at, code; /* fails_at 0: never */
    bool once, keeps;
    int failed;
    faulty_kept file[FAULTY_FILES];
} disk;

typedef struct faulty_file {
    sqlite3_file base;
    char path[160];
    sqlite3_file *real;
} faulty_file;

/* Whether this call fails. */
static inline bool faulty_now(void) {
    disk.calls++;
    bool fails = disk.fails_at > 0 && (disk.once ? disk.calls == disk.fails_at : disk.calls >= disk.fails_at);
    disk.failed += fails;
    return fails;
}

static inline unsigned char *faulty_read(const char *path, size_t *size) {
    FILE *file = fopen(path, "rb");
    *size = 0;
    if (!file) return NULL;
    unsigned char *data = malloc(1 << 21);
    *size = fread(data, 1, 1 << 21, file);
    fclose(file);
    return data;
}

static inline faulty_kept *faulty_kept_of(const char *path) {
    for (int i = 0; i < FAULTY_FILES; i++)
        if (!disk.file[i].path[0] || strcmp(disk.file[i].path, path) == 0) return &disk.file[i];
    abort();
}

/* The file as it is now is on the disk. */
static inline void faulty_synced(const char *path) {
    if (!disk.keeps || strstr(path, "-shm")) return;
    faulty_kept *kept = faulty_kept_of(path);
    snprintf(kept->path, sizeof kept->path, "%s", path);
    free(kept->data);
    kept->data = faulty_read(path, &kept->size);
}

#define REAL(f) (((faulty_file *)(f))->real)

static inline int faulty_close(sqlite3_file *f) {
    int code = REAL(f)->pMethods ? REAL(f)->pMethods->xClose(REAL(f)) : SQLITE_OK;
    free(REAL(f));
    return code;
}
static inline int faulty_read_at(sqlite3_file *f, void *data, int size, sqlite3_int64 at) {
    return REAL(f)->pMethods->xRead(REAL(f), data, size, at);
}
static inline int faulty_write(sqlite3_file *f, const void *data, int size, sqlite3_int64 at) {
    if (faulty_now()) {
        if (disk.code == SQLITE_FULL && size > 1) REAL(f)->pMethods->xWrite(REAL(f), data, size / 2, at);
        return disk.code == SQLITE_FULL ? SQLITE_FULL : SQLITE_IOERR_WRITE;
    }
    return REAL(f)->pMethods->xWrite(REAL(f), data, size, at);
}
static inline int faulty_truncate(sqlite3_file *f, sqlite3_int64 size) {
    return faulty_now() ? SQLITE_IOERR_TRUNCATE : REAL(f)->pMethods->xTruncate(REAL(f), size);
}
static inline int faulty_sync(sqlite3_file *f, int flags) {
    if (faulty_now()) return SQLITE_IOERR_FSYNC;
    if (!disk.keeps) return SQLITE_OK; /* a failing disk needs no waiting for the real one */
    faulty_synced(((faulty_file *)f)->path);
    (void)flags;
    return SQLITE_OK;
}
static inline int faulty_size(sqlite3_file *f, sqlite3_int64 *size) {
    return REAL(f)->pMethods->xFileSize(REAL(f), size);
}
static inline int faulty_lock(sqlite3_file *f, int lock) { return REAL(f)->pMethods->xLock(REAL(f), lock); }
static inline int faulty_unlock(sqlite3_file *f, int lock) {
    return REAL(f)->pMethods->xUnlock(REAL(f), lock);
}
static inline int faulty_reserved(sqlite3_file *f, int *is) {
    return REAL(f)->pMethods->xCheckReservedLock(REAL(f), is);
}
static inline int faulty_control(sqlite3_file *f, int what, void *with) {
    return REAL(f)->pMethods->xFileControl(REAL(f), what, with);
}
static inline int faulty_sector(sqlite3_file *f) { return REAL(f)->pMethods->xSectorSize(REAL(f)); }
static inline int faulty_traits(sqlite3_file *f) {
    return REAL(f)->pMethods->xDeviceCharacteristics(REAL(f));
}
static inline int faulty_shm_map(sqlite3_file *f, int page, int size, int extend, void volatile **at) {
    if (extend && faulty_now()) return SQLITE_IOERR_SHMMAP;
    return REAL(f)->pMethods->xShmMap(REAL(f), page, size, extend, at);
}
static inline int faulty_shm_lock(sqlite3_file *f, int first, int count, int flags) {
    return REAL(f)->pMethods->xShmLock(REAL(f), first, count, flags);
}
static inline void faulty_shm_barrier(sqlite3_file *f) { REAL(f)->pMethods->xShmBarrier(REAL(f)); }
static inline int faulty_shm_unmap(sqlite3_file *f, int remove) {
    return REAL(f)->pMethods->xShmUnmap(REAL(f), remove);
}

static const sqlite3_io_methods faulty_methods = {
    .iVersion = 2,
    .xClose = faulty_close,
    .xRead = faulty_read_at,
    .xWrite = faulty_write,
    .xTruncate = faulty_truncate,
    .xSync = faulty_sync,
    .xFileSize = faulty_size,
    .xLock = faulty_lock,
    .xUnlock = faulty_unlock,
    .xCheckReservedLock = faulty_reserved,
    .xFileControl = faulty_control,
    .xSectorSize = faulty_sector,
    .xDeviceCharacteristics = faulty_traits,
    .xShmMap = faulty_shm_map,
    .xShmLock = faulty_shm_lock,
    .xShmBarrier = faulty_shm_barrier,
    .xShmUnmap = faulty_shm_unmap,
};

static inline int faulty_open(sqlite3_vfs *vfs, const char *path, sqlite3_file *f, int flags, int *out) {
    faulty_file *file = (faulty_file *)f;
    (void)vfs;
    file->base.pMethods = NULL;
    if (faulty_now()) return SQLITE_CANTOPEN;
    file->real = calloc(1, (size_t)disk.real->szOsFile);
    int code = disk.real->xOpen(disk.real, path, file->real, flags, out);
    if (code != SQLITE_OK) {
        free(file->real);
        return code;
    }
    snprintf(file->path, sizeof file->path, "%s", path ? path : "");
    if (path && disk.keeps && !faulty_kept_of(path)->path[0]) faulty_synced(path);
    file->base.pMethods = &faulty_methods;
    return SQLITE_OK;
}

static inline int faulty_delete(sqlite3_vfs *vfs, const char *path, int sync) {
    (void)vfs;
    return faulty_now() ? SQLITE_IOERR_DELETE : disk.real->xDelete(disk.real, path, sync);
}

static inline void faulty_register(void) {
    static sqlite3_vfs vfs;
    disk.real = sqlite3_vfs_find(NULL);
    vfs = *disk.real;
    vfs.pNext = NULL;
    vfs.zName = "faulty";
    vfs.szOsFile = (int)sizeof(faulty_file);
    vfs.xOpen = faulty_open;
    vfs.xDelete = faulty_delete;
    sqlite3_vfs_register(&vfs, 0);
}

/* Counts from 0 and fails at that call and, unless once, at every one after; 0 never. */
static inline void faulty_at(int call, int code, bool once) {
    disk.calls = disk.failed = 0;
    disk.fails_at = call;
    disk.code = code;
    disk.once = once;
}

static inline uint64_t faulty_random(uint64_t *seed) { /* splitmix64 (Steele, Lea, Flood 2014) */
    uint64_t z = (*seed += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

/* From now on what is synced is remembered. */
static inline void power_on(void) {
    for (int i = 0; i < FAULTY_FILES; i++) free(disk.file[i].data);
    memset(disk.file, 0, sizeof disk.file);
    disk.keeps = true;
}

/* What a drive has of the files whose power went when everything began to fail. */
static inline void power_returns(uint64_t *seed) {
    for (int i = 0; i < FAULTY_FILES && disk.file[i].path[0]; i++) {
        faulty_kept *kept = &disk.file[i];
        size_t size;
        unsigned char *data = faulty_read(kept->path, &size);
        size_t whole = (faulty_random(seed) & 1 ? size : kept->size);
        unsigned char *mixed = calloc(1, whole + 1);
        for (size_t at = 0; at < whole; at += FAULTY_SECTOR) {
            bool newer = faulty_random(seed) & 1;
            const unsigned char *from = newer ? data : kept->data;
            size_t has = newer ? size : kept->size,
                   most = whole - at < FAULTY_SECTOR ? whole - at : FAULTY_SECTOR;
            if (from && at < has) memcpy(mixed + at, from + at, has - at < most ? has - at : most);
        }
        unlink(kept->path);
        if (whole > 0) {
            FILE *file = fopen(kept->path, "wb");
            fwrite(mixed, 1, whole, file);
            fclose(file);
        }
        free(data);
        free(mixed);
        free(kept->data);
        *kept = (faulty_kept){.path = "gone"};
    }
    disk.keeps = false;
    memset(disk.file, 0, sizeof disk.file);
    faulty_at(0, 0, false);
}

#endif
