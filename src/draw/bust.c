/* The bust as a picture of its own. All sides are shown at one scale, that at which the front fills the
 * height. */
#include <math.h>

#include "draw.h"
#include "fail.h"
#include "render.h"
#include "vec.h"

#define MARGIN .07 /* of the height, at each edge */

draw_bust_options draw_bust_default(void) { return (draw_bust_options){DRAW_FRONT, 1200, .0015, false}; }

/* How far the mesh reaches along a direction: the middle, and half of it all. */
static void extent(const lw_mesh *mesh, lw_vec3 along, double *middle, double *half) {
    double low = INFINITY, high = -INFINITY;
    for (int i = 0; i < mesh->vertex_count; i++) {
        double at = v3_dot(mesh->position[i], along);
        low = fmin(low, at), high = fmax(high, at);
    }
    *middle = .5 * (low + high);
    *half = .5 * (high - low);
}

static lw_status picture(image *out, const lw_mesh *mesh, const lw_head *head,
                         const draw_bust_options *options, lw_error *error) {
    static const view_side sides[DRAW_SIDES] = {
        [DRAW_FRONT] = VIEW_FRONT, [DRAW_BACK] = VIEW_BACK,   [DRAW_LEFT] = VIEW_LEFT,
        [DRAW_RIGHT] = VIEW_RIGHT, [DRAW_ABOVE] = VIEW_ABOVE, [DRAW_THREE_QUARTER] = VIEW_THREE_QUARTER_LEFT};
    view v = view_of(sides[options->side]);
    double across, along, wide, high;
    extent(mesh, v.right, &across, &wide);
    extent(mesh, v.up, &along, &high);
    double scale = options->height * (.5 - MARGIN) / high;
    int width = (int)ceil(2 * (scale * wide + MARGIN * options->height));
    stage on = {.view = v,
                .centre = v3_along(v3_scale(v.right, across), v.up, along),
                .middle = {.5 * width, .5 * options->height},
                .scale = scale};
    render_options look = {.mesh = mesh,
                           .head = head,
                           .on = &on,
                           .width = width,
                           .height = options->height,
                           .transparent = options->transparent};
    return render(out, &look, error);
}

lw_status draw_bust(draw_bytes *out, const lw_head *head, const draw_bust_options *options, lw_error *error) {
    *out = (draw_bytes){0};
    if ((unsigned)options->side >= DRAW_SIDES)
        return fail(error, LW_ERROR_ARGUMENT, "side", "Take a draw_side.", "there is no side %d",
                    (int)options->side);
    if (options->height < 16 || options->height > 8192)
        return fail(error, LW_ERROR_ARGUMENT, "height", "Take 16 to 8192 pixels.",
                    "a height of %d pixels is out of range", options->height);
    lw_mesh mesh;
    image shown = {0};
    lw_status status = lw_mesh_new(&mesh, head, options->cell, error);
    if (!status) status = picture(&shown, &mesh, head, options, error);
    if (!status) status = image_png(out, &shown, error);
    image_clear(&shown);
    lw_mesh_clear(&mesh);
    return status;
}
