/* The finished head from a side, as a file.
 *
 * A portrait, three wide to four high: the head and the collar, whatever hair hangs lower, and the bust cut
 * off by the picture's edge. From one side to another the scale is the same, but from above, where
 * there is less to show. */
#include <math.h>

#include "fail.h"
#include "hair.h"
#include "vec.h"

#define ROOM .03    /* metres of background above the head, for hair that stands up */
#define COLLAR .125 /* metres below the nape: shoulders begin */
#define MARGIN .025 /* metres, round head and hair */

draw_hair_picture_options draw_hair_picture_default(void) {
    return (draw_hair_picture_options){.side = DRAW_FRONT, .height = 1200, .colour = DRAW_HAIR_DARK_BROWN};
}

#define HAIRS_MAX 1e7 /* that one strand stands for */

typedef struct span {
    double low, high;
} span;

static void take_in(span *s, double at) {
    s->low = fmin(s->low, at - MARGIN);
    s->high = fmax(s->high, at + MARGIN);
}

/* How far what is to be seen reaches along a direction: the head with its face, and all hair. */
static span reach(const lw_mesh *mesh, const lw_head *head, const lw_strands *hair, lw_vec3 along) {
    span s = {INFINITY, -INFINITY};
    double nape = lw_head_landmark(head, LW_NAPE_CENTRE).y;
    for (int i = 0; i < mesh->vertex_count; i++)
        if (mesh->position[i].y > nape) take_in(&s, v3_dot(mesh->position[i], along));
    for (size_t i = 0; i < (size_t)hair->count * (size_t)hair->nodes; i++)
        take_in(&s, v3_dot(hair->at[i], along));
    return s;
}

static stage stage_of(draw_side side, const lw_mesh *mesh, const lw_head *head, const lw_strands *hair,
                      int width, int height) {
    static const view_side sides[DRAW_SIDES] = {
        [DRAW_FRONT] = VIEW_FRONT, [DRAW_BACK] = VIEW_BACK,   [DRAW_LEFT] = VIEW_LEFT,
        [DRAW_RIGHT] = VIEW_RIGHT, [DRAW_ABOVE] = VIEW_ABOVE, [DRAW_THREE_QUARTER] = VIEW_THREE_QUARTER_LEFT};
    view v = view_of(sides[side]);
    span x = reach(mesh, head, hair, v3(1, 0, 0)), y = reach(mesh, head, hair, v3(0, 1, 0)),
         z = reach(mesh, head, hair, v3(0, 0, 1));
    y.high = fmax(y.high, lw_head_landmark(head, LW_APEX).y + ROOM + MARGIN);
    y.low = fmin(y.low, lw_head_landmark(head, LW_NAPE_CENTRE).y - COLLAR);
    double deep = fmax(x.high - x.low, z.high - z.low);
    span across = reach(mesh, head, hair, v.right), up = reach(mesh, head, hair, v.up);
    if (side != DRAW_ABOVE) {
        double tilt = v3_dot(v3(0, 1, 0), v.up);
        up.low = fmin(up.low, tilt * y.low), up.high = fmax(up.high, tilt * y.high);
    }
    double high = side == DRAW_ABOVE ? up.high - up.low : y.high - y.low;
    double scale = fmin(height / fmax(high, up.high - up.low), width / fmax(deep, across.high - across.low));
    return (stage){
        .view = v,
        .centre = v3_along(v3_scale(v.right, .5 * (across.low + across.high)), v.up, .5 * (up.low + up.high)),
        .middle = {.5 * width, .5 * height},
        .scale = scale};
}

static lw_status check(const lw_strands *hair, const draw_hair_picture_options *o, lw_error *error) {
    if ((unsigned)o->side >= DRAW_SIDES)
        return fail(error, LW_ERROR_ARGUMENT, "side", "Take a draw_side.", "there is no side %d",
                    (int)o->side);
    if ((unsigned)o->colour >= DRAW_HAIR_COLOURS)
        return fail(error, LW_ERROR_ARGUMENT, "colour", "Take a draw_hair_colour.", "there is no colour %d",
                    (int)o->colour);
    if (o->height < 64 || o->height > 8192)
        return fail(error, LW_ERROR_ARGUMENT, "height", "Take 64 to 8192 pixels.",
                    "a height of %d pixels is out of range", o->height);
    if (hair->count < 0 || (hair->count > 0 && hair->nodes < 2))
        return fail(error, LW_ERROR_ARGUMENT, "strands", "Give each hair two points or more.",
                    "%d hairs of %d points cannot be drawn", hair->count, hair->nodes);
    for (size_t i = 0; i < (size_t)hair->count * (size_t)hair->nodes; i++)
        if (!(v3_norm(hair->at[i]) < 3))
            return fail(error, LW_ERROR_ARGUMENT, "strands",
                        "Give points in metres from between the tragions.",
                        "point %d of hair %d is not within 3 m of the head", (int)(i % (size_t)hair->nodes),
                        (int)(i / (size_t)hair->nodes));
    for (int i = 0; i < hair->count; i++)
        if (!(hair->hairs[i] >= 0 && hair->hairs[i] < HAIRS_MAX))
            return fail(error, LW_ERROR_ARGUMENT, "strands", "Let each stand for 0 to ten million.",
                        "hair %d stands for %g hairs", i, hair->hairs[i]);
    return LW_OK;
}

lw_status draw_hair_picture(draw_bytes *out, const lw_strands *hair, const lw_head *head,
                            const draw_hair_picture_options *options, lw_error *error) {
    *out = (draw_bytes){0};
    lw_status status = check(hair, options, error);
    if (status) return status;
    lw_mesh mesh;
    image shown = {0};
    double seen = fmin(fmax(2.8 / options->height, .0015), .003); /* metres: a few pixels */
    status = lw_mesh_new(&mesh, head, options->cell != 0 ? options->cell : seen, error);
    if (!status) {
        int width = (3 * options->height + 2) / 4;
        stage on = stage_of(options->side, &mesh, head, hair, width, options->height);
        hair_options how = {.strands = hair,
                            .mesh = &mesh,
                            .head = head,
                            .on = &on,
                            .width = width,
                            .height = options->height,
                            .colour = options->colour,
                            .lamps = hair_lamps_default(),
                            .transparent = options->transparent};
        status = hair_picture(&shown, &how, error);
    }
    if (!status) status = image_png(out, &shown, error);
    image_clear(&shown);
    lw_mesh_clear(&mesh);
    return status;
}
