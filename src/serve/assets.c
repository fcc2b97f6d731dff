/* Finding a file of the page by its path, among a sorted table: no path ever reaches a file system. */
#include "assets.h"

#include <stdlib.h>
#include <string.h>

static int by_path(const void *path, const void *one) { return strcmp(path, ((const asset *)one)->path); }

const asset *asset_find(const char *path) {
    return bsearch(strcmp(path, "/") == 0 ? "/index.html" : path, assets, asset_count, sizeof *assets,
                   by_path);
}
