/* What a step leaves, read from the lengths that it alone set. */
#include "saying.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* The least difference that is worth telling: 4 mm, or 6 % of the length. Ours, as for plan shapes. */
static double telling(double length) { return fmax(4e-3, 0.06 * length); }

/* The step that sets the hair nearest to p; 0 none. */
static int step_at(const tell_subject *of, lw_vec3 p) {
    int best = -1;
    double nearest = INFINITY;
    for (int i = 0; i < lw_scalp_count(of->scalp); i++) {
        lw_vec3 r = lw_scalp_root(of->scalp, i);
        double x = r.x - p.x, y = r.y - p.y, z = r.z - p.z, d = x * x + y * y + z * z;
        if (d < nearest) nearest = d, best = i;
    }
    int panel = best < 0 ? -1 : lw_cut_set_by(of->cut)[best];
    return panel < 0 ? 0 : lw_cut_panel(of->cut, panel)->step;
}

static int by_length(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* 5th and 95th percentile of the lengths that a step sets; false where it sets none or memory runs out. */
static bool spread(const tell_subject *of, int step, double *low, double *high) {
    int all = lw_scalp_count(of->scalp), n = 0;
    double *lengths = malloc((size_t)all * sizeof *lengths);
    for (int i = 0; lengths && i < all; i++) {
        int panel = lw_cut_set_by(of->cut)[i];
        if (panel >= 0 && lw_cut_panel(of->cut, panel)->step == step)
            lengths[n++] = lw_cut_lengths(of->cut)[i];
    }
    if (n) {
        qsort(lengths, (size_t)n, sizeof *lengths, by_length);
        *low = lengths[(int)(0.05 * (n - 1))];
        *high = lengths[(int)(0.95 * (n - 1))];
    }
    free(lengths);
    return n > 0;
}

typedef struct leaves {
    int shortest, longest; /* landmarks; -1 none */
    bool has[LW_LANDMARK_COUNT];
} leaves;

static leaves find_leaves(const tell_subject *of, int step) {
    leaves l = {.shortest = -1, .longest = -1};
    const double *length = of->reading->landmark;
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        lw_vec3 at = lw_head_landmark(of->head, (lw_landmark)i);
        if (!isfinite(length[i]) || lw_cut_panel_at(of->cut, step, at) < 0) continue;
        l.has[i] = step_at(of, at) == step;
        if (!l.has[i]) continue;
        if (l.shortest < 0 || length[i] < length[l.shortest] - 1e-4) l.shortest = i;
        if (l.longest < 0 || length[i] > length[l.longest] + 1e-4) l.longest = i;
    }
    return l;
}

/* "3.2 cm at the nape corners": both of a pair where both are the step's and as long as each other. */
static void length_at(saying *s, const tell_subject *of, const leaves *l, int id) {
    char at[64];
    const double *length_there = of->reading->landmark;
    int other = (int)lw_landmark_mirror((lw_landmark)id);
    bool both = l->has[other] && fabs(length_there[id] - length_there[other]) < 5e-4;
    say_metres(s, length_there[id]);
    say_landmark(at, sizeof at, (lw_landmark)id, both);
    say_words(s, " at %s", at);
}

static bool cuts_something(const tell_subject *of, int step) {
    for (int i = 0; i < lw_cut_panel_count(of->cut); i++) {
        const lw_panel *p = lw_cut_panel(of->cut, i);
        if (p->step == step && p->cut > 0) return true;
    }
    return false;
}

static void say_curl(saying *s, const lw_hair *hair) {
    char text[32];
    if (!(hair->coil_diameter > 0)) return;
    snprintf(text, sizeof text, "%.0f", 100 * lw_hair_lies(hair, 1));
    say_words(s, " That is drawn straight; where the curl lies it measures ");
    say_number(s, NULL, text, " %");
    say_words(s, " of it.");
}

void say_result(char out[SAY_MAX], const tell_subject *of, int step, say_form form, int *gap) {
    saying s = say_begin(out, SAY_MAX, of->plan->units, form, gap);
    double low, high;
    if (!spread(of, step, &low, &high)) {
        if (cuts_something(of, step)) say_words(&s, "What it leaves is cut again by later steps.");
        return;
    }
    leaves l = find_leaves(of, step);
    const double *at = of->reading->landmark;
    bool two = l.shortest >= 0 && at[l.longest] - at[l.shortest] > telling(at[l.shortest]);
    say_words(&s, "It leaves ");
    if (high - low <= telling(low) && !two) {
        say_words(&s, "about ");
        say_metres(&s, (low + high) / 2);
        say_words(&s, " everywhere");
    } else if (two) {
        double rise = lw_head_landmark(of->head, (lw_landmark)l.longest).y -
                      lw_head_landmark(of->head, (lw_landmark)l.shortest).y;
        length_at(&s, of, &l, l.shortest);
        say_words(&s, rise > 0.01    ? ", rising to "
                      : rise < -0.01 ? ", lengthening down to "
                                     : ", growing to ");
        length_at(&s, of, &l, l.longest);
    } else {
        say_words(&s, "lengths from ");
        say_metres(&s, low);
        say_words(&s, " to ");
        say_metres(&s, high);
    }
    say_words(&s, ".");
    say_curl(&s, &of->plan->hair);
    say_end(&s, gap);
}
