/* Runs a fuzzer's entry point over the files of a directory, in order of name: the kept corpus as an ordinary
 * test, under any compiler. A corpus without files is a failure.
 *
 * usage: replay_NAME DIRECTORY
 */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int visible(const struct dirent *entry) { return entry->d_name[0] != '.'; }

static int replay(const char *directory, const char *name) {
    char path[4096];
    int length = snprintf(path, sizeof path, "%s/%s", directory, name);
    if (length < 0 || (size_t)length >= sizeof path) return -1;
    FILE *file = fopen(path, "rb");
    if (!file) return -1;
    long size = fseek(file, 0, SEEK_END) == 0 ? ftell(file) : -1;
    uint8_t *data =
        size >= 0 ? malloc(size ? (size_t)size : 1) : NULL; /* exact, so that a read past its end shows */
    int status = -1;
    if (data && fseek(file, 0, SEEK_SET) == 0 && fread(data, 1, (size_t)size, file) == (size_t)size)
        status = LLVMFuzzerTestOneInput(data, (size_t)size);
    free(data);
    (void)fclose(file);
    return status;
}

int main(int argc, char **argv) {
    struct dirent **entries = NULL;
    int count = argc == 2 ? scandir(argv[1], &entries, visible, alphasort) : -1;
    int failures = count <= 0;
    for (int i = 0; i < count; i++) {
        if (replay(argv[1], entries[i]->d_name) != 0) {
            (void)fprintf(stderr, "%s/%s: not run\n", argv[1], entries[i]->d_name);
            failures++;
        }
        free(entries[i]);
    }
    free(entries);
    (void)printf("%d inputs\n", count);
    return failures != 0;
}
