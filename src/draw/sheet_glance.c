/* The first page: the cut at a glance. Five heads with sections and the map of lengths, the readings that
 * matter, what the plan cannot do, what to take care of.
 *
 * Words and tables take what they need; the heads get the rest of the page. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "look.h"
#include "sheet.h"

enum { ROW = 12, COLUMNS = 3, LINE_OF_CELL = 30, LINE_OF_ONE = 50 };

static double column_width(double width) { return (width - (COLUMNS - 1) * LOOK_GUTTER) / COLUMNS; }

static double strong(drawing *d, point at, double width, const char *text) {
    return sheet_words(d, PART_HEADING, TEXT_STRONG, at, width, text);
}

/* ---- tables of two columns ---------------------------------------------------------------- */

static void cell(drawing *d, text_role role, align by, point at, double width, const char *text) {
    draw_open(d, PART_CELL, "");
    draw_text(d, role, by, at, width, text);
    draw_close(d);
}

/* A label and what belongs to it; both wrap. */
static double fact(drawing *d, point at, double width, double label_width, const char *label,
                   const char *text) {
    double wide = width - label_width - LOOK_GRID;
    draw_open(d, PART_ROW, "");
    cell(d, TEXT_SMALL, ALIGN_START, at, label_width, label);
    cell(d, TEXT_SMALL, ALIGN_START, (point){at.x + label_width + LOOK_GRID, at.y}, wide, text);
    draw_close(d);
    return fmax(text_size(TEXT_SMALL, label_width, label).y, text_size(TEXT_SMALL, wide, text).y);
}

/* ---- lengths at landmarks ----------------------------------------------------------------- */

/* A length for a column: always with its tenth, without its unit. */
static void number_text(sheet *s, char out[48], double metres) {
    char length[32], *unit;
    say_length(length, metres, s->subject->plan->units);
    unit = strrchr(length, ' ');
    if (unit) *unit = 0;
    if (s->subject->plan->units == LW_CM && isfinite(metres))
        snprintf(length, sizeof length, "%.1f", 100 * metres);
    if (s->form == SAY_PLAIN)
        snprintf(out, 48, "%s", length);
    else if (s->form == SAY_ANSWERS)
        snprintf(out, 48, "(%d) %s", ++s->gap, length);
    else
        snprintf(out, 48, "(%d)", ++s->gap);
}

/* A number that ends at x, or the number of its gap and a line to write on, `line` with its indent. */
static void number_cell(sheet *s, drawing *d, double x, double y, double line, double metres) {
    char text[48];
    number_text(s, text, metres);
    bool gap = s->form == SAY_GAPS;
    draw_open(d, PART_CELL, "");
    text_role role =
        s->form == SAY_ANSWERS ? TEXT_SMALL : TEXT_FIGURE; /* an answer has its number before it */
    draw_text(d, role, ALIGN_END, (point){gap ? x - line + 6 : x, y}, 0, text);
    if (gap) sheet_blank(d, x - line + 8, y + ROW - 2, line - 8);
    draw_close(d);
}

static void place_name(char *out, size_t size, int id) {
    const char *name = lw_landmark_name((lw_landmark)id), *left = strstr(name, " left");
    snprintf(out, size, "%.*s", left ? (int)(left - name) : (int)strlen(name), name);
}

/* The landmarks of the midline, or those in pairs, under a row that names the columns. */
static double lengths_of(sheet *s, drawing *d, point at, double width, bool pairs) {
    const double *length = s->subject->reading->landmark;
    double right = at.x + width, left = right - 50, y = at.y;
    draw_open(d, PART_TABLE, "");
    draw_open(d, PART_ROW, "");
    cell(d, TEXT_SMALL, ALIGN_START, (point){at.x, y}, 0, pairs ? "at the sides" : "on the midline");
    if (pairs) cell(d, TEXT_SMALL, ALIGN_END, (point){left, y}, 0, "left");
    if (pairs) cell(d, TEXT_SMALL, ALIGN_END, (point){right, y}, 0, "right");
    draw_close(d);
    y += ROW + 1;
    sheet_rule(d, at.x, y, width);
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        char name[LW_NAME_MAX];
        bool pair = (int)lw_landmark_mirror((lw_landmark)i) != i;
        if (pair != pairs) continue;
        place_name(name, sizeof name, i);
        draw_open(d, PART_ROW, "");
        cell(d, TEXT_SMALL, ALIGN_START, (point){at.x, y + 1.5}, 0, name);
        if (pair) number_cell(s, d, left, y + 0.5, LINE_OF_CELL, length[i++]);
        number_cell(s, d, right, y + 0.5, pair ? LINE_OF_CELL : LINE_OF_ONE, length[i]);
        draw_close(d);
        y += ROW;
    }
    draw_close(d);
    return y - at.y;
}

static double table_lengths(sheet *s, drawing *d, point at, double width) {
    bool inches = s->subject->plan->units == LW_INCH;
    double y = at.y;
    char title[64];
    snprintf(title, sizeof title, "Lengths, %s%s", inches ? "inches" : "cm",
             s->subject->plan->hair.coil_diameter > 0 ? ", drawn straight" : "");
    y += strong(d, at, width, title);
    y += lengths_of(s, d, (point){at.x, y}, width, false) + LOOK_GRID;
    y += lengths_of(s, d, (point){at.x, y}, width, true);
    return y - at.y;
}

/* ---- head, hair, work --------------------------------------------------------------------- */

static const char *kind_name(lw_head_kind kind) {
    static const char *const names[] = {"adult", "woman", "man", "sphere", "ellipsoid"};
    return names[kind];
}

static const char *hairline_name(lw_hairline_shape shape) {
    static const char *const names[] = {"rounded", "straight", "receded", "peaked"};
    return names[shape];
}

static const char *state_name(lw_state state) {
    return state == LW_STATE_WET ? "wet" : state == LW_STATE_CURLED ? "dry, where the curl lies" : "dry";
}

static void thousands(char out[32], double value) {
    long n = lround(value);
    if (n < 1000)
        snprintf(out, 32, "%ld", n);
    else if (n < 1000000)
        snprintf(out, 32, "%ld,%03ld", n / 1000, n % 1000);
    else
        snprintf(out, 32, "%ld,%03ld,%03ld", n / 1000000, n / 1000 % 1000, n % 1000);
}

static void spaced(char *out, size_t size, const char *name) {
    snprintf(out, size, "%s", name);
    for (char *c = out; *c; c++)
        if (*c == '_') *c = ' ';
}

static double table_head(sheet *s, drawing *d, point at, double width) {
    enum { LABEL = 88 };
    const lw_plan *plan = s->subject->plan;
    const lw_hair *hair = &plan->hair;
    char text[160], length[32], other[32];
    bool solid = plan->head.kind == LW_HEAD_SPHERE || plan->head.kind == LW_HEAD_ELLIPSOID;
    double y = at.y + strong(d, at, width, "Head and hair");
    draw_open(d, PART_TABLE, "");
    y += fact(d, (point){at.x, y}, width, LABEL, "head", kind_name(plan->head.kind));
    if (!solid) y += fact(d, (point){at.x, y}, width, LABEL, "hairline", hairline_name(plan->head.hairline));
    for (int i = 0; i < LW_MEASURE_INPUTS; i++) {
        if (!(plan->head.measure[i] > 0)) continue;
        char name[LW_NAME_MAX];
        spaced(name, sizeof name, lw_measure_name((lw_measure)i));
        say_plan_length(length, plan->head.measure[i], plan->units);
        y += fact(d, (point){at.x, y}, width, LABEL, name, length);
    }
    say_plan_length(length, hair->length, plan->units);
    snprintf(text, sizeof text, "%s%s", hair->length_at_count ? "mostly " : "", length);
    y += fact(d, (point){at.x, y}, width, LABEL, "before the cut", text);
    snprintf(text, sizeof text, "%.0f per sq cm", plan->scalp.density / 1e4);
    y += fact(d, (point){at.x, y}, width, LABEL, "density", text);
    if (hair->coil_diameter > 0) {
        say_plan_length(length, hair->coil_diameter, plan->units);
        say_plan_length(other, hair->coil_pitch, plan->units);
        snprintf(text, sizeof text, "%s wide, %s a turn", length, other);
        y += fact(d, (point){at.x, y}, width, LABEL, "curl", text);
    }
    y += fact(d, (point){at.x, y}, width, LABEL, "cut", state_name(hair->state));
    draw_close(d);
    return y - at.y;
}

static double table_work(sheet *s, drawing *d, point at, double width) {
    enum { LABEL = 62 };
    const lw_reading *r = s->subject->reading;
    lw_units units = s->subject->plan->units;
    char text[160], mean[32], most[32];
    int steps = 0;
    for (int i = 0; i < s->subject->plan->step_count; i++) steps += lw_step_is_cut(s->subject->plan, i);
    double y = at.y + strong(d, at, width, "Work and balance");
    draw_open(d, PART_TABLE, "");
    snprintf(text, sizeof text, "%d step%s, %d cut%s", steps, steps == 1 ? "" : "s", r->cuts,
             r->cuts == 1 ? "" : "s");
    y += fact(d, (point){at.x, y}, width, LABEL, "to do", text);
    snprintf(text, sizeof text, "about %.0f minute%s", ceil(r->minutes), ceil(r->minutes) == 1 ? "" : "s");
    y += fact(d, (point){at.x, y}, width, LABEL, "time", text);
    thousands(most, r->removed_hairs);
    double grams = 1000 * r->removed_mass;
    snprintf(text, sizeof text, "%.*f g from %s hairs", grams < 9.95 && grams > 0.05 ? 1 : 0, grams, most);
    y += fact(d, (point){at.x, y}, width, LABEL, "hair removed", text);
    say_length(mean, r->balance_all, units);
    say_length(most, r->balance_worst, units);
    if (r->balance_worst < 5e-4)
        snprintf(text, sizeof text, "even");
    else if (r->balance_all < 0.05 * r->balance_worst)
        snprintf(text, sizeof text, "mostly even, %s apart at most", most);
    else
        snprintf(text, sizeof text, "%s apart on average, %s at most", mean, most);
    y += fact(d, (point){at.x, y}, width, LABEL, "left and right", text);
    say_length(mean, r->all.mean, units);
    if (s->form == SAY_PLAIN) y += fact(d, (point){at.x, y}, width, LABEL, "mean length", mean);
    draw_close(d);
    return y - at.y;
}

/* ---- shape in words ----------------------------------------------------------------------- */

/* "left " and "right " at the start of a name are the client's sides of one part. */
static const char *without_side(const char *name) {
    return strncmp(name, "left ", 5) == 0 ? name + 5 : strncmp(name, "right ", 6) == 0 ? name + 6 : name;
}

/* "back, at the crown (left to right)": the part ends at the comma, or before "up to". */
static size_t part_of(const char *name) {
    const char *up = strstr(name, " up to");
    size_t comma = strcspn(name, ",(");
    if (up && (size_t)(up - name) < comma) comma = (size_t)(up - name);
    while (comma > 0 && name[comma - 1] == ' ') comma--;
    return comma;
}

static bool ear(const char *name) {
    return strncmp(name, "behind the left ear", 19) == 0 || strncmp(name, "behind the right ear", 20) == 0;
}

static bool same_part(const char *a, const char *b) {
    if (ear(a) || ear(b)) return ear(a) && ear(b);
    a = without_side(a), b = without_side(b);
    size_t n = part_of(a);
    return n == part_of(b) && strncmp(a, b, n) == 0;
}

/* The shapes of a part in words: one where they agree, otherwise each once, in their order. */
static void shapes_of(char *out, size_t size, int count, const char *const *names, const char *const *shapes,
                      int first) {
    out[0] = 0;
    for (int i = first; i < count; i++) {
        if (!same_part(names[first], names[i])) continue;
        const char *shape = shapes[i][0] ? shapes[i] : "-";
        if (strstr(out, shape)) continue;
        size_t n = strlen(out);
        snprintf(out + n, size - n, "%s%s", n ? ", " : "", shape);
    }
}

static void part_words(char *out, size_t size, const char *name) {
    if (ear(name)) {
        snprintf(out, size, "behind the ear");
        return;
    }
    name = without_side(name);
    snprintf(out, size, "%.*s", (int)part_of(name), name);
}

static double shape_row(sheet *s, drawing *d, point at, double width, const char *part, const char *shape) {
    enum { PART = 66 };
    char text[160];
    bool gap = s->form == SAY_GAPS;
    if (s->form == SAY_PLAIN)
        snprintf(text, sizeof text, "%s", shape);
    else if (s->form == SAY_ANSWERS)
        snprintf(text, sizeof text, "(%d) %s", ++s->gap, shape);
    else
        snprintf(text, sizeof text, "(%d)", ++s->gap);
    if (gap) sheet_blank(d, at.x + PART + 22, at.y + 10, width - PART - 22);
    return fact(d, at, width, PART, part, text);
}

static double table_shapes(sheet *s, drawing *d, point at, double width, const char *title, int count,
                           const char *const *names, const char *const *shapes) {
    double y = at.y + strong(d, at, width, title);
    draw_open(d, PART_TABLE, "");
    for (int i = 0; i < count; i++) {
        char part[LW_NAME_MAX], said[128];
        bool known = false;
        for (int k = 0; k < i; k++) known = known || same_part(names[k], names[i]);
        if (known) continue;
        part_words(part, sizeof part, names[i]);
        shapes_of(said, sizeof said, count, names, shapes, i);
        y += shape_row(s, d, (point){at.x, y}, width, part, said);
    }
    draw_close(d);
    return y - at.y;
}

static double table_plan(sheet *s, drawing *d, point at, double width) {
    const lw_reading *r = s->subject->reading;
    const char *names[LW_BANDS_MAX], *shapes[LW_BANDS_MAX];
    for (int i = 0; i < r->band_count; i++) {
        names[i] = r->bands[i].name;
        shapes[i] = lw_shape_name(r->bands[i].shape);
    }
    return table_shapes(s, d, at, width, "Shape from above", r->band_count, names, shapes);
}

static double table_profile(sheet *s, drawing *d, point at, double width) {
    const lw_reading *r = s->subject->reading;
    const char *names[LW_STRIPS_MAX], *shapes[LW_STRIPS_MAX];
    for (int i = 0; i < r->strip_count; i++) {
        names[i] = r->strips[i].name;
        shapes[i] = lw_profile_name(r->strips[i].profile);
    }
    return table_shapes(s, d, at, width, "Shape from the side", r->strip_count, names, shapes);
}

double glance_tables(sheet *s, drawing *d, point at, double width) {
    double column = column_width(width), step = column + LOOK_GUTTER, second = at.x + step,
           third = at.x + 2 * step;
    double lengths = table_lengths(s, d, at, column);
    double head = table_head(s, d, (point){second, at.y}, column);
    double work = table_work(s, d, (point){third, at.y}, column);
    double below = at.y + fmax(head, work) + LOOK_GAP;
    double plan = table_plan(s, d, (point){second, below}, column);
    double profile = table_profile(s, d, (point){third, below}, column);
    return fmax(lengths, below - at.y + fmax(plan, profile));
}

/* ---- note, warnings, cautions ------------------------------------------------------------- */

static double block_note(sheet *s, drawing *d, point at, double width) {
    const char *note = s->subject->plan->note;
    if (!note[0] || s->form != SAY_PLAIN) return 0; /* a note may tell what a learner is to find */
    return sheet_words(d, PART_PARAGRAPH, TEXT_SMALL, at, width, note) + LOOK_GAP;
}

static double block_warnings(sheet *s, drawing *d, point at, double width) {
    enum { SHOWN = 4 };
    int n = lw_cut_warning_count(s->subject->cut);
    if (n == 0 || s->form != SAY_PLAIN) return 0;
    double y = at.y + strong(d, at, width, "Watch out");
    for (int i = 0; i < n && i < SHOWN; i++) {
        const lw_warning *w = lw_cut_warning(s->subject->cut, i);
        char text[LW_NAME_MAX + 600];
        if (w->step > 0)
            snprintf(text, sizeof text, "Step %d, %s: %s.", w->step,
                     s->subject->plan->steps[w->step - 1].name, lw_warning_name(w->code));
        else {
            char message[400], remedy[sizeof w->remedy];
            say_message(message, sizeof message, w->message, s->subject->plan->units);
            snprintf(remedy, sizeof remedy, "%s", w->remedy);
            say_capital(message);
            say_capital(remedy);
            snprintf(text, sizeof text, "%s. %s.", message, remedy);
        }
        y += sheet_words(d, PART_PARAGRAPH, TEXT_SMALL, (point){at.x, y}, width, text);
    }
    if (n > SHOWN) {
        char text[64];
        snprintf(text, sizeof text, "And %d more, told with \xE2\x80\x9Clengthwise predict\xE2\x80\x9D.",
                 n - SHOWN);
        y += sheet_words(d, PART_PARAGRAPH, TEXT_SMALL, (point){at.x, y}, width, text);
    }
    return y - at.y + LOOK_GAP;
}

static double block_cautions(sheet *s, drawing *d, point at, double width) {
    const char *caution;
    char all[1024] = "";
    double inside = width - 2 * LOOK_BOX_INSET;
    for (int i = 0; tell_caution(s->subject->plan, i + 1); i++) { /* the last stands at the foot */
        caution = tell_caution(s->subject->plan, i);
        size_t n = strlen(all);
        snprintf(all + n, sizeof all - n, "%s%s", n ? " " : "", caution);
    }
    double tall = text_size(TEXT_STRONG, inside, "Take care").y + text_size(TEXT_SMALL, inside, all).y +
                  2 * LOOK_BOX_INSET - LOOK_GRID;
    point box[4] = {at, {at.x + width, at.y}, {at.x + width, at.y + tall}, {at.x, at.y + tall}};
    draw_area(d, AREA_BOX, -1, box, 4);
    point words = {at.x + LOOK_BOX_INSET, at.y + LOOK_BOX_INSET - LOOK_GRID / 2.0};
    words.y += strong(d, words, inside, "Take care");
    sheet_words(d, PART_PARAGRAPH, TEXT_SMALL, words, inside, all);
    return tall;
}

/* ---- the page ----------------------------------------------------------------------------- */

static void place(sheet *s, block *draw) {
    s->y += draw(s, sheet_last(s), (point){s->body.x, s->y}, s->body.width);
}

void sheet_glance(sheet *s) {
    drawing *d = sheet_page(s);
    if (!d) return;
    double width = s->body.width, bottom = s->body.y + s->body.height;
    sheet_title(s);
    place(s, block_note);
    double tables = sheet_height(s, glance_tables, width), warnings = sheet_height(s, block_warnings, width),
           cautions = sheet_height(s, block_cautions, width);
    double words = tables + 2 * LOOK_GAP + warnings + cautions, room = bottom - s->y - words, least, most;
    sheet_heads_room(&least, &most, s);
    bool split = room < least;
    double tall = split ? fmin(bottom - s->y - cautions - LOOK_GUTTER, 1.4 * most) : fmin(room, most);
    sheet_heads(s, d, s->y, tall);
    s->y += tall + LOOK_GAP;
    if (split && !s->status) {
        place(s, block_cautions);
        if (!sheet_page(s)) return;
    }
    if (s->status) return;
    place(s, glance_tables);
    s->y += LOOK_GAP;
    place(s, block_warnings);
    if (!split) place(s, block_cautions);
}
