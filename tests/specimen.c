/* A specimen of everything that a page can carry, in the three formats: what tests/test_paper.py examines
 * with other people's programs, and what one looks at after changing look.c.
 *
 * usage: specimen DIRECTORY   writes specimen.pdf, .svg, .png and untold.pdf (without title or date) there
 *        specimen --look      prints the tables of docs/drawing.md */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "look.h"
#include "paint.h"
#include "qr.h"

static const double width = 595.28, height = 841.89, left = LOOK_MARGIN, wide = 595.28 - 2 * LOOK_MARGIN;

#define LINK "https://example.org/plan/7?salon='invented'&v=2"

static double say(drawing *d, part_kind part, text_role role, point at, double room, const char *text) {
    draw_open(d, part, "");
    double taken = draw_text(d, role, ALIGN_START, at, room, text);
    draw_close(d);
    return taken;
}

static double draw_top(drawing *d, double y) {
    y += say(d, PART_TITLE, TEXT_TITLE, (point){left, y}, wide, "Specimen: every mark there is");
    y += say(d, PART_PARAGRAPH, TEXT_SUBTITLE, (point){left, y}, wide,
             "Practice head 3 · cut wet · 1 March 2026");
    point rule[2] = {{left, y + 8}, {left + wide, y + 8}};
    draw_line(d, LINE_RULE, -1, rule, 2, false);
    return y + 16;
}

static double draw_sentences(drawing *d, double y) {
    double room = wide / 2 - LOOK_GUTTER;
    y += say(d, PART_HEADING, TEXT_HEADING, (point){left, y}, room, "1 Nape: the guide");
    y += say(d, PART_PARAGRAPH, TEXT_BODY, (point){left, y}, room,
             "Take level panels of 1.5 cm from the hairline up. Hold each at 45° from the scalp and lay the "
             "fingers "
             "straight. The first is cut to 8 cm at the nape centre.");
    y += say(d, PART_PARAGRAPH, TEXT_STRONG, (point){left, y}, room,
             "Weight sits where the fingers stop rising.");
    y += say(d, PART_NOTE, TEXT_SMALL, (point){left, y}, room,
             "Turn the blades away from the skin, and follow the rules of your place.");
    return y + LOOK_GAP;
}

static void draw_wave(drawing *d, line_role role, double x, double y, double length) {
    enum { POINTS = 40 };
    point p[POINTS];
    for (int i = 0; i < POINTS; i++) {
        double along = (double)i / (POINTS - 1);
        p[i] = (point){x + length * along, y - 5 * sin(6.2832 * along)};
    }
    draw_line(d, role, -1, p, POINTS, false);
}

static double draw_line_roles(drawing *d, double y) {
    for (int role = 0; role < LINE_ROLES; role++, y += 21) {
        draw_text(d, TEXT_SMALL, ALIGN_START, (point){left, y}, 0, look_line((line_role)role)->name);
        draw_wave(d, (line_role)role, left + 80, y + 7, 150);
    }
    return y;
}

static void draw_table(drawing *d, double y) {
    static const char *const cells[3][3] = {{"Place", "Length", "Range"},
                                            {"nape centre", "8.0 cm", "7.9–8.2"},
                                            {"crown", "11.1 cm", "10.4–12.7"}};
    draw_open(d, PART_TABLE, "");
    for (int row = 0; row < 3; row++) {
        draw_open(d, PART_ROW, "");
        for (int column = 0; column < 3; column++) {
            draw_open(d, row && column ? PART_CELL : PART_HEAD, "");
            draw_text(d, row ? TEXT_FIGURE : TEXT_SMALL, column ? ALIGN_END : ALIGN_START,
                      (point){column ? left + 70 + 80 * column : left, y + 16 * row}, 0, cells[row][column]);
            draw_close(d);
        }
        draw_close(d);
    }
    draw_close(d);
}

/* Dark at one corner and light at the other, on a disc. */
static lw_status make_picture(image *out, lw_error *error) {
    enum { SIDE = 120 };
    lw_status status = image_new(out, SIDE, SIDE, error);
    for (int i = 0; i < SIDE * SIDE && !status; i++) {
        int x = i % SIDE, y = i / SIDE, light = 255 * (x + y) / (2 * SIDE - 2);
        uint8_t *p = out->rgba + 4 * i;
        p[0] = p[1] = (uint8_t)light;
        p[2] = (uint8_t)(80 + light / 4);
        p[3] = hypot(x - SIDE / 2, y - SIDE / 2) < SIDE / 2 ? 255 : 0;
    }
    return status;
}

static void draw_map(drawing *d, const image *picture, point at) {
    draw_open(d, PART_FIGURE, "A map with contours of 12 and 14 cm");
    draw_picture(d, picture, (frame){at.x, at.y, 110, 110});
    draw_wave(d, LINE_HAIRLINE, at.x + 8, at.y + 20, 94);
    draw_wave(d, LINE_CONTOUR, at.x + 8, at.y + 40, 94);
    draw_wave(d, LINE_SECTION, at.x + 8, at.y + 57, 94);
    draw_wave(d, LINE_CONTOUR, at.x + 8, at.y + 75, 94);
    draw_label(d, TEXT_LABEL, 12, (point){at.x + 55, at.y + 40}, .3, "12 cm");
    draw_label(d, TEXT_LABEL, 14, (point){at.x + 55, at.y + 75}, .3, "14 cm");
    draw_close(d);
}

static point on_head(point middle, double radius, double angle) {
    return (point){middle.x + radius * cos(angle), middle.y + 1.2 * radius * sin(angle)};
}

static void draw_arc(drawing *d, line_role role, point middle, double radius, double from, double to) {
    point p[32];
    for (int i = 0; i < 32; i++) {
        double angle = from + (to - from) * i / 31;
        p[i] = (point){middle.x + radius * cos(angle), middle.y + radius * sin(angle)};
    }
    draw_line(d, role, -1, p, 32, false);
}

static point between(point a, point b, double at) {
    return (point){a.x + at * (b.x - a.x), a.y + at * (b.y - a.y)};
}

static void draw_held(drawing *d, point head, double radius) {
    point low = on_head(head, radius, .5), high = on_head(head, radius, .3),
          lowest = on_head(head, radius, .7);
    point out_low = {low.x + 62, low.y + 46}, out_high = {high.x + 74, high.y + 42};
    draw_area(d, AREA_GUIDE, 1, (point[]){lowest, low, out_low, {lowest.x + 48, lowest.y + 44}}, 4);
    draw_area(d, AREA_PANEL, 2, (point[]){low, high, out_high, out_low}, 4);
    for (int i = 1; i < 9; i++)
        draw_line(d, LINE_HAIR, 2, (point[]){between(low, high, i / 9.), between(out_low, out_high, i / 9.)},
                  2, false);
    draw_line(d, LINE_FINGER, 2, (point[]){between(out_low, out_high, -.3), between(out_low, out_high, 1.3)},
              2, false);
    draw_line(d, LINE_FROM, 2, (point[]){high, {high.x + 32, high.y - 56}}, 2, false);
    draw_arc(d, LINE_ANGLE, high, 36, -1.05, .52);
    draw_label(d, TEXT_LABEL, 2, (point){high.x + 38, high.y - 8}, 0, "45°");
}

static void draw_step(drawing *d, point head) {
    const double radius = 60;
    point outline[60], work[20];
    for (int i = 0; i < 60; i++) outline[i] = on_head(head, radius, 6.2832 * i / 60);
    for (int i = 0; i < 20; i++) work[i] = on_head(head, radius, -1.6 + .12 * i);
    draw_open(d, PART_FIGURE, "A panel held at 45° from the scalp");
    draw_area(d, AREA_WORK, 0, work, 20);
    draw_line(d, LINE_OUTLINE, -1, outline, 60, true);
    draw_held(d, head, radius);
    draw_arc(d, LINE_CARRY, (point){head.x, head.y + 4}, radius + 20, -.6, -1.3);
    point crown = {head.x - 22, head.y - 30};
    draw_disc(d, AREA_DOT, LW_CROWN, crown, 1.6);
    draw_line(d, LINE_LEADER, LW_CROWN, (point[]){crown, {crown.x - 12, crown.y + 16}}, 2, false);
    draw_text(d, TEXT_LABEL, ALIGN_CENTRE, (point){crown.x - 12, crown.y + 17}, 0, "crown");
    for (int i = 0; i < 4; i++)
        draw_label(d, TEXT_NUMBER, i + 1, (point){head.x + 12 + 8 * i, head.y - 46 + 15 * i}, 0,
                   (const char *const[]){"1", "2", "3", "4"}[i]);
    draw_close(d);
}

static void draw_area_roles(drawing *d, point at) {
    for (int role = 0; role < AREA_ROLES; role++) {
        double x = at.x + 62 * (role % 4), y = at.y + 66 * (role / 4);
        draw_area(d, (area_role)role, -1, (point[]){{x, y}, {x + 50, y}, {x + 50, y + 40}, {x, y + 40}}, 4);
        draw_text(d, TEXT_SMALL, ALIGN_START, (point){x, y + 44}, 0, look_area((area_role)role)->name);
    }
}

static void draw_cautions(drawing *d, point at) {
    const double inset = LOOK_BOX_INSET, room = 236 - 2 * inset;
    draw_area(d, AREA_BOX, -1, (point[]){at, {at.x + 236, at.y}, {at.x + 236, at.y + 56}, {at.x, at.y + 56}},
              4);
    draw_open(d, PART_NOTE, "");
    double y = at.y + inset;
    y += draw_text(d, TEXT_STRONG, ALIGN_START, (point){at.x + inset, y}, room, "Before you start");
    draw_text(d, TEXT_SMALL, ALIGN_START, (point){at.x + inset, y}, room,
              "Look the scalp over. Clean tools between people, as the rules of your place say.");
    draw_close(d);
}

static lw_status draw_first(drawing *d, const image *picture, lw_error *error) {
    double y = draw_top(d, LOOK_MARGIN), right = left + wide / 2 + LOOK_GUTTER;
    double below = draw_sentences(d, y);
    draw_map(d, picture, (point){right + 60, y + 4});
    draw_step(d, (point){right + 86, y + 214});
    draw_area_roles(d, (point){right, y + 340});
    draw_cautions(d, (point){right, y + 490});
    draw_table(d, draw_line_roles(d, below) + LOOK_GAP);
    draw_open(d, PART_FIGURE, "QR code of the plan's address");
    lw_status status = draw_qr(d, (point){left + wide - 76, height - LOOK_MARGIN - 76}, 76, LINK, error);
    draw_close(d);
    draw_open(d, PART_PARAGRAPH, "");
    draw_link(d, TEXT_SMALL, ALIGN_END, (point){left + wide - 84, height - LOOK_MARGIN - 16}, 0,
              "example.org/plan/7", LINK);
    draw_close(d);
    return status;
}

static void draw_second(drawing *d, const image *picture) {
    static const char *const words[] = {
        "Zürich façade Łódź naïve ½ ″ × −",
        "Ελληνικά: κούρεμα με οδηγό",
        "Кириллица: стрижка, затылок",
        "עברית: תספורת לבנה",
        "العربية: قصة شعر متدرجة",
        "देवनागरी: बाल कटाना",
        "日本語の髪型 · 中文发型",
        "No font has this: \U00013000 \U0010FFFF",
        "Not UTF-8: \xff\xfe, and on",
        "Averylongwordthathasnoplacewhereitcouldbebrokenintwoandsoitisbrokenanyway"};
    double y = LOOK_MARGIN;
    y += say(d, PART_HEADING, TEXT_HEADING, (point){left, y}, wide, "Other alphabets");
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        y += 4 + say(d, PART_PARAGRAPH, TEXT_BODY, (point){left, y}, wide / 2, words[i]);
    draw_open(d, PART_FIGURE, "The same map again");
    draw_picture(d, picture, (frame){left, y + 8, 60, 60});
    draw_close(d);
}

static bool write_file(const char *directory, const char *name, const draw_bytes *all) {
    char path[4096];
    snprintf(path, sizeof path, "%s/%s", directory, name);
    FILE *file = fopen(path, "wb");
    if (!file) return false;
    bool fine = fwrite(all->data, 1, all->size, file) == all->size;
    return fclose(file) == 0 && fine;
}

typedef struct output {
    const char *name;
    draw_format format;
    about_document about;
} output;

static lw_status write_formats(const drawing *pages, const char *directory, lw_error *error) {
    const about_document about = {"Specimen: every mark there is", "en", "What a page can carry",
                                  "2026-03-01"};
    const output outputs[] = {{"specimen.pdf", DRAW_PDF, about},
                              {"specimen.svg", DRAW_SVG, about},
                              {"specimen.png", DRAW_PNG, about},
                              {"untold.pdf", DRAW_PDF, {0}}}; /* nothing said about it */
    for (int i = 0; i < 4; i++) {
        draw_bytes all;
        lw_status status = paint(&all, pages, 2, &outputs[i].about, outputs[i].format, 96, error);
        if (status) return status;
        bool written = write_file(directory, outputs[i].name, &all);
        draw_bytes_clear(&all);
        if (!written) {
            snprintf(error->message, sizeof error->message, "%s could not be written", outputs[i].name);
            return error->status = LW_ERROR_ARGUMENT;
        }
    }
    return LW_OK;
}

static lw_status print_look(lw_error *error) {
    draw_bytes tables;
    lw_status status = look_reference(&tables, error);
    if (!status) fwrite(tables.data, 1, tables.size, stdout);
    draw_bytes_clear(&tables);
    return status;
}

static lw_status write_specimen(const char *directory, lw_error *error) {
    drawing pages[2];
    image picture = {0};
    for (int i = 0; i < 2; i++) drawing_begin(&pages[i], width, height);
    lw_status status = make_picture(&picture, error);
    if (!status) status = draw_first(&pages[0], &picture, error);
    if (!status) draw_second(&pages[1], &picture);
    if (!status) status = write_formats(pages, directory, error);
    for (int i = 0; i < 2; i++) drawing_clear(&pages[i]);
    image_clear(&picture);
    return status;
}

int main(int argc, char **argv) {
    lw_error error = {0};
    if (argc != 2) {
        fputs("usage: specimen DIRECTORY | --look\n", stderr);
        return 2;
    }
    lw_status status = strcmp(argv[1], "--look") == 0 ? print_look(&error) : write_specimen(argv[1], &error);
    if (status) fprintf(stderr, "specimen: %s\n", error.message);
    return status != LW_OK;
}
