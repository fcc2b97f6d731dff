/* Which way hair leaves the scalp as it is worn.
 *
 * Hair comes out of the skin along its growth and at an angle off the scalp; a comb then turns it away from
 * where it was parted. docs/model.md, "How it is worn", defines both. */
#ifndef LW_CORE_WORN_H
#define LW_CORE_WORN_H

#include "lengthwise.h"

#define WORN_LINE 17

/* A plan's way of wearing hair, made ready for a scalp. */
typedef struct worn {
    const lw_scalp *scalp;
    double edge, middle;       /* root angles, radians */
    double combed;             /* share of the way that hair is turned to where it is combed */
    double cos_lift, sin_lift; /* of the angle off the scalp to which it is combed */
    bool grown;                /* it is combed where it grows */
    bool parted;
    double parting;  /* x of the parting, metres */
    int arms, count; /* lines that hair is combed away from, and points of each */
    lw_vec3 line[2][WORN_LINE];
    lw_vec3 along[2][WORN_LINE]; /* unit, from each point to the next */
    double size[2][WORN_LINE];   /* metres to the next */
} worn;

/* How one hair leaves the scalp. */
typedef struct worn_root {
    lw_vec3 direction; /* unit; never into the scalp */
    lw_vec3 combed;    /* unit, along the scalp: where it is combed to */
    lw_vec3 axis; /* unit, along the scalp and at right angles to the direction: hair that curves about it
                     (right-handed) curves toward the head, and the long axis of its section lies along it. Of
                     a mirrored root it is the mirror image reversed, as axes of turning are */
    int side;     /* of the parting it is combed to: 1 the client's left, -1 the right; 0 not parted */
    int hand; /* 1 on the left half of the head, -1 on the right: with its coil's twist times this, mirrored
                 roots grow mirrored coils */
} worn_root;

/* Makes `how` ready. A value out of the ranges in lengthwise.h, and a parting beside the head,
 * are LW_ERROR_ARGUMENT. The scalp must outlive it. */
lw_status worn_make(worn *out, const lw_scalp *scalp, const lw_hair *hair, const lw_worn *how,
                    lw_error *error);

/* How a hair rooted at the surface point under p leaves the scalp. Smooth over the scalp but for the parting,
 * whorls and, brushed forward, the crown. The mirror image of a scalp, parted on the other side, gives mirror
 * images to the bit. */
worn_root worn_at(const worn *w, lw_vec3 p);

/* The same of the scalp's root i, faster: within 1e-9. */
worn_root worn_at_root(const worn *w, int i);

/* The angle off the scalp at which hair comes out there, before any comb, radians. */
double worn_root_angle(const worn *w, lw_vec3 p);

#endif
