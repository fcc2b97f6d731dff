/* The table of shapes. What stands here is what the API takes and gives; a test holds every answer of the
 * real server to it. */
#include "shapes.h"

#include "book.h"

#define PLAN_MOST ((size_t)4 << 20)

#define NAME "One line, not empty; two people may share one."
#define TAGS "Words or phrases without commas; kept sorted, each once."
#define MEASURES                                                                                             \
    "The part of a plan file that belongs to the person: \"units\" and any of \"head\", \"hair\", \"worn\"."
#define PLAN "The plan file, as it is to be kept: docs/plan-file.md."
#define WHEN "UTC: 2026-03-01T09:30:00Z."
#define REVISION "Grows by one with every change; also the ETag."

#define KEY_ID                                                                                               \
    { "id", "A number from 1 up, never given twice.", .kind = FIELD_WHOLE }
#define KEY_NAME                                                                                             \
    { "name", NAME, .kind = FIELD_TEXT, .most = LW_TITLE_MAX - 1 }

const shape shape_new_person = {
    "NewPerson",
    "Somebody to keep.",
    {KEY_NAME,
     {"tags", TAGS, FIELD_TAGS, .optional = true, .most = BOOK_TAGS_MAX - 1},
     {"measures", MEASURES, FIELD_OBJECT, .optional = true}},
};

const shape shape_changed_person = {
    "ChangedPerson",
    "All that can be changed of a person.",
    {KEY_NAME,
     {"tags", TAGS, FIELD_TAGS, .most = BOOK_TAGS_MAX - 1},
     {"measures", MEASURES, .kind = FIELD_OBJECT}},
};

const shape shape_new_plan = {
    "NewPlan",
    "A plan to keep.",
    {{"person", "Whose; 0, or left out: nobody's. It stays.", FIELD_WHOLE, .optional = true},
     {"tags", TAGS, FIELD_TAGS, .optional = true, .most = BOOK_TAGS_MAX - 1},
     {"text", PLAN, FIELD_TEXT, .most = PLAN_MOST}},
};

const shape shape_changed_plan = {
    "ChangedPlan",
    "A plan's next revision.",
    {{"tags", TAGS, FIELD_TAGS, .most = BOOK_TAGS_MAX - 1}, {"text", PLAN, FIELD_TEXT, .most = PLAN_MOST}},
};

const shape shape_new_note = {
    "NewNote",
    "A note to keep.",
    {{"text", "Lines; not empty.", FIELD_TEXT, .most = BOOK_NOTE_MAX - 1}},
};

const shape shape_wearing = {
    "PlanAndMeasures",
    "A plan, and whom it is to be cut on.",
    {{"plan", PLAN, FIELD_TEXT, .most = PLAN_MOST},
     {"measures", MEASURES, FIELD_OBJECT, .optional = true},
     {"name", "The plan's \"person\".", FIELD_TEXT, .optional = true, .most = LW_TITLE_MAX - 1}},
};

const shape shape_plan_text = {"PlanText", "A plan alone.", {{"plan", PLAN, FIELD_TEXT, .most = PLAN_MOST}}};

static const shape shape_limits = {
    "Limits",
    "The most bytes of each.",
    {{"plan", "A plan's text.", .kind = FIELD_WHOLE},
     {"measures", "A person's measures.", .kind = FIELD_WHOLE},
     {"note", "A note.", .kind = FIELD_WHOLE},
     {"name", "A name or title.", .kind = FIELD_WHOLE},
     {"tags", "All tags of one, with \", \" between.", .kind = FIELD_WHOLE},
     {"find", "Entries in one answer of find.", .kind = FIELD_WHOLE},
     {"sheet", "Hairs of a plan that is printed from here.", .kind = FIELD_WHOLE}},
};

const shape shape_about = {
    "About",
    "What answers here.",
    {{"program", "lengthwise", .kind = FIELD_TEXT},
     {"version", "Its version.", .kind = FIELD_TEXT},
     {"book", "The file that is kept.", .kind = FIELD_TEXT},
     {"units", "What a plan's \"units\" can be.", .kind = FIELD_WORDS},
     {"papers", "What a sheet can be printed on.", .kind = FIELD_WORDS},
     {"kinds", "What kinds of sheet there are.", .kind = FIELD_WORDS},
     {"limits", "How large what is sent may be.", FIELD_SHAPE, .of = &shape_limits}},
};

static const shape shape_entry = {
    "Entry",
    "A person, a plan or a note.",
    {{"kind", "person, plan or note.", .kind = FIELD_TEXT},
     KEY_ID,
     {"person", "Itself, or whose; 0 nobody's.", .kind = FIELD_WHOLE},
     {"plan", "Itself, or on which a note is; 0 none.", .kind = FIELD_WHOLE},
     {"revision", "The newest; 0 of a note.", .kind = FIELD_WHOLE},
     {"name", "Name or title; empty of a note.", .kind = FIELD_TEXT},
     {"who", "The person's name; empty for nobody.", .kind = FIELD_TEXT},
     {"tags", TAGS, .kind = FIELD_TAGS},
     {"changed", WHEN, .kind = FIELD_TEXT},
     {"excerpt", "The start of a note.", .kind = FIELD_TEXT}},
};

const shape shape_found = {
    "Found",
    "What was looked for.",
    {{"all", "How many there are in the book.", .kind = FIELD_WHOLE},
     {"entries", "Those asked for: with words the likeliest first.", FIELD_SHAPES, .of = &shape_entry}},
};

const shape shape_person = {
    "Person",
    "Somebody in the book.",
    {KEY_ID,
     {"revision", REVISION, .kind = FIELD_WHOLE},
     KEY_NAME,
     {"tags", TAGS, .kind = FIELD_TAGS},
     {"measures", MEASURES, .kind = FIELD_OBJECT},
     {"made", WHEN, .kind = FIELD_TEXT},
     {"changed", WHEN, .kind = FIELD_TEXT}},
};

const shape shape_plan = {
    "Plan",
    "A revision of a plan.",
    {KEY_ID,
     {"person", "Whose; 0 nobody's.", .kind = FIELD_WHOLE},
     {"revision", REVISION, .kind = FIELD_WHOLE},
     {"title", "The text's own title.", .kind = FIELD_TEXT},
     {"tags", TAGS, .kind = FIELD_TAGS},
     {"text", PLAN, .kind = FIELD_TEXT},
     {"made", WHEN, .kind = FIELD_TEXT}},
};

static const shape shape_revision = {
    "Revision",
    "A revision without its text.",
    {{"revision", REVISION, .kind = FIELD_WHOLE},
     {"made", WHEN, .kind = FIELD_TEXT},
     {"title", "The text's own title.", .kind = FIELD_TEXT},
     {"tags", TAGS, .kind = FIELD_TAGS},
     {"size", "Bytes of its text.", .kind = FIELD_WHOLE}},
};

const shape shape_revisions = {
    "Revisions",
    "All revisions of a plan.",
    {{"revisions", "The newest first.", FIELD_SHAPES, .of = &shape_revision}},
};

const shape shape_note = {
    "Note",
    "A note.",
    {KEY_ID, {"made", WHEN, .kind = FIELD_TEXT}, {"text", "Lines.", .kind = FIELD_TEXT}},
};

const shape shape_notes = {
    "Notes",
    "All notes of a person or plan.",
    {{"notes", "The oldest first.", FIELD_SHAPES, .of = &shape_note}},
};

const shape shape_holds = {
    "Holds",
    "How many of each are removed, or would be.",
    {{"people", "People.", .kind = FIELD_WHOLE},
     {"measures", "People's measures.", .kind = FIELD_WHOLE},
     {"plans", "Plans.", .kind = FIELD_WHOLE},
     {"revisions", "Revisions of plans.", .kind = FIELD_WHOLE},
     {"notes", "Notes.", .kind = FIELD_WHOLE},
     {"named", "What is left over in which the person's whole name still stands.", .kind = FIELD_WHOLE},
     {"traces", "Removed text may stand in the book's log until the last one closes the book.",
      .kind = FIELD_FLAG}},
};

const shape shape_text = {"Text", "A plan's text.", {{"text", PLAN, .kind = FIELD_TEXT}}};

const shape shape_measures = {
    "Measures", "A plan's measures.", {{"measures", MEASURES, .kind = FIELD_OBJECT}}};

const shape shape_counts = {
    "Counts",
    "How many of each the book holds.",
    {{"people", "People.", .kind = FIELD_WHOLE},
     {"plans", "Plans.", .kind = FIELD_WHOLE},
     {"revisions", "Revisions of plans.", .kind = FIELD_WHOLE},
     {"notes", "Notes.", .kind = FIELD_WHOLE}},
};

const shape shape_problem = {
    "Problem",
    "What is wrong (RFC 9457).",
    {{"type", "Which problem it is: an address in this document.", .kind = FIELD_TEXT},
     {"title", "The same in words.", .kind = FIELD_TEXT},
     {"status", "The status of the answer.", .kind = FIELD_WHOLE},
     {"detail", "What is wrong this time.", .kind = FIELD_TEXT},
     {"place", "Which field, step or part.", FIELD_TEXT, .optional = true},
     {"remedy", "What to do.", FIELD_TEXT, .optional = true},
     {"line", "In the text that was sent, from 1.", FIELD_WHOLE, .optional = true},
     {"column", "In bytes, from 1.", FIELD_WHOLE, .optional = true},
     {"current", "What the book holds now, where somebody else was faster.", FIELD_OBJECT, .optional = true}},
};
