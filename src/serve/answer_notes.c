/* Answers about notes, of people and of plans. */
#include "work.h"

static void put_note(json *j, const book_note *n) {
    put_open_inline(j, NULL, '{');
    put_whole(j, "id", n->id);
    put_text(j, "made", n->made);
    put_text(j, "text", n->text);
    put_close(j, '}');
}

static lw_status list(work *w, int64_t person, int64_t plan) {
    book_notes notes;
    lw_status status = book_note_list(&notes, w->book, person, plan, w->error);
    if (status) return status;
    put_open_inline(w->out, NULL, '{');
    put_open_inline(w->out, "notes", '[');
    for (int i = 0; i < notes.count; i++) put_note(w->out, &notes.note[i]);
    put_close(w->out, ']');
    put_close(w->out, '}');
    book_notes_clear(&notes);
    return LW_OK;
}

static lw_status add(work *w, int64_t person, int64_t plan) {
    book_note kept = {.text = w->in->value[0].text};
    lw_status status = book_note_add(&kept.id, kept.made, w->book, person, plan, kept.text, w->error);
    if (status) return status;
    put_note(w->out, &kept);
    snprintf(w->reply->location, sizeof w->reply->location, API "/notes/%lld", (long long)kept.id);
    return LW_OK;
}

lw_status answer_person_notes(work *w) { return list(w, w->asked->number[0], 0); }
lw_status answer_plan_notes(work *w) { return list(w, 0, w->asked->number[0]); }
lw_status answer_person_note(work *w) { return add(w, w->asked->number[0], 0); }
lw_status answer_plan_note(work *w) { return add(w, 0, w->asked->number[0]); }

lw_status answer_note_forget(work *w) {
    book_forgotten gone;
    lw_status status = book_note_forget(&gone, w->book, w->asked->number[0], w->error);
    if (!status) put_holds(w->out, &gone);
    return status;
}
