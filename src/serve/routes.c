/* The table of routes. */
#include "routes.h"

#include <stdlib.h>
#include <string.h>

#include "book.h"

#define KB ((size_t)1 << 10)
#define MB ((size_t)1 << 20)

/* A text in JSON may be written with six bytes for each of its own. */
#define PERSON_MOST ((size_t)BOOK_MEASURES_MAX + 6 * (LW_TITLE_MAX + BOOK_TAGS_MAX) + KB)
#define NOTE_MOST ((size_t)6 * BOOK_NOTE_MAX + KB)
#define PLAN_MOST (9 * MB)
#define BOOK_MOST (256 * MB)

static const char *const kinds[] = {"person", "plan", "note", NULL};     /* by book_kind */
static const char *const papers[] = {"a4", "letter", NULL};              /* by draw_paper */
static const char *const sheets[] = {"sheet", "worksheet", "key", NULL}; /* by draw_use */

static const parameter find_parameters[] = {
    [FIND_WORDS] = {"words", "All of them, or their beginnings, must be there.", .kind = PARAMETER_TEXT},
    [FIND_KIND] = {"kind", "Only people, plans or notes.", PARAMETER_WORD, .words = kinds},
    [FIND_TAG] = {"tag", "Only what has this tag.", .kind = PARAMETER_TEXT},
    [FIND_PERSON] = {"person", "Only this person and what is theirs.", PARAMETER_WHOLE, .low = 1,
                     .high = INT64_C(1) << 53},
    [FIND_SKIP] = {"skip", "Leaves out so many of the first.", PARAMETER_WHOLE, .low = 0,
                   .high = INT64_C(1) << 53},
    [FIND_MOST] = {"most", "So many at most; 1000 if left out.", PARAMETER_WHOLE, .low = 1, .high = 10000},
    {0},
};

static const parameter sheet_parameters[] = {
    [SHEET_PAPER] = {"paper", "a4 if left out.", PARAMETER_WORD, .words = papers},
    [SHEET_KIND] = {"kind",
                    "sheet, to cut by, if left out; worksheet, with gaps where numbers stand; key, its "
                    "answers.",
                    PARAMETER_WORD, .words = sheets},
    [SHEET_DATE] = {"date", "On the sheet; today if left out.", .kind = PARAMETER_DATE},
    {0},
};

#define SHAPED(shape, bytes) .in = &(shape), .most = (bytes), .takes = TAKES_SHAPE

const route routes[ROUTES] = {
    [ROUTE_ABOUT] = {METHOD_GET, 200, "/about", "about", "What answers here, and how much it takes.",
                     .out = &shape_about},
    [ROUTE_OPENAPI] = {METHOD_GET, 200, "/openapi.json", "openapi", "This document.",
                       .media = "application/json", .no_book = true},
    [ROUTE_FIND] = {METHOD_GET, 200, "/find", "find",
                    "People, plans and notes: all, or those that are looked for.", find_parameters,
                    .out = &shape_found},
    [ROUTE_PERSON_ADD] = {METHOD_POST, 201, "/people", "addPerson", "Keeps a new person.",
                          SHAPED(shape_new_person, PERSON_MOST), .out = &shape_person, .tagged = true},
    [ROUTE_PERSON] = {METHOD_GET, 200, "/people/{id}", "person", "A person.", .out = &shape_person,
                      .tagged = true},
    [ROUTE_PERSON_CHANGE] = {METHOD_PUT, 200, "/people/{id}", "changePerson",
                             "Changes a person. What changes nothing keeps its revision.",
                             SHAPED(shape_changed_person, PERSON_MOST), .out = &shape_person, .tagged = true,
                             .conditional = true},
    [ROUTE_PERSON_FORGET] = {METHOD_DELETE, 200, "/people/{id}", "forgetPerson",
                             "Removes a person and all that is theirs for ever, and says what it was.",
                             .out = &shape_holds, .conditional = true},
    [ROUTE_PERSON_HOLDS] = {METHOD_GET, 200, "/people/{id}/holds", "personHolds",
                            "What would be removed with a person.", .out = &shape_holds},
    [ROUTE_PERSON_NOTES] = {METHOD_GET, 200, "/people/{id}/notes", "personNotes", "A person's notes.",
                            .out = &shape_notes},
    [ROUTE_PERSON_NOTE] = {METHOD_POST, 201, "/people/{id}/notes", "notePerson", "Adds a note to a person.",
                           SHAPED(shape_new_note, NOTE_MOST), .out = &shape_note},
    [ROUTE_PLAN_ADD] = {METHOD_POST, 201, "/plans", "addPlan", "Keeps a new plan.",
                        SHAPED(shape_new_plan, PLAN_MOST), .out = &shape_plan, .tagged = true},
    [ROUTE_PLAN] = {METHOD_GET, 200, "/plans/{id}", "plan", "A plan, its newest revision.",
                    .out = &shape_plan, .tagged = true},
    [ROUTE_PLAN_CHANGE] = {METHOD_PUT, 200, "/plans/{id}", "changePlan",
                           "Keeps a plan's next revision. The same text with the same tags makes none.",
                           SHAPED(shape_changed_plan, PLAN_MOST), .out = &shape_plan, .tagged = true,
                           .conditional = true},
    [ROUTE_PLAN_FORGET] = {METHOD_DELETE, 200, "/plans/{id}", "forgetPlan",
                           "Removes a plan with every revision and note for ever.", .out = &shape_holds,
                           .conditional = true},
    [ROUTE_PLAN_REVISIONS] = {METHOD_GET, 200, "/plans/{id}/revisions", "planRevisions",
                              "A plan's revisions, the newest first.", .out = &shape_revisions},
    [ROUTE_PLAN_REVISION] = {METHOD_GET, 200, "/plans/{id}/revisions/{revision}", "planRevision",
                             "A plan as it was.", .out = &shape_plan, .tagged = true},
    [ROUTE_PLAN_NOTES] = {METHOD_GET, 200, "/plans/{id}/notes", "planNotes", "A plan's notes.",
                          .out = &shape_notes},
    [ROUTE_PLAN_NOTE] = {METHOD_POST, 201, "/plans/{id}/notes", "notePlan", "Adds a note to a plan.",
                         SHAPED(shape_new_note, NOTE_MOST), .out = &shape_note},
    [ROUTE_NOTE_FORGET] = {METHOD_DELETE, 200, "/notes/{id}", "forgetNote", "Removes a note for ever.",
                           .out = &shape_holds},
    [ROUTE_MEASURES_INTO] = {METHOD_POST, 200, "/measures/into", "measuresInto",
                             "A plan's text with these measures and this name in place of its own.",
                             SHAPED(shape_wearing, PLAN_MOST + PERSON_MOST), .out = &shape_text,
                             .no_book = true},
    [ROUTE_MEASURES_OF] = {METHOD_POST, 200, "/measures/of", "measuresOf",
                           "The measures that a plan has in it.", SHAPED(shape_plan_text, PLAN_MOST),
                           .out = &shape_measures, .no_book = true},
    [ROUTE_SHEET] = {METHOD_POST, 200, "/sheet", "sheet", "A plan on paper.", sheet_parameters,
                     .takes = TAKES_PLAN, .most = PLAN_MOST, .media = "application/pdf", .no_book = true},
    [ROUTE_EXPORT] = {METHOD_GET, 200, "/book/export", "exportBook",
                      "The whole book as one JSON text: docs/book.md.", .media = "application/json"},
    [ROUTE_IMPORT] = {METHOD_POST, 200, "/book/import", "importBook",
                      "Fills a book that holds nothing from an exported text.", .takes = TAKES_BOOK,
                      .most = BOOK_MOST, .out = &shape_counts},
    [ROUTE_BACKUP] = {METHOD_GET, 200, "/book/backup", "backUpBook",
                      "A copy of the book as it is at one moment: a book itself.",
                      .media = "application/vnd.sqlite3"},
};

static const char *const method_names[METHODS] = {
    [METHOD_GET] = "GET", [METHOD_POST] = "POST", [METHOD_PUT] = "PUT", [METHOD_DELETE] = "DELETE"};

const char *method_name(method m) { return method_names[m]; }

bool method_find(method *out, const char *name) {
    if (strcmp(name, "HEAD") == 0) name = "GET";
    for (int m = 0; m < METHODS; m++)
        if (strcmp(method_names[m], name) == 0) {
            *out = (method)m;
            return true;
        }
    return false;
}

/* A whole number from 1 up at *text, which moves past it; 0 where there is none. */
static int64_t number_at(const char **text) {
    size_t digits = strspn(*text, "0123456789");
    int64_t value = digits > 0 && digits <= 18 && **text != '0' ? strtoll(*text, NULL, 10) : 0;
    *text += digits;
    return value;
}

static bool matches(const char *pattern, const char *path, int64_t numbers[NUMBERS_MAX]) {
    int count = 0;
    while (*pattern) {
        if (*pattern == '{' && count < NUMBERS_MAX) {
            numbers[count] = number_at(&path);
            if (!numbers[count++]) return false;
            pattern += strcspn(pattern, "}") + 1;
        } else if (*pattern++ != *path++) {
            return false;
        }
    }
    return *path == 0;
}

uint32_t routes_at(const char *path, int64_t numbers[NUMBERS_MAX]) {
    uint32_t found = 0;
    for (int i = 0; i < ROUTES; i++) {
        int64_t here[NUMBERS_MAX] = {0};
        if (!matches(routes[i].path, path, here)) continue;
        found |= UINT32_C(1) << i;
        memcpy(numbers, here, sizeof here);
    }
    return found;
}
