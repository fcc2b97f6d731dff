/* The bust's mesh and its picture, made whole in memory and then written. */
#include "mesh.h"

#include "command.h"
#include "complain.h"
#include "files.h"

static int write_obj(const lw_mesh *mesh, const char *path) {
    output out;
    int code = output_open(&out, path);
    if (code) return code;
    fputs("# lengthwise head, metres: x to the client's left, y up, z to the front\n", out.stream);
    for (int i = 0; i < mesh->vertex_count; i++) {
        lw_vec3 p = mesh->position[i];
        fprintf(out.stream, "v %.6f %.6f %.6f\n", p.x, p.y, p.z);
    }
    for (int i = 0; i < mesh->vertex_count; i++) {
        lw_vec3 n = mesh->normal[i];
        fprintf(out.stream, "vn %.4f %.4f %.4f\n", n.x, n.y, n.z);
    }
    for (int i = 0; i < mesh->triangle_count; i++) {
        int a = mesh->triangle[i][0] + 1, b = mesh->triangle[i][1] + 1, c = mesh->triangle[i][2] + 1;
        fprintf(out.stream, "f %d//%d %d//%d %d//%d\n", a, a, b, b, c, c);
    }
    return output_finish(&out);
}

int mesh_write(const lw_head *head, double cell, const char *path) {
    lw_mesh mesh;
    lw_error error = {0};
    if (lw_mesh_new(&mesh, head, cell, &error)) return complain_error(NULL, &error);
    int code = write_obj(&mesh, path);
    lw_mesh_clear(&mesh);
    return code;
}

int picture_write(const lw_head *head, const draw_bust_options *options, const char *path) {
    draw_bytes png;
    lw_error error = {0};
    if (draw_bust(&png, head, options, &error)) return complain_error(NULL, &error);
    int code = output_write(path, png.data, png.size);
    draw_bytes_clear(&png);
    return code;
}
