/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>

#include "benchtrue/surface/plan.h"
#include "support/memory.h"

static const struct bt_plan_instrument tools[] = {
    {BT_PLAN_STICKS, 0.2, NAN, -1, false, false, NAN, NAN},
    {BT_PLAN_BAR, 0.01, NAN, -1, true, false, 120, NAN}};

static enum bt_status plan_once(size_t ntool)
{
    const struct bt_plan_request request = {
        .length = 240,
        .width = 120,
        .ninstrument = ntool,
        .instrument = tools,
        .aim = {NAN, ntool > 1 ? 0.1 : NAN, 0.25, NAN},
        .step = 1,
        .same_point = 3};
    struct bt_readings readings = {0};
    struct bt_plan plan;
    enum bt_status status = bt_plan_find(&request, &plan, NULL);

    if (status == BT_OK)
        status = bt_plan_readings(&request, &plan, &readings);
    bt_readings_clear(&readings);
    bt_plan_clear(&plan);
    return status;
}

/* Each of the first and of the last calls fails, and some of those between. */
static void fail_many(size_t ntool, size_t each, size_t between)
{
    size_t calls, stride, k = 1;

    gsl_set_error_handler_off();
    memory_fail_at(0);
    cr_assert_eq(plan_once(ntool), BT_OK);
    calls = memory_calls();
    cr_assert_eq(memory_live(), 0);
    cr_assert_gt(calls, 2 * each);
    stride = (calls - 2 * each) / between + 1;
    while (k <= calls) {
        memory_fail_at(k);
        cr_assert_eq(plan_once(ntool), BT_ENOMEM, "call %zu of %zu", k, calls);
        cr_assert_eq(memory_live(), 0, "call %zu leaked", k);
        if (k < each || k + each >= calls)
            k++;
        else if (k + stride + each >= calls)
            k = calls - each;
        else
            k += stride;
    }
    memory_fail_at(0);
}

Test(plan_memory, a_small_plan_fails_cleanly_wherever_memory_ends)
{
    fail_many(1, 40, 40);
}

Test(plan_memory, a_plan_with_two_instruments_fails_cleanly_wherever_memory_ends)
{
    fail_many(2, 10, 6);
}
