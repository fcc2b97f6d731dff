/* A step's panels on the head.
 *
 * Areas first, then the head over them, then partings, then numbers, so that what must be read is never under
 * something else. A panel is numbered where a number has room in it. Where fewer than four in five have room,
 * the first, every other one are if all of these stand clear of each other, else the first, every fifth and
 * the last, and of panels that go outward from the middle the first five, so that the order can still be read
 * off. Bites share the number of their panel and are told apart by fine lines. */
#include "step_drawing.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "fault.h"
#include "say.h"
#include "step_label.h"
#include "step_mask.h"
#include "step_show.h"
#include "vec.h"

#define CAPTION 12.     /* points below the head for the name of the side */
#define GUIDE_BAND .015 /* metres of an earlier step's hair beside a panel that count as its guide */
#define THIN .006       /* metres: thinner panels are drawn by groups */
#define LEAST_ROOM 2.   /* points: a number may reach over its partings, not leave its panel */
#define ROOM 3.4        /* points from a number's middle to the partings beside it: half of its height */

typedef struct whole {
    int first, last; /* index into lw_cut_panel */
    int number;
    bool end;  /* the first or the last of its side */
    bool held; /* the one whose hold is drawn: numbered whenever it is seen */
    bool seen, fits, numbered;
    point at;
    double room;
} whole;

typedef struct panels_page {
    drawing *d;
    const study *s;
    const lw_cut *cut;
    const lw_step *step;
    int number; /* of the step */
    view_side side;
    stage on;
    frame at;
    bool blank;
    int first, count, shown; /* panels */
    int since;               /* the drawing's marks before this one */
    int *label;
    int group, *stand_in; /* panels that are drawn as one */
    mask mask;
    lw_error *error;
} panels_page;

/* ---- partings ---- */

static bool seen_at_all(const panels_page *g, const curves *c, int which) {
    const curve *k = &c->curves[which];
    int seen = 0;
    for (int i = 0; i < k->count; i++) {
        lw_vec3 n, p = c->points[k->first + i];
        lw_head_project(g->s->subject.head, p, &n);
        seen += v3_dot(n, g->on.view.toward) > 0 && study_shows(g->s, g->side, p);
    }
    return 4 * seen > k->count;
}

/* Panels too thin to tell apart are drawn by twos, fives, tens. */
static int group_of(const lw_step *step) {
    static const int sizes[] = {1, 2, 5, 10, 20, 50, 100};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
        if (step->panels.thickness * sizes[i] >= THIN) return sizes[i];
    return 100;
}

/* The panel that stands for the group a panel is in: its first. */
static int stand_in(const panels_page *g, int panel) {
    if (panel < 0 || g->group == 1) return panel;
    return g->stand_in[panel - g->first];
}

static int group_label(const void *context, lw_vec3 p) {
    const panels_page *g = context;
    return stand_in(g, lw_cut_panel_at(g->cut, g->number, p));
}

/* Fills stand_in: groups are counted from the start of each side. */
static lw_status make_groups(panels_page *g) {
    g->stand_in = malloc(sizeof *g->stand_in * (size_t)(g->count + 1));
    if (!g->stand_in) return fault_memory(g->error, "step");
    int section = -1, start = 0, begun = 0;
    for (int i = 0; i < g->count; i++) {
        const lw_panel *p = lw_cut_panel(g->cut, g->first + i);
        if (p->section != section)
            section = p->section, start = p->whole, begun = i;
        else if ((p->whole - start) / g->group !=
                 (lw_cut_panel(g->cut, g->first + i - 1)->whole - start) / g->group)
            begun = i;
        g->stand_in[i] = g->first + begun;
    }
    return LW_OK;
}

static lw_status group_borders(panels_page *g, curves *out) {
    if (g->group == 1)
        return curves_borders(out, g->s->subject.head, &g->s->mesh, g->label, step_label_at,
                              &(step_ask){g->cut, g->number}, g->error);
    int n = g->s->mesh.vertex_count, *label = malloc(sizeof *label * (size_t)n);
    if (!label) return fault_memory(g->error, "step");
    for (int i = 0; i < n; i++) label[i] = stand_in(g, g->label[i]);
    lw_status status = curves_borders(out, g->s->subject.head, &g->s->mesh, label, group_label, g, g->error);
    free(label);
    return status;
}

/* Partings between panels: those that are partly seen go on dashed behind the head; bites have no parting. */
static lw_status draw_partings(panels_page *g) {
    curves c = {0};
    lw_status status = group_borders(g, &c);
    for (int i = 0; i < c.curve_count && !status; i++) {
        const lw_panel *a = lw_cut_panel(g->cut, c.curves[i].one),
                       *b = lw_cut_panel(g->cut, c.curves[i].other);
        if (a->section != b->section) continue;
        if (a->whole == b->whole) {
            bool held = a->whole == lw_cut_panel(g->cut, g->shown)->whole;
            draw_curve(g->d, g->s, g->side, &g->on, &c, i, held ? LINE_PANEL : LINE_FEATURE, LINE_ROLES, -1);
            continue;
        }
        line_role hidden = seen_at_all(g, &c, i) ? LINE_PANEL_HIDDEN : LINE_ROLES;
        draw_curve(g->d, g->s, g->side, &g->on, &c, i, LINE_PANEL, hidden, c.curves[i].one);
    }
    curves_clear(&c);
    return status;
}

/* Of the sections' partings those that bound what the step works on. */
static lw_status draw_bounds(panels_page *g) {
    int n = lw_cut_section_count(g->cut);
    bool *works = calloc((size_t)n + 1, sizeof *works);
    if (!works) return fault_memory(g->error, "step");
    for (int i = 0; i < g->s->mesh.vertex_count; i++)
        if (g->label[i] >= 0 && g->s->section[i] >= 0) works[g->s->section[i]] = true;
    const curves *c = &g->s->sections;
    for (int i = 0; i < c->curve_count; i++) {
        int one = c->curves[i].one, other = c->curves[i].other;
        bool bounds = (one >= 0 && one < n && works[one]) || (other >= 0 && other < n && works[other]);
        if (bounds) draw_curve(g->d, g->s, g->side, &g->on, c, i, LINE_SECTION, LINE_ROLES, -1);
    }
    free(works);
    return LW_OK;
}

/* ---- the guide ---- */

/* The hair of an earlier step that lies close to some panels. */
typedef struct band {
    const lw_cut *cut;
    int step, line_count;
    scalp_line lines[2];
    double reach[2]; /* metres from the line */
} band;

static int band_label(const void *context, lw_vec3 p) {
    const band *b = context;
    for (int i = 0; i < b->line_count; i++)
        for (int k = 0; k < b->lines[i].count; k++)
            if (v3_norm(v3_sub(b->lines[i].points[k], p)) < b->reach[i])
                return lw_cut_panel_at(b->cut, b->step, p) < 0 ? -1 : 0;
    return -1;
}

static lw_status guide_from_step(panels_page *g, int step, const int *panels, int n) {
    int vertices = g->s->mesh.vertex_count, *label = malloc(sizeof *label * (size_t)vertices);
    band *b = malloc(sizeof *b);
    mask m = {0};
    lw_status status = label && b ? LW_OK : fault_memory(g->error, "step");
    if (!status) {
        *b = (band){.cut = g->cut, .step = step, .line_count = n};
        for (int i = 0; i < n; i++) {
            line_along(&b->lines[i], &g->s->subject, panels[i]);
            b->reach[i] = g->step->panels.thickness / 2 + GUIDE_BAND;
        }
        for (int i = 0; i < vertices; i++)
            label[i] = g->s->section[i] < 0 ? -1 : band_label(b, g->s->mesh.position[i]);
        status = mask_new(&m, g->s, &g->s->views[g->side], &g->on, g->at, label, band_label, b, g->error);
    }
    if (!status) status = mask_area(g->d, &m, AREA_GUIDE, -1, 0, 0, g->error);
    mask_clear(&m);
    free(b);
    free(label);
    return status;
}

/* A panel with all its bites. */
static whole whole_of(const panels_page *g, int panel) {
    whole w = {.first = panel, .last = panel};
    int which = lw_cut_panel(g->cut, panel)->whole;
    while (w.first > g->first && lw_cut_panel(g->cut, w.first - 1)->whole == which) w.first--;
    while (w.last + 1 < g->first + g->count && lw_cut_panel(g->cut, w.last + 1)->whole == which) w.last++;
    return w;
}

/* The first panel of each side. */
static int first_wholes(const panels_page *g, whole *out) {
    int n = 0;
    for (int i = g->first; i < g->first + g->count && n < 2; i++)
        if (!n || lw_cut_panel(g->cut, i)->section != lw_cut_panel(g->cut, out[n - 1].first)->section)
            out[n++] = whole_of(g, i);
    return n;
}

/* Where a step goes over what an earlier one has cut, each panel's guide is that panel. */
static lw_status guide_is_own(panels_page *g) {
    whole held = whole_of(g, g->shown);
    return mask_area(g->d, &g->mask, AREA_GUIDE, g->shown, held.first, held.last, g->error);
}

static lw_status draw_guide_area(panels_page *g) {
    const lw_guide *guide = &g->step->guide;
    whole firsts[2];
    int sides = first_wholes(g, firsts), panels[2];
    bool own = guide->kind == LW_GUIDE_TRAVELLING || guide->kind == LW_GUIDE_STATIONARY;
    if (step_sets_distance(g->step)) return LW_OK;
    if (guide->step[0]) {
        int step = step_named(g->s->subject.plan, guide->step);
        if (lw_cut_panel_at(g->cut, step, lw_cut_panel(g->cut, g->shown)->anchor) >= 0)
            return guide_is_own(g);
        for (int i = 0; i < sides; i++) panels[i] = own ? firsts[i].first : g->shown;
        return guide_from_step(g, step, panels, own ? sides : 1);
    }
    for (int i = 0; i < sides && own; i++) {
        lw_status status =
            mask_area(g->d, &g->mask, AREA_GUIDE, firsts[i].first, firsts[i].first, firsts[i].last, g->error);
        if (status) return status;
    }
    return LW_OK;
}

/* A measured length: a dot where it is measured, and the length. */
static void draw_guide_length(panels_page *g) {
    const lw_guide *guide = &g->step->guide;
    if (step_sets_distance(g->step) || guide->length <= 0 || guide->step[0]) return;
    point of;
    int about = guide->at.to < 0 ? guide->at.from : -1;
    if (guide->at.from >= 0) {
        lw_vec3 n, p = lw_head_project(g->s->subject.head, lw_head_place(g->s->subject.head, guide->at), &n);
        if (v3_dot(n, g->on.view.toward) < -.05 || !study_shows(g->s, g->side, p)) return;
        of = stage_point(&g->on, p);
        draw_disc(g->d, AREA_DOT, about, of, 2.2);
    } else {
        const lw_panel *p = lw_cut_panel(g->cut, g->first);
        lw_vec3 n;
        lw_head_project(g->s->subject.head, p->anchor, &n);
        if (v3_dot(n, g->on.view.toward) < 0 || !study_shows(g->s, g->side, p->anchor)) return;
        of = stage_point(&g->on, p->anchor);
    }
    char length[32], words[64];
    say_length(length, guide->length, g->s->subject.plan->units);
    snprintf(words, sizeof words, "guide %s", length);
    if (g->blank)
        blank_near(g->d, g->since, g->at, about, of, 10, 70, "guide",
                   g->s->subject.plan->units == LW_INCH ? "in" : "cm");
    else
        label_near(g->d, g->since, g->at, about, of, 10, 70, words);
}

/* ---- numbers ---- */

static int collect(const panels_page *g, whole *out) {
    int n = 0;
    for (int i = g->first; i < g->first + g->count; i++) {
        const lw_panel *p = lw_cut_panel(g->cut, i),
                       *before = n ? lw_cut_panel(g->cut, out[n - 1].first) : NULL;
        if (before && before->whole == p->whole) {
            out[n - 1].last = i;
            continue;
        }
        bool start = !before || before->section != p->section;
        if (n && start) out[n - 1].end = true;
        out[n++] = (whole){.first = i,
                           .last = i,
                           .number = p->whole,
                           .end = start,
                           .held = p->whole == lw_cut_panel(g->cut, g->shown)->whole};
    }
    if (n) out[n - 1].end = true;
    return n;
}

/* The middle of what is seen of the panels from `first` to `last`. */
static point middle_of(const mask *m, int first, int last) {
    double x = 0, y = 0, n = 0;
    for (int j = 0; j < m->height; j++)
        for (int i = 0; i < m->width; i++) {
            int l = m->label[(size_t)j * (size_t)m->width + (size_t)i];
            if (l >= first && l <= last) x += i + .5, y += j + .5, n += 1;
        }
    return n > 0 ? (point){m->x + m->size * x / n, m->y + m->size * y / n} : (point){m->x, m->y};
}

/* Numbers of partings that run side by side stand in a column across them. */
static point column(const panels_page *g, const whole *all, int n) {
    lw_family family = g->step->panels.family;
    if (n < 2 || family == LW_FAMILY_RADIAL) return (point){0, 0};
    point a = middle_of(&g->mask, all[0].first, all[0].last);
    point b = middle_of(&g->mask, all[n - 1].first, all[n - 1].last);
    if (family == LW_FAMILY_LEVEL && fabs(g->on.view.toward.y) < .1) b.x = a.x;
    double length = hypot(b.x - a.x, b.y - a.y);
    return length > 1 ? (point){(b.x - a.x) / length, (b.y - a.y) / length} : (point){0, 0};
}

static lw_status find_room(panels_page *g, whole *all, int n) {
    for (int i = 0; i < n;) {
        int section = lw_cut_panel(g->cut, all[i].first)->section, end = i;
        while (end < n && lw_cut_panel(g->cut, all[end].first)->section == section) end++;
        point middle = middle_of(&g->mask, all[i].first, all[end - 1].last);
        point line = column(g, all + i, end - i);
        for (; i < end; i++) {
            lw_status status;
            all[i].seen = mask_room(&g->mask, all[i].first, all[i].last, middle, line, &all[i].at,
                                    &all[i].room, &status);
            if (status) return fault_memory(g->error, "step");
            all[i].fits = all[i].seen && all[i].room >= ROOM;
        }
    }
    return LW_OK;
}

static double digits(int number) { return number < 10 ? 1 : number < 100 ? 2 : number < 1000 ? 3 : 4; }

static bool apart(const whole *a, const whole *b) {
    double wide = 2.6 * (digits(a->number) + digits(b->number)) + 3;
    return fabs(a->at.x - b->at.x) >= wide || fabs(a->at.y - b->at.y) >= 8.5;
}

static bool clear_of_others(const whole *all, int n, int which) {
    for (int i = 0; i < n; i++)
        if (i != which && all[i].numbered && !apart(&all[i], &all[which])) return false;
    return true;
}

/* The first, the last, every `by`th between them, and with `start` the first five, so far as they are clear
 * of each other. Returns how many of them stand. */
static int number_by(whole *all, int n, int by, bool start, double least, int *wanted) {
    int stand = 0;
    *wanted = 0;
    for (int i = 0; i < n; i++) all[i].numbered = false;
    for (int pass = 0; pass < 2; pass++)
        for (int i = 0; i < n; i++) {
            bool end = i == 0 || i == n - 1,
                 due = (i + 1) % by == 0 || (start && i < 5) || (by == 2 && i % 2 == 0);
            if (by == 2 && i % 2) due = false;
            if (pass ? end || !due : !end) continue;
            bool room = all[i].seen && (all[i].room >= least || all[i].held);
            *wanted += room;
            all[i].numbered = room && clear_of_others(all, n, i);
            stand += all[i].numbered;
        }
    return stand;
}

/* The rule of the opening comment. */
static void choose_numbered(whole *all, int n, bool outward, int group) {
    int seen = 0, fit = 0, wanted;
    for (int i = 0; i < n; i++) seen += all[i].seen, fit += all[i].fits;
    bool every = 2 * fit >= seen;
    for (int i = 0; i < n && every; i++) all[i].numbered = all[i].fits || (all[i].held && all[i].seen);
    if (every) return;
    if (group > 1) {
        number_by(all, n, group > 5 ? group : 5, false, 0, &wanted);
        return;
    }
    if (!outward && number_by(all, n, 2, false, LEAST_ROOM, &wanted) == wanted) return;
    number_by(all, n, 5, outward, LEAST_ROOM, &wanted);
}

/* Room for a number to be written in. */
static void draw_ring(panels_page *g, int about, point at, double radius) {
    enum { RING_POINTS = 24 };
    point ring[RING_POINTS];
    for (int i = 0; i < RING_POINTS; i++) {
        double turn = 2 * LW_PI * i / RING_POINTS;
        ring[i] = (point){at.x + radius * cos(turn), at.y + radius * sin(turn)};
    }
    draw_disc(g->d, AREA_PAPER, about, at, radius);
    draw_line(g->d, LINE_FEATURE, about, ring, RING_POINTS, true);
}

/* A number in its panel; in a worksheet room for one. */
static void draw_number(panels_page *g, const whole *w) {
    char text[16];
    int about = mask_at(&g->mask, w->at);
    snprintf(text, sizeof text, "%d", lw_cut_panel(g->cut, about)->whole);
    if (g->blank)
        draw_ring(g, about, w->at, fmin(5, fmax(3.5, w->room)));
    else
        draw_label(g->d, TEXT_NUMBER, about, w->at, 0, text);
}

/* The first and the last of a side, where no number fits in them: beside the head. */
static void draw_number_aside(panels_page *g, const whole *w) {
    char text[16];
    int about = mask_at(&g->mask, w->at);
    snprintf(text, sizeof text, "%d", lw_cut_panel(g->cut, about)->whole);
    if (!g->blank) label_near(g->d, g->since, g->at, about, w->at, 12, 60, text);
}

static lw_status draw_numbers(panels_page *g) {
    whole *all = malloc(sizeof *all * (size_t)g->count);
    if (!all) return fault_memory(g->error, "step");
    int n = collect(g, all);
    lw_status status = find_room(g, all, n);
    if (!status) choose_numbered(all, n, g->step->panels.start == LW_EDGE_CENTRE, g->group);
    for (int i = 0; i < n && !status; i++)
        if (all[i].numbered) draw_number(g, &all[i]);
    for (int i = 0; i < n && !status; i++)
        if (all[i].end && all[i].seen && !all[i].numbered) draw_number_aside(g, &all[i]);
    free(all);
    return status;
}

/* ---- all of it ---- */

static lw_status draw_areas(panels_page *g) {
    whole held = whole_of(g, g->shown);
    lw_status status = mask_area(g->d, &g->mask, AREA_WORK, -1, g->first, g->first + g->count - 1, g->error);
    if (!status) status = mask_area(g->d, &g->mask, AREA_PANEL, g->shown, held.first, held.last, g->error);
    return status ? status : draw_guide_area(g);
}

static lw_status draw_page(panels_page *g) {
    lw_status status = mask_new(&g->mask, g->s, &g->s->views[g->side], &g->on, g->at, g->label, step_label_at,
                                &(step_ask){g->cut, g->number}, g->error);
    if (status) return status;
    status = make_groups(g);
    if (!status) status = draw_areas(g);
    draw_head(g->d, g->s, g->side, &g->on);
    if (!status) status = draw_partings(g);
    if (!status) status = draw_bounds(g);
    if (!status) status = draw_numbers(g);
    if (!status) draw_guide_length(g);
    mask_clear(&g->mask);
    free(g->stand_in);
    return status;
}

/* The mirror image is on a side that cannot be seen. */
static bool mirrored_unseen(const panels_page *g) {
    for (int i = g->first; i < g->first + g->count; i++)
        if (lw_cut_panel(g->cut, i)->section != lw_cut_panel(g->cut, g->first)->section)
            return step_seen(g->s, g->side, g->label, i, g->first + g->count - 1) <
                   .2 * step_seen(g->s, g->side, g->label, g->first, i - 1);
    return false;
}

/* In words, since it is no answer to any gap of a worksheet. */
static const char *count_word(int group) {
    return group == 2 ? "two" : group == 5 ? "five" : group == 10 ? "ten" : group == 20 ? "twenty" : "many";
}

lw_status draw_step_panels(drawing *d, const study *s, int step, frame at, bool blank, lw_error *error) {
    panels_page g = {
        .d = d, .s = s, .cut = s->subject.cut, .number = step, .at = at, .blank = blank, .error = error};
    if (step < 1 || step > s->subject.plan->step_count)
        return fault(error, LW_ERROR_ARGUMENT, "step", "Count steps from 1.", "the plan has no step %d",
                     step);
    g.step = &s->subject.plan->steps[step - 1];
    g.since = d->mark_count;
    g.group = group_of(g.step);
    step_range(g.cut, step, &g.first, &g.count);
    g.at.height -= CAPTION;
    lw_status status = step_labels(&g.label, s, step, error);
    if (status) return status;
    g.shown = step_shown(&s->subject, step);
    g.side = step_side(s, g.label, step);
    g.on = head_stage(s, g.side, g.at, 0);
    if (g.count)
        status = draw_page(&g);
    else
        draw_head(d, s, g.side, &g.on);
    char words[160], side[64];
    view_words(side, g.on.view);
    size_t used = (size_t)snprintf(words, sizeof words, "%s", side);
    if (g.group > 1)
        used += (size_t)snprintf(words + used, sizeof words - used, "; one parting in %s is drawn",
                                 count_word(g.group));
    if (mirrored_unseen(&g)) snprintf(words + used, sizeof words - used, "; the other side mirrors it");
    draw_text(d, TEXT_SMALL, ALIGN_CENTRE, (point){at.x + at.width / 2, at.y + at.height - CAPTION + 1}, 0,
              words);
    free(g.label);
    return status;
}
