/* Plans: keeping a file, its revisions, and taking one out again. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book_use.h"
#include "files.h"
#include "text.h"

/* What a plan that is already there brings along: its newest revision and tags, unless they are given. */
static int follow(book *b, book_plan *wanted, const value *given) {
    book_plan newest;
    lw_error error = {0};
    if (book_plan_get(&newest, b, wanted->id, 0, &error) != LW_OK) return book_refused(b, &error);
    wanted->revision = given[BOOK_REVISION].given ? (int64_t)given[BOOK_REVISION].whole : newest.revision;
    if (!given[BOOK_TAGS].given) memcpy(wanted->tags, newest.tags, sizeof wanted->tags);
    book_plan_clear(&newest);
    return EXIT_FINE;
}

static int conflict(const book *b, const book_plan *there, const lw_error *error) {
    book_refused(b, error);
    fprintf(stderr, "  To see it: lengthwise book take %lld --revision %lld\n", (long long)there->id,
            (long long)there->revision);
    return EXIT_INPUT;
}

static int put(book *b, const book_plan *wanted, const char *path) {
    book_plan kept;
    lw_error error = {0};
    int code = EXIT_FINE;
    lw_status status = book_plan_put(&kept, b, wanted, &error);
    if ((int)status == BOOK_CONFLICT)
        code = conflict(b, &kept, &error);
    else if ((int)status <= BOOK_MISSING || status == LW_ERROR_MEMORY)
        code = book_refused(b, &error);
    else if (status)
        code = complain_error(file_name(path), &error);
    else if (wanted->id && kept.revision == wanted->revision)
        printf("Plan %lld is that already, revision %lld.\n", (long long)kept.id, (long long)kept.revision);
    else
        printf("Kept as plan %lld, revision %lld.\n", (long long)kept.id, (long long)kept.revision);
    book_plan_clear(&kept);
    return code;
}

static int keep(book *b, book_plan *wanted, const arguments *args) {
    const value *given = args->value;
    int code = EXIT_FINE;
    wanted->id = (int64_t)given[BOOK_ON_PLAN].whole;
    if (given[BOOK_TAGS].given) {
        if (strlen(given[BOOK_TAGS].text) >= sizeof wanted->tags)
            return complain(EXIT_INPUT, "Use fewer or shorter ones.", "the tags are too long");
        snprintf(wanted->tags, sizeof wanted->tags, "%s", given[BOOK_TAGS].text);
    }
    if (given[BOOK_FOR].given) code = book_who(&wanted->person, b, given[BOOK_FOR].text);
    if (!code && wanted->id) code = follow(b, wanted, given);
    return code ? code : put(b, wanted, args->operand[1]);
}

int book_keep(const arguments *args) {
    book *b;
    book_plan wanted = {0};
    const value *given = args->value;
    if (given[BOOK_FOR].given && given[BOOK_ON_PLAN].given)
        return complain(EXIT_USAGE, "Leave one out: plan N stays whose it is.",
                        "book keep takes --for or --plan, not both");
    if (given[BOOK_REVISION].given && !given[BOOK_ON_PLAN].given)
        return complain(EXIT_USAGE, "Add --plan N.", "book keep: --revision of which plan?");
    int code = file_read(&wanted.text, &wanted.size, args->operand[1]);
    if (!code) code = book_use(&b, args, !given[BOOK_ON_PLAN].given && !given[BOOK_FOR].given);
    if (!code) {
        code = keep(b, &wanted, args);
        book_close(b);
    }
    book_plan_clear(&wanted);
    return code;
}

int book_history_of(const arguments *args) {
    book *b;
    book_history h;
    int64_t id;
    lw_error error = {0};
    int code = book_number(&id, "plan", args->operand[1]);
    if (!code) code = book_use(&b, args, false);
    if (code) return code;
    if (book_plan_history(&h, b, id, &error) != LW_OK) code = book_refused(b, &error);
    table t = table_begin("rllrl");
    table_cell(&t, "revision"), table_cell(&t, "made"), table_cell(&t, "title"), table_cell(&t, "bytes");
    table_cell(&t, "tags");
    for (int i = 0; i < h.count; i++) {
        const book_revision *r = &h.revision[i];
        char when[BOOK_TIME_MAX];
        snprintf(when, sizeof when, "%.10s %.5s UTC", r->made, r->made + 11);
        table_cellf(&t, "%lld", (long long)r->revision);
        table_cell(&t, when), table_cell(&t, r->title[0] ? r->title : "(no title)");
        table_cell(&t, count_text((double)r->size).s);
        table_cell(&t, r->tags);
    }
    if (!table_end(&t, "Revisions") && !code) code = complain_memory();
    book_history_clear(&h);
    book_close(b);
    return code;
}

/* The text with a person's head in it, in place of *text. */
static int put_on(book *b, book_plan *plan, const char *words) {
    int64_t id = 0;
    book_person p;
    char *on = NULL;
    lw_error error = {0};
    int code = book_who(&id, b, words);
    if (code) return code;
    if (book_person_get(&p, b, id, &error) != LW_OK) return book_refused(b, &error);
    if (!p.measures)
        code = complain(EXIT_INPUT, "lengthwise book measure notes them.", "no measures of %s are noted",
                        p.name);
    else if (book_measures_into(&on, plan->text, plan->size, p.measures, p.name, &error) != LW_OK)
        code = book_refused(b, &error);
    book_person_clear(&p);
    if (code || !on) return code;
    free(plan->text);
    plan->text = on;
    plan->size = strlen(on);
    return EXIT_FINE;
}

static int write_plan(const book_plan *plan, const value *to) {
    if (!to->given) {
        puts(plan->text);
        return EXIT_FINE;
    }
    output out;
    int code = output_open(&out, to->text);
    if (code) return code;
    fprintf(out.stream, "%s\n", plan->text);
    code = output_finish(&out);
    if (!code)
        fprintf(stderr, "Plan %lld, revision %lld is in %s.\n", (long long)plan->id,
                (long long)plan->revision, to->text);
    return code;
}

int book_take(const arguments *args) {
    book *b;
    book_plan plan;
    int64_t id;
    const value *given = args->value;
    lw_error error = {0};
    int code = book_number(&id, "plan", args->operand[1]);
    if (!code) code = book_use(&b, args, false);
    if (code) return code;
    if (book_plan_get(&plan, b, id, (int64_t)given[BOOK_REVISION].whole, &error) != LW_OK)
        code = book_refused(b, &error);
    if (!code && given[BOOK_ON].given) code = put_on(b, &plan, given[BOOK_ON].text);
    if (!code) code = write_plan(&plan, &given[BOOK_OUTPUT]);
    book_plan_clear(&plan);
    book_close(b);
    return code;
}
