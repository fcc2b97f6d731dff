/* The head as a mesh. */
#ifndef LW_CLI_MESH_H
#define LW_CLI_MESH_H

#include "lengthwise.h"

/* Writes a closed mesh of the head as Wavefront OBJ, in metres. Complains and returns an exit code on
 * failure. */
int mesh_write(const lw_head *head, const char *path);

#endif
