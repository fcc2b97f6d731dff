/* The one question that drawing asks of the clock, and only for whoever asks. */
#include <time.h>

#include "draw.h"

const char *draw_today(char out[DRAW_DATE_MAX]) {
    time_t now = time(NULL);
    struct tm parts;
    if (!localtime_r(&now, &parts) || !strftime(out, DRAW_DATE_MAX, "%Y-%m-%d", &parts)) out[0] = 0;
    return out;
}
