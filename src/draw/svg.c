#include "svg.h"
#include "fault.h"
lw_status svg_finish(bytes *file, const drawing *pages, int count, const about_document *about,
                     lw_error *error) {
    (void)file, (void)pages, (void)count, (void)about, (void)error;
    return LW_OK;
}
