/* What a tape measures of a head, as options: LW_MEASURE_INPUTS of them in the order of lw_measure. */
#ifndef LW_CLI_MEASURED_H
#define LW_CLI_MEASURED_H

#include "command.h"

#define MEASURE(name_, from, to, help_)                                                                      \
    {                                                                                                        \
        .name = (name_), .kind = OPTION_LENGTH, .argument = "LENGTH", .low = (from), .high = (to),           \
        .help = (help_)                                                                                      \
    }

#define OPTION_MEASURES                                                                                      \
    MEASURE("circumference", 30, 80,                                                                         \
            "The largest round measure, above the brow and round the back of the head."),                    \
        MEASURE("ear-to-ear-over-top", 15, 60,                                                               \
                "Over the top, from the flap in front of one ear hole to the other."),                       \
        MEASURE("hairline-to-nape", 15, 60,                                                                  \
                "From the front hairline over the top to the nape hairline, along the middle."),             \
        MEASURE("ear-to-ear-forehead", 15, 60, "Across the narrowest forehead, from ear flap to ear flap."), \
        MEASURE("temple-to-temple-back", 15, 70, "Round the back, from temple point to temple point."),      \
        MEASURE("nape-width", 3, 30, "From corner to corner of the nape hairline."),                         \
        MEASURE("head-length", 10, 30,                                                                       \
                "Caliper: from between the brows to the furthest point of the back."),                       \
        MEASURE("head-breadth", 8, 25, "Caliper: the widest place above the ears."),                         \
        MEASURE("ear-to-top", 6, 20, "Upright caliper: from the ear flap to the top of the head.")

#endif
