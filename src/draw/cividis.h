/* The colours of a length map. */
#ifndef LW_DRAW_CIVIDIS_H
#define LW_DRAW_CIVIDIS_H

/* sRGB, 0 to 1, of t from 0 (dark blue) to 1 (yellow), clamped; lightness grows evenly with t. */
void cividis(double rgb[3], double t);

#endif
