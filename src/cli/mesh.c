/* Rays from the star centre on a grid of directions, poles above and below, joined into triangles that face
 * outward. */
#include "mesh.h"

#include <math.h>

#include "command.h"
#include "files.h"

enum { RINGS = 120, SPOKES = 180 };
static const double PI = 3.14159265358979323846;

static void vertex(FILE *to, const lw_head *head, double down, double round) {
    lw_vec3 c = lw_head_centre(head), n;
    lw_vec3 on = {c.x + sin(down) * sin(round), c.y + cos(down), c.z + sin(down) * cos(round)};
    lw_vec3 p = lw_head_project(head, on, &n);
    fprintf(to, "v %.6f %.6f %.6f\nvn %.4f %.4f %.4f\n", p.x, p.y, p.z, n.x, n.y, n.z);
}

static void triangle(FILE *to, int a, int b, int c) {
    fprintf(to, "f %d//%d %d//%d %d//%d\n", a, a, b, b, c, c);
}

/* Vertices count from 1: the top, then ring after ring, then the bottom. */
static int ring_vertex(int ring, int spoke) { return 2 + ring * SPOKES + spoke % SPOKES; }

int mesh_write(const lw_head *head, const char *path) {
    output out;
    int code = output_open(&out, path);
    if (code) return code;
    fputs("# lengthwise head, metres: x to the client's left, y up, z to the front\n", out.stream);
    vertex(out.stream, head, 0, 0);
    for (int j = 0; j < RINGS; j++)
        for (int k = 0; k < SPOKES; k++)
            vertex(out.stream, head, PI * (j + 1) / (RINGS + 1), 2 * PI * k / SPOKES);
    vertex(out.stream, head, PI, 0);
    for (int k = 0; k < SPOKES; k++) {
        triangle(out.stream, 1, ring_vertex(0, k), ring_vertex(0, k + 1));
        for (int j = 0; j + 1 < RINGS; j++) {
            int a = ring_vertex(j, k), b = ring_vertex(j, k + 1);
            triangle(out.stream, a, a + SPOKES, b);
            triangle(out.stream, b, a + SPOKES, b + SPOKES);
        }
        triangle(out.stream, ring_vertex(RINGS - 1, k + 1), ring_vertex(RINGS - 1, k), 2 + RINGS * SPOKES);
    }
    return output_finish(&out);
}
