/* The virtual tape. */
#include "head.h"

double tape_measure(const lw_head *head, lw_measure id) {
    const surface *s = &head->surface;
    switch (id) {
    case LW_HEAD_LENGTH:
        return 2 * s->axes.z;
    case LW_HEAD_BREADTH:
        return 2 * s->axes.x;
    case LW_EAR_TO_TOP:
        return s->centre.y + s->axes.y;
    default:
        return 0;
    }
}
