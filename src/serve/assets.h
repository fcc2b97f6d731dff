/* The page's files, which tools/embed.py puts into the program. */
#ifndef LW_SERVE_ASSETS_H
#define LW_SERVE_ASSETS_H

#include "lengthwise.h"

typedef struct asset {
    const char *path;  /* "/index.html" */
    const char *media; /* its content type */
    const char *etag;  /* of its bytes */
    bool lasting;      /* its name changes with its bytes */
    size_t size;
    const unsigned char *data;
} asset;

extern const asset assets[]; /* by path */
extern const size_t asset_count;

/* The file at a path, "/index.html" for "/"; NULL where there is none. */
const asset *asset_find(const char *path);

#endif
