/* Glyphs are placed by their outlines, never fitted to pixels: a line is as long on paper as on a screen, and
 * the same text breaks in the same places in every format. Lines stand exactly one leading apart, whatever
 * alphabets are in them. */
#include "layout.h"

#include "look.h"
#include "printable.h"

static PangoContext *context_new(void) {
    PangoContext *context = pango_font_map_create_context(pango_cairo_font_map_get_default());
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_cairo_context_set_resolution(context, 72); /* so that a point is a unit of the page */
    pango_context_set_round_glyph_positions(context, FALSE);
    pango_context_set_language(context, pango_language_from_string("en")); /* not the machine's */
    return context;
}

static PangoAttrList *attributes(const text_look *look) {
    PangoAttrList *list = pango_attr_list_new();
    /* A hyphen would change a name or an address. */
    pango_attr_list_insert(list, pango_attr_insert_hyphens_new(FALSE));
    if (look->tabular) pango_attr_list_insert(list, pango_attr_font_features_new("tnum"));
    return list;
}

static PangoFontDescription *font(const text_look *look) {
    PangoFontDescription *description = pango_font_description_new();
    pango_font_description_set_family(description, look_family());
    pango_font_description_set_absolute_size(description, look->size * PANGO_SCALE);
    pango_font_description_set_weight(description, (PangoWeight)look->weight);
    return description;
}

PangoLayout *layout_new(text_role role, align by, double width, const char *text) {
    const text_look *look = look_text(role);
    PangoContext *context = context_new();
    PangoLayout *layout = pango_layout_new(context);
    PangoFontDescription *description = font(look);
    PangoAttrList *list = attributes(look);
    pango_layout_set_font_description(layout, description);
    pango_layout_set_attributes(layout, list);
    pango_layout_set_alignment(layout, by == ALIGN_START    ? PANGO_ALIGN_LEFT
                                       : by == ALIGN_CENTRE ? PANGO_ALIGN_CENTER
                                                            : PANGO_ALIGN_RIGHT);
    if (width > 0) {
        pango_layout_set_width(layout, (int)(width * PANGO_SCALE));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    } else {
        pango_layout_set_single_paragraph_mode(layout, TRUE);
    }
    char *valid = printable(text);
    if (width <= 0) g_strdelimit(valid, "\r\n", ' ');
    pango_layout_set_text(layout, valid, -1);
    g_free(valid);
    pango_attr_list_unref(list);
    pango_font_description_free(description);
    g_object_unref(context);
    return layout;
}

/* Where the baseline of a line lies below its top: that of the first family, so that a word of another
 * alphabet does not move it. */
static double baseline(PangoLayout *layout, double leading) {
    PangoFontMetrics *metrics =
        pango_context_get_metrics(pango_layout_get_context(layout), pango_layout_get_font_description(layout),
                                  pango_language_from_string("en"));
    double up = (double)pango_font_metrics_get_ascent(metrics) / PANGO_SCALE;
    double down = (double)pango_font_metrics_get_descent(metrics) / PANGO_SCALE;
    pango_font_metrics_unref(metrics);
    return (leading + up - down) / 2;
}

point layout_size(PangoLayout *layout, text_role role) {
    PangoRectangle box;
    pango_layout_get_extents(layout, NULL, &box);
    return (point){(double)box.width / PANGO_SCALE,
                   pango_layout_get_line_count(layout) * look_text(role)->leading};
}

void layout_show(PangoLayout *layout, text_role role, cairo_t *cr, point at) {
    double leading = look_text(role)->leading, y = at.y + baseline(layout, leading);
    PangoLayoutIter *lines = pango_layout_get_iter(layout);
    do {
        PangoRectangle box;
        pango_layout_iter_get_line_extents(lines, NULL, &box);
        cairo_move_to(cr, at.x + (double)box.x / PANGO_SCALE, y);
        pango_cairo_show_layout_line(cr, pango_layout_iter_get_line_readonly(lines));
        y += leading;
    } while (pango_layout_iter_next_line(lines));
    pango_layout_iter_free(lines);
}
