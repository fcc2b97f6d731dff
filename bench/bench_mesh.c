/* How long the bust's mesh takes, by the length of its edges, on as many threads as OpenMP is given. Prints
 * CSV: cell_m,vertices,triangles,min_s,median_s,microseconds_per_vertex.
 *
 * usage: bench_mesh [runs]
 */
#include <stdio.h>
#include <stdlib.h>

#include "lengthwise.h"
#include "timing.h"

#define RUNS_MAX 101

int main(int argc, char **argv) {
    int runs = argc > 1 ? (int)strtol(argv[1], NULL, 10) : 5;
    if (runs < 1 || runs > RUNS_MAX) return 2;
    lw_head *head;
    lw_error error;
    lw_head_options options = lw_head_default();
    if (lw_head_new(&head, &options, &error) != LW_OK) return 1;
    puts("cell_m,vertices,triangles,min_s,median_s,microseconds_per_vertex");
    static const double cells[] = {.012, .006, .003, .0015};
    for (int i = 0; i < 4; i++) {
        double seconds[RUNS_MAX];
        lw_mesh mesh = {0};
        for (int k = 0; k < runs; k++) {
            lw_mesh_clear(&mesh);
            double start = now();
            if (lw_mesh_new(&mesh, head, cells[i], &error) != LW_OK) return 1;
            seconds[k] = now() - start;
        }
        qsort(seconds, (size_t)runs, sizeof *seconds, ascending);
        printf("%g,%d,%d,%.4f,%.4f,%.2f\n", cells[i], mesh.vertex_count, mesh.triangle_count, seconds[0],
               seconds[runs / 2], 1e6 * seconds[0] / mesh.vertex_count);
        fflush(stdout);
        lw_mesh_clear(&mesh);
    }
    lw_head_free(head);
    return 0;
}
