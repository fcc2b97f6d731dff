/* A plan carried out, made ready for drawing.
 *
 * One pass over the mesh says of every vertex whether it is scalp and in which section; the partings, the
 * hairline and the patch of scalp cut along both follow from that one label. Lengths are asked for once, at
 * the patch's vertices. The five sides are made side by side. */
#include "study.h"

#include <math.h>
#include <stdlib.h>

#include "even.h"
#include "fail.h"
#include "outline.h"
#include "refine.h"
#include "relief.h"
#include "vec.h"

#define CELL .003
#define BELOW .02 /* of the neck's end in drawings, where the mesh ends */
#define BEND .35  /* radians from one vertex to the next that are too many */
#define EVEN .006 /* spread of the evening out of lengths for contours */
#define PIXEL .001
#define SHADE .001 /* a pixel of the shading */

enum { REFINEMENTS = 2 };

/* 1 more than the section at p; 0 off the scalp. */
static int part_at(const void *context, lw_vec3 p) {
    const draw_subject *of = context;
    lw_vec3 on = lw_head_project(of->head, p, NULL);
    if (v3_norm(v3_sub(on, p)) > 2.5e-4 || lw_head_hairline(of->head, on) <= 0) return 0;
    return 1 + lw_cut_section_at(of->cut, on);
}

static int scalp_at(const void *context, lw_vec3 p) {
    const draw_subject *of = context;
    lw_vec3 on = lw_head_project(of->head, p, NULL);
    return v3_norm(v3_sub(on, p)) <= 2.5e-4 && lw_head_hairline(of->head, on) > 0;
}

static int section_at(const void *context, lw_vec3 p) { return part_at(context, p) - 1; }

static void widen(lw_vec3 *low, lw_vec3 *high, lw_vec3 p) {
    *low = v3(fmin(low->x, p.x), fmin(low->y, p.y), fmin(low->z, p.z));
    *high = v3(fmax(high->x, p.x), fmax(high->y, p.y), fmax(high->z, p.z));
}

/* The chin is about as far below the ears as the top is above them; the neck goes on a little below it. The
 * shoulders reach no higher than the chin. */
static void frame_head(study *s, double neck) {
    double chin = -.95 * s->high.y;
    s->head_low = v3(INFINITY, INFINITY, INFINITY);
    s->head_high = v3(-INFINITY, -INFINITY, -INFINITY);
    for (int i = 0; i < s->mesh.vertex_count; i++)
        if (s->mesh.position[i].y > chin) widen(&s->head_low, &s->head_high, s->mesh.position[i]);
    s->head_low.y = fmax(s->low.y, neck);
}

static lw_status make_mesh(study *s, lw_error *error) {
    const lw_head *head = s->subject.head;
    double neck = -1.28 * lw_head_project(head, v3_add(lw_head_centre(head), v3(0, 1, 0)), NULL).y;
    lw_status status = lw_mesh_above(&s->mesh, head, CELL, neck - BELOW, error);
    for (int i = 0; i < REFINEMENTS && !status; i++) status = refine(&s->mesh, head, BEND, error);
    if (status) return status;
    s->low = v3(INFINITY, INFINITY, INFINITY);
    s->high = v3(-INFINITY, -INFINITY, -INFINITY);
    for (int i = 0; i < s->mesh.vertex_count; i++) widen(&s->low, &s->high, s->mesh.position[i]);
    frame_head(s, neck);
    return LW_OK;
}

/* Borders of the parts, less those that are the edge of the scalp. */
static void drop_edges(curves *c) {
    int kept = 0;
    for (int i = 0; i < c->curve_count; i++)
        if (c->curves[i].one > 0 && c->curves[i].other > 0) {
            c->curves[kept] = c->curves[i];
            c->curves[kept].one--;
            c->curves[kept++].other--;
        }
    c->curve_count = kept;
}

static lw_status make_borders(study *s, int *label, lw_error *error) {
    int count = s->mesh.vertex_count;
#pragma omp parallel for schedule(dynamic, 256)
    for (int i = 0; i < count; i++) label[i] = part_at(&s->subject, s->mesh.position[i]);
    lw_status status =
        curves_borders(&s->sections, s->subject.head, &s->mesh, label, part_at, &s->subject, error);
    if (status) return status;
    drop_edges(&s->sections);
    for (int i = 0; i < count; i++) {
        s->section[i] = label[i] - 1;
        label[i] = label[i] > 0;
    }
    status = curves_borders(&s->hairline, s->subject.head, &s->mesh, label, scalp_at, &s->subject, error);
    if (status) return status;
    return patch_new(&s->scalp, s->subject.head, &s->mesh, s->section, section_at, &s->subject, error);
}

static lw_status make_scalp(study *s, lw_error *error) {
    size_t count = (size_t)s->mesh.vertex_count;
    int *label = malloc(count * sizeof *label);
    s->section = malloc(count * sizeof *s->section);
    s->length = malloc(count * sizeof *s->length);
    s->curvature = malloc(count * sizeof *s->curvature);
    if (!label || !s->section || !s->length || !s->curvature) {
        free(label);
        return fail_memory(error, "drawing");
    }
    lw_status status = relief_curvature(s->curvature, &s->mesh, error);
    if (!status) status = make_borders(s, label, error);
    free(label);
    return status;
}

static lw_status make_lengths(study *s, lw_error *error) {
    const patch *p = &s->scalp;
    int count = p->mesh.vertex_count;
    s->scalp_length = malloc((size_t)(count + 1) * sizeof *s->scalp_length);
    s->scalp_even = malloc((size_t)(count + 1) * sizeof *s->scalp_even);
    if (!s->scalp_length || !s->scalp_even) return fail_memory(error, "drawing");
    lw_cut_at_points(s->subject.cut, count, p->inner, s->scalp_length);
    for (int i = 0; i < s->mesh.vertex_count; i++) s->length[i] = NAN;
    for (int i = 0; i < count; i++)
        if (p->from[i] >= 0) s->length[p->from[i]] = s->scalp_length[i];
    return even_out(s->scalp_even, p, s->scalp_length, EVEN, error);
}

/* Soft tone over the head's box, gone where the neck ends. */
static lw_status make_shade(study_view *out, const study *s, lw_error *error) {
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};
    for (int i = 0; i < 8; i++) {
        lw_vec3 p = v3(i & 1 ? s->head_high.x : s->head_low.x, i & 2 ? s->head_high.y : s->head_low.y,
                       i & 4 ? s->head_high.z : s->head_low.z);
        double at[2] = {v3_dot(p, out->view.right), v3_dot(p, out->view.up)};
        for (int k = 0; k < 2; k++) low[k] = fmin(low[k], at[k]), high[k] = fmax(high[k], at[k]);
    }
    int width = (int)ceil((high[0] - low[0]) / SHADE), height = (int)ceil((high[1] - low[1]) / SHADE);
    out->shade_metres = (frame){low[0], high[1], width * SHADE, height * SHADE};
    double fade[2] = {s->head_low.y + .01, s->head_low.y + .07};
    if (s->low.y >= s->head_low.y) fade[0] = -2, fade[1] = -1; /* nothing is cut off */
    if (out->view.toward.y > .7) fade[1] = .5 * (fade[0] = -.4 * s->head_high.y);
    return relief_shade(&out->shade, &s->mesh, s->curvature, out->view, out->shade_metres, width, height,
                        fade, error);
}

/* The scalp is left calm: partings and lengths are drawn there. */
static lw_status make_creases(study_view *out, const study *s, lw_error *error) {
    bool *wanted = malloc((size_t)s->mesh.vertex_count * sizeof *wanted);
    if (!wanted) return fail_memory(error, "drawing");
    for (int i = 0; i < s->mesh.vertex_count; i++) wanted[i] = s->section[i] < 0;
    lw_status status = relief_creases(&out->creases, &s->mesh, wanted, out->view, error);
    free(wanted);
    return status;
}

bool study_view_holds(const study *s, const view *v, lw_vec3 p) {
    double low = v->toward.y > .7 ? -.4 * s->head_high.y : s->head_low.y;
    return p.y >= low - 1e-9 && p.x >= s->head_low.x - STUDY_MARGIN && p.x <= s->head_high.x + STUDY_MARGIN &&
           p.z >= s->head_low.z - STUDY_MARGIN && p.z <= s->head_high.z + STUDY_MARGIN;
}

typedef struct holding {
    const study *s;
    const view *v;
} holding;

static bool holds(const void *context, lw_vec3 p) {
    const holding *h = context;
    return study_view_holds(h->s, h->v, p);
}

static lw_status make_lines(study_view *out, const study *s, lw_error *error) {
    lw_status status = curves_silhouette(&out->silhouette, &s->mesh, out->view, error);
    holding h = {s, &out->view};
    if (!status) status = outline_new(&out->outline, &out->depth, &out->silhouette, holds, &h, error);
    return status ? status : make_creases(out, s, error);
}

lw_status study_view_lines(study_view *out, const study *s, view v, lw_error *error) {
    *out = (study_view){.view = v};
    lw_status status = depth_map_new(&out->depth, &s->mesh, v, PIXEL, error);
    if (!status) status = make_lines(out, s, error);
    if (status) study_view_clear(out);
    return status;
}

lw_status study_view_new(study_view *out, const study *s, view v, lw_error *error) {
    lw_status status = study_view_lines(out, s, v, error);
    if (!status) status = make_shade(out, s, error);
    if (status) study_view_clear(out);
    return status;
}

void study_view_clear(study_view *v) {
    depth_map_clear(&v->depth);
    image_clear(&v->shade);
    curves_clear(&v->outline);
    curves_clear(&v->silhouette);
    curves_clear(&v->creases);
    *v = (study_view){0};
}

static lw_status make_views(study *s, lw_error *error) {
    lw_error errors[VIEW_ABOVE + 1] = {0};
#pragma omp parallel for schedule(dynamic, 1)
    for (int side = 0; side <= VIEW_ABOVE; side++)
        study_view_new(&s->views[side], s, view_of((view_side)side), &errors[side]);
    for (int side = 0; side <= VIEW_ABOVE; side++)
        if (errors[side].status) return fail_as(error, &errors[side]);
    return LW_OK;
}

lw_status study_new(study *out, const draw_subject *subject, lw_error *error) {
    *out = (study){.subject = *subject};
    lw_status status = make_mesh(out, error);
    if (!status) status = make_scalp(out, error);
    if (!status) status = make_lengths(out, error);
    if (!status) status = make_views(out, error);
    if (status) study_clear(out);
    return status;
}

void study_clear(study *s) {
    for (int side = 0; side < VIEW_SIDES; side++) study_view_clear(&s->views[side]);
    lw_mesh_clear(&s->mesh);
    patch_clear(&s->scalp);
    curves_clear(&s->hairline);
    curves_clear(&s->sections);
    free(s->section);
    free(s->length);
    free(s->curvature);
    free(s->scalp_length);
    free(s->scalp_even);
    *s = (study){0};
}
