/* cmocka's own comparison of doubles came after the version Debian 12 has. */
#ifndef LW_TESTS_NEAR_H
#define LW_TESTS_NEAR_H

#include <math.h>

/* |got - wanted| <= tolerance, and neither is NAN. */
#define assert_near(got, wanted, tolerance)                                                                  \
    do {                                                                                                     \
        double got_ = (got), wanted_ = (wanted), tolerance_ = (tolerance);                                   \
        if (!(fabs(got_ - wanted_) <= tolerance_))                                                           \
            fail_msg("%s is %.9g, wanted %.9g within %.3g", #got, got_, wanted_, tolerance_);                \
    } while (0)

#endif
