/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>

#include "draw/palette.h"

/* sRGB to linear light and its luminance (WCAG 2.1, relative luminance). */
static double luminance(const double rgb[3])
{
    static const double weight[3] = {0.2126, 0.7152, 0.0722};
    double y = 0;

    for (int i = 0; i < 3; i++)
        y += weight[i] *
             (rgb[i] <= 0.04045 ? rgb[i] / 12.92 : pow((rgb[i] + 0.055) / 1.055, 2.4));
    return y;
}

static double lightness(double y)
{
    return 116 * cbrt(y) - 16;
}

/* White and mid grey of CIELAB in sRGB: L* 100 and 53.585 are 1 and 0.5 (IEC 61966-2-1;
 * from memory). */
Test(palette, colours_have_the_lightness_they_claim)
{
    for (int i = 0; i <= 20; i++) {
        double lab[3], rgb[3];

        palette_lab(i / 20.0, lab);
        palette_colour(i / 20.0, rgb);
        cr_expect(fabs(lightness(luminance(rgb)) - lab[0]) <= 0.1, "share %d/20: %g", i,
                  lightness(luminance(rgb)));
    }
}

Test(palette, steps_are_even_in_colour_and_in_lightness)
{
    double first = 0;

    for (int i = 0; i < 9; i++) {
        double a[3], b[3], step;

        palette_lab(i / 9.0, a);
        palette_lab((i + 1) / 9.0, b);
        step = sqrt(pow(b[0] - a[0], 2) + pow(b[1] - a[1], 2) + pow(b[2] - a[2], 2));
        first = i ? first : step;
        cr_expect(fabs(step - first) <= 1e-9);
        cr_expect_gt(b[0] - a[0], 4, "ten bands are told apart in grey");
    }
}

/* A colour cut off at the edge of what a screen can show would not be an even step. */
Test(palette, every_colour_can_be_shown)
{
    for (int i = 0; i <= 1000; i++) {
        double rgb[3];

        palette_colour(i / 1000.0, rgb);
        for (int k = 0; k < 3; k++)
            cr_expect(rgb[k] > 0 && rgb[k] < 1, "share %d/1000, channel %d: %g", i, k,
                      rgb[k]);
    }
}

Test(palette, black_letters_can_be_read_on_every_colour)
{
    for (int i = 0; i <= 100; i++) {
        double rgb[3];

        palette_colour(i / 100.0, rgb);
        cr_expect((luminance(rgb) + 0.05) / 0.05 >= 4.5);
    }
}
