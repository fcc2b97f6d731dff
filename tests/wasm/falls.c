/* The page's calls, native: for tests that hold the module's numbers to it.
 *
 * usage: falls HAIRS NODES PACKINGS PLAN [PLAN ...]
 *
 * Carries each plan out, lets its hair fall, after the first from where it lies, and writes where every node
 * lies: x, y, z as doubles, plan after plan. With the arithmetic of every machine, without fused
 * multiply-add, which is the module's. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "page.h"
#include "rods.h"

/* NOLINTBEGIN(bugprone-reserved-identifier): the linker's names */
rods_kernel __wrap_rods_some_wide, __wrap_rods_some_widest;
void __wrap_rods_some_wide(const rods_job *job, int first, int past) { rods_some_narrow(job, first, past); }
void __wrap_rods_some_widest(const rods_job *job, int first, int past) { rods_some_narrow(job, first, past); }
/* NOLINTEND(bugprone-reserved-identifier) */

static int fault(page *p, const char *what) {
    fprintf(stderr, "%s: %s\n", what, page_error(p));
    page_free(p);
    return 1;
}

static bool read_into(page *p, const char *name) {
    FILE *file = fopen(name, "rb");
    if (!file) return false;
    static char text[1 << 20];
    size_t size = fread(text, 1, sizeof text, file);
    fclose(file);
    char *to = page_text(p, size);
    if (to) memcpy(to, text, size);
    return to != NULL;
}

static bool write_strands(const page *p) {
    size_t numbers = 3 * (size_t)page_fall_hairs(p) * (size_t)page_fall_nodes(p);
    return fwrite(page_fall_at(p), sizeof(double), numbers, stdout) == numbers;
}

int main(int argc, char **argv) {
    if (argc < 5) return 2;
    int hairs = (int)strtol(argv[1], NULL, 10), nodes = (int)strtol(argv[2], NULL, 10),
        packings = (int)strtol(argv[3], NULL, 10);
    page *p = page_new();
    if (!p) return 1;
    for (int i = 4; i < argc; i++)
        if (!read_into(p, argv[i]) || page_predict(p, hairs, 0) || page_fall(p, nodes, packings, 0) ||
            !write_strands(p))
            return fault(p, argv[i]);
    page_free(p);
    return fflush(stdout) == 0 ? 0 : 1;
}
