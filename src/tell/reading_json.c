/* A prediction for machines: metres, radians, kilograms. docs/model.md defines each field. */
#include "tell_json.h"

static void json_head(json *j, const tell_subject *p) {
    const lw_head_options *given = lw_head_given(p->head);
    put_open(j, "head", '{');
    put_text(j, "kind", tell_head_kind(given->kind));
    put_text(j, "hairline", tell_hairline(given->hairline));
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

static void json_scalp(json *j, const tell_subject *p) {
    put_open(j, "scalp", '{');
    put_number(j, "roots", lw_scalp_count(p->scalp));
    put_number(j, "seed", (double)p->plan->scalp.seed);
    put_number(j, "hairs", p->reading->all.hairs);
    put_close(j, '}');
}

static void json_landmarks(json *j, const tell_subject *p) {
    put_open(j, "landmarks", '[');
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        put_open_inline(j, NULL, '{');
        put_text(j, "name", lw_landmark_name((lw_landmark)i));
        put_vector(j, "position", lw_head_landmark(p->head, (lw_landmark)i));
        put_number(j, "length", p->reading->landmark[i]);
        put_number(j, "lies", lw_hair_lies(&p->plan->hair, p->reading->landmark[i]));
        put_close(j, '}');
    }
    put_close(j, ']');
}

static const json_field spread_fields[] = {
    JSON_MEMBER(lw_spread, mean), JSON_MEMBER(lw_spread, low), JSON_MEMBER(lw_spread, high), {0}};

static const json_field section_fields[] = {
    JSON_MEMBER(lw_section, name),        JSON_MEMBER(lw_section, leaf),
    JSON_MEMBER(lw_section, touched),     JSON_MEMBER(lw_section, area),
    JSON_MEMBER(lw_section, hairs),       JSON_MEMBER(lw_section, hairs_left),
    JSON_MEMBER(lw_section, hairs_right), {0}};

static void json_sections(json *j, const tell_subject *p) {
    put_open(j, "sections", '[');
    for (int i = 0; i < p->reading->section_count; i++) {
        put_open_inline(j, NULL, '{');
        put_fields(j, section_fields, lw_cut_section(p->cut, i));
        put_fields(j, spread_fields, &p->reading->sections[i]);
        put_number(j, "balance", p->reading->balance[i]);
        put_close(j, '}');
    }
    put_close(j, ']');
}

static void json_line(json *j, const tell_subject *p, const lw_panel *panel) {
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

static const json_field panel_place_fields[] = {JSON_MEMBER(lw_panel, anchor),
                                                JSON_MEMBER(lw_panel, normal),
                                                JSON_MEMBER(lw_panel, place),
                                                JSON_MEMBER(lw_panel, direction),
                                                JSON_MEMBER(lw_panel, parting),
                                                JSON_MEMBER(lw_panel, finger),
                                                {0}};

static const json_field panel_hold_fields[] = {
    JSON_MEMBER(lw_panel, follows),     JSON_MEMBER(lw_panel, elevation),
    JSON_MEMBER(lw_panel, carry),       JSON_MEMBER(lw_panel, factor),
    JSON_MEMBER(lw_panel, line_length), JSON_MEMBER(lw_panel, hairs),
    JSON_MEMBER(lw_panel, cut),         {0}};

static void json_panel(json *j, const tell_subject *p, const lw_panel *panel) {
    put_open(j, NULL, '{');
    put_number(j, "step", panel->step);
    put_number(j, "panel", panel->panel);
    put_text(j, "section", lw_cut_section(p->cut, panel->section)->name);
    put_fields(j, panel_place_fields, panel);
    json_line(j, p, panel);
    put_fields(j, panel_hold_fields, panel);
    put_close(j, '}');
}

static void json_panels(json *j, const tell_subject *p) {
    put_open(j, "steps", '[');
    for (int i = 0; i < p->plan->step_count; i++) put_text(j, NULL, p->plan->steps[i].name);
    put_close(j, ']');
    put_open(j, "panels", '[');
    for (int i = 0; i < lw_cut_panel_count(p->cut); i++) json_panel(j, p, lw_cut_panel(p->cut, i));
    put_close(j, ']');
}

static const char *shape_name(int shape) { return lw_shape_name((lw_shape)shape); }
static const char *profile_name(int profile) { return lw_profile_name((lw_profile)profile); }

static const json_field band_fields[] = {JSON_MEMBER(lw_band, name),
                                         {"shape", JSON_NAMED, offsetof(lw_band, shape), shape_name},
                                         JSON_MEMBER(lw_band, centre),
                                         JSON_MEMBER(lw_band, from),
                                         JSON_MEMBER(lw_band, to),
                                         JSON_MEMBER(lw_band, gain),
                                         {0}};

static const json_field strip_fields[] = {
    JSON_MEMBER(lw_strip, name),   {"profile", JSON_NAMED, offsetof(lw_strip, profile), profile_name},
    JSON_MEMBER(lw_strip, bottom), JSON_MEMBER(lw_strip, top),
    JSON_MEMBER(lw_strip, slope),  {0}};

static void json_step_at(json *j, const tell_subject *p, const char *key, double step, lw_vec3 at) {
    put_open_inline(j, key, '{');
    put_number(j, "step", step);
    put_vector(j, "at", at);
    put_text(j, "near", tell_near(p->head, at));
    put_close(j, '}');
}

static void json_readings(json *j, const tell_subject *p) {
    const lw_reading *r = p->reading;
    put_open(j, "readings", '{');
    put_open_inline(j, "all", '{');
    put_fields(j, spread_fields, &r->all);
    put_number(j, "hairs", r->all.hairs);
    put_close(j, '}');
    put_rows(j, "bands", band_fields, r->bands, r->band_count, sizeof *r->bands);
    put_rows(j, "strips", strip_fields, r->strips, r->strip_count, sizeof *r->strips);
    put_open_inline(j, "balance", '{');
    put_number(j, "mean", r->balance_all);
    put_number(j, "worst", r->balance_worst);
    put_vector(j, "at", r->balance_worst_at);
    put_text(j, "near", tell_near(p->head, r->balance_worst_at));
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

static const char *warning_name(int code) { return lw_warning_name((lw_warning_code)code); }

static const json_field warning_fields[] = {{"code", JSON_NAMED, offsetof(lw_warning, code), warning_name},
                                            JSON_MEMBER(lw_warning, step),
                                            JSON_MEMBER(lw_warning, panel),
                                            JSON_MEMBER(lw_warning, section),
                                            JSON_MEMBER(lw_warning, message),
                                            JSON_MEMBER(lw_warning, remedy),
                                            {0}};

/* A warning's edits, where its remedy can be carried out by a machine: remedy.c. */
static void json_warnings(json *j, const tell_subject *p) {
    char says[sizeof((lw_warning *)NULL)->message];
    put_open(j, "warnings", '[');
    for (int i = 0; i < lw_cut_warning_count(p->cut); i++) {
        const lw_warning *w = lw_cut_warning(p->cut, i);
        put_open(j, NULL, '{');
        put_fields(j, warning_fields, w);
        say_message(says, sizeof says, w->message, p->plan->units);
        put_text(j, "says", says);
        put_edits(j, "edits", p->plan, w);
        put_close(j, '}');
    }
    put_close(j, ']');
}

void put_prediction(json *j, const tell_subject *p, const lw_fall *fall) {
    put_open(j, NULL, '{');
    put_text(j, "format", "lengthwise prediction");
    put_number(j, "version", 1);
    put_text(j, "program", "lengthwise " LW_VERSION);
    put_text(j, "title", p->plan->title);
    put_text(j, "person", p->plan->person);
    put_open_inline(j, "units", '{');
    put_text(j, "length", "metre");
    put_text(j, "angle", "radian");
    put_text(j, "mass", "kilogram");
    put_text(j, "plan", p->plan->units == LW_INCH ? "in" : "cm");
    put_close(j, '}');
    json_head(j, p);
    json_scalp(j, p);
    json_landmarks(j, p);
    json_sections(j, p);
    json_panels(j, p);
    json_readings(j, p);
    if (p->fallen && fall)
        put_fall(j, p, fall);
    else
        put_nothing(j, "fall");
    json_warnings(j, p);
    put_close(j, '}');
}

/* What each step leaves, in the order of the plan. */
static void json_leaves(json *j, const tell_subject *p) {
    char said[SAY_MAX];
    put_open(j, "leaves", '[');
    for (int step = 1; step <= p->plan->step_count; step++) {
        said[0] = 0;
        if (lw_step_is_cut(p->plan, step - 1)) say_result(said, p, step, SAY_PLAIN, NULL);
        put_text(j, NULL, said);
    }
    put_close(j, ']');
}

void put_reading(json *j, const tell_subject *p) {
    put_open(j, NULL, '{');
    json_landmarks(j, p);
    json_sections(j, p);
    json_readings(j, p);
    json_leaves(j, p);
    json_warnings(j, p);
    put_close(j, '}');
}
