/* A picture of a step seen from any side: what its parts share. */
#include "step_picture.h"

#include <math.h>
#include <stdio.h>

#include "vec.h"

#define PAD 9. /* points round what a picture shows, for words */

void bounds_include(bounds *b, const view *v, lw_vec3 p) {
    double x = v3_dot(p, v->right), y = v3_dot(p, v->up);
    b->left = fmin(b->left, x), b->right = fmax(b->right, x);
    b->bottom = fmin(b->bottom, y), b->top = fmax(b->top, y);
}

bounds bounds_none(void) { return (bounds){INFINITY, -INFINITY, INFINITY, -INFINITY}; }

bounds bounds_of_head(const study *s, const view *v) {
    bounds b = bounds_none();
    lw_vec3 low = s->head_low, high = s->head_high;
    for (int i = 0; i < s->mesh.vertex_count; i++) {
        lw_vec3 p = s->mesh.position[i];
        if (p.y >= low.y && p.x >= low.x && p.x <= high.x && p.z >= low.z && p.z <= high.z)
            bounds_include(&b, v, p);
    }
    return b;
}

stage bounds_stage(const bounds *b, const view *v, frame at) {
    double wide = fmax(1e-3, b->right - b->left), tall = fmax(1e-3, b->top - b->bottom);
    double scale = fmin((at.width - 2 * PAD) / wide, (at.height - 2 * PAD) / tall);
    lw_vec3 centre = v3_along(v3_scale(v->right, (b->left + b->right) / 2), v->up, (b->bottom + b->top) / 2);
    return (stage){*v, centre, {at.x + at.width / 2, at.y + at.height / 2}, scale};
}

void picture_caption(const picture *g, const char *before, const char *shorter) {
    const char *tries[] = {before, shorter, ""};
    char words[64], text[160];
    view_words(words, g->on.view);
    for (int i = 0; i < 3; i++) {
        snprintf(text, sizeof text, "%s%s", tries[i], words);
        if (text_size(TEXT_SMALL, 0, text).x <= g->at.width) break;
    }
    draw_text(g->d, TEXT_SMALL, ALIGN_CENTRE, (point){g->at.x + g->at.width / 2, g->at.y + g->at.height + 1},
              0, text);
}

point page_off(point p, double x, double y) { return (point){p.x + x, p.y + y}; }

point page_way(const stage *on, lw_vec3 v) {
    double x = v3_dot(v, on->view.right), y = -v3_dot(v, on->view.up), n = hypot(x, y);
    return n > 1e-9 ? (point){x / n, y / n} : (point){0, 0};
}
