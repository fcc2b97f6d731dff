/* Hair to which floats would not do justice, such as hair a thousand times limper than any, or of which no
 * step in floats leads on: rods.c once more, its steps in doubles. */
#define RODS_EXACT
#include "rods.c"      // NOLINT(bugprone-suspicious-include)
#include "rods_step.c" // NOLINT(bugprone-suspicious-include)
