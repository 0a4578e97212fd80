/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_LEVELS_H
#define BENCHTRUE_DRAW_LEVELS_H

#include "benchtrue/base/print.h"

enum { BT_LEVELS_MAX = 10 };

/* Bands of height: band i, from 0, reaches from (base + i) step to (base + i + 1) step,
 * its lower end included; the last one also includes its upper end. */
struct bt_levels {
    double step; /* mm, > 0 */
    double base; /* a whole number */
    int count;   /* bands, 1 to BT_LEVELS_MAX */
};

/*
 * Levels for a map of heights.  The step is 1, 2, 3 or 5 times a power of ten of the
 * unit printed (0.01 mm, 1 thou), the least that is not finer than the uncertainty and
 * needs no more than ten bands.
 *
 *   low, high  mm, low <= high; NaN gives one band of one unit at 0
 *   u          standard uncertainty, mm; NaN or 0: not looked at
 *   levels     out
 */
BT_API void bt_levels_choose(double low, double high, double u, enum bt_system system,
                             struct bt_levels *levels);

/* The band of a height: 0 to count - 1, also for heights outside; -1 for NaN. */
BT_API int bt_levels_band(const struct bt_levels *levels, double z);

#endif
