/* An address as a QR code (ISO/IEC 18004), by libqrencode. */
#ifndef LW_DRAW_QR_H
#define LW_DRAW_QR_H

#include "drawing.h"

/* The code with paper round it in the square at `at`, leading to the address. LW_ERROR_LIMIT if its modules
 * would be too small for a camera. */
lw_status draw_qr(drawing *d, point at, double side, const char *address, lw_error *error);

#endif
