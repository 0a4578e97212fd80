/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/levels.h"

#include <math.h>

static int bands_between(double step, double low, double high, double *base)
{
    double count;

    *base = floor(low / step);
    count = ceil(high / step) - *base;
    if (!(count >= 1))
        return 1;
    return count <= BT_LEVELS_MAX ? (int)count : BT_LEVELS_MAX + 1;
}

void bt_levels_choose(double low, double high, double u, enum bt_system system,
                      struct bt_levels *levels)
{
    static const double nice[] = {1, 2, 3, 5};
    double unit = system == BT_SYSTEM_MM ? 0.01 : 0.0254;

    *levels = (struct bt_levels){unit, 0, 1};
    if (!isfinite(low) || !isfinite(high) || !(low <= high))
        return;
    /* Heights of a panel need three powers; 300 reach the largest number. */
    for (int power = 0; power < 300; power++, unit *= 10) {
        for (size_t i = 0; i < sizeof nice / sizeof *nice; i++) {
            levels->step = nice[i] * unit;
            levels->count = bands_between(levels->step, low, high, &levels->base);
            if (!(u > levels->step) && levels->count <= BT_LEVELS_MAX)
                return;
        }
    }
    levels->count = 1;
}

int bt_levels_band(const struct bt_levels *levels, double z)
{
    double band = floor(z / levels->step) - levels->base;

    if (isnan(band))
        return -1;
    if (!(band > 0))
        return 0;
    return band < levels->count ? (int)band : levels->count - 1;
}
