/* Cairo 1.16 writes tags, but neither the language, nor that the window should show the title, nor words for
 * those who cannot see a figure. They are added to the finished file by libqpdf, which also packs it and
 * gives it an identity made from its bytes, so that the same pages are the same file. Figures are met in the
 * tree of tags in the order in which they were drawn; their words are handed out in that order. */
#include <qpdf/qpdf-c.h>
#include <string.h>

#include "fail.h"
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

/* Cairo hangs every part on the root; readers expect one document there, with the parts in it. */
static void make_document(qpdf_data pdf, qpdf_oh tree) {
    qpdf_oh parts = qpdf_oh_get_key(pdf, tree, "/K");
    qpdf_oh document = qpdf_make_indirect_object(pdf, qpdf_oh_new_dictionary(pdf));
    if (qpdf_oh_is_array(pdf, parts)) {
        int count = qpdf_oh_get_array_n_items(pdf, parts);
        for (int i = 0; i < count; i++)
            qpdf_oh_replace_key(pdf, qpdf_oh_get_array_item(pdf, parts, i), "/P", document);
    } else if (qpdf_oh_is_dictionary(pdf, parts)) {
        qpdf_oh_replace_key(pdf, parts, "/P", document);
    }
    qpdf_oh_replace_key(pdf, document, "/Type", qpdf_oh_new_name(pdf, "/StructElem"));
    qpdf_oh_replace_key(pdf, document, "/S", qpdf_oh_new_name(pdf, "/Document"));
    qpdf_oh_replace_key(pdf, document, "/P", tree);
    qpdf_oh_replace_key(pdf, document, "/K", parts);
    qpdf_oh_replace_key(pdf, tree, "/K", document);
}

/* Links are reached by keyboard in the order of the tags, and say where they lead. */
static void name_links(qpdf_data pdf, qpdf_oh page) {
    qpdf_oh links = qpdf_oh_get_key(pdf, page, "/Annots");
    if (!qpdf_oh_is_array(pdf, links)) return;
    qpdf_oh_replace_key(pdf, page, "/Tabs", qpdf_oh_new_name(pdf, "/S"));
    int count = qpdf_oh_get_array_n_items(pdf, links);
    for (int i = 0; i < count; i++) {
        qpdf_oh link = qpdf_oh_get_array_item(pdf, links, i);
        qpdf_oh address = qpdf_oh_get_key_if_dict(pdf, qpdf_oh_get_key_if_dict(pdf, link, "/A"), "/URI");
        if (qpdf_oh_is_string(pdf, address)) qpdf_oh_replace_key(pdf, link, "/Contents", address);
    }
}

static void replace_flag(qpdf_data pdf, qpdf_oh in, const char *dictionary, const char *key) {
    qpdf_oh flags = qpdf_oh_new_dictionary(pdf);
    qpdf_oh_replace_key(pdf, flags, key, qpdf_oh_new_bool(pdf, QPDF_TRUE));
    qpdf_oh_replace_key(pdf, in, dictionary, flags);
}

static void complete(qpdf_data pdf, const drawing *pages, int count, const about_document *about) {
    qpdf_oh root = qpdf_get_root(pdf);
    if (about->language)
        qpdf_oh_replace_key(pdf, root, "/Lang", qpdf_oh_new_unicode_string(pdf, about->language));
    replace_flag(pdf, root, "/ViewerPreferences", "/DisplayDocTitle");
    if (!about->date) qpdf_set_info_key(pdf, "/CreationDate", NULL);
    int page_count = qpdf_get_num_pages(pdf);
    for (int i = 0; i < page_count; i++) name_links(pdf, qpdf_get_page_n(pdf, (size_t)i));
    if (!qpdf_oh_has_key(pdf, root, "/StructTreeRoot")) return;
    qpdf_oh tree = qpdf_oh_get_key(pdf, root, "/StructTreeRoot");
    figures f = {.pages = pages, .count = count};
    name_figures(pdf, tree, &f, 0);
    make_document(pdf, tree);
    replace_flag(pdf, root, "/MarkInfo", "/Marked");
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
    return fail(error, LW_ERROR_ARGUMENT, "page", "Report this, with the plan that it happened with.",
                "the PDF could not be finished: %s",
                found ? qpdf_get_error_full_text(pdf, found) : "no reason given");
}

lw_status pdf_finish(bytes *file, const drawing *pages, int count, const about_document *about,
                     lw_error *error) {
    qpdf_data pdf = qpdf_init();
    if (!pdf) return fail_memory(error, "page");
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
    return status ? status : file->failed ? fail_memory(error, "page") : LW_OK;
}
