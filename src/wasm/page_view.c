/* What the page draws of a prediction and cannot read off it: the bust, hair as it was held, and the lines
 * between sections and panels on the scalp.
 *
 * Everything here is made when it is asked for and kept until what it was made of is gone: the bust goes with
 * the head, the rest with the prediction. Lines are where a label changes on the bust's own triangles. A
 * triangle whose corners have two labels is crossed by one piece of line, one whose corners have three by
 * three pieces that meet in its middle; where a line crosses an edge is found by halving, and the two
 * triangles beside that edge find the same point, so that pieces join. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cividis.h"
#include "state.h"
#include "vec.h"

enum { HALVINGS = 9 };

static void clear_lines(page_shown *s) {
    free(s->lines);
    free(s->beside);
    s->lines = NULL;
    s->beside = NULL;
    s->line_count = 0;
}

void page_shown_drop_cut(page_shown *s) {
    clear_lines(s);
    free(s->held);
    free(s->holds);
    free(s->places);
    s->held = NULL;
    s->holds = s->places = NULL;
    s->place_count = 0;
}

void page_shown_drop_head(page_shown *s) {
    lw_mesh_clear(&s->bust);
    free(s->field);
    free(s->scalp);
    free(s->open);
    s->field = s->open = NULL;
    s->scalp = NULL;
    s->heads++;
}

/* ---- the bust ---- */

int page_head_number(const page *p) { return p->shown.heads; }

static double openness(const lw_head *head, lw_vec3 at, lw_vec3 normal) {
    static const double out[] = {.002, .006, .016};
    double sum = 0;
    for (int k = 0; k < 3; k++)
        sum += fmin(1, fmax(0, lw_head_bust(head, v3_along(at, normal, out[k]), NULL) / out[k])) / 3;
    return sum;
}

static float *find_open(const lw_head *head, const lw_mesh *bust) {
    float *open = malloc(((size_t)bust->vertex_count + 1) * sizeof *open);
    for (int i = 0; open && i < bust->vertex_count; i++)
        open[i] = (float)openness(head, bust->position[i], bust->normal[i]);
    return open;
}

static void find_scalp(uint8_t *scalp, const lw_head *head, const lw_mesh *bust) {
    for (int i = 0; i < bust->vertex_count; i++) {
        lw_vec3 at = bust->position[i];
        scalp[i] = lw_head_hairline(head, at) > 0 && fabs(lw_head_distance(head, at, NULL)) < 2e-3;
    }
}

int page_bust(page *p, double cell, double foot) {
    page_shown *s = &p->shown;
    if (!p->head) return LW_ERROR_ARGUMENT;
    if (s->bust.vertex_count && s->bust_cell == cell && s->bust_foot == foot) return LW_OK;
    lw_mesh made = {0};
    lw_error error = {0};
    bool face = isfinite(lw_head_level(p->head, LW_CHIN));
    lw_status status =
        face ? lw_mesh_above(&made, p->head, cell, foot, &error) : lw_mesh_new(&made, p->head, cell, &error);
    uint8_t *scalp = status ? NULL : calloc((size_t)made.vertex_count + 1, 1);
    float *open = status ? NULL : find_open(p->head, &made);
    if (!status && (!scalp || !open)) status = LW_ERROR_MEMORY;
    if (status) {
        free(scalp);
        free(open);
        lw_mesh_clear(&made);
        return status;
    }
    find_scalp(scalp, p->head, &made);
    lw_mesh_clear(&s->bust);
    free(s->scalp);
    free(s->open);
    s->bust = made;
    s->scalp = scalp;
    s->open = open;
    s->bust_cell = cell;
    s->bust_foot = foot;
    return LW_OK;
}

int page_bust_vertices(const page *p) { return p->shown.bust.vertex_count; }
int page_bust_triangles(const page *p) { return p->shown.bust.triangle_count; }
const double *page_bust_at(const page *p) {
    return p->shown.bust.vertex_count ? &p->shown.bust.position->x : NULL;
}
const double *page_bust_normals(const page *p) {
    return p->shown.bust.vertex_count ? &p->shown.bust.normal->x : NULL;
}
const int32_t *page_bust_corners(const page *p) {
    return p->shown.bust.triangle_count ? p->shown.bust.triangle[0] : NULL;
}
const float *page_bust_open(const page *p) { return p->shown.open; }
const uint8_t *page_bust_scalp(const page *p) { return p->shown.scalp; }

const float *page_bust_field(page *p, double x, double y, double z, double cell, int wide, int high,
                             int deep) {
    page_shown *s = &p->shown;
    free(s->field);
    s->field = NULL;
    if (!p->head || wide < 1 || high < 1 || deep < 1 || wide > 256 || high > 256 || deep > 256) return NULL;
    s->field = malloc((size_t)wide * (size_t)high * (size_t)deep * sizeof *s->field);
    float *to = s->field;
    for (int k = 0; to && k < deep; k++)
        for (int j = 0; j < high; j++)
            for (int i = 0; i < wide; i++)
                *to++ = (float)lw_head_bust(p->head, v3(x + i * cell, y + j * cell, z + k * cell), NULL);
    return s->field;
}

/* ---- colours ---- */

int page_colour_count(void) { return CIVIDIS_STOPS; }
const uint8_t *page_colours(void) { return cividis_stop[0]; }

/* ---- hair as it was held ---- */

const float *page_held(page *p, int nodes, int panel) {
    page_shown *s = &p->shown;
    if (!p->cut || nodes < 2 || nodes > 64) return NULL;
    free(s->held);
    size_t hairs = (size_t)lw_scalp_count(p->scalp), row = 3 * (size_t)nodes;
    s->held = malloc((hairs * row + 1) * sizeof *s->held);
    const int32_t *set_by = lw_cut_set_by(p->cut);
    lw_vec3 at[64];
    for (size_t i = 0; s->held && i < hairs; i++) {
        float *to = s->held + i * row;
        if ((panel < 0 || set_by[i] == panel) && lw_cut_held_points(at, nodes, p->cut, (int)i) > 0)
            for (int k = 0; k < nodes; k++, to += 3)
                to[0] = (float)at[k].x, to[1] = (float)at[k].y, to[2] = (float)at[k].z;
        else
            for (size_t k = 0; k < row; k++) to[k] = NAN;
    }
    return s->held;
}

/* ---- curls ---- */

const double *page_fall_coils(const page *p) {
    const lw_coil *coil = p->fall ? lw_fall_strands(p->fall)->coil : NULL;
    return coil ? &coil->radius : NULL;
}

/* ---- what a panel's row leaves out ---- */

int page_hold_columns(void) { return PAGE_HOLD_COLUMNS; }

static void lay_out_hold(double *row, const page *p, const lw_panel *from) {
    lw_vec3 n;
    lw_head_project(p->head, from->place, &n);
    row[PAGE_HOLD_NORMAL] = n.x;
    row[PAGE_HOLD_NORMAL + 1] = n.y;
    row[PAGE_HOLD_NORMAL + 2] = n.z;
    row[PAGE_HOLD_ELEVATION] = from->elevation;
    row[PAGE_HOLD_CARRY] = from->carry;
    row[PAGE_HOLD_FACTOR] = from->factor;
    row[PAGE_HOLD_SECTION] = from->section;
    row[PAGE_HOLD_HAIRS] = from->hairs;
    row[PAGE_HOLD_CUT] = from->cut;
    row[PAGE_HOLD_LINE_LENGTH] = from->line_length;
    row[PAGE_HOLD_GUIDE] = from->guide;
    row[PAGE_HOLD_WHOLE] = from->whole;
    row[PAGE_HOLD_BITE] = from->bite;
    row[PAGE_HOLD_BITES] = from->bites;
}

const double *page_holds(page *p) {
    int n = p->cut ? lw_cut_panel_count(p->cut) : 0;
    free(p->shown.holds);
    p->shown.holds = calloc((size_t)n + 1, PAGE_HOLD_COLUMNS * sizeof *p->shown.holds);
    for (int i = 0; p->shown.holds && i < n; i++)
        lay_out_hold(p->shown.holds + (size_t)i * PAGE_HOLD_COLUMNS, p, lw_cut_panel(p->cut, i));
    return p->shown.holds;
}

/* ---- places that the plan names ---- */

int page_place_columns(void) { return PAGE_PLACE_COLUMNS; }

static bool given(lw_place place) { return place.from >= 0 && place.from < LW_LANDMARK_COUNT; }

/* Writes a row where there is room; either way counts it. */
static void put_place(page *p, page_place_of of, int which, int nth, lw_place place) {
    if (!given(place)) return;
    page_shown *s = &p->shown;
    if (s->places) {
        lw_vec3 at = lw_head_place(p->head, place);
        double *row = s->places + (size_t)s->place_count * PAGE_PLACE_COLUMNS;
        row[PAGE_PLACE_OF] = of;
        row[PAGE_PLACE_WHICH] = which;
        row[PAGE_PLACE_NTH] = nth;
        row[PAGE_PLACE_AT] = at.x;
        row[PAGE_PLACE_AT + 1] = at.y;
        row[PAGE_PLACE_AT + 2] = at.z;
    }
    s->place_count++;
}

static int mirrored(int landmark) {
    return landmark < 0 ? landmark : (int)lw_landmark_mirror((lw_landmark)landmark);
}

/* Whether a split is the other side of the one before it, made by the same parting of the plan. */
static bool is_twin(const lw_split *one, const lw_split *other) {
    bool twin = one->line == other->line && one->parting.kind == other->parting.kind &&
                one->parting.count == other->parting.count;
    for (int k = 0; twin && k < one->parting.count; k++) {
        const lw_place *a = &one->parting.places[k], *b = &other->parting.places[k];
        twin = a->from == mirrored(b->from) && a->to == mirrored(b->to) && a->at == b->at;
    }
    return twin;
}

static void put_places(page *p) {
    p->shown.place_count = 0;
    int which = -1;
    for (int i = 0; i < p->plan.split_count; i++) {
        const lw_parting *parting = &p->plan.splits[i].parting;
        if (i > 0 && is_twin(&p->plan.splits[i - 1], &p->plan.splits[i])) continue;
        which++;
        if (parting->kind == LW_PARTING_CENTRE || parting->kind == LW_PARTING_RIDGE) continue;
        for (int k = 0; k < parting->count; k++)
            put_place(p, PAGE_PLACE_OF_PARTING, which, k, parting->places[k]);
    }
    for (int i = 0; i < p->plan.step_count; i++) {
        const lw_step *step = &p->plan.steps[i];
        if (step->hold.target == LW_TOWARD_PLACE) put_place(p, PAGE_PLACE_OF_HOLD, i, 0, step->hold.place);
        if (step->guide.length > 0) put_place(p, PAGE_PLACE_OF_GUIDE, i, 0, step->guide.at);
        if (step->panels.family == LW_FAMILY_RADIAL)
            put_place(p, PAGE_PLACE_OF_PIVOT, i, 0, step->panels.pivot);
    }
}

const double *page_places(page *p) {
    free(p->shown.places);
    p->shown.places = NULL;
    p->shown.place_count = 0;
    if (!p->cut) return NULL;
    put_places(p);
    p->shown.places = calloc((size_t)p->shown.place_count + 1, PAGE_PLACE_COLUMNS * sizeof *p->shown.places);
    if (p->shown.places) put_places(p);
    return p->shown.places;
}

int page_place_count(const page *p) { return p->shown.places ? p->shown.place_count : 0; }

/* ---- lines between sections and panels ---- */

typedef struct labelling {
    const page *p;
    int step; /* 0 sections */
    int room;
    bool failed;
} labelling;

static int label_at(const labelling *of, lw_vec3 at) {
    if (lw_head_hairline(of->p->head, at) <= 0) return -1;
    if (of->step == 0) return lw_cut_section_at(of->p->cut, at);
    return lw_cut_panel_at(of->p->cut, of->step, at);
}

/* Where the label changes from that of `a`. */
static lw_vec3 change(const labelling *of, lw_vec3 a, lw_vec3 b, int label) {
    for (int i = 0; i < HALVINGS; i++) {
        lw_vec3 middle = lw_head_project(of->p->head, v3_scale(v3_add(a, b), .5), NULL);
        if (label_at(of, middle) == label)
            a = middle;
        else
            b = middle;
    }
    return v3_scale(v3_add(a, b), .5);
}

/* The same whichever triangle asks. */
static lw_vec3 crossing(const labelling *of, const int *label, int i, int j) {
    const lw_vec3 *at = of->p->shown.bust.position;
    return i < j ? change(of, at[i], at[j], label[i]) : change(of, at[j], at[i], label[j]);
}

static void add_line(page_shown *s, labelling *of, lw_vec3 a, lw_vec3 b, int one, int other) {
    if (s->line_count == of->room) {
        int room = of->room ? 2 * of->room : 1024;
        double *lines = realloc(s->lines, (size_t)room * 6 * sizeof *lines);
        if (lines) s->lines = lines;
        int32_t *beside = realloc(s->beside, (size_t)room * 2 * sizeof *beside);
        if (beside) s->beside = beside;
        of->failed |= !lines || !beside;
        if (of->failed) return;
        of->room = room;
    }
    double *row = s->lines + 6 * (size_t)s->line_count;
    row[0] = a.x, row[1] = a.y, row[2] = a.z, row[3] = b.x, row[4] = b.y, row[5] = b.z;
    s->beside[2 * s->line_count] = one;
    s->beside[2 * s->line_count + 1] = other;
    s->line_count++;
}

static void cross_triangle(page_shown *s, labelling *of, const int *label, const int32_t *t) {
    lw_vec3 at[3], middle = v3(0, 0, 0);
    int first[3], second[3], crossed = 0;
    for (int k = 0; k < 3; k++) {
        int i = t[k], j = t[(k + 1) % 3];
        if (label[i] == label[j]) continue;
        at[crossed] = crossing(of, label, i, j);
        first[crossed] = label[i];
        second[crossed] = label[j];
        middle = v3_add(middle, at[crossed++]);
    }
    if (crossed == 2) add_line(s, of, at[0], at[1], first[0], second[0]);
    for (int k = 0; crossed == 3 && k < 3; k++)
        add_line(s, of, at[k], v3_scale(middle, 1. / 3), first[k], second[k]);
}

int page_outline(page *p, int step) {
    page_shown *s = &p->shown;
    clear_lines(s);
    if (!p->cut || !s->bust.vertex_count || step < 0 || step > p->plan.step_count) return LW_ERROR_ARGUMENT;
    int *label = malloc((size_t)s->bust.vertex_count * sizeof *label);
    if (!label) return LW_ERROR_MEMORY;
    labelling of = {.p = p, .step = step};
    for (int i = 0; i < s->bust.vertex_count; i++)
        label[i] = s->scalp[i] ? label_at(&of, s->bust.position[i]) : -1;
    for (int i = 0; i < s->bust.triangle_count && !of.failed; i++)
        cross_triangle(s, &of, label, s->bust.triangle[i]);
    free(label);
    if (of.failed) clear_lines(s);
    return of.failed ? LW_ERROR_MEMORY : LW_OK;
}

int page_outline_count(const page *p) { return p->shown.line_count; }
const double *page_outline_at(const page *p) { return p->shown.lines; }
const int32_t *page_outline_beside(const page *p) { return p->shown.beside; }
