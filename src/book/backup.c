/* A copy of the book while others go on with it.
 *
 * SQLite's backup in one step reads from one moment and keeps no writer waiting
 * (https://www.sqlite.org/backup.html); a file copied by hand may lack its log or be of two moments ("How To
 * Corrupt An SQLite Database File", section 1.2). The copy is made aside, checked, brought to the disk, and
 * only then gets its name.
 */
#include <errno.h>
#include <stdlib.h>
#include <unistd.h>

#include "db.h"
#include "fail.h"
#include "file.h"
#include "place.h"

static int copy(sqlite3 *to, sqlite3 *from) {
    sqlite3_backup *backup = sqlite3_backup_init(to, "main", from, "main");
    if (!backup) return sqlite3_extended_errcode(to);
    sqlite3_backup_step(backup, -1);
    return sqlite3_backup_finish(backup);
}

/* A single file, without a log beside it; quick_check reads every page that was written. */
static lw_status finish(sqlite3 *db, lw_error *error) {
    book whole = {.db = db, .lock = -1};
    db_do(&whole, "PRAGMA journal_mode = DELETE", "");
    sqlite3_stmt *asked = db_ask(&whole, "PRAGMA quick_check(1)", "");
    bool sound = db_row(&whole, asked) && strcmp(db_text(asked, 0), "ok") == 0;
    sqlite3_finalize(asked);
    if (whole.trouble) return db_fault(db, whole.trouble, error);
    return sound ? LW_OK : db_fault(NULL, SQLITE_CORRUPT, error);
}

static lw_status write_aside(book *b, const char *aside, lw_error *error) {
    sqlite3 *db = NULL;
    int code = file_open(&db, aside, NULL, 0);
    if (code == SQLITE_OK) code = copy(db, b->db);
    lw_status status = code ? db_fault(db, code, error) : finish(db, error);
    sqlite3_close(db);
    return status;
}

lw_status book_backup(book *b, const char *path, lw_error *error) {
    char ending[32];
    snprintf(ending, sizeof ending, ".part-%ld", (long)getpid());
    if (place_there(path)) return place_fault(error, path, "cannot write the backup", EEXIST);
    char *plain = place_beside(path[0] == '/' ? "" : "./", path);
    char *aside = plain ? place_beside(plain, ending) : NULL;
    free(plain);
    if (!aside) return fail_memory(error, "backup");
    lw_status status = LW_OK;
    unlink(aside);
    int reason = place_create(aside);
    if (!reason) status = write_aside(b, aside, error);
    if (!reason && !status) reason = place_sync_file(aside);
    if (!reason && !status && link(aside, path) != 0) reason = errno;
    unlink(aside);
    if (!reason && !status) reason = place_sync_folder(path);
    free(aside);
    return status || !reason ? status : place_fault(error, path, "cannot write the backup", reason);
}
