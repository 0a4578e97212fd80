/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/spread.h"

#include <math.h>

/* Pushed apart upwards, and downwards, labels keep the pitch; so does the mean of
 * both, which stays about the places wanted. */
void spread(size_t n, const double at[], double pitch, double lo, double hi,
            double out[])
{
    double down = HUGE_VAL;

    for (size_t i = 0; i < n; i++)
        out[i] = i ? fmax(at[i], out[i - 1] + pitch) : at[i];
    for (size_t i = n; i-- > 0;) {
        down = fmin(at[i], down - pitch);
        out[i] = (out[i] + down) / 2;
    }
    for (size_t i = 0; i < n; i++)
        out[i] = fmax(out[i], i ? out[i - 1] + pitch : lo);
    for (size_t i = n; i-- > 0;)
        out[i] = fmin(out[i], i + 1 < n ? out[i + 1] - pitch : hi);
}
