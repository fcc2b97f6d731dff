/* Reading a file whole, and writing one so that it is there whole or not at all. */
#ifndef LW_CLI_FILES_H
#define LW_CLI_FILES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "command.h"

/* Reads a file, or standard input for "-", into memory that the caller frees. Complains and returns an exit
 * code on failure. */
int file_read(char **text, size_t *size, const char *path);

/* The same of a file that may be far larger: an exported book. */
int file_read_large(char **text, size_t *size, const char *path);

/* "-" as messages name it. */
const char *file_name(const char *path);

typedef struct output {
    FILE *stream;
    const char *path;
    char *place, *aside; /* aside: written first and renamed to place; NULL where path is no ordinary file */
} output;

/* Each returns an exit code and complains itself. After output_open, exactly one of the other two must
 * follow. */
int output_open(output *out, const char *path);
int output_finish(output *out);
void output_abandon(output *out);

/* All of a file at once. */
int output_write(const char *path, const void *data, size_t size);

/* Which of `formats` (ends with NULL) is asked for or, where none is, which the ending of `path` names,
 * capitals or not; complains where it names none. */
int output_format(int *format, const value *asked, const char *path, const char *const *formats);
/* Where there is but one format: EXIT_USAGE, and says so, where the file's name ends in another's. */
int output_only(const char *path, const char *format);

#endif
