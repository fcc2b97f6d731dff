/* Hair that grows beside the ear (fall_ear.c). */
#ifndef LW_CORE_FALL_EAR_H
#define LW_CORE_FALL_EAR_H

#include "ground.h"

/* Whether a root is so near an ear that what follows may change how its hair falls. */
bool ear_near(const lw_head *head, lw_vec3 root);

/* Where on the scalp the hair of a root beside the ear comes out, `more` metres farther from the hairline
 * than it must, and the scalp's normal there. A mirrored root gives mirrored bits. */
lw_vec3 ear_root(const lw_head *head, const ground *g, lw_vec3 root, double more, lw_vec3 *normal);

/* How the comb takes hair past the ear, over or behind it. In: unit, where it would leave its root and where
 * it would be held, were there no ear; out: the same beside the ear. False where it leaves its root by more
 * than 45 degrees otherwise, and had better grow elsewhere. */
bool ear_comb(const ground *g, lw_vec3 root, lw_vec3 normal, double length, lw_vec3 *leaves, lw_vec3 *held);

#endif
