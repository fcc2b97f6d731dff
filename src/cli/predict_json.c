/* A prediction for machines: metres, radians, kilograms. docs/model.md defines each field. */
#include "json.h"
#include "names.h"
#include "predict.h"

static void json_head(json *j, const prediction *p) {
    const lw_head_options *given = lw_head_given(p->head);
    put_open(j, "head", '{');
    put_text(j, "kind", head_kind_name(given->kind));
    put_text(j, "hairline", hairline_name(given->hairline));
    put_vector(j, "centre", lw_head_centre(p->head));
    put_number(j, "scalp_area", lw_head_scalp_area(p->head));
    put_open(j, "measures", '{');
    for (int i = 0; i < LW_MEASURE_COUNT; i++)
        put_number(j, lw_measure_name((lw_measure)i), lw_head_measure(p->head, (lw_measure)i));
    put_close(j, '}');
    put_open_inline(j, "given", '[');
    for (int i = 0; i < LW_MEASURE_INPUTS; i++)
        if (given->measure[i] > 0) put_text(j, NULL, lw_measure_name((lw_measure)i));
    put_close(j, ']');
    put_close(j, '}');
}

static void json_scalp(json *j, const prediction *p) {
    put_open(j, "scalp", '{');
    put_number(j, "roots", lw_scalp_count(p->scalp));
    put_number(j, "seed", (double)p->plan.scalp.seed);
    put_number(j, "hairs", p->reading.all.hairs);
    put_close(j, '}');
}

static void json_landmarks(json *j, const prediction *p) {
    put_open(j, "landmarks", '[');
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        put_open_inline(j, NULL, '{');
        put_text(j, "name", lw_landmark_name((lw_landmark)i));
        put_vector(j, "position", lw_head_landmark(p->head, (lw_landmark)i));
        put_number(j, "length", p->reading.landmark[i]);
        put_number(j, "lies", lw_hair_lies(&p->plan.hair, p->reading.landmark[i]));
        put_close(j, '}');
    }
    put_close(j, ']');
}

static void json_spread(json *j, const lw_spread *s) {
    put_number(j, "mean", s->mean);
    put_number(j, "low", s->low);
    put_number(j, "high", s->high);
}

static void json_sections(json *j, const prediction *p) {
    put_open(j, "sections", '[');
    for (int i = 0; i < p->reading.section_count; i++) {
        const lw_section *s = lw_cut_section(p->cut, i);
        put_open_inline(j, NULL, '{');
        put_text(j, "name", s->name);
        put_flag(j, "leaf", s->leaf);
        put_flag(j, "touched", s->touched);
        put_number(j, "area", s->area);
        put_number(j, "hairs", s->hairs);
        put_number(j, "hairs_left", s->hairs_left);
        put_number(j, "hairs_right", s->hairs_right);
        json_spread(j, &p->reading.sections[i]);
        put_number(j, "balance", p->reading.balance[i]);
        put_close(j, '}');
    }
    put_close(j, ']');
}

static void json_line(json *j, const prediction *p, const lw_panel *panel) {
    put_open_inline(j, "line", '[');
    for (int i = 0; i < panel->line_count; i++) {
        lw_line_point point = lw_cut_lines(p->cut)[panel->line_first + i];
        put_open_inline(j, NULL, '[');
        put_number(j, NULL, point.s);
        put_number(j, NULL, point.t);
        put_close(j, ']');
    }
    put_close(j, ']');
}

static void json_panel(json *j, const prediction *p, const lw_panel *panel) {
    put_open(j, NULL, '{');
    put_number(j, "step", panel->step);
    put_number(j, "panel", panel->panel);
    put_text(j, "section", lw_cut_section(p->cut, panel->section)->name);
    put_vector(j, "anchor", panel->anchor);
    put_vector(j, "normal", panel->normal);
    put_vector(j, "place", panel->place);
    put_vector(j, "direction", panel->direction);
    put_vector(j, "parting", panel->parting);
    put_vector(j, "finger", panel->finger);
    json_line(j, p, panel);
    put_flag(j, "follows", panel->follows);
    put_number(j, "elevation", panel->elevation);
    put_number(j, "carry", panel->carry);
    put_number(j, "factor", panel->factor);
    put_number(j, "line_length", panel->line_length);
    put_number(j, "hairs", panel->hairs);
    put_number(j, "cut", panel->cut);
    put_close(j, '}');
}

static void json_panels(json *j, const prediction *p) {
    put_open(j, "steps", '[');
    for (int i = 0; i < p->plan.step_count; i++) put_text(j, NULL, p->plan.steps[i].name);
    put_close(j, ']');
    put_open(j, "panels", '[');
    for (int i = 0; i < lw_cut_panel_count(p->cut); i++) json_panel(j, p, lw_cut_panel(p->cut, i));
    put_close(j, ']');
}

static void json_bands(json *j, const lw_reading *r) {
    put_open(j, "bands", '[');
    for (int i = 0; i < r->band_count; i++) {
        const lw_band *b = &r->bands[i];
        put_open_inline(j, NULL, '{');
        put_text(j, "name", b->name);
        put_text(j, "shape", lw_shape_name(b->shape));
        put_number(j, "centre", b->centre);
        put_number(j, "from", b->from);
        put_number(j, "to", b->to);
        put_number(j, "gain", b->gain);
        put_close(j, '}');
    }
    put_close(j, ']');
    put_open(j, "strips", '[');
    for (int i = 0; i < r->strip_count; i++) {
        const lw_strip *s = &r->strips[i];
        put_open_inline(j, NULL, '{');
        put_text(j, "name", s->name);
        put_text(j, "profile", lw_profile_name(s->profile));
        put_number(j, "bottom", s->bottom);
        put_number(j, "top", s->top);
        put_number(j, "slope", s->slope);
        put_close(j, '}');
    }
    put_close(j, ']');
}

static void json_step_at(json *j, const prediction *p, const char *key, double step, lw_vec3 at) {
    put_open_inline(j, key, '{');
    put_number(j, "step", step);
    put_vector(j, "at", at);
    put_text(j, "near", near_name(p->head, at));
    put_close(j, '}');
}

static void json_readings(json *j, const prediction *p) {
    const lw_reading *r = &p->reading;
    put_open(j, "readings", '{');
    put_open_inline(j, "all", '{');
    json_spread(j, &r->all);
    put_number(j, "hairs", r->all.hairs);
    put_close(j, '}');
    json_bands(j, r);
    put_open_inline(j, "balance", '{');
    put_number(j, "mean", r->balance_all);
    put_number(j, "worst", r->balance_worst);
    put_vector(j, "at", r->balance_worst_at);
    put_text(j, "near", near_name(p->head, r->balance_worst_at));
    put_close(j, '}');
    put_open(j, "cross_check", '{');
    json_step_at(j, p, "within", r->cross_check, r->cross_check_at);
    json_step_at(j, p, "between", r->cross_check_between, r->cross_check_between_at);
    put_close(j, '}');
    put_open_inline(j, "removed", '{');
    put_number(j, "hairs", r->removed_hairs);
    put_number(j, "mass", r->removed_mass);
    put_close(j, '}');
    put_number(j, "panels", r->panels);
    put_number(j, "cuts", r->cuts);
    put_number(j, "minutes", r->minutes);
    put_close(j, '}');
}

static void json_warnings(json *j, const prediction *p) {
    put_open(j, "warnings", '[');
    for (int i = 0; i < lw_cut_warning_count(p->cut); i++) {
        const lw_warning *w = lw_cut_warning(p->cut, i);
        put_open(j, NULL, '{');
        put_text(j, "code", lw_warning_name(w->code));
        put_number(j, "step", w->step);
        put_number(j, "panel", w->panel);
        put_text(j, "section", w->section);
        put_text(j, "message", w->message);
        put_text(j, "remedy", w->remedy);
        put_close(j, '}');
    }
    put_close(j, ']');
}

void prediction_print_json(const prediction *p) {
    json j = {.to = stdout, .first = true};
    put_open(&j, NULL, '{');
    put_text(&j, "format", "lengthwise prediction");
    put_number(&j, "version", 1);
    put_text(&j, "program", "lengthwise " LW_VERSION);
    put_text(&j, "title", p->plan.title);
    put_text(&j, "person", p->plan.person);
    put_open_inline(&j, "units", '{');
    put_text(&j, "length", "metre");
    put_text(&j, "angle", "radian");
    put_text(&j, "mass", "kilogram");
    put_text(&j, "plan", p->plan.units == LW_INCH ? "in" : "cm");
    put_close(&j, '}');
    json_head(&j, p);
    json_scalp(&j, p);
    json_landmarks(&j, p);
    json_sections(&j, p);
    json_panels(&j, p);
    json_readings(&j, p);
    prediction_put_fall(&j, p);
    json_warnings(&j, p);
    put_close(&j, '}');
}
