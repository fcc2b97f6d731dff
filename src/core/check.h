/* Whether a plan can be understood at all. */
#ifndef LW_CORE_CHECK_H
#define LW_CORE_CHECK_H

#include "vec.h"

lw_status check_steps(const lw_plan *plan, lw_error *error);
lw_status check_hair(const lw_hair *hair, const lw_hands *hands, lw_error *error);

#endif
