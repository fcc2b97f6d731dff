#include "qr.h"

#include <errno.h>
#include <qrencode.h>

#include "fail.h"
#include "look.h"

static void draw_rectangle(drawing *d, double x, double y, double width, double height) {
    point corner[4] = {{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}};
    draw_area(d, AREA_INK, -1, corner, 4);
}

/* Dark modules of a row that touch are one rectangle. It reaches a little into the next row where that is
 * dark too, as rectangles that only touch show a seam when they are rasterised. */
static void draw_row(drawing *d, const QRcode *code, int row, point at, double module) {
    for (int x = 0; x < code->width;) {
        const unsigned char *line = code->data + (size_t)row * (size_t)code->width;
        if (!(line[x] & 1)) {
            x++;
            continue;
        }
        int first = x;
        while (x < code->width && line[x] & 1) x++;
        draw_rectangle(d, at.x + first * module, at.y + row * module, (x - first) * module, 1.02 * module);
    }
}

static lw_status too_long(lw_error *error) {
    return fail(error, LW_ERROR_LIMIT, "link", "Give a shorter link, such as https://example.org/plan/7.",
                "the link is too long for a code that a camera can read at this size");
}

lw_status draw_qr(drawing *d, point at, double side, const char *address, lw_error *error) {
    errno = 0;
    QRcode *code = QRcode_encodeString8bit(address, 0, QR_ECLEVEL_M);
    if (!code) {
        if (errno == ENOMEM) return fail_memory(error, "link");
        if (errno == ERANGE) return too_long(error);
        return fail(error, LW_ERROR_ARGUMENT, "link", "Give an address, such as https://example.org/plan/7.",
                    "the link is empty");
    }
    double module = side / (code->width + 2 * LOOK_QR_QUIET);
    bool readable = module >= look_qr_module();
    if (readable) {
        point square[4] = {at, {at.x + side, at.y}, {at.x + side, at.y + side}, {at.x, at.y + side}};
        draw_area_link(d, AREA_PAPER, -1, square, 4, address);
        point inner = {at.x + LOOK_QR_QUIET * module, at.y + LOOK_QR_QUIET * module};
        for (int row = 0; row < code->width; row++) draw_row(d, code, row, inner, module);
    }
    QRcode_free(code);
    return readable ? LW_OK : too_long(error);
}
