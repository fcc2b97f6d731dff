/* How the cut falls, for machines: every field of lw_fallen, in its order. */
#include <math.h>

#include "tell_json.h"

static const char *const view_names[LW_VIEW_COUNT] = {"front", "back", "left", "right", "above"};

static double micrometres(double metres) { return round(metres * 1e6) / 1e6; }

static lw_vec3 to_micrometres(lw_vec3 p) {
    return (lw_vec3){micrometres(p.x), micrometres(p.y), micrometres(p.z)};
}

/* Found to a tenth of a millimetre (docs/model.md), so more digits would say nothing. */
static void outlines(json *j, const char *key, const lw_outline *of) {
    put_open(j, key, '{');
    for (int v = 0; v < LW_VIEW_COUNT; v++) {
        const lw_outline *o = &of[v];
        put_open_inline(j, view_names[v], '[');
        for (int i = 0; i < o->count; i++) put_vector(j, NULL, to_micrometres(o->at[i]));
        put_close(j, ']');
    }
    put_close(j, '}');
}

static void breadth(json *j, const char *key, double metres, double height) {
    put_open_inline(j, key, '{');
    put_number(j, "breadth", metres);
    put_number(j, "height", height);
    put_close(j, '}');
}

static void height_words(json *j, const char *key, const tell_subject *p, double height) {
    char words[32];
    lw_level_words(words, sizeof words, p->head, height);
    put_text(j, key, words);
}

static void sides(json *j, const tell_subject *p) {
    put_open(j, "sides", '[');
    for (int i = 0; i < LW_SIDE_COUNT; i++) {
        const lw_side_reading *s = &p->fallen->side[i];
        put_open_inline(j, NULL, '{');
        put_text(j, "side", tell_sides[i]);
        put_number(j, "hairs", s->hairs);
        put_number(j, "perimeter", s->perimeter);
        height_words(j, "perimeter_words", p, s->perimeter);
        put_number(j, "weight", s->weight);
        height_words(j, "weight_words", p, s->weight);
        put_number(j, "piled", s->piled);
        put_number(j, "sharpness", s->sharpness);
        put_text(j, "sharpness_word", isfinite(s->weight) ? lw_sharpness_name(s->sharpness) : "");
        put_close(j, '}');
    }
    put_close(j, ']');
}

static const char *over_name(int over) { return lw_over_name((lw_over)over); }

static const json_field around_fields[] = {JSON_MEMBER(lw_around, bearing),
                                           JSON_MEMBER(lw_around, hairs),
                                           JSON_MEMBER(lw_around, perimeter),
                                           JSON_MEMBER(lw_around, perimeter_far),
                                           {"over", JSON_NAMED, offsetof(lw_around, over), over_name},
                                           JSON_MEMBER(lw_around, weight),
                                           JSON_MEMBER(lw_around, weight_far),
                                           JSON_MEMBER(lw_around, piled),
                                           JSON_MEMBER(lw_around, sharpness),
                                           {0}};

static const json_field patch_fields[] = {JSON_MEMBER(lw_patch, bearing), JSON_MEMBER(lw_patch, rise),
                                          JSON_MEMBER(lw_patch, hairs),   JSON_MEMBER(lw_patch, stands_off),
                                          JSON_MEMBER(lw_patch, mean),    {0}};

static void levels(json *j, const lw_fallen *f) {
    put_open(j, "levels", '{');
    for (int i = 0; i < LW_LEVEL_COUNT; i++) put_number(j, lw_level_name((lw_level)i), f->level[i]);
    put_close(j, '}');
    put_open(j, "ends", '[');
    for (int i = 0; i <= LW_LEVEL_COUNT; i++) {
        put_open_inline(j, NULL, '{');
        put_text(j, "below", i ? lw_level_name((lw_level)(i - 1)) : "");
        put_text(j, "above", lw_level_name((lw_level)i));
        put_number(j, "share", f->ends[i]);
        put_close(j, '}');
    }
    put_close(j, ']');
}

static void standing(json *j, const lw_fallen *f) {
    put_number(j, "standing", f->standing);
    put_open(j, "standing_at", '{');
    for (int i = 0; i < LW_LANDMARK_COUNT; i++)
        put_number(j, lw_landmark_name((lw_landmark)i), f->standing_at[i]);
    put_close(j, '}');
}

/* All but the patches. */
static void as_shown(json *j, const tell_subject *p, const lw_fall *fall) {
    const lw_fallen *f = p->fallen;
    put_number(j, "strands", lw_fall_strands(fall)->count);
    put_number(j, "not_at_rest", lw_fall_tell(fall).not_at_rest);
    sides(j, p);
    breadth(j, "width", f->width, f->width_height);
    breadth(j, "depth", f->depth, f->depth_height);
    levels(j, f);
    standing(j, f);
    put_number(j, "thickness", f->thickness);
    put_rows(j, "around", around_fields, f->around, LW_BEARINGS, sizeof *f->around);
    outlines(j, "outlines", f->outline);
    outlines(j, "bust", f->bust);
}

void put_fall(json *j, const tell_subject *p, const lw_fall *fall) {
    const lw_fallen *f = p->fallen;
    put_open(j, "fall", '{');
    as_shown(j, p, fall);
    put_rows(j, "patches", patch_fields, f->patches, f->patch_count, sizeof *f->patches);
    put_close(j, '}');
}

void put_fallen(json *j, const tell_subject *p, const lw_fall *fall) {
    put_open(j, NULL, '{');
    as_shown(j, p, fall);
    put_close(j, '}');
}
