/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each allocation of fence and dry fit fails in turn; links support/memory.c. */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/joint/dry_fit.h"
#include "benchtrue/joint/fence.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(joint_memory_fence, .init = quiet_gsl);

static const struct bt_fence_check check[] = {{.kind = BT_FENCE_SQUARE,
                                               .station = 100,
                                               .gap = 0.25,
                                               .u_gap = 0.02,
                                               .height = 120,
                                               .opens_at_top = true,
                                               .u_own = 1e-4,
                                               .instrument = 0},
                                              {.kind = BT_FENCE_SQUARE,
                                               .station = 450,
                                               .gap = 0.1,
                                               .u_gap = 0.02,
                                               .height = 120,
                                               .opens_at_top = true,
                                               .u_own = 1e-4,
                                               .instrument = 0},
                                              {.kind = BT_FENCE_DOUBLED,
                                               .station = NAN,
                                               .gap = 0.2,
                                               .u_gap = 0.02,
                                               .width = 90,
                                               .width2 = 110,
                                               .hollow_at_fence = true},
                                              {.kind = BT_FENCE_ANGLE,
                                               .station = 800,
                                               .reading = 1.575,
                                               .turned = 1.57,
                                               .u_reading = 0.0005}};

static const struct bt_fence_request fence = {.ncheck = sizeof check / sizeof *check,
                                              .check = check,
                                              .length = 900,
                                              .cutter = NAN,
                                              .same_station = 10,
                                              .confidence = 0.95};

static const struct bt_dry_gap gap[] = {{10, true, 0.1, 0.01, 0},
                                        {10, false, 0.0, 0.01, 0},
                                        {500, true, 0.2, 0.01, 0},
                                        {900, true, 0.1, 0.01, 0},
                                        {900, false, 0.1, 0.02, 0}};

static const struct bt_dry_joint_request dry = {.ngap = sizeof gap / sizeof *gap,
                                                .gap = gap,
                                                .length = 950,
                                                .thickness = 25,
                                                .gap_most = 0.1,
                                                .closes = 0.3,
                                                .confidence = 0.95};

/* Output and status of either, so that one loop serves both. */
struct output {
    struct bt_fence_result fence;
    struct bt_dry_joint dry;
};

static enum bt_status run(bool is_fence, struct output *out, struct bt_error *err)
{
    return is_fence ? bt_fence_combine(&fence, &out->fence, err)
                    : bt_dry_joint_fit(&dry, &out->dry, err);
}

static void expect_no_memory(bool is_fence, size_t k)
{
    struct output out, before;
    struct bt_error err = {0};

    memset(&out, 0x5a, sizeof out);
    before = out;
    memory_fail_at(k);
    cr_expect_eq(run(is_fence, &out, &err), BT_ENOMEM, "call %zu", k);
    cr_expect_eq(err.code, BT_ENOMEM, "call %zu", k);
    cr_expect_str_eq(err.message, "out of memory", "call %zu: %s", k, err.message);
    memory_fail_from(k);
    cr_expect_eq(run(is_fence, &out, NULL), BT_ENOMEM, "all from call %zu", k);
    cr_expect_eq(memcmp(&out, &before, sizeof out), 0, "call %zu: touched", k);
    cr_expect_eq(memory_live(), 0, "call %zu: %zu blocks kept", k, memory_live());
}

static void fail_each(bool is_fence, size_t least)
{
    struct output out = {0};
    size_t count;

    memory_fail_at(0);
    cr_assert_eq(run(is_fence, &out, NULL), BT_OK);
    count = memory_calls();
    cr_assert(count >= least, "%zu calls", count);
    bt_fence_result_clear(&out.fence);
    cr_assert_eq(memory_live(), 0);
    for (size_t k = 1; k <= count; k++)
        expect_no_memory(is_fence, k);
    /* and then, with memory again, all goes well */
    memory_fail_at(0);
    cr_expect_eq(run(is_fence, &out, NULL), BT_OK);
    bt_fence_result_clear(&out.fence);
    cr_expect_eq(memory_live(), 0);
}

Test(joint_memory_fence, a_fence_says_so_when_any_allocation_fails_and_keeps_none)
{
    fail_each(true, 8);
}

Test(joint_memory_fence, a_dry_fit_says_so_when_its_allocation_fails)
{
    fail_each(false, 1);
}
