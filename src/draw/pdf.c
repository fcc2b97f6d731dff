/* Cairo 1.16 writes tags, but neither the language, nor that the window should show the title, nor words for
 * those who cannot see a figure. They are added to the finished file by libqpdf, which also packs it and
 * gives it an identity made from its bytes, so that the same pages are the same file. Figures are met in the
 * tree of tags in the order in which they were drawn; their words are handed out in that order. */
#include <qpdf/qpdf-c.h>
#include <string.h>

#include "fault.h"
#include "pdf.h"

/* The pages' figures in turn. */
typedef struct figures {
    const drawing *pages;
    int count, page, mark;
} figures;

/* What the next figure shows; NULL when there are no more. */
static const char *next_figure(figures *f) {
    for (; f->page < f->count; f->page++, f->mark = 0) {
        const drawing *page = &f->pages[f->page];
        while (f->mark < page->mark_count) {
            const mark *m = &page->marks[f->mark++];
            if (m->kind == MARK_OPEN && m->role == PART_FIGURE) return drawing_text(page, m->text);
        }
    }
    return NULL;
}

static void name_figures(qpdf_data pdf, qpdf_oh node, figures *f, int depth) {
    if (depth > 64) return;
    if (qpdf_oh_is_array(pdf, node)) {
        int count = qpdf_oh_get_array_n_items(pdf, node);
        for (int i = 0; i < count; i++) name_figures(pdf, qpdf_oh_get_array_item(pdf, node, i), f, depth + 1);
        return;
    }
    if (!qpdf_oh_is_dictionary(pdf, node)) return;
    if (qpdf_oh_is_name_and_equals(pdf, qpdf_oh_get_key(pdf, node, "/S"), "/Figure")) {
        const char *words = next_figure(f);
        if (words && *words) qpdf_oh_replace_key(pdf, node, "/Alt", qpdf_oh_new_unicode_string(pdf, words));
    }
    if (qpdf_oh_has_key(pdf, node, "/K")) name_figures(pdf, qpdf_oh_get_key(pdf, node, "/K"), f, depth + 1);
}

static void complete(qpdf_data pdf, const drawing *pages, int count, const about_document *about) {
    qpdf_oh root = qpdf_get_root(pdf);
    if (about->language)
        qpdf_oh_replace_key(pdf, root, "/Lang", qpdf_oh_new_unicode_string(pdf, about->language));
    qpdf_oh viewer = qpdf_oh_new_dictionary(pdf);
    qpdf_oh_replace_key(pdf, viewer, "/DisplayDocTitle", qpdf_oh_new_bool(pdf, QPDF_TRUE));
    qpdf_oh_replace_key(pdf, root, "/ViewerPreferences", viewer);
    if (!about->date) qpdf_set_info_key(pdf, "/CreationDate", NULL);
    figures f = {.pages = pages, .count = count};
    if (qpdf_oh_has_key(pdf, root, "/StructTreeRoot"))
        name_figures(pdf, qpdf_oh_get_key(pdf, root, "/StructTreeRoot"), &f, 0);
}

static bool write_out(qpdf_data pdf) {
    if (qpdf_init_write_memory(pdf) & QPDF_ERRORS) return false;
    qpdf_set_deterministic_ID(pdf, QPDF_TRUE);
    qpdf_set_object_stream_mode(pdf, qpdf_o_generate);
    qpdf_set_compress_streams(pdf, QPDF_TRUE);
    return !(qpdf_write(pdf) & QPDF_ERRORS);
}

static lw_status told(qpdf_data pdf, lw_error *error) {
    qpdf_error found = qpdf_get_error(pdf);
    return fault(error, LW_ERROR_ARGUMENT, "page", "Report this, with the plan that it happened with.",
                 "the PDF could not be finished: %s",
                 found ? qpdf_get_error_full_text(pdf, found) : "no reason given");
}

lw_status pdf_finish(bytes *file, const drawing *pages, int count, const about_document *about,
                     lw_error *error) {
    qpdf_data pdf = qpdf_init();
    if (!pdf) return fault_memory(error, "page");
    qpdf_silence_errors(pdf);
    qpdf_set_suppress_warnings(pdf, QPDF_TRUE);
    bool fine = !(qpdf_read_memory(pdf, "page", (const char *)file->data, file->size, NULL) & QPDF_ERRORS);
    if (fine) {
        complete(pdf, pages, count, about);
        fine = !qpdf_has_error(pdf) && write_out(pdf);
    }
    lw_status status = fine ? LW_OK : told(pdf, error);
    bytes finished = {0};
    if (fine) bytes_add(&finished, qpdf_get_buffer(pdf), qpdf_get_buffer_length(pdf));
    qpdf_cleanup(&pdf);
    bytes_clear(file);
    *file = finished;
    return status ? status : file->failed ? fault_memory(error, "page") : LW_OK;
}
