/* The bust as a picture of its own. All sides are shown at one scale, that at which the front fills the
 * height. */
#include <math.h>

#include "draw.h"
#include "fault.h"
#include "render.h"
#include "vec.h"

#define MARGIN .07 /* of the height, at each edge */

draw_bust_options draw_bust_default(void) { return (draw_bust_options){DRAW_FRONT, 1200, .003}; }

static void box(const lw_mesh *mesh, lw_vec3 *low, lw_vec3 *high) {
    *low = *high = mesh->position[0];
    for (int i = 1; i < mesh->vertex_count; i++) {
        lw_vec3 p = mesh->position[i];
        *low = v3(fmin(low->x, p.x), fmin(low->y, p.y), fmin(low->z, p.z));
        *high = v3(fmax(high->x, p.x), fmax(high->y, p.y), fmax(high->z, p.z));
    }
}

/* How far a box reaches along a direction. */
static double extent(lw_vec3 size, lw_vec3 along) {
    return fabs(size.x * along.x) + fabs(size.y * along.y) + fabs(size.z * along.z);
}

static lw_status picture(image *out, const lw_mesh *mesh, const draw_bust_options *options, lw_error *error) {
    static const view_side sides[DRAW_SIDES] = {
        [DRAW_FRONT] = VIEW_FRONT, [DRAW_BACK] = VIEW_BACK,   [DRAW_LEFT] = VIEW_LEFT,
        [DRAW_RIGHT] = VIEW_RIGHT, [DRAW_ABOVE] = VIEW_ABOVE, [DRAW_THREE_QUARTER] = VIEW_THREE_QUARTER_LEFT};
    lw_vec3 low, high;
    box(mesh, &low, &high);
    view v = view_of(sides[options->side]);
    lw_vec3 size = v3_sub(high, low);
    double scale = options->height * (1 - 2 * MARGIN) / extent(size, v.up);
    int width = (int)ceil(scale * extent(size, v.right) + 2 * MARGIN * options->height);
    stage on = {.view = v,
                .centre = v3_scale(v3_add(low, high), .5),
                .middle = {.5 * width, .5 * options->height},
                .scale = scale};
    return render(out, mesh, &on, width, options->height, RENDER_CLAY, error);
}

lw_status draw_bust(draw_bytes *out, const lw_head *head, const draw_bust_options *options, lw_error *error) {
    *out = (draw_bytes){0};
    if ((unsigned)options->side >= DRAW_SIDES)
        return fault(error, LW_ERROR_ARGUMENT, "side", "Take a draw_side.", "there is no side %d",
                     (int)options->side);
    if (options->height < 16 || options->height > 8192)
        return fault(error, LW_ERROR_ARGUMENT, "height", "Take 16 to 8192 pixels.",
                     "a height of %d pixels is out of range", options->height);
    lw_mesh mesh;
    image shown = {0};
    lw_status status = lw_mesh_new(&mesh, head, options->cell, error);
    if (!status) status = picture(&shown, &mesh, options, error);
    if (!status) status = image_png(out, &shown, error);
    image_clear(&shown);
    lw_mesh_clear(&mesh);
    return status;
}
