/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each allocation from readings to the piece fails in turn; links support/memory.c. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/fit/piece.h"
#include "support/memory.h"

/* A bay with one bowed wall, from its readings to the piece.  Everything is given back.
 */
static enum bt_status all_of_it(struct bt_error *err)
{
    const double at[] = {0, 250, 500}, off[] = {0, 4, 0}, u[] = {1, 1, 1};
    const double value[] = {1500, 500, 1490, 500, 1580};
    const bool traced[4] = {false};
    struct bt_opening_reading r[5];
    struct bt_wall_profile profile[BT_WALLS];
    struct bt_quad_result quad = {.rank = 0};
    struct bt_piece piece;
    struct bt_piece_request request = {&quad, profile, bt_opening_plan_none(), 1, 1,
                                       0,     0};
    enum bt_status status;

    memset(profile, 0, sizeof profile);
    memset(&piece, 0, sizeof piece);
    for (int k = 0; k < 5; k++)
        r[k] =
            (struct bt_opening_reading){k < 4 ? BT_OPENING_SIDE : BT_OPENING_DIAGONAL,
                                        k & 3,
                                        NAN,
                                        value[k],
                                        NAN,
                                        NAN,
                                        1,
                                        0};
    request.plan.scribe = 10;
    status = bt_wall_profile_find(3, at, off, u, &profile[BT_WALL_LEFT], err);
    if (status == BT_OK)
        status = bt_quad_fit(5, r, profile, traced, BT_SYSTEM_MM, &quad, err);
    if (status == BT_OK)
        status = bt_piece_find(&request, BT_SYSTEM_MM, &piece, err);
    bt_piece_clear(&piece);
    bt_quad_clear(&quad);
    bt_wall_profile_clear(&profile[BT_WALL_LEFT]);
    return status;
}

Test(fit_memory, from_readings_to_the_piece_no_failed_allocation_is_overlooked)
{
    const size_t live = memory_live();
    struct bt_error err = {0};
    size_t calls;

    memory_fail_at(0);
    cr_assert_eq(all_of_it(&err), BT_OK, "%s", err.message);
    calls = memory_calls();
    cr_expect(calls >= 10, "%zu", calls);
    for (size_t k = 1; k <= calls; k++) {
        memory_fail_at(k);
        cr_expect_eq(all_of_it(&err), BT_ENOMEM, "allocation %zu", k);
        cr_expect_str_eq(err.message, "out of memory");
        cr_expect_eq(memory_live(), live, "allocation %zu", k);
    }
    memory_fail_at(0);
    cr_expect_eq(all_of_it(&err), BT_OK);
    cr_expect_eq(memory_live(), live);
}

Test(fit_memory, rectangle_says_so_where_there_is_none)
{
    struct bt_outline o;

    memory_fail_at(1);
    cr_expect_eq(bt_outline_rectangle(300, 200, &o), BT_ENOMEM);
    cr_expect_eq(o.n, 0);
    memory_fail_at(0);
}
