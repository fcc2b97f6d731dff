/* The bust as files. */
#ifndef LW_CLI_MESH_H
#define LW_CLI_MESH_H

#include "draw.h"
#include "lengthwise.h"

/* Each complains and returns an exit code on failure. `cell` is the length of the mesh's edges, about, in
 * metres. */

/* Writes the bust's closed mesh as Wavefront OBJ, in metres. */
int mesh_write(const lw_head *head, double cell, const char *path);

/* Writes a picture of the bust, PNG. */
int picture_write(const lw_head *head, const draw_bust_options *options, const char *path);

#endif
