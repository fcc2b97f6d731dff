/* Cividis: even in lightness, and the same to those with and without a colour vision deficiency (Nunez,
 * Anderton and Renslow, "Optimizing colormaps with consideration for color vision deficiency to enable
 * accurate interpretation of scientific data", PLOS ONE 13(7):e0199239, 2018). Every fifteenth of the 256
 * colours that the authors gave to the public domain (CC0), straight between them. */
#include "cividis.h"

enum { STOPS = 18 };

static const unsigned char stop[STOPS][3] = {
    {0, 34, 78},     {0, 45, 104},    {22, 55, 112},   {46, 65, 109},   {63, 76, 108},   {78, 86, 108},
    {92, 97, 110},   {105, 107, 113}, {118, 118, 118}, {131, 129, 121}, {146, 140, 120}, {160, 152, 117},
    {175, 164, 113}, {191, 176, 107}, {207, 189, 98},  {223, 202, 87},  {240, 216, 70},  {254, 232, 56},
};

void cividis(double rgb[3], double t) {
    double at = (t > 0 ? t < 1 ? t : 1 : 0) * (STOPS - 1);
    int i = at < STOPS - 2 ? (int)at : STOPS - 2;
    for (int k = 0; k < 3; k++) rgb[k] = (stop[i][k] + (at - i) * (stop[i + 1][k] - stop[i][k])) / 255;
}
