/* The colours of a length map, on paper and on the page.
 *
 * Cividis: even in lightness, and the same to those with and without a colour vision deficiency (Nunez,
 * Anderton and Renslow, "Optimizing colormaps with consideration for color vision deficiency to enable
 * accurate interpretation of scientific data", PLOS ONE 13(7):e0199239, 2018). Every fifteenth of the 256
 * colours that the authors gave to the public domain (CC0), straight between them. */
#ifndef LW_CIVIDIS_H
#define LW_CIVIDIS_H

enum { CIVIDIS_STOPS = 18 };

static const unsigned char cividis_stop[CIVIDIS_STOPS][3] = {
    {0, 34, 78},     {0, 45, 104},    {22, 55, 112},   {46, 65, 109},   {63, 76, 108},   {78, 86, 108},
    {92, 97, 110},   {105, 107, 113}, {118, 118, 118}, {131, 129, 121}, {146, 140, 120}, {160, 152, 117},
    {175, 164, 113}, {191, 176, 107}, {207, 189, 98},  {223, 202, 87},  {240, 216, 70},  {254, 232, 56},
};

/* sRGB, 0 to 1, of t from 0 (dark blue) to 1 (yellow), clamped; lightness grows evenly with t. */
static inline void cividis(double rgb[3], double t) {
    double at = (t > 0 ? t < 1 ? t : 1 : 0) * (CIVIDIS_STOPS - 1);
    int i = at < CIVIDIS_STOPS - 2 ? (int)at : CIVIDIS_STOPS - 2;
    for (int k = 0; k < 3; k++)
        rgb[k] = (cividis_stop[i][k] + (at - i) * (cividis_stop[i + 1][k] - cividis_stop[i][k])) / 255;
}

#endif
