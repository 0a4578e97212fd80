/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include "report/fixture.h"

Test(result, over_outranks_not_seen_and_not_seen_outranks_too_close)
{
    struct fixture f;

    fixture_init(&f);
    cr_expect_eq(bt_set_verdict(&f.result), BT_WITHIN);
    fixture_limit(&f, BT_FIGURE_BOW, 1.5);
    cr_expect_eq(bt_set_verdict(&f.result), BT_WITHIN);
    fixture_limit(&f, BT_FIGURE_TWIST, 0.85);
    cr_expect_eq(bt_set_verdict(&f.result), BT_TOO_CLOSE);
    fixture_hide(&f, BT_FIGURE_RANGE);
    fixture_limit(&f, BT_FIGURE_RANGE, 2);
    cr_expect_eq(bt_set_verdict(&f.result), BT_NOT_SEEN);
    fixture_limit(&f, BT_FIGURE_CUP, 1);
    cr_expect_eq(bt_set_verdict(&f.result), BT_OVER);
}

Test(result, each_limit_applies_to_the_figure_of_its_name)
{
    struct fixture f;

    fixture_init(&f);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_CUP)->value, -1.234);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_BOW)->value, 0.31);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_TWIST)->value, 0.85);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_RANGE)->value, 1.9);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_ZONE)->value, 1.86);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_LOCAL)->value, 1.216);
}

Test(result, clearing_nothing_is_allowed)
{
    bt_set_result_clear(NULL);
}
