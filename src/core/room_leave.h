/* Strands' hair left on the samples of a room (room_leave.c). */
#ifndef LW_CORE_ROOM_LEAVE_H
#define LW_CORE_ROOM_LEAVE_H

#include "ground.h"

typedef struct room_hair {
    const lw_strands *strands;
    const double *section; /* m^2 of hair of each strand */
    double round; /* 1.5 * 2^52 quanta: adding and taking away this rounds to a multiple of the quantum */
} room_hair;

/* Adds to left and right, samples laid out as grid says, the hair in m^3 of strands first to past at x >= 0
 * and at x < 0. */
typedef void room_leaver(double *left, double *right, const ground *grid, const room_hair *hair, int first,
                         int past);

/* As compiled for every machine of the kind, and for one with AVX2: the same bits. */
room_leaver room_leave_narrow, room_leave_wide;

room_leaver *room_leave_on_this_machine(void);

#endif
