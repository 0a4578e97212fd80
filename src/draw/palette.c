/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/palette.h"

#include <math.h>

/* L*, a*, b* of the ends: within sRGB, as the test shows for the whole line. */
static const double lowest[3] = {52, -5, -41};
static const double highest[3] = {93, -5, 40};

void palette_lab(double share, double lab[3])
{
    for (int i = 0; i < 3; i++)
        lab[i] = lowest[i] + share * (highest[i] - lowest[i]);
}

/* Inverse of the CIE function f, whose straight piece ends at 6/29. */
static double unfold(double f)
{
    const double end = 6.0 / 29;

    return f > end ? f * f * f : 3 * end * end * (f - 4.0 / 29);
}

static double encode(double linear)
{
    if (!(linear > 0.0031308))
        return linear > 0 ? 12.92 * linear : 0;
    return fmin(1, 1.055 * pow(linear, 1 / 2.4) - 0.055);
}

void palette_colour(double share, double rgb[3])
{
    static const double white[3] = {0.95047, 1, 1.08883};
    static const double to_rgb[3][3] = {{3.2406, -1.5372, -0.4986},
                                        {-0.9689, 1.8758, 0.0415},
                                        {0.0557, -0.2040, 1.0570}};
    double lab[3], fy, xyz[3];

    palette_lab(share, lab);
    fy = (lab[0] + 16) / 116;
    xyz[0] = white[0] * unfold(fy + lab[1] / 500);
    xyz[1] = white[1] * unfold(fy);
    xyz[2] = white[2] * unfold(fy - lab[2] / 200);
    for (int i = 0; i < 3; i++)
        rgb[i] = encode(to_rgb[i][0] * xyz[0] + to_rgb[i][1] * xyz[1] +
                        to_rgb[i][2] * xyz[2]);
}
