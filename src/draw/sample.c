/* The scalp as it is seen from a side: the whole bust is drawn first and the scalp after it, a hair's breadth
 * nearer to the eye, so that what hides it hides it sample by sample. */
#include "sample.h"

#include <stdlib.h>

#include "fail.h"
#include "vec.h"

#define NEARER 3e-4f /* metres by which the scalp lies before the bust it is a part of */

static bool make_room(scalp_samples *out, const study *s, flat **hiding) {
    size_t samples = (size_t)out->seen.width * (size_t)out->seen.height;
    *hiding = malloc((size_t)s->mesh.vertex_count * sizeof **hiding);
    out->at = malloc(((size_t)s->scalp.mesh.vertex_count + 1) * sizeof *out->at);
    out->seen.depth = malloc(samples * sizeof *out->seen.depth);
    out->seen.triangle = malloc(samples * sizeof *out->seen.triangle);
    return *hiding && out->at && out->seen.depth && out->seen.triangle;
}

lw_status scalp_samples_new(scalp_samples *out, const study *s, const stage *on, frame at, int width,
                            int height, lw_error *error) {
    *out = (scalp_samples){.seen = {.width = width, .height = height}};
    flat *hiding;
    if (!make_room(out, s, &hiding)) {
        free(hiding);
        scalp_samples_clear(out);
        return fail_memory(error, "picture of the scalp");
    }
    const lw_mesh *scalp = &s->scalp.mesh;
    double left = v3_dot(on->centre, on->view.right) + (at.x - on->middle.x) / on->scale;
    double top = v3_dot(on->centre, on->view.up) - (at.y - on->middle.y) / on->scale;
    double size = at.width / width / on->scale;
    raster_flatten(hiding, &s->mesh, on->view, left, top, size);
    raster_flatten(out->at, scalp, on->view, left, top, size);
    for (int i = 0; i < scalp->vertex_count; i++) out->at[i].z += NEARER;
    raster_wipe(&out->seen);
    raster bust = out->seen;
    bust.triangle = NULL;
    raster_mesh(&bust, &s->mesh, hiding);
    raster_mesh(&out->seen, scalp, out->at);
    free(hiding);
    return LW_OK;
}

void scalp_samples_clear(scalp_samples *samples) {
    free(samples->at);
    free(samples->seen.depth);
    free(samples->seen.triangle);
    *samples = (scalp_samples){0};
}
