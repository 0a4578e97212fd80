/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>

#include "benchtrue/draw/levels.h"

Test(levels, are_round_and_no_more_than_ten)
{
    static const struct {
        double low, high, u;
        enum bt_system system;
        double step, base;
        int count;
    } rows[] = {
        {-0.9, 1.1, 0.01, BT_SYSTEM_MM, 0.3, -3, 7},
        {-0.9, 1.1, 0.4, BT_SYSTEM_MM, 0.5, -2, 5},
        {-0.9, 1.1, NAN, BT_SYSTEM_MM, 0.3, -3, 7},
        {0.2, 0.2, 0, BT_SYSTEM_MM, 0.01, 20, 1},
        {-4e-4, 3e-4, 0, BT_SYSTEM_MM, 0.01, -1, 2},
        {-1234, 4321, 5, BT_SYSTEM_MM, 1000, -2, 7},
        {-0.31, 0.29, 0.01, BT_SYSTEM_IN, 0.0762, -5, 9},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_levels l;

        bt_levels_choose(rows[i].low, rows[i].high, rows[i].u, rows[i].system, &l);
        cr_expect(fabs(l.step - rows[i].step) <= 1e-9 * rows[i].step, "row %zu: %g", i,
                  l.step);
        cr_expect(fabs(l.base - rows[i].base) <= 0, "row %zu: base %g", i, l.base);
        cr_expect_eq(l.count, rows[i].count, "row %zu: %d", i, l.count);
    }
}

Test(levels, hold_every_height_between_low_and_high)
{
    for (int k = -40; k < 40; k++) {
        double low = k * 0.0371 - 0.4, high = low + 0.013 * (k + 41);
        struct bt_levels l;

        bt_levels_choose(low, high, 0.003, k % 2 ? BT_SYSTEM_MM : BT_SYSTEM_IN, &l);
        cr_expect(l.count >= 1 && l.count <= BT_LEVELS_MAX);
        cr_expect(l.base * l.step <= low + 1e-12);
        cr_expect((l.base + l.count) * l.step >= high - 1e-12);
    }
}

Test(levels, without_heights_are_one_band)
{
    struct bt_levels l;

    bt_levels_choose(NAN, 1, 0.1, BT_SYSTEM_MM, &l);
    cr_expect_eq(l.count, 1);
    bt_levels_choose(HUGE_VAL, -HUGE_VAL, 0.1, BT_SYSTEM_MM, &l);
    cr_expect_eq(l.count, 1);
}

Test(levels, band_of_a_height_includes_its_lower_end)
{
    const struct bt_levels l = {0.5, -2, 5};

    cr_expect_eq(bt_levels_band(&l, -1), 0);
    cr_expect_eq(bt_levels_band(&l, -0.5), 1);
    cr_expect_eq(bt_levels_band(&l, 1.49), 4);
    cr_expect_eq(bt_levels_band(&l, 1.5), 4);
    cr_expect_eq(bt_levels_band(&l, -7), 0);
    cr_expect_eq(bt_levels_band(&l, 7), 4);
    cr_expect_eq(bt_levels_band(&l, NAN), -1);
}
