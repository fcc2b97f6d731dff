#include "look.h"

#include "bytes.h"

static const line_look lines[LINE_ROLES] = {
    [LINE_OUTLINE] = {"outline", "the bust against the background", .width = 1.0, .grey = 0, .round = true},
    [LINE_FEATURE] = {"feature", "inner contours: nose, lips, ear, jaw", .width = .5, .grey = .20,
                      .round = true},
    [LINE_HAIRLINE] = {"hairline", "edge of the scalp", .width = 1.0, .grey = 0, .dash = {0, 2.4}, .halo = .6,
                       .round = true},
    [LINE_SECTION] = {"section", "parting between sections", .width = 1.4, .grey = 0, .halo = .9,
                      .round = true},
    [LINE_SECTION_HIDDEN] = {"section, hidden", "the same behind the head", .width = 1.0, .grey = .25,
                             .dash = {4.5, 3}},
    [LINE_PANEL] = {"panel", "parting between panels", .width = .7, .grey = 0, .halo = .5, .round = true},
    [LINE_PANEL_HIDDEN] = {"panel, hidden", "the same behind the head", .width = .7, .grey = .25,
                           .dash = {2, 2}},
    [LINE_HAIR] = {"hair", "held hair", .width = .35, .grey = 0, .round = true},
    [LINE_FINGER] = {"finger line", "where the fingers lie and the scissors cut", .width = 2.0, .grey = 0,
                     .halo = .9},
    [LINE_ANGLE] = {"angle", "the arc of an angle", .width = .5, .grey = 0, .halo = .9, .head = true,
                    .tail = true},
    [LINE_FROM] = {"from", "what an angle is measured from: scalp or plumb", .width = .5, .grey = 0,
                   .dash = {9, 2, 1.5, 2}},
    [LINE_CARRY] = {"carry", "the way a panel is carried", .width = 1.0, .grey = 0, .halo = .9, .head = true},
    [LINE_CONTOUR] = {"contour", "one length", .width = .7, .grey = 0, .halo = .6, .round = true},
    [LINE_LEADER] = {"leader", "from a label to its place", .width = .5, .grey = 0, .dash = {1.5, 1.5}},
    [LINE_RULE] = {"rule", "tables and pages", .width = .35, .grey = 0},
    [LINE_BLANK] = {"blank", "to write on", .width = .7, .grey = 0, .dash = {0, 2}, .round = true},
    [LINE_BUST] = {"bust", "the bust that hair has fallen on", .width = .35, .grey = .30, .round = true},
    [LINE_FALLEN] = {"fallen hair", "its outline", .width = 1.4, .grey = 0, .round = true},
    [LINE_ENDS] = {"ends", "where fallen hair ends", .width = .7, .grey = 0, .halo = .6, .round = true},
    [LINE_WEIGHT] = {"weight", "where the weight of fallen hair lies", .width = 1.0, .grey = 0,
                     .dash = {4, 2}, .halo = .6},
};

static const area_look areas[AREA_ROLES] = {
    [AREA_PANEL] = {"panel", "a panel in the hand", FILL_PLAIN, .tint = .88, .cover = 1, .edge = .5},
    [AREA_GUIDE] = {"guide", "the guide", FILL_HATCH, .tint = 1, .cover = .6, .grey = 0, .weight = .45,
                    .spacing = 2.7, .edge = .5},
    [AREA_WORK] = {"work", "the section a step works on", FILL_DOTS, .tint = 1, .cover = 0, .grey = 0,
                   .weight = .8, .spacing = 3.5},
    [AREA_DOT] = {"dot", "a landmark", FILL_PLAIN, .tint = 0, .cover = 1},
    [AREA_PAPER] = {"paper", "behind a label", FILL_PLAIN, .tint = 1, .cover = 1},
    [AREA_INK] = {"ink", "modules of a QR code", FILL_PLAIN, .tint = 0, .cover = 1},
    [AREA_BOX] = {"box", "behind cautions", FILL_PLAIN, .tint = 1, .cover = 1, .edge = .7},
};

static const text_look texts[TEXT_ROLES] = {
    [TEXT_TITLE] = {"title", "the plan's title", 22, 28, 0, 600, false},
    [TEXT_SUBTITLE] = {"subtitle", "under the title", 11, 16, .20, 400, false},
    [TEXT_HEADING] = {"heading", "a step, a part of the page", 13, 20, 0, 600, false},
    [TEXT_BODY] = {"body", "sentences", 10, 15, 0, 400, false},
    [TEXT_STRONG] = {"strong", "what stands out among them", 10, 15, 0, 600, false},
    [TEXT_SMALL] = {"small", "captions, notes, feet of pages", 8, 12, 0, 400, false},
    [TEXT_LABEL] = {"label", "words in drawings", 7.5, 9, 0, 500, false},
    [TEXT_NUMBER] = {"number", "a panel's number", 8, 9, 0, 700, true},
    [TEXT_FIGURE] = {"figure", "numbers in columns", 9, 14, 0, 400, true},
};

const line_look *look_line(line_role role) { return &lines[role >= 0 && role < LINE_ROLES ? role : 0]; }
const area_look *look_area(area_role role) { return &areas[role >= 0 && role < AREA_ROLES ? role : 0]; }
const text_look *look_text(text_role role) { return &texts[role >= 0 && role < TEXT_ROLES ? role : 0]; }

const char *look_family(void) { return "Inter,DejaVu Sans"; }

double look_arrow_length(double line_width) { return 2.5 + 3 * line_width; }
double look_arrow_width(double line_width) { return .6 * look_arrow_length(line_width); }

point look_label_inset(void) { return (point){1.5, 0}; }

double look_qr_module(void) { return .9; }

/* ---- the tables of docs/drawing.md ---- */

static void describe_dash(bytes *out, const line_look *look) {
    const double *dash = look->dash;
    if (dash[1] == 0)
        bytes_text(out, "solid");
    else if (dash[0] == 0)
        bytes_print(out, "round dots every %g", dash[1]);
    else if (dash[3] == 0)
        bytes_print(out, "%g on, %g off", dash[0], dash[1]);
    else
        bytes_print(out, "%g on, %g off, %g on, %g off", dash[0], dash[1], dash[2], dash[3]);
    if (look->head) bytes_text(out, look->tail ? "; an arrow head at each end" : "; ends in an arrow head");
}

static void describe_lines(bytes *out) {
    bytes_text(out, "| line | shows | weight | dash | grey | halo |\n|---|---|--:|---|--:|--:|\n");
    for (int i = 0; i < LINE_ROLES; i++) {
        bytes_print(out, "| %s | %s | %g | ", lines[i].name, lines[i].meaning, lines[i].width);
        describe_dash(out, &lines[i]);
        bytes_print(out, " | %g | %g |\n", lines[i].grey, lines[i].halo);
    }
}

static void describe_areas(bytes *out) {
    bytes_text(out, "| area | shows | pattern | tint | covers | edge |\n|---|---|---|--:|--:|--:|\n");
    for (int i = 0; i < AREA_ROLES; i++) {
        const area_look *look = &areas[i];
        bytes_print(out, "| %s | %s | ", look->name, look->meaning);
        if (look->pattern == FILL_HATCH)
            bytes_print(out, "lines of %g at 45°, %g apart, grey %g", look->weight, look->spacing,
                        look->grey);
        else if (look->pattern == FILL_DOTS)
            bytes_print(out, "dots of %g, %g apart, grey %g", look->weight, look->spacing, look->grey);
        else
            bytes_text(out, "plain");
        bytes_print(out, " | %g | %g %% | %g |\n", look->tint, 100 * look->cover, look->edge);
    }
}

static void describe_texts(bytes *out) {
    bytes_text(out,
               "| text | for | size | leading | weight | grey | figures |\n|---|---|--:|--:|--:|--:|---|\n");
    for (int i = 0; i < TEXT_ROLES; i++)
        bytes_print(out, "| %s | %s | %g | %g | %d | %g | %s |\n", texts[i].name, texts[i].meaning,
                    texts[i].size, texts[i].leading, texts[i].weight, texts[i].grey,
                    texts[i].tabular ? "one width" : "");
}

lw_status look_reference(draw_bytes *out, lw_error *error) {
    bytes all = {0};
    describe_lines(&all);
    bytes_text(&all, "\n");
    describe_areas(&all);
    bytes_text(&all, "\n");
    describe_texts(&all);
    return bytes_take(out, &all, error);
}
