/* What no single field shows: whether the names in a plan belong together.
 *
 * Splits make a tree of parts out of "all": each divides a part that exists and is still whole, into two new
 * names. Steps work on parts of that tree and take guides from steps before them only, so guides cannot run
 * in a circle. A mirrored split becomes two here, so that nobody further on has to know.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "read.h"
#include "text.h"

/* ---- parts -------------------------------------------------------------------------------- */

typedef struct parts {
    const lw_split *splits;
    int count;
} parts;

static bool part_exists(const parts *p, const char *name) {
    if (!strcmp(name, "all")) return true;
    for (int i = 0; i < p->count; i++)
        if (!strcmp(name, p->splits[i].first) || !strcmp(name, p->splits[i].second)) return true;
    return false;
}

/* "Did you mean ...", or the parts there are. */
static void suggest_part(const parts *p, const char *name, char *out, size_t room) {
    const char *best = NULL;
    int least = WORD_FAR;
    word_nearer(name, "all", &best, &least);
    for (int i = 0; i < p->count; i++) {
        word_nearer(name, p->splits[i].first, &best, &least);
        word_nearer(name, p->splits[i].second, &best, &least);
    }
    char quoted[LW_NAME_MAX + 2];
    if (best) {
        snprintf(out, room, "Did you mean %s?", plan_quote(quoted, sizeof quoted, best));
        return;
    }
    size_t n = (size_t)snprintf(out, room, "The parts there are: \"all\"");
    for (int i = 0; i < 2 * p->count && n + LW_NAME_MAX + 8 < room; i++) {
        const lw_split *s = &p->splits[i / 2];
        n += (size_t)snprintf(out + n, room - n, ", %s",
                              plan_quote(quoted, PLAN_SHOWN, i % 2 ? s->second : s->first));
    }
    snprintf(out + n, room - n, ".");
}

/* ---- mirrors ------------------------------------------------------------------------------ */

static bool letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

static bool whole_word(const char *start, const char *at, const char *lower) {
    size_t n = strlen(lower);
    return !strncmp(at, lower, n) && !letter(at[n]) && (at == start || !letter(at[-1]));
}

/* The name with "left" and "right" exchanged; false where it holds neither or the other does not fit. */
static bool mirror_name(char out[LW_NAME_MAX], const char *name) {
    size_t n = 0;
    bool changed = false;
    for (const char *c = name; *c;) {
        bool left = whole_word(name, c, "left"), right = whole_word(name, c, "right");
        const char *put = left ? "right" : "left";
        size_t size = left || right ? strlen(put) : 1;
        if (n + size >= LW_NAME_MAX) return false;
        memcpy(out + n, left || right ? put : c, size);
        n += size;
        c += left ? 4 : right ? 5 : 1;
        changed = changed || left || right;
    }
    out[n] = 0;
    return changed;
}

static void mirror_place(lw_place *p) {
    if (p->from >= 0) p->from = (int)lw_landmark_mirror((lw_landmark)p->from);
    if (p->to >= 0) p->to = (int)lw_landmark_mirror((lw_landmark)p->to);
}

static bool mirror_split(lw_split *out, const lw_split *s) {
    bool swapped = s->parting.kind == LW_PARTING_CENTRE; /* the left part's twin is the right part */
    *out = *s;
    if (!mirror_name(out->part, s->part) || !mirror_name(out->first, swapped ? s->second : s->first) ||
        !mirror_name(out->second, swapped ? s->first : s->second))
        return false;
    if (swapped) out->parting.offset = -s->parting.offset;
    for (int i = 0; i < out->parting.count; i++) mirror_place(&out->parting.places[i]);
    mirror_place(&out->parting.toward);
    return true;
}

/* ---- splits ------------------------------------------------------------------------------- */

static bool split_fault(reader *r, int i, const char *key, const char *remedy, const char *message) {
    char place[LW_NAME_MAX];
    snprintf(place, sizeof place, "sections[%d].%s", i, key);
    return plan_fault(r, plan_token(r, "sections", i, NULL, key), place, LW_ERROR_PLAN, remedy, "%s",
                      message);
}

static bool check_part(reader *r, const parts *p, const draft *d, int i, const char *part) {
    char message[200], remedy[384], quoted[PLAN_SHOWN];
    plan_quote(quoted, sizeof quoted, part);
    for (int k = 0; k < p->count; k++)
        if (!strcmp(part, p->splits[k].part)) {
            snprintf(message, sizeof message, "the part %s is already divided on line %d", quoted,
                     p->splits[k].line);
            return split_fault(r, i, "split", "Divide one of the two parts that it was divided into.",
                               message);
        }
    if (part_exists(p, part)) return true;
    for (int k = i; k < d->split_count; k++)
        if (!strcmp(part, d->splits[k].split.first) || !strcmp(part, d->splits[k].split.second)) {
            snprintf(message, sizeof message,
                     k == i ? "the part %s is divided into itself" : "the part %s is made only further down",
                     quoted);
            return split_fault(r, i, "split",
                               k == i ? "Give the two parts names of their own."
                                      : "Put this entry after the one that makes it.",
                               message);
        }
    snprintf(message, sizeof message, "there is no part %s", quoted);
    suggest_part(p, part, remedy, sizeof remedy);
    return split_fault(r, i, "split", remedy, message);
}

static bool check_names(reader *r, const parts *p, int i, const lw_split *s) {
    char message[200], quoted[PLAN_SHOWN];
    const char *names[2] = {s->first, s->second};
    for (int k = 0; k < 2; k++) {
        bool twice = part_exists(p, names[k]) || (k == 1 && !strcmp(names[0], names[1]));
        if (!twice) continue;
        snprintf(message, sizeof message, "there is already a part %s",
                 plan_quote(quoted, sizeof quoted, names[k]));
        return split_fault(r, i, "into", "Give each part a name of its own.", message);
    }
    return true;
}

static bool add_split(reader *r, parts *p, draft *d, int i, const lw_split *s) {
    if (!check_part(r, p, d, i, s->part) || !check_names(r, p, i, s)) return false;
    if (p->count == LW_SPLITS_MAX) {
        split_fault(r, i, "split", "Use fewer partings.",
                    "with its mirrored partings the plan has more than 128");
        r->error->status = LW_ERROR_LIMIT;
        return false;
    }
    d->plan.splits[p->count++] = *s;
    d->plan.split_count = p->count;
    return true;
}

static bool check_splits(reader *r, draft *d, parts *p) {
    if (d->split_count == 0) return true;
    d->plan.splits = calloc(LW_SPLITS_MAX, sizeof *d->plan.splits);
    if (!d->plan.splits)
        return plan_fault(r, 0, "", LW_ERROR_MEMORY, "Close something and try again.",
                          "there is not enough memory to read the plan");
    p->splits = d->plan.splits;
    for (int i = 0; i < d->split_count; i++) {
        lw_split *s = &d->splits[i].split, twin;
        if (s->parting.kind == LW_PARTING_LEVEL || s->parting.kind == LW_PARTING_UPRIGHT)
            s->parting.count = 1;
        if (!add_split(r, p, d, i, s)) return false;
        if (!d->splits[i].mirror) continue;
        if (!mirror_split(&twin, s))
            return split_fault(
                r, i, "mirror",
                "Name them like \"left side\", \"left top\" and \"left bottom\", or take \"mirror\" away.",
                "to be mirrored, a part and both its parts must hold the word left or right");
        if (!add_split(r, p, d, i, &twin)) return false;
    }
    return true;
}

/* ---- steps -------------------------------------------------------------------------------- */

static bool step_fault(reader *r, int i, const char *object, const char *key, const char *remedy,
                       const char *message) {
    char place[LW_NAME_MAX];
    snprintf(place, sizeof place, "steps[%d]%s%s.%s", i, object ? "." : "", object ? object : "", key);
    return plan_fault(r, plan_token(r, "steps", i, object ? object : key, object ? key : NULL), place,
                      LW_ERROR_PLAN, remedy, "%s", message);
}

static bool check_step_name(reader *r, const lw_plan *plan, int i) {
    char message[200], quoted[PLAN_SHOWN];
    for (int k = 0; k < i; k++)
        if (!strcmp(plan->steps[k].name, plan->steps[i].name)) {
            snprintf(message, sizeof message, "the step on line %d is already called %s",
                     plan->steps[k].source_line, plan_quote(quoted, sizeof quoted, plan->steps[i].name));
            return step_fault(r, i, NULL, "name", "Give each step a name of its own.", message);
        }
    return true;
}

static bool check_step_part(reader *r, const parts *p, int i, const char *key, const char *part) {
    char message[200], remedy[384], quoted[PLAN_SHOWN];
    if (part_exists(p, part)) return true;
    snprintf(message, sizeof message, "there is no section %s", plan_quote(quoted, sizeof quoted, part));
    suggest_part(p, part, remedy, sizeof remedy);
    return step_fault(r, i, NULL, key, remedy, message);
}

static bool check_mirror(reader *r, const parts *p, int i, const lw_step *s) {
    if (!s->mirror[0]) return true;
    if (!strcmp(s->mirror, s->section))
        return step_fault(r, i, NULL, "mirror", "Name the part on the other side, or take \"mirror\" away.",
                          "a section cannot be its own mirror image");
    return check_step_part(r, p, i, "mirror", s->mirror);
}

static bool check_guide_step(reader *r, const lw_plan *plan, int i) {
    char message[200], remedy[384], quoted[PLAN_SHOWN];
    const char *name = plan->steps[i].guide.step, *best = NULL;
    int least = WORD_FAR;
    if (!name[0]) return true;
    plan_quote(quoted, sizeof quoted, name);
    for (int k = 0; k < i; k++) {
        if (!strcmp(name, plan->steps[k].name)) return true;
        word_nearer(name, plan->steps[k].name, &best, &least);
    }
    for (int k = i; k < plan->step_count; k++)
        if (!strcmp(name, plan->steps[k].name)) {
            snprintf(message, sizeof message,
                     k == i ? "the step takes its guide from itself" : "the step %s comes later, on line %d",
                     quoted, plan->steps[k].source_line);
            return step_fault(r, i, "guide", "step",
                              "A guide is hair that was already cut: name an earlier step, or give a length.",
                              message);
        }
    snprintf(message, sizeof message, "there is no earlier step %s", quoted);
    if (best)
        snprintf(remedy, sizeof remedy, "Did you mean %s?", plan_quote(quoted, sizeof quoted, best));
    else
        snprintf(remedy, sizeof remedy,
                 "Name an earlier step, or give a length, such as \"guide\": {\"length\": 12}.");
    return step_fault(r, i, "guide", "step", remedy, message);
}

static bool check_guide(reader *r, const lw_plan *plan, int i) {
    const lw_step *s = &plan->steps[i];
    bool free_of_guide = s->technique.kind == LW_OVER_COMB || s->technique.kind == LW_CLIPPER;
    if (free_of_guide || s->guide.length > 0 || s->guide.step[0]) return check_guide_step(r, plan, i);
    return step_fault(r, i, NULL, "guide",
                      "Write, for example, \"guide\": {\"kind\": \"travelling\", \"length\": 12}.",
                      "the step has no \"guide\", so nothing sets its length");
}

static bool check_carry(reader *r, int i, const lw_step *s) {
    if (s->hold.target == LW_TOWARD_PREVIOUS || s->hold.carry <= 1) return true;
    return step_fault(r, i, "hold", "carry", "Write \"whole\" to take it all the way.",
                      "toward a panel or a place hair can be carried at most all the way, which is 1");
}

static bool check_steps(reader *r, lw_plan *plan, const parts *p) {
    for (int i = 0; i < plan->step_count; i++)
        if (!plan->steps[i].name[0]) snprintf(plan->steps[i].name, LW_NAME_MAX, "step %d", i + 1);
    for (int i = 0; i < plan->step_count; i++) {
        const lw_step *s = &plan->steps[i];
        if (!check_step_name(r, plan, i) || !check_step_part(r, p, i, "section", s->section) ||
            !check_mirror(r, p, i, s) || !check_carry(r, i, s) || !check_guide(r, plan, i))
            return false;
    }
    return true;
}

bool plan_check(reader *r, draft *d) {
    parts p = {0};
    if (d->plan.head.kind == LW_HEAD_SPHERE)
        d->plan.head.axes[1] = d->plan.head.axes[2] = d->plan.head.axes[0];
    return check_splits(r, d, &p) && check_steps(r, &d->plan, &p);
}
