/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>

#include "benchtrue/wood/drying.h"

/* reference/checks.py, section 6. */
Test(drying, what_is_left_after_one_and_two_time_constants_is_as_the_check_has)
{
    cr_expect(fabs(bt_drying_left(3.5, 3.5) - 0.2982) <= 5.1e-5);
    cr_expect(fabs(bt_drying_left(7, 3.5) - 0.1097) <= 5.1e-5);
}

/* The plain series with ten thousand terms. */
static double plain(double ratio)
{
    const double pi = 3.14159265358979323846;
    double sum = 0;

    for (int i = 9999; i >= 0; i--) {
        double k = 2.0 * i + 1;
        sum += exp(-k * k * ratio) / (k * k);
    }
    return 8 / (pi * pi) * sum;
}

Test(drying, both_series_agree_with_the_plain_sum)
{
    for (double ratio = 1e-6; ratio < 20; ratio *= 1.3)
        cr_expect(fabs(bt_drying_left(ratio, 1) - plain(ratio)) <= 1e-12, "%g: %g",
                  ratio, bt_drying_left(ratio, 1) - plain(ratio));
    cr_expect(fabs(bt_drying_left(0, 2) - 1) <= 1e-15);
}

Test(drying, time_and_share_are_inverse_to_each_other)
{
    for (double share = 0.999; share > 1e-6; share *= 0.8)
        cr_expect(fabs(bt_drying_left(bt_drying_time(share), 1) - share) <= 1e-13, "%g",
                  share);
    cr_expect(fabs(bt_drying_time(1)) <= 0);
}

/* 25 mm: section 6 has 7.3 d at 1e-10 and 24.4 d at 3e-11; half in 3.5 and 11.8, nine
 * tenths in 15.3 and 51.1. */
Test(drying, days_of_an_inch_board_are_as_the_check_has)
{
    struct bt_days tau, half, tenth;

    cr_assert_eq(bt_drying_constant(25, false, &tau, NULL), BT_OK);
    cr_expect(fabs(tau.least - 7.3) <= 0.051 && fabs(tau.most - 24.4) <= 0.051);
    cr_expect(fabs(tau.middle - sqrt(tau.least * tau.most)) <= 1e-12);
    cr_expect(fabs(tau.u - tau.middle * log(1 / 0.3) / sqrt(12)) <= 1e-12);
    cr_assert_eq(bt_drying_wait(25, false, 14, 8, 3, &half, NULL), BT_OK);
    cr_expect(fabs(half.least - 3.5) <= 0.06 && fabs(half.most - 11.8) <= 0.06, "%g %g",
              half.least, half.most);
    cr_assert_eq(bt_drying_wait(25, false, 8, 14, 0.6, &tenth, NULL), BT_OK);
    cr_expect(fabs(tenth.least - 15.3) <= 0.06 && fabs(tenth.most - 51.1) <= 0.06);
}

Test(drying, the_wait_that_is_advised_is_the_middle_constant_in_whole_days_up)
{
    static const double none[] = {0, -1, NAN, INFINITY};
    struct bt_days tau;

    cr_assert_eq(bt_drying_constant(27, false, &tau, NULL), BT_OK);
    cr_expect_eq(bt_drying_rest(27), 16);
    cr_expect(tau.middle <= 16 && tau.middle > 15, "%g", tau.middle);
    for (int i = 0; i < 4; i++)
        cr_expect_eq(bt_drying_rest(none[i]), 0);
}

Test(drying, one_open_face_takes_four_times_as_long)
{
    struct bt_days two, one;

    cr_assert_eq(bt_drying_wait(21, false, 12, 7, 0.5, &two, NULL), BT_OK);
    cr_assert_eq(bt_drying_wait(21, true, 12, 7, 0.5, &one, NULL), BT_OK);
    cr_expect(fabs(one.middle - 4 * two.middle) <= 1e-9);
    cr_expect(fabs(one.u - 4 * two.u) <= 1e-9);
}

Test(drying, a_board_that_is_there_already_need_not_wait)
{
    struct bt_days d = {42, 42, 42, 42};

    cr_assert_eq(bt_drying_wait(25, false, 8.4, 8, 0.5, &d, NULL), BT_OK);
    cr_expect(fabs(d.most) <= 0 && fabs(d.u) <= 0);
}

Test(drying, shares_and_times_that_are_none_are_nan)
{
    cr_expect(isnan(bt_drying_left(-1, 1)) && isnan(bt_drying_left(NAN, 1)));
    cr_expect(isnan(bt_drying_left(1, 0)) && isnan(bt_drying_left(1, NAN)));
    cr_expect(isnan(bt_drying_left(1, INFINITY)));
    cr_expect(isnan(bt_drying_time(0)) && isnan(bt_drying_time(1.1)));
    cr_expect(isnan(bt_drying_time(NAN)) && isnan(bt_drying_time(-0.5)));
    cr_expect(fabs(bt_drying_left(INFINITY, 1)) <= 0);
}

static const struct bad {
    double thickness, now, end, within;
    const char *message;
} bad[] = {
    {0, 12, 8, 1, "the thickness must be over 0 mm"},
    {NAN, 12, 8, 1, "the thickness must be over 0 mm"},
    {INFINITY, 12, 8, 1, "the thickness must be over 0 mm"},
    {25, -1, 8, 1, "the moisture must be 0 % to 250 %"},
    {25, 251, 8, 1, "the moisture must be 0 % to 250 %"},
    {25, 12, NAN, 1, "the moisture must be 0 % to 250 %"},
    {25, 12, 8, 0, "within must be over 0 % of moisture"},
    {25, 12, 8, NAN, "within must be over 0 % of moisture"},
};

Test(drying, what_is_out_of_range_is_refused_and_nothing_is_changed)
{
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct bt_days d = {42, 42, 42, 42};
        struct bt_error err = {0};
        cr_expect_eq(bt_drying_wait(bad[i].thickness, false, bad[i].now, bad[i].end,
                                    bad[i].within, &d, &err),
                     BT_EINPUT, "%zu", i);
        cr_expect_str_eq(err.message, bad[i].message);
        cr_expect(fabs(d.least - 42) <= 0);
    }
}
