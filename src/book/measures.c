/* A person's measures: that part of a plan file which belongs to the person and not to the cut.
 *
 * They are kept as text, so that "34 1/2" stays what was written and every field the plan file gains is there at once;
 * what they mean is the plan reader's to say, which reads them inside a plan that has nothing else.
 */
#include "book.h"

#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "scan.h"
#include "grown.h"

static const char heading[] = "{\"format\": \"lengthwise plan\", \"version\": 1, \"steps\": [], ";
static const char *const parts[] = {"head", "hair", "worn"};
enum { PART_COUNT = 3, UNITS = PART_COUNT };

typedef struct slice {
    const char *at; /* NULL: not there */
    size_t size;
} slice;

/* The members of an object that are one of `parts` or units; anything else is stepped over, or, where `alone`, a
 * fault. */
static bool members(slice found[PART_COUNT + 1], const char *json, size_t size, bool alone, lw_error *error) {
    scan s = scan_begin(json, size, error);
    memset(found, 0, (PART_COUNT + 1) * sizeof *found);
    for (bool first = scan_open(&s, '{'); scan_more(&s, '}', &first);) {
        char key[LW_NAME_MAX];
        slice value;
        size_t at = scan_here(&s);
        if (!scan_key(&s, key, sizeof key) || !scan_value(&s, &value.at, &value.size)) return false;
        int part = 0;
        while (part < PART_COUNT && strcmp(key, parts[part]) != 0) part++;
        if (part == PART_COUNT && strcmp(key, "units") != 0) {
            s.at = at;
            if (alone)
                return scan_fault(&s, LW_ERROR_PLAN, "measures hold \"units\", \"head\", \"hair\" and \"worn\" only",
                                  "Take this away, or keep it as a plan.");
            s.at = (size_t)(value.at - json) + value.size;
            continue;
        }
        found[part] = value;
    }
    return scan_end(&s);
}

/* Reads measures as a plan with nothing else. Faults stand where they are in the measures. */
static lw_status read_alone(lw_plan *plan, const char *measures, lw_error *error) {
    slice found[PART_COUNT + 1];
    grown whole = {0};
    size_t size = strlen(measures);
    *plan = (lw_plan){0};
    if (size >= BOOK_MEASURES_MAX)
        return fail(error, LW_ERROR_LIMIT, "measures", "Is it the right text?", "the measures are too long");
    if (!members(found, measures, size, true, error)) return error->status;
    const char *brace = strchr(measures, '{');
    bool empty = brace[1 + strspn(brace + 1, " \t\r\n")] == '}';
    grown_add(&whole, heading, sizeof heading - 1 - (empty ? 2 : 0));
    grown_add(&whole, brace + 1, strlen(brace + 1));
    if (whole.failed) {
        free(whole.at);
        return fail_memory(error, "measures");
    }
    lw_status status = lw_plan_read(plan, whole.at, whole.size, error);
    int line, column;
    scan_where(measures, (size_t)(brace - measures), &line, &column);
    if (status && error->line == 1) error->column += column - (int)(sizeof heading - 1) + 1;
    if (status && error->column < 1) error->column = 1;
    if (status && error->line > 0) error->line += line - 1;
    free(whole.at);
    return status;
}

lw_status book_measures_check(const char *measures, lw_error *error) {
    lw_plan plan;
    lw_error unseen;
    lw_status status = read_alone(&plan, measures, error ? error : &unseen);
    lw_plan_clear(&plan);
    return status;
}

lw_status book_measures_of(char **out, const char *plan, size_t size, lw_error *error) {
    slice found[PART_COUNT + 1];
    lw_error unseen;
    lw_plan read;
    *out = NULL;
    lw_status status = lw_plan_read(&read, plan, size, error);
    if (status) return status;
    lw_plan_clear(&read);
    if (!error) error = &unseen;
    if (!members(found, plan, size, false, error)) return error->status;
    grown t = {0};
    grown_add(&t, "{\"units\": ", 10);
    grown_add(&t, found[UNITS].at, found[UNITS].size);
    for (int i = 0; i < PART_COUNT; i++) {
        if (!found[i].at) continue;
        grown_addf(&t, ", \"%s\": ", parts[i]);
        grown_add(&t, found[i].at, found[i].size);
    }
    grown_add(&t, "}", 1);
    return grown_end(&t, out, NULL, error);
}

/* ---- changing objects --------------------------------------------------------------------- */

/* Adds the object with one member set, in its own place or, where it has none of that key, at the end. */
static bool with_member(grown *t, slice object, const char *key, slice value, lw_error *error) {
    scan s = scan_begin(object.at, object.size, error);
    bool any = false;
    for (bool first = scan_open(&s, '{'); scan_more(&s, '}', &first); any = true) {
        char found[LW_NAME_MAX];
        slice old;
        if (!scan_key(&s, found, sizeof found) || !scan_value(&s, &old.at, &old.size)) return false;
        if (strcmp(found, key) != 0) continue;
        const char *after = old.at + old.size;
        grown_add(t, object.at, (size_t)(old.at - object.at));
        grown_add(t, value.at, value.size);
        grown_add(t, after, object.size - (size_t)(after - object.at));
        return true;
    }
    if (error->status) return false;
    size_t last = s.at - 1; /* the closing brace, and white space before it */
    while (last > 0 && strchr(" \t\r\n", object.at[last - 1])) last--;
    grown_add(t, object.at, last);
    grown_addf(t, "%s\"%s\": ", any ? ", " : "", key);
    grown_add(t, value.at, value.size);
    grown_add(t, object.at + last, object.size - last);
    return true;
}

lw_status book_measures_set(char **out, const char *measures, lw_units units, lw_measure measure, double metres,
                            lw_error *error) {
    static const char cm[] = "{\"units\": \"cm\"}", inches[] = "{\"units\": \"in\"}";
    slice found[PART_COUNT + 1];
    lw_error unseen;
    lw_plan plan;
    grown inner = {0}, outer = {0};
    *out = NULL;
    if (!error) error = &unseen;
    if (!measures) measures = units == LW_INCH ? inches : cm;
    bool hair = measure == LW_MEASURE_COUNT;
    if (!(metres > 0) || (!hair && (measure < 0 || measure >= LW_MEASURE_INPUTS)))
        return fail(error, LW_ERROR_ARGUMENT, "measure", "Give one that a plan takes, in metres above 0.",
                    "no such measure");
    lw_status status = read_alone(&plan, measures, error);
    if (status) return status;
    double unit = plan.units == LW_INCH ? 0.0254 : 0.01;
    lw_plan_clear(&plan);
    members(found, measures, strlen(measures), true, error);
    char number[32];
    snprintf(number, sizeof number, "%.7g", metres / unit);
    slice part = found[hair ? 1 : 0].at ? found[hair ? 1 : 0] : (slice){"{}", 2};
    bool made = with_member(&inner, part, hair ? "length" : lw_measure_name(measure),
                            (slice){number, strlen(number)}, error) &&
                !inner.failed &&
                with_member(&outer, (slice){measures, strlen(measures)}, parts[hair ? 1 : 0],
                            (slice){inner.at, inner.size}, error);
    if (!made && !inner.failed) {
        free(inner.at);
        free(outer.at);
        return error->status;
    }
    outer.failed |= inner.failed;
    free(inner.at);
    status = grown_end(&outer, out, NULL, error);
    if (!status) status = book_measures_check(*out, error);
    if (status) {
        free(*out);
        *out = NULL;
    }
    return status;
}

lw_status book_measures_into(char **out, const char *plan, size_t size, const char *measures, lw_error *error) {
    slice found[PART_COUNT + 1];
    lw_error unseen;
    lw_plan cut, person;
    *out = NULL;
    if (!error) error = &unseen;
    lw_status status = lw_plan_read(&cut, plan, size, error);
    if (status) return status;
    status = read_alone(&person, measures, error);
    lw_units units = cut.units;
    bool same = !status && person.units == units;
    lw_plan_clear(&cut);
    lw_plan_clear(&person);
    if (status) return status;
    if (!same)
        return fail(error, LW_ERROR_ARGUMENT, "units",
                    units == LW_INCH ? "Note the measures again in inches, or write the plan in cm."
                                     : "Note the measures again in cm, or write the plan in inches.",
                    units == LW_INCH ? "the measures are in cm, the plan is in inches"
                                     : "the measures are in inches, the plan is in cm");
    if (!members(found, measures, strlen(measures), true, error)) return error->status;
    grown t = {0};
    grown_add(&t, plan, size);
    for (int i = 0; i < PART_COUNT && !t.failed; i++) {
        grown next = {0};
        if (!found[i].at) continue;
        if (!with_member(&next, (slice){t.at, t.size}, parts[i], found[i], error)) {
            free(next.at);
            free(t.at);
            return error->status;
        }
        free(t.at);
        t = next;
    }
    return grown_end(&t, out, NULL, error);
}
