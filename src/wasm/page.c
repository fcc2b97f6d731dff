/* The page's side of core and plan: the same calls as the command line makes, handed over as flat arrays.
 *
 * The idea is that nothing is computed here. What core keeps as an array is handed on as it is; what core
 * gives one item at a time (roots, normals, panels, landmarks) is laid out once after a prediction. Either
 * all of a prediction is there or none of it: page_drop brings a page back to empty, and a failed prediction
 * ends there. Head, scalp and the hair that fell on them outlive it: they go when a plan has another head or
 * scalp.
 */
#include "state.h"

#include <stdlib.h>
#include <string.h>

static void page_drop(page *p) {
    page_shown_drop_cut(&p->shown);
    free(p->roots);
    free(p->normals);
    free(p->panels);
    free(p->landmarks);
    free(p->given);
    p->roots = p->normals = p->panels = p->landmarks = p->given = NULL;
    lw_cut_free(p->cut);
    p->cut = NULL;
    lw_plan_clear(&p->plan);
}

static void drop_scalp(page *p) {
    page_fall_lift(p);
    lw_paths_free(p->paths);
    p->paths = NULL;
    lw_scalp_free(p->scalp);
    p->scalp = NULL;
}

static void drop_head(page *p) {
    drop_scalp(p);
    page_shown_drop_head(&p->shown);
    lw_mesh_clear(&p->bust);
    lw_head_free(p->head);
    p->head = NULL;
}

page *page_new(void) {
    page *p = calloc(1, sizeof *p);
    if (p) p->plan = lw_plan_default();
    return p;
}

void page_free(page *p) {
    if (!p) return;
    page_drop(p);
    drop_head(p);
    free(p->text);
    free(p->words);
    free(p);
}

char *page_text(page *p, size_t size) {
    free(p->text);
    p->text = size > PAGE_TEXT_MAX ? NULL : malloc(size ? size : 1);
    p->size = p->text ? size : 0;
    return p->text;
}

static double *put(double *row, lw_vec3 v) {
    row[0] = v.x;
    row[1] = v.y;
    row[2] = v.z;
    return row + 3;
}

static void lay_out_hairs(page *p) {
    int n = lw_scalp_count(p->scalp);
    for (int i = 0; i < n; i++) {
        put(p->roots + 3 * (size_t)i, lw_scalp_root(p->scalp, i));
        put(p->normals + 3 * (size_t)i, lw_scalp_normal(p->scalp, i));
    }
}

static void lay_out_panels(page *p) {
    int n = lw_cut_panel_count(p->cut);
    for (int i = 0; i < n; i++) {
        const lw_panel *from = lw_cut_panel(p->cut, i);
        double *row = p->panels + (size_t)i * PAGE_PANEL_COLUMNS;
        row[PAGE_PANEL_STEP] = from->step;
        row[PAGE_PANEL_PANEL] = from->panel;
        put(row + PAGE_PANEL_ANCHOR, from->anchor);
        put(row + PAGE_PANEL_NORMAL, from->normal);
        put(row + PAGE_PANEL_PLACE, from->place);
        put(row + PAGE_PANEL_DIRECTION, from->direction);
        put(row + PAGE_PANEL_PARTING, from->parting);
        put(row + PAGE_PANEL_FINGER, from->finger);
        row[PAGE_PANEL_FOLLOWS] = from->follows;
        row[PAGE_PANEL_LINE_FIRST] = from->line_first;
        row[PAGE_PANEL_LINE_COUNT] = from->line_count;
    }
}

static void lay_out_landmarks(page *p) {
    lw_vec3 at[LW_LANDMARK_COUNT];
    double length[LW_LANDMARK_COUNT];
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) at[i] = lw_head_landmark(p->head, (lw_landmark)i);
    lw_cut_at_points(p->cut, LW_LANDMARK_COUNT, at, length);
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) *put(p->landmarks + 4 * (size_t)i, at[i]) = length[i];
}

/* One zero item at least, so that an empty prediction is not taken for lack of memory. */
static double *doubles(int rows, int columns) {
    return calloc(rows > 0 ? (size_t)rows : 1, (size_t)columns * sizeof(double));
}

/* ---- head and scalp, kept while plans say the same of them ---- */

static bool same_numbers(const double *a, const double *b, int n) {
    for (int i = 0; i < n; i++)
        if (a[i] != b[i]) return false;
    return true;
}

static bool same_head(const lw_head_options *a, const lw_head_options *b) {
    return a->kind == b->kind && a->hairline == b->hairline && same_numbers(a->axes, b->axes, 3) &&
           same_numbers(a->measure, b->measure, LW_MEASURE_COUNT);
}

static bool same_whorl(const lw_whorl *a, const lw_whorl *b) {
    return a->right == b->right && a->back == b->back && a->sense == b->sense;
}

static bool same_cowlick(const lw_cowlick *a, const lw_cowlick *b) {
    return a->at.from == b->at.from && a->at.to == b->at.to && a->at.at == b->at.at && a->turn == b->turn &&
           a->radius == b->radius;
}

static bool same_scalp(const lw_scalp_options *a, const lw_scalp_options *b) {
    bool same = a->count == b->count && a->seed == b->seed && a->density == b->density &&
                same_numbers(a->region, b->region, 5) && a->whorl_count == b->whorl_count &&
                a->cowlick_count == b->cowlick_count;
    for (int i = 0; same && i < a->whorl_count; i++) same = same_whorl(&a->whorl[i], &b->whorl[i]);
    for (int i = 0; same && i < a->cowlick_count; i++) same = same_cowlick(&a->cowlick[i], &b->cowlick[i]);
    return same;
}

static lw_status grow(page *p) {
    if (p->head && !same_head(&p->plan.head, &p->head_of)) drop_head(p);
    if (p->scalp && !same_scalp(&p->plan.scalp, &p->scalp_of)) drop_scalp(p);
    p->head_of = p->plan.head;
    p->scalp_of = p->plan.scalp;
    lw_status status = p->head ? LW_OK : lw_head_new(&p->head, &p->plan.head, &p->error);
    if (status == LW_OK && !p->scalp) status = lw_scalp_new(&p->scalp, p->head, &p->plan.scalp, &p->error);
    return status || p->paths ? status : lw_paths_new(&p->paths, p->scalp, &p->error);
}

/* ---- a prediction ---- */

static lw_status prepare(page *p, int hairs, double seed) {
    lw_status status = lw_plan_read(&p->plan, p->text ? p->text : "", p->size, &p->error);
    if (status != LW_OK) return status;
    if (hairs > 0) p->plan.scalp.count = hairs;
    if (seed > 0) p->plan.scalp.seed = (uint64_t)seed;
    return grow(p);
}

static lw_status predict(page *p, int hairs, double seed) {
    lw_status status = prepare(p, hairs, seed);
    if (status != LW_OK) return status;
    lw_cut_options options = lw_cut_default();
    options.threads = 1;
    options.check_later = true;
    options.paths = p->paths;
    if ((status = lw_cut_new(&p->cut, p->head, p->scalp, &p->plan, &options, &p->error)) != LW_OK)
        return status;
    p->roots = doubles(lw_scalp_count(p->scalp), 3);
    p->normals = doubles(lw_scalp_count(p->scalp), 3);
    p->panels = doubles(lw_cut_panel_count(p->cut), PAGE_PANEL_COLUMNS);
    p->landmarks = doubles(LW_LANDMARK_COUNT, 4);
    if (!p->roots || !p->normals || !p->panels || !p->landmarks) return LW_ERROR_MEMORY;
    lay_out_hairs(p);
    lay_out_panels(p);
    lay_out_landmarks(p);
    return LW_OK;
}

/* Adds text to the message, as much as there is room for. */
static void say(page *p, const char *text) {
    size_t used = strlen(p->message), room = sizeof p->message - 1 - used, n = strlen(text);
    if (n > room) n = room;
    memcpy(p->message + used, text, n);
    p->message[used + n] = '\0';
}

static void say_error(page *p) {
    if (p->error.place[0]) {
        say(p, p->error.place);
        say(p, ": ");
    }
    say(p, p->error.message[0] ? p->error.message : "not enough memory");
    if (p->error.remedy[0]) {
        say(p, "; ");
        say(p, p->error.remedy);
    }
}

static void forget_error(page *p) {
    memset(&p->error, 0, sizeof p->error);
    p->message[0] = '\0';
}

static int begin(page *p, int hairs, double seed, lw_status (*work)(page *p, int hairs, double seed)) {
    page_drop(p);
    forget_error(p);
    lw_status status = work(p, hairs, seed);
    if (status != LW_OK) {
        say_error(p);
        page_drop(p);
    }
    return status;
}

static lw_status give(page *p, int hairs, double seed) {
    lw_status status = prepare(p, hairs, seed);
    if (status != LW_OK) return status;
    p->given = doubles(lw_scalp_count(p->scalp), 1);
    return p->given ? LW_OK : LW_ERROR_MEMORY;
}

int page_predict(page *p, int hairs, double seed) { return begin(p, hairs, seed, predict); }
int page_give(page *p, int hairs, double seed) { return begin(p, hairs, seed, give); }
double *page_given(const page *p) { return p->given; }

/* ---- the fall ---- */

/* By root; NULL where there is none. */
static const double *page_hair(const page *p) { return p->cut ? lw_cut_lengths(p->cut) : p->given; }

void page_fall_lift(page *p) {
    lw_fall_free(p->fall);
    p->fall = NULL;
}

bool page_progress(void *context, double share) {
    (void)context, (void)share;
#ifdef __wasm__
    return page_goes_on() != 0;
#else
    return true;
#endif
}

static lw_status let_fall(page *p, int nodes, int packings, int parts) {
    if (!page_hair(p)) {
        const char message[] = "no plan has been carried out", remedy[] = "predict one first";
        p->error.status = LW_ERROR_ARGUMENT;
        memcpy(p->error.message, message, sizeof message);
        memcpy(p->error.remedy, remedy, sizeof remedy);
        return LW_ERROR_ARGUMENT;
    }
    lw_fall_options options = lw_fall_default();
    options.nodes = nodes;
    options.packings = packings;
    options.parts = parts;
    options.threads = 1;
    options.goes_on = true;
    options.progress = page_progress;
    bool on = p->fall && page_fall_nodes(p) == nodes;
    lw_fall *fall = p->fall;
    lw_status status = on ? lw_fall_again(fall, page_hair(p), &p->plan, &options, &p->error)
                          : lw_fall_new(&fall, p->scalp, page_hair(p), &p->plan, &options, &p->error);
    if (status != LW_OK) return status;
    if (!on) page_fall_lift(p);
    p->fall = fall;
    p->went_on = on;
    return LW_OK;
}

int page_fall(page *p, int nodes, int packings, int parts) {
    forget_error(p);
    lw_status status = let_fall(p, nodes, packings, parts);
    if (status != LW_OK) say_error(p);
    return status;
}

static lw_fall_report report(const page *p) { return p->fall ? lw_fall_tell(p->fall) : (lw_fall_report){0}; }

int page_fall_hairs(const page *p) { return p->fall ? lw_fall_strands(p->fall)->count : 0; }
int page_fall_nodes(const page *p) { return p->fall ? lw_fall_strands(p->fall)->nodes : 0; }
const double *page_fall_at(const page *p) { return p->fall ? &lw_fall_strands(p->fall)->at->x : NULL; }
int page_fall_went_on(const page *p) { return p->fall && p->went_on; }
int page_fall_not_at_rest(const page *p) { return report(p).not_at_rest; }
double page_fall_rounds(const page *p) { return (double)report(p).rounds; }
int page_fall_left(const page *p) { return report(p).left; }

/* ---- what came of it ---- */

const char *page_error(const page *p) { return p->message; }
int page_error_line(const page *p) { return p->error.line; }
int page_error_column(const page *p) { return p->error.column; }

int page_hairs(const page *p) { return p->cut || p->given ? lw_scalp_count(p->scalp) : 0; }
const double *page_roots(const page *p) { return p->roots; }
const double *page_normals(const page *p) { return p->normals; }
const double *page_lengths(const page *p) { return p->cut ? lw_cut_lengths(p->cut) : NULL; }
const double *page_before(const page *p) { return p->cut ? lw_cut_before(p->cut) : NULL; }
const int16_t *page_sections(const page *p) { return p->cut ? lw_cut_sections(p->cut) : NULL; }
const int32_t *page_set_by(const page *p) { return p->cut ? lw_cut_set_by(p->cut) : NULL; }

int page_section_count(const page *p) { return p->cut ? lw_cut_section_count(p->cut) : 0; }
const char *page_section_name(const page *p, int i) {
    return i >= 0 && i < page_section_count(p) ? lw_cut_section(p->cut, i)->name : "";
}

int page_panel_count(const page *p) { return p->cut ? lw_cut_panel_count(p->cut) : 0; }
int page_panel_columns(void) { return PAGE_PANEL_COLUMNS; }
const double *page_panels(const page *p) { return p->panels; }
const double *page_lines(const page *p) { return p->cut ? &lw_cut_lines(p->cut)->s : NULL; }

int page_landmark_count(void) { return LW_LANDMARK_COUNT; }
const char *page_landmark_name(int i) {
    return i >= 0 && i < LW_LANDMARK_COUNT ? lw_landmark_name((lw_landmark)i) : "";
}
const double *page_landmarks(const page *p) { return p->landmarks; }

int page_warning_count(page *p) {
    if (!p->cut) return 0;
    forget_error(p);
    if (lw_cut_check(p->cut, &p->error) == LW_OK) return lw_cut_warning_count(p->cut);
    say_error(p);
    return -1;
}

static const lw_warning *warning(const page *p, int i) {
    return p->cut && i >= 0 && i < lw_cut_warning_count(p->cut) ? lw_cut_warning(p->cut, i) : NULL;
}

const char *page_warning(const page *p, int i) {
    const lw_warning *w = warning(p, i);
    return w ? w->message : "";
}

const char *page_warning_remedy(const page *p, int i) {
    const lw_warning *w = warning(p, i);
    return w ? w->remedy : "";
}

int page_warning_step(const page *p, int i) {
    const lw_warning *w = warning(p, i);
    return w ? w->step : 0;
}

int page_warning_panel(const page *p, int i) {
    const lw_warning *w = warning(p, i);
    return w ? w->panel : 0;
}
