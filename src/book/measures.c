/* A person's measures: that part of a plan file which belongs to the person and not to the cut.
 *
 * They are kept as text, so that "34 1/2" stays what was written and every field the plan file gains is there
 * at once; what they mean is the plan reader's to say, which reads them inside a plan that has nothing else.
 */
#include "book.h"

#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "grown.h"
#include "scan.h"

static const char heading[] = "{\"format\": \"lengthwise plan\", \"version\": 1, \"steps\": [], ";
static const char *const parts[] = {"head", "hair", "worn"};
enum { PART_COUNT = 3, UNITS = PART_COUNT };

typedef struct slice {
    const char *at; /* NULL: not there */
    size_t size;
} slice;

/* The members of an object that are one of `parts` or units; anything else is stepped over, or, where
 * `alone`, a fault. */
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
                return scan_fault(&s, LW_ERROR_PLAN,
                                  "measures hold \"units\", \"head\", \"hair\" and \"worn\" only",
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

/* Measures with one member of one of their parts set; nothing of a plan but that they can be read is known of
 * it. */
static lw_status set(char **out, const char *measures, int part, const char *key, const char *value,
                     lw_error *error) {
    slice found[PART_COUNT + 1];
    grown inner = {0}, outer = {0};
    if (!members(found, measures, strlen(measures), true, error)) return error->status;
    slice old = found[part].at ? found[part] : (slice){"{}", 2};
    bool made = with_member(&inner, old, key, (slice){value, strlen(value)}, error);
    if (made && !inner.failed)
        made = with_member(&outer, (slice){measures, strlen(measures)}, parts[part],
                           (slice){inner.at, inner.size}, error);
    outer.failed |= inner.failed;
    free(inner.at);
    if (!made) {
        free(outer.at);
        return error->status;
    }
    lw_status status = grown_end(&outer, out, NULL, error);
    if (!status) status = book_measures_check(*out, error);
    if (status) {
        free(*out);
        *out = NULL;
    }
    return status;
}

/* None at all, as measures. */
static const char *or_none(const char *measures, lw_units units) {
    return measures ? measures : units == LW_INCH ? "{\"units\": \"in\"}" : "{\"units\": \"cm\"}";
}

lw_status book_measures_set(char **out, const char *measures, lw_units units, lw_measure measure,
                            double metres, lw_error *error) {
    lw_error unseen;
    lw_plan plan;
    char number[32];
    *out = NULL;
    if (!error) error = &unseen;
    bool hair = measure == LW_MEASURE_COUNT;
    if (!(metres > 0) || (!hair && (measure < 0 || measure >= LW_MEASURE_INPUTS)))
        return fail(error, LW_ERROR_ARGUMENT, "measure", "Give one that a plan takes, in metres above 0.",
                    "no such measure");
    measures = or_none(measures, units);
    lw_status status = read_alone(&plan, measures, error);
    if (status) return status;
    snprintf(number, sizeof number, "%.7g", metres / (plan.units == LW_INCH ? 0.0254 : 0.01));
    lw_plan_clear(&plan);
    return set(out, measures, hair ? 1 : 0, hair ? "length" : lw_measure_name(measure), number, error);
}

lw_status book_measures_word(char **out, const char *measures, lw_units units, const char *key,
                             const char *word, lw_error *error) {
    lw_error unseen;
    grown quoted = {0};
    char *value;
    *out = NULL;
    if (!error) error = &unseen;
    grown_quoted(&quoted, word);
    lw_status status = grown_end(&quoted, &value, NULL, error);
    if (status) return status;
    status = set(out, or_none(measures, units), 0, key, value, error);
    free(value);
    return status;
}

/* Puts a member into the object that t holds. */
static bool put_member(grown *t, const char *key, slice value, lw_error *error) {
    grown next = {0};
    if (t->failed) return true;
    bool put = with_member(&next, (slice){t->at, t->size}, key, value, error);
    free(t->at);
    *t = next;
    return put;
}

static lw_status same_units(const char *plan, size_t size, const char *measures, lw_error *error) {
    lw_plan cut, person;
    lw_status status = lw_plan_read(&cut, plan, size, error);
    if (status) return status;
    lw_units units = cut.units;
    lw_plan_clear(&cut);
    if (!measures) return LW_OK;
    status = read_alone(&person, measures, error);
    bool same = !status && person.units == units;
    lw_plan_clear(&person);
    if (status || same) return status;
    return fail(error, LW_ERROR_ARGUMENT, "units",
                units == LW_INCH ? "Note the measures again in inches, or write the plan in cm."
                                 : "Note the measures again in cm, or write the plan in inches.",
                units == LW_INCH ? "the measures are in cm, the plan is in inches"
                                 : "the measures are in inches, the plan is in cm");
}

lw_status book_measures_into(char **out, const char *plan, size_t size, const char *measures,
                             const char *name, lw_error *error) {
    slice found[PART_COUNT + 1] = {{0}};
    lw_error unseen;
    grown t = {0}, quoted = {0};
    *out = NULL;
    if (!error) error = &unseen;
    lw_status status = same_units(plan, size, measures, error);
    if (status) return status;
    bool put = !measures || members(found, measures, strlen(measures), true, error);
    grown_add(&t, plan, size);
    if (put && name) {
        grown_quoted(&quoted, name);
        t.failed |= quoted.failed;
        put = put_member(&t, "person", (slice){quoted.at, quoted.size}, error);
        free(quoted.at);
    }
    for (int i = 0; i < PART_COUNT && put; i++)
        if (found[i].at) put = put_member(&t, parts[i], found[i], error);
    if (put) return grown_end(&t, out, NULL, error);
    free(t.at);
    return error->status;
}
