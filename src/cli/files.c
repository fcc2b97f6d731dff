/* Files. A file is written beside its place under another name and renamed when it is whole and on the disk,
 * so that neither a full disk nor a crash nor Ctrl-C leaves half of one; what is not an ordinary file (a
 * pipe, /dev/full) is written as it is. */
#define _XOPEN_SOURCE 700 /* realpath */ // NOLINT(bugprone-reserved-identifier)
#include "files.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

#include "command.h"
#include "complain.h"
#include "interrupt.h"

enum { INPUT_MAX = 64 << 20, INPUT_LARGE = 1 << 30 };

const char *file_name(const char *path) { return strcmp(path, "-") == 0 ? "standard input" : path; }

static int read_all(char **text, size_t *size, FILE *file, const char *path, size_t most) {
    size_t room = 1 << 16;
    char *data = malloc(room);
    *size = 0;
    while (data) {
        *size += fread(data + *size, 1, room - *size, file);
        if (*size < room) break;
        if (room >= most) {
            free(data);
            return complain(EXIT_INPUT, "Is it the right file?", "%s is larger than %zu MiB", file_name(path),
                            most >> 20);
        }
        room *= 2;
        char *more = realloc(data, room);
        if (!more) free(data);
        data = more;
    }
    if (!data) return complain_memory();
    if (ferror(file)) {
        free(data);
        return complain(EXIT_INPUT, NULL, "cannot read %s: %s", file_name(path), strerror(errno));
    }
    *text = data;
    return EXIT_FINE;
}

static int read_file(char **text, size_t *size, const char *path, size_t most) {
    *text = NULL;
    if (strcmp(path, "-") == 0) return read_all(text, size, stdin, path, most);
    FILE *file = fopen(path, "rb");
    if (!file)
        return complain(EXIT_INPUT,
                        errno == ENOENT ? "Give the path of a file, or - for standard input." : NULL,
                        "cannot read %s: %s", path, strerror(errno));
    int code = read_all(text, size, file, path, most);
    fclose(file);
    return code;
}

int file_read(char **text, size_t *size, const char *path) { return read_file(text, size, path, INPUT_MAX); }

int file_read_large(char **text, size_t *size, const char *path) {
    return read_file(text, size, path, INPUT_LARGE);
}

static int cannot_write(const output *out, int reason) {
    return complain(EXIT_MACHINE, "Nothing was left there; what was there before still is.",
                    "cannot write %s: %s", out->path, strerror(reason));
}

static void output_forget(output *out) {
    if (out->aside) interrupt_end();
    free(out->place);
    free(out->aside);
    *out = (output){0};
}

/* Opens a new file beside `place`, with the rights that an ordinary new file gets. */
static FILE *open_aside(output *out) {
    size_t length = strlen(out->place) + 8;
    out->aside = malloc(length);
    if (!out->aside) return NULL;
    snprintf(out->aside, length, "%s.XXXXXX", out->place);
    interrupt_removes(out->aside); /* before it is there: mkstemp writes its name in place */
    int file = mkstemp(out->aside);
    if (file < 0) {
        int reason = errno;
        interrupt_end();
        free(out->aside);
        out->aside = NULL;
        errno = reason;
        return NULL;
    }
    mode_t mask = umask(0);
    umask(mask);
    FILE *stream = fchmod(file, 0666 & ~mask) == 0 ? fdopen(file, "wb") : NULL;
    if (!stream) {
        int reason = errno;
        close(file);
        unlink(out->aside);
        errno = reason;
    }
    return stream;
}

int output_open(output *out, const char *path) {
    if (strcmp(path, "-") == 0)
        return complain(EXIT_USAGE, "Give a file's name; /dev/stdout is one.", "a file cannot be called -");
    struct stat found;
    bool there = stat(path, &found) == 0;
    *out = (output){.path = path};
    if (there && !S_ISREG(found.st_mode)) {
        out->stream = fopen(path, "wb");
    } else {
        out->place = there ? realpath(path, NULL) : strdup(path); /* a link stays a link */
        out->stream = out->place ? open_aside(out) : NULL;
    }
    if (out->stream) return EXIT_FINE;
    int reason = errno;
    output_forget(out);
    out->path = path;
    return cannot_write(out, reason);
}

void output_abandon(output *out) {
    fclose(out->stream);
    if (out->aside) unlink(out->aside);
    output_forget(out);
}

int output_finish(output *out) {
    bool fine = !ferror(out->stream) && fflush(out->stream) == 0; /* errno is that of the write that failed */
    if (fine && out->aside) fine = fsync(fileno(out->stream)) == 0;
    if (!fine) {
        int code = cannot_write(out, errno);
        output_abandon(out);
        return code;
    }
    fine = fclose(out->stream) == 0 && (!out->aside || rename(out->aside, out->place) == 0);
    int code = fine ? EXIT_FINE : cannot_write(out, errno);
    if (!fine && out->aside) unlink(out->aside);
    output_forget(out);
    return code;
}

int output_write(const char *path, const void *data, size_t size) {
    output out;
    int code = output_open(&out, path);
    if (code) return code;
    fwrite(data, 1, size, out.stream);
    return output_finish(&out);
}

int output_format(int *format, const value *asked, const char *path, const char *const *formats) {
    if (asked->given) {
        *format = asked->word;
        return EXIT_FINE;
    }
    const char *dot = strrchr(path, '.');
    char endings[80] = "";
    for (*format = 0; formats[*format]; ++*format) {
        if (dot && strcasecmp(dot + 1, formats[*format]) == 0) return EXIT_FINE;
        size_t used = strlen(endings);
        const char *join = *format == 0 ? "" : formats[*format + 1] ? ", " : " or ";
        snprintf(endings + used, sizeof endings - used, "%s.%s", join, formats[*format]);
    }
    char remedy[128];
    snprintf(remedy, sizeof remedy, "End it in %s, or add --format.", endings);
    return complain(EXIT_USAGE, remedy, "the ending of %s does not say a format", path);
}

int output_only(const char *path, const char *format) {
    const char *name = strrchr(path, '/'), *dot = strrchr(name ? name : path, '.');
    if (!dot || strcasecmp(dot + 1, format) == 0) return EXIT_FINE;
    char remedy[64];
    snprintf(remedy, sizeof remedy, "End it in .%s: no other format is written.", format);
    return complain(EXIT_USAGE, remedy, "the ending of %s says another format", path);
}
